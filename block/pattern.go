package block

import "math"

// pattern is what a tube does to the cells of one layer across it: which cells it removes and which it is
// linked to.
//
// A cell whose centre lies in the hole is removed; each face between a removed cell and one that stays becomes
// a link to the hole's wall, over the distance from the cell's centre to the circle along the face's normal.
// This is the symmetric second-order treatment of a fixed temperature on a curved boundary by Gibou, Fedkiw,
// Cheng & Kang, "A Second-Order-Accurate Symmetric Discretization of the Poisson Equation on Irregular Domains",
// J. Comput. Phys. 176 (2002) 205-227. A tube that is narrow against its cell removes nothing and is linked to the
// cells that it covers, by their share of the circle, as the well in its block by Peaceman, "Interpretation of
// Well-Block Pressures in Numerical Reservoir Simulation With Nonsquare Grid Blocks and Anisotropic
// Permeability", SPE J. 23 (1983) 531-543.
//
// All links of the pattern are then multiplied by one factor, found from a discrete problem on the grid's own
// lines around the tube: with the exact field of an isothermal tube in an infinite solid on the edge of the patch, the
// heat flow into the tube must be the exact one. For a narrow tube on uniform cells this gives Peaceman's
// equivalent radius; it holds for any other cells just as well.
type pattern struct {
	i0, j0  int     // cell of the grid at the patch's corner
	links   []reach // in order of the cells
	removed []place
	factor  float64    // that multiplied the links
	ways    [2]float64 // what leads around the hole along x and y, per metre of tube: see around.go
}

// place is a cell of the patch, reach a link from it.
type place struct{ i, j int }

type reach struct {
	place
	shape  float64    // per metre of tube
	own    float64    // share of the way to the wall inside the cell itself
	beside place      // the removed cell in which the rest of the way lies
	side   [2]float64 // of its shape, what faces the hole from above less what does so from below, along x and y
}

const (
	narrowTube  = 0.4  // of the cell that holds the axis: a narrower tube is linked, not cut out, where it can be
	leastReach  = 0.1  // of a cell: shortest distance of a link
	closeEnough = 0.01 // of a cell's diagonal: displacement of a tube that is let pass
	narrowRest  = 0.35 // least resistance left over a narrow tube's cell, as a logarithm of radii
	leastFactor = 1e-6
)

// calibrate returns the pattern of a tube of radius r at the origin of a patch of lines x and y, with
// conductivities in proportion kx and ky.
func calibrate(x, y []float64, r, kx, ky float64) *pattern {
	c := newPatch(x, y, r, kx, ky)
	hi, hj := c.holder()
	if r == 0 {
		return &pattern{links: []reach{{place: place{hi, hj}, shape: 1, own: 1}}, factor: 1}
	}
	wide := 2*r >= narrowTube*math.Sqrt((x[hi+1]-x[hi])*(y[hj+1]-y[hj]))
	if wide {
		if m, p := c.cut(math.Hypot(x[hi+1]-x[hi], y[hj+1]-y[hj])); p != nil {
			c.lead(m, p)
			return p
		}
	}
	// A factor f leaves the resistance 1/f, in units of 1/(2π k), between the tube and its cells.
	if p := c.solve(newPatchMatrix(c, nil), c.coverLinks(), nil); p != nil && p.factor <= 1/narrowRest {
		return p
	}
	one := []place{{hi, hj}}
	for {
		// Taking out the cell that holds the axis puts the wall at the centres of its neighbours, which lie
		// outside the tube: some resistance is then always left. The loop ends at once but for odd cells.
		m := newPatchMatrix(c, one)
		if p := c.solve(m, c.cutLinks(one), one); p != nil {
			c.lead(m, p)
			return p
		}
		one = c.grow(one)
	}
}

// patch is the discrete problem around a tube.
type patch struct {
	x, y   []float64
	nx, ny int
	r      float64
	reach  float64 // m, radius of the circle to which links reach
	kx, ky float64 // scaled so that their product is 1
}

func newPatch(x, y []float64, r, kx, ky float64) *patch {
	m := math.Sqrt(kx * ky)
	return &patch{x: x, y: y, nx: len(x) - 1, ny: len(y) - 1, r: r, reach: r, kx: kx / m, ky: ky / m}
}

func (c *patch) cx(i int) float64 { return 0.5 * (c.x[i] + c.x[i+1]) }
func (c *patch) cy(j int) float64 { return 0.5 * (c.y[j] + c.y[j+1]) }

// holder is the cell that holds the axis.
func (c *patch) holder() (i, j int) {
	for i+1 < c.nx && c.x[i+1] <= 0 {
		i++
	}
	for j+1 < c.ny && c.y[j+1] <= 0 {
		j++
	}
	return i, j
}

