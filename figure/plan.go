package figure

import (
	"fmt"
	"math"
)

// Foreseen is one parameter of a plan, in the unit in which it is shown.
type Foreseen struct {
	Name, Unit         string
	Value              float64
	BoundLow, BoundTop float64
	Before             [2]float64 // 95 % by what is known before the trial; with ByBounds the bounds themselves
	ByBounds           bool       // nothing is known before but the bounds
	Planned            [2]float64 // 95 % after the trial as planned
	Best               [2]float64 // 95 % with the most helpful candidate
}

// reach is what a parameter's axis spans: five times what is planned, within the bounds, so that a band which the trial
// narrows much is still seen; what is known before may run out of it.
func (f *Foreseen) reach() (low, high float64) {
	half := 2.5 * (f.Planned[1] - f.Planned[0])
	return math.Max(f.Value-half, f.BoundLow), math.Min(f.Value+half, f.BoundTop)
}

// twoDigits prints a number above zero with two digits that count.
func twoDigits(v float64) string {
	if !(v > 0) || math.IsInf(v, 0) {
		return fmt.Sprint(v)
	}
	return toDigit(v, LastDigit(v))
}

// Foresight draws, for each parameter, what is known before a trial, what will be known after it as planned, and what
// with the most helpful candidate; best names that, "" where none helps. A bar that runs out of the axis ends in an arrow
// with the number where it ends; a bound is a heavy stop.
func Foresight(title, best string, list []Foreseen) []byte {
	const left, right, tall = 190.0, 756.0, 104.0
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("Bands at 95 %% of %d parameters: before a trial, after it as planned, and with one thing done otherwise", len(list)))
	says := []string{"Bands at 95" + thin + "%. An arrow: the band goes on to the number beside it. A heavy stop: a bound."}
	if best != "" {
		says = append(says, "With best, what would help most: "+best+".")
	}
	top := c.head(title, says...) + 14
	for i := range list {
		f := &list[i]
		name := wrap(captions, f.Name, left-40)
		y := c.lines(captions, 20, top+18, 16, "start", name)
		if f.Unit != "" && f.Unit != "1" {
			c.text(numbers, 20, y, "start", fit(numbers, f.Unit, left-36))
		}
		low, high := f.reach()
		if high > low {
			bars(c, f, best != "", top, axis{low, high, niceStep(high-low, 6)}, left, right)
		}
		top += tall
	}
	c.h = top + 4
	return c.bytes()
}

// bars draws the bands of one parameter.
func bars(c *canvas, f *Foreseen, best bool, top float64, a axis, left, right float64) {
	at := func(v float64) float64 {
		return left + (right-left)*math.Min(math.Max((v-a.lo)/(a.hi-a.lo), 0), 1)
	}
	d := decimalsOf(a.step)
	for v := math.Ceil(a.lo/a.step-1e-9) * a.step; v <= a.hi+1e-9*(a.hi-a.lo); v += a.step {
		c.line(at(v), top, at(v), top+66, "stroke", hair, "stroke-width", "0.8")
		c.text(numbers, at(v), top+80, "middle", Number(math.Round(v/a.step)*a.step, d))
	}
	before := "before"
	if f.ByBounds {
		before = "before, bounds"
	}
	all := []struct {
		band         [2]float64
		fill         string
		what         string
		y            float64
		accent, mark string
	}{
		{f.Before, hair, before, 4, ink2, ink},
		{f.Planned, veil, "as planned", 25, ink, ink},
		{f.Best, water, "with best", 46, water, sheet},
	}
	if !best {
		all = all[:2]
	}
	for _, b := range all {
		lo, hi := at(b.band[0]), at(b.band[1])
		c.rect(lo, top+b.y, math.Max(hi-lo, 1.5), 16, "fill", b.fill)
		mid := top + b.y + 8
		out := 1e-9 * (a.hi - a.lo)
		if b.band[0] < a.lo-out && a.lo > f.BoundLow+out {
			c.path("M"+px(lo-6)+" "+px(mid)+"L"+px(lo+4)+" "+px(mid-5)+"L"+px(lo+4)+" "+px(mid+5)+"Z", "fill", ink)
			c.text(numbers, lo+8, mid+4, "start", endText(b.band[0], a.step), "fill", b.mark)
		}
		if b.band[1] > a.hi+out && a.hi < f.BoundTop-out {
			c.path("M"+px(hi+6)+" "+px(mid)+"L"+px(hi-4)+" "+px(mid-5)+"L"+px(hi-4)+" "+px(mid+5)+"Z", "fill", ink)
			c.text(numbers, hi-8, mid+4, "end", endText(b.band[1], a.step), "fill", b.mark)
		}
		c.text(names, right+16, top+b.y+12, "start", b.what, "fill", b.accent)
		c.text(numbers, historyWidth-12, top+b.y+12, "end", "±"+thin+twoDigits((b.band[1]-b.band[0])/2))
	}
	for _, bound := range []struct{ at, edge float64 }{{f.BoundLow, a.lo}, {f.BoundTop, a.hi}} {
		if math.Abs(bound.at-bound.edge) <= 1e-9*(a.hi-a.lo) {
			c.line(at(bound.at), top, at(bound.at), top+66, "stroke", ink, "stroke-width", "3")
		}
	}
	c.line(at(f.Value), top, at(f.Value), top+66, "stroke", ink, "stroke-width", "1")
}

// endText prints where a band ends that runs out of an axis, to the axis' digits or three that count.
func endText(v, step float64) string {
	if last := LastDigit(math.Abs(v) / 10); v != 0 && math.Pow(10, float64(last)) > step/10 {
		return toDigit(v, last)
	}
	return Number(v, decimalsOf(step))
}
