package press

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"emberbank/paper"
)

// look is how an element is painted: its own attributes and what it has from above.
type look struct {
	fill, stroke         paint
	fillVeil, strokeVeil float64 // shares that cover
	width                float64
	dash, cap, join      string
	evenOdd              bool
	strokeFirst          bool
	family, anchor       string
	size                 float64
	italic, heavy        bool
}

// paint is a colour, or what an id stands for.
type paint struct {
	none bool
	c    colour
	id   string
}

// surface is what a picture is drawn on: a page (pen), an image of dots (plate), or a measure of its words (measure). What has been
// set holds until it is restored.
type surface interface {
	save()
	restore()
	turn(m matrix)
	veil(fill, stroke float64) // shares that cover, of what is filled and stroked
	fill(c colour)
	stroke(c colour)
	outline(l *look)                    // how lines are drawn
	show(t *trace, how painting)        // fills and strokes a shape
	clip(shapes []*trace, evenOdd bool) // keeps what follows inside
	shade(g *gradient)                  // over all that the clip leaves
	text(r run, x, y, size float64)     // in the colour of fills
	halo(r run, size, width float64)    // the letters' rims, in the colour of strokes
}

// painting is what is done with a shape.
type painting struct{ fills, strokes, evenOdd bool }

// drawing draws one picture.
type drawing struct {
	surface
	letters *letters
	ids     map[string]*paper.Element
	letter  func(size float64) float64
	wrong   error
}

// newDrawing begins the drawing of a picture; letter is how large letters of a size in px are set.
func newDrawing(of *paper.Picture, on surface, l *letters, letter func(size float64) float64) *drawing {
	d := &drawing{surface: on, letters: l, ids: map[string]*paper.Element{}, letter: letter}
	of.Walk(func(e *paper.Element) {
		if id := e.Get("id"); id != "" {
			d.ids[id] = e
		}
	})
	return d
}

// all draws the picture, points a px, from the surface's place to the right and down; over is how far words may reach beyond its
// sides, in points.
func (d *drawing) all(of *paper.Picture, points, over float64) error {
	d.save()
	frame := &trace{}
	frame.rect(-over, -of.Height*points, of.Width*points+2*over, of.Height*points)
	d.surface.clip([]*trace{frame}, false)
	d.turn(matrix{points, 0, 0, -points, -of.Left * points, of.Top * points})
	base := look{fillVeil: 1, strokeVeil: 1, width: 1, stroke: paint{none: true}, anchor: "start", size: 16}
	for _, e := range of.Root.Inside {
		d.element(e, base)
	}
	d.restore()
	return d.wrong
}

// draw draws a picture from the pen's place to the right and down, width points wide; letters in it are at least paper.LeastLetter.
func (p *pen) draw(of *paper.Picture, shades *shades, width float64) error {
	points, letter := paper.Scale(of.Width, width/mm)
	p.shades = shades
	const over = 5 * mm // a word may reach beyond the picture's edge, since letters grow
	return newDrawing(of, p, p.letters, letter).all(of, points, over)
}

func (d *drawing) fault(format string, a ...any) {
	if d.wrong == nil {
		d.wrong = fmt.Errorf(format, a...)
	}
}

// number is an attribute's number; 0 where it is not given.
func (d *drawing) number(e *paper.Element, name string) float64 {
	s := e.Get(name)
	if s == "" {
		return 0
	}
	v, err := strconv.ParseFloat(strings.TrimSuffix(s, "px"), 64)
	if err != nil || math.IsNaN(v) || math.Abs(v) > 1e9 {
		d.fault("<%s> has %s=%q, which is no number", e.Name, name, s)
		return 0
	}
	return v
}

// element draws an element and what is inside.
func (d *drawing) element(e *paper.Element, above look) {
	if d.wrong != nil {
		return
	}
	switch e.Name {
	case "title", "desc", "defs", "pattern", "clipPath", "linearGradient", "stop":
		return
	}
	l := d.lookOf(e, above)
	turned, clip := e.Get("transform"), e.Get("clip-path")
	if turned != "" || clip != "" {
		d.save()
		defer d.restore()
	}
	if turned != "" {
		if m, err := transform(turned); err != nil {
			d.fault("<%s>: %v", e.Name, err)
		} else {
			d.turn(m)
		}
	}
	if clip != "" && clip != "none" {
		d.clip(clip)
	}
	switch e.Name {
	case "g", "svg":
		for _, in := range e.Inside {
			d.element(in, l)
		}
	case "text":
		d.word(e, &l)
	default:
		if t := d.shape(e); t != nil {
			if e.Name == "line" {
				l.fill.none = true
			}
			d.paint(t, &l)
		}
	}
}

