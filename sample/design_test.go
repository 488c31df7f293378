package sample

import (
	"math"
	"slices"
	"strings"
	"testing"

	"emberbank/internal/testkit"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func TestGridOfABillionIsCountedAndReadWithoutBeingLaidOut(t *testing.T) {
	axis := Range{From: 0, To: 999, Count: 1000}
	g, err := NewGrid(axis, axis, axis)
	if err != nil {
		t.Fatal(err)
	}
	if g.Count() != 1_000_000_000 {
		t.Fatalf("count is %d", g.Count())
	}
	x := make([]float64, 3)
	if allocs := testing.AllocsPerRun(10, func() { g.At(123_456_789, x) }); allocs > 0 {
		t.Errorf("a point costs %g allocations", allocs)
	}
	if !slices.Equal(x, []float64{123, 456, 789}) {
		t.Errorf("point 123456789 is %v", x)
	}
}

func TestGridBeyondCountingSaysHowLargeItIs(t *testing.T) {
	axis := Range{From: 0, To: 1, Count: 1_000_000}
	_, err := NewGrid(axis, axis, axis, axis)
	if err == nil || !strings.Contains(err.Error(), "1e+24") {
		t.Errorf("a grid of 10²⁴: %v", err)
	}
}

func TestLevelsEndWhereTheyShould(t *testing.T) {
	r, err := Steps(0.01, 0.1, 0.01) // nine steps of a number that is not exact in binary
	if err != nil {
		t.Fatal(err)
	}
	if r.Count != 10 || r.Value(9) != 0.1 {
		t.Errorf("10 mm to 100 mm by 10 mm: %d levels, the last %g", r.Count, r.Value(9))
	}
	if r, _ = Steps(0, 1, 0.3); r.Count != 4 || math.Abs(r.Value(3)-0.9) > 1e-12 {
		t.Errorf("0 to 1 by 0.3: %d levels, the last %g", r.Count, r.Value(r.Count-1))
	}
	l := Range{From: 1, To: 100, Count: 3, Log: true}
	testkit.Close(t, "middle of 1 to 100 at equal ratios", l.Value(1), 10, 1e-14, 0)
	for _, bad := range []Levels{
		List{},
		List{1, math.NaN()},
		Range{From: 1, To: 2, Count: 0},
		Range{From: 1, To: 2, Count: 1},
		Range{From: 1, To: 1, Count: 2},
		Range{From: 0, To: 1, Count: 3, Log: true},
		Range{From: math.Inf(-1), To: 1, Count: 3},
	} {
		if bad.Check() == nil {
			t.Errorf("%#v passes", bad)
		}
	}
	if _, err := Steps(0, 1, -0.1); err == nil {
		t.Error("steps away from the end pass")
	}
	if _, err := Steps(0, 1, 0); err == nil {
		t.Error("steps of zero pass")
	}
}

var distributions = []struct {
	name     string
	d        Distribution
	mean, sd float64
	source   string
}{
	{"uniform", Uniform{2, 5}, 3.5, 3 / math.Sqrt(12), "exact: (b − a)/√12"},
	{"normal", Normal{-1, 0.5}, -1, 0.5, "by definition"},
	{
		"lognormal",
		LogNormal{2, 1.5},
		2 * math.Exp(math.Pow(math.Log(1.5), 2)/2),
		2 * math.Exp(math.Pow(math.Log(1.5), 2)/2) * math.Sqrt(math.Exp(math.Pow(math.Log(1.5), 2))-1), "exact: m e^(s²/2), times √(e^s² − 1)",
	},
	{"triangular", Triangular{0, 1, 4}, 5.0 / 3, math.Sqrt((16 + 1 - 4) / 18.0), "exact: (a + b + c)/3, √((a² + b² + c² − ab − ac − bc)/18)"},
	{"choice", Choice{[]float64{1, 2, 4}, []float64{1, 2, 1}}, 2.25, math.Sqrt(1.1875), "by hand"},
	{"cut normal", Cut{Normal{0, 1}, 0, math.Inf(1)}, math.Sqrt(2 / math.Pi), math.Sqrt(1 - 2/math.Pi), "exact: half-normal"},
}

func TestSampleHasTheMeanAndSpreadOfItsDistribution(t *testing.T) {
	const n = 1 << 14
	for _, row := range distributions {
		latin, err := NewLatin(n, 1, 3)
		if err != nil {
			t.Fatal(err)
		}
		for name, from := range map[string]Points{"Sobol": sobol(t, 1, 9), "Latin": latin} {
			d, err := NewDrawn(n, from, row.d)
			if err != nil {
				t.Fatal(err)
			}
			x := make([]float64, 1)
			sum, square := 0.0, 0.0
			for i := range d.Count() {
				d.At(i, x)
				sum += x[0]
				square += (x[0] - row.mean) * (x[0] - row.mean)
			}
			// One column is spread over slices of 1/16384; the open tails cost the most.
			testkit.Close(t, name+": mean, "+row.name+", "+row.source, sum/n, row.mean, 0, 1e-4)
			testkit.Close(t, name+": spread, "+row.name+", "+row.source, math.Sqrt(square/n), row.sd, 2e-3, 0)
		}
	}
}

func TestQuantilesAgreeWithAReferenceLibrary(t *testing.T) {
	const source = "gonum stat/distuv"
	for _, u := range []float64{1e-6, 0.01, 0.3, 0.5, 0.9, 0.9999} {
		testkit.Close(t, "normal, "+source, Normal{3, 2}.Quantile(u), distuv.Normal{Mu: 3, Sigma: 2}.Quantile(u), 1e-9, 1e-9)
		testkit.Close(t, "lognormal, "+source, LogNormal{3, 2}.Quantile(u), distuv.LogNormal{Mu: math.Log(3), Sigma: math.Log(2)}.Quantile(u), 1e-9, 0)
		testkit.Close(t, "triangular, "+source, Triangular{-1, 0, 5}.Quantile(u), distuv.NewTriangle(-1, 5, 0, nil).Quantile(u), 1e-9, 1e-9)
	}
}

func TestQuantileAndShareUndoEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		row := distributions[rapid.IntRange(0, len(distributions)-1).Draw(t, "distribution")]
		u := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "u")
		x := row.d.Quantile(u)
		if _, step := row.d.(Choice); step {
			if row.d.Below(x) < u || row.d.Below(x-0.5) > u {
				t.Fatalf("%s: %g of it lies at or below %g", row.name, u, x)
			}
			return
		}
		if got := row.d.Below(x); math.Abs(got-u) > 1e-9 {
			t.Fatalf("%s: %g comes back as %g", row.name, u, got)
		}
	})
}

