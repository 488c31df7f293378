package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/account"
	"emberbank/farm"
)

// deadLock is the text of a lock whose process of this machine has ended.
func deadLock(t *testing.T) string {
	t.Helper()
	done := exec.Command("emberbank", "version")
	if err := done.Run(); err != nil {
		t.Fatal(err)
	}
	host, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("process %d\nmachine %s\n", done.Process.Pid, host)
}

func tidied(t *testing.T, args ...string) string {
	t.Helper()
	var out, err bytes.Buffer
	if code := Main(context.Background(), append([]string{"tidy"}, args...), Streams{&out, &err}); code != ExitDone {
		t.Fatalf("exit %d: %s", code, err.String())
	}
	return out.String()
}

// TestTidyFreesWhatKilledRunsLeftAndNothingOfThoseThatRun lays out what a kill leaves at each moment of a run, and what a run of
// a living process, of another machine, or nobody's looks like.
func TestTidyFreesWhatKilledRunsLeftAndNothingOfThoseThatRun(t *testing.T) {
	root := t.TempDir()
	at := func(name string) string { return filepath.Join(root, "results", filepath.FromSlash(name)) }
	host, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	dead, alive := deadLock(t), fmt.Sprintf("process %d\nmachine %s\n", os.Getpid(), host)
	for _, f := range []struct {
		name, content string
		goes          bool
	}{
		{".killed.lock", dead, true},
		{".killed.part/history.csv", "half", true},
		{".between.lock", dead, true},
		{".between.before/history.csv", "the former results, wanted by the next run", false},
		{".late.lock", dead, true},
		{".late.before/history.csv", "former", true},
		{"late/history.csv", "new", false},
		{".living.lock", alive, false},
		{".living.part/history.csv", "half", false},
		{".abroad.lock", "process 1\nmachine another\n", false},
		{".abroad.part/history.csv", "half", false},
		{".stray.part/history.csv", "without a lock", false},
		{".match.resume", "what a match knows", false},
		{"own/notes.txt", "mine", false},
		{"own/fields/field-1.vtr", "mine", false},
		{"own/manifest.json", "{}", false},
	} {
		if err := os.MkdirAll(filepath.Dir(at(f.name)), 0o777); err != nil {
			t.Fatal(err)
		}
		write(t, at(f.name), f.content)
	}
	before := tree(t, root)
	said := tidied(t, root)
	for _, part := range []string{"unfinished parts of what was killed", "locks of processes that no longer run", "the former results of", "it may still be written", "2 files"} {
		if !strings.Contains(strings.Join(strings.Fields(said), " "), part) {
			t.Errorf("it does not say %q:\n%s", part, said)
		}
	}
	if after := tree(t, root); len(after) != len(before) {
		t.Error("a look has freed something")
	}
	tidied(t, root, "--free")
	after := tree(t, root)
	for name := range before {
		goes := strings.Contains(name, ".killed.") || strings.HasSuffix(name, ".between.lock") || strings.Contains(name, ".late.")
		if _, there := after[name]; there == goes {
			t.Errorf("%s: there afterwards: %v", name, there)
		}
	}
}

// TestTheQueueOfAKilledStudyIsFreedAndThatOfALivingOneIsNot: a kill leaves it behind, before the first record too.
func TestTheQueueOfAKilledStudyIsFreedAndThatOfALivingOneIsNot(t *testing.T) {
	host, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range []struct {
		name, lock string
		goes       bool
	}{
		{"killed", deadLock(t), true},
		{"unlocked", "", true},
		{"living", fmt.Sprintf("process %d\nmachine %s\n", os.Getpid(), host), false},
		{"abroad", "process 1\nmachine another\n", false},
	} {
		root := t.TempDir()
		study := filepath.Join(root, "results", one.name)
		queue := filepath.Join(study, queueName, "jetstream", "meta.inf")
		for _, dir := range []string{filepath.Dir(queue), filepath.Join(study, variantsName)} {
			if err := os.MkdirAll(dir, 0o777); err != nil {
				t.Fatal(err)
			}
		}
		write(t, queue, "what was under way")
		if one.lock != "" {
			write(t, (&folder{target: filepath.Join(study, outcomeName)}).beside("lock"), one.lock)
		}
		if said := tidied(t, root); strings.Contains(said, "unfinished parts") != one.goes {
			t.Errorf("%s: it says\n%s", one.name, said)
		}
		tidied(t, root, "--free")
		if _, err := os.Stat(filepath.Join(study, queueName)); (err != nil) != one.goes {
			t.Errorf("%s: gone afterwards: %v", one.name, err)
		}
	}
}

// TestEveryRecordThatAnOutcomeNamesIsAskedFor: variants, the present design of a search, what answers needed besides, and a
// variant that did not keep its time limit, whose record's name says so. Any other record is offered.
func TestEveryRecordThatAnOutcomeNamesIsAskedFor(t *testing.T) {
	root := studyFolder(t, "{depth: 5, width: 3, height: 3}")
	studyDone(t, root)
	results := filepath.Join(root, "results", "study")
	at := func(key string) string { return filepath.Join(results, variantsName, key) }
	plain, present, twin, stray := strings.Repeat("a", 32), strings.Repeat("b", 32), strings.Repeat("c", 32), strings.Repeat("d", 32)
	late := farm.Within(strings.Repeat("e", 32), 0.25)
	for _, key := range []string{plain, present, twin, stray, late} {
		if err := os.MkdirAll(at(key), 0o777); err != nil {
			t.Fatal(err)
		}
		write(t, filepath.Join(at(key), recordName), "{}")
	}
	document, err := json.MarshalIndent(account.StudyDocument(&account.Varied{
		Variants: []account.Variant{{Key: plain}, {Key: late, Failure: "late"}, {Failure: "it cannot be built"}},
		Present:  &account.Variant{Key: present}, Beside: []string{twin},
	}), "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(results, outcomeName, studyDocumentName)
	old, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	write(t, path, string(old)+string(document))
	before := len(tree(t, root))
	tidied(t, root, "--free")
	for _, key := range []string{plain, present, twin, late} {
		if !isFile(filepath.Join(at(key), recordName)) {
			t.Errorf("the record %s is freed", key)
		}
	}
	if isFolder(at(stray)) || len(tree(t, root)) != before-1 {
		t.Errorf("of %d files %d are left: one was to go", before, len(tree(t, root)))
	}
}

// TestAStudySaysItsSizeWithinSomePercent compares what is said after the first variant with what then stands on the disk.
func TestAStudySaysItsSizeWithinSomePercent(t *testing.T) {
	root := studyFolder(t, "{depth: 5, width: 3, height: 3}")
	said := studyDone(t, root)
	_, after, found := strings.Cut(said, "and all take ")
	text, _, also := strings.Cut(after, " on the disk")
	var size float64
	var unit string
	if n, err := fmt.Sscanf(text, "%f %s", &size, &unit); !found || !also || n != 2 || err != nil {
		t.Fatalf("it says %q", said)
	}
	size *= map[string]float64{"B": 1, "kB": 1e3, "MB": 1e6}[unit]
	stands, files := sizeOf(filepath.Join(root, "results", "study"))
	if files < 100 || size < 0.95*float64(stands) || size > 1.05*float64(stands) {
		t.Errorf("said %.4g bytes, %d stand there in %d files", size, stands, files)
	}
}
