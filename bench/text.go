package bench

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"regexp"
	"strings"
	"sync"
	"unicode/utf8"

	"emberbank/glass"

	yaml "go.yaml.in/yaml/v4"
)

// Sizes above which a file is refused before anything of it is parsed. A receiver with thirty passes takes
// 4 KiB; a year of weather at one-minute steps about 20 MiB.
const (
	mostYAML  = 16 << 20
	mostTable = 64 << 20
)

// mostMarks bounds the commas, colons, brackets and lines of a YAML file: each can make a node of some 200 bytes.
const mostMarks = 300_000

// reader holds what one reading gathers.
type reader struct {
	fsys         fs.FS
	problems     Problems
	untold       int // mistakes beyond those in problems
	inputs       []Input
	uncertain    []Uncertain
	accuracy     []string
	changes      []change             // of numbers, in their order
	used         map[string]bool      // overrides that an input had
	numbers      map[string]Uncertain // every quantity of the files, where they are asked for
	factored     map[string]bool      // factors that a quantity had
	files        map[string]*file
	texts        map[string]string // another text at a path
	first        map[string]int
	scalars      map[string]scalar // every text of the files, where they are asked for
	keptFiles    *shelf[*file]     // of a Loader; nil: files are read anew
	keptTables   *shelf[*table]
	loaded       map[string]bool // material files taken in
	library      *library        // materials of the bench, local ones on top
	benchRead    bool
	temperatures [2]float64 // K, of the bench
	excerpt      bool       // as in Options
	until        float64    // s, length of the run that is read; 0: not known, or steady
	steady       bool
	cal          calendar      // of the duty that is read
	readings     []string      // of the light by instruments, as told
	matter       *glass.Matter // of the pane whose values follow from it; nil: stated, or no pane
}

// file is one YAML file whose kind is known.
type file struct {
	name string
	kind string
	root *yaml.Node // the top mapping
}

func newReader(fsys fs.FS, opt Options) *reader {
	return &reader{
		fsys: fsys, changes: changesOf(opt), used: map[string]bool{}, factored: map[string]bool{}, files: map[string]*file{},
		texts: opt.Instead, first: opt.First,
		loaded: map[string]bool{}, library: newLibrary(nil), excerpt: opt.Excerpt,
	}
}

// report notes a mistake. A file of the wrong kind can hold hundreds of thousands: beyond some, they are counted.
func (r *reader) report(p Problem) {
	if len(r.problems) >= 20*mostProblems && !p.Warning {
		r.untold++
		return
	}
	r.problems = append(r.problems, p)
}

// bytesOf reads a file of at most limit bytes.
func (r *reader) bytesOf(name string, limit int64, from *value) ([]byte, bool) {
	fail := func(message, fix string) ([]byte, bool) {
		p := Problem{File: name, Message: message, Fix: fix}
		if from != nil {
			p.File, p.Line, p.Column, p.Field, p.Typed = from.file, from.node.Line, from.node.Column, from.path, from.text
			p.Message = fmt.Sprintf("%s is %q: %s", from.path, from.text, message)
		}
		r.report(p)
		return nil, false
	}
	if !fs.ValidPath(name) {
		return fail("the path leaves the bench", r.stayInside(name))
	}
	f, err := openFile(r.fsys, name)
	if errors.Is(err, fs.ErrNotExist) {
		fix := "check the name; it is relative to the file that names it"
		if near := r.nearestFile(name); near != "" {
			fix = fmt.Sprintf("did you mean %q?", near)
		}
		return fail("there is no such file", fix)
	}
	if errors.Is(err, errNotRegular) {
		return fail(errNotRegular.Error(), "name a file")
	}
	if err != nil {
		return fail(plainError(err), "make the file readable")
	}
	defer f.Close()
	if st, err := f.Stat(); err == nil {
		if st.IsDir() {
			return fail("this is a folder", "name a file")
		}
		if st.Size() > limit {
			return fail(fmt.Sprintf("the file has %d MiB, more than the %d MiB that are read", st.Size()>>20, limit>>20),
				"is this the right file? A long table can be thinned or split")
		}
	}
	data, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err != nil {
		return fail(plainError(err), "make the file readable")
	}
	if int64(len(data)) > limit {
		return fail(fmt.Sprintf("the file has more than the %d MiB that are read", limit>>20),
			"is this the right file? A long table can be thinned or split")
	}
	sum := sha256.Sum256(data)
	r.took(Input{Name: name, SHA256: hex.EncodeToString(sum[:])})
	data = bytes.TrimPrefix(data, byteOrderMark)
	if i := firstBadByte(data); i >= 0 {
		line, col := placeOf(data, i)
		r.report(Problem{
			File: name, Line: line, Column: col, Message: "the file is not UTF-8 text",
			Fix: "save it as UTF-8; in an editor this is a choice when saving",
		})
		return nil, false
	}
	return data, true
}

