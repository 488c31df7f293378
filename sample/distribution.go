package sample

import (
	"fmt"
	"math"
	"slices"
)

// Distribution is what is known of an input before a study: Quantile maps an even draw to it.
type Distribution interface {
	// Quantile returns the value below which the share u of the distribution lies, 0 ≤ u ≤ 1; infinite at an end that
	// is open.
	Quantile(u float64) float64
	// Below returns the share at or below x.
	Below(x float64) float64
	// Check says what must be mended before the distribution can be drawn from.
	Check() error
}

// Uniform has every value from Low to High with equal density.
type Uniform struct{ Low, High float64 }

func (d Uniform) Quantile(u float64) float64 { return d.Low + u*(d.High-d.Low) }

func (d Uniform) Below(x float64) float64 { return min(max((x-d.Low)/(d.High-d.Low), 0), 1) }

func (d Uniform) Check() error { return rising("a uniform distribution", d.Low, d.High) }

// Normal has the given mean and standard deviation SD > 0.
type Normal struct{ Mean, SD float64 }

func (d Normal) Quantile(u float64) float64 { return d.Mean + d.SD*normalQuantile(u) }

func (d Normal) Below(x float64) float64 { return normalBelow((x - d.Mean) / d.SD) }

func (d Normal) Check() error {
	if !finite(d.Mean, d.SD) || d.SD <= 0 {
		return fmt.Errorf("a normal distribution needs a mean and a standard deviation above zero, not %g and %g", d.Mean, d.SD)
	}
	return nil
}

// LogNormal is a value whose logarithm is normal: half lies below Median > 0, and about two thirds between Median/Factor
// and Median·Factor, Factor > 1.
type LogNormal struct{ Median, Factor float64 }

func (d LogNormal) Quantile(u float64) float64 {
	return d.Median * math.Exp(math.Log(d.Factor)*normalQuantile(u))
}

func (d LogNormal) Below(x float64) float64 {
	if x <= 0 {
		return 0
	}
	return normalBelow(math.Log(x/d.Median) / math.Log(d.Factor))
}

func (d LogNormal) Check() error {
	if !finite(d.Median, d.Factor) || d.Median <= 0 || d.Factor <= 1 {
		return fmt.Errorf("a lognormal distribution needs a median above 0 and a factor above 1, not %g and %g", d.Median, d.Factor)
	}
	return nil
}

// Triangular rises from Low to its Mode and falls to High.
type Triangular struct{ Low, Mode, High float64 }

func (d Triangular) Quantile(u float64) float64 {
	w := d.High - d.Low
	if up := (d.Mode - d.Low) / w; u < up {
		return d.Low + math.Sqrt(u*w*(d.Mode-d.Low))
	}
	return d.High - math.Sqrt((1-u)*w*(d.High-d.Mode))
}

func (d Triangular) Below(x float64) float64 {
	w := d.High - d.Low
	switch {
	case x <= d.Low:
		return 0
	case x >= d.High:
		return 1
	case x < d.Mode:
		return (x - d.Low) * (x - d.Low) / (w * (d.Mode - d.Low))
	}
	return 1 - (d.High-x)*(d.High-x)/(w*(d.High-d.Mode))
}

func (d Triangular) Check() error {
	if err := rising("a triangular distribution", d.Low, d.High); err != nil {
		return err
	}
	if !(d.Low <= d.Mode && d.Mode <= d.High) {
		return fmt.Errorf("a triangular distribution from %g to %g has its mode between them, not at %g", d.Low, d.High, d.Mode)
	}
	return nil
}

// Choice takes one of some values; Weights, as many, say how often; none: all alike. Values rise.
type Choice struct{ Values, Weights []float64 }

func (d Choice) Quantile(u float64) float64 {
	sum, total := 0.0, d.total()
	for i, v := range d.Values {
		sum += d.weight(i)
		if u*total < sum {
			return v
		}
	}
	return d.Values[len(d.Values)-1]
}

func (d Choice) Below(x float64) float64 {
	sum := 0.0
	for i, v := range d.Values {
		if v <= x {
			sum += d.weight(i)
		}
	}
	return sum / d.total()
}

func (d Choice) Check() error {
	if len(d.Values) == 0 {
		return fmt.Errorf("a choice needs at least one value")
	}
	if !finite(d.Values...) || !slices.IsSorted(d.Values) {
		return fmt.Errorf("the values of a choice are numbers that rise: %v", d.Values)
	}
	if len(d.Weights) != 0 && len(d.Weights) != len(d.Values) {
		return fmt.Errorf("a choice of %d values has %d weights: give as many, or none", len(d.Values), len(d.Weights))
	}
	for _, w := range d.Weights {
		if !finite(w) || w < 0 {
			return fmt.Errorf("the weights of a choice are at least 0, not %g", w)
		}
	}
	if !(d.total() > 0) {
		return fmt.Errorf("the weights of a choice are all 0: at least one is above")
	}
	return nil
}

func (d Choice) weight(i int) float64 {
	if len(d.Weights) == 0 {
		return 1
	}
	return d.Weights[i]
}

func (d Choice) total() float64 {
	sum := 0.0
	for i := range d.Values {
		sum += d.weight(i)
	}
	return sum
}

// Cut is a distribution without what lies below Low or above High: its shape between them, raised to a whole.
type Cut struct {
	Of        Distribution
	Low, High float64 // may be infinite
}

func (d Cut) Quantile(u float64) float64 {
	a, b := d.ends()
	return min(max(d.Of.Quantile(a+u*(b-a)), d.Low), d.High)
}

func (d Cut) Below(x float64) float64 {
	a, b := d.ends()
	return min(max((d.Of.Below(x)-a)/(b-a), 0), 1)
}

func (d Cut) Check() error {
	if err := d.Of.Check(); err != nil {
		return err
	}
	if !(d.Low < d.High) {
		return fmt.Errorf("a distribution is cut between two values that rise, not %g and %g", d.Low, d.High)
	}
	if a, b := d.ends(); !(b-a > 1e-6) {
		return fmt.Errorf("between %g and %g lies only the share %.2g of the distribution: widen the cut, or move the distribution", d.Low, d.High, b-a)
	}
	return nil
}

func (d Cut) ends() (a, b float64) { return d.Of.Below(d.Low), d.Of.Below(d.High) }

func normalQuantile(u float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*u) }

func normalBelow(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

func finite(x ...float64) bool {
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

func rising(what string, low, high float64) error {
	if !finite(low, high) || !(low < high) {
		return fmt.Errorf("%s needs two ends that rise, not %g and %g", what, low, high)
	}
	return nil
}
