package match

import (
	"context"
	"math"
	"testing"

	"emberbank/heat"
	"emberbank/history"
	"emberbank/internal/testkit"
)

// TestAParameterAtItsBoundStaysThereOnFinerCells: k may not come to what the data want; the grid moves T0 alone, as a fit on
// finer cells does that may not move k either.
func TestAParameterAtItsBoundStaysThereOnFinerCells(t *testing.T) {
	fit := func(cells int, o Options) *Result {
		p := coolingProblem(cells)
		p.Parameters[0].Upper = 4.5e-4
		o.Run, o.Starts, o.Workers = coolingOn, -1, 2
		r, err := Estimate(context.Background(), p, o)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	coarse, finer := fit(10, Options{Grid: true}), fit(15, Options{})
	k, start := coarse.Estimates[0], coarse.Estimates[1]
	if k.Value != 4.5e-4 || k.Grid.Finer != k.Value || k.Grid.Numeric != 0 {
		t.Errorf("k is %g, on finer cells %g ± %g", k.Value, k.Grid.Finer, k.Grid.Half())
	}
	moved := math.Abs(finer.Estimates[1].Value - start.Value)
	if moved < 1 {
		t.Fatalf("the grid moves T0 by %g K only", moved)
	}
	testkit.Close(t, "T0 on finer cells", start.Grid.Finer, finer.Estimates[1].Value, 0, 0.1*moved) // the curve is not quite linear in k
}

// TestAFrontOfMeltingIsOfFirstOrder: where more than a tenth of the fill melts or freezes.
func TestAFrontOfMeltingIsOfFirstOrder(t *testing.T) {
	melts := func(values ...float64) *heat.Result {
		return &heat.Result{History: history.History{Columns: []history.Column{{Name: "melted", Values: values}}}}
	}
	for _, c := range []struct {
		r    *heat.Result
		want float64
	}{{melts(0, 0.5, 0.2), 1}, {melts(1, 0.85), 1}, {melts(0, 0.05), 2}, {melts(1, 1), 2}, {&heat.Result{}, 2}} {
		if got := order(c.r); got != c.want {
			t.Errorf("%v: the order is %g, want %g", c.r.History.Columns, got, c.want)
		}
	}
}
