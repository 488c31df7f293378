package duty

import (
	"math"
	"slices"
	"sort"
)

// Player plays a duty: it holds the switches as they stand, fires events when they are due, judges rules with
// their hysteresis, and says where a march in time has to stop. It computes no heat. A clone goes its own way,
// so that a step may be tried and thrown away.
type Player struct {
	Switches Switches
	duty     *Duty
	events   []Event   // by rising time; shared by clones, never changed
	stops    []float64 // s, rising; shared by clones, never changed
	next     int       // events before it have fired
	acted    []bool    // by rule: it has acted and its value has not come back
	done     []bool    // by rule: it acts no more
}

// Fired is one event or rule that acted, with its switches already set.
type Fired struct {
	Name  string // of the event or rule; a rule that came back has ": back" added
	Rule  int    // index of the rule; -1 for an event
	Back  bool   // the rule's Else acted
	Value float64
	Do    []Action
	Stop  bool // it asks the run to stop
}

// NewPlayer returns a player at the start of a duty, with nothing fired yet. The duty must not be changed while
// it is played. Switches that the duty leaves out are set: circuits drained, heaters on, flows at their signal.
func NewPlayer(d *Duty) *Player {
	p := &Player{Switches: d.Switches.Clone(), duty: d, events: slices.Clone(d.Events)}
	sort.SliceStable(p.events, func(i, j int) bool { return p.events[i].At < p.events[j].At })
	for len(p.Switches.Water) < len(d.Water) {
		p.Switches.Water = append(p.Switches.Water, Drained)
	}
	for len(p.Switches.FlowShare) < len(d.Water) {
		p.Switches.FlowShare = append(p.Switches.FlowShare, 1)
	}
	for len(p.Switches.Heaters) < len(d.Heaters) {
		p.Switches.Heaters = append(p.Switches.Heaters, true)
	}
	p.acted, p.done = make([]bool, len(d.Rules)), make([]bool, len(d.Rules))
	p.stops = stopsOf(d)
	return p
}

// Clone returns a player in the same state that shares nothing that changes.
func (p *Player) Clone() *Player {
	q := *p
	q.Switches = p.Switches.Clone()
	q.acted, q.done = slices.Clone(p.acted), slices.Clone(p.done)
	return &q
}

// NextStop returns the next time after t, in s, that no step may straddle: a knot at which a signal jumps or bends,
// an event, or the time from which a rule counts. It returns +Inf where there is none.
func (p *Player) NextStop(t float64) float64 {
	if i := sort.Search(len(p.stops), func(i int) bool { return p.stops[i] > t }); i < len(p.stops) {
		return p.stops[i]
	}
	return math.Inf(1)
}

// Fire sets the switches of every event that is due at time t or before and has not fired, in order.
func (p *Player) Fire(t float64) []Fired {
	var out []Fired
	for ; p.next < len(p.events) && p.events[p.next].At <= t; p.next++ {
		e := &p.events[p.next]
		out = append(out, p.act(Fired{Name: e.Name, Rule: -1, Do: e.Do}))
	}
	return out
}

// Judge looks at every rule in order at time t and sets the switches of those that act. A rule acts when its
// value lies at or beyond its threshold; at the start, or at its After, at once where it does so already. It
// acts again only after the value has come back by the hysteresis, when its Else acts. A value that is NaN is
// passed over. A rule that acts once is done when its Else, if it has one, has acted too.
func (p *Player) Judge(t float64, value func(Watch) float64) []Fired {
	var out []Fired
	for i := range p.duty.Rules {
		r := &p.duty.Rules[i]
		if p.done[i] || t < r.After {
			continue
		}
		v := value(r.Watch)
		switch {
		case math.IsNaN(v):
		case !p.acted[i] && r.beyond(v):
			p.acted[i] = true
			p.done[i] = r.Once && len(r.Else) == 0
			out = append(out, p.act(Fired{Name: r.Name, Rule: i, Value: v, Do: r.Do}))
		case p.acted[i] && r.back(v):
			p.acted[i] = false
			p.done[i] = r.Once
			if len(r.Else) > 0 {
				out = append(out, p.act(Fired{Name: r.Name + ": back", Rule: i, Back: true, Value: v, Do: r.Else}))
			}
		}
	}
	return out
}

func (p *Player) act(f Fired) Fired {
	for _, a := range f.Do {
		if a.Apply(&p.Switches) {
			f.Stop = true
		}
	}
	return f
}

