// Package bench reads a project's files into checked plain values: a run file with its receiver and duty
// becomes a heat.Problem. Files are YAML with quantities written as text with their unit ("80 mm"); one table
// of fields (see form.go and the forms_*.go files) drives the reader, the JSON Schema for editors and the page
// docs/files.md, so that they cannot disagree.
//
// All mistakes of a file come at once as Problems, each with its place, the value as typed, what is allowed and
// the fix. The package reads through an fs.FS that it is given and touches nothing else; a path in a file is
// relative to that file and may not leave the fs.FS.
//
// Left out: YAML's anchors, aliases and several documents in a file (they are refused), and file kinds that
// later versions bring. What is checked here is whether the files can be understood and built; what happens to
// the receiver is computed in package heat.
//
// To add a key: one line in a forms_*.go file, a few where the value is built, a file in testdata/abilities that
// uses it and one in testdata/mistakes that misuses it, then "go test ./bench -update" and a look at the changes.
//
//	run, problems := bench.LoadRun(os.DirFS("bakery"), "charge-hold-drain.yaml", bench.Options{})
//	if problems.Failed() {
//		fmt.Print(problems)
//	}
//	result, err := heat.Run(ctx, run.Problem)
package bench

import (
	"io/fs"
	"math"
	"path"
	"strings"
	"time"

	"emberbank/heat"
	"emberbank/unit"
)

// Version is the schema that this program reads and writes.
const Version = "emberbank/1"

// Options changes what is read.
type Options struct {
	// Override gives uncertain inputs another value, in SI, by Uncertain.Path: this is how uncertainty is
	// carried through. A path that no input has is an error.
	Override map[string]float64
	// Factor multiplies the quantity at a path, and every quantity below it but times: "duty.light.power" all rows of a table
	// over time, and the column of a file that stands there. A path that no quantity has is an error.
	Factor map[string]float64
	// Instead is another text in place of the scalar that stands at a path: a word, a name, a whole number.
	Instead map[string]string
	// First keeps the first n of the passes ("receiver.passes"), as they are numbered.
	First map[string]int
	// Half is how well what is changed here is known: half-widths at 95 %, in SI, by the paths of Override, and by
	// FactorPath of those of Factor. They take the place of what the files state there; a number without one keeps its own.
	Half map[string]float64
	// Alike names what some paths of Override, and FactorPaths of Factor, move with: those that have one name are one input, which is
	// listed and overridden by that name, and whose half-width stands under it in Half. See Joins.
	Alike map[string]string
	// Under is what is changed first, such as by the parameters of a match: an override here takes the place of what Under
	// makes of the files' number, its factor included, and a factor here multiplies that. Of Under only Override, Factor,
	// Half, Alike and its own Under count.
	Under *Options
	// Excerpt says that the folder holds no more of the bench than a run needs: files that bench.yaml lists may be missing.
	Excerpt bool
}

// Run is a run file with everything that it refers to, checked and built.
type Run struct {
	Title     string // the receiver's name and the duty's, or the file's
	Problem   heat.Problem
	Uncertain []Uncertain // inputs written with ±, in the order of reading; then factors of Options whose Half is said
	// Spreads are the uncertainties of the media's properties as factors on a whole curve (Value is 1). They may
	// be overridden like Uncertain.
	Spreads  []Uncertain
	Inputs   []Input   // every file that was read, in that order
	Accuracy []string  // history columns on which accuracy is reported
	Sources  []string  // of the properties in use, each "medium: source"
	Warnings []string  // doubtful but usable: values from memory, events after the end
	Starts   time.Time // when the run begins, in the duty's zone; zero where it does not say
	// Temperatures are those of the bench's file.
	Temperatures [2]float64
	// Dimensions are the lengths that the receiver's file states, for its drawing.
	Dimensions []Dimension
}

