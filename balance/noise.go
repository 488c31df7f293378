package balance

import (
	"math"
	"sort"
)

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

// rounding returns r/√12, the standard uncertainty of values that step by r, where they scatter by less than half of it;
// 0 where they do not step, or scatter so much that means over rows see through the steps.
// Source: JCGM 100:2008, F.2.2.1; that noise of half a step makes means see through: common in texts on sampling, without
// a source.
func rounding(v []float64) float64 {
	s := make([]float64, 0, len(v))
	for _, x := range v {
		if !math.IsNaN(x) {
			s = append(s, x)
		}
	}
	sort.Float64s(s)
	var gaps []float64
	for i := 1; i < len(s); i++ {
		if d := s[i] - s[i-1]; d > 1e-9*math.Abs(s[i]) {
			gaps = append(gaps, d)
		}
	}
	if len(gaps) < 3 || len(gaps) > len(s)/2 {
		return 0 // it does not repeat its values
	}
	r, odd := quantile(gaps, 0.05), 0
	for _, d := range gaps {
		if k := d / r; math.Abs(k-math.Round(k)) > 0.01 {
			odd++
		}
	}
	if odd > len(gaps)/20 {
		return 0
	}
	scatter := 0.0 // of neighbours: the share that differs, each by a step
	for i := 1; i < len(v); i++ {
		if d := math.Abs(v[i]-v[i-1]) / r; d > 0.5 {
			scatter += math.Min(d*d, 4)
		}
	}
	if math.Sqrt(scatter/float64(len(v))/2) > 0.5 {
		return 0
	}
	return r / math.Sqrt(12)
}

// effective returns how many independent values m values with memory rho are worth.
func effective(rho float64, m int) float64 { return float64(m) / ofMean(rho, m) }

// levels looks at residuals at one and more distances: as they are, as means of two, of four, and so on while thirty
// are left. At each an autoregression is fitted. It returns the largest variance of the sum of n residuals divided by
// n, multiplied by what Student's t makes of its few effective degrees of freedom, as a standard deviation and those
// degrees. Slow noise under fast noise, which the first autocorrelation misses, shows at the coarser levels.
func levels(residuals []float64, parameters int, quantile func(dof float64) float64) (sd, rho, dof float64) {
	v := residuals
	for size := 1; len(v) >= 30 || size == 1; size *= 2 {
		n := len(v)
		sum := 0.0
		for _, e := range v {
			sum += e * e
		}
		r := memory(v, parameters)
		worth := math.Max(effective(r, n), float64(parameters)+1)
		d := math.Max(1, worth-float64(parameters))
		s := math.Sqrt(sum / float64(n) * worth / d * ofMean(r, n) * float64(size))
		if size == 1 {
			rho = r
		}
		if s*quantile(d) > sd*quantile(math.Max(dof, 1)) {
			sd, dof = s, d
		}
		half := make([]float64, n/2)
		for i := range half {
			half[i] = (v[2*i] + v[2*i+1]) / 2
		}
		v = half
	}
	return sd, rho, dof
}
