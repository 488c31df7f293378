package heat

import (
	"fmt"
	"math"

	"emberbank/duty"
)

// This file finds what circuits could give, by steady flows past the cells as they stand.

// looks finds what each circuit could give at the most, as far as it decides anything.
func (m *march) looks(wanted float64) error {
	v := m.load
	if !m.s.fresh {
		m.readTemperatures()
	}
	if m.steps == 0 { // else the last step has
		m.net.update(m.s.team, m.s.y0, m.s.f1, 0)
		m.tubes.couple(m.net)
	}
	m.tubes.measure(m.s.t0, m.s.pad)
	enough := wanted * (1 + v.l.Band)
	sum := 0.0
	for k := range v.most {
		v.most[k] = 0
		if sum >= enough && k >= v.o.Open {
			continue
		}
		if w := m.streams[v.l.Circuits[k]]; k < v.o.Open && w.tauOld > 0 && w.held != "" && w.held != tooCold && w.steer.off < 0 { // it gives its most
			v.most[k] = v.gave[k]
			sum += math.Max(v.gave[k], 0)
			continue
		}
		x, err := m.could(k, enough)
		if err != nil {
			return err
		}
		v.most[k] = x
		sum += math.Max(x, 0)
	}
	return nil
}

// could returns the most that the k-th circuit of the load could give by a steady flow past the cells as they stand, in W or
// kg/s; of steam no more than enough.
func (m *march) could(k int, enough float64) (float64, error) {
	v, t := m.load, m.tubes
	w, i := v.scouts[k], v.l.Circuits[k]
	v.kept = v.kept[:0]
	for _, si := range w.slices {
		v.kept = append(v.kept, t.slices[si])
	}
	defer func() {
		for q, si := range w.slices {
			t.slices[si] = v.kept[q]
			t.conductance(&t.slices[si])
			if m.streams[i].state == duty.Drained {
				t.cut(&t.slices[si])
			}
		}
	}()
	tilt := WeatherAt(&m.p.Duty, m.t).Tilt
	if err := m.readies(w, i); err != nil {
		return 0, err
	}
	c := v.asked(k, enough)
	given, moved := 0.0, 0.0
	for round := range scoutRounds {
		before := given
		if v.l.Steam {
			w.flow = w.steady(t, c, tilt, w.steer.flow, true)
			w.steer.known, w.steer.flow = true, w.flow
			given = c.Value + w.steer.off
		} else {
			given = w.mostHeat(t, c, tilt)
		}
		w.links(t, tilt, 0)
		w.start(t)
		if moved = shareMoved(before, given, leastGiven*enough); round > 0 && moved < scoutWithin {
			break
		}
	}
	v.trials.end(moved, scoutWithin)
	return given, nil
}

// A trial takes films and profile in turn until they agree.
const (
	scoutRounds = 12
	scoutWithin = 5e-3
	leastGiven  = 1e-3 // of what is enough: less counts as nothing
)

// readies gives a scout what circuit i is fed with now.
func (m *march) readies(w *stream, i int) error {
	d := &m.p.Duty.Water[i]
	first := w.state != duty.Flowing
	w.state, w.linkTau, w.surge = duty.Flowing, 0, 0
	if err := w.setPressure(m.tubes, d.Pressure.At(m.t)); err != nil {
		return fmt.Errorf("circuit %s: %w", m.b.rec.Circuits[i].Name, err)
	}
	w.inletT = d.Inlet.At(m.t)
	w.inlet = w.iso.Enthalpy(w.inletT)
	w.inletEnd = w.inlet
	if first {
		w.flow = m.load.l.Max
		w.fill(m.tubes)
		w.links(m.tubes, 0, 0)
		w.start(m.tubes)
	}
	return nil
}

// mostHeat returns the most heat in W that a steady flow within a control's limits carries off and still serves; 0 where none
// does.
func (w *stream) mostHeat(t *tubes, c duty.Control, tilt float64) float64 {
	h := w.leaving(t, tilt, c.Max)
	if c.Serves > 0 {
		if w.last().temperature(h) < c.Serves {
			flow, end := w.serves(t, c, tilt, c.Max)
			if h = w.leaving(t, tilt, flow); end < 0 {
				return 0
			}
		}
	}
	return w.flow * (h - w.inlet)
}

// serves returns the flow in kg/s within a control's limits at which what leaves is just hot enough to serve; end is below
// zero where it is too cold at the least flow.
func (w *stream) serves(t *tubes, c duty.Control, tilt, guess float64) (flow float64, end int) {
	p := &w.steer
	if !(p.served > 0) {
		p.served = steadyGain
	}
	want := w.last().Enthalpy(c.Serves)
	gain := p.gain
	p.gain = p.served
	flow, end = p.seek(func(flow float64) float64 { return (w.leaving(t, tilt, flow) - want) / coldCp }, guess, c.Min, c.Max, 0.1*steamWithin)
	p.gain, p.served = gain, p.gain
	return flow, end
}

// tooCold is why a circuit serves no longer.
const tooCold = "at its smallest flow it leaves too cold to serve"

// heating returns the flow in kg/s that carries the heat that is asked for, and leaves hot enough to serve.
func (w *stream) heating(t *tubes, c duty.Control, tilt, guess float64) float64 {
	p := &w.steer
	h := 0.0
	flow, end := p.seek(func(flow float64) float64 {
		h = w.leaving(t, tilt, flow)
		return 1 - flow*(h-w.inlet)/c.Value
	}, guess, c.Min, c.Max, p.within(flowWithin))
	switch {
	case end > 0:
		w.held = "at its largest flow it carries less heat than asked"
	case end < 0:
		w.held = "at its smallest flow it carries more heat than asked"
	}
	if c.Serves > 0 && w.last().temperature(h) < c.Serves {
		flow, end = w.serves(t, c, tilt, flow)
		h = w.leaving(t, tilt, flow)
		w.held = "with more flow it would leave too cold to serve"
		if end < 0 {
			w.held = tooCold
		}
	}
	if w.held != "" {
		p.off = flow*(h-w.inlet) - c.Value
	}
	return flow
}
