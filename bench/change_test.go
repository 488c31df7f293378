package bench

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// realFiles are the YAML files of the demo, the examples and the abilities, by name.
func realFiles(t *testing.T) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	for _, root := range []string{"scenario", "../examples", "testdata/abilities"} {
		err := filepath.WalkDir(root, func(p string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() || filepath.Ext(p) != ".yaml" {
				return err
			}
			raw, err := os.ReadFile(p)
			all[strings.TrimPrefix(filepath.ToSlash(p), "../")] = raw
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(all) < 30 {
		t.Fatalf("only %d files are found", len(all))
	}
	return all
}

func fieldsOf(t *testing.T, name string, text []byte) *FileFields {
	t.Helper()
	got, problems := Fields(Laid(os.DirFS("testdata"), name, text), name)
	if got == nil {
		t.Fatal(problems)
	}
	return got
}

// states tells by path what a file states.
func states(f *FileFields) map[string]string {
	out := map[string]string{}
	for _, x := range f.Fields {
		if x.Given {
			out[x.Path] = x.Text
		}
	}
	return out
}

func comments(text []byte) (out []string) {
	for line := range strings.Lines(string(text)) {
		if i := strings.Index(line, "#"); i == 0 || i > 0 && line[i-1] == ' ' {
			out = append(out, strings.TrimSpace(line[i:]))
		}
	}
	slices.Sort(out)
	return out
}

func TestAFieldSetToItsOwnValueLeavesTheFileAsItIs(t *testing.T) {
	set := 0
	for name, text := range realFiles(t) {
		for i, f := range fieldsOf(t, name, text).Fields {
			if !f.Given || f.Text == "" || i%(1+len(text)/800) > 0 {
				continue
			}
			out, problems := Rewrite(name, text, Change{Path: f.Path, Text: f.Text})
			if problems != nil || !bytes.Equal(out, text) && !strings.ContainsAny(f.Text, "\n") && !blockText(text, f) {
				t.Errorf("%s: %s set to %q: %v\n%s", name, f.Path, f.Text, problems, out)
			}
			set++
		}
	}
	if set < 500 {
		t.Errorf("only %d fields were set", set)
	}
}

// blockText tells whether a text runs over several lines, which are then written as one.
func blockText(text []byte, f Field) bool {
	lines := strings.Split(string(text), "\n")
	rest := lines[f.Line-1][f.Column-1:]
	return strings.HasPrefix(rest, ">") || strings.HasPrefix(rest, "|") || !strings.Contains(rest, f.Text) && len(f.Text) > 60
}

func TestAChangedFieldChangesNothingElse(t *testing.T) {
	files := realFiles(t)
	names := make([]string, 0, len(files))
	for n := range files {
		names = append(names, n)
	}
	slices.Sort(names)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(names).Draw(t, "file")
		text := files[name]
		if rapid.Bool().Draw(t, "breaks of another system") {
			text = bytes.ReplaceAll(text, []byte("\n"), []byte("\r\n"))
		}
		was, problems := Fields(Laid(os.DirFS("testdata"), name, text), name)
		if was == nil {
			t.Fatal(problems)
		}
		f := rapid.SampledFrom(was.Fields).Draw(t, "field")
		value := rapid.SampledFrom([]string{"7 mm", "3.5 ± 0.1 W/(m2 K)", "a: b", "it's", `say "so"`, "# no comment", "yes", "null", "~", "-1", "12,5 degC", "[1, 2", "ü", "{", "&x", "a\nb", "- x", "%"}).Draw(t, "value")
		if f.Kind == "list" || f.Kind == "mapping" || f.Kind == "names" || f.Key == "schema" || f.Path == "kind" || f.Kind == "unknown" {
			return
		}
		out, problems := Rewrite(name, text, Change{Path: f.Path, Text: value})
		if problems != nil {
			if strings.HasPrefix(value, "[") || strings.HasPrefix(value, "{") {
				return // a list that is not closed, where a list may stand
			}
			t.Fatalf("%s: %s to %q: %v", name, f.Path, value, problems)
		}
		now, problems := Fields(Laid(os.DirFS("testdata"), name, out), name)
		if now == nil {
			t.Fatal(problems)
		}
		want := states(was)
		want[f.Path] = value
		got := states(now)
		for path, text := range want {
			if got[path] != text && !strings.HasPrefix(text, "{") && !strings.HasPrefix(text, "[") {
				t.Fatalf("%s: %s to %q: %s is %q, want %q", name, f.Path, value, path, got[path], text)
			}
		}
		if !slices.Equal(comments(text), comments(out)) && !strings.Contains(value, "#") {
			t.Fatalf("%s: %s to %q loses a comment:\n%s", name, f.Path, value, out)
		}
		if bytes.Count(text, []byte("\r\n")) > 0 && bytes.Count(out, []byte("\n")) != bytes.Count(out, []byte("\r\n")) {
			t.Fatalf("%s: %s: breaks of lines are mixed", name, f.Path)
		}
	})
}

