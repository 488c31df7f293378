package answer

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestFrontTellsBeatenFromUncertain(t *testing.T) {
	v := []Outcome{
		{A: 1, B: 5, UA: 0.1, UB: 0.1},
		{A: 2, B: 2, UA: 0.1, UB: 0.1},
		{A: 5, B: 1, UA: 0.1, UB: 0.1},
		{A: 3, B: 3, UA: 0.1, UB: 0.1},     // beaten by the second in both by ten times its uncertainty
		{A: 2.1, B: 2.1, UA: 0.1, UB: 0.1}, // worse than the second by less than the uncertainty
		{A: math.NaN(), B: 0},
		{A: 5.05, B: 0.95, UA: 0.1, UB: 0.1}, // on the front, and not to be told from the third
	}
	f, err := FrontOf(v, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if want := []Standing{OnFront, OnFront, OnFront, Beaten, Uncertain, NoValue, OnFront}; !slices.Equal(f.Standing, want) {
		t.Errorf("standing %v, want %v", f.Standing, want)
	}
	if !slices.Equal(f.Order, []int{0, 1, 2, 6}) || len(f.Alike) != 1 || !slices.Equal(f.Alike[0], []int{2, 6}) {
		t.Errorf("order %v, alike %v", f.Order, f.Alike)
	}
	said := strings.Join(f.Sentences(strconv.Itoa), " ")
	for _, want := range []string{"4 of 6", "1 more cannot be told", "From 2 to 6", "order is not known", "1 variant has no value"} {
		if !strings.Contains(said, want) {
			t.Errorf("no %q in: %s", want, said)
		}
	}
}

func TestNoVariantOnAFrontBeatsAnother(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 30).Draw(t, "n")
		v := make([]Outcome, n)
		for i := range v {
			v[i] = Outcome{A: float64(rapid.IntRange(0, 9).Draw(t, "a")), B: float64(rapid.IntRange(0, 9).Draw(t, "b")), UA: 0.5, UB: 0.5}
		}
		f, err := FrontOf(v, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Order) == 0 {
			t.Fatal("nobody is on the front")
		}
		for i := range v {
			beaten := false
			for _, j := range f.Order {
				beaten = beaten || v[j].A <= v[i].A && v[j].B <= v[i].B && (v[j].A < v[i].A || v[j].B < v[i].B)
			}
			if beaten == (f.Standing[i] == OnFront) {
				t.Fatalf("variant %d stands as %v", i, f.Standing[i])
			}
		}
	})
}
