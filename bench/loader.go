package bench

import (
	"io/fs"
	"slices"
	"sync"
)

// Loader reads one run many times, with other changes each time. Its files are read once: what is written to them
// meanwhile does not count, so that all variants of a study come from the same files. It may be used by several goroutines.
type Loader struct {
	fsys   fs.FS
	name   string
	files  *shelf[*file]
	tables *shelf[*table]
}

// NewLoader returns a loader of the run file of that name in fsys.
func NewLoader(fsys fs.FS, name string) *Loader {
	return &Loader{fsys: fsys, name: name, files: newShelf[*file](), tables: newShelf[*table]()}
}

// Load is LoadRun.
func (l *Loader) Load(opt Options) (*Run, Problems) {
	r := newReader(l.fsys, opt)
	r.keptFiles, r.keptTables = l.files, l.tables
	run := r.loadRun(l.name)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return run, nil
}

// shelf holds what was read without a mistake, by the names of the files. It is never changed. A nil shelf holds nothing.
type shelf[T any] struct {
	mu   sync.Mutex
	held map[string]held[T]
}

type held[T any] struct {
	what T
	in   Input
}

func newShelf[T any]() *shelf[T] { return &shelf[T]{held: map[string]held[T]{}} }

// take returns what was read before from a file, which r notes as read.
func (s *shelf[T]) take(r *reader, name string) (what T, known bool) {
	if s == nil {
		return what, false
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	h, known := s.held[name]
	if known {
		r.took(h.in)
	}
	return h.what, known
}

// put keeps what r read from a file.
func (s *shelf[T]) put(r *reader, name string, what T) {
	if i := r.inputOf(name); s != nil && i >= 0 {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.held[name] = held[T]{what, r.inputs[i]}
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
