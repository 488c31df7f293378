package heat

import (
	"fmt"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/optics"
	"emberbank/water"
)

// shine shares the light over the window's faces and finds what block and pane absorb of each unit of it.
func (m *march) shine() error {
	l, win := m.p.Duty.Light, m.b.rec.Window
	if l == nil {
		return nil
	}
	if win == nil {
		return fmt.Errorf("the duty shines a light, but the receiver has no window")
	}
	var rects []optics.Rect
	var index []int
	for i := range m.b.faces {
		f := &m.b.faces[i]
		if m.b.patches[f.patch].surface != nil {
			continue
		}
		_, j, k := m.b.g.Place(int(f.cell))
		rects = append(rects, optics.Rect{
			Min: [2]float64{m.b.g.Lines[1][j], m.b.g.Lines[2][k]},
			Max: [2]float64{m.b.g.Lines[1][j+1], m.b.g.Lines[2][k+1]},
		})
		index = append(index, i)
	}
	if len(rects) == 0 {
		return fmt.Errorf("the window's opening covers no face of the block")
	}
	shares, meanOverPeak := optics.Shares(l.Map, win.Opening, rects)
	for q, i := range index {
		m.b.faces[i].share = shares[q]
	}
	m.perWatt = 1
	if l.Peak {
		o := win.Opening
		m.perWatt = meanOverPeak * (o.Max[1] - o.Min[1]) * (o.Max[2] - o.Min[2])
	}
	m.falling = m.perWatt
	if !l.Absorbed {
		face, pane := optics.Uptake(win, l.Angles)
		m.inPane = m.perWatt * pane
		m.perWatt *= face
	}
	return nil
}

// water brings every circuit to what the switches ask for; at the start a flowing circuit has been flowing for
// long, later it fills with water from the inlet.
func (m *march) water(start bool) error {
	if !start {
		m.endMisses()
	}
	sw := &m.player.Switches
	lasts := false // a flow, at the start
	if m.jumps() { // then a row shows the water as it stands
		m.s.elapsed = 0
		for _, w := range m.streams {
			w.lead, w.span = 0, 0
		}
	}
	for i, w := range m.streams {
		w.tauOld, w.share = 0, sw.FlowShare[i] // nothing goes on as before
		want := sw.Water[i]
		if want == w.state {
			continue
		}
		d := &m.p.Duty.Water[i]
		name := m.b.rec.Circuits[i].Name
		if w.state == duty.Closed {
			w.unseal()
		}
		if want != duty.Drained {
			if err := w.setPressure(m.tubes, d.Pressure.At(m.t)); err != nil {
				return fmt.Errorf("circuit %s: %w", name, err)
			}
			w.inletT = d.Inlet.At(m.t)
			w.inletEnd = w.iso.Enthalpy(w.inletT)
			w.inlet = w.inletEnd
		}
		before := w.state
		w.state, w.switched = want, !start
		w.rebase()
		hot, where := m.hottestBore(w)
		switch {
		case want == duty.Drained:
			w.drain()
		case before == duty.Drained:
			w.fill(m.tubes)
			lasts = lasts || start && want == duty.Flowing
			w.unwetted = !start
			if start && want != duty.Flowing { // it has stood there before
				m.rec.pressing(i, hot, where)
			} else {
				m.rec.wetting(i, hot, where)
			}
		case want == duty.Flowing && w.filled(m.tubes) < dryShare:
			w.unwetted = true
			m.rec.wetting(i, hot, where)
		}
		if want == duty.Closed {
			w.seal(m.tubes)
			m.rec.closing(i, hot, where)
		}
	}
	if lasts {
		if err := m.settle(); err != nil {
			return err
		}
	}
	if start { // water that stands in the tubes at the start is part of what the body holds then
		for _, w := range m.streams {
			w.carried = 0
		}
		m.rec.start = m.content()
	}
	return nil
}

// jumps tells whether the water of any circuit is switched now, or its flow, inlet or pressure jumps.
func (m *march) jumps() bool {
	sw := &m.player.Switches
	for i, w := range m.streams {
		if sw.Water[i] != w.state || sw.FlowShare[i] != w.share {
			return true
		}
		d := &m.p.Duty.Water[i]
		for _, s := range []*duty.Signal{&d.Flow, &d.Inlet, &d.Pressure} {
			if !s.Empty() && s.Before(m.t) != s.At(m.t) {
				return true
			}
		}
	}
	for i := range m.p.Duty.Pumps {
		if s := &m.p.Duty.Pumps[i].Flow; s.Before(m.t) != s.At(m.t) {
			return true
		}
	}
	return false
}

// dryShare is the share of a circuit's volume that liquid fills at the most where its tubes count as dry.
const dryShare = 0.05

