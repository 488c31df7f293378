package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"emberbank/farm"
	"emberbank/heat"
	"emberbank/history"
)

const studyOfShort = `schema: emberbank/1
kind: study
run: short.yaml
sweep:
  axes:
    - {name: film, path: receiver.surfaces.all.film, from: 5 W/(m2 K), to: 50 W/(m2 K), count: 24}
    - {name: depth, path: receiver.block.depth, values: [80 mm, 100 mm]}
responses:
  - {name: kept, read: block mean}
  - {read: mean of lost front}
`

// studyFolder writes a study of runs that take some tenths of a second.
func studyFolder(t *testing.T, cells string) (root string) {
	t.Helper()
	root = t.TempDir()
	write(t, filepath.Join(root, "short.yaml"), strings.Replace(shortRun, "{depth: 5, width: 3, height: 3}", cells, 1))
	write(t, filepath.Join(root, "study.yaml"), studyOfShort)
	return root
}

// whole are the files of a study that hang on its inputs alone.
func whole(t *testing.T, root string) map[string]string {
	t.Helper()
	files := tree(t, filepath.Join(root, "results", "study"))
	maps.DeleteFunc(files, func(name, _ string) bool { return strings.HasSuffix(name, "performance.json") })
	if len(files) < 5+2*48 {
		t.Fatalf("a study has %d files", len(files))
	}
	return files
}

func sameFiles(t *testing.T, got, want map[string]string) {
	t.Helper()
	for name := range want {
		if got[name] != want[name] {
			t.Errorf("%s differs", name)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d files, undisturbed %d", len(got), len(want))
	}
}

func studyDone(t *testing.T, root string, args ...string) string {
	t.Helper()
	var out, err bytes.Buffer
	if code := Main(context.Background(), append([]string{"study", filepath.Join(root, "study.yaml")}, args...), Streams{&out, &err}); code != ExitDone {
		t.Fatalf("exit %d: %s", code, err.String())
	}
	return err.String()
}

// TestStudySaysWhereItsWorkersTimeWent: what they did adds up to no more than there was, and most of it is running.
func TestStudySaysWhereItsWorkersTimeWent(t *testing.T) {
	root := studyFolder(t, "{depth: 20, width: 12, height: 12}")
	studyDone(t, root, "--workers", "2")
	raw, err := os.ReadFile(filepath.Join(root, "results", "study", outcomeName, paceName))
	if err != nil {
		t.Fatal(err)
	}
	var p struct {
		Wall    float64 `json:"wall_s"`
		Workers float64 `json:"workers"`
		Ran     float64 `json:"running_s"`
		Waited  float64 `json:"waiting_for_the_queue_s"`
		Built   float64 `json:"building_s"`
		Kept    float64 `json:"waiting_for_the_disk_s"`
	}
	if err := json.Unmarshal(raw, &p); err != nil {
		t.Fatal(err)
	}
	kept := 0.0
	for name, text := range tree(t, filepath.Join(root, "results", "study", variantsName)) {
		var v variantTime
		if strings.HasSuffix(name, paceName) {
			if err := json.Unmarshal([]byte(text), &v); err != nil {
				t.Fatal(err)
			}
			kept += v.Wall
		}
	}
	if p.Workers != 2 || math.Abs(p.Ran/kept-1) > 1e-6 {
		t.Errorf("%g workers ran %g s; their variants say %g s", p.Workers, p.Ran, kept)
	}
	if all := p.Ran + p.Waited + p.Built + p.Kept; p.Waited <= 0 || p.Built <= 0 || p.Kept < 0 || all > p.Wall*p.Workers {
		t.Errorf("%s add up to %g s", raw, all)
	}
}

// killedAt starts a study as a process of its own and kills it when it has kept so many variants; false: it was done before.
func killedAt(t *testing.T, root string, variants int) bool {
	t.Helper()
	process := exec.Command("emberbank", "study", filepath.Join(root, "study.yaml"), "--workers", "2", "--quiet")
	if err := process.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- process.Wait() }()
	for {
		select {
		case err := <-ended:
			if err != nil {
				t.Fatal(err)
			}
			return false
		case <-time.After(2 * time.Millisecond):
			if entries, _ := os.ReadDir(filepath.Join(root, "results", "study", variantsName)); len(entries) >= variants {
				_ = process.Process.Kill()
				return <-ended != nil
			}
		}
	}
}

