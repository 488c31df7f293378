package figure

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/receiver"
)

// View says where a receiver is cut and how its section is laid out.
type View struct {
	Axis block.Axis
	At   float64 // m along Axis, where it is cut
	// Wide and High are the room in px that the whole picture may take on a page; it has no title then, since the page has
	// its own. Zero: as it is printed.
	Wide, High float64
	Head       string  // a line above a picture for a page, such as when it is; "": none
	Colours    Range   // of the rule of temperature
	Given      []Given // lengths with where they are written; nil: those of the receiver, which are written nowhere
	Sensors    []Sensor
	Kelvin     bool  // lines of equal temperature stand at round numbers of K, and say these
	Water      []Wet // how it stands at the moment of the field; nil: as a profile of that moment tells it
}

// Sensor is a place on the drawing with the number under which it is listed.
type Sensor struct {
	Number int
	Name   string
	At     block.Point // m
}

// Room for the drawing itself where it is printed, px; dimensions, rule and key stand around it.
const (
	leastWidth  = 640
	drawingLeft = 136
	drawingTop  = 62
	drawingWide = 520
	drawingHigh = 460
)

// drawing is a section being drawn.
type drawing struct {
	c     *canvas
	r     *heat.Result
	rec   *receiver.Receiver
	view  View
	part  []int16 // of each cell, bores counted to what they are drilled through
	f     heat.Field
	s     slice
	at    float64
	scale scale
	// paper = offset ± m·perMetre; v grows upwards.
	perMetre, left, bottom float64
	width, height          float64 // px
	top                    float64 // px, room above the drawing
	rulerAt                float64 // px
	clipName               string
	even                   string              // that the block is, in words
	water                  map[string][]wetted // by pass
}

func (d *drawing) x(u float64) float64 { return d.left + (u-d.s.g.Lines[d.s.across][0])*d.perMetre }

func (d *drawing) y(v float64) float64 { return d.bottom - (v-d.s.g.Lines[d.s.up][0])*d.perMetre }

// warm tells that temperatures are known: before anything is computed only the shapes are.
func (d *drawing) warm() bool { return len(d.f.Temperature) > 0 }

// onPage tells that the picture is laid out for a page.
func (d *drawing) onPage() bool { return d.view.Wide > 0 }

// Section draws the receiver cut through the plane at a coordinate, in m, along an axis, to scale: temperature as
// tints with isotherms, hatching by what a part is for, passes as circles with their water, the melting front as a
// line with teeth to the solid, the main dimensions, and the temperature rule. For the two upright planes height
// is up; for a level one depth runs to the right and width upwards.
func Section(r *heat.Result, rec *receiver.Receiver, field heat.Field, axis block.Axis, at float64, colours Range) []byte {
	return SectionOf(r, rec, field, View{Axis: axis, At: at, Colours: colours})
}

// SectionOf is Section as a view wants it. A field without temperatures gives the shapes alone.
func SectionOf(r *heat.Result, rec *receiver.Receiver, field heat.Field, v View) []byte {
	return sectionOf(r, rec, field, v).c.bytes()
}

func sectionOf(r *heat.Result, rec *receiver.Receiver, field heat.Field, v View) *drawing {
	d := cutThrough(r, rec, field, v.Axis, v.At)
	d.view = v
	if v.Given == nil {
		d.view.Given = unwritten(rec)
	}
	lo, hi := Extremes(&field)
	if lo > hi {
		lo, hi = 0, 1
	}
	d.scale = v.Colours.scale(lo, hi)
	title := fmt.Sprintf("Section at %s %s mm, after %s", v.Axis, Number(v.At*1000, 0), Span(field.Time))
	desc := fmt.Sprintf("Temperatures from %s to %s %s.", Number(lo, 1), Number(hi, 1), degree)
	switch {
	case !d.warm():
		title, desc = fmt.Sprintf("Section at %s %s mm", v.Axis, Number(v.At*1000, 0)), "Shapes only: nothing is computed yet."
	case r.Ended == 0 && field.Time == 0 && r.Ledger.Steady || !d.onPage() && r.Ended == 0 && field.Time == 0 && len(r.History.Time) < 2:
		title = fmt.Sprintf("Section at %s %s mm, steady", v.Axis, Number(v.At*1000, 0))
	}
	d.layOut(title, desc)
	d.defs()
	if !d.onPage() {
		d.c.text(sentence, 20, 28, "start", fit(sentence, title, d.c.w-40))
	}
	d.draw()
	d.dimensions()
	if d.warm() {
		d.rule(lo, hi)
	}
	d.key()
	return d
}

// Drawn draws the shapes of a receiver before anything is computed, as View wants it.
func Drawn(rec *receiver.Receiver, v View) []byte {
	return SectionOf(shapesOf(rec), rec, heat.Field{}, v)
}

// shapesOf lays the coarsest grid that shows every part.
func shapesOf(rec *receiver.Receiver) *heat.Result {
	g := &block.Grid{}
	for a := range g.Lines {
		var faces []float64
		for i := range rec.Parts {
			faces = append(faces, rec.Parts[i].Box.Min[a], rec.Parts[i].Box.Max[a])
		}
		slices.Sort(faces)
		if len(faces) == 0 {
			faces = []float64{rec.Block.Min[a], rec.Block.Max[a]}
		}
		g.Lines[a] = clean(faces)
	}
	part := make([]int16, g.Cells())
	for c := range part {
		i, j, k := g.Place(c)
		at := block.Point{g.Centre(0, i), g.Centre(1, j), g.Centre(2, k)}
		part[c] = -1
		for q := range rec.Parts {
			if rec.Parts[q].Box.Contains(at) {
				part[c] = int16(q)
				if rec.Parts[q].Medium < 0 {
					part[c] = -1
				}
			}
		}
	}
	return &heat.Result{Grid: g, Part: part}
}

