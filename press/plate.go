package press

import (
	"image"
	"math"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
)

// plate is a picture of dots, drawn with the same strokes as a page. What is half covered is half tinted.
type plate struct {
	img     *image.RGBA
	letters *letters
	inked
	saved []inked
}

// inked is what holds until it is restored.
type inked struct {
	at                     matrix // from the picture's units to dots
	inside                 *mask  // nil: everywhere
	fillVeil, strokeVeil   float64
	fillColour, lineColour colour
	line                   look // how lines are drawn
}

// newPlate is a white plate of so many dots, on which points are drawn; up is up, and the upper left corner is where both are zero.
func newPlate(wide, high int, perPoint float64, l *letters) *plate {
	p := &plate{img: image.NewRGBA(image.Rect(0, 0, wide, high)), letters: l}
	for i := range p.img.Pix {
		p.img.Pix[i] = 255
	}
	p.inked = inked{at: matrix{perPoint, 0, 0, -perPoint, 0, 0}, fillVeil: 1, strokeVeil: 1, line: look{width: 1}}
	return p
}

func (p *plate) save() { p.saved = append(p.saved, p.inked) }

func (p *plate) restore() {
	n := len(p.saved) - 1
	p.inked, p.saved = p.saved[n], p.saved[:n]
}

func (p *plate) turn(m matrix)             { p.at = m.over(p.at) }
func (p *plate) veil(fill, stroke float64) { p.fillVeil, p.strokeVeil = fill, stroke }
func (p *plate) fill(c colour)             { p.fillColour = c }
func (p *plate) stroke(c colour)           { p.lineColour = c }
func (p *plate) outline(l *look)           { p.line = *l }

// scale is how many dots a unit is.
func (p *plate) scale() float64 { return math.Sqrt(math.Abs(p.at[0]*p.at[3] - p.at[1]*p.at[2])) }

// dots maps points of the picture to the plate.
func (p *plate) dots(points []point) []point {
	out := make([]point, len(points))
	for i, q := range points {
		out[i].x, out[i].y = p.at.apply(q.x, q.y)
	}
	return out
}

// surfaces are shapes as polygons of dots.
func (p *plate) surfaces(shapes ...*trace) (all [][]point) {
	for _, t := range shapes {
		for _, s := range t.flat(p.scale()) {
			all = append(all, p.dots(s.points))
		}
	}
	return all
}

func (p *plate) clip(shapes []*trace, evenOdd bool) {
	m := cover(p.surfaces(shapes...), evenOdd, p.reach())
	if p.inside != nil {
		m = m.within(p.inside)
	}
	p.inside = m
}

// reach is where anything can be drawn.
func (p *plate) reach() image.Rectangle {
	if p.inside != nil {
		return p.inside.r
	}
	return p.img.Bounds()
}

func (p *plate) show(t *trace, how painting) {
	if how.fills {
		p.ink(cover(p.surfaces(t), how.evenOdd, p.reach()), p.fillVeil, func(int, int) colour { return p.fillColour })
	}
	if !how.strokes {
		return
	}
	var all [][]point
	lines := t.flat(p.scale())
	if p.line.dash != "" {
		lines = dashed(lines, p.line.dash)
	}
	for i := range lines {
		for _, piece := range widen(&lines[i], &p.line, p.scale()) {
			all = append(all, oneWay(p.dots(piece)))
		}
	}
	p.ink(cover(all, false, p.reach()), p.strokeVeil, func(int, int) colour { return p.lineColour })
}

// oneWay turns a polygon so that all go round in one way, and none takes away what another covers.
func oneWay(s []point) []point {
	area := 0.0
	for i := range s {
		a, b := s[i], s[(i+1)%len(s)]
		area += a.x*b.y - a.y*b.x
	}
	if area < 0 {
		for i, k := 0, len(s)-1; i < k; i, k = i+1, k-1 {
			s[i], s[k] = s[k], s[i]
		}
	}
	return s
}

