package bench

import (
	"math"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/internal/testkit"
	"emberbank/unit"
)

// TestPageOfFilesShowsTheTable keeps docs/files.md to the table of fields; -update writes it.
func TestPageOfFilesShowsTheTable(t *testing.T) {
	const page = "../docs/files.md"
	want := []byte(Docs())
	if testkit.Updating() {
		if err := os.WriteFile(page, want, 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	have, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	if diff := testkit.Diff(have, want); diff != "" {
		t.Errorf("docs/files.md does not show the table of fields (make golden rewrites it):\n%s", diff)
	}
}

func TestExampleOnThePageReads(t *testing.T) {
	run, ps := LoadRun(fstest.MapFS{"run.yaml": {Data: []byte(filesExample)}}, "run.yaml", Options{})
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	same(t, "runs of its circuit", len(run.Problem.Receiver.Circuits[0].Runs), 7)
}

// everyField walks the table.
func everyField(visit func(path string, f *field)) {
	var walkShape func(path string, s *shape)
	walkForm := func(path string, f *form) {
		for i := range f.fields {
			fd := &f.fields[i]
			visit(path+"."+fd.key, fd)
			walkShape(path+"."+fd.key, fd.typ)
		}
	}
	walkShape = func(path string, s *shape) {
		switch s.kind {
		case isMapping:
			if n := s.mapped().name; n != s.noun {
				panic(path + " calls itself " + s.noun + ", its form " + n)
			}
			walkForm(path, s.mapped())
		case isList, isNamed:
			walkShape(path, s.item)
		case isTuple, isEither:
			for _, o := range append(append([]*shape(nil), s.items...), s.options...) {
				walkShape(path, o)
			}
		}
	}
	for _, f := range fileForms {
		walkForm(f.kind, f.laid())
	}
}

func TestEveryKeyIsDocumentedAndEveryExampleIsAllowed(t *testing.T) {
	page := Docs()
	n := 0
	everyField(func(path string, f *field) {
		n++
		if f.doc == "" {
			t.Errorf("%s has no sentence", path)
		}
		if !strings.Contains(page, "| `"+f.key+"` |") {
			t.Errorf("%s is not on the page", path)
		}
		var check func(s *shape)
		check = func(s *shape) {
			switch s.kind {
			case isQuantity:
				q, err := unit.Parse(s.example, s.dim)
				if err != nil {
					t.Errorf("%s: the example %q does not read: %v", path, s.example, err)
				} else if q.Value < s.min || q.Value > s.max || s.open && q.Value <= s.min {
					t.Errorf("%s: the example %q is not within %s", path, s.example, s.span())
				}
				if math.IsNaN(s.min) || s.min > s.max {
					t.Errorf("%s: the range %s is empty", path, s.span())
				}
			case isEither, isTuple:
				for _, o := range append(append([]*shape(nil), s.items...), s.options...) {
					check(o)
				}
			case isList, isNamed:
				check(s.item)
			case isWord:
				if len(s.words) == 0 {
					t.Errorf("%s has no words", path)
				}
			}
		}
		check(f.typ)
	})
	if n < 300 {
		t.Errorf("only %d keys were walked", n)
	}
}
