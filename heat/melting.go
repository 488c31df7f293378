package heat

import (
	"math"

	"emberbank/block"
)

// frontsPlane sets the direction of the front in the cells of plane k that melt at one temperature, where it may
// count: the cell is melting, stands beside one of its medium in another phase, or has a free face.
func (n *network) frontsPlane(k int) {
	b := n.b
	for _, r := range b.runs[b.planeRuns[k]:b.planeRuns[k+1]] {
		if !n.tables[r.medium].sharp {
			continue
		}
		j := int(r.from) % n.pad / b.nx
		i := int(r.from)%n.pad - j*b.nx
		for c := int(r.from); c < int(r.to); c++ {
			if n.nearFront(c, i, j, k) {
				if a := n.axisOf(c, i, j, k); a != n.frontAxis[c] {
					n.frontAxis[c] = a
					n.moved[k*b.ny+j] = n.moved[k*b.ny+j] || n.besidePhase(c, i, j, k)
				}
			}
			if i++; i == b.nx {
				i, j = 0, j+1
			}
		}
	}
}

func (n *network) nearFront(c, i, j, k int) bool {
	b := n.b
	p := n.phase[c]
	if p == 0 || i == 0 || j == 0 || k == 0 || i == b.nx-1 || j == b.ny-1 || k == b.nz-1 {
		return true
	}
	m := b.medium[c]
	for _, d := range [6]int{c - 1, c + 1, c - b.nx, c + b.nx, c - n.pad, c + n.pad} {
		if q := b.medium[d]; q < 0 && !b.isBore[d] || q == m && n.phase[d] != p {
			return true
		}
	}
	return false
}

// besidePhase tells whether a neighbour of the same medium is in another phase.
func (n *network) besidePhase(c, i, j, k int) bool {
	b := n.b
	for s := block.Front; s <= block.Top; s++ {
		if d, inside := b.neighbour(c, i, j, k, s); inside && b.medium[d] == b.medium[c] && n.phase[d] != n.phase[c] {
			return true
		}
	}
	return false
}

func (n *network) axisOf(c, i, j, k int) int8 {
	b := n.b
	at := func(s block.Side) float64 {
		if d, inside := b.neighbour(c, i, j, k, s); inside && b.medium[d] >= 0 {
			return n.T[d]
		}
		if T, ok := n.faceT(c, s); ok {
			return T
		}
		return n.T[c]
	}
	best, most := int8(0), -1.0
	for a := int8(0); a < 3; a++ {
		if d := math.Abs(at(block.Side(2*a+1)) - at(block.Side(2*a))); d > most {
			best, most = a, d
		}
	}
	return best
}

// besideFront returns the conductance, in W/K, between neighbours c and d along axis a where one of them may hold a
// front.
//
// In a cell that is melting at one temperature the phase change takes place at a front, not at the cell's
// centre: towards a melted neighbour the way is the melted share of the cell, towards a frozen one the frozen
// share. In one dimension the front then moves through a cell as in the exact solution of Stefan's problem,
// instead of in steps of half a cell.
func (n *network) besideFront(c, d, a int, lc, ld, area float64) float64 {
	mc, md := n.b.medium[c], n.b.medium[d]
	hc, hd := n.at(c), n.at(d)
	if mc == md && int(n.frontAxis[c]) == a && int(n.frontAxis[d]) == a {
		if g := n.abrupt(mc, a, lc, ld, hc, hd); g > 0 {
			return g * area
		}
	}
	wc, kc := n.front(c, a, lc, hc, n.warmer(d, hd, n.tables[mc].fusion))
	wd, kd := n.front(d, a, ld, hd, n.warmer(c, hc, n.tables[md].fusion))
	if mc == md && !n.tables[mc].fixed && wc == 0.5*lc && wd == 0.5*ld {
		return n.alike(c, d, a, lc, ld, 0.5*(lc+ld), area)
	}
	return area / (wc/kc + wd/kd)
}

// leastSpan is the difference of temperature, in K, from which the mean conductivity between two cells is taken from
// the integral; below, the cells' own conductivities say the same with less rounding.
const leastSpan = 0.01

// within tells whether a temperature lies inside the tables.
func within(T float64) bool { return T > tableStart && T < tableStart+tableSize-2 }

// abrupt returns the conductance, in W/(m² K), between a melted and a frozen cell of one medium that melts at one
// temperature, 0 for any other pair. The front stands at their common face, at the melting point: where more
// heat reaches it than leads on, it is about to enter the frozen cell, and all of that heat goes there; where
// less does, it is about to enter the melted one. So the larger of the two flows crosses the face.
func (n *network) abrupt(m int16, a int, lc, ld, hc, hd float64) float64 {
	e, tab := n.b.enthalpy[m], &n.tables[m]
	if hc < hd {
		hc, hd, lc, ld = hd, hc, ld, lc
	}
	if hc < e.Hl || hd > e.Hs {
		return 0
	}
	above, below := e.Temperature(hc)-tab.fusion, tab.fusion-e.Temperature(hd)
	if above+below < 1e-9 {
		return 0
	}
	to := read(tab.liquid[a], tab.fusion) * above / (0.5 * lc)
	on := read(tab.solid[a], tab.fusion) * below / (0.5 * ld)
	return math.Max(to, on) / (above + below)
}

// warmer tells on which side of a melting point cell d lies at specific enthalpy x: +1 melted or hotter, -1
// frozen or cooler, 0 at it, melting.
func (n *network) warmer(d int, x, fusion float64) int {
	m := n.b.medium[d]
	e := n.b.enthalpy[m]
	switch T := e.Temperature(x); {
	case T > fusion:
		return 1
	case T < fusion:
		return -1
	case x >= e.Hl:
		return 1
	case x <= e.Hs:
		return -1
	}
	return 0
}

// shortest is the least way inside a melting cell, as a share of its size, that front returns: it bounds the
// conductance while a front is still at the cell's face.
const shortest = 0.05

// front returns the way from a face into cell c along axis a, and the conductivity along it: half the cell, or
// up to the front where the cell melts at one temperature and what lies beyond the face is warmer (+1) or
// cooler (-1) than that.
func (n *network) front(c, a int, size, x float64, beyond int) (way, k float64) {
	m := n.b.medium[c]
	tab, e := &n.tables[m], n.b.enthalpy[m]
	if !tab.sharp || beyond == 0 || x <= e.Hs || x >= e.Hl || int(n.frontAxis[c]) != a {
		return 0.5 * size, n.k[a][c]
	}
	f := e.Melted(x)
	if beyond > 0 {
		return math.Max(f, shortest) * size, read(tab.liquid[a], tab.fusion)
	}
	return math.Max(1-f, shortest) * size, read(tab.solid[a], tab.fusion)
}
