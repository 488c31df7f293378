package figure

import (
	"math"

	"emberbank/block"
)

// dimensions draws the main sizes in the user's blue: below along the section, on the left upwards.
func (d *drawing) dimensions() {
	b := d.rec.Block
	u, v := d.s.across, d.s.up
	lines := d.s.g.Lines
	// Along: outside, block, outside.
	stops := clean([]float64{lines[u][0], b.Min[u], b.Max[u], lines[u][len(lines[u])-1]})
	y := d.bottom + 26
	for i := 1; i < len(stops); i++ {
		d.dimension(d.x(stops[i-1]), y, d.x(stops[i]), y, stops[i]-stops[i-1])
	}
	for _, s := range stops {
		d.c.line(d.x(s), d.bottom+3, d.x(s), y+4, "stroke", pen, "stroke-width", "0.6")
	}
	if len(stops) > 2 {
		y += 24
		d.dimension(d.x(stops[0]), y, d.x(stops[len(stops)-1]), y, stops[len(stops)-1]-stops[0])
		for _, s := range []float64{stops[0], stops[len(stops)-1]} {
			d.c.line(d.x(s), d.bottom+3, d.x(s), y+4, "stroke", pen, "stroke-width", "0.6")
		}
	}
	// Upwards.
	stops = clean([]float64{lines[v][0], b.Min[v], b.Max[v], lines[v][len(lines[v])-1]})
	x := d.left - 26
	for i := 1; i < len(stops); i++ {
		d.dimension(x, d.y(stops[i-1]), x, d.y(stops[i]), stops[i]-stops[i-1])
	}
	for _, s := range stops {
		d.c.line(d.left-3, d.y(s), x-4, d.y(s), "stroke", pen, "stroke-width", "0.6")
	}
	// The window's opening, one line further out.
	if w := d.rec.Window; w != nil && u == block.Depth && d.at >= w.Opening.Min[d.s.normal] && d.at <= w.Opening.Max[d.s.normal] {
		lo, hi := w.Opening.Min[v], w.Opening.Max[v]
		x -= 32
		d.dimension(x, d.y(lo), x, d.y(hi), hi-lo)
		for _, s := range []float64{lo, hi} {
			d.c.line(d.left-3, d.y(s), x-4, d.y(s), "stroke", pen, "stroke-width", "0.6")
		}
		d.c.text(names, x-17, d.y((lo+hi)/2)+4, "end", "window")
	}
	d.c.text(numbers, d.c.w-20, d.bottom+30, "end", "lengths in mm, to scale", "fill", ink2)
	d.c.text(names, d.left+d.width/2, drawingTop-12, "middle", map[block.Axis]string{
		block.Depth: "seen from the window: width to the right, height upwards",
		block.Width: "depth to the right, height upwards", block.Height: "depth to the right, width upwards",
	}[d.s.normal], "fill", ink2)
}

// clean sorts out stops that coincide.
func clean(stops []float64) []float64 {
	out := stops[:1]
	for _, s := range stops[1:] {
		if s-out[len(out)-1] > 1e-9 {
			out = append(out, s)
		}
	}
	return out
}

// dimension draws a line with slender closed arrowheads and the length above it, in mm. Where the line is too
// short for its number, arrows come from outside and the number goes beside it.
func (d *drawing) dimension(x0, y0, x1, y1, metres float64) {
	mm := metres * 1000
	decimals := 0
	if mm < 10 && math.Abs(mm-math.Round(mm)) > 1e-6 {
		decimals = 1
	}
	s := Number(mm, decimals)
	l := math.Hypot(x1-x0, y1-y0)
	w := widthOf(numbers, s)
	head := func(x, y, dx, dy float64) { // tip at x, y, coming along dx, dy
		d.c.path("M"+px(x)+" "+px(y)+"L"+px(x-8*dx-1.25*dy)+" "+px(y-8*dy+1.25*dx)+"L"+px(x-8*dx+1.25*dy)+" "+px(y-8*dy-1.25*dx)+"Z", "fill", pen)
	}
	if l == 0 {
		return
	}
	dx, dy := (x1-x0)/l, (y1-y0)/l
	inside := l >= 20
	d.c.line(x0, y0, x1, y1, "stroke", pen, "stroke-width", "0.6")
	if inside {
		head(x0, y0, -dx, -dy)
		head(x1, y1, dx, dy)
	} else { // small ticks instead of arrowheads
		for _, p := range [][2]float64{{x0, y0}, {x1, y1}} {
			d.c.line(p[0]-3, p[1]+3, p[0]+3, p[1]-3, "stroke", pen, "stroke-width", "0.8")
		}
	}
	mx, my := (x0+x1)/2, (y0+y1)/2
	if l < w+6 {
		return // no room: the neighbours and the whole are given
	}
	if dy == 0 {
		d.c.text(numbers, mx, my-4, "middle", s, "fill", pen)
	} else {
		d.c.text(numbers, mx-4, my, "middle", s, "fill", pen, "transform", "rotate(-90 "+px(mx-4)+" "+px(my)+")")
	}
}
