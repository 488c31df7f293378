package balance

import "math"

// memory is how the noise of a series remembers itself: the first autocorrelation of its residuals, corrected for
// the bias that a fit of few parameters brings.
//
//	ρ = ρ̂ + (1 + 3 ρ̂ + 2 (p − 1) (1 + ρ̂)/2) / n
//
// with p fitted parameters. Source: Kendall, Biometrika 41 (1954) 403-404, for the mean; its extension to p
// parameters is common practice without a source, tried by simulation in the tests.
func memory(residuals []float64, parameters int) float64 {
	n := float64(len(residuals))
	var c0, c1 float64
	for i, e := range residuals {
		c0 += e * e
		if i > 0 {
			c1 += e * residuals[i-1]
		}
	}
	if c0 == 0 || n < 4 {
		return 0
	}
	r := c1 / c0
	r += (1 + 3*r + float64(parameters-1)*(1+r)) / n
	return math.Min(math.Max(r, 0), 0.999)
}

// ofMean returns by how much the variance of a mean of m values exceeds σ²/m when the noise is a first-order
// autoregression with ρ:
//
//	(1 + ρ)/(1 − ρ) − 2 ρ (1 − ρᵐ) / (m (1 − ρ)²)
//
// Source: common in time-series texts; it is the sum 1 + 2 Σ (1 − k/m) ρᵏ.
func ofMean(rho float64, m int) float64 {
	if rho <= 0 {
		return 1
	}
	d := 1 - rho
	return math.Max(1, (1+rho)/d-2*rho*(1-math.Pow(rho, float64(m)))/(float64(m)*d*d))
}

// effective returns how many independent values m values with memory rho are worth.
func effective(rho float64, m int) float64 { return float64(m) / ofMean(rho, m) }
