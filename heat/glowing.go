package heat

import (
	"math"

	"emberbank/film"
	"emberbank/kernel"
)

// glowing is room for the faces of groups that radiate in the dark and hold no front, in the order of openings: temperature and loss of
// each, what is brought to it, and its half cell's conductance. Such groups go through the kernel. Their openings are not touched, since a
// face takes longer to wait for its own than to be solved.
type glowing struct{ x, lost, brought, half []float64 }

func (w *glowing) lay(n int) {
	for _, v := range []*[]float64{&w.x, &w.lost, &w.brought, &w.half} {
		*v = make([]float64, n)
	}
}

// of returns the room for a group.
func (w *glowing) of(g *group) glowing {
	return glowing{w.x[g.from:g.to], w.lost[g.from:g.to], w.brought[g.from:g.to], w.half[g.from:g.to]}
}

// glows tells whether the faces of a group radiate and hold no front.
func (s *skin) glows(g *group) bool {
	c := &s.conds[g.patch]
	return c.eps != 0 && !c.fixed && !g.melts
}

// around returns what a patch exchanges with.
func (c *condition) around() kernel.Glow {
	return kernel.Glow{H: c.h, E: c.eps * film.StefanBoltzmann, Air: c.air, Sky: c.radiator4}
}

// glow is expandPlane for a group that glows in the dark. Of its openings the pulls alone are set.
func (s *skin) glow(g *group) {
	e, u, to := &s.expanding, &s.pulls, s.conds[g.patch].around()
	w, areas := s.glowing.of(g), s.areas[g.from:g.to]
	order, cells := s.order[g.from:g.to], u.cell[g.from:g.to]
	for at, i := range order {
		half := s.half[i]
		w.half[at], w.x[at] = half, s.T[i]
		w.brought[at] = half * e.s.net.temperature(int(cells[at]), e.s.y0, e.s.f1, e.ahead, e.fresh)
	}
	e.s.loops.Glow(w.x, w.lost, w.brought, w.half, areas, to)
	for at, i := range order {
		half := w.half[at]
		o1, o2 := bend(w.x[at], half, to.H*areas[at], to.E*areas[at])
		s.steep[i] = half * o1
		u.set(g.from+at, half, w.brought[at], w.lost[at], o1, o2)
	}
}

// solveGlowing is solve for a group that glows in the dark; what it loses, in W, is added to lost.
func (s *skin) solveGlowing(g *group, loops *kernel.Set, t, y []float64, lost *float64) float64 {
	u, w := &s.pulls, s.glowing.of(g)
	order, cells, minv := s.order[g.from:g.to], u.cell[g.from:g.to], u.minv[g.from:g.to]
	for at, i := range order {
		T, half := t[cells[at]], s.half[i]
		w.half[at], w.brought[at] = half, half*T
		w.x[at] = T - u.lost(g.from+at, T)/half
	}
	loops.Glow(w.x, w.lost, w.brought, w.half, s.areas[g.from:g.to], s.conds[g.patch].around())
	most, sum := 0.0, *lost
	for at, i := range order {
		c := cells[at]
		is := w.lost[at]
		if off := math.Abs(u.lost(g.from+at, t[c])-is) / w.half[at]; off > most {
			most = off
		}
		s.T[i] = w.x[at]
		y[c] -= minv[at] * is
		sum += is
	}
	*lost = sum
	return most
}
