package bench

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	yaml "go.yaml.in/yaml/v4"
)

// Change is one change of a file at a path of Fields.
type Change struct {
	// Path is that of a place that is given, of a key that could stand, or of a list with "[+]" behind it, for one more entry.
	Path string
	// Text is what stands there then: a scalar, or in brackets a list or mapping on one line.
	Text string
	// Remove takes the place out of its list or mapping.
	Remove bool
}

// Rewrite changes a file's text at one place and keeps every other byte: comments, order, quotes, line ends. What the new
// value means is for Check to judge. Problems say why the text cannot be changed so.
func Rewrite(name string, text []byte, c Change) ([]byte, Problems) {
	body, marked := bytes.CutPrefix(text, byteOrderMark)
	r := newReader(nil, Options{})
	w := &rewriter{r: r, c: c, lined: inLines(body)}
	out, ok := w.rewrite(name)
	if !ok {
		return nil, r.sorted()
	}
	if marked {
		out = append(slices.Clone(byteOrderMark), out...)
	}
	return out, nil
}

// rewriter is one change while it is made.
type rewriter struct {
	lined
	r    *reader
	c    Change
	file *file
	want *yaml.Node // of the text that is put in; nil: nothing is
}

func (w *rewriter) rewrite(name string) (out []byte, ok bool) {
	if i := firstBadByte(w.text); i >= 0 {
		line, col := placeOf(w.text, i)
		w.r.report(Problem{File: name, Line: line, Column: col, Message: "the file is not UTF-8 text", Fix: "save it as UTF-8"})
		return nil, false
	}
	root := w.r.parse(name, w.text)
	if root == nil {
		return nil, false
	}
	w.file = &file{name: name, root: root}
	if !w.r.header(w.file) {
		return nil, false
	}
	top := w.r.spotsOf(w.file)
	list, more := strings.CutSuffix(w.c.Path, "[+]")
	at := top.find(list)
	switch {
	case at == nil && !more:
		at = w.newName(top)
	case more && at != nil && at.node == nil: // the list itself comes with its first entry
		more, w.c.Text = false, "["+w.c.Text+"]"
	}
	switch {
	case at == nil:
		return w.refuse("there is no such place in the file", "look at the file again: it may have changed")
	case w.c.Remove && (more || at.node == nil):
		return w.refuse("nothing stands there", "look at the file again: it may have changed")
	case w.c.Remove:
		return w.cut(at)
	}
	typ := at.typ
	if more {
		typ = at.typ.entry()
	}
	if typ == nil {
		return w.refuse("this key is not known", "take it out")
	}
	if !w.wanted(typ) {
		return nil, false
	}
	switch {
	case more:
		return w.append(at)
	case at.node == nil:
		return w.add(at)
	}
	return w.replace(at)
}

// newName is the spot of a name that a mapping from names does not hold yet.
func (w *rewriter) newName(top *spot) *spot {
	i := strings.LastIndexByte(w.c.Path, '.')
	if i < 0 {
		return nil
	}
	holder := top.find(w.c.Path[:i])
	if holder == nil || holder.node == nil || holder.read.kind != isNamed {
		return nil
	}
	return &spot{path: w.c.Path, step: w.c.Path[i+1:], holder: holder, typ: holder.read.item, read: holder.read.item}
}

// entry is what a list holds; nil: it is no list.
func (s *shape) entry() *shape {
	switch s.kind {
	case isList:
		return s.item
	case isEither:
		for _, o := range s.options {
			if o.kind == isList {
				return o.item
			}
		}
	}
	return nil
}

// brackets tells whether a list or a mapping may stand there.
func (s *shape) brackets() bool {
	switch s.kind {
	case isList, isTuple, isMapping, isNamed:
		return true
	case isEither:
		return slices.ContainsFunc(s.options, (*shape).brackets)
	}
	return false
}

// refuse says why the text cannot be changed so.
func (w *rewriter) refuse(why, fix string) ([]byte, bool) {
	p := Problem{File: w.file.name, Field: w.c.Path, Typed: shortened(w.c.Text), Message: w.c.Path + ": " + why, Fix: fix}
	w.r.report(p)
	return nil, false
}

// wanted reads the text that is put in.
func (w *rewriter) wanted(typ *shape) bool {
	text := strings.TrimSpace(w.c.Text)
	w.want = &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text}
	if text == "" {
		w.refuse("nothing is typed", "type a value: "+typ.allowed())
		return false
	}
	if !typ.brackets() || text[0] != '[' && text[0] != '{' {
		return true
	}
	text = strings.Join(strings.Fields(text), " ")
	var doc yaml.Node
	if err := yaml.NewDecoder(strings.NewReader(text)).Decode(&doc); err != nil {
		w.refuse(syntaxProblem("", []byte(text), err).Message, "close every bracket, part entries by commas, and put text that holds them in quotes")
		return false
	}
	w.want, w.c.Text = doc.Content[0], text
	return true
}

// ways are the texts that may stand for what is wanted, the first that reads back right is taken. A given scalar keeps its
// quotes.
func (w *rewriter) ways(was *yaml.Node) []string {
	if w.want.Kind != yaml.ScalarNode {
		return []string{w.c.Text}
	}
	v := w.want.Value
	single := "'" + strings.ReplaceAll(v, "'", "''") + "'"
	ways := []string{v, single, escaped(v)}
	if strings.ContainsAny(v, "\r\n") {
		ways = ways[2:]
	}
	switch {
	case was == nil || was.Kind != yaml.ScalarNode:
	case was.Style&yaml.DoubleQuotedStyle != 0:
		ways = []string{escaped(v)}
	case was.Style&yaml.SingleQuotedStyle != 0:
		ways = []string{single, escaped(v)}
	}
	return ways
}

// escaped is a text in double quotes.
func escaped(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, c := range s {
		switch {
		case c == '"' || c == '\\':
			b.WriteByte('\\')
			b.WriteRune(c)
		case c == '\n':
			b.WriteString(`\n`)
		case c < ' ' || c == 0x7f:
			fmt.Fprintf(&b, `\x%02x`, c)
		default:
			b.WriteRune(c)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// settle takes the first of several edits after which the file holds the tree that is wanted, and nothing else has changed.
func (w *rewriter) settle(tree *yaml.Node, edits ...edit) ([]byte, bool) {
	for _, e := range edits {
		if e.start > e.end || e.end > len(w.text) {
			continue
		}
		out := edited(w.text, e)
		quiet := newReader(nil, Options{})
		if root := quiet.parse(w.file.name, out); root != nil && alike(root, tree) {
			return out, true
		}
	}
	return w.refuse("the text around it is written so that it cannot be changed from here", "change it in the file's text")
}

// alike tells whether two trees hold the same.
func alike(a, b *yaml.Node) bool {
	if a.Kind != b.Kind || a.Value != b.Value || a.Anchor != b.Anchor || isNull(a) != isNull(b) || len(a.Content) != len(b.Content) {
		return false
	}
	for i := range a.Content {
		if !alike(a.Content[i], b.Content[i]) {
			return false
		}
	}
	return true
}
