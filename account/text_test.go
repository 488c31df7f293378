package account

import (
	"bytes"
	"math"
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
			if n := utf8.RuneCountInString(strings.TrimSuffix(l, "\n")); n > lineWidth {
				t.Errorf("%s: a line of %d characters: %q", name, n, l)
			}
		}
	}
}

func TestWhatLimitsIsShownWhenMostHeatFlowsAndAtLast(t *testing.T) {
	r := made()
	first, late, gone, small := r.Chains[1], r.Chains[1], r.Chains[1], r.Chains[1]
	late.Time, late.Heat = 8000, 160
	late.Links = append([]heat.Link(nil), first.Links...)
	late.Links[1].Share, late.Links[3].Share = 0.25, 0.5
	gone.Time, gone.State = 9000, "drained"
	small.Pass, small.Heat, small.Time = "small", 3, 8500
	r.Chains = append(r.Chains, late, small, gone)
	var b bytes.Buffer
	if err := Text(&b, r, info(), ""); err != nil {
		t.Fatal(err)
	}
	s := b.String()
	for _, want := range []string{
		"What limits pass 1\n", "after 2\u2009h", "after 2\u2009h 13\u2009min", "1\u2009551\u00a0W", "160\u00a0W",
		"When most heat flows: 60\u2009% of the drop is in the contact", "At last: 50\u2009% of the drop is in the film",
	} {
		if !strings.Contains(s, want) {
			t.Errorf("the text lacks %q:\n%s", want, s)
		}
	}
	if most, last := telling(r.Chains); most.Time != first.Time || last.Time != late.Time {
		t.Errorf("chains at %v s and %v s", most.Time, last.Time)
	}
}

func TestWhatRepeatsFromPlaceToPlaceIsSaidOnceWithEachNumber(t *testing.T) {
	r := made()
	c := r.Cautions[0]
	for i, T := range []float64{250, 290, 270} {
		c.Place, c.Value = []string{"pass 2", "pass 3", "pass 4"}[i], 273.15+T
		c.Text = "Water enters " + c.Place + ". Local codes and licensed practice decide."
		r.Cautions = append(r.Cautions, c)
	}
	r.Warnings = []string{
		"tin: from memory: density (uncertainty ±20 %); check against a data sheet", "board: from memory: conductivity (uncertainty ±25 %); check against a data sheet",
		"the film of pass 1 is doubtful", "the film of pass 12 is doubtful", "the film of pass 3 is doubtful", "another doubt",
	}
	var b bytes.Buffer
	if err := Text(&b, r, info(), ""); err != nil {
		t.Fatal(err)
	}
	s := strings.Join(strings.Fields(b.String()), " ") // lines break anywhere; Fields takes a thin space for one too
	for want, times := range map[string]int{
		"Water enters": 1, "Water enters pass 3.": 1, "pass 2 250 °C": 1, "pass 4 270 °C": 1, "pass 1 230 °C": 1, "licensed practice": 1,
		"data sheet": 1, "tin (density, ±20 %); board (conductivity, ±25 %)": 1, "is doubtful": 1, "(and 2 more like it": 1, "another doubt": 1,
	} {
		if got := strings.Count(s, want); got != times {
			t.Errorf("%q stands %d times, want %d:\n%s", want, got, times, b.String())
		}
	}
}

func TestFirstWaterIntoSeveralCircuitsIsOneCaution(t *testing.T) {
	r := made()
	r.Cautions = nil
	for i, T := range []float64{350, 352, 351} {
		name := []string{"circuit 1", "circuit 2", "circuit 3"}[i]
		r.Cautions = append(r.Cautions, heat.Caution{
			Kind: heat.KindFirstWater, Place: name, Value: 273.15 + T, Limit: 373.15, At: 60, Source: "an estimate",
			Text: "First water into " + name + ". Local codes and licensed practice decide.",
		})
	}
	var b bytes.Buffer
	if err := Text(&b, r, info(), ""); err != nil {
		t.Fatal(err)
	}
	s := strings.Join(strings.Fields(b.String()), " ")
	for _, want := range []string{"First water into circuit 2.", "Likewise: circuit 1 350 °C, circuit 3 351 °C."} {
		if strings.Count(s, want) != 1 || strings.Count(s, "First water") != 1 {
			t.Errorf("%q does not stand there once:\n%s", want, b.String())
		}
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

// Tubes that fill with cold water take more than any flow that lasts: that row is no headline, and is told beside it.
func TestHeadlinesAreOfFlowsThatLastAndNotOfTubesThatFill(t *testing.T) {
	r := made()
	r.History.Column("heat to passes").Values = []float64{0, 5955, 2733, 2600}
	r.Fillings = []heat.Filling{{Circuit: "main", From: 1800, To: 1850}}
	filling, steady := r.Chains[1], r.Chains[1]
	filling.Time, filling.Heat, filling.Filling = 1800, 5955, true
	steady.Time, steady.Heat = 3600, 2733
	r.Chains = []heat.Chain{filling, steady}
	text := func() string {
		var b bytes.Buffer
		if err := Text(&b, r, info(), ""); err != nil {
			t.Fatal(err)
		}
		return strings.Join(strings.Fields(b.String()), " ")
	}
	s := text()
	if want := "2 733 W at the most, after 1 h; while the tubes fill, up to 5 955 W."; !strings.Contains(s, want) {
		t.Errorf("the text lacks %q:\n%s", want, s)
	}
	if most, last := telling(r.Chains); most.Time != 3600 || last != nil {
		t.Errorf("the chain is that after %g s", most.Time)
	}
	r.Chains = r.Chains[:1]
	r.Fillings[0] = heat.Filling{Circuit: "main", From: 0, To: math.Inf(1)}
	s = text()
	for _, want := range []string{"5 955 W at the most, after 30 min, while the tubes fill.", "The tubes still fill after 30 min"} {
		if !strings.Contains(s, want) {
			t.Errorf("where they fill to the end, the text lacks %q:\n%s", want, s)
		}
	}
}
