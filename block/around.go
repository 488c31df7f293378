package block

import "math"

// lead sets what leads around the hole of a pattern. Cells are removed whole: heat that passes the tube finds a hole of
// that shape, not a round one. So that it finds the round one's resistance, what leads from the cells on the hole's one side
// to those on its other is found, for either direction: with the exact field of an empty hole in an even flow of heat on the
// patch's edge, the heat that enters there, weighted by the exact field of an even flow, must be the exact one. Nothing is
// taken away where the removed cells block less than the hole.
//
// Source: the exact field is that of conduction around an elliptic hole in confocal coordinates (Carslaw & Jaeger, Conduction
// of Heat in Solids, 2nd ed. 1959; from memory); the fit is derived here.
func (c *patch) lead(m *patchMatrix, p *pattern) {
	for axis := range p.ways {
		field, rise := c.passingX, func(x, _ float64) float64 { return x }
		if axis == 1 {
			field, rise = c.passingY, func(_, y float64) float64 { return y }
		}
		side, most := make([]float64, m.n), 0.0
		for i := range p.links {
			k := &p.links[i]
			side[k.i+c.nx*k.j] = k.side[axis]
			most += k.shape
		}
		if !Balance(side) {
			continue
		}
		rhs, weight, want := make([]float64, m.n), make([]float64, m.n), 0.0
		for _, e := range m.edges {
			rhs[e.cell] += e.g * field(e.x, e.y)
			weight[e.cell] += e.g * rise(e.x, e.y)
		}
		for cell, w := range weight {
			if w != 0 {
				want += w * field(c.cx(cell%c.nx), c.cy(cell/c.nx))
			}
		}
		t, e := m.solve(rhs), m.solve(side)
		have, step, across, own := 0.0, 0.0, 0.0, 0.0
		for cell := range t {
			have += weight[cell] * t[cell]
			step += weight[cell] * e[cell]
			across += side[cell] * t[cell]
			own += side[cell] * e[cell]
		}
		// With a way w around, t falls by w (side·t)/(1 + w side·e) e.
		share := (have - want) / (across * step)
		if way := share / (1 - share*own); share > 0 {
			if !(way > 0 && way < most) {
				way = most
			}
			p.ways[axis] = way
		}
	}
}

// Balance makes sides shares of one watt that leads around a hole: what faces it from above adds up to 1, what does so from
// below to -1. It returns false, and leaves them, where links face the hole from one side only.
func Balance(side []float64) bool {
	up, down := 0.0, 0.0
	for _, s := range side {
		up += math.Max(0, s)
		down += math.Max(0, -s)
	}
	if !(up > 0 && down > 0) {
		return false
	}
	for i, s := range side {
		if s > 0 {
			side[i] /= up
		} else {
			side[i] /= down
		}
	}
	return true
}