// headRoom is what a line above a picture takes, px.
const headRoom = 30

// layOut finds the scale of lengths and where the drawing stands.
func (d *drawing) layOut(title, desc string) {
	g := d.s.g
	u, v := g.Lines[d.s.across], g.Lines[d.s.up]
	w, h := u[len(u)-1]-u[0], v[len(v)-1]-v[0]
	if !d.onPage() {
		d.perMetre = math.Min(drawingWide/w, drawingHigh/h)
		d.width, d.height = w*d.perMetre, h*d.perMetre
		d.left, d.top, d.bottom = drawingLeft, drawingTop, drawingTop+math.Max(d.height, 250)
		if d.height < 250 {
			d.bottom -= (250 - d.height) / 2
		}
		// The frame's height: the drawing, its dimensions, the key.
		d.rulerAt = d.left + d.width + 118
		d.c = newCanvas(math.Max(leastWidth, d.rulerAt+76), drawingTop+math.Max(d.height, 250)+130, title, desc)
		return
	}
	const aboveNotes, besideRule, keyRows = 44.0, 112.0, 46.0
	right := 14.0
	if d.warm() {
		right = besideRule
	}
	d.left = 10 + d.rowsRoom(d.s.up)
	d.top = 12
	if len(d.tubeNotes()) > 0 {
		d.top = aboveNotes
	}
	if d.view.Head != "" {
		d.top += headRoom
	}
	below := d.rowsRoom(d.s.across)
	for _, beside := range [2]bool{true, false} { // a key beside the drawing leaves more room for it than one below
		if !beside {
			below += keyRows
		}
		d.perMetre = math.Min(math.Max(d.view.Wide-d.left-right, 120)/w, math.Max(d.view.High-d.top-below-6, 120)/h)
		d.width, d.height = w*d.perMetre, h*d.perMetre
		d.rulerAt = d.left + d.width + 62
		if beside && d.keyBeside() {
			break
		}
	}
	d.bottom = d.top + d.height
	d.c = newCanvas(d.view.Wide, d.bottom+below+6, title, desc)
	d.c.text(sentence, 12, 22, "start", fit(sentence, d.view.Head, d.view.Wide-24))
}

// cutThrough begins a drawing of the plane at a coordinate along an axis.
func cutThrough(r *heat.Result, rec *receiver.Receiver, field heat.Field, axis block.Axis, at float64) *drawing {
	return &drawing{r: r, rec: rec, f: field, s: cut(r.Grid, axis, at), at: at, part: Drilled(r, rec), clipName: "in-block", view: View{Axis: axis, At: at}}
}

// draw draws what is cut, without dimensions and keys.
func (d *drawing) draw() {
	d.water = d.waters()
	if d.onPage() {
		d.place()
	}
	var isotherms []isoline
	if d.warm() {
		temperatures := d.s.field(d.f.Temperature, d.part, func(p int16) bool { return p >= 0 })
		d.tints(temperatures)
		d.hatching()
		d.molten()
		isotherms = d.isotherms(temperatures)
		d.air()
		d.clip()
		isotherms = append(isotherms, d.within()...)
		d.outlines()
		d.front()
	} else {
		d.hatching()
		d.outlines()
	}
	d.glass()
	d.heaters()
	d.passes()
	d.label(isotherms)
	d.sensors()
}

// place tells a page where on the paper the receiver lies, so that it knows which place of it was touched: the directions to the
// right, upwards and across the cut, and, in m, where the cut and the lower left corner lie; the scale is in px to a metre.
func (d *drawing) place() {
	m := func(x float64) string { return strconv.FormatFloat(x, 'g', 7, 64) }
	g := d.s.g
	d.c.rect(d.left, d.bottom-d.height, d.width, d.height, "class", "place", "fill", "none",
		"data-across", d.s.across.String(), "data-up", d.s.up.String(), "data-along", d.view.Axis.String(), "data-at", m(d.at),
		"data-u", m(g.Lines[d.s.across][0]), "data-v", m(g.Lines[d.s.up][0]), "data-scale", m(d.perMetre))
}

// Drilled returns the part of each cell, where a cell that a bore has emptied counts to the part that it is drilled
// through: the tube is drawn over it.
func Drilled(r *heat.Result, rec *receiver.Receiver) []int16 {
	out := append([]int16(nil), r.Part...)
	for c, p := range out {
		if p >= 0 {
			continue
		}
		i, j, k := r.Grid.Place(c)
		at := block.Point{r.Grid.Centre(0, i), r.Grid.Centre(1, j), r.Grid.Centre(2, k)}
		for q := len(rec.Parts) - 1; q >= 0; q-- {
			if rec.Parts[q].Box.Contains(at) {
				if rec.Parts[q].Medium >= 0 {
					out[c] = int16(q)
				}
				break
			}
		}
	}
	return out
}
