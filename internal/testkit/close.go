// Package testkit is what tests share: comparison with a stated tolerance, golden files, and generators of
// plain values with an explicit seed. Only tests import it. It knows nothing of heat.
//
// A tolerance always has an absolute and a relative part; the test that sets them says why:
//
//	testkit.Close(t, "density at 300 K", got, want, 0, 1e-9) // relative 1e-9: the table prints nine digits
package testkit

import (
	"math"
	"testing"
)

// Close reports an error unless |got - want| <= atol + rtol |want|. Two values that are both NaN, or the same
// infinity, are close. rtol comes before atol.
func Close(t testing.TB, name string, got, want, rtol, atol float64) {
	t.Helper()
	if within(got, want, rtol, atol) {
		return
	}
	t.Errorf("%s is %.10g, want %.10g: off by %.3g, allowed %.3g", name, got, want, got-want, atol+rtol*math.Abs(want))
}

// CloseAll is Close for every element of two slices of equal length; it names the first three that are off.
func CloseAll(t testing.TB, name string, got, want []float64, rtol, atol float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s has %d values, want %d", name, len(got), len(want))
		return
	}
	bad := 0
	for i := range got {
		if within(got[i], want[i], rtol, atol) {
			continue
		}
		if bad++; bad <= 3 {
			t.Errorf("%s[%d] is %.10g, want %.10g: off by %.3g, allowed %.3g",
				name, i, got[i], want[i], got[i]-want[i], atol+rtol*math.Abs(want[i]))
		}
	}
	if bad > 3 {
		t.Errorf("%s: %d of %d values are off", name, bad, len(got))
	}
}

func within(got, want, rtol, atol float64) bool {
	if math.IsNaN(got) || math.IsNaN(want) {
		return math.IsNaN(got) && math.IsNaN(want)
	}
	if math.IsInf(got, 0) || math.IsInf(want, 0) {
		return got == want
	}
	return math.Abs(got-want) <= atol+rtol*math.Abs(want)
}
