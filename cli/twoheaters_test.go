package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/internal/testkit"
	"emberbank/logbook"
)

// TestARealBenchIsReduced reads the record of two heaters by its description and reduces it. Source of the record:
// examples/two-heaters/README.md.
func TestARealBenchIsReduced(t *testing.T) {
	loaded, problems := bench.LoadTrial(os.DirFS("../examples/two-heaters"), "trial.yaml", bench.Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	r, notes := logbook.Reduce(loaded)
	if r == nil || len(r.Phases) != 3 {
		t.Fatalf("the bench is not reduced: %q", notes)
	}
	// By hand from the file: each share of power lasts to the next row, 1 W and 0.75 W at full power.
	h, joules := loaded.Record.History, 0.0
	for i := 1; i < len(h.Time) && h.Time[i] < 480.1; i++ {
		joules += (h.Column("heater one power").Values[i-1] + h.Column("heater two power").Values[i-1]) * (h.Time[i] - h.Time[i-1])
	}
	up, cool := r.Phases[0], r.Phases[1]
	testkit.Close(t, "energy in", up.In.Value, joules, 0.005, 0)
	if cool.Cooling == nil || cool.Cooling.UA == nil {
		t.Fatal("the minute without heat has no cooling constant")
	}
	// The authors' lumps lose 10 to 17 mW/K each (from memory), and the board some; 9.6 J/K over that is 3 to 8 minutes.
	if tau, _ := cool.Cooling.Constant(); tau < 150 || tau > 500 {
		t.Errorf("the time constant is %.0f s", tau)
	}
	if ua := cool.Cooling.UA; ua.Value < 0.015 || ua.Value > 0.06 || ua.Half() < 0.4*ua.Value {
		t.Errorf("the conductance of the losses is %.3g ± %.2g W/K; its heat capacity alone is known to 40 %%", ua.Value, ua.Half())
	}
	if c := up.Closure; c == nil || math.Abs(c.Value) > c.Half() || len(c.Rows) < 3 || len(up.Suspicions) > 0 {
		t.Errorf("the closure of the heat-up is %+v, suspicions %q", c, up.Suspicions)
	}
	if joined := strings.Join(notes, " "); !strings.Contains(joined, "Ambient is not recorded; the one stated is taken.") {
		t.Errorf("nothing says that ambient is stated: %q", notes)
	}
}

// TestARealBenchIsMatchedAndPredicted matches the first six minutes of the record and predicts the last four, through
// the files. The model is off by more than the sensors' noise, says so, and covers what it did not see.
func TestARealBenchIsMatchedAndPredicted(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	if err := os.CopyFS(dir, os.DirFS("../examples/two-heaters")); err != nil {
		t.Fatal(err)
	}
	var out, err bytes.Buffer
	if code := Main(context.Background(), []string{"match", filepath.Join(dir, "match.yaml"), "-o", filepath.Join(dir, "matched"), "--quiet"}, Streams{&out, &err}); code != ExitDone {
		t.Fatal(err.String())
	}
	raw, problem := os.ReadFile(filepath.Join(dir, "matched", "match.json"))
	if problem != nil {
		t.Fatal(problem)
	}
	var m account.MatchJSON
	if problem := json.Unmarshal(raw, &m); problem != nil {
		t.Fatal(problem)
	}
	for name, want := range map[string][2]float64{
		"power 1": {0.9, 1.15}, // first slopes by hand: some 0.30 K/s at full power, so 0.6 W into 2 J/K, and as much again into the board
		"lag 1":   {20, 45},    // by hand: after a step the reading stands for some ten seconds and turns over within a minute
	} {
		for _, p := range m.Parameters {
			if p.Name == name && (p.Value < want[0] || p.Value > want[1] || p.AtBound != 0) {
				t.Errorf("%s is %.4g, not %v", name, p.Value, want)
			}
		}
	}
	for _, c := range m.Columns {
		switch {
		case !c.Aside && c.RMS > 0.7:
			t.Errorf("%s, %s is fitted to %.2g K only", c.Trial, c.Column, c.RMS)
		case c.Aside && (c.Covered < 0.9 || c.RMS > 2.5):
			t.Errorf("%s, %s: %.0f %% of what was not seen lie in the band, rms %.2g K", c.Trial, c.Column, 100*c.Covered, c.RMS)
		}
	}
	// The readings scatter by 0.05 K and are fitted to some 0.4 K: the misfit must be told as a departure of the model.
	for _, n := range m.Noise {
		slow := math.Hypot(n.Slow, n.Common)
		if n.Stated < 0.02 || n.Stated > 0.1 || slow < 3*n.Stated || slow > 1.5 {
			t.Errorf("%s: noise %.2g K, slow departure %.2g K", n.Column, n.Stated, slow)
		}
	}
	if all := strings.Join(m.Notes, "\n"); !strings.Contains(all, "T1 departs slowly from the model") || !strings.Contains(all, "T2 departs slowly from the model") {
		t.Errorf("the notes do not tell the misfit:\n%s", all)
	}
	for _, c := range m.Trust {
		if !c.Within {
			t.Errorf("%s: %s", c.Column, c.Sentence)
		}
	}
}

// TestTheStationDayIsReadByItsDescription reads a real day of one-minute weather through the command. Source:
// trial/testdata/README.md; the numbers are the file's own lines.
func TestTheStationDayIsReadByItsDescription(t *testing.T) {
	dir := t.TempDir()
	raw, err := os.ReadFile("../trial/testdata/station-day-2016-01-01.dat")
	if err != nil {
		t.Fatal(err)
	}
	const description = `schema: emberbank/1
kind: trial
name: a day of weather
loggers:
  - file: station.dat
    clock: {year: 1, month: 3, day: 4, hour: 5, minute: 6, zone: UTC}
    channels:
      - {column: 9, place: irradiance, unit: W/m2, quality: {column: 10}}
      - {column: 13, place: direct, quantity: irradiance, unit: W/m2, quality: {column: 14}}
      - {column: 29, place: ultraviolet, quantity: irradiance, unit: W/m2, quality: {column: 30}}
      - {column: 39, place: ambient, unit: degC, quality: {column: 40}}
      - {column: 43, place: wind, unit: m/s, quality: {column: 44}}
      - {column: 47, place: air pressure, unit: mbar, quality: {column: 48}}
`
	for name, text := range map[string][]byte{"station.dat": raw, "day.yaml": []byte(description)} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	var out, errs bytes.Buffer
	if code := Main(context.Background(), []string{"trial", filepath.Join(dir, "day.yaml"), "-o", filepath.Join(dir, "record")}, Streams{&out, &errs}); code != ExitDone {
		t.Fatal(errs.String())
	}
	for _, want := range []string{"1440 rows, one each 60 s", "from 2016-01-01 00:00:00", "ultraviolet [W/m2] - - all", "1440 missing, ultraviolet", "-9999.9 (1440)"} {
		if !strings.Contains(squeezed(out.String()), squeezed(want)) {
			t.Errorf("nothing says %q in:\n%s", want, out.String())
		}
	}
	table, err := os.ReadFile(filepath.Join(dir, "record", "history.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(out.String(), "spikes") {
		t.Errorf("a pressure that is read to 10 Pa and flips between two readings has spikes:\n%s", out.String())
	}
	lines := strings.Split(strings.TrimSpace(string(table)), "\n")
	if len(lines) != 1441 {
		t.Fatalf("history.csv has %d lines, not a heading and 1440 minutes", len(lines))
	}
	// Rows by their lines in the file: 00:00, the greatest direct irradiance at 19:09, and 23:59.
	for row, want := range map[int]string{
		0:    "0,-1.8,1.8,,-7.6,3.1,77350",
		1149: "68940,579.8,1076.1,,-6.3,0,77800",
		1439: "86340,-0.9,2,,-8.5,2.6,77700",
	} {
		if got := lines[1+row]; got != want {
			t.Errorf("minute %d: %s, want %s", row, got, want)
		}
	}
}

func squeezed(s string) string { return strings.Join(strings.Fields(s), " ") }