// ink lays a colour over what a mask covers, as far as the clip leaves it.
func (p *plate) ink(m *mask, veil float64, of func(x, y int) colour) {
	if p.inside != nil {
		m = m.within(p.inside)
	}
	for y := m.r.Min.Y; y < m.r.Max.Y; y++ {
		for i, share := range m.row(y, m.r.Min.X, m.r.Max.X) {
			if share == 0 {
				continue
			}
			a, x := veil*float64(share)/255, m.r.Min.X+i
			c := of(x, y)
			pix := p.img.Pix[p.img.PixOffset(x, y):]
			for k := range c {
				pix[k] = uint8(math.Round((1-a)*float64(pix[k]) + a*255*c[k]))
			}
		}
	}
}

func (p *plate) shade(g *gradient) {
	back, ok := p.at.inverse()
	if !ok {
		return
	}
	r := p.reach()
	m := newMask(r)
	for i := range m.all {
		m.all[i] = 255
	}
	dx, dy := g.x2-g.x1, g.y2-g.y1
	long := dx*dx + dy*dy
	p.ink(m, p.fillVeil, func(x, y int) colour {
		u, v := back.apply(float64(x)+0.5, float64(y)+0.5)
		if long == 0 {
			return g.at(1)
		}
		return g.at(((u-g.x1)*dx + (v-g.y1)*dy) / long)
	})
}

// at is the colour at a share of the way.
func (g *gradient) at(share float64) colour {
	n := len(g.offsets)
	if !(share > g.offsets[0]) {
		return g.colours[0]
	}
	for i := 1; i < n; i++ {
		if a, b := g.offsets[i-1], g.offsets[i]; share < b {
			u := (share - a) / (b - a)
			var c colour
			for k := range c {
				c[k] = (1-u)*g.colours[i-1][k] + u*g.colours[i][k]
			}
			return c
		}
	}
	return g.colours[n-1]
}

func (p *plate) halo(r run, size, width float64) {
	p.line = look{width: width, join: "round"}
	p.rims(r, 0, 0, size, painting{strokes: true})
}

func (p *plate) text(r run, x, y, size float64) { p.rims(r, x, y, size, painting{fills: true}) }

// rims paints the letters of a run.
func (p *plate) rims(r run, x, y, size float64, how painting) {
	for i := range r.pieces {
		piece := &r.pieces[i]
		if piece.boxed != "" {
			wide := boxWide(piece.boxed) * size
			frame := &trace{}
			frame.rect(x+0.08*size, y-0.12*size, wide-0.16*size, 0.8*size)
			p.line = look{width: 0.05 * size}
			p.show(frame, painting{strokes: true})
			inner := p.letters.shape(lettering, piece.boxed)
			fit := boxShare * size * min(1, (wide-0.25*size)/(boxShare*size*inner.wide))
			p.rims(inner, x+(wide-fit*inner.wide)/2, y+0.1*size, fit, how)
			x += wide
			continue
		}
		for _, g := range piece.glyphs {
			t := piece.face.rim(g.id, size, x+g.dx*size, y+g.dy*size, piece.upside)
			if len(t.steps) > 0 {
				p.show(t, how)
			}
			x += g.advance * size
		}
	}
}

// rim is the outline of a glyph at a place; one that stands on its head hangs from the height of capitals.
func (f *face) rim(id font.GID, size, x, y float64, upside bool) *trace {
	t := &trace{}
	o, ok := f.shapes.GlyphData(id).(font.GlyphOutline)
	if !ok {
		return t
	}
	k := size / f.upem
	place := func(p opentype.SegmentPoint) (float64, float64) {
		if upside {
			return x + k*float64(p.X), y + capital*size - k*float64(p.Y)
		}
		return x + k*float64(p.X), y + k*float64(p.Y)
	}
	var px, py float64
	for i := range o.Segments {
		s := &o.Segments[i]
		x0, y0 := place(s.Args[0])
		x1, y1 := place(s.Args[1])
		x2, y2 := place(s.Args[2])
		switch s.Op {
		case opentype.SegmentOpMoveTo:
			t.move(x0, y0)
			px, py = x0, y0
		case opentype.SegmentOpLineTo:
			t.line(x0, y0)
			px, py = x0, y0
		case opentype.SegmentOpQuadTo:
			t.curve(px+2./3*(x0-px), py+2./3*(y0-py), x1+2./3*(x0-x1), y1+2./3*(y0-y1), x1, y1)
			px, py = x1, y1
		case opentype.SegmentOpCubeTo:
			t.curve(x0, y0, x1, y1, x2, y2)
			px, py = x2, y2
		}
	}
	return t
}
