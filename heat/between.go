package heat

import "math"

// lastStep is what the last accepted step left behind, so that rows of the history can be read within it: the
// step's length follows the error, not the wish for rows.
type lastStep struct {
	from, tau float64 // s
	pane      float64 // K at its start
	lagged    []float64
	faces     []float64 // K: of the skin, kept over attempts and rows
	heat      []float64 // W, of the slices, likewise
	bore      []float64 // K
}

// keep remembers what an attempt or a row overwrites though it is only an iterate: the temperatures of faces and
// bores and the heat of the slices, from which the next films are found.
func (l *lastStep) keep(m *march) {
	l.faces = append(l.faces[:0], m.skin.T...)
	l.heat, l.bore = l.heat[:0], l.bore[:0]
	for i := range m.tubes.slices {
		l.heat = append(l.heat, m.tubes.slices[i].heat)
		l.bore = append(l.bore, m.tubes.slices[i].bore)
	}
}

// putBack undoes what came since keep.
func (l *lastStep) putBack(m *march) {
	copy(m.skin.T, l.faces)
	for i := range m.tubes.slices {
		m.tubes.slices[i].heat, m.tubes.slices[i].bore = l.heat[i], l.bore[i]
	}
}

// rowsWithin records the rows of output times that lie strictly within the last step. The enthalpies between are
// those of the cubic that meets both ends with their rates (Hermite), of the order of the scheme; water and pane,
// stepped implicitly, lie on straight lines. Afterwards everything stands at the end of the step again.
func (m *march) rowsWithin(out *int) error {
	if *out >= len(m.p.Output) || m.p.Output[*out] >= m.t {
		return nil
	}
	s, last, end := m.s, &m.last, m.t
	now := m.standing()
	for *out < len(m.p.Output) && m.p.Output[*out] < end {
		m.t = m.p.Output[*out]
		x := (m.t - last.from) / last.tau
		m.between(x, now)
		s.elapsed = m.t - last.from
		if err := m.present(); err != nil {
			return err
		}
		m.rec.row()
		*out++
	}
	m.t = end
	s.y0, s.yb = s.yb, s.y0 // between left the end's enthalpies in yb
	m.restore(now)
	m.readTemperatures()
	return nil
}

// standing keeps what between overwrites.
type standing struct {
	h, mass [][]float64
	pane    float64
	lagged  []float64
	faces   []float64
	heat    []float64
	bore    []float64
	first   bool
}

func (m *march) standing() *standing {
	n := &standing{first: true, lagged: append([]float64(nil), m.rec.lagged...), faces: append([]float64(nil), m.skin.T...)}
	for _, w := range m.streams {
		n.h = append(n.h, append([]float64(nil), w.h...))
		n.mass = append(n.mass, append([]float64(nil), w.mass...))
	}
	for i := range m.tubes.slices {
		n.heat = append(n.heat, m.tubes.slices[i].heat)
		n.bore = append(n.bore, m.tubes.slices[i].bore)
	}
	if m.skin.pane != nil {
		n.pane = m.skin.pane.T
	}
	return n
}

// between sets the state at the fraction x of the last step. Enthalpies of the step's start are in ya, of its end in
// y0 the first time and in yb afterwards.
func (m *march) between(x float64, n *standing) {
	s, tau := m.s, m.last.tau
	if n.first {
		s.y0, s.yb = s.yb, s.y0
		n.first = false
	}
	h00, h10 := (1+2*x)*(1-x)*(1-x), x*(1-x)*(1-x)*tau
	h01, h11 := x*x*(3-2*x), x*x*(x-1)*tau
	plane := m.b.nx * m.b.ny
	s.team.run(func(k0, k1 int) {
		for c := k0 * plane; c < k1*plane; c++ {
			s.y0[c] = h00*s.ya[c] + h01*s.yb[c] + h10*s.f0[c] + h11*s.f1[c]
		}
	})
	for i, w := range m.streams {
		for j := range w.h {
			w.h[j] = w.hOld[j] + x*(n.h[i][j]-w.hOld[j])
			w.mass[j] = w.massOld[j] + x*(n.mass[i][j]-w.massOld[j])
		}
	}
	if p := m.skin.pane; p != nil {
		p.T = m.last.pane + x*(n.pane-m.last.pane)
	}
	m.readTemperatures()
	for i := range m.p.Probes {
		p := &m.p.Probes[i]
		if p.Kind != Sensor {
			continue
		}
		T := m.rec.truth(i)
		if !math.IsNaN(m.last.lagged[i]) {
			T = follow(m.last.lagged[i], m.rec.feltOld[i], T, x*tau, p.Lag)
		}
		m.rec.lagged[i] = T
	}
}

func (m *march) restore(n *standing) {
	for i, w := range m.streams {
		copy(w.h, n.h[i])
		copy(w.mass, n.mass[i])
	}
	if m.skin.pane != nil {
		m.skin.pane.T = n.pane
	}
	copy(m.rec.lagged, n.lagged)
	copy(m.skin.T, n.faces)
	for i := range m.tubes.slices {
		m.tubes.slices[i].heat, m.tubes.slices[i].bore = n.heat[i], n.bore[i]
	}
}
