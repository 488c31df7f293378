package study

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/internal/testkit"

	"pgregory.net/rapid"
)

// reference is testdata/grid_convergence.json, whose "source" names the paper: values phi from the finest grid to
// the coarsest.
type reference struct {
	Source string
	Cases  []struct {
		Column   string
		Phi      [3]float64
		R21, R32 float64
		Printed  struct {
			P      float64
			PhiExt float64 `json:"phi_ext"`
		}
		Computed expected
	}
	PowerLaw []struct {
		Phi      [3]float64
		R21, R32 float64
		Expected expected
	} `json:"exact_power_law"`
}

type expected struct {
	P      float64
	PhiExt float64 `json:"phi_ext21"`
	GCI    float64 `json:"GCI_fine21_percent"`
}

func readReference(t *testing.T) reference {
	t.Helper()
	raw, err := os.ReadFile("testdata/grid_convergence.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref reference
	if err := json.Unmarshal(raw, &ref); err != nil {
		t.Fatal(err)
	}
	if len(ref.Cases) == 0 || len(ref.PowerLaw) == 0 {
		t.Fatal("the reference file holds no cases")
	}
	return ref
}

func TestConvergeGivesTheTableOfCelik(t *testing.T) {
	for _, c := range readReference(t).Cases {
		e := Converge([3]float64{c.Phi[2], c.Phi[1], c.Phi[0]}, c.R32, c.R21)
		if e.Verdict != Monotone {
			t.Errorf("%s: verdict %s", c.Column, e.Verdict)
		}
		// The table prints p to three and the extrapolated value to five digits from unrounded inputs; the
		// recomputed figures carry the digits that the printed inputs give.
		testkit.Close(t, "p against print", e.Order, c.Printed.P, 0, 0.01)
		testkit.Close(t, "extrapolated against print", e.Extrapolated, c.Printed.PhiExt, 0, 5e-4)
		testkit.Close(t, "p", e.Order, c.Computed.P, 0, 1e-5)
		testkit.Close(t, "extrapolated", e.Extrapolated, c.Computed.PhiExt, 0, 1e-6)
		testkit.Close(t, "index", 100*e.FineIndex, c.Computed.GCI, 0, 1e-4)
	}
}

func TestConvergeIsExactOnAPowerLaw(t *testing.T) {
	for _, c := range readReference(t).PowerLaw {
		e := Converge([3]float64{c.Phi[2], c.Phi[1], c.Phi[0]}, c.R32, c.R21)
		testkit.Close(t, "p", e.Order, c.Expected.P, 1e-9, 0)
		testkit.Close(t, "extrapolated", e.Extrapolated, c.Expected.PhiExt, 1e-9, 0)
		testkit.Close(t, "index", 100*e.FineIndex, c.Expected.GCI, 1e-4, 0) // the file prints five digits
	}
}

// TestConvergeRecoversOrderAndLimit draws limits, orders and unequal ratios, makes the three values by
// φ = limit + c h^p, and asks for limit and order back.
func TestConvergeRecoversOrderAndLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limit := rapid.Float64Range(-100, 100).Draw(t, "limit")
		c := rapid.Float64Range(0.1, 10).Draw(t, "c") * float64(1-2*rapid.IntRange(0, 1).Draw(t, "sign"))
		p := rapid.Float64Range(0.3, 4).Draw(t, "p")
		r32 := rapid.Float64Range(1.2, 2.5).Draw(t, "r32")
		r21 := rapid.Float64Range(1.2, 2.5).Draw(t, "r21")
		phi := func(h float64) float64 { return limit + c*math.Pow(h, p) }
		e := Converge([3]float64{phi(1), phi(1 / r32), phi(1 / r32 / r21)}, r32, r21)
		// Differences as small as 1e-3 of values up to 100 leave 1e-14·100/1e-3 = 1e-9; the order takes that
		// divided by a slope of at least ln(1.2).
		if e.Verdict != Monotone || math.Abs(e.Order-p) > 1e-7 || math.Abs(e.Extrapolated-limit) > 1e-6 {
			t.Fatalf("got %s order %v limit %v, want %v and %v", e.Verdict, e.Order, e.Extrapolated, p, limit)
		}
		if got, want := e.BaseBand, 1.25*math.Abs(c); math.Abs(got-want) > 1e-6 {
			t.Fatalf("the base run is %v off at a factor of 1.25, got %v", want, got)
		}
	})
}

func TestConvergeSaysWhereItIsNotMonotone(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name   string
		values [3]float64
		want   Verdict
		spread float64
	}{
		{"opposite directions", [3]float64{1, 3, 2}, Oscillating, 2},
		{"growing differences", [3]float64{1, 2, 4}, Diverging, 3},
		{"equal differences at equal ratios, order zero", [3]float64{1, 2, 3}, Diverging, 2},
		{"first two equal", [3]float64{1, 1, 2}, Diverging, 1},
		{"all equal", [3]float64{5, 5, 5}, Unchanged, 0},
		{"all zero", [3]float64{}, Unchanged, 0},
		{"not a number", [3]float64{1, nan, 2}, NoValue, nan},
	} {
		e := Converge(c.values, 2, 2)
		if e.Verdict != c.want {
			t.Errorf("%s: verdict %s, want %s", c.name, e.Verdict, c.want)
		}
		testkit.Close(t, c.name+": spread", e.Spread, c.spread, 0, 0)
		if e.Verdict != Unchanged && !math.IsNaN(e.Order) {
			t.Errorf("%s: an order of %v is claimed", c.name, e.Order)
		}
	}
	if e := Converge([3]float64{5, 5, 5}, 2, 2); e.FineIndex != 0 || e.Extrapolated != 5 {
		t.Errorf("equal values extrapolate to %v with index %v", e.Extrapolated, e.FineIndex)
	}
}

// TestWhatRemainsBehindOneRefinementIsTheLimit: with φ = 3 + 0.4 h^p exactly, two grids and the order give the limit, and
// three give the same distance without being told the order.
func TestWhatRemainsBehindOneRefinementIsTheLimit(t *testing.T) {
	for _, p := range []float64{1, 2} {
		for _, r := range []float64{1.3, 1.45, 2} {
			at := func(h float64) float64 { return 3 + 0.4*math.Pow(h, p) }
			coarse, fine := at(1), at(1/r)
			testkit.Close(t, "limit", coarse+Remaining(r, p)*(fine-coarse), 3, 1e-12, 0)
			c := Converge([3]float64{coarse, fine, at(1 / r / r)}, r, r)
			testkit.Close(t, "distance by three grids", c.BaseBand/safety, Remaining(r, p)*math.Abs(fine-coarse), 1e-9, 0)
		}
	}
}

// TestRatioCountsTheDirectionsThatGetFiner: of a slab one cell across, and of a body in three directions.
func TestRatioCountsTheDirectionsThatGetFiner(t *testing.T) {
	of := func(n ...int) *heat.Result {
		g := &block.Grid{}
		cells := 1
		for a, k := range n {
			g.Lines[a] = make([]float64, k+1)
			cells *= k
		}
		return &heat.Result{Grid: g, Cells: cells}
	}
	testkit.Close(t, "slab", Ratio(of(10, 1, 1), of(15, 1, 1)), 1.5, 1e-12, 0)
	testkit.Close(t, "body", Ratio(of(4, 6, 8), of(8, 12, 16)), 2, 1e-12, 0)
}
