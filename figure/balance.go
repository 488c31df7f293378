package figure

import (
	"fmt"
	"math"
)

// Balanced is the heat balance of one phase of a trial.
type Balanced struct {
	Title string
	Heats []Amount
	Says  string // such as the closure
}

// Amount is a heat with its half-width.
type Amount struct {
	Name        string
	Value, Half float64 // J, at 95 %
	Text        string  // as it stands in the report, such as "13.22 ± 0.21 MJ"
	Computed    bool    // not measured: what a model of the losses expects
}

// Balance draws the heats of a trial's phases on one scale, so that widths compare: an open mark with its 95 % for what
// was measured, a stroke for what was computed.
func Balance(title string, says []string, all []Balanced) []byte {
	const left, right = 250.0, 700.0
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("Heat in, to the water, stored and lost in %d phases", len(all)))
	y := c.head(title, says...) + 10
	f := frame{left: left, right: right, top: y}
	lo, hi := 0.0, 0.0
	for _, p := range all {
		for _, a := range p.Heats {
			if !math.IsNaN(a.Value + a.Half) {
				lo, hi = math.Min(lo, a.Value-a.Half), math.Max(hi, a.Value+a.Half)
			}
		}
	}
	if !(hi > lo) {
		hi = 1
	}
	step := niceStep(hi-lo, 8)
	f.x = axis{math.Floor(lo/step+1e-9) * step, math.Ceil(hi/step-1e-9) * step, step}
	const row, above, below = 20.0, 20.0, 16.0
	f.bottom = y
	for _, p := range all {
		f.bottom += above + row*float64(len(p.Heats)) + below
	}
	f.uprights(c)
	c.line(f.px(0), f.top, f.px(0), f.bottom, "stroke", line, "stroke-width", "1")
	unit, per := "J", 1.0
	switch most := math.Max(-lo, hi); {
	case most >= 3e6:
		unit, per = "MJ", 1e6
	case most >= 3e3:
		unit, per = "kJ", 1e3
	}
	n := int(math.Round((f.x.hi - f.x.lo) / f.x.step))
	for i := range n + 1 {
		v := f.x.lo + float64(i)*f.x.step
		s := Number(v/per, decimalsOf(f.x.step/per))
		if i == n {
			s += thin + unit
		}
		c.text(numbers, f.px(v), f.bottom+16, "middle", s)
	}
	for _, p := range all {
		y += above
		c.text(captions, 20, y-4, "start", fit(captions, p.Title, historyWidth-40))
		for _, a := range p.Heats {
			mid := y + row/2
			c.text(names, 34, mid+4, "start", fit(names, a.Name, left-44))
			c.text(numbers, historyWidth-20, mid+4, "end", a.Text)
			if !math.IsNaN(a.Value) {
				heatBar(c, &f, &a, mid)
			}
			y += row
		}
		c.text(names, historyWidth-20, y-row*float64(len(p.Heats))-4, "end", p.Says, "fill", ink2)
		y += below
	}
	c.h = f.bottom + 30
	return c.bytes()
}

// heatBar draws one heat from zero to its value with its half-width.
func heatBar(c *canvas, f *frame, a *Amount, y float64) {
	x0, x := f.px(0), f.px(a.Value)
	from, to := f.px(a.Value-a.Half), f.px(a.Value+a.Half)
	c.rect(math.Min(x0, x), y-4, math.Abs(x-x0), 8, "fill", veil)
	if a.Half > 0 {
		c.line(from, y, to, y, "stroke", ink, "stroke-width", "0.9")
		c.line(from, y-4, from, y+4, "stroke", ink, "stroke-width", "0.9")
		c.line(to, y-4, to, y+4, "stroke", ink, "stroke-width", "0.9")
	}
	if a.Computed {
		c.line(x, y-6, x, y+6, "stroke", ink, "stroke-width", "2")
		return
	}
	c.mark(0, x, y, ink)
}
