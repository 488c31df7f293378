// Package dossier composes the documents in which a bench is handed over: the report for whoever decides or goes on building, and
// others for a safety officer, for the rig and for a talk, each a paper.Document.
//
// Every number in them was read somewhere: in a document of results, or in the bench's files as they are now. A Number knows where
// (Origin), and a Span made of it carries that to the reader. Sentences that results state are taken over as they stand. Nothing is
// written, and no run is computed: what a paper works out of results and files, such as the steam that stored heat could make, stands in
// documents that are handed over beside it (Facts). What a paper says changes when its results do, and only then.
//
//	g, err := dossier.Gather(os.DirFS("bakery"), dossier.Options{Version: "0.1.0"})
//	report, err := dossier.Report(g)
//	err = paper.Set(w, report)
package dossier

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"emberbank/bench"
	"emberbank/paper"
	"emberbank/shelf"
)

// Options is what Gather cannot read from the bench.
type Options struct {
	Version  string // of the program
	Folder   string // of the bench in which the documents will stand; "": results/dossier
	Back     string // the way from there to the bench, such as "../.."; "": where Folder is given it is not known, and links lead nowhere
	Verified []byte // the rows of the outside checks as `verify --json` prints them; nil: they were not computed
}

// Gathered is a bench with its results, ready to be written about.
type Gathered struct {
	Root    fs.FS
	Version string
	Folder  string       // of the bench in which the documents will stand
	Back    string       // the way from there to the bench; "": not known
	Bench   *bench.Bench // nil: it has no bench.yaml, or one with mistakes
	Kept    []*Result    // all that have results, by kind in the order of shelf.Of
	Missing []shelf.Kept // what the bench asks for and has no results of

	plan     *bench.Dossier    // nil: there is no dossier.yaml
	facts    map[string]*tree  // documents made of the bench's files as they are now, by the name under which they are handed over
	texts    map[string][]byte // their bytes
	verified []byte
	program  string // that computed the outside checks
	loaded   map[string]*bench.Run
	unread   bench.Problems
	sums     *noted
}

// Gather finds the results of a bench. The error is of a folder that cannot be read.
func Gather(root fs.FS, opt Options) (*Gathered, error) {
	g := &Gathered{Version: opt.Version, Folder: opt.Folder, Back: opt.Back, texts: map[string][]byte{}, verified: opt.Verified, facts: map[string]*tree{}, loaded: map[string]*bench.Run{}, sums: note(root)}
	if g.Root = g.sums; g.Folder == "" {
		g.Folder, g.Back = path.Join(bench.ResultsFolder, "dossier"), "../.."
	}
	all, err := shelf.Of(root)
	if err != nil {
		return nil, fmt.Errorf("looking for results: %w", err)
	}
	if b, problems := bench.LoadBench(g.Root); !problems.Failed() {
		g.Bench = b
	}
	for i := range all {
		k := all[i]
		switch {
		case k.Folder != "":
			g.Kept = append(g.Kept, &Result{Kept: k, root: g.Root, trees: map[string]*tree{}})
		case k.Missing():
			g.Missing = append(g.Missing, k)
		}
	}
	if _, err := fs.Stat(g.Root, bench.DossierFile); err != nil {
		return g, nil
	}
	plan, problems := bench.LoadDossier(g.Root, bench.DossierFile)
	if problems.Failed() {
		return nil, problems
	}
	g.plan = plan
	return g, g.choose()
}

// choose keeps the results that dossier.yaml names, where it names some.
func (g *Gathered) choose() error {
	if len(g.plan.Results) == 0 {
		return nil
	}
	var problems bench.Problems
	chosen := map[*Result]bool{}
	names := []string{}
	for _, r := range g.Kept {
		names = append(names, r.Name())
	}
	for i := range g.plan.Results {
		words := &g.plan.Results[i]
		r := g.Find(words.Text)
		if r == nil {
			problems = append(problems, words.Problem(words.Text, 0, words.Path+" names a result that there is not", strings.Join(names, ", "), "name one of them, or compute it first"))
			continue
		}
		chosen[r] = true
	}
	g.Kept = slices.DeleteFunc(g.Kept, func(r *Result) bool { return !chosen[r] })
	g.Missing = nil
	if len(problems) > 0 {
		return problems
	}
	return nil
}

// Of are the results of a kind: run, match, plan, study, trial, light, season or compare.
func (g *Gathered) Of(kind string) (all []*Result) {
	for _, r := range g.Kept {
		if r.Kind == kind {
			all = append(all, r)
		}
	}
	return all
}

// Find returns the result of a name, as texts write it: its folder less "results/" ("charge-hold-drain", "trials/lamp-slow"), the
// file that it is of, or the last part of either where only one result has it; nil where none or several have.
func (g *Gathered) Find(name string) *Result {
	var last []*Result
	for _, r := range g.Kept {
		if r.Name() == name || r.File == name {
			return r
		}
		if path.Base(r.Name()) == name || path.Base(r.File) == name {
			last = append(last, r)
		}
	}
	if len(last) == 1 {
		return last[0]
	}
	return nil
}

