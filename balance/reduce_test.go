package balance

import (
	"math"
	"strings"
	"testing"

	"emberbank/internal/testkit"
)

func TestABalanceWithoutErrorsIsTheTruth(t *testing.T) {
	m := make1(circumstances{every: 10})
	r, err := Reduce(m.in)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Phases) != 4 {
		t.Fatalf("%d phases are found, not 4: %+v", len(r.Phases), r.Phases)
	}
	for i, p := range r.Phases {
		if want := []Kind{HeatUp, Hold, Drain, Cool}[i]; p.Kind != want {
			t.Errorf("phase %d is a %s, not a %s: %s", i+1, p.Kind, want, p.Why)
		}
		testkit.Close(t, "begin of phase "+p.Kind.String(), p.From, m.bounds[i], 0, 30)
	}
	// Rows every 10 s: the rows at a switch are wrong by half a row, 5 s of 3 kW and of 2 kW.
	testkit.Close(t, "energy in", r.Phases[0].In.Value, m.heat[0][0], 0, 3e4)
	testkit.Close(t, "heat stored on heat-up", r.Phases[0].Stored.Value, m.heat[0][2], 2e-3, 0)
	testkit.Close(t, "heat to the water", r.Phases[2].Water.Value, m.heat[2][1], 5e-3, 0)
	testkit.Close(t, "heat lost while draining", r.Phases[2].Lost.Value, m.heat[2][3], 0.01, 3e4)
	testkit.Close(t, "heat lost while holding", r.Phases[1].Lost.Value, m.heat[1][3], 0.02, 0)
	testkit.Close(t, "cooling rate", r.Phases[3].Cooling.Rate, m.rate, 1e-3, 0)
	testkit.Close(t, "UA", r.Loss.Value, madeUA, 1e-3, 0)
	testkit.Close(t, "closure of the drain", r.Phases[2].Closure.Value, 0, 0, 0.01)
	if !r.Phases[3].Cooling.Exponential {
		t.Error("an exponential is not seen as one: " + r.Phases[3].Cooling.Sentence)
	}
	if n := len(r.Suspicions) + len(r.Phases[2].Suspicions); n != 0 {
		t.Errorf("a sound record raises suspicions: %q", r.Phases[2].Suspicions)
	}
	for _, p := range r.Phases {
		t.Log(p.Sentence(), p.Why)
	}
}

// TestStatedIntervalsHoldTheTruth draws 200 records with their systematic errors and noise. An interval of 95 % fails
// with chance 0.05; of 200, between 2 and 20 fail but for one chance in a few hundred (binomial).
func TestStatedIntervalsHoldTheTruth(t *testing.T) {
	const repeats = 200
	failed := map[string]int{}
	for seed := range uint64(repeats) {
		m := make1(circumstances{seed: seed + 1, every: 20, noise: 0.3, errors: true})
		for i := range 4 {
			m.in.Phases = append(m.in.Phases, Given{[]Kind{HeatUp, Hold, Drain, Cool}[i], m.bounds[i], m.bounds[i+1] - 1})
		}
		m.in.Quick = true
		r, err := Reduce(m.in)
		if err != nil {
			t.Fatal(err)
		}
		test := func(name string, got *Result, want float64) {
			if math.Abs(got.Value-want) > got.Half() {
				failed[name]++
			}
		}
		test("energy in", r.Phases[0].In, m.heat[0][0])
		test("stored", r.Phases[0].Stored, m.heat[0][2])
		test("water", r.Phases[2].Water, m.heat[2][1])
		test("lost", r.Phases[2].Lost, m.heat[2][3])
		test("closure", r.Phases[2].Closure, 0)
		test("closure on heat-up", r.Phases[0].Closure, 0)
		test("UA", r.Phases[3].Cooling.UA, madeUA)
		c := r.Phases[3].Cooling
		if math.Abs(c.Rate-m.rate) > 2*c.U {
			failed["rate"]++
		}
	}
	for _, name := range []string{"energy in", "stored", "water", "lost", "closure", "closure on heat-up", "UA", "rate"} {
		t.Logf("%s: %d of %d outside", name, failed[name], repeats)
		if n := failed[name]; n < 2 || n > 20 {
			t.Errorf("the truth of %q lies outside the 95 %% interval in %d of %d records", name, n, repeats)
		}
	}
}

func TestSwappedInletAndOutletAreSuspected(t *testing.T) {
	m := make1(circumstances{seed: 3, every: 10, noise: 0.3, swapped: true})
	r, err := Reduce(m.in)
	if err != nil {
		t.Fatal(err)
	}
	all := ""
	for _, p := range r.Phases {
		all += strings.Join(p.Suspicions, " ")
	}
	for _, want := range []string{"cools while it should take heat", "swapped", "closes to"} {
		if !strings.Contains(all, want) {
			t.Errorf("nothing says %q in: %s", want, all)
		}
	}
}
