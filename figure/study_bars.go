package figure

import (
	"fmt"
	"math"
	"sort"
)

// Share is how much of a response's variance an input is behind, with its interval.
type Share struct{ Value, Low, High float64 }

// Influence is what one input does to a response: alone, and with all that it does together with others.
type Influence struct {
	Input       string
	Alone, With Share
}

// Influences are those of one response.
type Influences struct {
	Response string
	Says     string // such as its mean and standard deviation
	All      []Influence
}

// mostInputs is how many inputs a panel names; the others are counted.
const mostInputs = 20

// Sensitivity draws, for each response, the inputs behind its variance, the weightiest first: a pale bar for what an input
// does with others, within it a dark one for what it does alone, both with their intervals, and the numbers beside them.
func Sensitivity(title string, says []string, panels []Influences) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("Which inputs are behind the spread of %d responses", len(panels)))
	top := c.head(title, says...) + 18
	left := 20.0
	for i := range panels {
		for k := range panels[i].All {
			left = math.Max(left, math.Min(20+widthOf(names, panels[i].All[k].Input)+14, 250))
		}
	}
	left = math.Max(left, 110)
	lo, hi := sharesOf(panels)
	for i := range panels {
		top = c.influences(&panels[i], left, top, lo, hi) + 30
	}
	c.h = top - 12
	return c.bytes()
}

// sharesOf is what the axis of all panels spans: 0 to 1, and a little beyond where an interval goes there.
func sharesOf(panels []Influences) (lo, hi float64) {
	hi = 1
	for i := range panels {
		for _, f := range panels[i].All {
			for _, s := range []Share{f.Alone, f.With} {
				lo, hi = math.Min(lo, finiteOr(s.Low, 0)), math.Max(hi, finiteOr(s.High, 1))
			}
		}
	}
	return math.Max(lo, -0.1), math.Min(hi, 1.1)
}

// influences draws one panel over shares from lo to hi and returns the height below it.
func (c *canvas) influences(p *Influences, left, top, lo, hi float64) float64 {
	const right, row = 676.0, 30.0
	all := append([]Influence(nil), p.All...)
	sort.SliceStable(all, func(i, j int) bool { return weight(&all[i]) > weight(&all[j]) })
	shown := all[:min(len(all), mostInputs)]
	c.text(captions, 20, top, "start", fit(captions, p.Response, right-20))
	c.text(names, historyWidth-116, top+18, "end", "alone", "fill", ink)
	c.text(names, historyWidth-12, top+18, "end", "with others", "fill", ink2)
	if p.Says != "" {
		c.text(names, 20, top+18, "start", fit(names, p.Says, right-20), "fill", ink2)
	}
	top += 28
	l := lay(Studied{}, lo, hi, left, right)
	l.steps(0.2)
	bottom := top + row*float64(len(shown)) + 4
	for i := range l.ticks {
		x, colour := l.at(l.ticks[i].at), hair
		if math.Abs(l.ticks[i].at) < 1e-9 {
			colour = line
		}
		c.line(x, top, x, bottom, "stroke", colour, "stroke-width", "0.8")
		c.text(numbers, x, bottom+15, "middle", l.label(i))
	}
	c.text(names, right+18, bottom+15, "start", "of the variance", "fill", ink2)
	for i := range shown {
		c.influence(l, &shown[i], left, top+6+row*float64(i))
	}
	if n := len(all) - len(shown); n > 0 {
		c.text(names, left-10, bottom+34, "end", fmt.Sprintf("and %d more", n), "fill", ink2)
		c.text(names, left, bottom+34, "start", "each at most "+shareText(all[len(shown)].With)+" with others", "fill", ink2)
		bottom += 20
	}
	return bottom + 20
}

// weight sorts inputs; one without a number comes last.
func weight(f *Influence) float64 {
	if math.IsNaN(f.With.Value) {
		return math.Inf(-1)
	}
	return f.With.Value
}

func finiteOr(v, other float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return other
	}
	return v
}

func shareText(s Share) string {
	if math.IsNaN(s.Value) {
		return "not known"
	}
	return Number(s.Value, 2)
}

// influence draws the bars of one input.
func (c *canvas) influence(l *ladder, f *Influence, left, y float64) {
	bar := func(s Share, y, h float64, fill string) {
		if x := l.within(s.Value); !math.IsNaN(x) {
			zero := l.at(0)
			c.rect(math.Min(zero, x), y, math.Abs(x-zero), h, "fill", fill)
		}
	}
	range95 := func(s Share, y float64, colour string) {
		x0, x1 := l.within(s.Low), l.within(s.High)
		if math.IsNaN(x0 + x1 + s.Value) {
			return
		}
		d := "M" + px(x0) + " " + px(y) + "H" + px(x1) + l.ending(s.Low, y) + l.ending(s.High, y)
		c.path(d, "fill", "none", "stroke", sheet, "stroke-width", "2.6")
		c.path(d, "fill", "none", "stroke", colour, "stroke-width", "1")
	}
	bar(f.With, y, 20, hair)
	bar(f.Alone, y, 10, ink2)
	range95(f.Alone, y+5, ink)
	range95(f.With, y+15, ink)
	words := wrap(names, f.Input, left-30)
	if len(words) > 2 {
		words = []string{words[0], fit(names, words[1]+" …", left-30)}
	}
	c.lines(names, left-10, y+14-6.5*float64(len(words)-1), 13, "end", words)
	c.text(numbers, historyWidth-116, y+14, "end", shareText(f.Alone))
	c.text(numbers, historyWidth-12, y+14, "end", shareText(f.With), "fill", ink2)
}

// ending is the mark at an end of an interval: a stroke across, or an arrow where it goes on beyond the ladder.
func (l *ladder) ending(v, y float64) string {
	x := l.within(v)
	switch lo, hi := l.ends(); {
	case v < lo:
		return "M" + px(x+5) + " " + px(y-3) + "L" + px(x) + " " + px(y) + "L" + px(x+5) + " " + px(y+3)
	case v > hi:
		return "M" + px(x-5) + " " + px(y-3) + "L" + px(x) + " " + px(y) + "L" + px(x-5) + " " + px(y+3)
	}
	return "M" + px(x) + " " + px(y-3) + "v6"
}
