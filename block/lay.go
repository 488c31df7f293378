package block

import (
	"fmt"
	"math"
	"sort"
)

// Layout is what a grid is laid over.
type Layout struct {
	Body  Box    // outer bounds of everything
	Core  Box    // the storage block
	Boxes []Box  // every part: each of its faces becomes a grid line
	Lines []Line // tubes and heaters: each comes to sit at the centre of its column of cells
	// Bridges are parts whose edges gather heat, such as feet and bars through a layer: where no Size is stated,
	// cells are small at every face along them.
	Bridges []Box
	// Size is the target cell size in the core in m; 0: chosen from the core and its lines.
	Size float64
	// PerLayer is the least number of cells through any layer between two faces outside the core; 0: 3.
	PerLayer int
	// Refine is a factor on the number of cells along every direction; 0: 1.
	Refine float64
}

// Line is a straight tube or heater.
type Line struct {
	Axis     Axis
	At       Point   // m, a point on the axis; the coordinate along Axis means nothing
	From, To float64 // m along Axis
	Diameter float64 // m
}

// What a laid grid keeps to.
const (
	growth      = 0.25  // change of cell size per unit of length: neighbouring cells differ by about this much
	maxRatio    = 1.5   // between neighbouring cells
	maxBeside   = 1.2   // between the cell that holds a tube and its neighbours
	sameFace    = 1e-9  // m: faces closer than this are one
	nearFace    = 5e-5  // m: faces closer than this are taken as one, with a warning
	shareColumn = 0.1   // of a cell: tubes closer than this, across, stand in one column
	thinLayer   = 2e-3  // m: a layer thinner than this, and than a fifth of the core's cells, is one cell
	acrossCore  = 16    // cells across the core's geometric mean extent
	leastCore   = 8     // cells across the core's narrowest extent
	quantum     = 1e-12 // m: coordinates are rounded to this from the middle, so that mirrored bodies agree
	layRounds   = 60    // rounds of shrinking cells where neighbours differ too much
)

// Lay lays a graded grid over a body: every face of a part is a grid line, every tube is the centre of its
// column of cells with near-equal cells around it, and cell sizes change smoothly. It returns warnings where two
// faces had to be merged, a tube could not be centred or stands too close to something, and an error where the layout makes no sense.
//
// Along each direction a wanted cell size is written as a function of place: a slope away from each place that
// needs small cells (tubes, thin layers), capped by the core's size. Its inverse, integrated, counts the cells
// between two faces; the count is rounded and the lines follow from it. Where neighbours then differ too much,
// the smaller one becomes such a place, and the direction is laid again.
func Lay(l Layout) (*Grid, []string, error) {
	if l.PerLayer <= 0 {
		l.PerLayer = 3
	}
	if l.Refine <= 0 {
		l.Refine = 1
	}
	for a := range l.Body.Min {
		for _, b := range []struct {
			name string
			box  Box
		}{{"body", l.Body}, {"block", l.Core}} {
			if !(b.box.Max[a] > b.box.Min[a]) || math.IsInf(b.box.Max[a]-b.box.Min[a], 0) {
				return nil, nil, fmt.Errorf("laying the grid: the %s runs from %g m to %g m along %s and has no extent",
					b.name, b.box.Min[a], b.box.Max[a], Axis(a))
			}
		}
	}
	sizes, near := wantedSizes(l)
	g := &Grid{}
	var warnings []string
	for a := range g.Lines {
		d := newDirection(l, Axis(a), sizes[a], near)
		lines, w, err := d.lay(l.Refine)
		if err != nil {
			return nil, nil, fmt.Errorf("laying the grid along %s: %w", Axis(a), err)
		}
		g.Lines[a] = lines
		warnings = append(warnings, w...)
	}
	return g, append(warnings, CloseTubes(l.Core, l.Lines)...), nil
}