func TestDistributionsThatCannotBeDrawnFromAreRefused(t *testing.T) {
	for _, bad := range []Distribution{
		Uniform{2, 2},
		Uniform{0, math.Inf(1)},
		Normal{0, 0},
		Normal{math.NaN(), 1},
		LogNormal{0, 2},
		LogNormal{1, 1},
		Triangular{0, 5, 4},
		Triangular{1, 1, 1},
		Choice{},
		Choice{[]float64{2, 1}, nil},
		Choice{[]float64{1, 2}, []float64{1}},
		Choice{[]float64{1, 2}, []float64{0, 0}},
		Cut{Normal{0, 1}, 9, 10},
		Cut{Normal{0, 1}, 1, 0},
		Cut{Normal{0, -1}, 0, 1},
	} {
		if bad.Check() == nil {
			t.Errorf("%#v passes", bad)
		}
	}
	if _, err := NewDrawn(8, sobol(t, 1, 0), Normal{0, 1}); err == nil || !strings.Contains(err.Error(), "seed") {
		t.Errorf("an open distribution at the corner of the cube: %v", err)
	}
	if _, err := NewDrawn(8, sobol(t, 2, 1), Normal{0, 1}); err == nil {
		t.Error("two columns for one distribution pass")
	}
}

func TestLatinHypercubeHasOnePointInEachSliceForAnySeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "points")
		l, err := NewLatin(int64(n), 3, rapid.Uint64().Draw(t, "seed"))
		if err != nil {
			t.Fatal(err)
		}
		var seen [3][60]bool
		u := make([]float64, 3)
		for i := range n {
			l.At(int64(i), u)
			for c, x := range u {
				k := int(x * float64(n))
				if x <= 0 || x >= 1 || seen[c][k] {
					t.Fatalf("column %d has two points in slice %d of %d, or one outside: %g", c, k, n, x)
				}
				seen[c][k] = true
			}
		}
	})
	a, _ := NewLatin(50, 2, 1)
	b, _ := NewLatin(50, 2, 2)
	u, v := make([]float64, 2), make([]float64, 2)
	a.At(0, u)
	b.At(0, v)
	if slices.Equal(u, v) {
		t.Error("two seeds draw the same points")
	}
}

func TestExchangeTakesOneColumnFromTheOtherSample(t *testing.T) {
	e, err := NewExchange(16, sobol(t, 6, 3), Uniform{0, 1}, Uniform{0, 1}, Uniform{0, 1})
	if err != nil {
		t.Fatal(err)
	}
	if e.Count() != 80 {
		t.Fatalf("16 rows of 3 columns are %d variants", e.Count())
	}
	a, b, ab := make([]float64, 3), make([]float64, 3), make([]float64, 3)
	e.At(35, a)
	e.At(36, b)
	for c := range 3 {
		e.At(int64(37+c), ab)
		for k := range 3 {
			want := a[k]
			if k == c {
				want = b[k]
			}
			if ab[k] != want {
				t.Errorf("variant %d, column %d is %g, want %g", c, k, ab[k], want)
			}
		}
		if a[c] == b[c] {
			t.Error("the samples are the same")
		}
	}
}
