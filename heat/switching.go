package heat

import (
	"fmt"
	"math"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/optics"
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
			Max: [2]float64{m.b.g.Lines[1][j+1], m.b.g.Lines[2][k+1]}})
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
	if !l.Absorbed {
		if g := win.Glass; g != nil {
			m.inPane = m.perWatt * g.Absorptance
			m.perWatt *= g.Transmittance
		}
		m.perWatt *= win.Absorptance
	}
	return nil
}

// water brings every circuit to what the switches ask for; at the start a flowing circuit has been flowing for
// long, later it fills with water from the inlet.
func (m *march) water(start bool) error {
	sw := &m.player.Switches
	for i, w := range m.streams {
		want := sw.Water[i]
		if want == w.state {
			continue
		}
		d := &m.p.Duty.Water[i]
		name := m.b.rec.Circuits[i].Name
		if want != duty.Drained {
			if err := w.setPressure(d.Pressure.At(m.t)); err != nil {
				return fmt.Errorf("circuit %s: %w", name, err)
			}
			w.inletT = d.Inlet.At(m.t)
			w.inlet = w.iso.Enthalpy(w.inletT)
		}
		before := w.state
		w.state = want
		hot, where := m.hottestBore(w)
		switch {
		case want == duty.Drained:
			w.drain()
		case before == duty.Drained:
			w.fill(m.tubes)
			if start && want == duty.Flowing {
				if err := m.settle(w, i); err != nil {
					return err
				}
			}
			m.rec.wetting(i, hot, where)
		}
		if want == duty.Closed {
			m.rec.closing(i, hot, where)
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

// settle gives a circuit the profile of a flow that has lasted.
func (m *march) settle(w *stream, i int) error {
	s := m.s
	m.net.update(s.team, s.y0, s.f1, 0)
	m.tubes.couple(m.net)
	m.tubes.measure(s.t0, s.pad)
	for range 4 { // film and profile agree after a few passes
		if err := m.flows(weatherAt(&m.p.Duty, m.t).tilt); err != nil {
			return err
		}
		w.start(m.tubes)
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

// flows sets every circuit's flow, inlet and pressure for the coming step, then the resistances of its chain.
func (m *march) flows(tilt float64) error {
	sw := &m.player.Switches
	for i, w := range m.streams {
		d := &m.p.Duty.Water[i]
		if w.state == duty.Drained {
			w.flow = 0
			w.links(m.tubes, tilt)
			continue
		}
		if err := w.setPressure(d.Pressure.At(m.t)); err != nil {
			return fmt.Errorf("circuit %s: %w", m.b.rec.Circuits[i].Name, err)
		}
		w.inletT = d.Inlet.At(m.t)
		w.inlet = w.iso.Enthalpy(w.inletT)
		w.flow = 0
		if w.state == duty.Flowing && !d.Flow.Empty() {
			w.flow = d.Flow.At(m.t) * sw.FlowShare[i]
		}
	}
	m.pumps(tilt)
	for _, c := range m.p.Duty.Throttle {
		if w := m.streams[c.Circuit]; w.state == duty.Flowing {
			m.throttle(w, c, tilt)
		}
	}
	for i, w := range m.streams {
		if w.state == duty.Flowing && !(w.flow > 0) {
			return fmt.Errorf("circuit %s flows at %g kg/s at %.6g s: a flowing circuit needs a flow above zero; close or drain it instead", m.b.rec.Circuits[i].Name, w.flow, m.t)
		}
		if w.state != duty.Drained {
			w.links(m.tubes, tilt)
		}
	}
	for _, si := range m.tubes.fixed {
		s := &m.tubes.slices[si]
		p := &m.b.rec.Passes[s.pass]
		if p.Line == 0 {
			m.tubes.solidLinks(s, p.Fluid)
			s.filmR = 0
			if p.FilmFixed > 0 && !p.FilmNone {
				s.filmR = 1 / (p.FilmFixed * math.Pi * p.Inner * s.length)
			}
		}
		s.conductance()
	}
	return nil
}

// pumps divides each pump's flow so that its circuits have the same pressure drop.
func (m *march) pumps(tilt float64) {
	for _, p := range m.p.Duty.Pumps {
		total := p.Flow.At(m.t)
		var on []*stream
		for _, i := range p.Circuits {
			if w := m.streams[i]; w.state == duty.Flowing {
				on = append(on, w)
			}
		}
		if len(on) == 0 {
			continue
		}
		share := make([]float64, len(on))
		sum := 0.0
		for i, w := range on {
			share[i] = w.pumped
			if share[i] <= 0 {
				share[i] = 1
			}
			sum += share[i]
		}
		for i := range share {
			share[i] *= total / sum
		}
		even := false
		for range 100 {
			mean, lo, hi := 0.0, inf, 0.0
			drops := make([]float64, len(on))
			for i, w := range on {
				drops[i] = math.Max(w.pressureDrop(m.tubes, share[i], tilt), 1e-6)
				mean += drops[i] / float64(len(on))
				lo, hi = math.Min(lo, drops[i]), math.Max(hi, drops[i])
			}
			if even = hi-lo <= 1e-5*mean; even {
				break
			}
			sum = 0
			for i := range share {
				share[i] *= math.Pow(mean/drops[i], 1/1.9)
				sum += share[i]
			}
			for i := range share {
				share[i] *= total / sum
			}
		}
		if !even {
			m.warn("a pump's flow could not be divided to equal pressure drops in its circuits within 1e-5; the last division stands")
		}
		for i, w := range on {
			w.flow, w.pumped = share[i], share[i]
		}
	}
}

// throttle sets the flow so that the steady outlet, with the films of that flow, holds the wanted temperature,
// within the control's limits.
func (m *march) throttle(w *stream, c duty.Control, tilt float64) {
	excess := func(flow float64) float64 {
		w.flow = flow
		w.links(m.tubes, tilt)
		w.sweep(m.tubes, 0)
		return m.tubes.slices[w.slices[len(w.slices)-1]].fluid - c.Outlet
	}
	w.held = ""
	hi, lo := c.Max, c.Min
	atHi := excess(hi)
	if atHi >= 0 {
		w.held = "at its largest flow the outlet is hotter than asked"
		return
	}
	atLo := excess(lo)
	if atLo <= 0 {
		w.held = "at its smallest flow the outlet is cooler than asked"
		return
	}
	// The outlet falls as the flow rises: false position, every third time a halving so that it cannot stall.
	for i := range 90 {
		mid := (lo*atHi - hi*atLo) / (atHi - atLo)
		if i%3 == 2 {
			mid = 0.5 * (lo + hi)
		}
		f := excess(mid)
		if f > 0 {
			lo, atLo = mid, f
		} else {
			hi, atHi = mid, f
		}
		if math.Abs(f) < 1e-4 || hi-lo < 1e-9*hi {
			return
		}
	}
}

// watch returns the present value of what a rule looks at.
func (m *march) watch(w duty.Watch) float64 { return m.valueOf(w, m.s.y0, false) }

// watchNew is watch for the candidate of the step.
func (m *march) watchNew(w duty.Watch) float64 { return m.valueOf(w, m.s.ya, true) }

func (m *march) valueOf(w duty.Watch, y []float64, candidate bool) float64 {
	b := m.b
	switch w.What {
	case duty.WatchBlockMean:
		return m.blockMean(y)
	case duty.WatchBlockMax:
		T := 0.0
		for _, c := range b.inBlock {
			T = math.Max(T, b.enthalpy[b.medium[c]].Temperature(y[c]))
		}
		return T
	case duty.WatchOutlet:
		s := m.streams[w.Index]
		h := s.h
		if candidate {
			h = s.hNew
		}
		T, _ := s.outlet(h)
		return T
	case duty.WatchLight:
		if candidate {
			return m.lightBefore(m.t + m.s.tau)
		}
		return m.lightAt(m.t)
	case duty.WatchMelted:
		return m.melted(y)
	case duty.WatchProbe:
		return m.rec.probe(w.Probe, y, candidate)
	}
	panic("heat: a rule watches something unknown")
}

func (m *march) blockMean(y []float64) float64 {
	sum := 0.0
	for _, c := range m.b.inBlock {
		sum += m.b.volume[c] * m.b.enthalpy[m.b.medium[c]].Temperature(y[c])
	}
	return sum / m.b.blockVol
}

// melted returns the melted share of what can melt in the block, by latent heat.
func (m *march) melted(y []float64) float64 {
	all, sum := 0.0, 0.0
	for _, c := range m.b.inBlock {
		if l := m.b.rec.Media[m.b.medium[c]].Latent; l > 0 {
			all += m.b.mass[c] * l
			sum += m.b.mass[c] * l * m.b.enthalpy[m.b.medium[c]].Melted(y[c])
		}
	}
	if all == 0 {
		return 0
	}
	return sum / all
}

// place returns the temperature at a point in K: the cell's own, with straight lines from its centre to its
// faces, where neighbours in series carry the same heat and free faces have their own temperature.
func (m *march) place(at block.Point, t []float64) float64 {
	b := m.b
	var idx [3]int
	for a := range 3 {
		idx[a] = b.g.Find(block.Axis(a), at[a])
		if idx[a] < 0 {
			return math.NaN()
		}
	}
	c := b.g.Index(idx[0], idx[1], idx[2])
	if b.medium[c] < 0 {
		c = m.nearSolid(idx, at)
		if c < 0 {
			return math.NaN()
		}
		idx[0], idx[1], idx[2] = b.g.Place(c)
	}
	pad := m.s.pad
	T := t[pad+c]
	out := T
	for a := range 3 {
		d := at[a] - b.g.Centre(block.Axis(a), idx[a])
		half := 0.5 * b.g.Size(block.Axis(a), idx[a])
		if d == 0 {
			continue
		}
		side := block.Side(2 * a)
		if d > 0 {
			side++
		}
		Tf := T
		nb, inside := b.neighbour(c, idx[0], idx[1], idx[2], side)
		if inside && b.medium[nb] >= 0 {
			mine := m.net.k[a][c] / half
			theirs := m.net.k[a][nb] / (0.5 * b.g.Size(block.Axis(a), idx[a]+int(side.Sign())))
			Tf = (mine*T + theirs*t[pad+nb]) / (mine + theirs)
		} else if f := m.faceOf(c, side); f >= 0 {
			Tf = m.skin.T[f]
		}
		out += (Tf - T) * math.Min(1, math.Abs(d)/half)
	}
	return out
}

// nearSolid returns a solid cell that touches the point: one beside the cell idx that holds it, -1 if none.
func (m *march) nearSolid(idx [3]int, at block.Point) int {
	b := m.b
	for a := range 3 {
		lo := b.g.Lines[a][idx[a]]
		if idx[a] > 0 && at[a]-lo < 1e-9 {
			q := idx
			q[a]--
			if c := b.g.Index(q[0], q[1], q[2]); b.medium[c] >= 0 {
				return c
			}
		}
	}
	// In a bore: the nearest cell around it.
	best, bestD := -1, inf
	for di := -2; di <= 2; di++ {
		for dj := -2; dj <= 2; dj++ {
			for dk := -2; dk <= 2; dk++ {
				q := [3]int{idx[0] + di, idx[1] + dj, idx[2] + dk}
				d := 0.0
				ok := true
				for a := range 3 {
					if q[a] < 0 || q[a] >= b.g.N(block.Axis(a)) {
						ok = false
						break
					}
					d += math.Pow(b.g.Centre(block.Axis(a), q[a])-at[a], 2)
				}
				if !ok || d >= bestD {
					continue
				}
				if c := b.g.Index(q[0], q[1], q[2]); b.medium[c] >= 0 && b.isBore[b.g.Index(idx[0], idx[1], idx[2])] {
					best, bestD = c, d
				}
			}
		}
	}
	return best
}

// faceOf returns the free face of a cell on a side, -1 if there is none.
func (m *march) faceOf(c int, side block.Side) int {
	b := m.b
	k := c / (b.nx * b.ny)
	for i := b.planeFaces[k]; i < b.planeFaces[k+1]; i++ {
		if f := &b.faces[i]; int(f.cell) == c && f.side == side {
			return i
		}
	}
	return -1
}
