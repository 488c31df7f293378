package heat

import (
	"math"

	"emberbank/block"
)

// frontLine is the solid cells along an axis-parallel line, on which the length of melted medium is read.
type frontLine struct {
	axis  block.Axis
	cells []stretch
}

// stretch is a cell's length along a front's line.
type stretch struct {
	cell   int32
	length float64
	whole  bool // the line runs through the whole cell
}

func (b *body) line(from, to block.Point) frontLine {
	a := block.Depth
	for d := block.Depth; d <= block.Height; d++ {
		if math.Abs(to[d]-from[d]) > math.Abs(to[a]-from[a]) {
			a = d
		}
	}
	var idx [3]int
	for d := block.Depth; d <= block.Height; d++ {
		idx[d] = max(0, b.g.Find(d, from[d]))
	}
	lo, hi := min(from[a], to[a]), max(from[a], to[a])
	out := frontLine{axis: a}
	for i := range b.g.N(a) {
		l := min(hi, b.g.Lines[a][i+1]) - max(lo, b.g.Lines[a][i])
		idx[a] = i
		if c := b.g.Index(idx[0], idx[1], idx[2]); l > 0 && b.medium[c] >= 0 {
			out.cells = append(out.cells, stretch{int32(c), l, l > (1-1e-9)*b.g.Size(a, i)})
		}
	}
	return out
}

// meltedLength returns the length of melted medium along the line in m.
func (m *march) meltedLength(l *frontLine, y []float64) float64 {
	sum := 0.0
	for i := range l.cells {
		sum += l.cells[i].length * m.meltedShare(l, i, y)
	}
	return sum
}

// meltedShare returns the melted share of one cell of the line: that of its enthalpy, or where a front has entered
// a cell whose mean still lies on the other side of the melting point, what entered gives.
func (m *march) meltedShare(l *frontLine, i int, y []float64) float64 {
	b, s := m.b, l.cells[i]
	c := int(s.cell)
	f := b.enthalpy[b.medium[c]].Melted(y[c])
	tab := &m.net.tables[b.medium[c]]
	if !tab.sharp || !s.whole {
		return f
	}
	freezing := f == 1 || f > 0 && m.s.f1[c] < 0 // the front moves into melt, or into the solid
	// Temperatures at the neighbours' centres, or on a free face, and their distances from this cell's faces.
	side := func(step int) (T, way float64, ok bool) {
		if q := i + step; q >= 0 && q < len(l.cells) && l.cells[q].whole {
			n := int(l.cells[q].cell)
			return b.enthalpy[b.medium[n]].Temperature(y[n]), 0.5 * l.cells[q].length, true
		}
		free := block.Side(2 * int(l.axis))
		if step > 0 {
			free++
		}
		if k := m.faceOf(c, free); k >= 0 {
			return m.skin.faceT(k), 0, true
		}
		return 0, 0, false
	}
	Ta, _, oka := side(-1)
	Tb, wb, okb := side(1)
	if !oka || !okb {
		return f
	}
	if (Ta > tab.fusion) == freezing { // the front comes from the other side
		Ta, Tb = Tb, Ta
		_, wb, _ = side(-1)
	}
	if (Ta > tab.fusion) == freezing || Ta == tab.fusion || (Tb > tab.fusion) != freezing {
		return f
	}
	share := m.net.entered(c, s.length, y[c], Tb, wb, freezing)
	if freezing {
		return 1 - share
	}
	return share
}

// entered returns the share of a cell of size d (m) that a front has crossed at the cell's mean enthalpy h. Ahead of the front the profile is straight, from the melting point to the
// temperature Tb at the distance wb beyond the cell's far face:
//
//	f L - (1-f)² c g d/2 = h - hs,   g = (Tm - Tb)/(wb + (1-f) d)
//
// for melting, with hs and c the enthalpy and the heat capacity of the solid at the melting point; for freezing the
// same with the liquid's and hl - h on the right.
func (n *network) entered(c int, d, h, Tb, wb float64, freezing bool) float64 {
	m := n.b.medium[c]
	e, fusion := n.b.enthalpy[m], n.tables[m].fusion
	short, cp := h-e.Hs, 1/e.Slope(e.Hs-1)
	if freezing {
		short, cp = e.Hl-h, 1/e.Slope(e.Hl+1)
	}
	excess := func(f float64) float64 {
		g := math.Abs(fusion-Tb) / (wb + math.Max(1-f, shortest)*d)
		return f*(e.Hl-e.Hs) - (1-f)*(1-f)*cp*g*d/2 - short
	}
	if excess(0) >= 0 {
		return 0
	}
	lo, hi := 0.0, 1.0
	for range 40 {
		if mid := 0.5 * (lo + hi); excess(mid) < 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}
