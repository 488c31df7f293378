package figure

import (
	"fmt"
	"math"
	"sort"
)

// Spreading is how a response is spread over a sample.
type Spreading struct {
	Of        Studied
	Values    []float64 // of the variants; NaN: none
	Quantiles []Quantile
	Limits    []Limit // Says may tell which share of the sample keeps within it
	Mean      Share   // with its interval; NaN: not known
}

// Quantile is the value below which a share of a distribution lies, with its interval; an open end is infinite.
type Quantile struct {
	Share float64
	At    Share
}

// Spread draws how a response is spread over a sample: bars whose area is the share of the variants, the limits of
// constraints as fences, and below the axis the quantiles and the mean with their intervals.
func Spread(title string, says []string, s Spreading) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("How %s is spread over %d variants", s.Of.Name, len(s.Values)))
	const left, right = plotLeft, 680.0
	top := c.head(title, says...) + 26
	bottom := top + 250
	var kept []float64
	for _, v := range s.Values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			kept = append(kept, v)
		}
	}
	sort.Float64s(kept)
	lo, hi := spanOf(kept)
	bins := binned(kept)
	if n := len(bins); n > 0 {
		lo, hi = math.Min(lo, bins[0].from), math.Max(hi, bins[n-1].to)
	}
	for _, l := range s.Limits {
		if math.Abs(l.At-(lo+hi)/2) < 1.2*(hi-lo) {
			lo, hi = math.Min(lo, l.At), math.Max(hi, l.At)
		}
	}
	of := s.Of
	of.Ratio = false // equal areas are equal shares
	l := lay(of, lo, hi, left, right).widened(0.03, 0.03).along()
	most := 0.0
	for _, b := range bins {
		most = math.Max(most, b.share)
	}
	y := lay(Studied{Unit: "%"}, 0, math.Max(100*most, 1), bottom, top).upwards()
	c.drawUp(y, left, right)
	c.text(captions, 20, top-12, "start", "share of the variants")
	for _, b := range bins {
		if h := y.at(0) - y.at(100*b.share); h > 0 {
			x0, x1 := l.at(b.from), l.at(b.to)
			c.rect(x0, y.at(100*b.share), math.Max(0.8, x1-x0), h, "fill", veil, "stroke", ink, "stroke-width", "0.8")
		}
	}
	for i := range l.ticks {
		x := l.at(l.ticks[i].at)
		c.line(x, bottom, x, bottom+4, "stroke", line, "stroke-width", "0.8")
		c.text(numbers, x, bottom+17, "middle", l.label(i))
	}
	if len(kept) > 0 && len(kept) <= 200 { // each variant, while they can be told apart
		for _, v := range kept {
			c.line(l.at(v), bottom-5, l.at(v), bottom, "stroke", ink, "stroke-width", "0.6")
		}
	}
	c.nameAlong(of.named(), l, right, bottom+2)
	c.uprightLimits(l, s.Limits, top, bottom, right)
	foot := c.quantiles(l, &s, bottom+46)
	c.h = foot + 10
	return c.bytes()
}

// bin is a bar of a histogram.
type bin struct{ from, to, share float64 }

// binned counts values in rising order into equal bins on round numbers, between 1 and 40 of them. The width is
//
//	h = 2 (Q₃ − Q₁) n^(−1/3),
//
// rounded up to 1, 2 or 5 times a power of ten. Source: D. Freedman, P. Diaconis, Z. Wahrscheinlichkeitstheorie verw. Geb. 57
// (1981) 453-476 (from memory; the picture says no more than its bars).
func binned(sorted []float64) []bin {
	n := len(sorted)
	if n == 0 {
		return nil
	}
	lo, hi := spanOf(sorted)
	h := 2 * (sorted[n*3/4] - sorted[n/4]) / math.Cbrt(float64(n))
	wish := 40.0
	if h > 0 {
		wish = math.Min(40, math.Max(5, math.Ceil((hi-lo)/h)))
	}
	step := niceStep(hi-lo, int(wish))
	first := math.Floor(lo/step + 1e-9)
	out := make([]bin, int(math.Floor(hi/step+1e-9)-first)+1)
	for i := range out {
		out[i].from, out[i].to = (first+float64(i))*step, (first+float64(i)+1)*step
	}
	for _, v := range sorted {
		i := min(max(int(math.Floor(v/step+1e-9)-first), 0), len(out)-1)
		out[i].share += 1 / float64(n)
	}
	if k := len(out) - 1; k > 0 && out[k].share == 0 {
		out = out[:k]
	}
	return out
}

// uprightLimits draws limits across a level axis, with their words on the right.
func (c *canvas) uprightLimits(l *ladder, limits []Limit, top, bottom, right float64) {
	y := top + 12
	for _, m := range limits {
		x := l.at(m.At)
		says := m.Says
		if inside := x >= l.from && x <= l.to; inside {
			c.fence([]vertex{{x, bottom}, {x, top - 4}}, !m.Most)
		} else if m.At > 0 || !l.of.Ratio {
			says += ", beyond this picture"
		}
		edge := l.within(m.At)
		c.path("M"+px(edge+5)+" "+px(y-4)+"H"+px(right+12), "fill", "none", "stroke", line, "stroke-width", "0.6")
		y = c.lines(names, right+18, y, 14, "start", wrap(names, says, c.w-right-26)) + 8
	}
}

// quantiles draws the mean and the quantiles with their intervals below one another, and returns the height below.
func (c *canvas) quantiles(l *ladder, s *Spreading, y float64) float64 {
	step := niceStep(l.hi-l.lo, 200)
	row := func(name string, at Share) {
		x := l.at(at.Value)
		if math.IsNaN(x) {
			return
		}
		x0, x1 := l.within(at.Low), l.within(at.High)
		if x1 > x0 {
			c.line(x0, y, x1, y, "stroke", line, "stroke-width", "4")
		}
		if x >= l.from && x <= l.to {
			c.line(x, y-5, x, y+5, "stroke", ink, "stroke-width", "1.6")
		}
		words := name + " " + s.Of.text(at.Value, step)
		if !math.IsInf(at.Low, 0) && !math.IsInf(at.High, 0) && !math.IsNaN(at.Low+at.High) {
			words += " (" + Number(at.Low, decimalsOf(step)) + " to " + Number(at.High, decimalsOf(step)) + ")"
		} else {
			words += " (interval open)"
		}
		c.text(names, l.to+18, y+4, "start", fit(names, words, c.w-l.to-22), "fill", ink)
		y += 18
	}
	for _, q := range s.Quantiles {
		row(shortened(100*q.Share, 1)+thin+"% below", q.At)
	}
	row("mean", s.Mean)
	return y
}
