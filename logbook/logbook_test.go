package logbook

import (
	"math"
	"os"
	"testing"

	"emberbank/bench"
)

func bakery(t *testing.T) *bench.Trial {
	t.Helper()
	loaded, problems := bench.LoadTrial(os.DirFS("../examples/bakery-trial"), "trial.yaml", bench.Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	return loaded
}

// TestTheHeatFlowToTheWaterAddsUpToTheHeatOfTheDrain integrates the rows and holds the sum to the balance's own, which
// knows the start of the water better: the rows before the heat flow has come up are left out here.
func TestTheHeatFlowToTheWaterAddsUpToTheHeatOfTheDrain(t *testing.T) {
	loaded := bakery(t)
	report, _ := Reduce(loaded)
	flows := ToWater(loaded)
	if report == nil || len(flows) != 1 {
		t.Fatalf("%d drains give heat, and the report is %v", len(flows), report)
	}
	f := flows[0]
	sum, half := 0.0, 0.0
	for k := 1; k < len(f.Time); k++ {
		dt := f.Time[k] - f.Time[k-1]
		sum += dt * (f.Heat[k] + f.Heat[k-1]) / 2
		half += dt * (f.Half[k] + f.Half[k-1]) / 2
	}
	want := report.Phases[2].Water
	if sum > want.Value+want.Half() || sum < 0.96*want.Value {
		t.Errorf("the rows add up to %g J, the drain gave %g ± %g", sum, want.Value, want.Half())
	}
	// The flow's 1.5 % at 95 % and the pair's 0.1 K: the same as the whole drain's, but for what begins and ends.
	if r := half / sum / (want.Half() / want.Value); math.Abs(r-1) > 0.15 {
		t.Errorf("the half-widths add up to %.3f of the heat, the balance says %.3f", half/sum, want.Half()/want.Value)
	}
}

func TestTheDocumentHoldsEveryColumnWithItsExtremes(t *testing.T) {
	d := Document(bakery(t))
	if len(d.Columns) != 8 || d.Columns[3].Name != "circuit main inlet" || d.Columns[3].Role != "inlet" || d.Columns[3].Of != "main" {
		t.Fatalf("it holds %+v", d.Columns)
	}
	if c := d.Columns[0]; c.Least == nil || math.Abs(*c.Least-21.5) > 0.05 || math.Abs(*c.Most-381.2) > 0.05 {
		t.Errorf("front reaches from %v to %v degC", *c.Least, *c.Most)
	}
	if len(d.Repairs) != 2 || !d.Repairs[0].Mended || d.Repairs[0].Count != 1 {
		t.Errorf("mended is %+v", d.Repairs)
	}
}
