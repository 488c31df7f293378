package shelf

import (
	"encoding/json"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"emberbank/bench"
)

// Kept is one result of a bench, or a file that could have one.
type Kept struct {
	Kind    string   // run, match, plan, study, trial, light, season or compare
	File    string   // of the bench, with forward slashes; empty: it is of no one file, as a comparison
	Folder  string   // of the results, such as "results/charge-hold-drain"; empty: there is no result
	Main    string   // the file of Folder that holds its numbers, such as "summary.json"
	Title   string   // as the result says; empty where there is none
	Version string   // of the program that computed it
	Stopped bool     // it was stopped before its end
	Asked   bool     // the bench asks for it: every kind but runs that bench.yaml does not name
	Inputs  []Entry  // what it was computed from
	Changed []string // names of inputs that have changed since, or are gone; empty: it is fresh
	Args    []string // of the command that computes it, to be given in the bench's folder: verb, names and flags
	Renew   string   // the same as it is typed: "emberbank run charge-hold-drain.yaml"
	Files   []string // all that the folder lists, relative to it
}

// Name is how texts name a result: its folder less "results/", so "charge-hold-drain" and "trials/lamp-slow"; without a result
// that which it would have.
func (k *Kept) Name() string {
	folder := k.Folder
	if folder == "" {
		folder = bench.Results(k.File)
	}
	folder = strings.TrimSuffix(folder, "/"+outcome)
	if k.Stopped {
		folder = strings.TrimSuffix(folder, "-stopped")
	}
	return path.Join(path.Dir(path.Dir(folder)), path.Base(folder))
}

// Missing tells that there is no result although the bench asks for one.
func (k *Kept) Missing() bool { return k.Folder == "" && k.Asked }

// outcome is the folder below that of a study that holds what came out of it.
const outcome = "outcome"

// mains are the documents of results by their kind. A comparison has one of two.
var mains = []struct{ kind, name string }{
	{"run", "summary.json"},
	{"match", "match.json"},
	{"plan", "plan.json"},
	{"study", "study.json"},
	{"trial", "record.json"},
	{"light", "light.json"},
	{"season", "season.json"},
	{"compare", "beside.json"},
	{"compare", "compare.json"},
}

// mostDeep bounds how far below the bench files are looked for.
const mostDeep = 6

// Of lists the results of a bench and the files without, by kind in the order of the words of Kept.Kind, then by name. Nested
// benches, hidden folders and what results themselves hold are left out. The error is of a folder that cannot be read.
func Of(root fs.FS) ([]Kept, error) {
	l := &look{root: root, claimed: map[string]bool{}, sums: map[string]string{}}
	if b, problems := bench.LoadBench(root); !problems.Failed() {
		for _, r := range b.Runs {
			l.runs = append(l.runs, path.Clean(r))
		}
	}
	if err := fs.WalkDir(root, ".", l.visit); err != nil {
		return nil, err
	}
	for _, folder := range l.folders {
		l.strays(folder)
	}
	rank := func(k Kept) int {
		return slices.IndexFunc(mains, func(m struct{ kind, name string }) bool { return m.kind == k.Kind })
	}
	slices.SortStableFunc(l.kept, func(a, b Kept) int {
		if d := rank(a) - rank(b); d != 0 {
			return d
		}
		if d := l.place(a.File) - l.place(b.File); d != 0 { // runs in the order of bench.yaml
			return d
		}
		return strings.Compare(a.Name(), b.Name())
	})
	return l.kept, nil
}

// look is a look over a bench.
type look struct {
	root    fs.FS
	runs    []string // that bench.yaml names
	folders []string // named "results"
	claimed map[string]bool
	sums    map[string]string
	kept    []Kept
}

// place is where bench.yaml names a run; others come behind.
func (l *look) place(file string) int {
	if i := slices.Index(l.runs, file); i >= 0 {
		return i
	}
	return len(l.runs)
}

func (l *look) visit(name string, d fs.DirEntry, err error) error {
	switch {
	case err != nil && name == ".":
		return err
	case err != nil:
		return nil // a folder that one may not read holds nothing that could be shown
	case !d.IsDir():
		if e := path.Ext(name); e == ".yaml" || e == ".yml" {
			l.file(name)
		}
		return nil
	case name == ".":
		return nil
	case strings.HasPrefix(d.Name(), "."), strings.Count(name, "/") >= mostDeep:
		return fs.SkipDir
	case d.Name() == bench.ResultsFolder:
		l.folders = append(l.folders, name)
		return fs.SkipDir
	}
	if _, err := fs.Stat(l.root, path.Join(name, bench.BenchFile)); err == nil {
		return fs.SkipDir // another bench
	}
	return nil
}

// file takes a file of the bench in, if it is of a kind that has results.
func (l *look) file(name string) {
	kind, problems := bench.Kind(l.root, name)
	if problems.Failed() || !slices.ContainsFunc(mains, func(m struct{ kind, name string }) bool { return m.kind == kind }) {
		return
	}
	k := Kept{Kind: kind, File: name, Asked: kind != "run" || len(l.runs) == 0 || slices.Contains(l.runs, name)}
	at := bench.Results(name)
	for _, folder := range []string{path.Join(at, outcome), at, at + "-stopped"} {
		if (kind == "study") == (path.Base(folder) == outcome) && l.fill(&k, folder) {
			break
		}
	}
	l.claimed[at], l.claimed[at+"-stopped"] = true, true
	k.renewedBy(l.args(&k))
	l.kept = append(l.kept, k)
}

