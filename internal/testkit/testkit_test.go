package testkit

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// recorder stands in for a test and keeps what was reported.
type recorder struct {
	testing.TB
	errors []string
}

func (r *recorder) Helper() {}
func (r *recorder) Errorf(format string, args ...any) {
	r.errors = append(r.errors, fmt.Sprintf(format, args...))
}

func TestCloseAddsAbsoluteAndRelativeParts(t *testing.T) {
	for _, c := range []struct {
		got, want, rtol, atol float64
		ok                    bool
	}{
		{100.9, 100, 0.01, 0, true},
		{101.1, 100, 0.01, 0, false},
		{101.1, 100, 0.01, 0.2, true},
		{-101.1, -100, 0.01, 0.2, true},
		{1e-9, 0, 1, 0, false}, // a relative tolerance of zero is zero
		{math.NaN(), 1, 1, 1, false},
		{1, math.NaN(), 1, 1, false},
		{math.NaN(), math.NaN(), 0, 0, true},
		{math.Inf(1), math.Inf(1), 0, 0, true},
		{math.Inf(1), math.Inf(-1), 1, 1, false},
		{1, math.Inf(1), 1, 1, false},
	} {
		r := &recorder{}
		Close(r, "x", c.got, c.want, c.rtol, c.atol)
		if ok := len(r.errors) == 0; ok != c.ok {
			t.Errorf("Close(%v, %v, rtol %v, atol %v) passed: %v, want %v", c.got, c.want, c.rtol, c.atol, ok, c.ok)
		}
	}
}

func TestCloseAllNamesLengthAndPlaces(t *testing.T) {
	r := &recorder{}
	CloseAll(r, "x", []float64{1}, []float64{1, 2}, 0, 0)
	if len(r.errors) != 1 || !strings.Contains(r.errors[0], "has 1 values, want 2") {
		t.Errorf("unequal lengths reported as %q", r.errors)
	}
	r = &recorder{}
	CloseAll(r, "x", []float64{1, 2, 3, 4, 5}, []float64{1, 0, 0, 0, 0}, 0, 0)
	if len(r.errors) != 4 || !strings.Contains(r.errors[0], "x[1]") || !strings.Contains(r.errors[3], "4 of 5") {
		t.Errorf("four values off reported as %q", r.errors)
	}
}

func TestDiffShowsChangedLinesOnly(t *testing.T) {
	if d := Diff([]byte("a\nb\n"), []byte("a\nb\n")); d != "" {
		t.Errorf("equal texts differ: %s", d)
	}
	d := Diff([]byte("a\nb\nc"), []byte("a\nB\nc"))
	if want := "    2 - \"b\"\n    2 + \"B\"\n"; d != want {
		t.Errorf("got %q, want %q", d, want)
	}
	if d := Diff([]byte("a"), []byte("a\nb")); d != "    2 + \"b\"\n" {
		t.Errorf("an added line shows as %q", d)
	}
}
