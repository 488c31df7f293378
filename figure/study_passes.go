package figure

import (
	"fmt"
	"math"
)

// PassLine is the heat flow over the number of passes at one temperature of the block.
type PassLine struct {
	Name      string    // such as "block at 250 °C"
	N, Q      []float64 // rising numbers of passes; heat flow, NaN where there is none
	Low, Most []float64 // the control range: least and most heat flow that the flow of water sets; nil: not asked
	Gains     []PassGain
	PaysTo    float64 // up to here each step is shown to pay; NaN: none does
	StopsAt   float64 // from here on none pays; NaN: no such number in the range
	Says      string  // the verdict in a few words
}

// PassGain is what a step brings for each pass that it adds.
type PassGain struct {
	From, To, Each, Half float64 // Half: of the interval
	Pays                 Paying
}

// Paying is whether a step brings what a pass must bring.
type Paying int

const (
	LeftOpen Paying = iota
	DoesPay
	DoesNotPay
)

// mostPassLines is how many temperatures are drawn.
const mostPassLines = 4

// Passes draws the heat flow to the water over the number of passes, a line for each temperature of the block, with the
// control range as bars; and below, for each of them, what a pass more brings, against what it must bring.
func Passes(title string, says []string, count, flow Studied, worth Limit, all []PassLine) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("%s over the number of %s at %d temperatures of the block", flow.Name, count.Name, len(all)))
	more := len(all) - mostPassLines
	all = all[:min(len(all), mostPassLines)]
	top := c.head(title, says...) + 26
	bottom := top + 280
	const right = 736.0
	var ns, qs [][]float64
	for i := range all {
		ns, qs = append(ns, all[i].N), append(qs, all[i].Q, all[i].Low, all[i].Most)
	}
	lo, hi := spanOf(qs...)
	y := lay(flow, math.Min(lo, 0), math.Max(hi, 0), bottom, top).upwards()
	left := leftOf(y)
	from, to := spanOf(ns...)
	x := lay(count, from, to, left, right).widened(0.05, 0.05).along()
	for l := range x.ticks { // passes are whole
		if v := x.ticks[l].at; math.Abs(v-math.Round(v)) > 1e-9 {
			x.steps(1)
			break
		}
	}
	c.text(captions, 20, top-12, "start", fit(captions, flow.named(), right-20))
	c.drawUp(y, left, right)
	foot := c.drawAlong(x, top, bottom)
	c.nameAlong(count.Name, x, right, bottom)
	p := &curves{c: c, x: x, y: y, left: left, right: right, top: top, bottom: bottom, from: from, to: to}
	for i := range all {
		p.lines = append(p.lines, StudyLine{Name: all[i].Name, X: all[i].N, Y: all[i].Q, Fate: make([]Fate, len(all[i].N)), Verdict: &StudyVerdict{Says: all[i].Says}})
	}
	for i := range all {
		c.controls(x, y, &all[i], 9*(float64(i)-float64(len(all)-1)/2))
	}
	p.strokes()
	for i := range all {
		for k := range all[i].N {
			if u, v := x.at(all[i].N[k]), y.at(all[i].Q[k]); !math.IsNaN(u + v) {
				c.circle(u, v, 2.4, "fill", ink)
			}
		}
	}
	p.names(nil)
	for i := range all {
		if len(all[i].Gains) > 0 {
			foot = c.gains(p, i, flow, worth, &all[i], foot+34)
		}
	}
	if more > 0 {
		c.text(names, left, foot+16, "start", fmt.Sprintf("and %d more temperatures in the tables", more), "fill", ink2)
		foot += 20
	}
	c.h = foot + 12
	return c.bytes()
}

// controls draws the control range at each number of passes as a bar.
func (c *canvas) controls(x, y *ladder, l *PassLine, aside float64) {
	if l.Low == nil || l.Most == nil {
		return
	}
	for k := range l.N {
		u, v0, v1 := x.at(l.N[k])+aside, y.at(l.Most[k]), y.at(l.Low[k])
		if math.IsNaN(u + v0 + v1) {
			continue
		}
		c.rect(u-3.5, v0, 7, math.Max(1, v1-v0), "fill", veil, "stroke", water, "stroke-width", "0.7")
	}
}

// gains draws the strip of one temperature and returns the height below it.
func (c *canvas) gains(p *curves, i int, flow Studied, worth Limit, l *PassLine, top float64) float64 {
	bottom := top + 84
	lo, hi := 0.0, worth.At
	for _, g := range l.Gains {
		lo, hi = math.Min(lo, finiteOr(g.Each-g.Half, 0)), math.Max(hi, finiteOr(g.Each+g.Half, 0))
	}
	if !(hi > lo) {
		hi = lo + 1
	}
	y := lay(Studied{Unit: flow.Unit}, lo, hi, bottom, top)
	y.steps(niceStep(hi-lo, 3))
	c.drawUp(y, p.left, p.right)
	if !math.IsNaN(worth.At) {
		c.fence([]vertex{{p.left, y.at(worth.At)}, {p.right, y.at(worth.At)}}, worth.Most)
	}
	for _, g := range l.Gains {
		x0, x1, v := p.x.at(g.From), p.x.at(g.To), y.at(g.Each)
		if math.IsNaN(x0 + x1 + v) {
			continue
		}
		width, dash := "3", ""
		switch g.Pays {
		case LeftOpen:
			width, dash = "1.4", "5 2.5"
		case DoesNotPay:
			width = "0.9"
		}
		style := []string{"stroke", ink, "stroke-width", width}
		if dash != "" {
			style = append(style, "stroke-dasharray", dash)
		}
		c.line(x0+2, v, x1-2, v, style...)
		if g.Half > 0 {
			c.whisker((x0+x1)/2, y.at(g.Each+g.Half), y.at(g.Each-g.Half), ink2)
		}
	}
	at := y.within(l.Gains[len(l.Gains)-1].Each)
	if math.IsNaN(at) {
		at = (top + bottom) / 2
	}
	words := []tag{{at: at, text: wrap(names, "each pass more, "+l.Name, 184)}}
	if worth.Says != "" {
		words = append(words, tag{at: y.within(worth.At), small: wrap(names, worth.Says, 184)})
	}
	c.tags(words, p.right, top-4, bottom+12)
	foot := bottom + 18
	if n := len(l.N); n > 0 {
		if l.PaysTo > l.N[0] {
			c.extent(p.x.at(l.N[0]), p.x.within(math.Min(l.PaysTo, l.N[n-1])), bottom, foot, "each pays", ink, ink)
		}
		if l.StopsAt < l.N[n-1] {
			c.extent(p.x.at(l.StopsAt), p.x.at(l.N[n-1]), bottom, foot, "none pays", line, ink2)
		}
	}
	return foot + 4
}
