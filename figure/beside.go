package figure

import (
	"fmt"
	"math"
)

// Pair is one column of two runs, over the times of each, as shown.
type Pair struct {
	Name         string
	Unit         string
	TimeA, TimeB []float64 // s
	A, B         []float64
	Time         []float64 // s, at which the two are compared
	D            []float64 // B less A there
}

// Beside draws columns of two runs below one another: the first as a broad pale line, the second as a thin dark one over it,
// so that where they are one the dark line runs inside the pale one; in a strip below, the second less the first.
func Beside(title string, says []string, a, b string, pairs []Pair) []byte {
	const tall, strip, gap = 190.0, 64.0, 40.0
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("%s and %s over time, %d columns, each with the difference below", a, b, len(pairs)))
	top := c.head(title, says...) + 12
	t0, t1 := math.Inf(1), math.Inf(-1)
	for i := range pairs {
		for _, t := range [][]float64{pairs[i].TimeA, pairs[i].TimeB} {
			if n := len(t); n > 0 {
				t0, t1 = math.Min(t0, t[0]), math.Max(t1, t[n-1])
			}
		}
	}
	if !(t1 > t0) {
		t0, t1 = 0, 1
	}
	for i := range pairs {
		upper := frame{left: plotLeft, right: plotRight, top: top, bottom: top + tall}
		lower := frame{left: plotLeft, right: plotRight, top: upper.bottom + 22, bottom: upper.bottom + 22 + strip}
		besidePair(c, &pairs[i], a, b, t0, t1, upper, lower)
		top = lower.bottom + gap
	}
	c.h = top
	return c.bytes()
}

// besidePair draws one column.
func besidePair(c *canvas, p *Pair, a, b string, t0, t1 float64, upper, lower frame) {
	k := clockOver(t1 - t0)
	upper.x, lower.x = axis{t0, t1, k.step}, axis{t0, t1, k.step}
	upper.fitTo([]curve{{values: p.A}, {values: p.B}}, p.Unit == "W")
	lower.fitTo([]curve{{values: p.D}}, true)
	ticks(c, &upper, k)
	ticks(c, &lower, k)
	numbered(c, &lower, k)
	gridOf := func(f *frame, unit string) {
		per := 1.0
		if most := math.Max(math.Abs(f.y.lo), math.Abs(f.y.hi)); (unit == "W" || unit == "J" || unit == "Pa") && most >= 3000 {
			unit, per = "k"+unit, 1000
			if most >= 3e6 {
				unit, per = "M"+unit[1:], 1e6
			}
		}
		f.grid(c, unit, per)
	}
	gridOf(&upper, p.Unit)
	apart := p.Unit
	if apart == degree {
		apart = "K"
	}
	gridOf(&lower, apart)
	draw := func(f *frame, times, values []float64, colour, width string) {
		if d, _ := trace(times, values, f); d != "" {
			c.path(d, "fill", "none", "stroke", colour, "stroke-width", width, "stroke-linejoin", "round")
		}
	}
	draw(&upper, p.TimeA, p.A, line, "4")
	draw(&upper, p.TimeB, p.B, ink, "1.2")
	c.line(lower.left, lower.py(0), lower.right, lower.py(0), "stroke", line, "stroke-width", "1")
	draw(&lower, p.Time, p.D, ink, "1.2")
	x, room := plotRight+18.0, historyWidth-plotRight-24.0
	y := c.lines(captions, x, upper.top+8, 16, "start", wrap(captions, p.Name, room)) + 4
	y = c.lines(names, x, y, 16, "start", wrap(names, "broad and pale: "+a, room), "fill", ink2)
	c.lines(names, x, y, 16, "start", wrap(names, "thin and dark: "+b, room))
	c.lines(names, x, lower.top+10, 15, "start", wrap(names, "the thin less the broad", room))
}
