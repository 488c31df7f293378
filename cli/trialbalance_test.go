package cli

import (
	"os"
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
}
