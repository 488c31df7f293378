package figure

import "math"

// belowNumbers is how far below a level axis its extension lines begin, so that none crosses a number.
const belowNumbers = 19

// ranges draws dimension lines below the axis: what was studied, and the verdict on a single line.
func (p *curves) ranges(y float64) float64 {
	if p.x.of.Words != nil || len(p.lines) == 0 {
		return y
	}
	y += 12
	edge := p.bottom + belowNumbers
	p.c.extent(p.x.at(p.from), p.x.at(p.to), edge, y, "studied: "+p.stretch(p.from, p.to), line, ink2)
	if v := p.lines[0].Verdict; v != nil && len(p.lines) == 1 {
		switch {
		case v.Plateau:
			y += 24
			p.c.extent(p.x.at(v.From), p.x.at(p.to), edge, y, "plateau from "+withUnit(sized(v.From), p.x.of.Unit), ink, ink)
		case !math.IsNaN(v.Above):
			y += 24
			p.c.onwards(p.x.at(v.Above), p.right, edge, y, "a plateau begins here, if there is one")
		}
	}
	return y + 16
}

// stretch writes a stretch of the level axis.
func (p *curves) stretch(from, to float64) string {
	return sized(from) + " to " + withUnit(sized(to), p.x.of.Unit)
}

// extent draws a dimension line with its words above it, and extension lines down from an edge.
func (c *canvas) extent(x0, x1, edge, y float64, says, colour, words string) {
	if math.IsNaN(x0 + x1) {
		return
	}
	for _, x := range []float64{x0, x1} {
		c.line(x, edge, x, y+3, "stroke", line, "stroke-width", "0.6")
	}
	c.span(x0, x1, y, colour)
	if widthOf(names, says) <= x1-x0-8 {
		c.text(names, (x0+x1)/2, y-4, "middle", says, halo("fill", words)...)
	} else {
		c.text(names, x0-6, y+4, "end", says, halo("fill", words)...)
	}
}

// onwards draws a dimension line that has a beginning and no end.
func (c *canvas) onwards(x0, x1, edge, y float64, says string) {
	c.line(x0, edge, x0, y+3, "stroke", ink, "stroke-width", "0.6")
	c.line(x0, y, x1, y, "stroke", ink, "stroke-width", "0.7")
	c.path("M"+px(x1+4)+" "+px(y)+"L"+px(x1-4)+" "+px(y-1.4)+"L"+px(x1-4)+" "+px(y+1.4)+"Z", "fill", ink)
	c.circle(x0, y, 1.8, "fill", ink)
	if widthOf(names, says) <= x1-x0-8 {
		c.text(names, x0+8, y-4, "start", says, halo()...)
	} else {
		c.text(names, x0-8, y+4, "end", says, halo()...)
	}
}

// upSpan draws a dimension line upwards; where it is short its arrows come from outside.
func (c *canvas) upSpan(x, y0, y1 float64) {
	head := func(tip, away float64) {
		c.path("M"+px(x)+" "+px(tip)+"L"+px(x-1.4)+" "+px(tip+8*away)+"L"+px(x+1.4)+" "+px(tip+8*away)+"Z", "fill", ink)
	}
	if y1-y0 >= 20 {
		c.line(x, y0, x, y1, "stroke", ink, "stroke-width", "0.7")
		head(y0, 1)
		head(y1, -1)
		return
	}
	c.line(x, y0-16, x, y1+16, "stroke", ink, "stroke-width", "0.7")
	head(y0, -1)
	head(y1, 1)
}

// whisker draws an interval upright, with an end at each side.
func (c *canvas) whisker(x, y0, y1 float64, colour string) {
	if math.IsNaN(x + y0 + y1) {
		return
	}
	c.path("M"+px(x)+" "+px(y0)+"V"+px(y1)+"M"+px(x-3.5)+" "+px(y0)+"h7M"+px(x-3.5)+" "+px(y1)+"h7", "fill", "none", "stroke", colour, "stroke-width", "0.9")
}

// nameAlong names a level axis, to the right of its numbers and of the plot's edge.
func (c *canvas) nameAlong(name string, l *ladder, right, bottom float64) {
	x := right + 12
	if n := len(l.ticks); n > 0 && l.of.Words == nil {
		x = math.Max(x, l.at(l.ticks[n-1].at)+widthOf(numbers, l.label(n-1))/2+8)
	}
	c.lines(names, x, bottom+15, 14, "start", wrap(names, name, c.w-x-6), "fill", ink2)
}
