package heat

import (
	"math"

	"emberbank/block"
	"emberbank/receiver"
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
//
// A cell that borders on melt has a front inside, even while its mean lies below the melting point: its melted
// share f is found from its enthalpy with straight profiles on both sides of the front,
//
//	h = f (hl + cl gl f d/2) + (1-f) (hs - cs gs (1-f) d/2)
//
// where gl and gs are the slopes towards the melted and the frozen neighbour and d the cell's size. Elsewhere
// the melted share is that of the cell's enthalpy.
func (m *march) meltedLength(l *frontLine, y []float64) float64 {
	sum := 0.0
	for i := range l.cells {
		sum += l.cells[i].length * m.meltedShare(l, i, y)
	}
	return sum
}

func (m *march) meltedShare(l *frontLine, i int, y []float64) float64 {
	b, s := m.b, l.cells[i]
	c := int(s.cell)
	e := b.enthalpy[b.medium[c]]
	f := e.Melted(y[c])
	tab := &m.net.tables[b.medium[c]]
	if !tab.sharp || !s.whole || f > 0 {
		return f
	}
	d := s.length
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
			if p := b.patches[b.faces[k].patch].surface; p != nil && p.Kind == receiver.FixedTemperature {
				return p.Temperature, 0, true
			}
			return m.skin.T[k], 0, true
		}
		return 0, 0, false
	}
	Ta, wa, oka := side(-1)
	Tb, wb, okb := side(1)
	fusion := tab.fusion
	switch {
	case oka && okb && Ta > fusion && Tb <= fusion:
	case oka && okb && Tb > fusion && Ta <= fusion:
		Ta, wa, Tb, wb = Tb, wb, Ta, wa
	default:
		return f
	}
	cs := 1 / e.Slope(e.Hs-1)
	excess := func(f float64) float64 {
		gs := (fusion - Tb) / (wb + math.Max(1-f, shortest)*d)
		return f*e.Hl + (1-f)*(e.Hs-cs*gs*(1-f)*d/2) - y[c]
	}
	if excess(0) >= 0 {
		return f
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
