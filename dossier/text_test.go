package dossier

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"emberbank/heat"
	"emberbank/history"
	"emberbank/internal/testkit"
	"emberbank/study"
)

// studied adds what the two studies say, with invented numbers.
func studied() Info {
	i := info()
	mean := study.Quantity{Name: "block mean", Of: "block mean"}
	toPasses := study.Quantity{Name: "heat to passes", Of: "heat to passes"}
	i.Accuracy = &study.Convergence{
		Levels: []study.Level{{Cells: 23}, {Cells: 57}, {Cells: 140}},
		Quantities: []study.QuantityEstimate{
			{Quantity: mean, Estimate: study.Estimate{Verdict: study.Monotone, Values: [3]float64{393.25, 393.3, 393.32}, Order: 1.9, Extrapolated: 393.33, BaseBand: 0.12}},
			{Quantity: toPasses, Estimate: study.Estimate{Verdict: study.Oscillating, Values: [3]float64{1551.25, 1549, 1552}, Spread: 3}},
		},
		Notes: []string{"the ratio of the first two grids is 1.29"},
	}
	i.Uncertainty = &study.Bands{
		Runs: 5, Columns: []study.Band{{Name: "block mean", Quantity: history.Temperature, Half: []float64{0, 1, 2, 3}}},
		Responses: []study.Response{{Quantity: mean, Value: 393.25, Half: 2.5, Parts: []study.Part{
			{Path: "receiver.tube.contact", Effect: -2.3, Share: 0.85}, {Path: "duty.ambient", Effect: 1, Share: 0.15}, {Path: "duty.tilt", Share: 0},
		}}},
	}
	return i
}

func TestTextReadsAsItsGoldenFile(t *testing.T) {
	steady := made()
	steady.Ledger.Steady = true
	steady.Ended = 0
	stopped := made()
	stopped.Stopped = "stopped by the user"
	for name, c := range map[string]struct {
		r *heat.Result
		i Info
	}{"drain": {made(), studied()}, "steady": {steady, info()}, "stopped": {stopped, info()}} {
		var b bytes.Buffer
		if err := Text(&b, c.r, c.i, "results/"+name); err != nil {
			t.Fatal(err)
		}
		testkit.Golden(t, name+".txt", b.Bytes())
		for l := range strings.Lines(b.String()) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(l, "\n")); n > lineWidth+12 { // tables and names run on
				t.Errorf("%s: a line of %d characters: %q", name, n, l)
			}
		}
	}
}

func TestChainInTheTextIsTheLastThatCarriesHeat(t *testing.T) {
	r := made()
	late := r.Chains[1]
	late.Time, late.Pass, late.State = 8000, "shut", "drained"
	small := r.Chains[1]
	small.Pass, small.Heat = "small", 3
	r.Chains = append(r.Chains, small, late)
	var b bytes.Buffer
	if err := Text(&b, r, info(), ""); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), "What limits pass 1, ") {
		t.Errorf("the chain shown is not that of pass 1:\n%s", b.String())
	}
}

func TestEmptyResultsAreSaidToBeEmpty(t *testing.T) {
	var b bytes.Buffer
	if err := Text(&b, &heat.Result{}, Info{}, ""); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), "holds no output time") {
		t.Errorf("%s", b.String())
	}
	m := &memory{files: map[string][]byte{}, room: -1}
	if err := Write(m, &heat.Result{}, Info{}); err != nil {
		t.Errorf("%v", err)
	}
}

func TestStudiesReachTheSummary(t *testing.T) {
	files := written(t, studied())
	s := string(files["summary.json"])
	for _, want := range []string{
		`"extrapolated_degC": 120.18`, `"this_grid_convergence_index_K": 0.12`, `"verdict": "oscillating"`, `"spread_W": 3`,
		`"half_width_95_K": 2.5`, `"input": "receiver.tube.contact"`, `"share": 0.85`,
	} {
		if !strings.Contains(s, want) {
			t.Errorf("the summary lacks %s", want)
		}
	}
	if got := string(files["history-half-width.csv"]); !strings.HasPrefix(got, "time [s],block mean [K]\n0,0\n1800,1\n") {
		t.Errorf("half-widths %q", got)
	}
}
