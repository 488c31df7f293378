package web

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// Two edits that follow closely: the second comes when the first has just been read.
func TestAFileThatIsWrittenToWhileItIsReadIsReadAgain(t *testing.T) {
	folder, root := copied(t)
	d, r := &Desk{root: root}, &run{name: "trial-1.yaml"}
	reading := func(meanwhile func()) (settled bool) {
		r.files = r.stamps
		before := d.before(r)
		loaded, problems := d.loadRun(r.name)
		if problems.Failed() || !r.read(r.turn, loaded, problems) {
			t.Fatal(problems)
		}
		meanwhile()
		d.stamp(r, r.turn, before)
		return maps.Equal(r.stamps, d.stamps(r.stamps))
	}
	if !reading(func() {}) || len(r.stamps) < 2 {
		t.Errorf("nothing was written to: %v", r.stamps)
	}
	for _, name := range []string{"receiver.yaml", "trial-1.yaml"} {
		if reading(func() { edit(t, filepath.Join(folder, name), "\n", "\n# once more\n") }) {
			t.Errorf("what was written to %s is missed", name)
		}
		if !reading(func() {}) {
			t.Errorf("%s is read for ever", name)
		}
	}
}

// A study may have thousands of variants, and each that is looked at holds its fields.
func TestFewVariantsAreKeptAndTheOneThatIsLookedAtStays(t *testing.T) {
	root, err := os.OpenRoot("../examples/small-match")
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	d := Open(root, Options{})
	defer d.Close()
	ask := func(name string) {
		if _, err := d.runs.of(name); err != nil {
			t.Fatal(err)
		}
	}
	ask("trial-1.yaml")
	for n := range 3 * mostVariants {
		ask("match.yaml#1")
		ask(fmt.Sprintf("match.yaml#%d", n+2))
	}
	d.runs.mu.Lock()
	defer d.runs.mu.Unlock()
	if len(d.runs.all) != mostVariants+1 || d.runs.all["trial-1.yaml"] == nil || d.runs.all["match.yaml#1"] == nil || d.runs.all[fmt.Sprintf("match.yaml#%d", 3*mostVariants+1)] == nil {
		t.Errorf("%d are kept: %v", len(d.runs.all), slices.Sorted(maps.Keys(d.runs.all)))
	}
}
