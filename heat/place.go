package heat

import (
	"math"

	"emberbank/block"
)

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
	idx = m.bestCell(idx, at)
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
		side := block.Side(2 * a)
		v, front := m.fronted(c, a, d, t)
		out += front * (v - T)
		if d == 0 {
			continue
		}
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
		out += (1 - front) * (Tf - T) * math.Min(1, math.Abs(d)/half)
	}
	return out
}

// fronted returns the temperature at the distance d (m) from the centre of cell c along axis a where a front came in
// through a free face of it on that axis: of two, through the one on the point's side. The weight is 1, or 0 without a
// front; while what lies behind a front that has crossed the cell still warms up, it falls from 1 to 0.
func (m *march) fronted(c, a int, d float64, t []float64) (T, weight float64) {
	if !m.net.sharp {
		return 0, 0
	}
	for n := range 2 {
		side := block.Side(2*a + n)
		if d > 0 {
			side ^= 1
		}
		f := m.faceOf(c, side)
		if f < 0 {
			continue
		}
		if T, ok := m.skin.fronted(m.net, f, m.b.faces[f].half-side.Sign()*d, t[m.s.pad:]); ok {
			fusion := m.net.tables[m.b.medium[c]].fusion
			behind, mean := m.skin.T[f]-fusion, t[m.s.pad+c]-fusion
			if behind*mean <= 0 {
				return T, 1
			}
			return T, math.Max(0, 1-2*mean/behind)
		}
	}
	return 0, 0
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
func (m *march) faceOf(c int, side block.Side) int { return m.b.faceOf(c, side) }

// faceOf returns the free face of a cell on a side, -1 if there is none: faces are sorted by cell, so no map is
// needed. Where the window covers a part of the side, it is the face of the rest.
func (b *body) faceOf(c int, side block.Side) int {
	k := c / (b.nx * b.ny)
	lo, end := b.planeFaces[k], b.planeFaces[k+1]
	for hi := end; lo < hi; {
		if mid := (lo + hi) / 2; int(b.faces[mid].cell) < c {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	found := -1
	for ; lo < end && int(b.faces[lo].cell) == c; lo++ {
		if b.faces[lo].side == side {
			found = lo
		}
	}
	return found
}

// bestCell returns, of the solid cells that touch the point, the one that conducts best: at an edge where media meet,
// straight lines from the centre of a poor conductor miss the temperature that the good one imposes.
func (m *march) bestCell(idx [3]int, at block.Point) [3]int {
	b := m.b
	best, bestK := idx, -1.0
	for n := range 8 {
		q := idx
		ok := true
		for a := range 3 {
			if n>>a&1 == 0 {
				continue
			}
			switch {
			case q[a] > 0 && at[a]-b.g.Lines[a][q[a]] < 1e-9:
				q[a]--
			case q[a] < b.g.N(block.Axis(a))-1 && b.g.Lines[a][q[a]+1]-at[a] < 1e-9:
				q[a]++
			default:
				ok = false
			}
		}
		if !ok {
			continue
		}
		c := b.g.Index(q[0], q[1], q[2])
		if b.medium[c] < 0 {
			continue
		}
		k := min(m.net.k[0][c], m.net.k[1][c], m.net.k[2][c])
		if k > bestK*(1+1e-12) {
			best, bestK = q, k
		}
	}
	return best
}
