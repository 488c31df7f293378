package bench

import (
	"context"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/duty"
	"emberbank/farm"
	"emberbank/heat"
)

// kept reads a file of testdata/studies.
func kept(name string) string {
	text, err := os.ReadFile("testdata/studies/" + name)
	if err != nil {
		panic(err)
	}
	return string(text)
}

// tubesRun is a small run with five passes in two circuits, on one pump.
var tubesRun = kept("run.yaml")

func tubes() fstest.MapFS {
	return fstest.MapFS{"run.yaml": {Data: []byte(tubesRun)}, "study.yaml": {Data: []byte(kept("words.yaml"))}}
}

// built builds the variant of a study with these values of its axes.
func built(t *testing.T, files fstest.MapFS, s *Study, x ...float64) *Run {
	t.Helper()
	run, ps := LoadRun(files, s.Run, s.Changes(x))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	return run
}

func TestWordsAndCountsStandInPlaceOfTheFiles(t *testing.T) {
	files := tubes()
	s, ps := LoadStudy(files, "study.yaml")
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	same(t, "variants", s.Design.Count(), int64(6*2*2*2*2*2))
	for i, want := range []AxisKind{AxisFirst, AxisWords, AxisWords, AxisWords, AxisWords, AxisWhole} {
		same(t, s.Axes[i].Name, s.Axes[i].Kind, want)
	}
	same(t, "word", s.Axes[1].Show(1), "graphite-isotropic")
	same(t, "count", s.Axes[0].Show(3), "3")
	run := built(t, files, s, 5, 1, 1, 1, 1, 1)
	p := &run.Problem
	same(t, "medium of the block", p.Receiver.Media[p.Receiver.Parts[0].Medium].Name, "graphite-isotropic")
	same(t, "medium of the layer", p.Receiver.Media[p.Receiver.Parts[1].Medium].Name, "microporous-board")
	same(t, "cover", p.Duty.Switches.CoverShut, false)
	near(t, "film", surfaceOf(t, run, "left").Film.Value, 10)
	same(t, "cells", p.Grid.PerLayer, 1)
	same(t, "settings", s.Settings([]float64{2, 0, 0, 0, 1, 1})[4], Setting{Path: "receiver.surfaces.all.film", Text: "10 W/(m2 K)"})
	same(t, "settings", s.Settings([]float64{2, 0, 0, 0, 1, 1})[0], Setting{Path: "receiver.passes", First: true, Value: 2})
	all, base := built(t, files, s, 5, 0, 0, 0, 0, 2), built(t, files, &Study{Run: "run.yaml"})
	if farm.Key(&all.Problem, "") != farm.Key(&base.Problem, "") {
		t.Error("what the files have is not the run of the files")
	}
}

func TestFewerPassesLeaveCircuitsAndDutyThatSuitThem(t *testing.T) {
	files := tubes()
	first := func(n int) *heat.Problem {
		run, ps := LoadRun(files, "run.yaml", Options{First: map[string]int{"receiver.passes": n}})
		if len(ps) > 0 {
			t.Fatal(n, ps)
		}
		return &run.Problem
	}
	p := first(4)
	same(t, "circuits", len(p.Receiver.Circuits), 2)
	same(t, "last circuit's passes", passesOf(p, 1), "last")
	p = first(2)
	same(t, "circuits", len(p.Receiver.Circuits), 1)
	same(t, "passes", passesOf(p, 0), "2 1")
	same(t, "waters", len(p.Duty.Water), 1)
	same(t, "fed by the pump", len(p.Duty.Pumps[0].Circuits), 1)
	same(t, "events", len(p.Duty.Events), 1)
	same(t, "actions of the event that meant all", len(p.Duty.Events[0].Do), 1)
	same(t, "rules", len(p.Duty.Rules), 1)
	same(t, "actions of the rule", p.Duty.Rules[0].Do[0], duty.Action{What: duty.SetWater, Index: 0, Value: float64(duty.Flowing)})
	p = first(0)
	same(t, "circuits", len(p.Receiver.Circuits)+len(p.Receiver.Passes)+len(p.Duty.Water)+len(p.Duty.Pumps)+len(p.Duty.Events)+len(p.Duty.Rules), 0)
	for _, n := range []int{0, 1, 3} {
		r, err := heat.Run(context.Background(), *first(n))
		if err != nil {
			t.Fatal(n, err)
		}
		got := r.Ledger.ToPasses
		if (n == 0) != (got == 0) {
			t.Errorf("%d passes took %g J", n, got)
		}
	}
}

// passesOf names the passes of a circuit in the order of flow.
func passesOf(p *heat.Problem, circuit int) string {
	var out []string
	for _, r := range p.Receiver.Circuits[circuit].Runs {
		if n := p.Receiver.Passes[r.Pass].Name; len(out) == 0 || out[len(out)-1] != n {
			out = append(out, n)
		}
	}
	return strings.Join(out, " ")
}

