package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/heat"
	"emberbank/match"
)

// trialChange is a change of one trial.
type trialChange struct {
	trial    int
	change   Change
	proposed bool
}

// candidates gathers what could be done otherwise: what is given, and of the kinds that are not, what the program proposes.
func (d *design) candidates() error {
	kinds := map[string]bool{}
	for _, c := range d.p.Changes {
		kinds[c.Kind()] = true
	}
	d.more = slices.Clone(d.p.More)
	d.given = len(d.more)
	for i := range d.p.Trials {
		t := &d.p.Trials[i]
		p, err := t.Load(match.SettingsOf(d.p.Parameters, t.Name, d.x))
		if err != nil {
			return fmt.Errorf("run %s: %w", t.Name, err)
		}
		d.problems = append(d.problems, p)
		for _, c := range d.p.Changes {
			if trial := p; c.apply(&trial) == nil { // it may belong to another run
				d.changes = append(d.changes, trialChange{i, c, false})
			}
		}
		if !d.p.Propose {
			continue
		}
		for _, c := range proposed(&p) {
			if !kinds[c.Kind()] {
				d.changes = append(d.changes, trialChange{i, c, true})
			}
		}
	}
	for k := range d.more {
		d.likeness(&d.more[k], false)
	}
	if d.p.Propose && d.given == 0 {
		d.proposeSensors()
	}
	return nil
}

// likeness gives a candidate for a temperature what is not said of it: that of the first planned thermometer, whose logger
// it shares.
func (d *design) likeness(s *Sensor, whole bool) {
	if s.Probe == nil && !whole {
		return
	}
	i := d.firstThermometer()
	if i < 0 {
		return
	}
	like := d.p.Sensors[i]
	if s.Noise == 0 {
		s.Noise, s.Lasting = like.Noise, like.Lasting
		if s.Offset == 0 {
			s.Offset = like.Offset
		}
		if s.Logger == "" {
			s.Logger, s.Shared = like.Logger, like.Shared
		}
	}
	if s.Probe != nil && s.Probe.Lag == 0 {
		if q := like.Probe; q != nil {
			s.Probe.Lag = q.Lag
		} else if q := d.probe(like.Column); q != nil {
			s.Probe.Lag = q.Lag
		}
	}
}

// firstThermometer is the first planned sensor that reads a place, or else the first that reads water or a mean; -1: none.
func (d *design) firstThermometer() int {
	if i := slices.IndexFunc(d.p.Sensors, func(o Sensor) bool { return o.Probe != nil || d.probe(o.Column) != nil }); i >= 0 {
		return i
	}
	return slices.IndexFunc(d.p.Sensors, func(o Sensor) bool {
		return o.Column == "block mean" || strings.HasPrefix(o.Column, "circuit ") && (strings.HasSuffix(o.Column, " outlet") || strings.HasSuffix(o.Column, " wall max"))
	})
}

// probe is the first run's own of that name.
func (d *design) probe(name string) *heat.Probe {
	for i := range d.problems[0].Probes {
		if q := &d.problems[0].Probes[i]; q.Name == name && q.Kind != heat.Front {
			return q
		}
	}
	return nil
}

// proposeSensors proposes a lattice of places in the block, none in a bore, and outlets that are not yet measured.
func (d *design) proposeSensors() {
	if d.firstThermometer() < 0 {
		d.notes = append(d.notes, "no further thermometer is proposed, since none is planned whose errors it could have; give candidates with their noise")
		return
	}
	rec := &d.problems[0].Receiver
	b := rec.Block
	n := d.p.Lattice
	for i := range n[0] * n[1] * n[2] {
		k := [3]int{i / (n[1] * n[2]), i / n[2] % n[1], i % n[2]}
		var at block.Point
		for a := range at {
			at[a] = b.Min[a] + (b.Max[a]-b.Min[a])*(float64(k[a])+0.5)/float64(n[a])
		}
		if !clear(d.problems[0], &at) || !solid(d.problems[0], at) {
			continue
		}
		name := fmt.Sprintf("at depth %.0f, width %.0f, height %.0f mm", 1000*at[0], 1000*at[1], 1000*at[2])
		if slices.ContainsFunc(d.more, func(o Sensor) bool { return o.Column == name }) {
			continue
		}
		s := Sensor{Column: name, Probe: &heat.Probe{Kind: heat.Sensor, At: at, Immersion: 1}}
		d.likeness(&s, true)
		d.more = append(d.more, s)
	}
	for _, c := range rec.Circuits {
		name := "circuit " + c.Name + " outlet"
		if !slices.ContainsFunc(d.p.Sensors, func(s Sensor) bool { return s.Column == name }) {
			s := Sensor{Column: name}
			d.likeness(&s, true)
			d.more = append(d.more, s)
		}
	}
}

