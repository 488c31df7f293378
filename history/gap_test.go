package history

import (
	"math"
	"slices"
	"testing"

	"emberbank/internal/testkit"
)

func two() (a, b *History) {
	a = &History{Time: []float64{0, 10, 20, 30}, Columns: []Column{
		{Name: "x", Quantity: Temperature, Values: []float64{300, 310, 320, 330}},
		{Name: "gone", Values: []float64{1, 2, 3, 4}},
		{Name: "kind", Quantity: Heat, Values: []float64{1, 2, 3, 4}},
		{Name: "holes", Quantity: Heat, Values: []float64{math.NaN(), 2, 3, 4}},
	}}
	b = &History{Time: []float64{0, 10, 20, 40}, Columns: []Column{
		{Name: "holes", Quantity: Heat, Values: []float64{1, 2.5, math.NaN(), 4}},
		{Name: "x", Quantity: Temperature, Values: []float64{301, 307, 321, 350}},
		{Name: "kind", Quantity: HeatFlow, Values: []float64{1, 2, 3, 4}},
		{Name: "new", Values: []float64{1, 2, 3, 4}},
	}}
	return a, b
}

func TestGapsAreTakenAtSharedTimesAndSayWhen(t *testing.T) {
	a, b := two()
	gaps, common := Gaps(a, b)
	if common.Drawn || !slices.Equal(common.Times, []float64{0, 10, 20}) {
		t.Errorf("common times are %+v", common)
	}
	want := []Gap{
		{Name: "x", Quantity: Temperature, Times: 3, Most: -3, At: 10, Mean: -1.0 / 3, Last: 1, EndA: 320, EndB: 321, Span: 21, A: 310, B: 307},
		{Name: "holes", Quantity: Heat, Times: 1, Most: 0.5, At: 10, Mean: 0.5, Last: 0.5, EndA: 2, EndB: 2.5, Span: 0.5, A: 2, B: 2.5},
	}
	if len(gaps) != len(want) {
		t.Fatalf("gaps are %+v", gaps)
	}
	for i, w := range want {
		testkit.Close(t, w.Name+" mean", gaps[i].Mean, w.Mean, 1e-14, 0)
		gaps[i].Mean = w.Mean
		if gaps[i] != w {
			t.Errorf("%+v, want %+v", gaps[i], w)
		}
	}
	if m := Missing(a, b); !slices.Equal(m, []string{"gone", "kind"}) {
		t.Errorf("missing are %v", m)
	}
}

func TestWhereFewTimesAreSharedStraightLinesAreDrawn(t *testing.T) {
	a := &History{Time: []float64{0, 10, 20, 30}, Columns: []Column{{Name: "x", Values: []float64{0, 1, 2, 3}}}}
	b := &History{Time: []float64{5, 15, 25, 35}, Columns: []Column{{Name: "x", Values: []float64{1, 2, 3, 4}}}}
	gaps, common := Gaps(a, b)
	if !common.Drawn || !slices.Equal(common.Times, []float64{5, 10, 15, 20, 25, 30}) {
		t.Fatalf("common times are %+v", common)
	}
	// Both are straight, b half a step ahead: half above, everywhere.
	testkit.Close(t, "difference", gaps[0].Most, 0.5, 1e-14, 0)
	testkit.Close(t, "mean difference", gaps[0].Mean, 0.5, 1e-14, 0)
	if _, none := Gaps(a, &History{Time: []float64{50, 60}, Columns: []Column{{Name: "x", Values: []float64{1, 2}}}}); len(none.Times) != 0 {
		t.Errorf("histories that do not meet have common times: %+v", none)
	}
}
