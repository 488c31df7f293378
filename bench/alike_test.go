package bench

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

const twoFilms = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 100 mm, width: 60 mm, height: 60 mm, medium: brick}
  materials:
    - {name: brick, density: 2000 kg/m3, heat capacity: 1000 J/(kg K), conductivity: 20 W/(m K), source: made up}
  surfaces: {left: {film: 8 ± 2 W/(m2 K), emissivity: 0}, right: {film: 9 W/(m2 K), emissivity: 0}, back: adiabatic}
duty: {ambient: 20 degC}
initial: 300 degC
until: 20 min
output: {every: 1 min}
grid: {cells: {depth: 5, width: 3, height: 3}}
`

// TestWhatWasFoundAsOneIsOneInput: a match's parameter that stands at two paths is listed once, moves both, and an axis on one of
// them goes before it there.
func TestWhatWasFoundAsOneIsOneInput(t *testing.T) {
	const left, right, name = "receiver.surfaces.left.film", "receiver.surfaces.right.film", "parameter film"
	files := fstest.MapFS{"run.yaml": {Data: []byte(twoFilms)}, "study.yaml": {Data: []byte(`schema: emberbank/1
kind: study
run: run.yaml
sample: {count: 8, stated: yes}
responses: [{read: block mean}]
`)}}
	load := func(opt Options) *Run {
		t.Helper()
		run, ps := LoadRun(files, "run.yaml", opt)
		if len(ps) > 0 {
			t.Fatal(ps)
		}
		return run
	}
	films := func(r *Run, l, rt float64) {
		t.Helper()
		near(t, "left", surfaceOf(t, r, "left").Film.Value, l)
		near(t, "right", surfaceOf(t, r, "right").Film.Value, rt)
	}
	numbers := Options{Override: map[string]float64{left: 12, right: 12}}
	numbers.Joins(name, 3, left, right)
	factors := Options{Factor: map[string]float64{left: 1.5, right: 1.5}}
	factors.Joins(name, 0.2, FactorPath(left), FactorPath(right))
	for _, c := range []struct {
		of                Options
		value, half       float64
		l, r, moved, rest float64 // films as found; both with the parameter at moved: left, right
	}{{numbers, 12, 3, 12, 12, 15, 15}, {factors, 1.5, 0.2, 12, 13.5, 1.7 * 8, 1.7 * 9}} {
		run := load(Options{Under: &c.of})
		films(run, c.l, c.r)
		if len(run.Uncertain) != 1 || run.Uncertain[0].Path != name {
			t.Fatalf("inputs are %+v", run.Uncertain)
		}
		near(t, "value", run.Uncertain[0].Value, c.value)
		near(t, "half", run.Uncertain[0].Half, c.half)
		up := map[string]float64{name: c.value + c.half}
		films(load(Options{Override: up, Under: &c.of}), c.moved, c.rest)
		up[left] = 30
		films(load(Options{Override: up, Under: &c.of}), 30, c.rest)
		s, ps := LoadStudyOver(files, "study.yaml", &c.of)
		if ps.Failed() {
			t.Fatal(ps)
		}
		if len(s.Axes) != 1 || !slices.Equal(s.Axes[0].Paths, []string{name}) {
			t.Fatalf("drawn are %+v", s.Axes)
		}
		films(built(t, files, s, c.value+c.half), c.moved, c.rest)
	}
	if _, ps := LoadRun(files, "run.yaml", Options{Override: map[string]float64{"parameter fil": 1}, Under: &numbers}); !ps.Failed() {
		t.Error("a parameter that nothing has is moved")
	}
}

// TestAFactorKnownBadlyIsNotDrawnBelowZero: ± 1.5 about 1 reaches below zero; that is cut off, and said.
func TestAFactorKnownBadlyIsNotDrawnBelowZero(t *testing.T) {
	const left = "receiver.surfaces.left.film"
	files := fstest.MapFS{"run.yaml": {Data: []byte(twoFilms)}, "study.yaml": {Data: []byte(`schema: emberbank/1
kind: study
run: run.yaml
sample: {count: 64, stated: yes}
responses: [{read: block mean}]
`)}}
	weighed := Options{Factor: map[string]float64{left: 1}, Half: map[string]float64{FactorPath(left): 1.5}}
	s, ps := LoadStudyOver(files, "study.yaml", &weighed)
	if ps.Failed() {
		t.Fatal(ps)
	}
	for u := 1e-6; u < 1; u += 0.01 {
		if x := s.Axes[0].From.Quantile(u); !(x > 0) {
			t.Fatalf("%g of the draws are at or below %g", u, x)
		}
	}
	if !slices.ContainsFunc(s.Warnings, func(w string) bool { return strings.Contains(w, "is cut off") }) {
		t.Errorf("nothing is said of it: %q", s.Warnings)
	}
}
