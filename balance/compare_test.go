package balance

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"emberbank/history"
	"emberbank/uncertainty"
)

// autoregression makes noise of standard deviation sd that remembers a share rho from value to value.
func autoregression(rng *rand.Rand, n int, rho, sd float64) []float64 {
	v := make([]float64, n)
	z := rng.NormFloat64()
	for i := range v {
		v[i] = sd * z
		z = rho*z + math.Sqrt(1-rho*rho)*rng.NormFloat64()
	}
	return v
}

// pair makes two cooling curves whose difference is given, with noise of 0.2 K that remembers; rho below zero: fast
// noise over slow, 0.15 K without memory and 0.1 K with 0.98.
func pair(seed uint64, n int, rho float64, difference func(s float64) float64) []Curve {
	rng := rand.New(rand.NewPCG(seed, 7))
	out := []Curve{{Name: "first"}, {Name: "second"}}
	for k := range out {
		e := autoregression(rng, n, math.Max(0, rho), 0.2)
		if rho < 0 {
			e = autoregression(rng, n, 0, 0.15)
			for i, v := range autoregression(rng, n, 0.98, 0.1) {
				e[i] += v
			}
		}
		for i := range n {
			s := float64(i) / float64(n-1)
			y := 300 + 200*math.Exp(-2*s) + e[i]
			if k == 1 {
				y += difference(s)
			}
			out[k].X = append(out[k].X, 3600*s)
			out[k].Y = append(out[k].Y, y)
		}
	}
	return out
}

// TestFalseClaimsStayBelowFivePerCent counts, over 400 made-up pairs for each memory of the noise, how often curves
// that are the same are called different, and how often curves are said to agree within x although they differ by
// more. Each may happen with chance 0.05; of 400, more than 32 happen with a chance of 0.4 % (binomial).
func TestFalseClaimsStayBelowFivePerCent(t *testing.T) {
	const repeats, n, most = 400, 600, 32
	axes := Axes{What: "the cooling curves", Unit: "K", XUnit: "s"}
	for _, rho := range []float64{0, 0.5, 0.9, 0.97, -1} {
		different, within, ramp := 0, 0, 0
		for seed := range uint64(repeats) {
			same, err := Compare(pair(seed, n, rho, func(float64) float64 { return 0 }), axes)
			if err != nil {
				t.Fatal(err)
			}
			if same[0].Least > 0 {
				different++
			}
			apart, err := Compare(pair(seed+1000, n, rho, func(float64) float64 { return 0.5 }), axes)
			if err != nil {
				t.Fatal(err)
			}
			if apart[0].Bound < 0.5 {
				within++
			}
			// Only the last piece differs by its most, so that one test decides alone.
			slope, err := Compare(pair(seed+2000, n, rho, func(s float64) float64 { return 2 * s }), axes)
			if err != nil {
				t.Fatal(err)
			}
			last := slope[0].Pieces[len(slope[0].Pieces)-1]
			if slope[0].Bound < 2*(last.From+last.To)/2/3600 {
				ramp++
			}
		}
		t.Logf("memory %.2f: of %d, called different though the same %d, within though not %d, on a ramp %d", rho, repeats, different, within, ramp)
		for name, k := range map[string]int{"same curves called different": different, "agreement claimed below the truth": within, "agreement claimed below the truth on a ramp": ramp} {
			if k > most {
				t.Errorf("memory %.2f: %s in %d of %d", rho, name, k, repeats)
			}
		}
	}
}