// Crossing returns the earliest fraction of a step from tOld to tNew, above 0 and at most 1, at which a rule
// would act if the values ran straight from old to new; 1 where none would act before the end.
func (p *Player) Crossing(tOld, tNew float64, old, new func(Watch) float64) float64 {
	first := 1.0
	for i := range p.duty.Rules {
		r := &p.duty.Rules[i]
		if p.done[i] || tNew < r.After || p.acted[i] && len(r.Else) == 0 {
			continue
		}
		level := r.Threshold
		rising := r.Above
		if p.acted[i] {
			level, rising = r.backLevel(), !r.Above
		}
		a, b := old(r.Watch), new(r.Watch)
		if !rising {
			a, b, level = -a, -b, -level
		}
		// Where the value lay beyond the level before, Judge has had its say.
		if !(a < level && b >= level) {
			continue
		}
		f := (level - a) / (b - a)
		if tOld < r.After { // counts only from After on
			f = math.Max(f, (r.After-tOld)/(tNew-tOld))
		}
		if f > 0 && f < first {
			first = f
		}
	}
	return first
}

// beyond tells whether a value asks the rule to act.
func (r *Rule) beyond(v float64) bool {
	if r.Above {
		return v >= r.Threshold
	}
	return v <= r.Threshold
}

// backLevel is the value to which a rule that has acted must come back.
func (r *Rule) backLevel() float64 {
	if r.Above {
		return r.Threshold - r.Hysteresis
	}
	return r.Threshold + r.Hysteresis
}

// back tells whether a value has come back. Without hysteresis the threshold itself still lies beyond.
func (r *Rule) back(v float64) bool {
	if r.beyond(v) {
		return false
	}
	if r.Above {
		return v <= r.backLevel()
	}
	return v >= r.backLevel()
}

// sameStop is the least distance between two stops, in s and as a fraction of the time: closer ones are joined
// at the later, so that rounding in a file makes no vanishing steps.
const sameStop = 1e-9

// Stops returns the times in s at which a duty does something by the clock, rising: events, jumps and bends of its
// signals, and from when its rules count.
func (d *Duty) Stops() []float64 { return stopsOf(d) }

// stopsOf returns the times that no step may straddle, rising.
func stopsOf(d *Duty) []float64 {
	var all []float64
	for _, s := range d.signals() {
		all = append(all, s.corners()...)
	}
	for i := range d.Events {
		all = append(all, d.Events[i].At)
	}
	for i := range d.Rules {
		all = append(all, d.Rules[i].After)
	}
	sort.Float64s(all)
	var out []float64
	for _, t := range all {
		if math.IsNaN(t) || math.IsInf(t, 0) {
			continue
		}
		if n := len(out); n > 0 && t-out[n-1] <= sameStop*math.Max(1, math.Abs(t)) {
			out[n-1] = t
			continue
		}
		out = append(out, t)
	}
	return out
}

// signals lists every signal of a duty.
func (d *Duty) signals() []*Signal {
	s := []*Signal{&d.Ambient, &d.Sky, &d.Ground, &d.Wind, &d.Tilt}
	if d.Light != nil {
		s = append(s, &d.Light.Power)
	}
	for i := range d.Heaters {
		s = append(s, &d.Heaters[i])
	}
	for i := range d.Water {
		s = append(s, &d.Water[i].Flow, &d.Water[i].Inlet, &d.Water[i].Pressure)
	}
	for i := range d.Pumps {
		s = append(s, &d.Pumps[i].Flow)
	}
	if d.Load != nil {
		s = append(s, &d.Load.Wanted)
	}
	return s
}

// corners returns the times at which a signal jumps or bends. A knot at which it runs straight on is none.
func (s *Signal) corners() []float64 {
	var out []float64
	n := len(s.T)
	slope := func(i int) float64 { // from knot i to the next; flat beyond the ends
		if i < 0 || i+1 >= n || s.Step {
			return 0
		}
		return (s.V[i+1] - s.V[i]) / (s.T[i+1] - s.T[i])
	}
	for i := 0; i < n; i++ {
		switch {
		case i > 0 && s.Step && s.V[i] == s.V[i-1], i == 0 && (s.Step || n == 1):
			continue // held before the first knot
		case i > 0 && s.T[i] == s.T[i-1], i+1 < n && s.T[i+1] == s.T[i]:
			out = append(out, s.T[i]) // a jump
			continue
		case !s.Step:
			before, after := slope(i-1), slope(i)
			if math.Abs(after-before) <= 1e-9*math.Max(math.Abs(after), math.Abs(before)) {
				continue
			}
		}
		out = append(out, s.T[i])
	}
	return out
}
