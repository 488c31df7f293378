package figure

import (
	"fmt"
	"math"
)

// Course is one trial's curve in a comparison: means of neighbouring readings.
type Course struct {
	Name string
	X, Y []float64 // X in s, or °C where the comparison runs over block temperature
}

// Gap is the difference of two courses with what is shown of it.
type Gap struct {
	A, B   int       // the courses; the difference is B less A
	X, D   []float64 // means of neighbouring differences
	Pieces []GapPiece
	Bound  float64 // they agree within this, at 95 %
	Least  float64 // they differ by at least this somewhere; 0: not told apart
	Says   []string
}

// GapPiece is the mean difference over a part of the common range with its half-width at 95 %.
type GapPiece struct{ From, To, Mean, Half float64 }

// Over is what a comparison runs over.
type Over struct {
	Time bool // s; else block temperature in °C
	What string
	Unit string // of Y
}

// mostGaps is how many pairs are drawn; the tables hold all.
const mostGaps = 12

// Compare lays the courses of trials over one another and shows below, for each pair, the difference as open marks, its
// mean over parts of the common range with the tint of its 95 %, and between dashed lines the bound within which the two
// agree.
func Compare(title string, says []string, over Over, all []Course, gaps []Gap) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("%d trials over one another, and the differences of %d pairs", len(all), len(gaps)))
	top := c.head(title, says...) + 22
	f := frame{left: plotLeft, right: plotRight - 20, top: top, bottom: top + 280}
	lo, hi := math.Inf(1), math.Inf(-1)
	var curves []curve
	for _, one := range all {
		for _, x := range one.X {
			lo, hi = math.Min(lo, x), math.Max(hi, x)
		}
		curves = append(curves, curve{values: one.Y})
	}
	if !(hi > lo) {
		lo, hi = 0, 1
	}
	k := clockOver(hi - lo)
	if over.Time {
		f.x = axis{math.Min(0, lo), hi, k.step}
	} else {
		step := niceStep(hi-lo, 10)
		f.x = axis{math.Floor(lo/step+1e-9) * step, math.Ceil(hi/step-1e-9) * step, step}
	}
	along := func(f *frame) {
		if over.Time {
			ticks(c, f, k)
		} else {
			f.uprights(c)
		}
	}
	along2 := func(f *frame) {
		if over.Time {
			numbered(c, f, k)
		} else {
			f.temperatures(c)
		}
	}
	f.fitTo(curves, over.Unit == "W")
	along(&f)
	unit, per := over.Unit, 1.0
	if unit == "W" {
		unit, per = powerUnit(f.y)
	}
	f.grid(c, unit, per)
	along2(&f)
	c.text(captions, f.left, f.top-8, "start", over.What)
	for i, one := range all {
		c.marksAt(i, &f, one.X, one.Y, water)
	}
	y := f.top + 6
	for i, one := range all {
		c.mark(i, f.right+20, y, water)
		y = c.lines(names, f.right+32, y+4, 14, "start", wrap(names, one.Name, c.w-f.right-38), "fill", water) + 4
	}
	y = math.Max(y, f.bottom+22)
	for i := range gaps[:min(len(gaps), mostGaps)] {
		y = gap(c, &gaps[i], f, y, unit, along, along2)
	}
	if more := len(gaps) - mostGaps; more > 0 {
		c.text(names, f.left, y+12, "start", fmt.Sprintf("and %d more pairs in pieces.csv", more), "fill", ink2)
		y += 18
	}
	c.h = y + 8
	return c.bytes()
}

// gap draws the strip of one pair and returns the height below it.
func gap(c *canvas, g *Gap, over frame, y float64, unit string, along, numbers2 func(*frame)) float64 {
	f := frame{left: over.left, right: over.right, x: over.x, top: y + 14, bottom: y + 14 + 112}
	ends := []float64{g.Bound, -g.Bound}
	if math.IsInf(g.Bound, 0) {
		ends = nil
	}
	for _, p := range g.Pieces {
		ends = append(ends, p.Mean-p.Half, p.Mean+p.Half)
	}
	f.fitTo([]curve{{values: g.D}, {values: ends}}, true)
	along(&f)
	per := 1.0
	if unit == "kW" || unit == "W" {
		unit, per = powerUnit(f.y)
	}
	f.grid(c, unit, per)
	numbers2(&f)
	for _, p := range g.Pieces {
		x0, x1 := f.px(p.From), f.px(p.To)
		c.rect(x0, f.py(p.Mean+p.Half), math.Max(1, x1-x0), f.py(p.Mean-p.Half)-f.py(p.Mean+p.Half), "fill", veil)
		c.line(x0, f.py(p.Mean), x1, f.py(p.Mean), "stroke", ink, "stroke-width", "1.2")
	}
	c.line(f.left, f.py(0), f.right, f.py(0), "stroke", line, "stroke-width", "0.8")
	for i := range g.X {
		if x, v := f.px(g.X[i]), f.py(g.D[i]); !math.IsNaN(x+v) && v > f.top-4 && v < f.bottom+4 {
			c.circle(x, v, 1.6, "fill", "none", "stroke", water, "stroke-width", "0.9")
		}
	}
	if len(g.Pieces) > 0 && len(ends) > 2*len(g.Pieces) {
		x0, x1 := f.px(g.Pieces[0].From), f.px(g.Pieces[len(g.Pieces)-1].To)
		for _, v := range []float64{g.Bound, -g.Bound} {
			c.line(x0, f.py(v), x1, f.py(v), "stroke", ink, "stroke-width", "1", "stroke-dasharray", "7 3")
		}
	}
	x := f.right + 20.0
	c.mark(g.B, x, f.top+4, water)
	c.text(names, x+10, f.top+8, "start", "less")
	c.mark(g.A, x+10+widthOf(names, "less")+10, f.top+4, water)
	at := f.top + 26
	for _, s := range g.Says {
		at = c.lines(names, x-6, at, 14, "start", wrap(names, s, c.w-x)) + 2
	}
	return math.Max(f.bottom+22, at)
}
