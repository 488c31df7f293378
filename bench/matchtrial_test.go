package bench

import (
	"fmt"
	"math"
	"testing"
	"testing/fstest"

	"emberbank/history"
	"emberbank/trial"
)

// TestAnOutletIsReadWhereWaterFlowedThroughout: the first reading after the start stands for a time in which the pipe
// stood drained, and is left out; so is what was read before.
func TestAnOutletIsReadWhereWaterFlowedThroughout(t *testing.T) {
	time := []float64{0, 60, 120, 180, 240, 300}
	r := &trial.Record{
		History: history.History{Time: time, Columns: []history.Column{{}, {Values: []float64{0, 0, 0.02, 0.02, math.NaN(), 0}}}},
		Columns: []trial.Column{{Role: trial.Outlet, Of: "main"}, {Role: trial.Flow, Of: "main"}},
	}
	v := []float64{290, 290, 301, 311, 310, 300}
	if gone := standing(r, "main", time, v); gone != 4 {
		t.Errorf("%d readings were left out, want 4", gone)
	}
	for k, want := range []bool{true, true, true, false, false, true} {
		if math.IsNaN(v[k]) != want {
			t.Errorf("the reading at %g s is left out: %v, want %v", time[k], !want, want)
		}
	}
	if gone := standing(r, "other", time, []float64{290, 290, 301, 311, 310, 300}); gone != 0 {
		t.Errorf("%d readings of a circuit without a meter were left out", gone)
	}
}

// TestATrialsColumnsKeepTheRowsOfTheirLogger: a match weighs readings, not the lines drawn between them.
func TestATrialsColumnsKeepTheRowsOfTheirLogger(t *testing.T) {
	block, water := "t [s],T1 [degC]\n", "t [s],in [degC]\n"
	for x := 0; x <= 3600; x += 10 {
		block += fmt.Sprintf("%d,%.2f\n", x, 100+0.01*float64(x)+0.1*math.Sin(float64(x)))
	}
	for x := 0; x <= 3600; x += 60 {
		water += fmt.Sprintf("%d,%.2f\n", x, 15+0.05*math.Sin(float64(x)))
	}
	files := measured(`
loggers:
  - {file: logger.csv, channels: [{column: T1, place: core}]}
  - {file: water.csv, channels: [{column: in, place: circuit main inlet}]}
`, block)
	files["water.csv"] = &fstest.MapFile{Data: []byte(water)}
	r := newReader(files, Options{})
	m := r.measurement(&value{text: "trial.yaml"}, "")
	if m == nil {
		t.Fatalf("reading the trial: %v", r.problems)
	}
	rows := map[string]int{}
	for _, c := range m.columns {
		rows[c.Column] = len(c.Time)
	}
	if rows["core"] != 361 || rows["circuit main inlet"] != 61 {
		t.Errorf("rows are %v, want 361 of the core and 61 of the inlet", rows)
	}
}