func TestWhatIsAddedAndTakenOutAgainLeavesTheFileAsItWas(t *testing.T) {
	added := 0
	for name, text := range realFiles(t) {
		for i, f := range fieldsOf(t, name, text).Fields {
			if f.Given || f.Example == "" || i%9 > 0 {
				continue
			}
			out, problems := Rewrite(name, text, Change{Path: f.Path, Text: f.Example})
			if problems != nil {
				t.Errorf("%s: adding %s: %s: %v", name, f.Path, f.Example, problems)
				continue
			}
			back, problems := Rewrite(name, out, Change{Path: f.Path, Remove: true})
			if problems != nil || !bytes.Equal(back, text) {
				t.Errorf("%s: adding %s and taking it out: %v\n%s\n%s", name, f.Path, problems, out, back)
			}
			added++
		}
	}
	if added < 300 {
		t.Errorf("only %d fields were added", added)
	}
}

const changed = `schema: emberbank/1
kind: receiver
block: {depth: 80 mm, width: 120 mm, height: 120 mm, medium: aluminium} # cast
insulation:
  # two layers
  all:
    - {material: mineral-wool, thickness: 40 mm} # inner
    - material: mineral-wool
      thickness: 20 mm # outer
window:
passes:
  - {along: width, depth: 40 mm, height: [40 mm, 80 mm]} # a pair
fixtures: {material: stainless-304, depth: [0 mm, 1 mm], width: [0 mm, 1 mm], height: [-9 mm, 0 mm]}
`

