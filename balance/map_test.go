package balance

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"emberbank/history"
	"emberbank/internal/testkit"
	"emberbank/uncertainty"
)

// knownMap is the heat flow of made-up drains in W: it rises all the way, fast at first and then slowly.
func knownMap(T float64) float64 { return 4000 * (1 - math.Exp(-(T-290)/120)) }

func knownYield(rng *rand.Rand, n int, rho, sd, high, low float64) Yield {
	y := Yield{Name: "made up", Area: 0.05}
	e := autoregression(rng, n, rho, sd)
	for i := range n {
		T := low + (high-low)*math.Exp(-3*float64(i)/float64(n))
		y.Time, y.T, y.Q = append(y.Time, 5*float64(i)), append(y.T, T), append(y.Q, knownMap(T)+e[i])
	}
	return y
}

// TestTheBandHoldsTheKnownMap counts over 60 made-up drains for each memory of the noise in how many of all rows the
// band of 95 % holds the truth. Neighbouring rows go together, so that the mean over 60 drains scatters by about 1.5 %.
func TestTheBandHoldsTheKnownMap(t *testing.T) {
	for _, rho := range []float64{0, 0.6, 0.9} {
		held, all, width := 0, 0, 0.0
		for seed := range uint64(60) {
			rng := rand.New(rand.NewPCG(seed, 3))
			maps, err := FitMap([]Yield{knownYield(rng, 700, rho, 60, 650, 310)}, MapOptions{Seed: seed, Draws: 200})
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range maps[0].Rows {
				all++
				width += r.High - r.Low
				if v := knownMap(r.T); v >= r.Low && v <= r.High {
					held++
				}
			}
		}
		share := float64(held) / float64(all)
		t.Logf("memory %.1f: the band, %.0f W wide on the mean, holds the truth in %.1f %% of %d rows", rho, width/float64(all), 100*share, all)
		if share < 0.91 || share > 0.99 {
			t.Errorf("memory %.1f: the band holds the truth in %.1f %% of the rows", rho, 100*share)
		}
	}
}

