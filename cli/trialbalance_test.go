package cli

import (
	"bytes"
	"context"
	"math"
	"os"
	"strings"
	"testing"

	"emberbank/balance"
	"emberbank/bench"
)

func TestTheExampleTrialIsBalanced(t *testing.T) {
	loaded, problems := bench.LoadTrial(os.DirFS("../examples/bakery-trial"), "trial.yaml", bench.Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	r, _ := reduced(loaded)
	if r == nil {
		t.Fatal("the example has no heat balance")
	}
	want := []balance.Kind{balance.HeatUp, balance.Hold, balance.Drain, balance.Cool}
	if len(r.Phases) != len(want) {
		t.Fatalf("%d phases are found, not four", len(r.Phases))
	}
	for i, k := range want {
		if p := r.Phases[i]; p.Kind != k || len(p.Suspicions) > 0 {
			t.Errorf("phase %d is a %s: %s %q", i+1, p.Kind, p.Why, p.Suspicions)
		}
	}
	// The flow is known to 1.5 % at 95 %, the pair's difference to 0.1 K: the flow decides.
	if w := r.Phases[2].Water; w == nil || w.U < 0.0075*w.Value || w.U > 0.01*w.Value {
		t.Errorf("the heat to the water is %+v", w)
	}
	// The model that made the file: 3 kW for 90 minutes into 42 kJ/K, losses of 2.2 (0.5 + 0.1 + 0.2) W/K.
	holds := func(name string, r *balance.Result, want float64) {
		t.Helper()
		if r == nil || math.Abs(r.Value-want) > r.Half() {
			t.Errorf("%s is %+v, true is %g", name, r, want)
		}
	}
	holds("the energy in", r.Phases[0].In, 3000*5400)
	holds("the conductance of the losses", r.Phases[1].Cooling.UA, 2.2*0.8)
	holds("the closure of the heat-up", r.Phases[0].Closure, 0)
	holds("the closure of the drain", r.Phases[2].Closure, 0)
}

func TestTwoDaysAreComparedAndAFolderStandsForItsTrials(t *testing.T) {
	var out, err bytes.Buffer
	if code := Main(context.Background(), []string{"compare", "../examples/bakery-trial", "--shared"}, Streams{&out, &err}); code != ExitDone {
		t.Fatal(err.String())
	}
	// With 0.05 and 0.035 kg/s the water takes 52 and 49 W/K: near 300 °C some 700 W apart.
	for _, want := range []string{"The cooling curves agree within 0.", "The heat flows to the water", "they do differ"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("nothing says %q in:\n%s", want, out.String())
		}
	}
	out.Reset()
	if code := Main(context.Background(), []string{"compare", "../examples/bakery-trial/trial.yaml"}, Streams{&out, &err}); code != ExitInput {
		t.Errorf("one trial is compared: %s", out.String())
	}
}
