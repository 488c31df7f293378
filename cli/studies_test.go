package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/heat"
	"emberbank/history"
	"emberbank/internal/testkit"
	"emberbank/study"
)

func TestQuantitiesAreReadAsWritten(t *testing.T) {
	for _, c := range []struct {
		text string
		want study.Quantity
	}{
		{"block mean", study.Quantity{Of: "block mean", Take: study.Final}},
		{"block mean [degC]", study.Quantity{Of: "block mean", Take: study.Final}},
		{"mean of heat to passes", study.Quantity{Of: "heat to passes", Take: study.Mean}},
		{"heat to passes [W] at 1.5 h", study.Quantity{Of: "heat to passes", Take: study.AtTime, At: 5400}},
		{"ledger lost front", study.Quantity{Of: "lost front", Take: study.InLedger}},
	} {
		c.want.Name = c.text
		got, err := quantityOf(c.text, &history.History{})
		if err != nil || got != c.want {
			t.Errorf("%q reads as %+v, %v", c.text, got, err)
		}
	}
	if _, err := quantityOf("block mean at 3 m", &history.History{}); err == nil {
		t.Error("a length is taken for a time")
	}
}

func TestAccuracyIsAskedOfWhatARunHas(t *testing.T) {
	base := &heat.Result{History: history.History{Time: []float64{0, 10}, Columns: []history.Column{
		{Name: "block mean", Quantity: history.Temperature, Values: []float64{300, 290}},
	}}}
	for _, c := range []struct{ text, want string }{
		{"time when block mean falls to 295 K", ""},
		{"time when block mean falls to 280 K", "has no value"},
		{"time when block mean falls to 280 W", "280 W"},
		{"mass", "what is built"},
		{"core", "not a column"},
	} {
		q, err := quantitiesOf([]string{c.text}, base)
		if c.want == "" && (err != nil || q[0].Level != 295) || c.want != "" && (err == nil || !strings.Contains(err.(*failure).err.Error(), c.want)) {
			t.Errorf("%s: %v, %v", c.text, q, err)
		}
	}
}

// studied is a run whose answer is known: a small block that loses heat through a film, one cell and three times
// finer, nearly isothermal: T − Ta decays with the film's conductance over the heat content.
const studied = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 40 mm, width: 40 mm, height: 40 mm, medium: metal}
  materials:
    - {name: metal, density: 8000 kg/m3, heat capacity: "500 ± 10 J/(kg K)", conductivity: 400 W/(m K), source: made up}
  surfaces: {all: {film: 20 +/- 2 W/(m2 K), emissivity: 0}}
duty: {ambient: 20 degC}
initial: 220 degC
until: 20 min
output: {every: 2 min}
grid: {cells: {depth: 4, width: 4, height: 4}}
accuracy: {of: [block mean, ledger lost, mean of lost top]}
`

func TestRunReportsAccuracyAndUncertainty(t *testing.T) {
	root := t.TempDir()
	file := filepath.Join(root, "studied.yaml")
	write(t, file, studied)
	var out, err bytes.Buffer
	if code := Main(context.Background(), []string{"run", file, "--accuracy", "--uncertainty", "--json"}, Streams{&out, &err}); code != ExitDone {
		t.Fatalf("exit %d: %s%s", code, out.String(), err.String())
	}
	var d struct {
		Summary struct {
			Accuracy struct {
				Grids      []struct{ Cells int }
				Quantities []struct {
					Name, Verdict string
					Order         *float64
				}
			}
			Uncertainty struct {
				Runs    int
				Results []struct {
					Name   string
					Half   float64 `json:"half_width_95_K"`
					Inputs []struct {
						Input string
						Share float64
					}
				}
			}
		}
	}
	if err := json.Unmarshal(out.Bytes(), &d); err != nil {
		t.Fatalf("%v in %s", err, out.String())
	}
	a := d.Summary.Accuracy
	if len(a.Grids) != 3 || a.Grids[0].Cells != 64 || a.Grids[1].Cells != 216 || len(a.Quantities) != 3 {
		t.Errorf("accuracy is %+v", a)
	}
	u := d.Summary.Uncertainty
	if u.Runs != 4 || len(u.Results) != 3 || len(u.Results[0].Inputs) != 2 {
		t.Fatalf("uncertainty is %+v", u)
	}
	// Lumped: T = Ta + (T0 − Ta) e^(−x), x = h A t/(ρ V cp), so that u(T) = (T0 − Ta) x e^(−x) · relative.
	// With 20 W/(m² K), 6/40 mm and 20 min x = 0.9. The film counts 10 %, the heat capacity 2 %.
	// The Biot number 20·0.02/400 = 0.001 leaves the lumped body right to about as much; second order adds 0.5 %.
	x := 20.0 * 6 / 0.04 * 1200 / (8000 * 500)
	slope := 200 * x * math.Exp(-x)
	testkit.Close(t, "half-width", u.Results[0].Half, slope*math.Sqrt(0.1*0.1+0.02*0.02), 1e-2, 0)
	for _, in := range u.Results[0].Inputs {
		want := 0.0004 / 0.0104
		if strings.Contains(in.Input, "film") {
			want = 0.01 / 0.0104
		}
		testkit.Close(t, "share of "+in.Input, in.Share, want, 0, 5e-3)
	}
	bands := tree(t, filepath.Join(root, "results", "studied"))["history-half-width.csv"]
	if strings.Count(bands, "\n") != 12 {
		t.Errorf("bands are %s", bands)
	}
}

func TestUncertaintyWithoutUncertainInputsIsAMistake(t *testing.T) {
	file := filepath.Join(t.TempDir(), "short.yaml")
	write(t, file, shortRun)
	var out, err bytes.Buffer
	code := Main(context.Background(), []string{"run", file, "--uncertainty"}, Streams{&out, &err})
	if code != ExitInput || !strings.Contains(err.String(), "no input is written with an uncertainty") {
		t.Errorf("exit %d: %s", code, err.String())
	}
}

func TestUnknownQuantityNamesThoseThatThereAre(t *testing.T) {
	file := filepath.Join(t.TempDir(), "short.yaml")
	write(t, file, shortRun+"accuracy: {of: [core]}\n")
	var out, err bytes.Buffer
	code := Main(context.Background(), []string{"run", file, "--accuracy"}, Streams{&out, &err})
	if code != ExitInput || !strings.Contains(err.String(), `"core"`) {
		t.Errorf("exit %d: %s", code, err.String())
	}
}
