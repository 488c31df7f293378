package figure

import "math"

// contours draws a map between numbers.
func (d *terrain) contours() {
	d.bottom = d.top + 440
	loV, hiV := spanOf(d.V)
	d.y = lay(d.Y, loV, hiV, d.bottom, d.top)
	d.y.standing()
	d.left = math.Max(leftOf(d.y), 20+math.Min(widthOf(names, d.Y.Name), 60))
	loU, hiU := spanOf(d.U)
	d.x = lay(d.X, loU, hiU, d.left, d.right).along()
	n := d.nodes(d.F)
	d.regions(n)
	d.missing()
	lines := d.lines(n)
	d.fences()
	d.bare()
	d.dots()
	for _, l := range lines {
		text, _ := d.inkOn(l.celsius)
		d.onLine(l.points, numbers, Number(l.celsius, l.decimals), text, d.tint(l.celsius))
	}
	d.c.rect(d.left, d.top, d.right-d.left, d.bottom-d.top, "fill", "none", "stroke", ink, "stroke-width", "1")
	if x, y := d.x.at(d.bestX), d.y.at(d.bestY); !math.IsNaN(x + y) {
		text, other := d.inkOn(d.bestF)
		d.ring(x, y, text, other)
	}
	for i := range d.x.ticks {
		x := d.x.at(d.x.ticks[i].at)
		d.c.line(x, d.bottom, x, d.bottom+4, "stroke", ink, "stroke-width", "0.8")
		d.c.text(numbers, x, d.bottom+17, "middle", d.x.label(i))
	}
	for i := range d.y.ticks {
		y := d.y.at(d.y.ticks[i].at)
		d.c.line(d.left-4, y, d.left, y, "stroke", ink, "stroke-width", "0.8")
		d.c.text(numbers, d.left-7, y+4, "end", d.y.label(i))
	}
	d.c.text(names, d.right, d.bottom+36, "end", fit(names, d.X.Name+" to the right, "+d.Y.Name+" upwards", d.right-d.left), "fill", ink2)
	d.c.h = d.bottom + 72
}

// standing numbers a ladder that stands upright within its range.
func (l *ladder) standing() {
	if l.of.Ratio {
		l.upwards()
		return
	}
	l.steps(niceStep(l.hi-l.lo, max(2, int(math.Abs(l.to-l.from)/38))))
}

// nodes lays values at their places on the paper; v runs upwards, so that it is the height with its sign turned. Values that
// lack are filled from their neighbours: their cells are made bare later.
func (d *terrain) nodes(f []float64) *nodes {
	n := &nodes{u: d.x.places(d.U), v: d.y.places(d.V), f: append([]float64(nil), f...)}
	for j := range n.v {
		n.v[j] = -n.v[j]
	}
	n.filled()
	return n
}

// around traces the regions in which values reach a level.
func around(n *nodes, level float64) string {
	var p polyline
	for _, l := range contours(n.fenced(), level) {
		for i, v := range l {
			if i == 0 {
				p.move(v.u, -v.v)
			} else {
				p.to(v.u, -v.v)
			}
		}
		p.close()
	}
	return p.String()
}

// regions fills each step of the scale, the lowest first.
func (d *terrain) regions(n *nodes) {
	lo, hi := spanOf(n.f)
	s := d.scale
	first := true
	for k := range int(math.Round((s.high - s.low) / s.step)) {
		level := s.low + float64(k)*s.step
		if level+s.step <= lo || level > hi {
			continue
		}
		colour := d.tint(level + s.step/2)
		if first {
			d.c.rect(d.left, d.top, d.right-d.left, d.bottom-d.top, "fill", colour)
			first = false
		} else if w := around(n, level); w != "" {
			d.c.path(w, "fill", colour, "fill-rule", "evenodd")
		}
	}
}

// missing hatches the ground on which a constraint is not met.
func (d *terrain) missing() {
	whole := "M" + px(d.left) + " " + px(d.top) + "H" + px(d.right) + "V" + px(d.bottom) + "H" + px(d.left) + "Z"
	for i := range d.Borders {
		b := &d.Borders[i]
		way := around(d.nodes(b.F), b.At)
		if !b.Most {
			way = whole + way // all but where the level is reached
		}
		if way != "" {
			d.c.path(way, "fill", "url(#misses-"+d.groundOf(b)+")", "fill-rule", "evenodd")
		}
	}
}

// groundOf tells whether what a border leaves out lies on pale or on dark tints.
func (d *terrain) groundOf(b *Border) string {
	sum, n := 0.0, 0.0
	for k, v := range b.F {
		if !math.IsNaN(v+d.F[k]) && !b.met(v) {
			sum, n = sum+d.F[k], n+1
		}
	}
	if n > 0 && d.scale.share(sum/n) > 0.58 {
		return "hot"
	}
	return "cold"
}