// filled returns the share of a circuit's volume that liquid fills.
func (w *stream) filled(t *tubes) float64 {
	liquid, volume := 0.0, 0.0
	for i, si := range w.slices {
		iso := w.at[i]
		liquid += w.mass[i] * (1 - clamp(iso.quality(w.h[i]), 0, 1)) / iso.Liquid.Density
		volume += t.slices[si].volume
	}
	return liquid / volume
}

// settle gives the circuits that flow the profile of a flow that has lasted: all together, since those of a pump share
// its flow by what stands in each.
func (m *march) settle() error {
	s := m.s
	m.net.update(s.team, s.y0, s.f1, 0)
	m.tubes.couple(m.net)
	m.tubes.measure(s.t0, s.pad)
	for range 4 { // film and profile agree after a few passes
		if err := m.flows(WeatherAt(&m.p.Duty, m.t).Tilt, 0); err != nil {
			return err
		}
		for _, w := range m.streams {
			if w.state == duty.Flowing {
				w.start(m.tubes)
			}
		}
	}
	return nil
}

// hottestBore returns the hottest cell along a circuit's tubes in K and the pass where it is.
func (m *march) hottestBore(w *stream) (T float64, pass string) {
	T = 0
	for _, si := range w.slices {
		s := &m.tubes.slices[si]
		for q := s.first; q < s.last; q++ {
			if x := m.s.t0[m.s.pad+int(m.tubes.links[q].cell)]; x > T {
				T, pass = x, m.b.rec.Passes[s.pass].Name
			}
		}
	}
	return T, pass
}

// flows sets every circuit's flow, inlet and pressure for the coming step of tau (s), or with 0 for the moment, then
// the resistances of its chain. The flow is that of the step's middle, the inlet the mean of its two ends; where the
// water settles within the step, it ends with the inlet of the step's end.
func (m *march) flows(tilt, tau float64) error {
	sw := &m.player.Switches
	for i, w := range m.streams {
		d := &m.p.Duty.Water[i]
		if w.state == duty.Drained {
			w.flow = 0
			w.links(m.tubes, tilt, tau)
			continue
		}
		p := d.Pressure.At(m.t)
		if w.state == duty.Closed {
			p = math.Min(w.shut.p, water.IsobarHighest)
		}
		if err := w.setPressure(m.tubes, p); err != nil {
			return fmt.Errorf("circuit %s: %w", m.b.rec.Circuits[i].Name, err)
		}
		w.inletT = d.Inlet.At(m.t)
		w.inlet = w.iso.Enthalpy(w.inletT)
		w.inletEnd = w.inlet
		if tau > 0 {
			w.inletT = d.Inlet.Before(m.t + tau)
			w.inletEnd = w.iso.Enthalpy(w.inletT)
			w.inlet = 0.5 * (w.inlet + w.inletEnd)
		}
		w.flow, w.surge, w.surgeKnown = 0, 0, false
		if w.state == duty.Flowing && !d.Flow.Empty() {
			w.flow = d.Flow.At(m.t+0.5*tau) * sw.FlowShare[i]
			w.surgeKnown = true
			if tau > 0 && w.flow > 0 {
				w.surge = (d.Flow.Before(m.t+tau) - d.Flow.At(m.t)) * sw.FlowShare[i] / w.flow
			}
		}
	}
	m.pumps(tilt, m.t+0.5*tau)
	for _, c := range m.p.Duty.Throttle {
		if w := m.streams[c.Circuit]; w.state == duty.Flowing {
			m.throttle(w, c, tilt, tau)
		}
	}
	m.serve(tilt, tau)
	for i, w := range m.streams {
		if w.state == duty.Flowing && !(w.flow > 0) {
			return fmt.Errorf("circuit %s flows at %g kg/s at %.6g s: a flowing circuit needs a flow above zero; close or drain it instead", m.b.rec.Circuits[i].Name, w.flow, m.t)
		}
		if w.state != duty.Drained {
			if tau > 0 || w.tauOld == 0 { // a row within a march leaves the tables alone
				if err := w.setPressures(m.tubes, tilt); err != nil {
					return fmt.Errorf("circuit %s: %w", m.b.rec.Circuits[i].Name, err)
				}
			}
			w.beginLinks(m.tubes, tilt, tau)
		}
	}
	if slices.ContainsFunc(m.streams, func(w *stream) bool { return w.state != duty.Drained }) {
		m.linked = append(m.linked[:0], m.streams...)
		m.s.team.each(&m.linkJob)
	}
	for _, si := range m.tubes.fixed {
		s := &m.tubes.slices[si]
		p := &m.b.rec.Passes[s.pass]
		if p.Line == 0 {
			m.tubes.solidLinks(s, p, p.Fluid)
			s.filmR = 0
			if p.FilmFixed > 0 && !p.FilmNone {
				s.filmR = 1 / (p.FilmFixed * s.inner)
			}
		}
		m.tubes.conductance(s)
	}
	return nil
}
