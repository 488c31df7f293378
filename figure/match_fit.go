package figure

import (
	"fmt"
	"math"
)

// Fitted is one column of a trial beside what was computed for it.
type Fitted struct {
	Name     string
	Unit     string // as shown
	Time     []float64
	Measured []float64 // as shown
	Computed []float64
	Band     []float64 // half-width at 95 %
}

// Fit draws the columns of one trial below one another: the band of what was computed, its line, the measured rows as
// open marks over it, and in a strip below the difference, computed less measured, with the same band, so that what is
// small in one is seen in the other.
func Fit(title string, columns []Fitted) []byte {
	const tall, strip, gap = 190.0, 74.0, 40.0
	h := 52 + float64(len(columns))*(tall+strip+gap+26) + 24
	c := newCanvas(historyWidth, h, title, fmt.Sprintf("Measured and computed, %d columns, each with the difference below", len(columns)))
	top := c.head(title) + 5
	for _, one := range columns {
		upper := frame{left: plotLeft, right: plotRight, top: top, bottom: top + tall}
		lower := frame{left: plotLeft, right: plotRight, top: upper.bottom + 22, bottom: upper.bottom + 22 + strip}
		fitColumn(c, one, upper, lower)
		top = lower.bottom + gap + 4
	}
	c.h = top
	return c.bytes()
}

func fitColumn(c *canvas, one Fitted, upper, lower frame) {
	n := len(one.Time)
	if n == 0 {
		return
	}
	low, high := make([]float64, n), make([]float64, n)
	diff, dLow, dHigh := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range n {
		low[i], high[i] = one.Computed[i]-one.Band[i], one.Computed[i]+one.Band[i]
		diff[i], dLow[i], dHigh[i] = one.Computed[i]-one.Measured[i], -one.Band[i], one.Band[i]
	}
	t0, t1 := min(0, one.Time[0]), max(one.Time[n-1], 1)
	k := clockOver(t1 - t0)
	upper.x, lower.x = axis{t0, t1, k.step}, axis{t0, t1, k.step}
	upper.fitTo([]curve{{values: low}, {values: high}, {values: one.Measured}, {values: one.Computed}}, false)
	lower.fitTo([]curve{{values: dLow}, {values: dHigh}, {values: diff}}, true)
	for t := math.Ceil(t0/k.step-1e-9) * k.step; t <= t1*(1+1e-12); t += k.step {
		for _, f := range []frame{upper, lower} {
			c.line(f.px(t), f.top, f.px(t), f.bottom, "stroke", hair, "stroke-width", "0.8")
		}
		label := Number(t/k.size, k.decimals)
		if t+k.step > t1*(1+1e-12) {
			label += thin + k.unit
		}
		c.text(numbers, lower.px(t), lower.bottom+14, "middle", label)
	}
	upper.grid(c, one.Unit, 1)
	unit := one.Unit
	if unit == degree {
		unit = "K"
	}
	lower.grid(c, unit, 1)
	band(c, one.Time, low, high, &upper)
	band(c, one.Time, dLow, dHigh, &lower)
	if d, _ := trace(one.Time, one.Computed, &upper); d != "" {
		c.path(d, "fill", "none", "stroke", ink, "stroke-width", "1.2", "stroke-linejoin", "round")
	}
	c.line(lower.left, lower.py(0), lower.right, lower.py(0), "stroke", ink, "stroke-width", "1.2")
	for i := range n {
		dot(c, one.Time[i], one.Measured[i], &upper)
		dot(c, one.Time[i], diff[i], &lower)
	}
	x := plotRight + 18.0
	y := c.lines(captions, x, upper.top+8, 16, "start", wrap(captions, one.Name, historyWidth-x-6)) + 4
	y = c.lines(names, x, y, 16, "start", []string{"open marks: measured"}, "fill", water)
	y = c.lines(names, x, y, 16, "start", []string{"line: computed"})
	c.text(names, x, y, "start", "tint: 95"+thin+"%", "fill", ink2)
	c.lines(names, x, lower.top+10, 15, "start", []string{"computed less", "measured"})
}

func dot(c *canvas, t, v float64, f *frame) {
	if !math.IsNaN(v) {
		c.circle(f.px(t), f.py(v), 1.7, "fill", sheet, "stroke", water, "stroke-width", "0.9")
	}
}

// band fills between two courses; it breaks where one has no value.
func band(c *canvas, times, low, high []float64, f *frame) {
	var p polyline
	from := 0
	flush := func(to int) {
		if to-from > 1 {
			p.move(f.px(times[from]), f.py(high[from]))
			for i := from + 1; i < to; i++ {
				p.to(f.px(times[i]), f.py(high[i]))
			}
			for i := to - 1; i >= from; i-- {
				p.to(f.px(times[i]), f.py(low[i]))
			}
			p.close()
		}
	}
	for i := range times {
		if math.IsNaN(low[i]) || math.IsNaN(high[i]) {
			flush(i)
			from = i + 1
		}
	}
	flush(len(times))
	if d := p.String(); d != "" {
		c.path(d, "fill", veil, "stroke", "none")
	}
}

// veil fills bands of uncertainty.
const veil = "#CFE0E2"