// across returns the two directions across an axis, in order.
func across(a Axis) (u, v Axis) {
	switch a {
	case Depth:
		return Width, Height
	case Width:
		return Depth, Height
	}
	return Depth, Width
}

// direction is the task of laying the lines along one direction. Coordinates are taken from the body's middle
// and rounded, so that the two halves of a symmetric body are laid alike.
type direction struct {
	axis     Axis
	mid      float64
	faces    []float64 // rising, from the middle
	given    []float64 // the faces as they came
	axes     []float64 // tube axes, rising, from the middle
	axesSize []float64 // wanted cell size at each
	core     [2]float64
	size     float64 // in the core
	outside  float64 // largest outside
	refine   float64 // the wanted sizes are divided by this
	perLayer int
	sources  []source
	warnings []string
}

// source is a place that wants cells of at most a size; the size grows from there.
type source struct{ from, to, size float64 }

func newDirection(l Layout, a Axis, size float64, near []float64) *direction {
	d := &direction{axis: a, size: size, perLayer: l.PerLayer, refine: 1}
	d.mid = 0.5 * (l.Body.Min[a] + l.Body.Max[a])
	d.outside = 2.5 * d.size
	faces := []float64{l.Body.Min[a], l.Body.Max[a], l.Core.Min[a], l.Core.Max[a]}
	for _, b := range l.Boxes {
		faces = append(faces, b.Min[a], b.Max[a])
	}
	d.addFaces(faces, l.Body.Min[a], l.Body.Max[a])
	d.core = [2]float64{d.centred(l.Core.Min[a]), d.centred(l.Core.Max[a])}
	d.addAxes(l, near)
	d.addBridges(l)
	return d
}

// Cells at the faces of a bridge: its least extent over acrossBridge, though no smaller than the core's size over
// finestBridge. With these the reference cases of ISO 10211 stay within their limits (package verify).
const (
	acrossBridge = 8.0
	finestBridge = 12.0
)

// addBridges asks for small cells at every face along a bridge.
func (d *direction) addBridges(l Layout) {
	if l.Size > 0 {
		return
	}
	for _, b := range l.Bridges {
		size := math.Inf(1)
		for a := range b.Min {
			size = math.Min(size, b.Max[a]-b.Min[a])
		}
		size = math.Max(size/acrossBridge, d.size/finestBridge)
		lo, hi := d.centred(b.Min[d.axis]), d.centred(b.Max[d.axis])
		for _, f := range d.faces {
			if f >= lo-nearFace && f <= hi+nearFace {
				d.sources = append(d.sources, source{f - size, f + size, size})
			}
		}
	}
}

func (d *direction) centred(x float64) float64 { return math.Round((x-d.mid)/quantum) * quantum }

// addFaces keeps the faces inside the body, merging those that nearly coincide.
func (d *direction) addFaces(faces []float64, lo, hi float64) {
	sort.Float64s(faces)
	for _, x := range faces {
		if x < lo || x > hi || math.IsNaN(x) {
			continue
		}
		y := d.centred(x)
		if n := len(d.faces); n > 0 {
			gap := y - d.faces[n-1]
			if gap >= sameFace && gap < nearFace {
				d.warnings = append(d.warnings, fmt.Sprintf(
					"two faces along %s lie only %.3g mm apart, at %.6g mm and %.6g mm: they are taken as one",
					d.axis, gap*1e3, d.given[n-1]*1e3, x*1e3))
			}
			if gap < nearFace {
				if x == hi { // the outer face stays where it is
					d.faces[n-1], d.given[n-1] = y, x
				}
				continue
			}
		}
		d.faces, d.given = append(d.faces, y), append(d.given, x)
	}
}

