package main

import (
	"cmp"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"github.com/google/pprof/profile"
)

// part is one kind of work and its share of the processor's time.
type part struct {
	name  string
	share float64
}

// kinds are the kinds of work, told by the innermost function that lies in one of their files or has one of their
// names: a film's correlation counts where it is asked for, with the water or with the faces.
var kinds = []struct {
	name  string
	words []string // parts of "folder/file.go package.Function"
}{
	{"conduction: the stages' sweep over cells", []string{"kernel.stage", "kernel.flow"}},
	{"enthalpies to temperatures", []string{"kernel.read", "kernel.arc", "heat/reading.go"}},
	{"error of a step", []string{"kernel.discrepancy", "iscrepancyPlane"}},
	{"melting fronts", []string{"heat/melting.go", "heat/front.go", "frontsPlane"}},
	{"conductances and stiffness", []string{"heat/network.go", "heat/conductivity.go", "heat/stiffness.go"}},
	{"thin sheets", []string{"heat/thin.go"}},
	{"faces, window, outside", []string{"heat/faces.go", "heat/surfaces.go", "heat/pane.go"}},
	{"water and tubes", []string{
		"heat/tubes.go", "heat/stream.go", "heat/sweep.go", "heat/swing.go", "heat/switching.go", "heat/pump.go",
		"heat/throttle.go", "heat/drop.go", "heat/resistance.go", "heat/entry.go", "heat/chain.go",
	}},
	{"history, ledger, cautions", []string{
		"heat/record.go", "heat/tally.go", "heat/between.go", "heat/moment.go", "heat/exact.go", "heat/caution.go",
		"heat/watch.go", "heat/warnings.go",
	}},
	{"laying the grid", []string{"heat/body.go", "heat.newMarch", "heat.newSolver", "/block/"}},
	{"threads: sharing and waiting", []string{"heat/team.go"}},
	{"the rest of a step", []string{"heat/"}},
	{"reading the files", []string{"/bench/"}},
}

const elsewhere = "Go's runtime"

// takeProfile runs the benchmark of the whole receiver with a profile and shares its samples out among the kinds.
func (p plan) takeProfile() ([]part, float64, error) {
	file, err := filepath.Abs(filepath.Join(p.results, "whole.prof"))
	if err != nil {
		return nil, 0, err
	}
	test := exec.Command(p.goTool, "test", "-run", "^$", "-bench", "^BenchmarkWholeReceiver$/^run=whole$", "-benchtime", "3x",
		"-cpuprofile", file, "-o", filepath.Join(p.results, "whole.test"), "./bench")
	if said, err := test.CombinedOutput(); err != nil {
		return nil, 0, fmt.Errorf("%w: %s", err, said)
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, 0, err
	}
	defer f.Close()
	prof, err := profile.Parse(f)
	if err != nil {
		return nil, 0, fmt.Errorf("reading %s: %w", file, err)
	}
	parts, seconds := shareOut(prof)
	return parts, seconds, nil
}

// shareOut gives each sample to the kind of its innermost telling function; most first.
func shareOut(prof *profile.Profile) ([]part, float64) {
	const value = 1 // of a processor's profile: samples, nanoseconds
	time := make([]int64, len(kinds)+1)
	var all int64
	for _, s := range prof.Sample {
		time[kindOf(s)] += s.Value[value]
		all += s.Value[value]
	}
	var out []part
	for i, t := range time {
		if t == 0 {
			continue
		}
		name := elsewhere
		if i < len(kinds) {
			name = kinds[i].name
		}
		out = append(out, part{name, float64(t) / float64(all)})
	}
	slices.SortStableFunc(out, func(a, b part) int { return cmp.Compare(b.share, a.share) })
	return out, float64(all) * 1e-9
}

// kindOf returns the index of the kind that a sample belongs to, len(kinds) for none.
func kindOf(s *profile.Sample) int {
	for _, at := range s.Location { // innermost first
		for _, line := range at.Line { // innermost of what was inlined first
			what := line.Function.Filename + " " + line.Function.Name
			for i, k := range kinds {
				if slices.ContainsFunc(k.words, func(w string) bool { return strings.Contains(what, w) }) {
					return i
				}
			}
		}
	}
	return len(kinds)
}
