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
func (c *patch) lead(p *pattern) {
	m := newPatchMatrix(c, nil, p.removed)
	f := m.factor(0)
	for axis := range p.ways {
		field, rise := c.passingX, func(x, _ float64) float64 { return x }
		if axis == 1 {
			field, rise = c.passingY, func(_, y float64) float64 { return y }
		}
		side := sides(p.links, axis, func(k *reach) int { return k.i + c.nx*k.j }, m.n)
		if side == nil {
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
		t, e := f.solve(rhs), f.solve(side)
		have, step, across, own := 0.0, 0.0, 0.0, 0.0
		for cell := range t {
			have += weight[cell] * t[cell]
			step += weight[cell] * e[cell]
			across += side[cell] * t[cell]
			own += side[cell] * e[cell]
		}
		// With a way w around, t falls by w (side·t)/(1 + w side·e) e.
		share := (have - want) / (across * step)
		most := 0.0
		for i := range p.links {
			most += p.links[i].shape
		}
		if way := share / (1 - share*own); share > 0 {
			if !(way > 0 && way < most) {
				way = most
			}
			p.ways[axis] = way
		}
	}
}

// sides returns by how much of one watt that leads around a hole each cell gives and takes along an axis; nil where links
// face the hole from one side only.
func sides(links []reach, axis int, cell func(*reach) int, n int) []float64 {
	up, down := 0.0, 0.0
	for i := range links {
		up += math.Max(0, links[i].side[axis])
		down += math.Max(0, -links[i].side[axis])
	}
	if !(up > 0 && down > 0) {
		return nil
	}
	out := make([]float64, n)
	for i := range links {
		if s := links[i].side[axis]; s > 0 {
			out[cell(&links[i])] += s / up
		} else {
			out[cell(&links[i])] += s / down
		}
	}
	return out
}