// lines draws lines of equal value where tints meet, each second one of many, and returns them for their numbers.
func (d *terrain) lines(n *nodes) (out []isoline) {
	step := d.scale.step
	if (d.scale.high-d.scale.low)/step > 12.5 {
		step *= 2
	}
	if x, y := d.x.at(d.bestX), d.y.at(d.bestY); !math.IsNaN(x + y) {
		d.room.take(patch{x - 10, y - 10, x + 10, y + 10})
	}
	for k := math.Ceil(d.scale.low/step - 1e-9); k*step <= d.scale.high+1e-9*step; k++ {
		v := k * step
		colour, width := ink, "0.45"
		if d.scale.share(v) > 0.62 {
			colour = sheet
		}
		if math.Mod(math.Abs(k), 5) == 0 {
			width = "0.9"
		}
		for _, l := range contours(n, v) {
			way := onPaper(l)
			d.c.path(wayOf(way), "fill", "none", "stroke", colour, "stroke-width", width)
			out = append(out, isoline{celsius: v, decimals: decimalsOf(step), points: way})
		}
	}
	return out
}

// wayOf is points as a path's data.
func wayOf(points []vertex) string {
	var p polyline
	for i, q := range points {
		if i == 0 {
			p.move(q.u, q.v)
		} else {
			p.to(q.u, q.v)
		}
	}
	return p.String()
}

func onPaper(l []vertex) []vertex {
	out := make([]vertex, len(l))
	for i, v := range l {
		out[i] = vertex{v.u, -v.v}
	}
	return out
}

// onLine sets a text on a line where it is free, once, and tells whether there was a place.
func (d *terrain) onLine(way []vertex, style int, s, colour, ground string) bool {
	within := patch{d.left + 4, d.top + 4, d.right - 4, d.bottom - 4}
	all := 0.0
	for i := 1; i < len(way); i++ {
		all += math.Hypot(way[i].u-way[i-1].u, way[i].v-way[i-1].v)
	}
	if all < 60 {
		return false
	}
	for _, share := range []float64{0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9} {
		p := along(way, share*all)
		b := patchOf(style, p.u, p.v+4, "middle", s)
		wide := patch{b.x0 - 3, b.y0 - 2, b.x1 + 3, b.y1 + 2}
		if b.x0 < within.x0 || b.x1 > within.x1 || b.y0 < within.y0 || b.y1 > within.y1 || !d.room.free(wide) {
			continue
		}
		d.room.take(wide)
		if style == names {
			d.c.rect(b.x0-2, b.y0-1, b.x1-b.x0+4, b.y1-b.y0+2, "fill", sheet, "fill-opacity", "0.9")
			d.c.text(style, p.u, p.v+4, "middle", s, "fill", colour)
			return true
		}
		d.c.text(style, p.u, p.v+4, "middle", s, d.marked([]string{"fill", colour, "stroke", ground, "stroke-width", "3", "paint-order", "stroke", "stroke-linejoin", "round"})...)
		return true
	}
	return false
}

// fences draws the borders of constraints with their words; where these find no room on the fence, they go into the key.
func (d *terrain) fences() {
	for i := range d.Borders {
		b := &d.Borders[i]
		said, drawn := false, false
		for _, l := range contours(d.nodes(b.F), b.At) {
			way := onPaper(l)
			d.c.path(wayOf(way), "fill", "none", "stroke", sheet, "stroke-width", "4", "stroke-opacity", "0.8")
			d.c.fence(way, b.Most)
			said, drawn = said || d.onLine(way, names, b.Says, ink, sheet), true
		}
		if drawn && !said {
			d.unsaid = append(d.unsaid, b.Says)
		}
	}
}

// bare takes the tint away round variants that failed.
func (d *terrain) bare() {
	half := func(at []float64, i int) (lo, hi float64) {
		lo, hi = at[i], at[i]
		if i > 0 {
			lo = (at[i] + at[i-1]) / 2
		}
		if i+1 < len(at) {
			hi = (at[i] + at[i+1]) / 2
		}
		return math.Min(lo, hi), math.Max(lo, hi)
	}
	u, v := d.x.places(d.U), d.y.places(d.V)
	for j := range v {
		for i := range u {
			k := i + len(u)*j
			if d.Fate[k] != Failed && !math.IsNaN(d.F[k]) {
				continue
			}
			x0, x1 := half(u, i)
			y0, y1 := half(v, j)
			d.c.rect(x0, y0, x1-x0, y1-y0, "fill", sheet)
			d.room.take(patch{x0, y0, x1, y1})
			if x1-x0 >= 8 && y1-y0 >= 8 {
				d.c.variant(Failed, (x0+x1)/2, (y0+y1)/2, 2.6, ink2)
			}
		}
	}
}

// dots shows where variants were computed, where they can be told apart.
func (d *terrain) dots() {
	if len(d.U)*len(d.V) > 400 {
		return
	}
	u, v := d.x.places(d.U), d.y.places(d.V)
	for j := range v {
		for i := range u {
			if k := i + len(u)*j; d.Fate[k] != Failed && !math.IsNaN(d.F[k]) {
				text, _ := d.inkOn(d.F[k])
				d.c.circle(u[i], v[j], 1.1, "fill", text)
			}
		}
	}
}