// addAxes collects the tube axes across this direction. An axis on a face cannot be a cell centre.
func (d *direction) addAxes(l Layout, near []float64) {
	type axis struct{ x, size float64 }
	var all []axis
	for n, t := range l.Lines {
		x := d.centred(t.At[d.axis])
		if t.Axis == d.axis || x <= d.faces[0] || x >= d.faces[len(d.faces)-1] {
			continue
		}
		size := math.Min(d.size, near[n])
		if gap := d.nearestFace(x); gap < math.Max(nearFace, shareColumn*size) {
			d.warnings = append(d.warnings, fmt.Sprintf(
				"the axis of a tube along %s at %s %.6g mm lies on a face of a part, or within %.3g mm of one: it cannot be the centre of its cells",
				t.Axis, d.axis, t.At[d.axis]*1e3, gap*1e3))
			d.sources = append(d.sources, source{x, x, size})
			continue
		}
		all = append(all, axis{x, size})
	}
	sort.Slice(all, func(i, j int) bool {
		return all[i].x < all[j].x || all[i].x == all[j].x && all[i].size < all[j].size
	})
	for i := 0; i < len(all); {
		// Tubes that are out of line by much less than a cell share their column: cells as narrow as their
		// distance would help nobody.
		j, size := i+1, all[i].size
		for j < len(all) && all[j].x-all[j-1].x < shareColumn*math.Min(all[j].size, all[j-1].size) {
			size = math.Min(size, all[j].size)
			j++
		}
		if off := all[j-1].x - all[i].x; off > nearFace {
			d.warnings = append(d.warnings, fmt.Sprintf(
				"%d tubes near %s %.6g mm are out of line by %.3g mm: they share one column of cells and stand a little beside its centre",
				j-i, d.axis, (d.mid+all[i].x)*1e3, off*1e3))
		}
		d.axes = append(d.axes, 0.5*(all[i].x+all[j-1].x))
		d.axesSize = append(d.axesSize, size)
		i = j
	}
}

func (d *direction) nearestFace(x float64) float64 {
	best := math.Inf(1)
	for _, f := range d.faces {
		best = math.Min(best, math.Abs(f-x))
	}
	return best
}

// lay returns the lines in the coordinates that were given.
func (d *direction) lay(refine float64) ([]float64, []string, error) {
	d.layerSources()
	lines, err := d.settle()
	if err == nil && refine != 1 {
		// The refined grid divides the very sizes that the plain one came to, so that the two are similar.
		d.refine = refine
		d.perLayer = max(1, int(math.Ceil(float64(d.perLayer)*refine-1e-9)))
		lines, err = d.settle()
	}
	if err != nil {
		return nil, nil, err
	}
	out := make([]float64, len(lines))
	f := 0
	for i, y := range lines {
		if f < len(d.faces) && y == d.faces[f] {
			out[i] = d.given[f]
			f++
		} else {
			out[i] = d.mid + y
		}
	}
	return out, d.warnings, nil
}

// settle lays the lines again and again until neighbours fit each other.
func (d *direction) settle() ([]float64, error) {
	for round := 0; ; round++ {
		lines := d.place()
		if len(lines) > 20000 {
			return nil, fmt.Errorf("more than 20000 cells would be needed; two faces or tubes lie too close together")
		}
		if !d.smooth(lines) {
			return lines, nil
		}
		if round == layRounds {
			d.warnings = append(d.warnings, fmt.Sprintf(
				"neighbouring cells along %s differ by more than a factor of %.2g, or beside a tube of %.2g, somewhere", d.axis, maxRatio, maxBeside))
			return lines, nil
		}
	}
}

// thin tells whether a layer is so thin that one cell stands for it.
func (d *direction) thin(t float64) bool { return t < thinLayer && t < d.size/5 }

// layerSources sets the cell size through each layer outside the core, and around each tube.
func (d *direction) layerSources() {
	for i := 0; i+1 < len(d.faces); i++ {
		lo, hi := d.faces[i], d.faces[i+1]
		t := hi - lo
		if d.thin(t) {
			continue
		}
		if m := 0.5 * (lo + hi); m > d.core[0] && m < d.core[1] {
			if t < d.size {
				d.sources = append(d.sources, source{lo, hi, t})
			}
			continue
		}
		if s := t / float64(d.perLayer); s < d.outside {
			d.sources = append(d.sources, source{lo, hi, s})
		}
	}
	for i, x := range d.axes {
		s := d.axesSize[i]
		d.sources = append(d.sources, source{x - 1.5*s, x + 1.5*s, s})
	}
}

