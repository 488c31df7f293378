package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"

	"emberbank/shelf"
)

// filling is a disk with room for so many bytes; it can also run out when a file is made or closed.
type filling struct {
	mu      sync.Mutex
	room    int
	onClose bool // the fullness shows only when a file is closed, as on a network drive
}

func (d *filling) disks() disks {
	return disks{create: func(name string) (io.WriteCloser, error) {
		f, err := realDisk().create(name)
		if err != nil {
			return nil, err
		}
		d.mu.Lock()
		defer d.mu.Unlock()
		if d.room <= 0 && !d.onClose {
			_ = f.Close()
			return nil, &fs.PathError{Op: "open", Path: name, Err: syscall.ENOSPC}
		}
		return &fillingFile{f, d}, nil
	}}
}

type fillingFile struct {
	w io.WriteCloser
	d *filling
}

func (f *fillingFile) Write(p []byte) (int, error) {
	f.d.mu.Lock()
	defer f.d.mu.Unlock()
	if len(p) > f.d.room && !f.d.onClose {
		n, _ := f.w.Write(p[:max(f.d.room, 0)])
		f.d.room = 0
		return n, &fs.PathError{Op: "write", Path: "x", Err: syscall.ENOSPC}
	}
	f.d.room -= len(p)
	return f.w.Write(p)
}

func (f *fillingFile) Close() error {
	f.d.mu.Lock()
	defer f.d.mu.Unlock()
	err := f.w.Close()
	if f.d.onClose && f.d.room < 0 {
		return &fs.PathError{Op: "close", Path: "x", Err: syscall.ENOSPC}
	}
	return err
}

// results writes a folder of two files with the given words in them.
func results(target, words string, d disks, stopped bool) (string, error) {
	f, err := openFolder(target, d)
	if err != nil {
		return "", err
	}
	defer f.close()
	if _, err := f.standing(); err != nil {
		return "", err
	}
	for _, name := range []string{"history.csv", "fields/field-0.vtr", "summary.json"} {
		if err := f.write(name, name == "summary.json", func(w io.Writer) error {
			_, err := io.WriteString(w, words)
			return err
		}); err != nil {
			return "", err
		}
	}
	return f.place(nil, stopped)
}

