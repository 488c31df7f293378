package bench

import (
	"io/fs"
	"slices"
	"sync"
)

// Loader reads one run many times, with other changes each time. Its files are read once: what is written to them
// meanwhile does not count, so that all variants of a study come from the same files. It may be used by several goroutines.
type Loader struct {
	fsys fs.FS
	name string
	kept *keeper
}

// NewLoader returns a loader of the run file of that name in fsys.
func NewLoader(fsys fs.FS, name string) *Loader {
	return &Loader{fsys: fsys, name: name, kept: newKeeper()}
}

// Load is LoadRun.
func (l *Loader) Load(opt Options) (*Run, Problems) {
	r := newReader(l.fsys, opt)
	r.keep = l.kept
	run := r.loadRun(l.name)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return run, nil
}

// keeper holds files that were read without a mistake. Their nodes and rows are never changed.
type keeper struct {
	mu     sync.Mutex
	files  map[string]keptFile
	tables map[string]keptTable
}

type keptFile struct {
	file *file
	in   Input
}

type keptTable struct {
	table *table
	in    Input
}

func newKeeper() *keeper {
	return &keeper{files: map[string]keptFile{}, tables: map[string]keptTable{}}
}

// fileOf returns a file that was read before; a nil keeper keeps nothing.
func (k *keeper) fileOf(name string) (f keptFile, known bool) {
	if k == nil {
		return f, false
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	f, known = k.files[name]
	return f, known
}

func (k *keeper) tableOf(name string) (t keptTable, known bool) {
	if k == nil {
		return t, false
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	t, known = k.tables[name]
	return t, known
}

// keepFile keeps a file of which the input is the last that was read.
func (r *reader) keepFile(f *file) {
	if i := r.inputOf(f.name); r.keep != nil && i >= 0 {
		r.keep.mu.Lock()
		defer r.keep.mu.Unlock()
		r.keep.files[f.name] = keptFile{f, r.inputs[i]}
	}
}

func (r *reader) keepTable(t *table) {
	if i := r.inputOf(t.name); r.keep != nil && i >= 0 {
		r.keep.mu.Lock()
		defer r.keep.mu.Unlock()
		r.keep.tables[t.name] = keptTable{t, r.inputs[i]}
	}
}

// took notes a file as read, once.
func (r *reader) took(in Input) {
	if r.inputOf(in.Name) < 0 {
		r.inputs = append(r.inputs, in)
	}
}

func (r *reader) inputOf(name string) int {
	return slices.IndexFunc(r.inputs, func(in Input) bool { return in.Name == name })
}
