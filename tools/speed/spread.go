package main

import (
	"fmt"
	"math"
	"slices"
)

// spread is the middle of what was seen and its quarters.
type spread struct{ low, middle, high float64 }

// spreadOf returns the median and both quartiles, by straight interpolation between the ordered values.
func spreadOf(values []float64) spread {
	v := slices.Sorted(slices.Values(values))
	at := func(share float64) float64 {
		if len(v) == 0 {
			return math.NaN()
		}
		x := share * float64(len(v)-1)
		i := min(int(x), len(v)-1)
		j := min(i+1, len(v)-1)
		return v[i] + (x-float64(i))*(v[j]-v[i])
	}
	return spread{at(0.25), at(0.5), at(0.75)}
}

// of gathers a quantity over the samples of a contestant.
func (c *contestant) of(quantity func(s sample) float64) spread {
	v := make([]float64, len(c.samples))
	for i, s := range c.samples {
		v[i] = quantity(s)
	}
	return spreadOf(v)
}

// text prints the middle and the quartiles with some significant digits.
func (s spread) text(digits int) string {
	return fmt.Sprintf("%s (%s–%s)", significant(s.middle, digits), significant(s.low, digits), significant(s.high, digits))
}

// significant prints a number with some significant digits and no exponent.
func significant(v float64, digits int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Sprint(v)
	}
	after := digits - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	if after < 0 {
		unit := math.Pow(10, float64(-after))
		return fmt.Sprintf("%.0f", math.Round(v/unit)*unit)
	}
	return fmt.Sprintf("%.*f", after, v)
}
