package trial

import (
	"math"
	"testing"

	"emberbank/history"
	"emberbank/internal/testkit"
)

// madeTrialAndRun is a record and a run of invented numbers: a thermocouple that the run names alike, an outlet that it names by its
// circuit, and a channel that it does not know. The run reads 1 K more at the first, and begins 60 s into the record.
func madeTrialAndRun() (*Record, *history.History) {
	rec := &Record{}
	run := &history.History{}
	var core, outlet, other, ran, left []float64
	for i := range 11 {
		t := 60 * float64(i)
		rec.History.Time = append(rec.History.Time, t)
		core = append(core, 400+t/60)
		outlet = append(outlet, 350)
		other = append(other, 1)
		if i > 0 {
			run.Time = append(run.Time, t-60)
			ran = append(ran, 401+t/60)
			left = append(left, 350+float64(i))
		}
	}
	rec.History.Columns = []history.Column{
		{Name: "core", Quantity: history.Temperature, Values: core},
		{Name: "out", Quantity: history.Temperature, Values: outlet},
		{Name: "speed", Quantity: history.Speed, Values: other},
	}
	rec.Columns = []Column{
		{Name: "core", Quantity: history.Temperature, Noise: 0.3, Parts: []Part{{Group: "own core", Constant: 0.4}}},
		{Name: "out", Quantity: history.Temperature, Role: Outlet, Of: "main", Noise: 1},
		{Name: "speed", Quantity: history.Speed},
	}
	run.Columns = []history.Column{
		{Name: "core", Quantity: history.Temperature, Values: ran},
		{Name: "circuit main outlet", Quantity: history.Temperature, Values: left},
	}
	return rec, run
}

func TestATrialIsLaidOverItsRunChannelByChannel(t *testing.T) {
	rec, run := madeTrialAndRun()
	measured, columns, only := rec.Like(run, 60)
	if len(only) != 1 || only[0] != "speed" || columns["circuit main outlet"] == nil || measured.Time[0] != -60 {
		t.Fatalf("only %v, columns %v, from %v", only, columns, measured.Time[0])
	}
	gaps, common := history.Gaps(measured, run)
	if len(common.Times) != 10 || common.Drawn {
		t.Fatalf("common times are %+v", common)
	}
	testkit.Close(t, "core, mean difference", gaps[0].Mean, 1, 1e-12, 0)
	// 1.96 √(0.4² + 0.3²) = 0.98: the difference of 1 K is never within it.
	half, within := columns["core"].Within(measured, run, nil, "core", common.Times)
	testkit.Close(t, "core, half-width", half, 0.98, 1e-12, 0)
	testkit.Close(t, "core, share within", within, 0, 0, 0)
	// The outlet's differences are 1 to 10 K, of which one is within 1.96 K.
	_, within = columns["circuit main outlet"].Within(measured, run, nil, "circuit main outlet", common.Times)
	testkit.Close(t, "outlet, share within", within, 0.1, 1e-12, 0)
	// Bands of the run's inputs of 3 K: √(1.96² + 3²) = 3.58 K.
	bands := &history.History{Time: run.Time, Columns: []history.Column{{Name: "circuit main outlet", Values: []float64{3, 3, 3, 3, 3, 3, 3, 3, 3, 3}}}}
	half, within = columns["circuit main outlet"].Within(measured, run, bands, "circuit main outlet", common.Times)
	testkit.Close(t, "outlet with bands, half-width", half, math.Hypot(1.96, 3), 1e-12, 0)
	testkit.Close(t, "outlet with bands, share within", within, 0.3, 1e-12, 0)
}
