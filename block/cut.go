package block

import (
	"fmt"
	"math"
	"strconv"
)

// Cutter cuts bores into one grid. It keeps the calibrations that it has made, so that tubes with the same
// pattern of grid lines around them cost one. It is not safe for use by several goroutines at once.
type Cutter struct {
	grid     *Grid
	part     []int16
	known    map[string]*pattern
	Warnings []string
}

// NewCutter returns a cutter for a grid and the part of each of its cells, -1 for air. A nil part means that all
// is solid.
func NewCutter(g *Grid, part []int16) *Cutter {
	return &Cutter{grid: g, part: part, known: map[string]*pattern{}}
}

// CutBore cuts one bore into a grid; see Cutter.Cut.
func CutBore(g *Grid, part []int16, l Line, ratio [3]float64) (Bore, error) {
	return NewCutter(g, part).Cut(l, ratio)
}

// leastCut is the share of a layer of cells along the axis that a bore must cover to be cut out of it. A bore
// that ends in a layer and covers less of it is joined to the slice before.
const leastCut = 0.5 - 1e-9

// Cut cuts the bore of one tube from l.From to l.To. The ratio is the solid's conductivity along each direction,
// on any scale; only the two across the tube count. The bore's links carry, in a uniform solid, the exact heat
// flow between an isothermal wall of the hole and the field far from it (see pattern). It returns an error where
// the tube does not lie within the grid.
func (c *Cutter) Cut(l Line, ratio [3]float64) (Bore, error) {
	g := c.grid
	u, v := across(l.Axis)
	b := Bore{Axis: l.Axis, At: l.At, Radius: 0.5 * l.Diameter}
	if !(l.Diameter >= 0) {
		return b, fmt.Errorf("cutting a bore: diameter %g m is negative", l.Diameter)
	}
	for _, a := range []Axis{u, v} {
		lo, hi := g.Lines[a][0], g.Lines[a][g.N(a)]
		if !(l.At[a]-b.Radius >= lo-sameFace && l.At[a]+b.Radius <= hi+sameFace) {
			return b, fmt.Errorf("cutting a bore: the tube along %s at %s %g m, diameter %g m, leaves the body, which ends at %g m and %g m",
				l.Axis, a, l.At[a], l.Diameter, lo, hi)
		}
		if !(ratio[a] > 0) || math.IsInf(ratio[a], 0) {
			return b, fmt.Errorf("cutting a bore: conductivity along %s in proportion %g, must be above 0", a, ratio[a])
		}
	}
	lines := g.Lines[l.Axis]
	from, to := math.Max(l.From, lines[0]), math.Min(l.To, lines[len(lines)-1])
	if !(to-from > sameFace) {
		return b, fmt.Errorf("cutting a bore: the tube along %s from %g m to %g m has no length inside the body", l.Axis, l.From, l.To)
	}
	p := c.pattern(u, v, l.At[u], l.At[v], b.Radius, ratio[u], ratio[v])
	for _, y := range layersOf(lines, from, to) {
		b.Slices = append(b.Slices, c.slice(&b, p, y, u, v))
	}
	return b, nil
}

// layer is one layer of cells along an axis and the stretch of tube that is counted to it.
type layer struct {
	cell     int
	from, to float64
}

// cutByLines cuts a stretch of tube by the grid lines along it.
func cutByLines(lines []float64, from, to float64) []layer {
	var out []layer
	for i := 0; i+1 < len(lines); i++ {
		lo, hi := math.Max(from, lines[i]), math.Min(to, lines[i+1])
		if hi-lo > sameFace {
			out = append(out, layer{i, lo, hi})
		}
	}
	return out
}

// layersOf is cutByLines with ends that cover less than half of their layer joined to the layer beside them.
func layersOf(lines []float64, from, to float64) []layer {
	out := cutByLines(lines, from, to)
	cover := func(y layer) float64 { return (y.to - y.from) / (lines[y.cell+1] - lines[y.cell]) }
	if len(out) > 1 && cover(out[0]) < leastCut {
		out[1].from = out[0].from
		out = out[1:]
	}
	if n := len(out); n > 1 && cover(out[n-1]) < leastCut {
		out[n-2].to = out[n-1].to
		out = out[:n-1]
	}
	return out
}

// slice places the pattern in one layer, and leaves out links to air and beyond the grid.
func (c *Cutter) slice(b *Bore, p *pattern, y layer, u, v Axis) Slice {
	g := c.grid
	long := y.to - y.from
	s := Slice{From: y.from, To: y.to, Ways: [2]float64{p.ways[0] * long, p.ways[1] * long}}
	at := func(q place) (int, bool) {
		if q.i < 0 || q.j < 0 || q.i >= g.N(u) || q.j >= g.N(v) {
			return 0, false
		}
		var n [3]int
		n[u], n[v], n[b.Axis] = q.i, q.j, y.cell
		cell := g.Index(n[0], n[1], n[2])
		return cell, c.part == nil || c.part[cell] >= 0
	}
	for _, k := range p.links {
		if cell, solid := at(place{k.i + p.i0, k.j + p.j0}); solid {
			l := Link{Cell: cell, Shape: k.shape * long, Own: 1, Side: [2]float64{k.side[0] * long, k.side[1] * long}}
			if beside, ok := at(place{k.beside.i + p.i0, k.beside.j + p.j0}); ok && k.own < 1 {
				l.Own, l.Beside = k.own, beside
			}
			s.Links = append(s.Links, l)
		}
	}
	for _, q := range p.removed {
		if cell, solid := at(place{q.i + p.i0, q.j + p.j0}); solid {
			b.Removed = append(b.Removed, cell)
		}
	}
	return s
}

// pattern returns the calibrated pattern of a tube, with its place in the grid.
func (c *Cutter) pattern(u, v Axis, x, y, r, ku, kv float64) *pattern {
	pu, iu := window(c.grid.Lines[u], x, r)
	pv, iv := window(c.grid.Lines[v], y, r)
	key := strconv.AppendFloat(nil, r, 'e', 12, 64)
	key = strconv.AppendFloat(append(key, ' '), ku/kv, 'e', 12, 64)
	for _, w := range [][]float64{pu, pv} {
		key = append(key, '|')
		for i := range w {
			// Tubes of a lattice see the same lines but for rounding: the key keeps to a part in 1e9 of a line.
			key = strconv.AppendInt(append(key, ' '), int64(math.Round(w[i]*1e11)), 10)
		}
	}
	p, ok := c.known[string(key)]
	if !ok {
		p = calibrate(pu, pv, r, ku, kv)
		c.known[string(key)] = p
	}
	q := *p
	q.i0, q.j0 = iu, iv
	return &q
}

// around is the number of cells of the patch beyond the tube on each side.
const around = 8

// window returns the grid lines of the patch around a tube at x, measured from x, and the index of its first
// cell in the grid. Beyond the body it goes on with the width of the last cell.
func window(lines []float64, x, r float64) (w []float64, first int) {
	n := len(lines) - 1
	lo, hi := 0, n-1 // cells that the tube touches
	for lo < n-1 && lines[lo+1] <= x-r {
		lo++
	}
	for hi > lo && lines[hi] >= x+r {
		hi--
	}
	first = lo - around
	for i := first; i <= hi+around+1; i++ {
		switch {
		case i < 0:
			w = append(w, lines[0]+float64(i)*(lines[1]-lines[0])-x)
		case i > n:
			w = append(w, lines[n]+float64(i-n)*(lines[n]-lines[n-1])-x)
		default:
			w = append(w, lines[i]-x)
		}
	}
	return w, first
}