func TestARealDifferenceIsFoundAndBounded(t *testing.T) {
	axes := Axes{What: "the cooling curves", Unit: "K", XUnit: "s"}
	a, err := Compare(pair(5, 600, 0.5, func(float64) float64 { return 1 }), axes)
	if err != nil {
		t.Fatal(err)
	}
	if !(a[0].Least > 0.8 && a[0].Least < 1 && a[0].Bound > 1 && a[0].Bound < 1.3) {
		t.Errorf("a difference of 1 K is bounded to %.3g..%.3g K", a[0].Least, a[0].Bound)
	}
	if !strings.Contains(a[0].Sentence, "they do differ") {
		t.Error(a[0].Sentence)
	}
	a, err = Compare(pair(6, 600, 0.5, func(float64) float64 { return 0 }), axes)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(a[0].Sentence, "not told apart") || a[0].Bound > 0.3 {
		t.Errorf("equal curves: %s", a[0].Sentence)
	}
	t.Log(a[0].Sentence)
}

// A claim bounds means over pieces. Single readings scatter farther apart than it says, and the sentence tells so.
func TestTheSentenceSaysThatMeansOverPiecesAreBounded(t *testing.T) {
	axes := Axes{What: "the cooling curves", Unit: "K", XUnit: "s", XFrom: "after the start"}
	a, err := Compare(pair(5, 600, 0.5, func(float64) float64 { return 0 }), axes)
	if err != nil {
		t.Fatal(err)
	}
	most := 0.0
	for _, d := range a[0].D {
		most = math.Max(most, math.Abs(d))
	}
	if !(most > a[0].Bound) {
		t.Errorf("no reading lies farther apart than the bound of %g K: the pair does not show the point", a[0].Bound)
	}
	for _, want := range []string{
		"in their means over each of 8 pieces of their common range", "after the start", "Single readings may lie farther apart",
	} {
		if !strings.Contains(a[0].Sentence, want) {
			t.Errorf("%q does not say %q", a[0].Sentence, want)
		}
	}
	if _, _, s := Worst(a, axes); !strings.Contains(s, "in their means over each piece") {
		t.Error(s)
	}
}

func TestAPairWithTooFewRowsIsToldAndTheOthersAreCompared(t *testing.T) {
	axes := Axes{What: "the heat flows", Unit: "W", XUnit: "K"}
	c := pair(7, 600, 0.3, func(float64) float64 { return 0 })
	for i := range c {
		for k := range c[i].X {
			c[i].X[k] = 400 + 100*float64(k)/600
		}
	}
	brief := Curve{Name: "brief", X: append([]float64(nil), c[0].X[:10]...), Y: append([]float64(nil), c[0].Y[:10]...)}
	all, err := Compare(append(c, brief), axes)
	if len(all) != 1 || all[0].A != c[0].Name || all[0].B != c[1].Name {
		t.Fatalf("%d pairs are compared, not the one that can be", len(all))
	}
	if err == nil || strings.Count(err.Error(), "brief") != 2 {
		t.Fatalf("the two pairs that cannot be compared are not both told: %v", err)
	}
	for _, want := range []string{"the heat flows of ", "only 10 rows", "127 °C to 128 °C", "at least 24 are needed", "shorter logging interval"} {
		if !strings.Contains(strings.ReplaceAll(err.Error(), narrow, " "), want) {
			t.Errorf("%q does not say %q", err, want)
		}
	}
}

func TestASharedErrorDoesNotSeparateCurvesAndAnOwnOneDoes(t *testing.T) {
	axes := Axes{What: "the curves", Unit: "K", XUnit: "s"}
	c := pair(8, 600, 0.3, func(float64) float64 { return 0 })
	plain, _ := Compare(c, axes)
	for i := range c {
		c[i].Errors = []uncertainty.Component{{Name: "calibration", U: 1, Group: "the same thermocouple"}}
	}
	shared, _ := Compare(c, axes)
	if shared[0].Bound != plain[0].Bound {
		t.Errorf("an error of both curves changes the bound from %g to %g", plain[0].Bound, shared[0].Bound)
	}
	for i := range c {
		c[i].Errors = []uncertainty.Component{{Name: "calibration", U: 1, Group: fmt.Sprint("thermocouple ", i)}}
	}
	own, _ := Compare(c, axes)
	if own[0].Bound < math.Sqrt2*1.6 {
		t.Errorf("two thermocouples known to 1 K let the curves agree within %g K", own[0].Bound)
	}
}