// Uncertain is one input with an uncertainty.
type Uncertain struct {
	Path      string         // such as "receiver.passes[2].contact": the key in Options.Override
	Dimension unit.Dimension // of Value and Half
	Unit      string         // as typed
	Value     float64        // SI; the one that counts: what Options put there, or the file's
	Half      float64        // SI, half-width at 95 %

	shape  *shape   // what is allowed there; nil: not known
	moves  []string // paths that are moved together under the name that Path then is; nil: Path itself
	factor bool     // Value multiplies what stands there
}

// Limits are the least and the largest value that is allowed at the path, in SI; infinite where there is none.
func (u *Uncertain) Limits() (low, high float64) {
	switch {
	case u.shape != nil:
		return u.shape.limits(u.Value)
	case u.factor, strings.HasPrefix(u.Path, "medium["), strings.HasPrefix(u.Path, factorBegins):
		return 1e-3, math.Inf(1)
	}
	return math.Inf(-1), math.Inf(1)
}

// Input is one file that was read.
type Input struct {
	Name   string // path in the fs.FS
	SHA256 string // of its bytes, in hexadecimal
}

// Bench is a bench file: what the folder holds and in which order.
type Bench struct {
	Name      string
	Question  string
	Runs      []string // run files; the first is the one to compute when nothing else is said
	Materials []string // files of kind material that every file of the bench may use
	Files     []string // all files in the order in which to read them
	// Temperatures, in K, are those between which the colours of the bench's pictures run; zero: not said.
	Temperatures [2]float64
	// What archives ask for; empty where the file does not say it.
	Licence string // an SPDX identifier or an address
	Date    string // as 2026-11-28
	Authors []Author
}

// Author is a person, if there is a given name, or an organisation.
type Author struct {
	Name        string // of a person the family name
	Given       string
	ORCID       string // as 0000-0002-1825-0097
	Affiliation string
}

// BenchFile is the name of the file that describes a bench.
const BenchFile = "bench.yaml"

// LoadRun reads a run file, its receiver, its duty and the materials and tables that they name. Problems hold
// mistakes only; warnings stand in Run.Warnings. After a mistake Run is nil.
func LoadRun(fsys fs.FS, name string, opt Options) (*Run, Problems) {
	r := newReader(fsys, opt)
	run := r.loadRun(name)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return run, nil
}

// LoadBench reads bench.yaml at the root of fsys.
func LoadBench(fsys fs.FS) (*Bench, Problems) {
	r := newReader(fsys, Options{})
	b := r.loadBench(BenchFile)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return b, nil
}

// Check reads a file of any kind with all that it refers to and returns its mistakes and warnings. A bench is
// checked with all its runs and materials.
func Check(fsys fs.FS, name string) Problems {
	r := newReader(fsys, Options{})
	f := r.open(name)
	if f == nil {
		return r.sorted()
	}
	switch f.kind {
	case "run":
		r.loadRun(name)
	case "receiver":
		r.loadBenchMaterials()
		if v := r.readFile(f, receiverForm.laid(), "receiver."); v != nil {
			r.buildReceiver(v)
		}
	case "duty":
		if v := r.readFile(f, dutyForm.laid(), "duty."); v != nil {
			r.buildDuty(v, nil, nil)
		}
	case "material":
		r.loadMaterialFile(name)
	case "match":
		r.loadMatch(name)
	case "plan":
		r.loadPlan(name)
	case "study":
		r.loadStudy(name, nil)
	case "season":
		r.loadSeason(name)
	case "dossier":
		r.loadDossier(name)
	case "trial":
		r.loadTrial(name)
	case "light":
		r.loadLight(name)
	case "bench":
		b := r.loadBench(name)
		if b == nil {
			break
		}
		for _, m := range b.Materials {
			r.loadMaterialFile(path.Join(path.Dir(name), m))
		}
		for _, run := range b.Runs {
			r.loadRun(path.Join(path.Dir(name), run))
		}
	}
	return r.sorted()
}

// Kind returns the kind that a file says it is, such as "run", without checking the rest of it.
func Kind(fsys fs.FS, name string) (string, Problems) {
	r := newReader(fsys, Options{})
	f := r.open(name)
	if f == nil {
		return "", r.sorted()
	}
	return f.kind, nil
}