// shape is an element as a trace; nil: it has none.
func (d *drawing) shape(e *paper.Element) *trace {
	t := &trace{}
	switch e.Name {
	case "rect":
		w, h := d.number(e, "width"), d.number(e, "height")
		if w <= 0 || h <= 0 {
			return nil
		}
		t.rect(d.number(e, "x"), d.number(e, "y"), w, h)
	case "line":
		t.move(d.number(e, "x1"), d.number(e, "y1"))
		t.line(d.number(e, "x2"), d.number(e, "y2"))
	case "circle":
		r := d.number(e, "r")
		if r <= 0 {
			return nil
		}
		t.circle(d.number(e, "cx"), d.number(e, "cy"), r)
	case "path":
		var err error
		if t, err = parsePath(e.Get("d")); err != nil {
			d.fault("%v", err)
			return nil
		}
	default:
		d.fault("an element <%s> is not drawn here", e.Name)
		return nil
	}
	if len(t.steps) == 0 {
		return nil
	}
	return t
}

// clip keeps what follows inside the shapes of a clipPath.
func (d *drawing) clip(value string) {
	id, _ := paper.Target(value)
	e := d.ids[id]
	if e == nil || e.Name != "clipPath" {
		d.fault("clip-path=%q leads to no clipPath", value)
		return
	}
	var shapes []*trace
	evenOdd := false
	for _, in := range e.Inside {
		if t := d.shape(in); t != nil {
			shapes = append(shapes, t)
		}
		evenOdd = evenOdd || in.Get("clip-rule") == "evenodd"
	}
	d.surface.clip(shapes, evenOdd)
}

// paint fills and strokes a shape.
func (d *drawing) paint(t *trace, l *look) {
	fills, strokes := !l.fill.none && l.fillVeil > 0, !l.stroke.none && l.strokeVeil > 0 && l.width > 0
	if strokes && l.stroke.id != "" {
		d.fault("a stroke of %s is not drawn here", l.stroke.id)
		return
	}
	if l.fillVeil < 1 || l.strokeVeil < 1 {
		d.save()
		defer d.restore()
		d.veil(l.fillVeil, l.strokeVeil)
	}
	how := painting{fills, strokes, l.evenOdd}
	if fills && l.fill.id != "" {
		d.filled(t, l)
		how.fills = false
	} else if fills {
		d.fill(l.fill.c)
	}
	if strokes {
		d.stroke(l.stroke.c)
		d.outline(l)
	}
	if how.fills || how.strokes {
		d.show(t, how)
	}
}

// joins and caps are those beside the usual one, which is number 0, in the order of their numbers.
//
// Source: ISO 32000-1:2008, 8.4.3.
var joins, caps = []string{"round", "bevel"}, []string{"round", "square"}

// word sets a text. A stroke that is painted first is a halo.
func (d *drawing) word(e *paper.Element, l *look) {
	c := upright
	switch {
	case strings.Contains(l.family, "Lettering") || strings.TrimSpace(l.family) == "sans-serif":
		c = lettering
	case l.heavy:
		c = heavy
	case l.italic:
		c = italic
	}
	r := d.letters.shape(c, strings.Join(strings.FieldsFunc(e.Text, func(r rune) bool { return r == '\n' || r == '\t' || r == ' ' }), " "))
	size := d.letter(l.size)
	x := d.number(e, "x")
	switch l.anchor {
	case "middle":
		x -= r.wide * size / 2
	case "end":
		x -= r.wide * size
	}
	d.save()
	d.turn(matrix{1, 0, 0, -1, x, d.number(e, "y")})
	if l.fillVeil < 1 || l.strokeVeil < 1 {
		d.veil(l.fillVeil, l.strokeVeil)
	}
	if !l.stroke.none && l.strokeFirst {
		d.stroke(l.stroke.c)
		d.halo(r, size, l.width)
	}
	if !l.fill.none {
		d.fill(l.fill.c)
		d.stroke(l.fill.c)
		d.text(r, 0, 0, size)
	}
	d.restore()
}
