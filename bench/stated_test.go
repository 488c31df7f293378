package bench

import (
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// statedRun is an invented run.
const statedRun = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 80 mm, width: 60 mm, height: 60 mm, medium: brick}
  materials:
    - {name: brick, density: 2000 kg/m3, heat capacity: 1000 J/(kg K), conductivity: 20 W/(m K), source: made up}
    - {name: stone, density: 2500 kg/m3, heat capacity: 900 J/(kg K), conductivity: 3 W/(m K), source: made up}
  surfaces: {all: {film: 10 ± 1 W/(m2 K), emissivity: 0}}
duty: {ambient: 20 degC}
initial: 300 degC
until: 1 h
grid: {cells: {depth: 2, width: 2, height: 2}}
`

func TestDifferencesAreTakenByMeaningNotByText(t *testing.T) {
	other := strings.NewReplacer("depth: 80 mm", "depth: 8 cm", "medium: brick", "medium: stone", "film: 10 ± 1 W", "film: 12 ± 1 W", "until: 1 h\n", "until: 60 min\ntouch limit: none\n").Replace(statedRun)
	fsys := fstest.MapFS{"a.yaml": {Data: []byte(statedRun)}, "b.yaml": {Data: []byte(other)}}
	a, problems := Statements(fsys, "a.yaml", Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	b, problems := Statements(fsys, "b.yaml", Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	differ, alike := Differences(a, b)
	want := []Difference{
		{"receiver.block.medium", "brick", "stone"},
		{"receiver.surfaces.all.film", "10 ± 1 W/(m2 K)", "12 ± 1 W/(m2 K)"},
		{"touch limit", "", "none"},
	}
	if !slices.Equal(differ, want) {
		t.Errorf("differences are %q, want %q", differ, want)
	}
	if alike < 15 {
		t.Errorf("only %d are alike", alike)
	}
	if none, _ := Differences(a, a); len(none) != 0 {
		t.Errorf("a run differs from itself: %q", none)
	}
}

// What is put in place of a file's number is held against what is allowed there, as the file's own is: a run of a heat capacity
// below zero would never end.
func TestANumberPutInPlaceOfTheFilesIsAllowedThere(t *testing.T) {
	fsys := fstest.MapFS{"run.yaml": {Data: []byte(strings.Replace(statedRun, "emissivity: 0}", "emissivity: 0.9}", 1))}}
	const capacity, emissivity = "receiver.materials[1].heat capacity", "receiver.surfaces.all.emissivity"
	for _, c := range []struct {
		opt  Options
		want string // "": it is allowed
	}{
		{Options{Override: map[string]float64{capacity: -5}}, capacity + ` is "-5 J/(kg K)": in place of "1000 J/(kg K)"`},
		{Options{Override: map[string]float64{emissivity: 1.04}}, emissivity + ` is "1.04": in place of "0.9"`},
		{Options{Override: map[string]float64{emissivity: math.NaN()}}, emissivity + ` is "NaN": in place of "0.9"`},
		{Options{Factor: map[string]float64{"receiver.surfaces": 1.2}}, emissivity + ` is "1.08": in place of "0.9"`},
		{Options{Under: &Options{Override: map[string]float64{emissivity: 0.8}}, Factor: map[string]float64{emissivity: 1.3}}, emissivity + ` is "1.04": in place of "0.9"`},
		{Options{Under: &Options{Override: map[string]float64{emissivity: 1.2}}, Factor: map[string]float64{emissivity: 0.5}}, ""},
		{Options{Override: map[string]float64{emissivity: 1, capacity: 5}}, ""},
	} {
		run, ps := LoadRun(fsys, "run.yaml", c.opt)
		switch {
		case c.want == "" && ps.Failed():
			t.Errorf("%+v: %v", c.opt, ps)
		case c.want != "" && (run != nil || !strings.Contains(ps.String(), c.want) || !strings.Contains(ps.String(), "allowed: ")):
			t.Errorf("%+v: %v, want %q", c.opt, ps, c.want)
		}
	}
}
