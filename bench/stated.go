package bench

import (
	"io/fs"
	"math"
	"sort"

	"emberbank/unit"
)

// Statement is one value that the files of a run state: a number, a word, a name.
type Statement struct {
	Path  string  // as in Options
	Text  string  // as typed
	Value float64 // SI; NaN: it is no number
	kind  unit.Dimension
}

// Statements lists all values that the files of a run state, by path. Problems hold mistakes only.
func Statements(fsys fs.FS, name string, opt Options) ([]Statement, Problems) {
	r := newReader(fsys, Options{Excerpt: opt.Excerpt})
	r.numbers, r.scalars = map[string]Uncertain{}, map[string]scalar{}
	r.loadRun(name)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	var all []Statement
	for path, s := range r.scalars {
		one := Statement{Path: path, Text: s.text, Value: math.NaN()}
		if n, is := r.numbers[path]; is {
			one.Value, one.kind = n.Value, n.Dimension
		}
		all = append(all, one)
	}
	sort.Slice(all, func(i, j int) bool { return all[i].Path < all[j].Path })
	return all, nil
}

// Same tells whether two statements say the same: "80 mm" and "8 cm" do.
func (s *Statement) Same(o *Statement) bool {
	if s.Text == o.Text {
		return true
	}
	return s.kind == o.kind && math.Abs(s.Value-o.Value) <= 1e-12*math.Max(math.Abs(s.Value), math.Abs(o.Value))
}

// Difference is a path at which two runs state something else; "": that one states nothing there.
type Difference struct{ Path, A, B string }

// Differences compares what two runs state, path by path, and counts what they state alike.
func Differences(a, b []Statement) (differ []Difference, alike int) {
	for len(a) > 0 || len(b) > 0 {
		switch {
		case len(b) == 0 || len(a) > 0 && a[0].Path < b[0].Path:
			differ = append(differ, Difference{a[0].Path, a[0].Text, ""})
			a = a[1:]
		case len(a) == 0 || b[0].Path < a[0].Path:
			differ = append(differ, Difference{b[0].Path, "", b[0].Text})
			b = b[1:]
		default:
			if a[0].Same(&b[0]) {
				alike++
			} else {
				differ = append(differ, Difference{a[0].Path, a[0].Text, b[0].Text})
			}
			a, b = a[1:], b[1:]
		}
	}
	return differ, alike
}