func TestAMapNeverFallsAndStaysWhereDataIs(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 4))
	hot, cold := knownYield(rng, 400, 0.3, 100, 650, 520), knownYield(rng, 400, 0.3, 100, 420, 310)
	other := knownYield(rng, 400, 0.3, 100, 600, 400)
	other.Area = 0.1
	maps, err := FitMap([]Yield{other, hot, cold}, MapOptions{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if len(maps) != 2 || maps[0].Area != 0.05 || maps[1].Area != 0.1 {
		t.Fatalf("two areas give %d maps", len(maps))
	}
	rows := maps[0].Rows
	if !slices.IsSortedFunc(rows, func(a, b MapRow) int { return int(math.Copysign(1, a.T-b.T)) }) {
		t.Error("the rows are out of order")
	}
	for i, r := range rows {
		if i > 0 && r.Q < rows[i-1].Q {
			t.Errorf("the map falls at %.0f K", r.T)
		}
		if r.T > 435 && r.T < 505 {
			t.Errorf("a row stands at %.0f K, where no data is", r.T)
		}
		if !(r.Low <= r.Q && r.Q <= r.High) || r.Points == 0 {
			t.Errorf("the row %+v is not in order", r)
		}
	}
}

func TestSystematicErrorsWidenTheMap(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 4))
	a, b := knownYield(rng, 400, 0, 1, 650, 310), knownYield(rng, 400, 0, 1, 650, 310)
	half := func(group ...string) float64 {
		for i, y := range []*Yield{&a, &b} {
			y.Errors = []uncertainty.Component{{Name: "meter", U: 0.02, Group: group[i]}}
		}
		maps, err := FitMap([]Yield{a, b}, MapOptions{Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		r := maps[0].Rows[len(maps[0].Rows)-1]
		return (r.High - r.Low) / 2 / r.Q
	}
	testkit.Close(t, "half-width, one meter", half("meter", "meter"), 1.96*0.02, 0.02, 1e-3)
	testkit.Close(t, "half-width, two meters", half("first", "second"), 1.96*0.02/math.Sqrt2, 0.02, 1e-3)
}

// knownRun is the history of a run that drains along the known map, its first rows taking some times as much.
func knownRun(first int, times float64) *history.History {
	h := &history.History{Columns: []history.Column{{Name: "block mean", Quantity: history.Temperature}, {Name: "heat to passes", Quantity: history.HeatFlow}}}
	for i := range 600 {
		T := 310 + 340*math.Exp(-float64(i)/200)
		q := knownMap(T)
		if i < first {
			q *= times
		}
		h.Time = append(h.Time, 10*float64(i))
		h.Columns[0].Values = append(h.Columns[0].Values, T)
		h.Columns[1].Values = append(h.Columns[1].Values, q)
	}
	return h
}

// drained is that run's input for a map, with the stretches in which its tubes fill.
func drained(h *history.History, fill [][2]float64) *Input {
	in := OfRun("run", h)
	in.Phases, in.Fill = []Given{{Drain, 0, 5990}}, fill
	return &in
}

// mapOf is the map of that run.
func mapOf(t *testing.T, h *history.History, fill [][2]float64) *Map {
	t.Helper()
	yields, err := Yields(drained(h, fill), 0.05)
	if err != nil {
		t.Fatal(err)
	}
	maps, err := FitMap(yields, MapOptions{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return &maps[0]
}

func TestTheMapOfARunIsTheRun(t *testing.T) {
	for _, r := range mapOf(t, knownRun(0, 1), nil).Rows {
		testkit.Close(t, fmt.Sprintf("heat flow at %.0f K", r.T), r.Q, knownMap(r.T), 0.005, 10)
	}
}

// TestTheFillingOfTheTubesIsNoPartOfARunsMap: the first water takes three times what the flow that lasts takes; where the run
// says when it filled, the map's hot end is that of the lasting flow, and the map says what it leaves out.
func TestTheFillingOfTheTubesIsNoPartOfARunsMap(t *testing.T) {
	h := knownRun(5, 3)
	top := func(fill [][2]float64) MapRow {
		m := mapOf(t, h, fill)
		if said := strings.Contains(strings.Join(m.Notes, " "), "tubes filled: 5"); said != (fill != nil) {
			t.Errorf("filling %v: notes %q", fill, m.Notes)
		}
		return m.Rows[len(m.Rows)-1]
	}
	if r := top(nil); !(r.Q > 1.2*knownMap(r.T)) {
		t.Errorf("the made-up filling does not show: %g W of %g", r.Q, knownMap(r.T))
	}
	r := top([][2]float64{{0, 50}})
	testkit.Close(t, fmt.Sprintf("heat flow at %.0f K", r.T), r.Q, knownMap(r.T), 0.005, 10)

	if _, err := Yields(drained(h, [][2]float64{{0, math.Inf(1)}}), 0.05); err == nil || !strings.Contains(err.Error(), "the tubes fill in 600 of its rows") {
		t.Errorf("a drain that ends before its tubes have filled: %v", err)
	}
}

func TestYieldsOfATrialFollowItsDrain(t *testing.T) {
	m := make1(circumstances{seed: 2, every: 10, noise: 0.3})
	yields, err := Yields(&m.in, 0.03)
	if err != nil {
		t.Fatal(err)
	}
	if len(yields) != 1 {
		t.Fatalf("%d yields", len(yields))
	}
	maps, err := FitMap(yields, MapOptions{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range maps[0].Rows { // made as ṁ (h(out) − h(in)) with out a quarter of the way to the block
		want := madeFlow * 4186 * 0.25 * (r.T - 288.15)
		testkit.Close(t, fmt.Sprintf("heat flow at %.0f K", r.T), r.Q, want, 0.02, 40)
	}
	u := 0.0
	for _, e := range yields[0].Errors {
		u = math.Max(u, math.Abs(e.U))
	}
	if u < 0.009 {
		t.Errorf("the meter's 1 %% is not among the errors: %+v", yields[0].Errors)
	}
}

func TestMapsSayWhatTheyLack(t *testing.T) {
	m := make1(circumstances{seed: 2, every: 10})
	m.in.Phases = []Given{{HeatUp, 0, 7000}}
	if _, err := Yields(&m.in, 0); err == nil || !strings.Contains(err.Error(), "no drain") {
		t.Error(err)
	}
	if _, err := FitMap([]Yield{{Name: "a", T: make([]float64, 100), Q: make([]float64, 100)}}, MapOptions{}); err == nil || !strings.Contains(err.Error(), "does not change") {
		t.Error(err)
	}
	if _, err := FitMap(nil, MapOptions{}); err == nil {
		t.Error("nothing gives a map")
	}
}
