package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"emberbank/shelf"
)

type tidyCommand struct {
	Dir  string `arg:"" optional:"" default:"."`
	Free bool
	JSON bool `name:"json"`
}

func (k *tidyCommand) wantsJSON() bool { return k.JSON }

// tidyKinds are what may be freed, in the order of the listing.
var tidyKinds = []struct{ kind, text, how string }{
	{"fields", "fields of runs", "emberbank run on the same file brings fields and pictures again, with the same bytes."},
	{"pictures", "pictures of runs", ""},
	{"days", "days that seasons keep", "A season computes them again, with the same bytes."},
	{"opened", "opened variants of studies", "emberbank run STUDY --variant N opens a variant again."},
	{"records", "variants that their study no longer asks for", "A study computes a variant again when it asks for it again."},
	{"inputs", "files kept for such variants", ""},
	{"parts", "unfinished parts of what was killed", ""},
	{"locks", "locks of processes that no longer run", ""},
}

// spare is something that may be freed: files or folders of one place on the disk.
type spare struct {
	Kind  string   `json:"kind"`
	Of    string   `json:"of"` // the results folder, or what itself is freed
	Files int      `json:"files"`
	Bytes int64    `json:"bytes"`
	paths []string // what is removed, folders with all that is in them
	lock  string   // target whose lock is held meanwhile; "": none
}

// spared is what looks like something to free and is left alone.
type spared struct {
	What  string `json:"what"`
	Bytes int64  `json:"bytes"`
	Why   string `json:"why"`
}

// tidying is a look over a folder.
type tidying struct {
	spares []spare
	left   []spared
}

func (k *tidyCommand) run(c *call) error {
	dir, err := filepath.Abs(k.Dir)
	if err != nil {
		return disk("looking for "+k.Dir, err)
	}
	if !isFolder(dir) {
		return &failure{code: ExitInput, message: "there is no folder " + k.Dir, hint: "name the folder of a bench, or of results"}
	}
	t := &tidying{}
	if err := t.visit(dir); err != nil {
		return err
	}
	rank := func(kind string) int {
		for i := range tidyKinds {
			if tidyKinds[i].kind == kind {
				return i
			}
		}
		return len(tidyKinds)
	}
	slices.SortStableFunc(t.spares, func(a, b spare) int { return rank(a.Kind) - rank(b.Kind) })
	var freeing error
	if k.Free {
		freeing = t.free()
	}
	if k.JSON {
		if freeing != nil {
			return freeing
		}
		c.printJSON(t.document(fromHere(dir), k.Free))
		return nil
	}
	t.tell(c, k.Dir, k.Free)
	return freeing
}

// visit looks at a folder and what is below it. Links are not followed.
func (t *tidying) visit(dir string) error {
	switch {
	case isStudyResults(dir):
		t.beside(dir)
		return t.study(dir)
	case isFile(filepath.Join(dir, shelf.ManifestName)):
		t.results(dir)
		return nil
	}
	t.beside(dir)
	entries, err := os.ReadDir(dir)
	if err != nil {
		return disk("reading "+fromHere(dir), err)
	}
	for _, e := range entries {
		if e.IsDir() && !strings.HasPrefix(e.Name(), ".") {
			if err := t.visit(filepath.Join(dir, e.Name())); err != nil {
				return err
			}
		}
	}
	return nil
}

func (t *tidying) add(kind, of, lock string, paths ...string) {
	s := spare{Kind: kind, Of: fromHere(of), lock: lock, paths: paths}
	for _, p := range paths {
		size, files := sizeOf(p)
		s.Bytes += size
		s.Files += files
	}
	if s.Files > 0 || kind == "parts" && len(paths) > 0 {
		t.spares = append(t.spares, s)
	}
}

func (t *tidying) leave(what, why string, paths ...string) {
	one := spared{What: what, Why: why}
	for _, p := range paths {
		size, _ := sizeOf(p)
		one.Bytes += size
	}
	t.left = append(t.left, one)
}

// beside looks at what runs leave beside their results when they are killed: .NAME.part, .NAME.before and .NAME.lock. Only
// what a lock proves to be of a process of this machine that no longer runs is offered.
func (t *tidying) beside(dir string) {
	locks, err := filepath.Glob(filepath.Join(escaped(dir), ".*.lock"))
	if err != nil {
		return
	}
	for _, lock := range locks {
		target := targetOf(lock)
		raw, err := os.ReadFile(lock)
		if err != nil || !isLock(raw) {
			continue
		}
		f := &folder{target: target}
		part, before := f.beside("part"), f.beside("before")
		if !diedHere(raw) {
			if isFolder(part) {
				t.leave(fromHere(part), "it may still be written: "+heldBy(lock, fromHere(target)).Error(), part)
			}
			continue
		}
		t.add("locks", lock, "", lock)
		if isFolder(part) {
			t.add("parts", part, target, part)
		}
		switch {
		case !isFolder(before):
		case isFolder(target):
			t.add("parts", before, target, before)
		default:
			t.leave(fromHere(before), "these are the former results of "+fromHere(target)+", which the next run puts back", before)
		}
	}
}

// escaped keeps Glob from reading a folder's name as a pattern.
func escaped(dir string) string {
	if onWindows {
		return dir
	}
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(dir)
}

// targetOf is the results folder that a lock file is for.
func targetOf(lock string) string {
	name := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(lock), "."), ".lock")
	return filepath.Join(filepath.Dir(lock), name)
}

