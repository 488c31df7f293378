package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"sync"

	"emberbank/shelf"
)

// disks is what a results folder needs of the disk; tests put one in its place that fills up.
type disks struct {
	create func(name string) (io.WriteCloser, error)
}

func realDisk() disks {
	return disks{create: func(name string) (io.WriteCloser, error) {
		return os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	}}
}

// folder is a results folder in the making. Files go to a temporary folder beside the place where they shall
// stand; place moves the whole into place in one rename, close removes it. A folder that stands there already
// is touched only by place.
//
//	results/hold            the results
//	results/.hold.part      a run that is being written
//	results/.hold.before    the former results, for the moment between two renames
//	results/.hold.lock      one run at a time: see lock.go
type folder struct {
	target string // where the results shall stand
	disk   disks
	files  []shelf.Entry
	lock   *lock
	made   []string // folders around the target that were made for it, innermost first

	// Files are written side by side, and each is forced to the disk behind the back of who wrote it.
	mu      sync.Mutex // of files and unkept
	storing sync.WaitGroup
	room    chan struct{}    // one place for each file that is being forced to the disk
	unkept  map[string]error // by name of the file
}

// storedAtOnce is how many files are forced to the disk at a time: the disk does them together, and few systems
// refuse so many open files.
const storedAtOnce = 16

// openToPlace opens a results folder at target, as the user sees it, if results may stand there: that is looked at before
// the computing, so that an hour's work is not refused its place.
func openToPlace(target string, d disks) (*folder, error) {
	f, err := openFolder(fromHere(target), d)
	if err != nil {
		return nil, err
	}
	if _, err := f.standing(); err != nil {
		f.close()
		return nil, err
	}
	return f, nil
}

// openFolder takes the lock of a results folder and clears what a killed run has left.
func openFolder(target string, d disks) (*folder, error) {
	target = filepath.Clean(target)
	f := &folder{target: target, disk: d, room: make(chan struct{}, storedAtOnce), unkept: map[string]error{}}
	for dir := filepath.Dir(target); ; dir = filepath.Dir(dir) {
		if _, err := os.Stat(dir); !errors.Is(err, fs.ErrNotExist) {
			break
		}
		f.made = append(f.made, dir)
	}
	if err := os.MkdirAll(filepath.Dir(target), 0o777); err != nil {
		f.close()
		return nil, disk("making the folder "+filepath.Dir(target), err)
	}
	var err error
	if f.lock, err = takeLock(f.beside("lock"), target); err == nil {
		err = f.recover()
	}
	if err != nil {
		f.close()
		return nil, err
	}
	return f, nil
}

func (f *folder) beside(what string) string {
	return filepath.Join(filepath.Dir(f.target), "."+filepath.Base(f.target)+"."+what)
}

func (f *folder) recover() error {
	part, before := f.beside("part"), f.beside("before")
	if err := os.RemoveAll(part); err != nil {
		return disk("clearing "+part, err)
	}
	if _, err := os.Lstat(f.target); errors.Is(err, fs.ErrNotExist) {
		if err := os.Rename(before, f.target); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return disk("putting back "+before, err)
		}
	}
	if err := os.RemoveAll(before); err != nil {
		return disk("clearing "+before, err)
	}
	return nil
}

// standing tells what is at the target: nothing (or an empty folder), results that may be replaced, or an error
// that says why they may not: a file in the way, or files that no run has written.
func (f *folder) standing() (m *shelf.Manifest, err error) {
	st, err := os.Stat(f.target)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, disk("looking at "+f.target, err)
	}
	if !st.IsDir() {
		return nil, &failure{
			code: ExitDisk, message: f.target + " is a file: results need a folder",
			hint: "choose another folder with -o",
		}
	}
	var found []string
	err = filepath.WalkDir(f.target, func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			rel, _ := filepath.Rel(f.target, path)
			found = append(found, filepath.ToSlash(rel))
		}
		return err
	})
	if err != nil {
		return nil, disk("looking at "+f.target, err)
	}
	if len(found) == 0 {
		return nil, nil
	}
	known := map[string]bool{shelf.ManifestName: true}
	raw, err := os.ReadFile(filepath.Join(f.target, shelf.ManifestName))
	if err == nil {
		m = &shelf.Manifest{}
		if json.Unmarshal(raw, m) != nil {
			m = nil
		}
	}
	if m != nil {
		for _, k := range m.Files {
			known[k.Name] = true
		}
	}
	for _, name := range found {
		if !known[name] {
			return nil, &failure{
				code:    ExitDisk,
				message: fmt.Sprintf("%s holds %s, which no run has written: it would be lost", f.target, name),
				hint:    "move it elsewhere, or choose another folder with -o",
			}
		}
	}
	return m, nil
}

