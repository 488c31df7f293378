package history

import (
	"math"
	"testing"
)

// By hand, between points, at them, beyond them, and at a jump.
func TestPointsAreJoinedByStraightLines(t *testing.T) {
	xs, vs := []float64{1, 2, 2, 4}, []float64{10, 20, 50, 30}
	for _, q := range [][2]float64{{1, 10}, {1.25, 12.5}, {2, 20}, {3, 40}, {4, 30}, {0, 10}, {9, 30}} {
		if got := Straight(xs, vs, q[0]); math.Abs(got-q[1]) > 1e-12 {
			t.Errorf("%g at %g, wanted %g", got, q[0], q[1])
		}
	}
}