func TestCurvesOverANoisyTemperatureAreCompared(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	var curves []Curve
	for k := range 3 {
		c := Curve{Name: fmt.Sprint("drain ", k+1)}
		for i := range 800 + 100*k {
			T := 600 - 0.4*float64(i)
			c.X = append(c.X, T+0.5*rng.NormFloat64())
			c.Y = append(c.Y, 8*(T-290)+20*rng.NormFloat64())
		}
		curves = append(curves, c)
	}
	axes := Axes{What: "the heat flows", Unit: "W", XUnit: "K"}
	all, err := Compare(curves, axes)
	if err != nil {
		t.Fatal(err)
	}
	bound, least, s := Worst(all, axes)
	if len(all) != 3 || least > 0 || bound > 15 {
		t.Errorf("three equal drains: %d pairs, bound %g W, least %g W: %s", len(all), bound, least, s)
	}
}

func TestComparisonsSayWhatTheyLack(t *testing.T) {
	x := make([]float64, 100)
	y := make([]float64, 100)
	for i := range x {
		x[i], y[i] = float64(i), float64(i%3)
	}
	far := make([]float64, 100)
	for i := range far {
		far[i] = float64(i) + 1000
	}
	axes := Axes{What: "the curves", Unit: "K"}
	for _, row := range []struct {
		curves []Curve
		says   string
	}{
		{[]Curve{{Name: "a", X: x, Y: y}}, "at least two"},
		{[]Curve{{Name: "a", X: x, Y: y}, {Name: "b", X: far, Y: y}}, "no range in common"},
		{[]Curve{{Name: "a", X: x, Y: y}, {Name: "b", X: x[:10], Y: y[:10]}}, "at least 24"},
		{[]Curve{{Name: "a", X: x, Y: y}, {Name: "b", X: x, Y: y[:10]}}, "10 values over 100"},
	} {
		if _, err := Compare(row.curves, axes); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("the error %v does not say %q", err, row.says)
		}
	}
}

func TestCoolingsOfTrialsAreComparedFromACommonTemperature(t *testing.T) {
	var ins []*Input
	for seed := range uint64(2) {
		m := make1(circumstances{seed: seed + 1, every: 10, noise: 0.2})
		if seed == 1 { // begins its cooling later, and so colder
			m.in.Phases = []Given{{Cool, 13500, 27000}}
		} else {
			m.in.Phases = []Given{{Cool, 12700, 27000}}
		}
		for i := range m.in.Channels {
			m.in.Channels[i].Errors = nil
		}
		m.in.Name = fmt.Sprint("trial ", seed+1)
		ins = append(ins, &m.in)
	}
	curves, axes, err := CoolingCurves(ins, true)
	if err != nil {
		t.Fatal(err)
	}
	a, err := Compare(curves, axes)
	if err != nil {
		t.Fatal(err)
	}
	if a[0].Least > 0 || a[0].Bound > 0.5 {
		t.Errorf("one block's coolings: %s", a[0].Sentence)
	}
	t.Log(a[0].Sentence)
	loss := *ins[1]
	loss.History = &history.History{Time: loss.History.Time, Columns: append([]history.Column(nil), loss.History.Columns...)}
	c := loss.History.Column("core")
	c.Values = append([]float64(nil), c.Values...)
	for i, x := range loss.History.Time { // another insulation: it falls faster by and by
		if x > 13500 {
			c.Values[i] -= 3 * (1 - math.Exp(-(x-13500)/3000))
		}
	}
	curves, axes, err = CoolingCurves([]*Input{ins[0], &loss}, true)
	if err != nil {
		t.Fatal(err)
	}
	if a, err = Compare(curves, axes); err != nil {
		t.Fatal(err)
	}
	t.Log(a[0].Sentence)
	if !(a[0].Least > 0.5 && a[0].Bound > 1.5) {
		t.Errorf("another cooling: %s", a[0].Sentence)
	}
}
