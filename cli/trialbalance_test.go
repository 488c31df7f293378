package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"emberbank/balance"
	"emberbank/bench"
	"emberbank/logbook"
	"emberbank/shelf"
)

func TestTheExampleTrialIsBalanced(t *testing.T) {
	loaded, problems := bench.LoadTrial(os.DirFS("../examples/bakery-trial"), "trial.yaml", bench.Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	r, _ := logbook.Reduce(loaded)
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
	results := filepath.Join(t.TempDir(), "results")
	if code := Main(context.Background(), []string{"compare", "../examples/bakery-trial", "--shared", "-o", results}, Streams{&out, &err}); code != ExitDone {
		t.Fatal(err.String())
	}
	// With 0.05 and 0.035 kg/s the water takes 52 and 49 W/K: near 300 °C some 700 W apart.
	for _, want := range []string{"The cooling curves agree within 0.", "The heat flows to the water", "they do differ"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("nothing says %q in:\n%s", want, out.String())
		}
	}
	for _, name := range []string{"agreements", "pieces", "curves", "map"} {
		for _, ext := range []string{".csv", ".parquet"} {
			if st, e := os.Stat(filepath.Join(results, name+ext)); e != nil || st.Size() == 0 {
				t.Errorf("there is no %s%s", name, ext)
			}
		}
	}
	raw, e := os.ReadFile(filepath.Join(results, "compare.json"))
	if e != nil {
		t.Fatal(e)
	}
	var doc struct {
		Shared     bool `json:"shared_sensors"`
		Agreements []struct {
			Of     string
			Within float64 `json:"agree_within"`
			Pieces []struct {
				Mean float64 `json:"b_less_a"`
				Half float64 `json:"one_sided_half_width_95"`
			}
		}
	}
	if e := json.Unmarshal(raw, &doc); e != nil {
		t.Fatal(e)
	}
	if len(doc.Agreements) != 2 || !doc.Shared {
		t.Fatalf("the document holds %+v", doc)
	}
	for _, a := range doc.Agreements {
		most := 0.0
		for _, p := range a.Pieces {
			most = max(most, math.Abs(p.Mean)+p.Half)
		}
		if math.Abs(most-a.Within) > 1e-9*most {
			t.Errorf("%s: the pieces bound the difference by %g, the agreement by %g", a.Of, most, a.Within)
		}
	}
	for name, want := range map[string]string{"cooling.svg": "min", "heat-flow.svg": "°C"} {
		p, e := os.ReadFile(filepath.Join(results, name))
		if e != nil || !strings.Contains(string(p), want) || !strings.Contains(string(p), "agree within") {
			t.Errorf("%s says nothing: %v", name, e)
		}
	}
	// A folder that holds something else is left alone.
	if e := os.WriteFile(filepath.Join(results, "mine.txt"), []byte("x"), 0o666); e != nil {
		t.Fatal(e)
	}
	if code := Main(context.Background(), []string{"compare", "../examples/bakery-trial", "-o", results}, Streams{&out, &err}); code != ExitDisk {
		t.Errorf("results that are not ours are written over: %d", code)
	}
	out.Reset()
	if code := Main(context.Background(), []string{"compare", "../examples/bakery-trial/trial.yaml"}, Streams{&out, &err}); code != ExitInput {
		t.Errorf("one trial is compared: %s", out.String())
	}
}

