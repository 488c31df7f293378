package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
)

// trickling is a block at 200 °C whose one pass boils a trickle at 3 bar, outside the range of every correlation of
// boiling in a level tube.
const trickling = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 60 mm, width: 120 mm, height: 60 mm, medium: metal}
  materials:
    - {name: metal, density: 2700 kg/m3, heat capacity: 900 J/(kg K), conductivity: 180 W/(m K), source: made up}
  tube: {outer: 12 mm, wall: 1 mm, contact: 2000 W/(m2 K)}
  passes: [{along: width, depth: 30 mm, height: 30 mm}]
duty:
  ambient: 20 degC
  water: {"1": {flow: 0.4 g/s, inlet: 20 degC, pressure: 3 bar}}
initial: 200 degC
until: 30 s
output: {every: 10 s}
grid: {cells: {depth: 4, width: 6, height: 4}}
`

func TestFilmsOutsideTheirRangeAreToldAndCarried(t *testing.T) {
	file := filepath.Join(t.TempDir(), "trickling.yaml")
	write(t, file, trickling)
	var d struct {
		Summary struct {
			Warnings    []string
			Uncertainty *struct {
				Notes   []string
				Results []struct {
					Half   float64 `json:"half_width_95_K"`
					Inputs []struct {
						Input string
						Share float64
					}
				}
			}
		}
	}
	told := func(args ...string) string {
		t.Helper()
		var out, err bytes.Buffer
		if code := Main(context.Background(), append([]string{"run", file, "--json"}, args...), Streams{&out, &err}); code != ExitDone {
			t.Fatalf("exit %d: %s%s", code, out.String(), err.String())
		}
		d.Summary.Warnings, d.Summary.Uncertainty = nil, nil
		if err := json.Unmarshal(out.Bytes(), &d); err != nil {
			t.Fatal(err)
		}
		return strings.Join(d.Summary.Warnings, "\n")
	}
	plain := told()
	for _, want := range []string{"films in circuit", "of the circuit's heat passed through such films", "--uncertainty shows"} {
		if !strings.Contains(plain, want) {
			t.Errorf("no warning says %q: %s", want, plain)
		}
	}
	if with := told("--uncertainty"); strings.Contains(with, "--uncertainty shows") {
		t.Errorf("a flag that was given is recommended: %s", with)
	}
	u := d.Summary.Uncertainty
	if u == nil || len(u.Results) == 0 || !(u.Results[0].Half > 0) {
		t.Fatalf("nothing is carried: %+v", u)
	}
	if films := u.Results[0].Inputs[len(u.Results[0].Inputs)-1]; films.Input != "films in tubes" || !(films.Share > 0.5) {
		t.Errorf("the films' share is %+v", films)
	}
	if !strings.Contains(strings.Join(u.Notes, "\n"), "outside the range") {
		t.Errorf("the notes are %q", u.Notes)
	}
}
