package answer

import (
	"fmt"

	"gonum.org/v1/gonum/stat/distuv"
)

// Share is a part of a whole as a sample tells it, with its confidence interval.
type Share struct{ Value, Low, High float64 }

// ShareOf returns the share that k of n independent draws show. Its interval leaves at most half of what is left of the
// confidence on each side, whatever the true share is: its ends are those of which k or more, and k or fewer, have that
// probability,
//
//	Low = B⁻¹((1 − c)/2; k, n − k + 1),   High = B⁻¹((1 + c)/2; k + 1, n − k),
//
// B⁻¹ the quantile of the beta distribution. Source: C. J. Clopper, E. S. Pearson, "The use of confidence or fiducial limits
// illustrated in the case of the binomial", Biometrika 26 (1934) 404-413.
func ShareOf(k, n int, confidence float64) (Share, error) {
	if n < 1 || k < 0 || k > n || !(confidence > 0 && confidence < 1) {
		return Share{}, fmt.Errorf("a share is of 0 to n of n draws with a confidence between 0 and 1, not %d of %d with %g", k, n, confidence)
	}
	s := Share{Value: float64(k) / float64(n), High: 1}
	if k > 0 {
		s.Low = distuv.Beta{Alpha: float64(k), Beta: float64(n - k + 1)}.Quantile((1 - confidence) / 2)
	}
	if k < n {
		s.High = distuv.Beta{Alpha: float64(k + 1), Beta: float64(n - k)}.Quantile((1 + confidence) / 2)
	}
	return s, nil
}