func TestARunIsLaidOverATrialsMapByItsOwnThermometers(t *testing.T) {
	dir := t.TempDir()
	// A run of 49 W/K against water of 15 °C, whose mean stands 10 K above where its three sensors are.
	var b strings.Builder
	b.WriteString("time [s],block mean [degC],heat to passes [W],front [degC],core [degC],back [degC]\n")
	for i := range 200 {
		T := 330 * math.Exp(-float64(i)/60)
		q := 49 * T
		if i < 5 {
			q = 0
		}
		fmt.Fprintf(&b, "%d,%g,%g,%g,%g,%g\n", 10*i, T+25, q, T+15, T+15, T+15)
	}
	run := filepath.Join(dir, "run")
	if err := os.Mkdir(run, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(run, "history.csv"), []byte(b.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	var out, err bytes.Buffer
	results := filepath.Join(dir, "results")
	if code := Main(context.Background(), []string{"trial", "../examples/bakery-trial/trial.yaml", "--run", run, "-o", results}, Streams{&out, &err}); code != ExitDone {
		t.Fatal(err.String())
	}
	if !strings.Contains(out.String(), "Computed, run lies") {
		t.Errorf("nothing is said of the run:\n%s", out.String())
	}
	table, e := readTable(filepath.Join(results, "map.csv"))
	if e != nil {
		t.Fatal(e)
	}
	rows := 0
	for _, r := range table[1:] {
		if r[0] != "run" {
			continue
		}
		rows++
		var T, q float64
		_, _ = fmt.Sscan(r[3], &T)
		_, _ = fmt.Sscan(r[4], &q)
		if T > 60 && T < 250 && math.Abs(q-49*(T-15)) > 0.02*q {
			t.Errorf("at %g °C the run gives %g W, not %g", T, q, 49*(T-15))
		}
	}
	if rows < 20 {
		t.Errorf("%d rows of the run", rows)
	}
	for _, name := range []string{"map.svg", "map.parquet", "map.json", "history.svg", "balance.svg", "budgets.parquet"} {
		if st, e := os.Stat(filepath.Join(results, name)); e != nil || st.Size() == 0 {
			t.Errorf("there is no %s", name)
		}
	}
	if raw, e := os.ReadFile(filepath.Join(results, shelf.ManifestName)); e != nil || !strings.Contains(string(raw), "run/history.csv") {
		t.Errorf("the results do not name the run among what they came from: %v", e)
	}
	// A run without water is no reason to lose the record.
	if e := os.WriteFile(filepath.Join(run, "history.csv"), []byte("time [s],block mean [degC],heat to passes [W]\n0,20,0\n10,20,0\n20,20,0\n"), 0o666); e != nil {
		t.Fatal(e)
	}
	out.Reset()
	if code := Main(context.Background(), []string{"trial", "../examples/bakery-trial/trial.yaml", "--run", run, "-o", results}, Streams{&out, &err}); code != ExitDone ||
		!strings.Contains(out.String(), "The run run could not be laid over") {
		t.Errorf("a run without water: %d %s", code, out.String())
	}
	err.Reset()
	if code := Main(context.Background(), []string{"trial", "../examples/bakery-trial/trial.yaml", "--run", dir, "-o", results}, Streams{&out, &err}); code != ExitInput ||
		!strings.Contains(err.String(), "name the results folder of emberbank run") {
		t.Errorf("a folder without a run ends with %d: %s", code, err.String())
	}
}

// TestARunThatIsLaidOverATrialTellsWhenItsTubesFilled: a results folder holds it in summary.json; without one nothing is said.
func TestARunThatIsLaidOverATrialTellsWhenItsTubesFilled(t *testing.T) {
	dir := t.TempDir()
	if f := fillingsOf(dir); f != nil {
		t.Errorf("without a summary: %v", f)
	}
	said := `{"fillings": [{"circuit": "a", "from_s": 4200, "to_s": 4206.5}, {"circuit": "b", "from_s": 4200, "to_s": null}]}`
	if e := os.WriteFile(filepath.Join(dir, "summary.json"), []byte(said), 0o666); e != nil {
		t.Fatal(e)
	}
	want := [][2]float64{{4200, 4206.5}, {4200, math.Inf(1)}}
	if f := fillingsOf(dir); !slices.Equal(f, want) {
		t.Errorf("%v, want %v", f, want)
	}
}

func TestResultsOfAComparisonAreNamedAfterItsTrials(t *testing.T) {
	for _, c := range []struct {
		files []string
		want  string
	}{
		{[]string{"../examples/bakery-trial/trial.yaml", "../examples/bakery-trial/second-day.yaml"}, "trial-and-second-day"},
		{[]string{"../examples/bakery-trial/trial.yaml", "b.yaml", "c.yaml", "d.yaml", "e.yml"}, "trial-and-b-and-c-and-2-more"},
	} {
		got, err := resultsOfAll(c.files)
		if err != nil || filepath.Base(got) != c.want || filepath.Base(filepath.Dir(got)) != "results" {
			t.Errorf("%q go to %s: %v", c.files, got, err)
		}
	}
}
