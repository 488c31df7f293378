package main

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/pprof/profile"
)

func TestSeriesChangesTheGridOnly(t *testing.T) {
	raw, err := os.ReadFile("../../" + largest)
	if err != nil {
		t.Fatal(err)
	}
	text, err := regrid(string(raw), "{depth: 5, width: 6, height: 7}")
	if err != nil {
		t.Fatal(err)
	}
	before, after := strings.Split(string(raw), "\n"), strings.Split(text, "\n")
	if len(before) != len(after) {
		t.Fatalf("%d lines became %d", len(before), len(after))
	}
	var changed []string
	for i := range before {
		if before[i] != after[i] {
			changed = append(changed, after[i])
		}
	}
	if got := strings.Join(changed, "; "); got != "grid: {cells: {depth: 5, width: 6, height: 7}}" {
		t.Errorf("changed lines: %s", got)
	}
	if _, err := regrid("until: 6 h\n", "{}"); err == nil {
		t.Error("a file without a grid was taken")
	}
}

// The quartiles of four and five numbers by straight interpolation, worked out by hand.
func TestSpreadIsMedianAndQuartiles(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   spread
	}{
		{[]float64{7}, spread{7, 7, 7}},
		{[]float64{4, 1, 3, 2}, spread{1.75, 2.5, 3.25}},
		{[]float64{50, 10, 40, 20, 30}, spread{20, 30, 40}},
	} {
		if got := spreadOf(c.values); got != c.want {
			t.Errorf("%v: %v, want %v", c.values, got, c.want)
		}
	}
}

func TestNumbersKeepTheirSignificantDigits(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{{0.012345, "0.0123"}, {1.2345, "1.23"}, {123.45, "123"}, {98765, "98800"}, {0, "0"}} {
		if got := significant(c.v, 3); got != c.want {
			t.Errorf("%g: %s, want %s", c.v, got, c.want)
		}
	}
	if got := thousands(1002001); got != "1 002 001" {
		t.Errorf("thousands: %s", got)
	}
}

func TestOnlyWhatStandsBetweenTheMarksIsReplaced(t *testing.T) {
	page := filepath.Join(t.TempDir(), "page.md")
	if err := os.WriteFile(page, []byte("before\n"+firstMark+"\nold\n"+lastMark+"\nafter\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	for range 2 { // twice gives the same as once
		if err := writeBetweenMarks(page, "new"); err != nil {
			t.Fatal(err)
		}
		raw, _ := os.ReadFile(page)
		if got, want := string(raw), "before\n"+firstMark+"\n\nnew\n\n"+lastMark+"\nafter\n"; got != want {
			t.Fatalf("%q, want %q", got, want)
		}
	}
	if err := os.WriteFile(page, []byte("no marks"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := writeBetweenMarks(page, "new"); err == nil {
		t.Error("a page without marks was taken")
	}
}

// The page of the project has its marks, or make speed would measure for minutes and then have no place to write.
func TestThePageHasItsMarks(t *testing.T) {
	raw, err := os.ReadFile("../../docs/performance.md")
	if err != nil {
		t.Fatal(err)
	}
	if strings.Count(string(raw), firstMark) != 1 || strings.Count(string(raw), lastMark) != 1 {
		t.Error("docs/performance.md does not have each mark once")
	}
}

// A file that is renamed would count with the rest in silence.
func TestKindsOfWorkNameFilesThatExist(t *testing.T) {
	for _, k := range kinds {
		for _, w := range k.words {
			if strings.HasSuffix(w, ".go") {
				if _, err := os.Stat("../../" + w); err != nil {
					t.Errorf("%s: %v", k.name, err)
				}
			}
		}
	}
}

func TestSamplesGoToTheInnermostKind(t *testing.T) {
	at := func(file, function string) *profile.Location {
		return &profile.Location{Line: []profile.Line{{Function: &profile.Function{Name: function, Filename: file}}}}
	}
	team := at("/x/heat/team.go", "emberbank/heat.(*team).each")
	stage := at("/x/heat/stage.go", "emberbank/heat.(*solver).others")
	prof := &profile.Profile{Sample: []*profile.Sample{
		{Value: []int64{1, 60e9}, Location: []*profile.Location{at("/x/kernel/vector_amd64.go", "emberbank/kernel.stageTwin"), stage, team}},
		{Value: []int64{1, 25e9}, Location: []*profile.Location{at("/x/film/plate.go", "emberbank/film.Plate"), at("/x/heat/surfaces.go", "emberbank/heat.(*skin).meet"), team}},
		{Value: []int64{1, 10e9}, Location: []*profile.Location{stage, team}},
		{Value: []int64{1, 5e9}, Location: []*profile.Location{at("/go/runtime/proc.go", "runtime.mcall")}},
	}}
	parts, seconds := shareOut(prof)
	want := []part{
		{"conduction: the stages' sweep over cells", 0.6}, {"faces, window, outside", 0.25}, {"the rest of a step", 0.1}, {elsewhere, 0.05},
	}
	if len(parts) != len(want) || math.Abs(seconds-100) > 1e-9 {
		t.Fatalf("%v, %g s", parts, seconds)
	}
	for i := range want {
		if parts[i] != want[i] {
			t.Errorf("%v, want %v", parts[i], want[i])
		}
	}
}
