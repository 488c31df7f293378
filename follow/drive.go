package follow

import (
	"cmp"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/trial"
)

// factor is by what parameters multiply a signal of the run's duty, where stated is the duty without them: the same acts on
// what is measured in its place. ok is false where they do more than multiply it.
func factor(d, stated *duty.Duty, of func(*duty.Duty) *duty.Signal) (f float64, ok bool) {
	if stated == nil {
		return 1, true
	}
	a, b := of(d), of(stated)
	if a == nil || b == nil {
		return 1, a == b
	}
	if len(a.V) != len(b.V) {
		return 1, false
	}
	most := -1
	for i, v := range b.V {
		if v != 0 && (most < 0 || math.Abs(v) > math.Abs(b.V[most])) {
			most = i
		}
	}
	if most < 0 {
		return 1, true
	}
	f = a.V[most] / b.V[most]
	for i, v := range b.V {
		if math.Abs(a.V[i]-f*v) > 1e-9*math.Abs(b.V[most]) {
			return 1, false
		}
	}
	return f, true
}

// drive puts what is measured in the place of what the run's duty states; stated is that duty without the factors of
// parameters, nil where they have none; uptakes are what of sources goes into the receiver.
func (a Ask) drive(p *heat.Problem, stated *duty.Duty, uptakes map[string]float64) (driven, notes []string) {
	d := &p.Duty
	as := func(x *input, of func(*duty.Duty) *duty.Signal) float64 {
		f, ok := factor(&p.Duty, stated, of)
		if !ok {
			notes = append(notes, "what the match makes of the run's course is no single factor: it does not act on "+x.name+" as measured")
		}
		return f
	}
	d.Switches = d.Switches.Clone()
	d.Water, d.Heaters = slices.Clone(d.Water), slices.Clone(d.Heaters)
	lit := false
	for _, x := range a.inputs {
		s := x.signal(a.model.Begins)
		done := true
		switch x.role {
		case trial.Ambient:
			d.Ambient = s
		case trial.Wind:
			d.Wind = times(s, as(x, func(d *duty.Duty) *duty.Signal { return &d.Wind }))
		case trial.Inlet:
			if i := circuit(p, x.of); i >= 0 {
				d.Water[i].Inlet = s
			} else {
				done = false
			}
		case trial.Flow:
			i := circuit(p, x.of)
			if i < 0 || slices.ContainsFunc(d.Pumps, func(q duty.Pump) bool { return slices.Contains(q.Circuits, i) }) {
				notes = append(notes, x.name+" does not drive the run: its circuit is fed by a pump there")
				done = false
				break
			}
			f := as(x, func(d *duty.Duty) *duty.Signal { return &d.Water[i].Flow })
			flowing(d, i, times(s, f), x.top*f)
		case trial.HeaterPower:
			i := -1
			for k := range p.Receiver.Heaters {
				if p.Receiver.Heaters[k].Name == x.of {
					i = k
				}
			}
			if done = i >= 0 && i < len(d.Heaters); done {
				f := as(x, func(d *duty.Duty) *duty.Signal { return &d.Heaters[i] })
				d.Heaters[i], d.Switches.Heaters[i] = times(s, f), true
				d.Strip(func(c duty.Action) bool { return c.What == duty.SetHeater && c.Index == i })
			}
		case trial.LightPower, trial.LampPower, trial.Irradiance:
			share, known := uptakes[x.name]
			if !lit && (known || x.role == trial.LightPower) {
				s = times(s, as(x, func(d *duty.Duty) *duty.Signal {
					if d.Light == nil {
						return nil
					}
					return &d.Light.Power
				}))
			}
			switch {
			case lit:
				done = false
			case known:
				if d.Light != nil && !d.Light.Absorbed {
					notes = append(notes, `the "uptake" of `+x.name+` says what goes into the receiver: absorptance and glass of the run do not act on it`)
				}
				shine(d, times(s, share), true)
			case x.role == trial.LightPower:
				shine(d, s, false)
			default:
				notes = append(notes, x.name+` does not drive the run: what of it goes into the receiver is not said ("uptake")`)
				done = false
			}
			lit = lit || done
		}
		if done {
			driven = append(driven, x.name)
		}
	}
	return driven, notes
}

func circuit(p *heat.Problem, name string) int {
	for i := range p.Receiver.Circuits {
		if p.Receiver.Circuits[i].Name == name && i < len(p.Duty.Water) {
			return i
		}
	}
	return -1
}

// shine sets the light; absorbed tells that the block takes it up whole.
func shine(d *duty.Duty, s duty.Signal, absorbed bool) {
	l := duty.Light{}
	if d.Light != nil {
		l = *d.Light
	}
	l.Power, l.Peak, l.Absorbed = s, false, absorbed
	for i := range l.Power.V {
		l.Power.V[i] = max(l.Power.V[i], 0)
	}
	d.Light, d.Switches.Light = &l, true
	d.Strip(func(a duty.Action) bool { return a.What == duty.SetLight })
}

// flowing sets a circuit's flow, and lets it stand as the run has it at its start while nothing flows: below a hundredth
// of the largest flow seen.
func flowing(d *duty.Duty, i int, s duty.Signal, top float64) {
	least := 0.01 * top
	still := d.Switches.Water[i]
	if still == duty.Flowing {
		still = duty.Drained
	}
	d.Throttle = slices.DeleteFunc(slices.Clone(d.Throttle), func(c duty.Control) bool { return c.Circuit == i })
	d.Strip(func(a duty.Action) bool {
		return (a.What == duty.SetWater || a.What == duty.SetFlowShare) && a.Index == i
	})
	d.Switches.Water[i] = still
	if i < len(d.Switches.FlowShare) {
		d.Switches.FlowShare[i] = 1
	}
	state := still
	for k := range s.T {
		want := still
		if s.V[k] > least {
			want = duty.Flowing
		}
		if want == state {
			continue
		}
		at := max(s.T[k], 0)
		if want == duty.Flowing && k > 0 { // it began within the line before
			f := (least - s.V[k-1]) / (s.V[k] - s.V[k-1])
			at = max(s.T[k-1]+f*(s.T[k]-s.T[k-1]), 0)
		}
		state = want
		d.Events = append(d.Events, duty.Event{At: at, Name: "water as measured", Do: []duty.Action{{What: duty.SetWater, Index: i, Value: float64(want)}}})
	}
	slices.SortStableFunc(d.Events, func(a, b duty.Event) int { return cmp.Compare(a.At, b.At) })
	for k := range s.V { // a flow of nothing is no flow that a tube can be computed with
		s.V[k] = max(s.V[k], least)
	}
	d.Water[i].Flow = s
}

// times is a signal times a factor.
func times(s duty.Signal, factor float64) duty.Signal {
	v := slices.Clone(s.V)
	for i := range v {
		v[i] *= factor
	}
	return duty.Signal{T: s.T, V: v, Step: s.Step}
}