// Run reads a run file of the bench as it is now, once; nil where it has mistakes.
func (g *Gathered) Run(file string) *bench.Run {
	run, known := g.loaded[file]
	if !known {
		var problems bench.Problems
		run, problems = bench.LoadRun(g.Root, file, bench.Options{})
		g.loaded[file] = run
		for _, p := range problems {
			if !p.Warning && !slices.Contains(g.unread, p) {
				g.unread = append(g.unread, p)
			}
		}
	}
	return run
}

// Unread are the mistakes for which runs could not be read, so that the documents lack what hangs on their files; each once, as far
// as documents asked for these runs.
func (g *Gathered) Unread() bench.Problems { return g.unread }

// First is the run that the bench is about: the first that bench.yaml names, else the first that has results; nil where none can be
// read.
func (g *Gathered) First() (file string, run *bench.Run) {
	var files []string
	if g.Bench != nil {
		files = append(files, g.Bench.Runs...)
	}
	for _, r := range g.Of("run") {
		files = append(files, r.File)
	}
	for _, file = range files {
		if run = g.Run(path.Clean(file)); run != nil {
			return path.Clean(file), run
		}
	}
	return "", nil
}

// Facts are documents made of the bench's files as they are now, which are handed over beside the papers that have numbers from them:
// their bytes by name.
func (g *Gathered) Facts() map[string][]byte {
	g.checked() // they are handed over whether the report speaks of them or not: so they are computed once
	return g.texts
}

// CheckedBy names the program that computed the outside checks.
func (g *Gathered) CheckedBy(program string) { g.program = program }

// Read are the files that were read so far with their hashes, by name: what a paper was made from.
func (g *Gathered) Read() []shelf.Entry { return g.sums.entries() }

// Result is one result of the bench with its documents.
type Result struct {
	shelf.Kept

	root  fs.FS
	trees map[string]*tree // by name of the file
}

// Stale tells whether an input has changed since.
func (r *Result) Stale() bool { return len(r.Changed) > 0 }

// tree is a document of the result's folder; one that cannot be read is empty.
func (r *Result) tree(name string) *tree {
	t, known := r.trees[name]
	if !known {
		t = readTree(r.root, path.Join(r.Folder, name))
		r.trees[name] = t
	}
	return t
}

// where splits a place in a result: "/ledger/stored_J" is in the main document, "balance.json /phases/0/why" in another one.
func (r *Result) where(place string) (t *tree, pointer string) {
	if file, pointer, other := strings.Cut(place, " /"); other && !strings.HasPrefix(place, "/") {
		return r.tree(file), "/" + pointer
	}
	return r.tree(r.Main), place
}

// Number reads a number by an RFC 6901 pointer into the result's main document, or, with the name of a file and a space before it,
// into another of its folder; false: there is none.
func (r *Result) Number(place string) (Number, bool) {
	t, pointer := r.where(place)
	n, ok := t.number(pointer)
	if ok && n.Half == 0 && t == r.tree(r.Main) {
		n.Half = r.band(pointer)
	}
	return n, ok
}

// Sentence reads a text as Number reads a number.
func (r *Result) Sentence(place string) (Sentence, bool) {
	t, pointer := r.where(place)
	return t.sentence(pointer)
}

// Count is how many members a list or an object has; 0 where there is none.
func (r *Result) Count(place string) int {
	t, pointer := r.where(place)
	return t.count(pointer)
}

// Keys are the keys of an object, in the order of the file.
func (r *Result) Keys(place string) []string {
	t, pointer := r.where(place)
	return t.keys(pointer)
}

// Is reads a yes or no; false where there is none.
func (r *Result) Is(place string) bool {
	t, pointer := r.where(place)
	v, _ := t.at(pointer)
	yes, _ := v.(bool)
	return yes
}

// Picture returns a picture of the folder by its name, such as "pictures/history.svg"; false where there is none that can be set.
func (r *Result) Picture(name string) ([]byte, bool) {
	raw, err := r.picture(name)
	return raw, err == nil
}

// picture says why there is none: fs.ErrNotExist where there is no such file, else why it cannot be set, as one too large.
func (r *Result) picture(name string) ([]byte, error) {
	file := path.Join(r.Folder, name)
	st, err := fs.Stat(r.root, file)
	if err != nil {
		return nil, err
	}
	if st.Size() > paper.MostBytes {
		return nil, fmt.Errorf("it has %d MB, and pictures of up to %d MB are set", st.Size()>>20, paper.MostBytes>>20)
	}
	raw, err := fs.ReadFile(r.root, file)
	if err == nil {
		_, err = paper.ReadPicture(raw)
	}
	return raw, err
}

// Pictures are the names of the folder's pictures that begin so, in their order, shorter names first: those that end with a time then come in the order of time.
func (r *Result) Pictures(begin string) (names []string) {
	for _, f := range r.Files {
		if strings.HasPrefix(f, begin) && strings.HasSuffix(f, ".svg") {
			names = append(names, f)
		}
	}
	slices.SortStableFunc(names, func(a, b string) int { return len(a) - len(b) })
	return names
}

// Origin is the place of a picture or of a table in the bench.
func (r *Result) Origin(name string) string { return path.Join(r.Folder, name) }
