package figure

import (
	"fmt"
	"math"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/receiver"
)

// Room for the drawing itself, px; dimensions, rule and key stand around it.
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
	part  []int16 // of each cell, bores counted to what they are drilled through
	f     heat.Field
	s     slice
	at    float64
	scale scale
	// paper = offset ± m·perMetre; v grows upwards.
	perMetre, left, bottom float64
	width, height          float64 // px
	rulerAt                float64 // px
	clipName               string
	even                   string // that the block is, in words
}

func (d *drawing) x(u float64) float64 { return d.left + (u-d.s.g.Lines[d.s.across][0])*d.perMetre }

func (d *drawing) y(v float64) float64 { return d.bottom - (v-d.s.g.Lines[d.s.up][0])*d.perMetre }

// Section draws the receiver cut through the plane at a coordinate, in m, along an axis, to scale: temperature as
// tints with isotherms, hatching by what a part is for, passes as circles with their water, the melting front as a
// line with teeth to the solid, the main dimensions, and the temperature rule. For the two upright planes height
// is up; for a level one depth runs to the right and width upwards.
func Section(r *heat.Result, rec *receiver.Receiver, field heat.Field, axis block.Axis, at float64) []byte {
	d := cutThrough(r, rec, field, axis, at)
	g := r.Grid
	u, v := g.Lines[d.s.across], g.Lines[d.s.up]
	d.perMetre = math.Min(drawingWide/(u[len(u)-1]-u[0]), drawingHigh/(v[len(v)-1]-v[0]))
	d.width, d.height = (u[len(u)-1]-u[0])*d.perMetre, (v[len(v)-1]-v[0])*d.perMetre
	d.left, d.bottom = drawingLeft, drawingTop+math.Max(d.height, 250)
	if d.height < 250 {
		d.bottom -= (250 - d.height) / 2
	}
	lo, hi := spread(&field)
	if lo > hi {
		lo, hi = 0, 1
	}
	d.scale = scaleOver(lo, hi)

	title := fmt.Sprintf("Section at %s %s mm, after %s", axis, Number(at*1000, 0), Span(field.Time))
	if r.Ended == 0 && field.Time == 0 && len(r.History.Time) < 2 {
		title = fmt.Sprintf("Section at %s %s mm, steady", axis, Number(at*1000, 0))
	}
	// The frame's height: the drawing, its dimensions, the key.
	d.rulerAt = d.left + d.width + 118
	d.c = newCanvas(math.Max(leastWidth, d.rulerAt+76), drawingTop+math.Max(d.height, 250)+130, title,
		fmt.Sprintf("Temperatures from %s to %s %s.", Number(lo, 1), Number(hi, 1), degree))
	d.defs()
	d.c.text(sentence, 20, 28, "start", fit(sentence, title, d.c.w-40))
	d.draw()
	d.dimensions()
	d.rule(lo, hi)
	d.key()
	if d.even != "" {
		d.c.text(names, d.c.w-20, d.bottom+48, "end", d.even, "fill", ink2)
	}
	return d.c.bytes()
}

// cutThrough begins a drawing of the plane at a coordinate along an axis.
func cutThrough(r *heat.Result, rec *receiver.Receiver, field heat.Field, axis block.Axis, at float64) *drawing {
	return &drawing{r: r, rec: rec, f: field, s: cut(r.Grid, axis, at), at: at, part: Drilled(r, rec), clipName: "in-block"}
}

// draw draws what is cut, without dimensions and keys.
func (d *drawing) draw() {
	temperatures := d.s.field(d.f.Temperature, d.part, func(p int16) bool { return p >= 0 })
	d.tints(temperatures)
	d.hatching()
	d.molten()
	isotherms := d.isotherms(temperatures)
	d.air()
	d.clip()
	isotherms = append(isotherms, d.within()...)
	d.outlines()
	d.front()
	d.glass()
	d.heaters()
	d.passes()
	d.label(isotherms)
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
