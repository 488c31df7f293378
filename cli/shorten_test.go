package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"testing"
)

// Grids of few cells. Large ones still leave a cell to each face of a part and each tube, of which the worked bench has so many that
// it is given so many cells instead.
const (
	large = "{size: 60 mm, cells per layer: 1}"
	few   = "{cells: {depth: 12, width: 10, height: 10}}"
)

// change puts a text in the place of another.
type change struct {
	from *regexp.Regexp
	to   string
}

// shorter is, by kind of file, what makes it short.
var shorter = map[string][]change{
	"run": {
		{regexp.MustCompile(`(?m)^until: .* d$`), "until: 3 d"}, // a season has days
		{regexp.MustCompile(`(?m)^until: .*[^d]$`), "until: 3 min"},
		{regexp.MustCompile(`(?m)^(fields|profiles): .*$`), "$1: [3 min]"},
	},
	"match": { // its runs are as long as the trials: fewer of them
		{regexp.MustCompile(`(?m)^starts: .*$`), "starts: 0"},
		{regexp.MustCompile(`(?ms)^  - name: heat capacity .*?(^  - name: lamp )`), "$1"},
		{regexp.MustCompile(`(?m)^  - \{name: lamp (fast|hold), .*\n`), ""},
		{regexp.MustCompile(`(?m)^( +trials: \[lamp slow), .*$`), "$1]"},
	},
	"season": { // one day of each kind, and no claim on so coarse cells
		{regexp.MustCompile(`(?m)^(build|apart): \d+`), "$1: 1"},
		{regexp.MustCompile(`(?m)^allowed: .*$`), "allowed: {heat: 50 %, block mean: 100 K}"},
	},
}

var gridLines = regexp.MustCompile(`(?ms)^grid:.*?(^\S|\z)`)

// shorten makes the runs of a bench short and coarse. Those of trials are as long as the trials, and coarse.
func shorten(t *testing.T, dir, grid string) {
	t.Helper()
	coarse := []change{{gridLines, "grid: " + grid + "\n$1"}}
	found := 0
	for _, name := range files(t, dir, "*.yaml") {
		kind, err := kindOf(name)
		if err != nil {
			t.Fatal(err)
		}
		switch kind {
		case "run":
			found++
			if !changed(t, name, append(coarse, shorter[kind]...)) {
				t.Errorf("%s is as long and as fine as it was", name)
			}
		case "trial":
			found++
		default:
			changed(t, name, shorter[kind])
		}
	}
	if found == 0 {
		t.Fatalf("%s has neither a run nor a trial", dir)
	}
	for _, name := range files(t, filepath.Join(dir, "trials"), "*-run.yaml") {
		if !changed(t, name, coarse) {
			t.Errorf("%s is as fine as it was", name)
		}
	}
}

func files(t *testing.T, dir, pattern string) []string {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(dir, pattern))
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// changed makes changes in a file, and tells whether they were any.
func changed(t *testing.T, name string, changes []change) bool {
	t.Helper()
	raw, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	other := raw
	for _, c := range changes {
		other = c.from.ReplaceAll(other, []byte(c.to))
	}
	if err := os.WriteFile(name, other, 0o666); err != nil {
		t.Fatal(err)
	}
	return !bytes.Equal(raw, other)
}
