package press

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// pen writes a page's content: shapes and text, in points from the page's lower left corner or in what a matrix makes of them.
type pen struct {
	b       strings.Builder
	letters *letters
	veils   *veils
	shades  *shades // of the picture that is drawn
}

func (p *pen) op(parts ...string) {
	for _, s := range parts {
		p.b.WriteString(s)
	}
	p.b.WriteByte('\n')
}

func (p *pen) save()    { p.op("q") }
func (p *pen) restore() { p.op("Q") }

// matrix maps points.
type matrix [6]float64

// over is first m, then n.
func (m matrix) over(n matrix) matrix {
	return matrix{
		m[0]*n[0] + m[1]*n[2], m[0]*n[1] + m[1]*n[3], m[2]*n[0] + m[3]*n[2], m[2]*n[1] + m[3]*n[3],
		m[4]*n[0] + m[5]*n[2] + n[4], m[4]*n[1] + m[5]*n[3] + n[5],
	}
}

func (m matrix) apply(x, y float64) (float64, float64) {
	return m[0]*x + m[2]*y + m[4], m[1]*x + m[3]*y + m[5]
}

// inverse is what undoes m; false: nothing does.
func (m matrix) inverse() (matrix, bool) {
	d := m[0]*m[3] - m[1]*m[2]
	if d == 0 {
		return m, false
	}
	return matrix{m[3] / d, -m[1] / d, -m[2] / d, m[0] / d, (m[2]*m[5] - m[3]*m[4]) / d, (m[1]*m[4] - m[0]*m[5]) / d}, true
}

func (p *pen) turn(m matrix) { p.op(nums(m[:]...), " cm") }

// colour is ink as red, green and blue, 0 to 1.
type colour [3]float64

// Inks of the page.
var (
	ink  = hex("#17211F")
	ink2 = hex("#4A5653")
	ink3 = hex("#626E6A")
	rule = hex("#8C9894")
	hair = hex("#D3DAD6")
	sign = hex("#F6C400")
)

// hex is colourOf for the program's own.
func hex(s string) colour {
	c, err := colourOf(s)
	if err != nil {
		panic(s + ": " + err.Error())
	}
	return c
}

func (p *pen) fill(c colour)   { p.op(nums(c[:]...), " rg") }
func (p *pen) stroke(c colour) { p.op(nums(c[:]...), " RG") }

// outline sets how lines are drawn.
func (p *pen) outline(l *look) {
	p.op(num(l.width), " w ", strconv.Itoa(1+slices.Index(joins, l.join)), " j ", strconv.Itoa(1+slices.Index(caps, l.cap)), " J 4 M [", l.dash, "] 0 d")
}

// show fills and strokes a shape.
func (p *pen) show(t *trace, how painting) {
	t.write(&p.b, 0, 0)
	op := map[[2]bool]string{{true, true}: "B", {true, false}: "f", {false, true}: "S"}[[2]bool{how.fills, how.strokes}]
	if how.evenOdd && how.fills {
		op += "*"
	}
	p.op(op)
}

// clip keeps what follows inside shapes.
func (p *pen) clip(shapes []*trace, evenOdd bool) {
	for _, t := range shapes {
		t.write(&p.b, 0, 0)
	}
	if evenOdd {
		p.op("W* n")
		return
	}
	p.op("W n")
}

// shade covers what the clip leaves with a gradient.
func (p *pen) shade(g *gradient) { p.op("/", p.shades.of(g), " sh") }

// halo strokes the rims of letters.
func (p *pen) halo(r run, size, width float64) {
	p.op(num(width), " w 1 j 1 Tr")
	p.text(r, 0, 0, size)
	p.op("0 Tr")
}

// line draws a straight line.
func (p *pen) line(x1, y1, x2, y2, width float64, c colour) {
	p.stroke(c)
	p.op(num(width), " w ", nums(x1, y1), " m ", nums(x2, y2), " l S")
}

// bar fills a rectangle.
func (p *pen) bar(x, y, w, h float64, c colour) {
	p.fill(c)
	p.op(nums(x, y, w, h), " re f")
}

// text sets a run at a size with its first glyph at x, y, as pen and matrix stand.
func (p *pen) text(r run, x, y, size float64) {
	for i := range r.pieces {
		piece := &r.pieces[i]
		if piece.boxed != "" {
			wide := boxWide(piece.boxed) * size
			inner := p.letters.shape(lettering, piece.boxed)
			p.op(num(0.05*size), " w ", nums(x+0.08*size, y-0.12*size, wide-0.16*size, 0.8*size), " re S")
			fit := boxShare * size * min(1, (wide-0.25*size)/(boxShare*size*inner.wide))
			p.text(inner, x+(wide-fit*inner.wide)/2, y+0.1*size, fit)
			x += wide
			continue
		}
		x = p.glyphs(piece, x, y, size)
	}
}

// capital is how high capitals are, as a share of the size.
const capital = 0.64

// glyphs sets a piece and returns where the next one begins.
func (p *pen) glyphs(piece *piece, x, y, size float64) float64 {
	f := piece.face
	if f.name == "" {
		p.letters.faces = append(p.letters.faces, f)
		f.name = fmt.Sprintf("F%d", len(p.letters.faces))
	}
	p.op("BT /", f.name, " ", num(size), " Tf")
	var b strings.Builder
	open, lead := false, 0.0 // lead: by how much the pen stands before its place, in shares of the size
	shut := func() {
		if open {
			b.WriteString(">")
			open = false
		}
	}
	if piece.upside {
		p.op("/Span << /ActualText ", words(string(nabla)), " >> BDC")
		defer p.op("EMC")
		p.op(nums(1, 0, 0, -1, x, y+capital*size), " Tm")
	} else {
		p.op(nums(1, 0, 0, 1, x, y), " Tm")
	}
	level := 0.0
	for _, g := range piece.glyphs {
		if g.dy != level {
			shut()
			if b.Len() > 0 {
				p.op("[", b.String(), "] TJ")
				b.Reset()
			}
			level = g.dy
			p.op(num(level*size), " Ts")
		}
		if shift := lead + g.dx; shift > 0.0005 || shift < -0.0005 {
			shut()
			b.WriteString(num(-shift * 1000))
			lead -= shift
		}
		if !open {
			b.WriteString("<")
			open = true
		}
		fmt.Fprintf(&b, "%04X", g.id)
		lead += g.advance - f.advance(g.id)
		x += g.advance * size
	}
	shut()
	p.op("[", b.String(), "] TJ")
	if level != 0 {
		p.op("0 Ts")
	}
	p.op("ET")
	return x
}

// veils are the degrees of see-through that pages use.
type veils struct{ all []string }

// veil makes what follows see-through: shares of 1 for fill and stroke.
func (p *pen) veil(fill, stroke float64) {
	entry := fmt.Sprintf("<< /Type /ExtGState /ca %s /CA %s >>", num(fill), num(stroke))
	for i, e := range p.veils.all {
		if e == entry {
			p.op(fmt.Sprintf("/V%d gs", i+1))
			return
		}
	}
	p.veils.all = append(p.veils.all, entry)
	p.op(fmt.Sprintf("/V%d gs", len(p.veils.all)))
}