// fill takes over what a folder lists of results of a kind; false: it holds none.
func (l *look) fill(k *Kept, folder string) bool {
	m := Read(l.root, folder)
	if m == nil {
		return false
	}
	main, title := l.main(k.Kind, folder)
	if main == "" {
		return false
	}
	l.claimed[folder] = true
	k.Folder, k.Main, k.Title, k.Version, k.Stopped, k.Inputs = folder, main, title, m.Version, m.Stopped, m.Inputs
	for _, f := range m.Files {
		k.Files = append(k.Files, f.Name)
	}
	k.Changed = Changed(Inside(m.Inputs), l.sum)
	return true
}

// sum hashes each file once.
func (l *look) sum(name string) string {
	s, known := l.sums[name]
	if !known {
		s = SumOf(l.root, name)
		l.sums[name] = s
	}
	return s
}

// head is what is asked of a document of results.
type head struct {
	Kind        string          `json:"kind"`
	Title       string          `json:"title"`
	Name        string          `json:"name"`
	Accuracy    json.RawMessage `json:"accuracy"`
	Uncertainty json.RawMessage `json:"uncertainty"`
	Shared      bool            `json:"shared_sensors"`
}

func (l *look) head(name string) (h head, err error) {
	raw, err := readRegular(l.root, name)
	if err == nil {
		err = json.Unmarshal(raw, &h)
	}
	return h, err
}

// main finds the document of results of a kind.
func (l *look) main(kind, folder string) (name, title string) {
	for _, m := range mains {
		if m.kind != kind {
			continue
		}
		h, err := l.head(path.Join(folder, m.name))
		if err != nil || kind == "run" && h.Kind != "summary" {
			continue
		}
		return m.name, h.Title + h.Name
	}
	return "", ""
}

// strays takes in what a folder named "results" holds that is of no file: comparisons, and runs put there under another name.
func (l *look) strays(folder string) {
	entries, err := fs.ReadDir(l.root, folder)
	if err != nil {
		return
	}
	for _, e := range entries {
		at := path.Join(folder, e.Name())
		if !e.IsDir() || strings.HasPrefix(e.Name(), ".") || l.claimed[at] {
			continue
		}
		for _, m := range mains {
			k := Kept{Kind: m.kind, Asked: true}
			if !l.fill(&k, at) {
				continue
			}
			if k.Kind != "compare" && len(k.Inputs) > 0 {
				k.File = k.Inputs[0].Name
			}
			args := l.args(&k)
			if k.Kind != "compare" {
				args = append(args, "-o", argument(at))
			}
			k.renewedBy(args)
			l.kept = append(l.kept, k)
			break
		}
	}
}

// renewedBy takes over the command that computes the result.
func (k *Kept) renewedBy(args []string) {
	k.Args, k.Renew = args, "emberbank"
	for _, a := range args {
		k.Renew += " " + Word(a)
	}
}

// args are those of the command that computes the result again.
func (l *look) args(k *Kept) []string {
	switch k.Kind {
	case "compare":
		args := append([]string{"compare"}, l.sides(k)...)
		if h, err := l.head(path.Join(k.Folder, k.Main)); err == nil && h.Shared && len(args) > 1 {
			args = append(args, "--shared")
		}
		return args
	case "season":
		return []string{"run", argument(k.File)}
	case "run":
		return append([]string{"run", argument(k.File)}, l.flags(k)...)
	}
	return []string{k.Kind, argument(k.File)}
}

// flags are those with which a run was computed, as far as its results tell.
func (l *look) flags(k *Kept) (flags []string) {
	if k.Folder == "" {
		return nil
	}
	if h, err := l.head(path.Join(k.Folder, k.Main)); err == nil {
		if len(h.Accuracy) > 0 {
			flags = append(flags, "--accuracy")
		}
		if len(h.Uncertainty) > 0 {
			flags = append(flags, "--uncertainty")
		}
	}
	for _, in := range k.Inputs {
		if path.Base(in.Name) == "match.json" {
			flags = append(flags, "--match", argument(path.Dir(in.Name)))
		}
	}
	return flags
}

// sides are the arguments of a comparison: folders of runs, and files of trials; none where fewer than two can be told.
func (l *look) sides(k *Kept) (sides []string) {
	for _, in := range k.Inputs {
		switch path.Base(in.Name) {
		case "history.csv":
			sides = append(sides, argument(path.Dir(in.Name)))
		default:
			if e := path.Ext(in.Name); e != ".yaml" && e != ".yml" {
				continue
			}
			if kind, problems := bench.Kind(l.root, in.Name); !problems.Failed() && kind == "trial" {
				sides = append(sides, argument(in.Name))
			}
		}
	}
	if len(sides) < 2 {
		return nil
	}
	return sides
}

// argument is the name of a file or folder so that a command takes it for one: names may come with a bench from anywhere.
func argument(file string) string {
	if strings.HasPrefix(file, "-") { // else it would be a flag
		return "./" + file
	}
	return file
}

// Word sets an argument so that a shell takes it for one word. One with a line's end or another sign that steers a terminal is shown
// with that sign spelled, and is no word for a shell.
func Word(arg string) string {
	switch {
	case strings.ContainsFunc(arg, unicode.IsControl):
		return strconv.Quote(arg)
	case strings.ContainsAny(arg, "\"$`\\!"): // these mean something between double quotes, too
		return "'" + strings.ReplaceAll(arg, "'", `'\''`) + "'"
	case strings.ContainsAny(arg, " |&;<>()*?[]{}~#'"):
		return `"` + arg + `"`
	}
	return arg
}
