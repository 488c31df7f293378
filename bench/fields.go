package bench

import (
	"io/fs"
	"math"
	"path"
	"slices"
	"strings"

	"emberbank/unit"
	yaml "go.yaml.in/yaml/v4"
)

// FileFields is what a file states, and what it could state besides, place by place.
type FileFields struct {
	Name   string  `json:"name"`
	Kind   string  `json:"kind"`
	Root   string  `json:"root,omitempty" doc:"stands before a path where a run's inputs are named, such as receiver."`
	Fields []Field `json:"fields" doc:"in the file's order; what a mapping could hold besides follows what it holds"`
}

// Field is one place of a file, with what is known of it.
type Field struct {
	Path     string   `json:"path" doc:"as messages name it, such as passes[2].depth; entries count from 1"`
	Input    string   `json:"input" doc:"the same as a run's inputs are named, such as receiver.passes[2].depth"`
	Holder   string   `json:"holder,omitempty" doc:"path of the list or mapping that it stands in; empty: the file itself"`
	Key      string   `json:"key" doc:"the last step of the path"`
	Kind     string   `json:"kind" enum:"text,word,flag,count,quantity,list,mapping,names,unknown" doc:"what stands there, or would; unknown: no such key is known"`
	Given    bool     `json:"given" doc:"whether the file states it"`
	Text     string   `json:"text,omitempty" doc:"as typed; of a list or mapping, where it stands on one line"`
	Meaning  string   `json:"meaning,omitempty"`
	Allowed  string   `json:"allowed,omitempty" doc:"in the words of check"`
	Words    []string `json:"words,omitempty" doc:"that may stand there"`
	Example  string   `json:"example,omitempty" doc:"a text that is taken"`
	Entry    string   `json:"entry,omitempty" doc:"of a list: an entry that is taken"`
	Quantity string   `json:"quantity,omitempty" doc:"kind of quantity, such as length"`
	Unit     string   `json:"unit,omitempty" doc:"as typed"`
	Units    []string `json:"units,omitempty" doc:"some that are taken"`
	Value    *float64 `json:"value,omitempty" doc:"in the SI unit"`
	Half     *float64 `json:"half,omitempty" doc:"what stands behind ±, in the SI unit: half-width at 95 %"`
	Least    *float64 `json:"least,omitempty" doc:"in the SI unit"`
	Most     *float64 `json:"most,omitempty" doc:"in the SI unit"`
	Needed   bool     `json:"needed,omitempty"`
	Absent   string   `json:"absent,omitempty" doc:"what holds where it is not stated"`
	Comment  string   `json:"comment,omitempty" doc:"on its line"`
	Above    string   `json:"above,omitempty" doc:"comment above it"`
	Line     int      `json:"line" doc:"of what stands there, or of what it could stand in"`
	Column   int      `json:"column"`
}

// Fields lists the places of a file. A file with mistakes has them too, unless it cannot be read as YAML of a known kind.
func Fields(fsys fs.FS, name string) (*FileFields, Problems) {
	r := newReader(fsys, Options{})
	f := r.open(name)
	if f == nil {
		return nil, r.sorted()
	}
	data, ok := r.bytesOf(name, mostYAML, nil)
	if !ok {
		return nil, r.sorted()
	}
	return r.fields(f, data), nil
}

// Parts are the names of the files that hold a run's receiver and its duty, where they are not in place.
func (f *FileFields) Parts() []string {
	var out []string
	for _, one := range f.Fields {
		if f.Kind == "run" && one.Kind == "text" && one.Given && (one.Path == "receiver" || one.Path == "duty") {
			out = append(out, path.Join(path.Dir(f.Name), strings.ReplaceAll(one.Text, "\\", "/")))
		}
	}
	return out
}

func (r *reader) fields(f *file, data []byte) *FileFields {
	out := &FileFields{Name: f.name, Kind: f.kind, Root: rootOf(f)}
	l := inLines(data)
	r.spotsOf(f).each(func(s *spot) {
		out.Fields = append(out.Fields, s.field(out.Root, &l))
	})
	return out
}