// clear moves a place out of the tube in which it lies, along depth, and says whether it then lies in solid.
func clear(p heat.Problem, at *block.Point) bool {
	for range 2 {
		hit := -1
		for i := range p.Receiver.Passes {
			s := &p.Receiver.Passes[i]
			if x := at[s.Axis]; x < s.From || x > s.To {
				continue
			}
			sum := 0.0
			for a := range at {
				if block.Axis(a) != s.Axis {
					sum += (at[a] - s.At[a]) * (at[a] - s.At[a])
				}
			}
			if math.Sqrt(sum) < s.Outer/2+1e-3 {
				hit = i
			}
		}
		if hit < 0 {
			return true
		}
		s := &p.Receiver.Passes[hit]
		a := block.Depth
		if s.Axis == block.Depth {
			a = block.Width
		}
		at[a] += s.Outer
		if at[a] >= p.Receiver.Block.Max[a] {
			return false
		}
	}
	return false
}

// solid tells whether a place lies in a part that has a medium; the last part that holds it counts.
func solid(p heat.Problem, at block.Point) bool {
	in := true // a receiver that is told without parts is its block
	for i := range p.Receiver.Parts {
		if q := &p.Receiver.Parts[i]; q.Box.Contains(at) {
			in = q.Medium >= 0
		}
	}
	return in
}

// stretch is what lies between two events.
type stretch struct {
	from, to float64
	name     string // of the event with which it begins
	switches duty.Switches
}

// stretches of a run, by its events alone: what rules do is not known before.
func stretches(p *heat.Problem) (out []stretch) {
	s := p.Duty.Switches.Clone()
	now := stretch{name: ""}
	for _, e := range p.Duty.Events {
		if e.At >= p.Until {
			break
		}
		if e.At > now.from {
			now.to, now.switches = e.At, s.Clone()
			out = append(out, now)
			now = stretch{from: e.At, name: e.Name}
		}
		for _, a := range e.Do {
			a.Apply(&s)
		}
	}
	now.to, now.switches = p.Until, s.Clone()
	return append(out, now)
}

// lit tells whether the light is on in a stretch and has power.
func lit(p *heat.Problem, s stretch) bool {
	return s.switches.Light && p.Duty.Light != nil && (p.Duty.Light.Power.At(s.from) > 0 || p.Duty.Light.Power.At((s.from+s.to)/2) > 0)
}

// proposed lists each stretch longer by half, each flowing circuit at half and at double its flow, and the cover the other
// way in each stretch without light.
func proposed(p *heat.Problem) (out []Change) {
	list := stretches(p)
	for _, s := range list {
		out = append(out, Change{Longer: &Longer{After: s.name, From: s.from, By: rounded((s.to - s.from) / 2)}})
	}
	for i, c := range p.Receiver.Circuits {
		if slices.ContainsFunc(list, func(s stretch) bool { return i < len(s.switches.Water) && s.switches.Water[i] == duty.Flowing }) {
			for _, f := range []float64{0.5, 2} {
				one := Change{Flow: &Flow{Circuit: c.Name, Factor: f}}
				if trial := *p; one.apply(&trial) == nil {
					out = append(out, one)
				}
			}
		}
	}
	if p.Receiver.Window != nil {
		for _, s := range list {
			if !lit(p, s) {
				to := s.to
				if to >= p.Until {
					to = math.Inf(1)
				}
				out = append(out, Change{Cover: &Cover{Shut: !s.switches.CoverShut, From: s.from, To: to}})
			}
		}
	}
	return out
}

// rounded brings a time to whole minutes, or to whole seconds where it is short.
func rounded(t float64) float64 {
	if t > 600 {
		return math.Round(t/60) * 60
	}
	return max(math.Round(t), 1)
}
