package heat

import (
	"math"

	"emberbank/kernel"
)

// lastStep is what the last accepted step left behind, so that rows of the history can be read within it: the
// step's length follows the error, not the wish for rows.
type lastStep struct {
	from, tau float64 // s
	to        float64 // s, its end: from + tau but for rounding
	pane      float64 // K at its start
	lagged    []float64
	faces     []float64 // K: of the skin, kept over attempts and rows
	tips      []float64 // 1: likewise
	heat      []float64 // W, of the slices, likewise
	bore      []float64 // K
	mean      []float64 // K
	end       standing
}

// keep remembers what an attempt or a row overwrites though it is only an iterate: the temperatures of faces and
// bores and the heat of the slices, from which the next films are found.
func (l *lastStep) keep(m *march) {
	l.faces, l.tips = append(l.faces[:0], m.skin.T...), m.keepTips(l.tips)
	l.heat, l.bore, l.mean = l.heat[:0], l.bore[:0], l.mean[:0]
	for i := range m.tubes.slices {
		l.heat = append(l.heat, m.tubes.slices[i].heat)
		l.bore = append(l.bore, m.tubes.slices[i].bore)
		l.mean = append(l.mean, m.tubes.slices[i].mean)
	}
}

// keepTips copies the skin's tips into kept; where no medium melts at one temperature there are none.
func (m *march) keepTips(kept []float64) []float64 {
	if !m.net.sharp {
		return kept[:0]
	}
	return append(kept[:0], m.skin.tips...)
}

// putBack undoes what came since keep.
func (l *lastStep) putBack(m *march) {
	copy(m.skin.T, l.faces)
	copy(m.skin.tips, l.tips)
	for i := range m.tubes.slices {
		m.tubes.slices[i].heat, m.tubes.slices[i].bore, m.tubes.slices[i].mean = l.heat[i], l.bore[i], l.mean[i]
	}
}

// rowsWithin records the rows of output times that lie strictly within the last step. The enthalpies between are
// those of a parabola that meets both ends, bowed as far as the rates at both agree on, of the order of the scheme; water
// and pane, stepped implicitly, lie on straight lines. Afterwards everything stands at the end of the step again.
func (m *march) rowsWithin(out *int) error {
	if *out >= len(m.keeps) || m.keeps[*out].t >= m.t {
		return nil
	}
	s, last, end := m.s, &m.last, m.t
	now := &m.last.end
	now.keep(m)
	var failed error
	for first := true; *out < len(m.keeps) && m.keeps[*out].t < end; first = false {
		m.t = m.keeps[*out].t
		if first {
			s.y0, s.yb = s.yb, s.y0 // the end's enthalpies wait in yb
			s.t0, s.ta = s.ta, s.t0 // and its temperatures in ta
			rows := 0
			for *out+rows < len(m.keeps) && m.keeps[*out+rows].t < end {
				rows++
			}
			m.rec.tally.outlined(m, rows)
		}
		if failed = m.rowAt((m.t-last.from)/last.tau, now); failed != nil {
			break
		}
		m.rec.keepNow(m.keeps[*out])
		*out++
	}
	m.rec.tally.outline.of = false
	m.t = end
	s.y0, s.yb = s.yb, s.y0
	s.t0, s.ta = s.ta, s.t0
	now.putBack(m)
	return failed
}

// rowAt finds what a row shows at the fraction x of the last step, which is the present time.
func (m *march) rowAt(x float64, end *standing) error {
	n := m.rec.moment
	n.supply()
	var beside func(k int)
	if n.opened = !m.net.sharp; n.opened { // else fronts go on within a step, and with them the faces' half cells
		beside = n.jobs.open.plane
	}
	m.between(x, end, beside)
	m.s.elapsed = m.t - m.last.from
	n.within = true
	err := m.rec.show()
	n.within, n.opened = false, false
	return err
}

// standing keeps what between overwrites; its memory is used again.
type standing struct {
	h, mass [][]float64
	pane    float64
	lagged  []float64
	faces   []float64
	tips    []float64
	heat    []float64
	bore    []float64
	mean    []float64
	water   []float64 // J, heat content of each circuit
}

func (n *standing) keep(m *march) {
	n.lagged = append(n.lagged[:0], m.rec.lagged...)
	n.faces, n.tips = append(n.faces[:0], m.skin.T...), m.keepTips(n.tips)
	if n.h == nil {
		n.h, n.mass = make([][]float64, len(m.streams)), make([][]float64, len(m.streams))
	}
	n.water = n.water[:0]
	for i, w := range m.streams {
		n.water = append(n.water, w.content())
		n.h[i] = append(n.h[i][:0], w.h...)
		n.mass[i] = append(n.mass[i][:0], w.mass...)
	}
	n.heat, n.bore, n.mean = n.heat[:0], n.bore[:0], n.mean[:0]
	for i := range m.tubes.slices {
		n.heat = append(n.heat, m.tubes.slices[i].heat)
		n.bore = append(n.bore, m.tubes.slices[i].bore)
		n.mean = append(n.mean, m.tubes.slices[i].mean)
	}
	if m.skin.pane != nil {
		n.pane = m.skin.pane.T
	}
}

// between sets the state at the fraction x of the last step and adds up what a row shows of the cells. Enthalpies of
// the step's start are in ya, of its end in yb. Beside is for tally.rowWithin.
func (m *march) between(x float64, n *standing, beside func(k int)) {
	tau := m.last.tau
	m.rec.tally.rowWithin(kernel.Course{On: x, Bow: x * (1 - x) * tau, Inv: 1 / tau}, beside)
	for i, w := range m.streams {
		w.shut.back = (1 - x) * (w.shut.pOld - w.shut.p)
		for j := range w.h {
			w.h[j] = w.hOld[j] + x*(n.h[i][j]-w.hOld[j])
			w.mass[j] = w.massOld[j] + x*(n.mass[i][j]-w.massOld[j])
		}
	}
	if p := m.skin.pane; p != nil {
		p.T = m.last.pane + x*(n.pane-m.last.pane)
	}
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

func (n *standing) putBack(m *march) {
	for i, w := range m.streams {
		w.shut.back = 0
		copy(w.h, n.h[i])
		copy(w.mass, n.mass[i])
	}
	if m.skin.pane != nil {
		m.skin.pane.T = n.pane
	}
	copy(m.rec.lagged, n.lagged)
	copy(m.skin.T, n.faces)
	copy(m.skin.tips, n.tips)
	for i := range m.tubes.slices {
		m.tubes.slices[i].heat, m.tubes.slices[i].bore, m.tubes.slices[i].mean = n.heat[i], n.bore[i], n.mean[i]
	}
}