// rootOf is what stands before a path in the names of a run's inputs.
func rootOf(f *file) string {
	switch f.kind {
	case "receiver", "duty":
		return f.kind + "."
	case "material":
		return f.name + ":"
	}
	return ""
}

// field tells what is known of a spot.
func (s *spot) field(root string, l *lined) Field {
	f := Field{Path: s.path, Input: root + s.path, Holder: s.holder.path, Key: s.step, Given: s.node != nil, Kind: "unknown"}
	if at := s.place(); at != nil {
		f.Line, f.Column = at.Line, at.Column
	}
	f.Comment, f.Above = s.comments()
	f.Text = s.typed(l)
	if s.typ == nil {
		return f
	}
	seems := s.read
	if s.node == nil || seems.kind == isEither {
		seems = s.typ.seems()
	}
	f.Kind, f.Allowed, f.Example = kindNames[seems.kind], s.typ.allowed(), s.typ.start()
	f.Words = s.typ.choices()
	if seems.kind == isList {
		f.Entry = seems.item.start()
	}
	if fd := s.fd; fd != nil {
		f.Meaning, f.Absent, f.Needed = sentence(fd.doc), fd.def, fd.required
	}
	f.number(seems)
	return f
}

var kindNames = map[kindOf]string{
	isText: "text", isWord: "word", isFlag: "flag", isCount: "count", isQuantity: "quantity",
	isList: "list", isTuple: "list", isMapping: "mapping", isNamed: "names",
}

// number fills in what is known of a quantity or of a whole number.
func (f *Field) number(s *shape) {
	if s.kind != isQuantity && s.kind != isCount {
		return
	}
	finite := func(x float64) *float64 {
		if math.IsInf(x, 0) || math.IsNaN(x) {
			return nil
		}
		return &x
	}
	f.Least, f.Most = finite(s.min), finite(s.max)
	if s.kind == isCount {
		return
	}
	f.Quantity, f.Units = s.dim.String(), unit.Units(s.dim)
	if q, err := unit.Parse(f.Text, s.dim); err == nil && f.Given {
		f.Unit, f.Value = q.Unit, finite(q.Value)
		if q.Half > 0 {
			f.Half = finite(q.Half)
		}
	}
}

// choices are the words that may stand there.
func (s *shape) choices() []string {
	switch s.kind {
	case isWord:
		return s.words
	case isFlag:
		return []string{"yes", "no"}
	case isEither:
		return s.words2()
	}
	return nil
}

// place is the node at which messages point.
func (s *spot) place() *yaml.Node {
	for ; s != nil; s = s.holder {
		if s.node != nil {
			return s.node
		}
	}
	return nil
}

// comments returns the comment on a spot's line and that above it, without their marks.
func (s *spot) comments() (beside, above string) {
	if s.node == nil {
		return "", ""
	}
	beside, above = s.node.LineComment, s.node.HeadComment
	if s.key != nil {
		if beside == "" {
			beside = s.key.LineComment
		}
		if above == "" {
			above = s.key.HeadComment
		}
	}
	return uncommented(beside), uncommented(above)
}

func uncommented(s string) string {
	lines := strings.Split(s, "\n")
	for i, l := range lines {
		lines[i] = strings.TrimSpace(strings.TrimLeft(strings.TrimSpace(l), "#"))
	}
	return strings.TrimSpace(strings.Join(lines, "\n"))
}

// mostTyped bounds the text of a list or mapping that is told as one.
const mostTyped = 2000

// typed is what a spot says: a scalar's text, and of a list or mapping what stands between its brackets on one line.
func (s *spot) typed(l *lined) string {
	if s.node == nil {
		return ""
	}
	if s.node.Kind == yaml.ScalarNode {
		return s.node.Value
	}
	from, ok := l.offset(s.node)
	if !ok || s.node.Style&yaml.FlowStyle == 0 {
		return ""
	}
	to, ok := l.end(s.node)
	if !ok || to-from > mostTyped || slices.Contains(l.text[from:to], '\n') {
		return ""
	}
	return string(l.text[from:to])
}