func TestALoaderGivesTheRunThatReadingGives(t *testing.T) {
	for _, name := range []string{"insulation-run.yaml", "charge-hold-drain.yaml", "trials/sun-run.yaml"} {
		fsys := WriteScenario()
		l := NewLoader(fsys, name)
		want, ps := LoadRun(fsys, name, Options{})
		for range 3 {
			got, qs := l.Load(Options{})
			if len(ps)+len(qs) > 0 {
				t.Fatal(name, ps, qs)
			}
			if farm.Key(&got.Problem, "") != farm.Key(&want.Problem, "") || !reflect.DeepEqual(got.Inputs, want.Inputs) || !slices.Equal(got.Warnings, want.Warnings) {
				t.Errorf("%s: another run", name)
			}
		}
	}
}

// TestALoaderReadsItsFilesOnce: a file that is changed while a study runs changes no variant.
func TestALoaderReadsItsFilesOnce(t *testing.T) {
	files := tubes()
	l := NewLoader(files, "run.yaml")
	before, _ := l.Load(Options{})
	files["run.yaml"] = &fstest.MapFile{Data: []byte(strings.Replace(tubesRun, "200 degC", "300 degC", 1))}
	after, ps := l.Load(Options{})
	if len(ps) > 0 || after.Problem.Initial != before.Problem.Initial || after.Inputs[0] != before.Inputs[0] {
		t.Errorf("it read the file again: %v", ps)
	}
}

func TestMoreOrOtherThanPassesCannotBeCounted(t *testing.T) {
	for key, n := range map[string]int{"receiver.passes": 6, "receiver.circuits": 1} {
		if _, ps := LoadRun(tubes(), "run.yaml", Options{First: map[string]int{key: n}}); len(ps) != 1 || !strings.Contains(ps[0].Allowed, "0 to 5 of receiver.passes") {
			t.Errorf("%s: %v", key, ps)
		}
	}
	if _, ps := LoadRun(tubes(), "run.yaml", Options{Instead: map[string]string{"receiver.block.mediun": "tin"}}); len(ps) != 1 || !strings.Contains(ps[0].Message, "receiver.block.mediun") {
		t.Errorf("%v", ps)
	}
}

// TestAStudyStandsOnWhatAMatchFound: a number of an axis takes the place of what a match makes of the files', a factor of an
// axis multiplies it, and what no axis touches stays as the match has it.
func TestAStudyStandsOnWhatAMatchFound(t *testing.T) {
	found := Options{
		Override: map[string]float64{"receiver.tube.contact": 300, "duty.pumps[1].flow": 0.03, "medium[aluminium].density": 1.01},
		Factor:   map[string]float64{"receiver.tube.contact": 2, "initial": 0.5},
	}
	load := func(s ...Setting) *Run {
		opt := OptionsOf(s)
		opt.Under = &found
		run, ps := LoadRun(tubes(), "run.yaml", opt)
		if len(ps) > 0 {
			t.Fatal(ps)
		}
		return run
	}
	contact := func(r *Run) float64 { return r.Problem.Receiver.Passes[0].Contact.Value.At(300) }
	near(t, "as matched", contact(load()), 600)
	near(t, "in its place", contact(load(Setting{Path: "receiver.tube.contact", Value: 400})), 400)
	near(t, "multiplied", contact(load(Setting{Path: "receiver.tube.contact", Factor: true, Value: 3})), 1800)
	other := load(Setting{Path: "receiver.passes", First: true, Value: 3}, Setting{Path: "receiver.tube.contact", Value: 400})
	near(t, "untouched", other.Problem.Duty.Pumps[0].Flow.At(0), 0.03)
	near(t, "untouched", other.Problem.Initial, 473.15/2)
	before, _ := LoadRun(tubes(), "run.yaml", Options{})
	near(t, "a property", other.Problem.Receiver.Media[0].Density, 1.01*before.Problem.Receiver.Media[0].Density)
	load(Setting{Path: "receiver.block.medium", Text: "graphite-isotropic"}) // without the aluminium that the match weighed
	found.Override["receiver.tube.contct"] = 1
	if _, ps := LoadRun(tubes(), "run.yaml", Options{Under: &found}); len(ps) != 1 || !strings.Contains(ps[0].Message, "receiver.tube.contct") {
		t.Errorf("a path of the match that nothing has: %v", ps)
	}
}

// TestNumbersMayStandWhereAWordStands: a film that the files take by its attitude, over numbers.
func TestNumbersMayStandWhereAWordStands(t *testing.T) {
	s, files := studyOf(t, `
sweep: {axes: [{name: film, path: receiver.surfaces.all.film, from: 5 W/(m2 K), to: 20 W/(m2 K), count: 4}]}
responses: [{read: block mean}]
answers: [{plateau: block mean, over: film}]
`)
	same(t, "kind", s.Axes[0].Kind, AxisNumber)
	near(t, "film", surfaceOf(t, built(t, files, s, 15), "left").Film.Value, 15)
}

// What is wrong with a variant is told with the variant's number, not with that of the file.
func TestAMistakeOfAVariantIsToldWithItsOwnNumber(t *testing.T) {
	_, ps := LoadRun(tubes(), "run.yaml", Options{Override: map[string]float64{"receiver.passes[2].depth": 0.002}})
	if !ps.Failed() || !strings.Contains(ps.String(), `receiver.passes[2].depth is "2 mm": pass last leaves the block`) {
		t.Fatalf("a pass at 2 mm is told as: %s", ps)
	}
}
