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
	Before             [2]float64 // 95 % by what is known before the trial, within the bounds
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
	last := int(math.Floor(math.Log10(v))) - 1
	unit := math.Pow(10, float64(last))
	return Number(math.Round(v/unit)*unit, max(-last, 0))
}

// Foresight draws, for each parameter, what is known before a trial, what will be known after it as
// planned, and what with the most helpful candidate; best names that, "" where none helps.
func Foresight(title, best string, list []Foreseen) []byte {
	const left, right, tall, first = 190.0, 780.0, 104.0, 84.0
	c := newCanvas(historyWidth, first+tall*float64(len(list))+16, title, fmt.Sprintf("Bands at 95 %% of %d parameters: before a trial, after it as planned, and with one thing done otherwise", len(list)))
	c.text(sentence, 20, 28, "start", fit(sentence, title, historyWidth-40))
	if best != "" {
		c.text(names, 20, 50, "start", fit(names, "the most helpful: "+best, historyWidth-40))
	}
	for i, f := range list {
		top := first + tall*float64(i)
		low, high := f.reach()
		span := high - low
		if !(span > 0) {
			continue
		}
		at := func(v float64) float64 {
			return left + (right-left)*math.Min(math.Max((v-low)/span, 0), 1)
		}
		name := f.Name
		c.text(captions, 20, top+26, "start", fit(captions, name, left-36))
		if f.Unit != "" && f.Unit != "1" {
			c.text(numbers, 20, top+42, "start", fit(numbers, f.Unit, left-36))
		}
		step := niceStep(span, 6)
		for v := math.Ceil(low/step-1e-9) * step; v <= high+1e-9*span; v += step {
			c.line(at(v), top, at(v), top+66, "stroke", hair, "stroke-width", "0.8")
			c.text(numbers, at(v), top+80, "middle", fmt.Sprintf("%.4g", math.Round(v/step)*step))
		}
		bars := []struct {
			band   [2]float64
			fill   string
			what   string
			y, h   float64
			accent string
		}{
			{f.Before, hair, "before", 4, 16, ink2},
			{f.Planned, veil, "as planned", 25, 16, ink},
			{f.Best, water, "with that", 46, 16, water},
		}
		if best == "" {
			bars = bars[:2]
		}
		for _, b := range bars {
			lo, hi := at(b.band[0]), at(b.band[1])
			c.rect(lo, top+b.y, math.Max(hi-lo, 1.5), b.h, "fill", b.fill)
			c.text(names, right+18, top+b.y+12, "start", b.what, "fill", b.accent)
			half := (b.band[1] - b.band[0]) / 2
			c.text(numbers, historyWidth-12, top+b.y+12, "end", "±"+thin+twoDigits(half))
		}
		c.line(at(f.Value), top, at(f.Value), top+66, "stroke", ink, "stroke-width", "1")
	}
	return c.bytes()
}
