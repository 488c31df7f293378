package answer

import (
	"fmt"
	"math"
)

// Response is a result over one axis, with what is known of its errors.
type Response struct {
	X []float64 // the axis, rising, in one unit
	Y []float64 // the response at each X, in one unit
	// U is the standard uncertainty of each Y from computing (grid, step), in the unit of Y; nil: exact.
	U []float64
	// Neighbour is the correlation of the errors behind U between neighbouring points, 0 to below 1, falling by the same
	// factor with each point further on. Unknown: whatever makes a statement least certain is taken for it.
	Neighbour float64
	// Inputs holds, for each uncertain input, what one standard uncertainty of it does to each Y.
	Inputs [][]float64
}

// Unknown stands for a correlation that nobody knows.
const Unknown = -1

// correlations are tried in place of an unknown one.
var correlations = [...]float64{0, 0.2, 0.4, 0.6, 0.8, 0.9, 0.95, 0.98}

func (r Response) check() error {
	n := len(r.X)
	if len(r.Y) != n || r.U != nil && len(r.U) != n {
		return fmt.Errorf("a response has equally many places, values and uncertainties, not %d, %d and %d", n, len(r.Y), len(r.U))
	}
	for i := range r.X {
		if !finite(r.X[i], r.Y[i]) || r.U != nil && !(finite(r.U[i]) && r.U[i] >= 0) {
			return fmt.Errorf("point %d of the response is not a number, or its uncertainty is not one from 0 on: leave out variants that failed", i+1)
		}
		if i > 0 && r.X[i] <= r.X[i-1] {
			return fmt.Errorf("the axis must rise: %g stands after %g", r.X[i], r.X[i-1])
		}
	}
	if r.Neighbour != Unknown && !(r.Neighbour >= 0 && r.Neighbour < 1) {
		return fmt.Errorf("the correlation between neighbours is from 0 to below 1, or unknown, not %g", r.Neighbour)
	}
	for k, c := range r.Inputs {
		if len(c) != n || !finite(c...) {
			return fmt.Errorf("the effect of uncertain input %d is not a number at each of %d points", k+1, n)
		}
	}
	return nil
}

// contrast is a weighted sum of the response's values, with the variance that it has from computing and from inputs.
type contrast struct {
	value            float64
	numeric, carried float64 // variances
}

func (c contrast) sd() float64 { return math.Sqrt(c.numeric + c.carried) }

// contrast returns Σ wᵢ yᵢ. Its variance is wᵀ Σ w with
//
//	Σᵢⱼ = uᵢ uⱼ ρ^|i−j| + Σₖ cₖᵢ cₖⱼ
func (r Response) contrast(w []float64) contrast {
	var c contrast
	for i, v := range w {
		c.value += v * r.Y[i]
	}
	for _, in := range r.Inputs {
		s := 0.0
		for i, v := range w {
			s += v * in[i]
		}
		c.carried += s * s
	}
	if r.U == nil {
		return c
	}
	if r.Neighbour != Unknown {
		c.numeric = r.variance(w, r.Neighbour)
		return c
	}
	for _, rho := range correlations {
		c.numeric = max(c.numeric, r.variance(w, rho))
	}
	return c
}

func (r Response) variance(w []float64, rho float64) float64 {
	// One pass: carry holds Σⱼ<ᵢ wⱼ uⱼ ρ^(i−j).
	sum, carry := 0.0, 0.0
	for i, v := range w {
		a := v * r.U[i]
		carry *= rho
		sum += a*a + 2*a*carry
		carry += a
	}
	return max(sum, 0)
}

// difference is yⱼ − yᵢ.
func (r Response) difference(i, j int) contrast {
	w := make([]float64, len(r.X))
	w[i]--
	w[j]++
	return r.contrast(w)
}

func finite(x ...float64) bool {
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