// TestKilledStudyGoesOnAndGivesTheSameBytes kills the program, as a process of its own, in the middle of a study. The same
// command then goes on, and every file is as if nothing had happened.
func TestKilledStudyGoesOnAndGivesTheSameBytes(t *testing.T) {
	const cells = "{depth: 20, width: 12, height: 12}"
	undisturbed := studyFolder(t, cells)
	studyDone(t, undisturbed, "--workers", "1")
	root := studyFolder(t, cells)
	variants := filepath.Join(root, "results", "study", "variants")
	killed := 0
	for try := 0; try < 3; try++ {
		if killedAt(t, root, (try+1)*10) {
			killed++
		}
	}
	if killed == 0 {
		t.Fatal("it was never killed in the middle")
	}
	if _, err := os.Stat(filepath.Join(root, "results", "study", outcomeName)); killed == 3 && err == nil {
		t.Error("a killed study has an outcome")
	}
	studyDone(t, root, "--workers", "2")
	sameFiles(t, whole(t, root), whole(t, undisturbed))
	if left, _ := filepath.Glob(filepath.Join(variants, ".*")); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestCtrlCLeavesAStudyThatGoesOn(t *testing.T) {
	t.Setenv("TERM", "xterm")
	const cells = "{depth: 10, width: 6, height: 6}"
	undisturbed := studyFolder(t, cells)
	studyDone(t, undisturbed)
	root := studyFolder(t, cells)
	ctx, cancel := context.WithCancel(context.Background())
	tty := &console{press: cancel, when: regexp.MustCompile(" of 48 done")}
	var out bytes.Buffer
	code := Main(ctx, []string{"study", filepath.Join(root, "study.yaml")}, Streams{&out, tty})
	if code != ExitStopped || !strings.Contains(tty.String(), "stopped: ") || !strings.Contains(tty.String(), "of 48 are kept in") {
		t.Fatalf("exit %d: %s", code, tty.String())
	}
	if said := studyDone(t, root); !strings.Contains(said, "Kept from an earlier start: ") {
		t.Errorf("it says %q", said)
	}
	sameFiles(t, whole(t, root), whole(t, undisturbed))
}

// TestALongStudyIsAskedAbout: beyond the limit nothing runs without a yes but the first variant, which told how long it takes.
func TestALongStudyIsAskedAbout(t *testing.T) {
	root := studyFolder(t, "{depth: 5, width: 3, height: 3}")
	for _, one := range []struct {
		typed string
		yes   bool
		code  int
		held  int
	}{{"no\n", false, ExitStopped, 1}, {"", false, ExitStopped, 1}, {"yes\n", false, ExitDone, 48}, {"", true, ExitDone, 48}} {
		var out, err bytes.Buffer
		c := &call{ctx: context.Background(), out: &out, err: &err, disk: realDisk(), in: strings.NewReader(one.typed), patience: 1e-9}
		args := []string{"study", filepath.Join(root, "study.yaml")}
		if one.yes {
			args = append(args, "--yes")
		}
		if code := c.main(args); code != one.code {
			t.Errorf("%q: exit %d: %s", one.typed, code, err.String())
		}
		if one.code == ExitStopped && (!strings.Contains(err.String(), "48 variants would take about") || !strings.Contains(err.String(), "--yes")) {
			t.Errorf("%q: it says %q", one.typed, err.String())
		}
		if n := (&variants{dir: filepath.Join(root, "results", "study", "variants")}).held(); n != one.held {
			t.Errorf("%q: %d variants are kept, want %d", one.typed, n, one.held)
		}
	}
}

// TestARecordThatIsNotWholeIsComputedAgain damages records in ways in which a disk may.
func TestARecordThatIsNotWholeIsComputedAgain(t *testing.T) {
	v, err := openVariants(filepath.Join(t.TempDir(), "variants"), realDisk())
	if err != nil {
		t.Fatal(err)
	}
	r := &farm.Record{
		Run: "a.yaml", Ledger: heat.Ledger{Lost: 1.0 / 3},
		History: history.History{Time: []float64{0, 60}, Columns: []history.Column{{Name: `with a "quote", and a comma`, Quantity: history.Temperature, Values: []float64{300.125, 301}}}},
	}
	for _, damage := range []func(dir string) error{
		func(dir string) error { return os.Truncate(filepath.Join(dir, "history.csv"), 10) },
		func(dir string) error { return os.Remove(filepath.Join(dir, "history.csv")) },
		func(dir string) error { return os.Truncate(filepath.Join(dir, recordName), 10) },
		func(dir string) error { return os.Remove(filepath.Join(dir, recordName)) },
	} {
		if _, err := v.Save("key", r, 1); err != nil {
			t.Fatal(err)
		}
		got, err := v.Load("key")
		if err != nil || got == nil || got.Ledger.Lost != 1.0/3 || got.History.Columns[0].Values[0] != 300.125 || got.History.Columns[0].Name != r.History.Columns[0].Name {
			t.Fatalf("it reads back as %+v, %v", got, err)
		}
		if err := damage(v.at("key")); err != nil {
			t.Fatal(err)
		}
		if got, err := v.Load("key"); got != nil || err != nil {
			t.Errorf("a damaged record reads as %+v, %v", got, err)
		}
	}
	if _, err := v.Save("key", r, 1); err != nil {
		t.Fatal(err)
	}
	other := &farm.Record{Failure: "another"}
	if got, err := v.Save("key", other, 1); err != nil || got.Failure != "" {
		t.Errorf("the second to come stays: %+v, %v", got, err)
	}
}

func TestAFullDiskEndsAStudyAndLosesNothing(t *testing.T) {
	root := studyFolder(t, "{depth: 5, width: 3, height: 3}")
	d := filling{room: 40000}
	var out, err bytes.Buffer
	c := &call{ctx: context.Background(), out: &out, err: &err, disk: d.disks()}
	if code := c.main([]string{"study", filepath.Join(root, "study.yaml"), "--quiet", "--workers", "1"}); code != ExitDisk || strings.Count(err.String(), "the disk is full") != 1 {
		t.Fatalf("exit %d: %s", code, err.String())
	}
	undisturbed := studyFolder(t, "{depth: 5, width: 3, height: 3}")
	studyDone(t, undisturbed)
	studyDone(t, root)
	sameFiles(t, whole(t, root), whole(t, undisturbed))
}