// isLock tells whether a text is that of a lock.
func isLock(text []byte) bool {
	var pid int
	var host string
	n, _ := fmt.Sscanf(string(text), "process %d\nmachine %s\n", &pid, &host)
	return n == 2
}

// whoWrites says who holds the lock of a results folder, as an error; nil where nobody who runs does.
func whoWrites(target string) error {
	path := (&folder{target: target}).beside("lock")
	raw, err := os.ReadFile(path)
	if err != nil || diedHere(raw) {
		return nil
	}
	return heldBy(path, fromHere(target))
}

// results looks at a results folder: of a run, its fields and pictures can be computed again as long as its files are what
// they were.
func (t *tidying) results(dir string) {
	m := readManifest(dir)
	if m != nil {
		t.keptDays(dir, m)
	}
	run := readSummary(dir)
	if m == nil || run == nil || run.Kind != "summary" {
		return
	}
	fields, pictures := listedIn(dir, m, "fields/", ".vtr"), listedIn(dir, m, "pictures/", ".svg")
	both := append(slices.Clone(fields), pictures...)
	if len(both) == 0 {
		return
	}
	why := ""
	_, changed := benchOf(dir, m)
	switch {
	case run.Variant != nil:
		why = "it is a variant of a study, opened to this place"
	case m.Stopped:
		why = "the run was stopped: another would not stop at the same moment"
	case m.Version != Version:
		why = "they were computed by version " + m.Version + " of the program"
	case len(changed) > 0:
		why = "what they were computed from has changed since, or is not found above this folder: " + strings.Join(changed, ", ")
	default:
		if err := whoWrites(dir); err != nil {
			why = err.Error()
		}
	}
	if why != "" {
		t.leave("fields and pictures in "+fromHere(dir), why, both...)
		return
	}
	t.add("fields", dir, dir, fields...)
	t.add("pictures", dir, dir, pictures...)
}

// keptDays looks at what a season keeps of the full model: it is computed again where it is asked for.
func (t *tidying) keptDays(dir string, m *shelf.Manifest) {
	if days := listedIn(dir, m, keptFolder, keptEnding); len(days) > 0 {
		if err := whoWrites(dir); err != nil {
			t.leave("days kept in "+fromHere(dir), err.Error(), days...)
			return
		}
		t.add("days", dir, dir, days...)
	}
}

// listedIn are the files of a results folder that its manifest lists below a folder, as far as they are there.
func listedIn(dir string, m *shelf.Manifest, below, ending string) (paths []string) {
	for _, f := range m.Files {
		if strings.HasPrefix(f.Name, below) && strings.HasSuffix(f.Name, ending) && filepath.IsLocal(filepath.FromSlash(f.Name)) {
			if p := filepath.Join(dir, filepath.FromSlash(f.Name)); isFile(p) {
				paths = append(paths, p)
			}
		}
	}
	return paths
}

func readManifest(dir string) *shelf.Manifest { return shelf.Read(os.DirFS(dir), ".") }

// summaryHead is what is asked of a run's summary.
type summaryHead struct {
	Kind    string          `json:"kind"`
	Variant json.RawMessage `json:"variant"`
}

func readSummary(dir string) *summaryHead {
	s := &summaryHead{}
	raw, err := os.ReadFile(filepath.Join(dir, "summary.json"))
	if err != nil || json.Unmarshal(raw, s) != nil {
		return nil
	}
	return s
}

// benchOf finds the bench that results came from among the folders above them: that in which all files are what they were.
// Without one, changed names the files that are not, in the folder that comes nearest.
func benchOf(dir string, m *shelf.Manifest) (root string, changed []string) {
	inputs := m.Inputs
	for _, in := range inputs {
		changed = append(changed, in.Name)
	}
	if len(inputs) == 0 {
		return "", []string{"no file is named"}
	}
	for up, n := filepath.Dir(dir), 0; n < 2*benchLevels; up, n = filepath.Dir(up), n+1 {
		now := changedInputs(place{root: up}, inputs)
		if len(now) < len(changed) {
			root, changed = up, now
		}
		if len(now) == 0 {
			break
		}
	}
	return root, changed
}

// free removes what may be freed, each under the lock of its folder. What cannot be freed is told and left.
func (t *tidying) free() error {
	// Locks of the dead come first: they keep all others out.
	slices.SortStableFunc(t.spares, func(a, b spare) int { return boolRank(a.Kind != "locks") - boolRank(b.Kind != "locks") })
	var freed []spare
	var errs []error
	for _, s := range t.spares {
		if err := s.remove(); err != nil {
			errs = append(errs, err)
			continue
		}
		for _, p := range s.paths {
			if s.Kind != "parts" && s.Kind != "locks" {
				_ = os.Remove(filepath.Dir(p)) // the folder of fields, say; refused unless it is empty
			}
		}
		freed = append(freed, s)
	}
	t.spares = freed
	return errors.Join(errs...)
}

func boolRank(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (s *spare) remove() error {
	if s.lock != "" {
		l, err := takeLock((&folder{target: s.lock}).beside("lock"), fromHere(s.lock))
		if err != nil {
			return err
		}
		defer l.release()
	}
	for _, p := range s.paths {
		if s.Kind == "locks" {
			removeDeadLock(p)
			continue
		}
		if err := os.RemoveAll(p); err != nil {
			return disk("freeing "+fromHere(p), err)
		}
	}
	return nil
}
