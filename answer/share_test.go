package answer

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// TestSharesHaveTheirDefiningTails: at the ends of the interval the draws have just the probability that defines them. For none
// of n the upper end is 1 − (α/2)^(1/n) in closed form.
func TestSharesHaveTheirDefiningTails(t *testing.T) {
	for _, one := range []struct{ k, n int }{{1, 10}, {5, 10}, {93, 100}, {10, 400}} {
		s, err := ShareOf(one.k, one.n, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		low := 1 - distuv.Binomial{N: float64(one.n), P: s.Low}.CDF(float64(one.k-1))
		high := distuv.Binomial{N: float64(one.n), P: s.High}.CDF(float64(one.k))
		if math.Abs(low-0.025) > 1e-6 || math.Abs(high-0.025) > 1e-6 {
			t.Errorf("%d of %d: the tails are %g and %g, want 0.025", one.k, one.n, low, high)
		}
	}
	s, err := ShareOf(0, 20, 0.95)
	if want := 1 - math.Pow(0.025, 1.0/20); err != nil || s.Low != 0 || math.Abs(s.High-want) > 1e-9 {
		t.Errorf("none of 20: %+v, want 0 to %g", s, want)
	}
	if s, _ = ShareOf(20, 20, 0.95); s.High != 1 || math.Abs(s.Low-math.Pow(0.025, 1.0/20)) > 1e-9 {
		t.Errorf("20 of 20: %+v", s)
	}
	for _, one := range [][2]int{{-1, 3}, {4, 3}, {0, 0}} {
		if _, err := ShareOf(one[0], one[1], 0.95); err == nil {
			t.Errorf("%v passes", one)
		}
	}
}