// want is the wanted cell size at a place.
func (d *direction) want(x float64) float64 {
	s := d.outside
	// The core's size grows beyond the core like that of any other place.
	s = math.Min(s, d.size+growth*math.Max(0, math.Max(d.core[0]-x, x-d.core[1])))
	for _, p := range d.sources {
		if p.size < s {
			s = math.Min(s, p.size+growth*math.Max(0, math.Max(p.from-x, x-p.to)))
		}
	}
	return s / d.refine
}

// place lays the lines for the present sources.
func (d *direction) place() []float64 {
	var lines []float64
	next := 0
	for i := 0; i+1 < len(d.faces); i++ {
		lo, hi := d.faces[i], d.faces[i+1]
		from := next
		for next < len(d.axes) && d.axes[next] < hi {
			next++
		}
		if lines != nil {
			lines = lines[:len(lines)-1]
		}
		lines = append(lines, d.layer(lo, hi, d.axes[from:next])...)
	}
	return lines
}

// layer lays the lines between two faces, the faces included, around the tube axes between them. A stretch from
// a face to an axis holds a whole number of cells and a half; the two halves at an axis are then made equal.
func (d *direction) layer(lo, hi float64, axes []float64) []float64 {
	least := 1
	if m := 0.5 * (lo + hi); !(m > d.core[0] && m < d.core[1]) && !d.thin(hi-lo) {
		least = d.perLayer
	}
	if len(axes) == 0 {
		n := least
		if !d.thin(hi - lo) {
			n = max(least, nearest(d.count(lo, hi)))
		}
		return d.spread(lo, hi, n)
	}
	stops := append(append([]float64{lo}, axes...), hi)
	n := make([]int, len(stops)-1) // whole cells of each stretch, the halves at axes left out
	half := make([]float64, len(stops))
	for s := range half {
		half[s] = math.Inf(1)
	}
	for s := range n {
		a, b := stops[s], stops[s+1]
		c, halves := d.count(a, b), 0.0
		if s > 0 {
			halves += 0.5
		}
		if s+1 < len(n) {
			halves += 0.5
		}
		n[s] = max(1, nearest(c-halves))
		scale := c / (float64(n[s]) + halves) // actual over wanted size
		if s > 0 {
			half[s] = math.Min(half[s], 0.5*d.want(a)*scale)
		}
		if s+1 < len(n) {
			half[s+1] = math.Min(half[s+1], 0.5*d.want(b)*scale)
		}
	}
	var lines []float64
	for s := range n {
		a, b := stops[s], stops[s+1]
		if s > 0 {
			a += half[s]
		}
		if s+1 < len(n) {
			b -= half[s+1]
		}
		lines = append(lines, d.spread(a, b, n[s])...)
	}
	return lines
}

// nearest rounds a count to a whole number; ties, which symmetric bodies meet with different last digits, go up.
func nearest(c float64) int { return int(math.Floor(c + 0.5 + 1e-6)) }

// count integrates the inverse of the wanted size from a to b: the wanted number of cells.
func (d *direction) count(a, b float64) float64 {
	up, down, _ := d.tables(a, b)
	return 0.5 * (up[tableSteps] + down[tableSteps])
}

const tableSteps = 96