// tree lists the files below a folder with their content.
func tree(t *testing.T, root string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := os.ReadFile(path)
		rel, _ := filepath.Rel(root, path)
		out[filepath.ToSlash(rel)] = string(raw)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestResultsAppearWholeAndReplaceFormerOnes(t *testing.T) {
	root := t.TempDir()
	target := filepath.Join(root, "Ergebnis für später", "käse lauf")
	for _, words := range []string{"first", "second"} {
		placed, err := results(target, words, realDisk(), false)
		if err != nil {
			t.Fatal(err)
		}
		if placed != target {
			t.Errorf("placed in %s", placed)
		}
		got := tree(t, root)
		if len(got) != 4 {
			t.Errorf("files are %v", got)
		}
		for _, name := range []string{"history.csv", "fields/field-0.vtr", "summary.json"} {
			if c := got["Ergebnis für später/käse lauf/"+name]; c != words {
				t.Errorf("%s holds %q, want %q", name, c, words)
			}
		}
	}
}

func TestManifestHoldsTheHashOfEachFileThatDoesNotVary(t *testing.T) {
	root := t.TempDir()
	if _, err := results(filepath.Join(root, "a"), "abc", realDisk(), false); err != nil {
		t.Fatal(err)
	}
	m := tree(t, root)["a/"+shelf.ManifestName]
	// SHA-256 of "abc": FIPS 180-4, example of the standard.
	if n := strings.Count(m, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"); n != 2 {
		t.Errorf("%d hashes in\n%s", n, m)
	}
	if !strings.Contains(m, "\"name\": \"summary.json\"\n") {
		t.Errorf("the varying file carries a hash in\n%s", m)
	}
}

func TestFullDiskLeavesFormerResultsAndNothingElse(t *testing.T) {
	for _, former := range []bool{false, true} {
		for _, onClose := range []bool{false, true} {
			for room := 0; room < 1300; room += 50 {
				root := t.TempDir()
				target := filepath.Join(root, "results", "a")
				want := map[string]string{}
				if former {
					if _, err := results(target, "former", realDisk(), false); err != nil {
						t.Fatal(err)
					}
					want = tree(t, root)
				}
				d := filling{room: room, onClose: onClose}
				_, err := results(target, strings.Repeat("x", 400), d.disks(), false)
				if err == nil {
					if room < 1200 {
						t.Fatalf("with room for %d bytes 1200 were written", room)
					}
					continue
				}
				var f *failure
				if !errors.As(err, &f) || f.code != ExitDisk || !strings.Contains(err.Error(), "the disk is full") || f.hint == "" {
					t.Errorf("room %d: error is %v", room, err)
				}
				if got := tree(t, root); fmt.Sprint(got) != fmt.Sprint(want) {
					t.Errorf("room %d: files are %v, want %v", room, got, want)
				}
				if !former {
					if _, err := os.Stat(filepath.Dir(target)); err == nil {
						t.Errorf("room %d: an empty folder is left", room)
					}
				}
			}
		}
	}
}

func TestStoppedResultsReplaceNothingWhole(t *testing.T) {
	root := t.TempDir()
	target := filepath.Join(root, "a")
	for _, step := range []struct {
		words   string
		stopped bool
		in      string
	}{
		{"stopped 1", true, "a"}, // nothing there: takes the place
		{"stopped 2", true, "a"}, // a stopped one is replaced
		{"whole", false, "a"},
		{"stopped 3", true, "a-stopped"}, // a whole one is not
		{"stopped 4", true, "a-stopped"},
		{"whole 2", false, "a"},
	} {
		placed, err := results(target, step.words, realDisk(), step.stopped)
		if err != nil {
			t.Fatal(err)
		}
		if placed != filepath.Join(root, step.in) {
			t.Errorf("%s: placed in %s", step.words, placed)
		}
		if got := tree(t, root)[step.in+"/history.csv"]; got != step.words {
			t.Errorf("%s: the folder holds %q", step.words, got)
		}
	}
	if got := tree(t, root); got["a/history.csv"] != "whole 2" || got["a-stopped/history.csv"] != "stopped 4" || len(got) != 8 {
		t.Errorf("files are %v", got)
	}
}

func TestFolderWithForeignFilesIsRefused(t *testing.T) {
	root := t.TempDir()
	target := filepath.Join(root, "a")
	if _, err := results(target, "x", realDisk(), false); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(target, "notes.txt"), []byte("mine"), 0o666); err != nil {
		t.Fatal(err)
	}
	_, err := results(target, "y", realDisk(), false)
	if err == nil || !strings.Contains(err.Error(), "holds notes.txt, which no run has written") {
		t.Errorf("error is %v", err)
	}
	if got := tree(t, target); got["notes.txt"] != "mine" || got["history.csv"] != "x" {
		t.Errorf("files are %v", got)
	}
	file := filepath.Join(root, "file")
	if err := os.WriteFile(file, []byte("mine"), 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := results(file, "y", realDisk(), false); err == nil || !strings.Contains(err.Error(), "is a file: results need a folder") {
		t.Errorf("error is %v", err)
	}
	empty := filepath.Join(root, "empty")
	if err := os.Mkdir(empty, 0o777); err != nil {
		t.Fatal(err)
	}
	if _, err := results(empty, "y", realDisk(), false); err != nil {
		t.Errorf("an empty folder is refused: %v", err)
	}
}

func TestKilledRunsAreClearedUp(t *testing.T) {
	root := t.TempDir()
	target := filepath.Join(root, "a")
	if _, err := results(target, "former", realDisk(), false); err != nil {
		t.Fatal(err)
	}
	// Killed between the two renames: the former results stand aside, a part is left.
	if err := os.Rename(target, filepath.Join(root, ".a.before")); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Join(root, ".a.part", "fields"), 0o777); err != nil {
		t.Fatal(err)
	}
	f, err := openFolder(target, realDisk())
	if err != nil {
		t.Fatal(err)
	}
	f.close()
	if got := tree(t, root); got["a/history.csv"] != "former" || len(got) != 4 {
		t.Errorf("files are %v", got)
	}
	if left, _ := filepath.Glob(filepath.Join(root, ".*")); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestOneRunPerFolderAtATime(t *testing.T) {
	root := t.TempDir()
	target := filepath.Join(root, "a")
	f, err := openFolder(target, realDisk())
	if err != nil {
		t.Fatal(err)
	}
	_, err = openFolder(target, realDisk())
	if err == nil || !strings.Contains(err.Error(), fmt.Sprintf("is being written by process %d", os.Getpid())) {
		t.Errorf("a second run gets %v", err)
	}
	if _, err := os.Stat(filepath.Join(root, ".a.lock")); err != nil {
		t.Errorf("the second run took away the lock: %v", err)
	}
	other, err := openFolder(filepath.Join(root, "b"), realDisk())
	if err != nil {
		t.Errorf("another folder is locked too: %v", err)
	}
	other.close()
	f.close()
	if f, err = openFolder(target, realDisk()); err != nil {
		t.Fatalf("after the first run: %v", err)
	}
	f.close()
}

func TestStaleLockIsExplained(t *testing.T) {
	root := t.TempDir()
	host, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ content, want string }{
		// No system gives a process this number: Linux stops at 2^22, macOS at 99998.
		{fmt.Sprintf("process 99999999\nmachine %s\n", host), "is locked by process 99999999, which no longer runs"},
		{"process 99999999\nmachine elsewhere-at-all\n", "is being written by process 99999999 on elsewhere-at-all"},
		{"", "does not say by whom"},
		{"rubbish", "does not say by whom"},
	} {
		path := filepath.Join(root, ".a.lock")
		if err := os.WriteFile(path, []byte(c.content), 0o666); err != nil {
			t.Fatal(err)
		}
		_, err := openFolder(filepath.Join(root, "a"), realDisk())
		var f *failure
		if !errors.As(err, &f) || !strings.Contains(f.message, c.want) || !strings.Contains(f.hint+f.message, path) {
			t.Errorf("%q gives %v with hint %q", c.content, err, f.hint)
		}
	}
}