func TestChangesStandWhereANeighbourWouldPutThem(t *testing.T) {
	for _, c := range []struct {
		change    Change
		old, want string // a stretch of the text, before and after
		refused   string
	}{
		{change: Change{Path: "block.depth", Text: "90 mm"}, old: "depth: 80 mm, width", want: "depth: 90 mm, width"},
		{change: Change{Path: "name", Text: "a: b"}, old: "kind: receiver\n", want: "kind: receiver\nname: 'a: b'\n"},
		{change: Change{Path: "block.initial", Text: "20 degC"}, old: "aluminium} # cast", want: "aluminium, initial: 20 degC} # cast"},
		{change: Change{Path: "insulation.all[2].initial", Text: "20 degC"}, old: "20 mm # outer\n", want: "20 mm # outer\n      initial: 20 degC\n"},
		{change: Change{Path: "insulation.all[+]", Text: "{material: glass, thickness: 1 mm}"}, old: "20 mm # outer\n", want: "20 mm # outer\n    - {material: glass, thickness: 1 mm}\n"},
		{change: Change{Path: "insulation.all[1]", Remove: true}, old: "    - {material: mineral-wool, thickness: 40 mm} # inner\n", want: ""},
		{change: Change{Path: "insulation.all[2].material", Remove: true}, old: "    - material: mineral-wool\n      thickness", want: "    - thickness"},
		{change: Change{Path: "insulation.front", Text: "[{material: x, thickness: 1 mm}]"}, old: "20 mm # outer\n", want: "20 mm # outer\n  front: [{material: x, thickness: 1 mm}]\n"},
		{change: Change{Path: "insulation.all", Remove: true}, refused: "take out what holds it: insulation"},
		{change: Change{Path: "insulation", Remove: true}, old: "insulation:\n  # two layers\n  all:\n    - {material: mineral-wool, thickness: 40 mm} # inner\n    - material: mineral-wool\n      thickness: 20 mm # outer\n", want: ""},
		{change: Change{Path: "insulation", Text: "{}"}, old: "insulation:\n  # two layers\n  all:\n    - {material: mineral-wool, thickness: 40 mm} # inner\n    - material: mineral-wool\n      thickness: 20 mm # outer\n", want: "insulation: {} # outer\n"},
		{change: Change{Path: "window", Text: "{width: 80 mm}"}, old: "window:\n", want: "window: {width: 80 mm}\n"},
		{change: Change{Path: "passes[1].height[2]", Remove: true}, old: "[40 mm, 80 mm]", want: "[40 mm]"},
		{change: Change{Path: "passes[1].height[1]", Remove: true}, old: "[40 mm, 80 mm]", want: "[80 mm]"},
		{change: Change{Path: "passes[1].height[+]", Text: "100 mm"}, old: "[40 mm, 80 mm]", want: "[40 mm, 80 mm, 100 mm]"},
		{change: Change{Path: "passes[1].depth[+]", Text: "60 mm"}, old: "depth: 40 mm, h", want: "depth: [40 mm, 60 mm], h"},
		{change: Change{Path: "circuits[+]", Text: "{name: a, passes: [1, 2]}"}, old: "# a pair\n", want: "# a pair\ncircuits: [{name: a, passes: [1, 2]}]\n"},
		{change: Change{Path: "fixtures[+]", Text: "{material: x}"}, old: "fixtures: {material: stainless-304, depth: [0 mm, 1 mm], width: [0 mm, 1 mm], height: [-9 mm, 0 mm]}", want: "fixtures: [{material: stainless-304, depth: [0 mm, 1 mm], width: [0 mm, 1 mm], height: [-9 mm, 0 mm]}, {material: x}]"},
		{change: Change{Path: "block.breadth", Text: "90 mm"}, refused: "there is no such place"},
		{change: Change{Path: "jacket", Remove: true}, refused: "nothing stands there"},
		{change: Change{Path: "jacket", Text: "{material: x"}, refused: "not closed"},
		{change: Change{Path: "block.depth", Text: "  "}, refused: "nothing is typed"},
	} {
		out, problems := Rewrite("receiver.yaml", []byte(changed), c.change)
		if c.refused != "" {
			if problems == nil || !strings.Contains(problems.Error(), c.refused) {
				t.Errorf("%+v: %v, want %q", c.change, problems, c.refused)
			}
			continue
		}
		if n := strings.Count(changed, c.old); n != 1 {
			t.Fatalf("%q stands %d times", c.old, n)
		}
		if want := strings.Replace(changed, c.old, c.want, 1); problems != nil || string(out) != want {
			t.Errorf("%+v: %v\n%s", c.change, problems, out)
		}
	}
}

func TestFieldsSayWhatIsAllowedAndWhatHoldsWithoutThem(t *testing.T) {
	all := fieldsOf(t, "receiver.yaml", []byte(changed))
	at := func(path string) Field {
		i := slices.IndexFunc(all.Fields, func(f Field) bool { return f.Path == path })
		if i < 0 {
			t.Fatalf("no field %s", path)
		}
		return all.Fields[i]
	}
	if f := at("block.depth"); f.Input != "receiver.block.depth" || f.Kind != "quantity" || f.Text != "80 mm" || f.Unit != "mm" || *f.Value != 0.08 ||
		f.Allowed != "1 mm to 10 m" || *f.Least != 0.001 || !f.Needed || f.Line != 3 || f.Column != 16 || f.Meaning != "From the window inwards." || f.Holder != "block" {
		t.Errorf("%+v", f)
	}
	if f := at("block"); f.Comment != "cast" || f.Kind != "mapping" {
		t.Errorf("%+v", f)
	}
	if f := at("insulation.all"); f.Above != "two layers" || f.Kind != "list" || f.Entry != "{material: microporous-board, thickness: 300 mm}" && !strings.HasPrefix(f.Entry, "{material: microporous-board, thickness:") {
		t.Errorf("%+v", f)
	}
	if f := at("block.initial"); f.Given || f.Absent != "the run's" || f.Quantity != "temperature" {
		t.Errorf("%+v", f)
	}
	if f := at("insulation.all[2].thickness"); f.Comment != "outer" {
		t.Errorf("%+v", f)
	}
}