// cut tries to remove the cells whose centres lie in the tube. Where a centre lies close to the circle, on one
// side of it and by chance not on the other, the pattern acts as if the tube stood a little beside its place;
// sets of cells within a slightly smaller or larger circle are then tried too, and the one that keeps the tube
// in its place is taken. It returns nil where no centre lies in the tube.
func (c *patch) cut(cell float64) (of *patchMatrix, best *pattern) {
	least := math.Inf(1)
	tried := map[int]bool{}
	for _, share := range [...]float64{1 - 1e-9, 0.951, 1.052, 0.903, 1.104, 0.857} {
		set := c.centresInside(share * c.r)
		if len(set) == 0 || tried[len(set)] {
			continue
		}
		tried[len(set)] = true
		m := newPatchMatrix(c, set)
		c.fit(m, set)
		p := c.solve(m, c.cutLinks(set), set)
		if p == nil {
			continue
		}
		off := c.displacement(m, p)
		if off < 0.9*least {
			of, best, least = m, p, off
		}
		if least < closeEnough*cell {
			break
		}
	}
	return of, best
}

// displacement is how far beside its place the tube seems to stand: in a field that rises by one kelvin per metre
// and is undisturbed by an isothermal tube at the origin but for its own image, no heat flows into the
// tube; what flows in the discrete problem is as if the tube stood where the field is warmer.
func (c *patch) displacement(m *patchMatrix, p *pattern) float64 {
	weight := m.linked(c, p.links).influence()
	sum := func(field func(x, y float64) float64) (s float64) {
		for _, e := range m.edges {
			s += weight[e.cell] * e.g * field(e.x, e.y)
		}
		return s
	}
	all := sum(func(x, y float64) float64 { return 1 })
	return math.Hypot(sum(c.risingX), sum(c.risingY)) / all
}

func (c *patch) centresInside(r float64) []place {
	var in []place
	for j := 0; j < c.ny; j++ {
		for i := 0; i < c.nx; i++ {
			if math.Hypot(c.cx(i), c.cy(j)) < r {
				in = append(in, place{i, j})
			}
		}
	}
	return in
}

// cutLinks returns the links of the cells around removed ones.
func (c *patch) cutLinks(removed []place) []reach {
	out := map[place]bool{}
	for _, q := range removed {
		out[q] = true
	}
	sum, inside, beside := map[place]float64{}, map[place]float64{}, map[place]place{}
	side := map[place][2]float64{}
	for _, q := range removed {
		for _, step := range []place{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
			p := place{q.i + step.i, q.j + step.j}
			if out[p] {
				continue
			}
			px, py := c.cx(p.i), c.cy(p.j)
			wx, wy := c.x[p.i+1]-c.x[p.i], c.y[p.j+1]-c.y[p.j]
			along, across, w, k := px, py, wx, wy*c.kx
			if step.i == 0 {
				along, across, w, k = py, px, wy, wx*c.ky
			}
			way := math.Max(leastReach*w, c.toCircle(along, across))
			sum[p] += k / way
			s := side[p]
			s[0] += float64(step.i) * k / way
			s[1] += float64(step.j) * k / way
			side[p] = s
			inside[p] += k / way * math.Min(1, 0.5*w/way)
			if _, ok := beside[p]; !ok {
				beside[p] = q
			}
		}
	}
	links := c.ordered(sum)
	for i := range links {
		k := &links[i]
		k.own, k.beside, k.side = inside[k.place]/sum[k.place], beside[k.place], side[k.place]
	}
	return links
}

// fit finds the radius of the circle to which the links reach, the removed cells staying as they are, so that
// the discrete heat flow is the exact one: the wall moves evenly on all sides, and the tube stays where it is.
func (c *patch) fit(of *patchMatrix, removed []place) {
	flow := func(rest float64) float64 {
		c.reach = c.r + rest
		q, _ := of.linked(c, c.cutLinks(removed)).flow(1)
		return q - 1
	}
	i, j := c.holder()
	h := 0.5 * math.Sqrt((c.x[i+1]-c.x[i])*(c.y[j+1]-c.y[j]))
	lo, hi := math.Max(-h, -0.9*c.r), h
	a, b := flow(lo), flow(hi)
	if a > 0 || b < 0 {
		c.reach = c.r
		return
	}
	// False position with the kept end halved; the factor on the links mends the rest.
	for n, side := 0, 0; n < 40 && hi-lo > 1e-4*h; n++ {
		m := hi - b*(hi-lo)/(b-a)
		q := flow(m)
		if math.Abs(q) < 1e-6 {
			return
		}
		if q > 0 {
			hi, b = m, q
			if side > 0 {
				a *= 0.5
			}
			side = 1
		} else {
			lo, a = m, q
			if side < 0 {
				b *= 0.5
			}
			side = -1
		}
	}
}

// toCircle is the distance from a point to the circle along its first coordinate, or straight to the circle
// where that line misses it.
func (c *patch) toCircle(along, beside float64) float64 {
	if h := c.reach*c.reach - beside*beside; h > 0 {
		return math.Abs(along) - math.Sqrt(h)
	}
	return math.Hypot(along, beside) - c.reach
}