// stayInside says how a file outside the bench can be named. Without a bench.yaml the bench is the folder of the file
// that was given.
func (r *reader) stayInside(name string) string {
	const inside = "keep the file inside the bench's folder and name it relative to this file"
	if _, err := fs.Stat(r.fsys, BenchFile); err == nil || path.IsAbs(name) {
		return inside
	}
	folder := "the folder above"
	if n := strings.Count(name, "../"); n > 1 && strings.HasPrefix(name, strings.Repeat("../", n)) {
		folder = fmt.Sprintf("the folder %d above", n)
	}
	return "put a file " + BenchFile + " with the lines \"schema: " + Version + "\" and \"kind: bench\" into " + folder +
		": it makes that folder the bench, whose files may name one another; or " + inside
}

// plainError leaves out the path that the message already begins with.
func plainError(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return "cannot be opened: " + pe.Err.Error()
	}
	return "cannot be read: " + err.Error()
}

func firstBadByte(data []byte) int {
	for i := 0; i < len(data); {
		c, n := utf8.DecodeRune(data[i:])
		if c == utf8.RuneError && n <= 1 || c == 0 {
			return i
		}
		i += n
	}
	return -1
}

// placeOf returns line and column, from 1, of a byte.
func placeOf(data []byte, i int) (line, column int) {
	line = 1 + bytes.Count(data[:i], []byte("\n"))
	start := bytes.LastIndexByte(data[:i], '\n') + 1
	return line, 1 + utf8.RuneCount(data[start:i])
}

