package figure

import (
	"math"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/receiver"
)

// Foretold is what is expected of some temperatures over time.
type Foretold struct {
	Time  []float64 // s
	Lines []ForetoldLine
	// Marks are moments of switching, s, with the letters under which they are listed.
	Marks []ForetoldMark
	High  float64 // px, of the picture; 0: 216
}

// ForetoldLine is the course of one temperature.
type ForetoldLine struct {
	Name   string
	Values []float64 // °C
	Half   []float64 // K, half-width at 95 %; nil: not known
}

// ForetoldMark is a moment with its letter.
type ForetoldMark struct {
	Letter string
	At     float64
}

// The trial sheet's picture, px.
const (
	sheetWide  = 720
	sheetHigh  = 216
	sheetDrawn = 340 // of it for the drawing at the most
	sheetKey   = 46  // what a drawing for a page leaves below for its key
	drawnFoot  = 12
)

// TrialSheet draws the receiver cut at a place along an axis with its numbered sensors, and beside it what they are expected to read
// over time, with bands at 95 %, on one strip for a sheet at the rig.
func TrialSheet(rec *receiver.Receiver, axis block.Axis, at float64, sensors []Sensor, f Foretold) []byte {
	high := f.High
	if high == 0 {
		high = sheetHigh
	}
	d := cutThrough(shapesOf(rec), rec, heat.Field{}, axis, at)
	d.view = View{Axis: axis, At: at, Wide: sheetDrawn, High: high + sheetKey, Given: []Given{}, Sensors: sensors}
	for range 2 { // a key, which a sheet has no use for, would stand beside the drawing or below it
		d.layOut("Sensors, and what they are expected to read", "The receiver cut with its numbered sensors; beside it temperatures over time.")
		d.view.High -= math.Max(0, d.bottom+drawnFoot-high)
	}
	d.defs()
	d.draw()
	c := d.c
	c.w, c.h = sheetWide, math.Max(high, d.bottom+drawnFoot)
	c.foretold(&f, d.left+d.width+64)
	return c.bytes()
}

// foretold draws the courses from an edge on, px.
func (c *canvas) foretold(e *Foretold, left float64) {
	if len(e.Time) < 2 || len(e.Lines) == 0 {
		c.text(names, left, 40, "start", "No run has told yet what they will read.", "fill", ink2)
		return
	}
	f := frame{left: left, right: sheetWide - 96, top: 30, bottom: c.h - 24}
	k := clockOver(e.Time[len(e.Time)-1] - e.Time[0])
	f.x = axis{e.Time[0], e.Time[len(e.Time)-1], k.step}
	var curves, reach []curve
	var low, high [][]float64
	for i, l := range e.Lines {
		curves = append(curves, curve{name: l.Name, values: l.Values, colour: ink, width: 1.2, dash: dashes[i%len(dashes)]})
		lo, hi := make([]float64, len(l.Values)), make([]float64, len(l.Values))
		for t, v := range l.Values {
			h := 0.0
			if t < len(l.Half) {
				h = math.Abs(l.Half[t])
			}
			lo[t], hi[t] = v-h, v+h
		}
		low, high = append(low, lo), append(high, hi)
		reach = append(reach, curve{values: lo}, curve{values: hi})
	}
	f.fitTo(reach, false)
	ticks(c, &f, k)
	numbered(c, &f, k)
	f.grid(c, degree, 1)
	for i := range low {
		if e.Lines[i].Half != nil {
			band(c, e.Time, low[i], high[i], &f)
		}
	}
	for _, m := range e.Marks {
		if x := f.px(m.At); x >= f.left-0.5 && x <= f.right+0.5 {
			c.line(x, f.top-4, x, f.bottom, "stroke", ink, "stroke-width", "0.6", "stroke-dasharray", "2 2")
			c.text(numbers, x, f.top-8, "middle", m.Letter)
		}
	}
	plot(c, e.Time, f, curves)
}
