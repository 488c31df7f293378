package bench

import (
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