// nearestFile looks for a file of almost that name in the same folder.
func (r *reader) nearestFile(name string) string {
	entries, err := fs.ReadDir(r.fsys, path.Dir(name))
	if err != nil {
		return ""
	}
	names := make([]string, 0, len(entries))
	for _, e := range entries {
		if !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	return nearest(path.Base(name), names)
}

// open reads a YAML file and its first two keys; nil after a mistake that hides the rest.
func (r *reader) open(name string) *file { return r.openFrom(name, nil) }

// openAs opens the file that a command was given, if it is of the kind that the command takes.
func (r *reader) openAs(name, kind string) *file {
	f := r.open(name)
	if f == nil || f.kind == kind {
		return f
	}
	r.report(Problem{
		File: f.name, Line: f.root.Line, Column: f.root.Column, Field: "kind", Typed: f.kind,
		Message: fmt.Sprintf("the file is of kind %q, not a %s", f.kind, kind), Allowed: kind, Fix: "name a file of kind " + kind,
	})
	return nil
}

func (r *reader) openFrom(name string, from *value) *file {
	name = strings.ReplaceAll(name, "\\", "/")
	if from == nil {
		name = path.Clean(name)
	}
	if f, seen := r.files[name]; seen {
		return f
	}
	if f, known := r.keptFiles.take(r, name); known {
		r.files[name] = f
		return f
	}
	r.files[name] = nil
	data, ok := r.bytesOf(name, mostYAML, from)
	if !ok {
		return nil
	}
	root := r.parse(name, data)
	if root == nil {
		return nil
	}
	f := &file{name: name, root: root}
	if !r.header(f) {
		return nil
	}
	r.files[name] = f
	r.keptFiles.put(r, name, f)
	return f
}

// parse turns text into the top mapping of its only document.
func (r *reader) parse(name string, data []byte) *yaml.Node {
	if r.tabs(name, data) {
		return nil
	}
	marks := 0
	for _, c := range data {
		switch c {
		case ',', '[', '{', ':', '\n':
			marks++
		}
	}
	if marks > mostMarks {
		r.report(Problem{
			File: name, Line: 1, Column: 1, Message: fmt.Sprintf("the file has some %d keys and entries, more than the %d that are read", marks, mostMarks),
			Fix: "is this the right file? A long table belongs in a CSV file, named by \"{file: …, column: …}\"",
		})
		return nil
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			r.report(Problem{
				File: name, Line: 1, Column: 1, Message: "the file is empty",
				Fix: `begin with "schema: ` + Version + `" and "kind: …"; "emberbank new DIR" writes files to start from`,
			})
			return nil
		}
		r.report(syntaxProblem(name, data, err))
		return nil
	}
	if len(doc.Content) == 0 || doc.Content[0].Kind == yaml.ScalarNode && doc.Content[0].Tag == "!!null" {
		r.report(Problem{
			File: name, Line: 1, Column: 1, Message: "the file is empty",
			Fix: `begin with "schema: ` + Version + `" and "kind: …"; "emberbank new DIR" writes files to start from`,
		})
		return nil
	}
	var second yaml.Node
	if err := dec.Decode(&second); err == nil {
		line := 1
		if len(second.Content) > 0 {
			line = second.Content[0].Line
		}
		r.report(Problem{
			File: name, Line: line, Column: 1, Message: "a second document begins in this file",
			Fix: `write it to a file of its own and take the line "---" out`,
		})
		return nil
	} else if !errors.Is(err, io.EOF) {
		r.report(syntaxProblem(name, data, err))
		return nil
	}
	root := doc.Content[0]
	if root.Kind != yaml.MappingNode {
		r.report(Problem{
			File: name, Line: root.Line, Column: root.Column, Message: "the file holds no keys",
			Fix: `begin with "schema: ` + Version + `" and "kind: …"`,
		})
		return nil
	}
	return root
}

// tabs reports tabs in indentation, which YAML forbids and no editor shows.
func (r *reader) tabs(name string, data []byte) bool {
	found := false
	for i, line := range bytes.Split(data, []byte("\n")) {
		body := bytes.TrimLeft(line, " \t")
		at := bytes.IndexByte(line[:len(line)-len(body)], '\t')
		if at < 0 || len(bytes.TrimSpace(body)) == 0 || body[0] == '#' {
			continue
		}
		found = true
		r.report(Problem{
			File: name, Line: i + 1, Column: at + 1, Message: "a tab stands in the indentation",
			Fix: "indent with spaces",
		})
	}
	return found
}

// numberedPath is a path with the number of an entry, without quotes, in a line that it breaks where it stands in braces.
var numberedPath = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`[{:,\s]([a-z][\w .-]*\.[\w .-]+\[\d+\][\w .\[\]-]*)`)
})

// lineOf is a line of a text, from 1.
func lineOf(data []byte, n int) []byte {
	lines := bytes.Split(data, []byte{'\n'})
	if n < 1 || n > len(lines) {
		return nil
	}
	return lines[n-1]
}

