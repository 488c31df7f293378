package bench

import (
	"context"
	"testing"

	"emberbank/heat"
)

// TestScenarioMakesSteamForItsBakery runs the scenario's day on coarse cells: each circuit makes its 1.2 kg/h, within
// 5 %, for twenty minutes at least, until it cannot.
func TestScenarioMakesSteamForItsBakery(t *testing.T) {
	run, ps := LoadRun(WriteScenario(), "charge-hold-drain.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	p := run.Problem
	p.Grid.Size, p.Grid.PerLayer, p.Tolerance = 0.05, 1, 0.5
	r, err := heat.Run(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "stopped by", r.Stopped, "too little steam")
	for _, c := range p.Receiver.Circuits {
		minutes := 0 // a row each minute
		for i, x := range r.History.Column("circuit " + c.Name + " steam").Values {
			if r.History.Time[i] > 4*3600 && x > 0.95*1.2/3600 && x < 1.05*1.2/3600 {
				minutes++
			}
		}
		if minutes < 20 {
			t.Errorf("circuit %s makes its steam for %d minutes", c.Name, minutes)
		}
	}
}
