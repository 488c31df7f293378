package history

import "slices"

// Straight reads what stands at rising places, its points joined by straight lines: v at x. Beyond the ends it keeps the value
// there; of two points at one place the first counts.
func Straight(xs, vs []float64, x float64) float64 {
	i, found := slices.BinarySearch(xs, x)
	switch {
	case found || i == 0:
		return vs[i]
	case i == len(xs):
		return vs[i-1]
	}
	return vs[i-1] + (x-xs[i-1])/(xs[i]-xs[i-1])*(vs[i]-vs[i-1])
}