// syntaxProblem puts the parser's complaint into words for somebody who does not know YAML.
func syntaxProblem(name string, data []byte, err error) Problem {
	p := Problem{File: name, Line: 1, Column: 1}
	var le *yaml.LoadError
	if !errors.As(err, &le) {
		p.Message, p.Fix = "the file is not YAML: "+err.Error(), "mend the text near the place shown"
		return p
	}
	p.Line, p.Column = le.Mark.Line, le.Mark.Column
	if p.Line == 0 {
		p.Line, p.Column = placeOf(data, min(le.Mark.Index, len(data)))
	}
	if p.Column == 0 {
		p.Column = 1
	}
	m := le.Message
	has := func(part string) bool { return strings.Contains(m, part) }
	switch {
	case has("mapping values are not allowed"):
		p.Message = "a colon stands where no key can be"
		p.Fix = `give each key its own line with the same indentation; put text that holds ": " in quotes`
	case has("did not find expected ',' or"):
		p.Message = "a list or mapping in brackets is not closed, or lacks a comma"
		p.Fix = fmt.Sprintf("close the bracket that opens in line %d", le.ContextMark.Line)
		if at := numberedPath().FindSubmatch(lineOf(data, p.Line)); at != nil {
			p.Fix = fmt.Sprintf("put the path in quotes: %q", at[1])
		}
	case has("unexpected end of stream") || has("unexpected document indicator"):
		p.Message, p.Fix = "a quote is not closed", fmt.Sprintf("close the quote that opens in line %d", le.ContextMark.Line)
	case has("could not find expected ':'"):
		p.Message, p.Fix = "a key without a colon", `write "key: value"`
	case has("did not find expected key") || has("block mapping") || has("'-' indicator"):
		p.Message, p.Fix = "the indentation does not fit", "bring keys that belong together to the same column"
	case has("cannot start any token"):
		p.Message, p.Fix = "this character cannot begin a value", "put the text in quotes"
	case has("unknown anchor") || has("anchor"):
		p.Message, p.Fix = "anchors and aliases (& and *) are not part of the form", "write the value out, or put the text in quotes"
	case has("exceeded max depth"):
		p.Message, p.Fix = "brackets or keys are nested too deeply", "no form is more than ten levels deep"
	case has("control characters"):
		p.Message, p.Fix = "a control character stands in the text", "take it out"
	default:
		p.Message, p.Fix = "the file is not YAML: "+m, "mend the text near the place shown"
	}
	return p
}

// header checks "schema:" and "kind:".
func (r *reader) header(f *file) bool {
	get := func(key string) (k, v *yaml.Node) {
		for i := 0; i+1 < len(f.root.Content); i += 2 {
			if f.root.Content[i].Value == key {
				return f.root.Content[i], f.root.Content[i+1]
			}
		}
		return nil, nil
	}
	_, schema := get("schema")
	fail := func(n *yaml.Node, field, typed, message, allowed, fix string) bool {
		r.report(Problem{
			File: f.name, Line: n.Line, Column: n.Column, Field: field, Typed: typed, Message: message,
			Allowed: allowed, Fix: fix,
		})
		return false
	}
	if schema == nil {
		return fail(f.root, "schema", "", "the file does not say which schema it follows", "",
			`let its first line be "schema: `+Version+`"`)
	}
	if schema.Value != Version || schema.Kind != yaml.ScalarNode {
		fix := `write "schema: ` + Version + `"`
		message := fmt.Sprintf("schema is %q", schema.Value)
		var n int
		if schema.Value == olderVersion {
			message += ": an older form"
			fix = "emberbank check --upgrade " + path.Base(f.name) + " brings it up; the old file is kept beside"
		} else if _, err := fmt.Sscanf(schema.Value, "emberbank/%d", &n); err == nil && n > 1 {
			message += ": a newer form than this program reads"
			fix = "use a newer emberbank, or ask for the file in the form " + Version
		}
		return fail(schema, "schema", schema.Value, message, Version, fix)
	}
	kindKey, kind := get("kind")
	if kind == nil {
		return fail(f.root, "kind", "", "the file does not say of which kind it is", joined(kinds()),
			`let its second line be "kind: …"`)
	}
	_ = kindKey
	f.kind = kind.Value
	for _, k := range kinds() {
		if k == f.kind && kind.Kind == yaml.ScalarNode {
			return true
		}
	}
	fix := "say what the file describes"
	if near := nearest(f.kind, kinds()); near != "" {
		fix = fmt.Sprintf("did you mean %q?", near)
	}
	return fail(kind, "kind", f.kind, fmt.Sprintf("kind is %q", f.kind), joined(kinds()), fix)
}

func kinds() []string {
	out := make([]string, len(fileForms))
	for i, f := range fileForms {
		out[i] = f.kind
	}
	return out
}