// tables are the running integrals of the inverse of the wanted size at equal steps from a up to b, and from b
// down to a. Taking the two together makes what follows from them the same for a mirrored stretch to the last bit.
func (d *direction) tables(a, b float64) (up, down []float64, h float64) {
	m := tableSteps
	h = (b - a) / float64(m)
	rate := make([]float64, m)
	for i := range rate {
		x, y := a+(float64(i)+0.5)*h, b-(float64(m-i)-0.5)*h
		rate[i] = h / (0.5 * (d.want(x) + d.want(y)))
	}
	up, down = make([]float64, m+1), make([]float64, m+1)
	for i := range rate {
		up[i+1] = up[i] + rate[i]
		down[i+1] = down[i] + rate[m-1-i]
	}
	return up, down, h
}

// spread divides a stretch into n cells in proportion to the wanted size. The lines are found from both ends and
// averaged, so that a mirrored stretch gives mirrored lines to the last bit.
func (d *direction) spread(a, b float64, n int) []float64 {
	lines := make([]float64, n+1)
	lines[0], lines[n] = a, b
	if n == 1 {
		return lines
	}
	up, down, h := d.tables(a, b)
	m := tableSteps
	for i := 1; i < n; i++ {
		x := a + h*invert(up, up[m]*float64(i)/float64(n))
		y := b - h*invert(down, down[m]*float64(n-i)/float64(n))
		lines[i] = 0.5 * (x + y)
	}
	return lines
}

// invert returns the fractional index at which a rising table reaches a value.
func invert(t []float64, v float64) float64 {
	i := sort.SearchFloat64s(t, v)
	if i == 0 {
		return 0
	}
	if i >= len(t) {
		return float64(len(t) - 1)
	}
	return float64(i-1) + (v-t[i-1])/(t[i]-t[i-1])
}

// smooth looks for neighbours that differ too much and makes the smaller one a source of smaller cells. It tells
// whether it found any.
func (d *direction) smooth(lines []float64) bool {
	width := func(i int) float64 { return lines[i+1] - lines[i] }
	var smaller []source // added at the end: what comes first must not matter
	for i := 0; i+2 < len(lines); i++ {
		w, v := width(i), width(i+1)
		if d.thinCell(lines[i], lines[i+1]) || d.thinCell(lines[i+1], lines[i+2]) {
			continue
		}
		limit := maxRatio
		if d.holdsAxis(lines[i], lines[i+1]) || d.holdsAxis(lines[i+1], lines[i+2]) {
			limit = maxBeside
		}
		limit *= 1 + 1e-6
		if v > limit*w {
			smaller = append(smaller, d.shrunk(lines[i+1], lines[i+2], w, limit))
		} else if w > limit*v {
			smaller = append(smaller, d.shrunk(lines[i], lines[i+1], v, limit))
		}
	}
	d.sources = append(d.sources, smaller...)
	d.prune()
	return len(smaller) > 0
}

// shrunk asks for smaller cells where a cell stands beside one that is smaller by more than a limit.
func (d *direction) shrunk(lo, hi, small, limit float64) source {
	return source{lo, hi, d.refine * math.Min(0.97*limit*small, 0.95*d.want(0.5*(lo+hi)))}
}

// prune leaves out sources that others overrule everywhere.
func (d *direction) prune() {
	kept := d.sources[:0:0]
	for i, p := range d.sources {
		overruled := false
		for j, q := range d.sources {
			far := math.Max(0, math.Max(q.from-p.from, p.to-q.to))
			if v := q.size + growth*far; j != i && (v < p.size || q == p && j < i) {
				overruled = true
				break
			}
		}
		if !overruled {
			kept = append(kept, p)
		}
	}
	d.sources = kept
}

func (d *direction) thinCell(lo, hi float64) bool {
	return d.thin(hi-lo) && d.isFace(lo) && d.isFace(hi)
}

func (d *direction) isFace(x float64) bool {
	i := sort.SearchFloat64s(d.faces, x)
	return i < len(d.faces) && d.faces[i] == x
}

func (d *direction) holdsAxis(lo, hi float64) bool {
	i := sort.SearchFloat64s(d.axes, lo)
	return i < len(d.axes) && d.axes[i] < hi
}
