package season

import (
	"math"
	"slices"

	"emberbank/duty"
)

// Day is a stretch of the season that the full model computes: to build from, or to be held against.
type Day struct {
	Name  string
	From  float64 // s, on the clock of the season's duty
	Lasts float64 // s
	// Block is the block's temperature at its beginning, in K, with its surroundings as they would stand around a block that
	// has been so hot for long; NaN: everything at the ambient of its beginning.
	Block float64
	// FromSeason takes Block from the season itself instead.
	FromSeason bool
}

// daySeconds is a day.
const daySeconds = 86400.0

// excerpt returns a duty's part from a time on, for so long, on a clock of its own: signals are cut, what has been is left
// out.
func excerpt(d *duty.Duty, day *Day) duty.Duty {
	out := *d
	cut := func(s *duty.Signal) {
		*s = clip(s, day.From, day.From+day.Lasts)
	}
	out.Heaters = slices.Clone(d.Heaters)
	out.Water = slices.Clone(d.Water)
	out.Pumps = slices.Clone(d.Pumps)
	if d.Light != nil {
		light := *d.Light
		cut(&light.Power)
		out.Light = &light
	}
	if d.Load != nil {
		load := *d.Load
		cut(&load.Wanted)
		out.Load = &load
	}
	for _, s := range []*duty.Signal{&out.Ambient, &out.Sky, &out.Ground, &out.Wind, &out.Tilt} {
		cut(s)
	}
	for i := range out.Heaters {
		cut(&out.Heaters[i])
	}
	for i := range out.Water {
		cut(&out.Water[i].Flow)
		cut(&out.Water[i].Inlet)
		cut(&out.Water[i].Pressure)
	}
	for i := range out.Pumps {
		cut(&out.Pumps[i].Flow)
	}
	out.Events, out.Rules = nil, slices.Clone(d.Rules)
	for _, e := range d.Events {
		if e.At >= day.From && e.At < day.From+day.Lasts {
			e.At -= day.From
			out.Events = append(out.Events, e)
		}
	}
	for i := range out.Rules {
		out.Rules[i].After = math.Max(0, out.Rules[i].After-day.From)
	}
	out.Switches = d.Switches.Clone()
	return out
}

// clip returns a signal from a to b, on a clock that begins at a.
func clip(s *duty.Signal, a, b float64) duty.Signal {
	if s.Empty() {
		return duty.Signal{}
	}
	out := duty.Signal{Step: s.Step, T: []float64{0}, V: []float64{s.At(a)}}
	i, _ := slices.BinarySearch(s.T, a)
	for ; i < len(s.T) && s.T[i] <= b; i++ {
		if s.T[i] > a {
			out.T, out.V = append(out.T, s.T[i]-a), append(out.V, s.V[i])
		}
	}
	if !s.Step && out.T[len(out.T)-1] < b-a {
		out.T, out.V = append(out.T, b-a), append(out.V, s.Before(b))
	}
	return out
}

// span returns the least and the largest value of a signal; an empty one has none.
func span(s *duty.Signal) (lo, hi float64, any bool) {
	if s.Empty() {
		return 0, 0, false
	}
	return slices.Min(s.V), slices.Max(s.V), true
}
