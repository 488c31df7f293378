package answer

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// Quantile is the value below which a share of a distribution lies, with a confidence interval between two of the sample's
// values, which supposes no shape. An end that the sample is too small for is infinite.
type Quantile struct {
	Share            float64
	Value, Low, High float64
	Confidence       float64 // that is reached, at least what was asked for; lower where an end is open
}

// Spread is the distribution of a response over a sample.
type Spread struct {
	sorted []float64
	Left   int // values that were left out: variants without one
	Mean   float64
	U      float64 // standard uncertainty of the mean
	SD     float64
}

// NewSpread takes a response's values; NaN stands for a variant without one. Intervals suppose independent draws; for
// samples that are spread more evenly they are, as a rule, wider than need be.
func NewSpread(values []float64) (Spread, error) {
	var s Spread
	for _, v := range values {
		if finite(v) {
			s.sorted = append(s.sorted, v)
			s.Mean += v
		} else {
			s.Left++
		}
	}
	n := float64(len(s.sorted))
	if n < 2 {
		return s, fmt.Errorf("a distribution needs at least two values; %d of %d variants have one", len(s.sorted), len(values))
	}
	s.Mean /= n
	for _, v := range s.sorted {
		s.SD += (v - s.Mean) * (v - s.Mean)
	}
	s.SD = math.Sqrt(s.SD / (n - 1))
	s.U = s.SD / math.Sqrt(n)
	sort.Float64s(s.sorted)
	return s, nil
}

// Count is the number of values.
func (s Spread) Count() int { return len(s.sorted) }

// MeanWithin returns the interval of the mean by Student's t.
func (s Spread) MeanWithin(confidence float64) (low, high float64) {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(len(s.sorted) - 1)}.Quantile((1 + confidence) / 2)
	return s.Mean - t*s.U, s.Mean + t*s.U
}

// Quantile returns the value at a share 0 < share < 1. The estimate lies between order statistics at (n + 1)·share. The
// interval from the l-th to the u-th value holds the quantile with the probability
//
//	P(l ≤ K < u),   K binomial with n and share;
//
// l is the largest and u the smallest for which each side errs by at most half of what is left of the confidence.
// Source: H. A. David, H. N. Nagaraja, Order Statistics, 3rd ed., Wiley (2003), section 7.1.
func (s Spread) Quantile(share, confidence float64) (Quantile, error) {
	if !(share > 0 && share < 1 && confidence > 0 && confidence < 1) {
		return Quantile{}, fmt.Errorf("a quantile's share and confidence are between 0 and 1, not %g and %g", share, confidence)
	}
	n := len(s.sorted)
	q := Quantile{Share: share, Low: math.Inf(-1), High: math.Inf(1)}
	at := min(max(share*float64(n+1), 1), float64(n))
	k := min(int(at), n-1)
	q.Value = s.sorted[k-1] + (at-float64(k))*(s.sorted[k]-s.sorted[k-1])
	side := (1 - confidence) / 2
	b := distuv.Binomial{N: float64(n), P: share}
	low, high := 0, n+1
	for l := 1; l <= n && b.CDF(float64(l-1)) <= side; l++ { // P(K < l): the quantile lies below the l-th value
		low = l
	}
	for u := n; u >= 1 && 1-b.CDF(float64(u-1)) <= side; u-- { // P(K ≥ u): it lies at or above the u-th
		high = u
	}
	q.Confidence = b.CDF(float64(high - 1))
	if high > n {
		q.Confidence = 1
	} else {
		q.High = s.sorted[high-1]
	}
	if low > 0 {
		q.Low = s.sorted[low-1]
		q.Confidence -= b.CDF(float64(low - 1))
	}
	return q, nil
}

// Tolerance is an interval between two of the sample's values that holds at least Share of the distribution with a
// stated confidence.
type Tolerance struct {
	Share, Confidence float64 // as reached
	Low, High         float64
	Enough            bool // the confidence asked for is reached
	Needed            int  // the smallest sample with which it would be
}

// Within returns the interval that leaves out equally many values at both ends, as many as the confidence allows:
//
//	P(share of the distribution between the r-th and the (n + 1 − r)-th value ≥ γ) = P(K ≤ n − 2r),
//
// K binomial with n and γ. Source: S. S. Wilks, "Determination of sample sizes for setting tolerance limits", Ann. Math.
// Statist. 12 (1941) 91-96.
func (s Spread) Within(share, confidence float64) (Tolerance, error) {
	if !(share > 0 && share < 1 && confidence > 0 && confidence < 1) {
		return Tolerance{}, fmt.Errorf("a tolerance interval's share and confidence are between 0 and 1, not %g and %g", share, confidence)
	}
	n := len(s.sorted)
	reached := func(n, r int) float64 {
		if n < 2*r {
			return 0
		}
		return distuv.Binomial{N: float64(n), P: share}.CDF(float64(n - 2*r))
	}
	r := 1
	for 2*(r+1) < n && reached(n, r+1) >= confidence {
		r++
	}
	t := Tolerance{Share: share, Confidence: reached(n, r), Low: s.sorted[r-1], High: s.sorted[n-r]}
	t.Enough = t.Confidence >= confidence
	t.Needed = WilksSize(share, confidence, 2)
	return t, nil
}

// WilksSize returns the smallest sample of which the given number of outermost values, 1 for a limit on one side and 2
// for an interval, bound a share of the distribution with a confidence. Source: Wilks 1941, see Within.
func WilksSize(share, confidence float64, ends int) int {
	low, high := ends, ends
	ok := func(n int) bool { return distuv.Binomial{N: float64(n), P: share}.CDF(float64(n-ends)) >= confidence }
	for !ok(high) {
		low, high = high, 2*high
		if high > 1<<30 {
			return high
		}
	}
	for low < high {
		if mid := (low + high) / 2; ok(mid) {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return high
}
