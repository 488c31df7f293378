package bench

import (
	"io/fs"
	"os"
	"path"
	"strings"
	"testing"
	"testing/fstest"
)

// TestTheProjectsOwnTrialsAreNotDoubted reads every trial of the demo and of the examples: nothing in them is suspected.
// What is said of a receiver's materials stands at the receiver and does not count.
func TestTheProjectsOwnTrialsAreNotDoubted(t *testing.T) {
	read := 0
	for _, where := range []struct {
		fsys   fs.FS
		folder string
	}{{WriteScenario(), "trials"}, {os.DirFS("../examples/bakery-trial"), "."}, {os.DirFS("../examples/two-heaters"), "."}} {
		files, err := fs.ReadDir(where.fsys, where.folder)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			name := path.Join(where.folder, f.Name())
			raw, err := fs.ReadFile(where.fsys, name)
			if f.IsDir() || path.Ext(name) != ".yaml" || err != nil || !strings.Contains(string(raw), "kind: trial\n") {
				continue
			}
			tr, problems := LoadTrial(where.fsys, name, Options{})
			if problems.Failed() {
				t.Errorf("%s: %v", name, problems)
				continue
			}
			read++
			for _, w := range tr.Warnings {
				if strings.HasPrefix(w, name) {
					t.Error(w)
				}
			}
		}
	}
	if read < 7 {
		t.Errorf("only %d trials were found", read)
	}
}

// TestADoubtOfATrialSaysHowItIsMended: what the report lists under its doubts is not only what is wrong.
func TestADoubtOfATrialSaysHowItIsMended(t *testing.T) {
	fsys := fstest.MapFS{
		"t.yaml": {Data: []byte("schema: emberbank/1\nkind: trial\nloggers:\n  - file: a.csv\n    channels:\n      - {column: core, place: core, unit: degC}\n")},
		"a.csv":  {Data: []byte("Timestamp,core\n2026-03-14 09:30:00,20\n2026-03-14 09:31:00,21\n2026-03-14 09:32:00,22\n2026-03-14 09:33:00,23\n")},
	}
	tr, problems := LoadTrial(fsys, "t.yaml", Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	if len(tr.Warnings) != 1 || !strings.Contains(tr.Warnings[0], "without their time zone") || !strings.Contains(tr.Warnings[0], `add "zone: UTC"`) {
		t.Errorf("%q", tr.Warnings)
	}
}