// coverLinks returns links to the cells that the circle covers, by their share of its area. The sum of their
// shapes is 2π.
func (c *patch) coverLinks() []reach {
	sum := map[place]float64{}
	total := math.Pi * c.r * c.r
	for j := 0; j < c.ny; j++ {
		for i := 0; i < c.nx; i++ {
			if a := discOverlap(c.r, c.x[i], c.x[i+1], c.y[j], c.y[j+1]); a > 1e-6*total {
				sum[place{i, j}] = 2 * math.Pi * a / total
			}
		}
	}
	return c.ordered(sum)
}

func (c *patch) ordered(sum map[place]float64) []reach {
	var out []reach
	for j := 0; j < c.ny; j++ {
		for i := 0; i < c.nx; i++ {
			if s, ok := sum[place{i, j}]; ok {
				out = append(out, reach{place: place{i, j}, shape: s, own: 1})
			}
		}
	}
	return out
}

// grow adds the face neighbours of a set of cells to it.
func (c *patch) grow(set []place) []place {
	in := map[place]bool{}
	for _, q := range set {
		for _, s := range []place{{0, 0}, {-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
			in[place{q.i + s.i, q.j + s.j}] = true
		}
	}
	var out []place
	for j := 0; j < c.ny; j++ {
		for i := 0; i < c.nx; i++ {
			if in[place{i, j}] {
				out = append(out, place{i, j})
			}
		}
	}
	return out
}

// exact is the temperature above the tube's wall at a point when the tube takes one watt per metre and the
// conductivity's geometric mean is 1. In coordinates scaled by the roots of the conductivities the conduction is
// isotropic and the circle an ellipse, whose isotherms are the confocal ellipses (Carslaw & Jaeger, Conduction
// of Heat in Solids, 2nd ed. 1959, the chapter on two-dimensional steady temperature; from memory).
func (c *patch) exact(x, y float64) float64 {
	a, b := c.r/math.Sqrt(c.kx), c.r/math.Sqrt(c.ky)
	X, Y := math.Abs(x)/math.Sqrt(c.kx), math.Abs(y)/math.Sqrt(c.ky)
	if b > a {
		a, b, X, Y = b, a, Y, X
	}
	f := math.Sqrt((a - b) * (a + b))
	A := 0.5 * (math.Hypot(X-f, Y) + math.Hypot(X+f, Y)) // half the long axis of the confocal ellipse
	B := math.Sqrt(math.Max(0, (A-f)*(A+f)))
	return math.Log((A+B)/(a+b)) / (2 * math.Pi)
}

// risingX is the temperature at a point in a field that rises by one per metre along x far away, with the tube's
// wall at 0; risingY the same along y. They come from the same confocal coordinates as exact. PassingX and passingY are
// those fields around an empty hole, whose wall passes no heat.
func (c *patch) risingX(x, y float64) float64  { return c.rising(x, y, c.kx, c.ky, false) }
func (c *patch) risingY(x, y float64) float64  { return c.rising(y, x, c.ky, c.kx, false) }
func (c *patch) passingX(x, y float64) float64 { return c.rising(x, y, c.kx, c.ky, true) }
func (c *patch) passingY(x, y float64) float64 { return c.rising(y, x, c.ky, c.kx, true) }

func (c *patch) rising(x, y, kx, ky float64, empty bool) float64 {
	a, b := c.r/math.Sqrt(kx), c.r/math.Sqrt(ky)
	wall := -a // of the field that the tube adds: what makes its wall 0, or what takes the heat off it
	if empty {
		wall = b
	}
	X, Y := math.Abs(x)/math.Sqrt(kx), math.Abs(y)/math.Sqrt(ky)
	if b > a {
		X, Y = Y, X
	}
	f := math.Sqrt(math.Abs((a - b) * (a + b)))
	A := 0.5 * (math.Hypot(X-f, Y) + math.Hypot(X+f, Y))
	B := math.Sqrt(math.Max(0, (A-f)*(A+f)))
	along := A // half axis of the confocal ellipse along the rise
	if b > a {
		along = B
	}
	return x * (1 + wall/along*(a+b)/(A+B))
}

// solve finds the factor on the links at which the discrete heat flow is the exact one. It returns nil where
// the links carry too little even at full contact.
func (c *patch) solve(m *patchMatrix, links []reach, removed []place) *pattern {
	l := m.linked(c, links)
	rest := 1.0 // 1/factor
	for n := 0; n < 60; n++ {
		flow, slope := l.flow(1 / rest)
		// 1/flow is nearly linear in the rest: exactly so for one link.
		miss := 1/flow - 1
		step := -miss / (slope / (flow * flow * rest * rest))
		if math.Abs(step) < 1e-13*rest {
			break
		}
		if next := rest + step; next > 0.1*rest {
			rest = next
		} else {
			rest *= 0.1
		}
		if rest < leastFactor {
			return nil
		}
	}
	p := &pattern{factor: 1 / rest, removed: removed}
	for _, k := range links {
		k.shape /= rest
		k.side[0], k.side[1] = k.side[0]/rest, k.side[1]/rest
		p.links = append(p.links, k)
	}
	return p
}