// create opens a new file of the results; name has forward slashes. With varies it holds times or memory, which
// differ from one computation to the next.
func (f *folder) create(name string, varies bool) (io.WriteCloser, error) {
	path := filepath.Join(f.beside("part"), filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return nil, err
	}
	w, err := f.disk.create(path)
	if err != nil {
		return nil, err
	}
	return &resultFile{folder: f, name: name, w: w, sum: sha256.New(), varies: varies}, nil
}

// write makes a whole file of the results by a function that prints it, and waits until it is stored.
func (f *folder) write(name string, varies bool, print func(io.Writer) error) error {
	w, err := f.create(name, varies)
	if err != nil {
		return disk("writing "+f.shown(name), err)
	}
	// Exactly one of the two errors counts: the one of writing comes first.
	err = print(w)
	if closed := w.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return disk("writing "+f.shown(name), err)
	}
	return f.stored()
}

// stored waits until every file that was closed is on the disk, and returns the first error in the order of names.
func (f *folder) stored() error {
	f.storing.Wait()
	for _, name := range slices.Sorted(maps.Keys(f.unkept)) {
		return disk("writing "+f.shown(name), f.unkept[name])
	}
	return nil
}

func (f *folder) shown(name string) string { return filepath.Join(f.target, filepath.FromSlash(name)) }

// resultFile keeps the hash of what goes through it.
type resultFile struct {
	folder *folder
	name   string
	w      io.WriteCloser
	sum    hash.Hash
	varies bool
}

func (r *resultFile) Write(p []byte) (int, error) {
	n, err := r.w.Write(p)
	r.sum.Write(p[:n])
	return n, err
}

// Close lists the file and has it forced to the disk; stored tells whether that went well.
func (r *resultFile) Close() error {
	f := r.folder
	m := shelf.Entry{Name: r.name}
	if !r.varies {
		m.SHA256 = hex.EncodeToString(r.sum.Sum(nil))
	}
	f.mu.Lock()
	f.files = append(f.files, m)
	f.mu.Unlock()
	f.room <- struct{}{}
	f.storing.Go(func() {
		err := stored(r.w)
		if closed := r.w.Close(); err == nil {
			err = closed
		}
		if err != nil {
			f.mu.Lock()
			f.unkept[r.name] = err
			f.mu.Unlock()
		}
		<-f.room
	})
	return nil
}

// place writes the manifest and moves the folder to its place: the target or, for a stopped run beside whole
// results, the target's name with "-stopped". It returns where the results now stand.
func (f *folder) place(inputs []shelf.Entry, stopped bool) (string, error) {
	sort.Slice(f.files, func(i, j int) bool { return f.files[i].Name < f.files[j].Name })
	m := shelf.Manifest{Schema: shelf.ManifestSchema, Version: Version, Stopped: stopped, Inputs: inputs, Files: f.files}
	if err := f.write(shelf.ManifestName, false, m.Write); err != nil { // which waits for the others too
		return "", err
	}
	target := f.target
	if stopped {
		if old, err := f.standing(); err != nil || old != nil && !old.Stopped {
			target += "-stopped"
		}
	}
	at := &folder{target: target}
	if _, err := at.standing(); err != nil {
		return "", err
	}
	before := at.beside("before")
	err := os.Rename(target, before)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", disk("moving the former results aside, to "+before, err)
	}
	hadBefore := err == nil
	if err := os.Rename(f.beside("part"), target); err != nil {
		if hadBefore {
			_ = os.Rename(before, target)
		}
		return "", disk("moving the results to "+target, err)
	}
	if hadBefore {
		if err := removeAll(before); err != nil {
			return target, disk("removing the former results, "+before, err)
		}
	}
	return target, nil
}

// removeAll removes a folder with its files side by side: a disk may take its time over each.
func removeAll(dir string) error {
	var removing sync.WaitGroup
	room := make(chan struct{}, storedAtOnce)
	_ = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			room <- struct{}{}
			removing.Go(func() {
				_ = os.Remove(path) // what stays is told below
				<-room
			})
		}
		return nil
	})
	removing.Wait()
	return os.RemoveAll(dir)
}

// close removes what is left of the making and frees the folder for the next run.
func (f *folder) close() {
	f.storing.Wait()
	if f.lock != nil {
		_ = os.RemoveAll(f.beside("part"))
		f.lock.release()
	}
	for _, dir := range f.made {
		_ = os.Remove(dir) // refused unless it is empty
	}
}
