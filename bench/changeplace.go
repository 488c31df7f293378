package bench

import (
	"bytes"
	"slices"
	"strings"

	yaml "go.yaml.in/yaml/v4"
)

// The ways of a Change: to replace what stands, to add a key or an entry beside its neighbours, to take one out. Each lays
// down the tree that the file is to hold then, and the bytes that bring it there.

// replace puts the wanted in the place of what stands.
func (w *rewriter) replace(s *spot) ([]byte, bool) {
	from, ok := w.offset(s.node)
	to, ok2 := w.end(s.node)
	was := *s.node
	before := ""
	if s.key != nil && (isNull(&was) && was.Value == "" || was.Kind != yaml.ScalarNode && was.Style&yaml.FlowStyle == 0) {
		// what is empty, or stands in lines below its key, goes behind the colon
		if from, ok = w.colon(s.key); ok && isNull(&was) {
			to, ok2 = from, true
		}
		before = " "
	}
	if !ok || !ok2 {
		return w.settle(nil)
	}
	var edits []edit
	for _, text := range w.ways(&was) {
		edits = append(edits, edit{from, to, before + text})
	}
	*s.node = *w.want
	return w.settle(w.file.root, edits...)
}

// colon returns the byte behind the colon of a key.
func (w *rewriter) colon(key *yaml.Node) (int, bool) {
	at, ok := w.end(key)
	if !ok {
		return 0, false
	}
	gap := len(w.text[at:]) - len(bytes.TrimLeft(w.text[at:], " "))
	if at += gap; at >= len(w.text) || w.text[at] != ':' {
		return 0, false
	}
	return at + 1, true
}

// add puts a key where it could stand: behind the nearest given key that the table of fields has before it, else last.
func (w *rewriter) add(s *spot) ([]byte, bool) {
	holder := s.holder.node
	if holder.Kind != yaml.MappingNode {
		return w.settle(nil)
	}
	pair := []*yaml.Node{{Kind: yaml.ScalarNode, Tag: "!!str", Value: s.step}, w.want}
	behind := neighbour(s)
	texts := w.ways(nil)
	for i := range texts {
		texts[i] = s.step + ": " + texts[i]
	}
	return w.insert(holder, behind*2, texts, pair, func(i int) *yaml.Node { return holder.Content[2*i] }, behind)
}

// neighbour counts the pairs before the place of a new key.
func neighbour(s *spot) int {
	pairs := s.holder.node.Content
	fm := s.holder.read.mapped()
	if fm == nil {
		return len(pairs) / 2
	}
	at := slices.Index(fm.keys(), s.step)
	best := -1
	place := len(pairs) / 2
	for i := 0; i+1 < len(pairs); i += 2 {
		f := fm.find(pairs[i].Value)
		if f == nil {
			continue
		}
		if k := slices.Index(fm.keys(), f.key); k < at && k > best {
			best, place = k, i/2+1
		}
	}
	return place
}

// append puts one more entry behind a list's last.
func (w *rewriter) append(s *spot) ([]byte, bool) {
	n := s.node
	if n.Kind != yaml.SequenceNode { // one that stands for a list of one
		return w.enlist(s)
	}
	return w.insert(n, len(n.Content), w.ways(nil), []*yaml.Node{w.want}, func(i int) *yaml.Node { return n.Content[i] }, len(n.Content))
}

// enlist makes a list of a single entry that stands for one, and of the new one.
func (w *rewriter) enlist(s *spot) ([]byte, bool) {
	from, ok := w.offset(s.node)
	to, ok2 := w.end(s.node)
	if !ok || !ok2 || s.node.Kind != yaml.ScalarNode && s.node.Style&yaml.FlowStyle == 0 {
		return w.settle(nil)
	}
	var edits []edit
	for _, text := range w.ways(nil) {
		edits = append(edits, edit{from, to, "[" + string(w.text[from:to]) + ", " + text + "]"})
	}
	one := *s.node
	*s.node = yaml.Node{Kind: yaml.SequenceNode, Content: []*yaml.Node{&one, w.want}}
	return w.settle(w.file.root, edits...)
}

// insert puts texts into a list or mapping behind so many of its entries; head is where an entry begins.
func (w *rewriter) insert(holder *yaml.Node, index int, texts []string, nodes []*yaml.Node, head func(int) *yaml.Node, behind int) ([]byte, bool) {
	var edits []edit
	put := func(at int, before, after string) {
		for _, text := range texts {
			edits = append(edits, edit{at, at, before + text + after})
		}
	}
	flow := holder.Style&yaml.FlowStyle != 0
	switch {
	case len(holder.Content) == 0:
		if at, ok := w.offset(holder); ok {
			put(at+1, "", "")
		}
	case behind == 0:
		if at, ok := w.offset(head(0)); ok && flow {
			put(at, "", ", ")
		} else if ok {
			put(at, "", w.lineBreak()+w.lead(holder, head(0)))
		}
	default:
		at, ok := w.end(holder.Content[index-1])
		if ok && flow {
			put(at, ", ", "")
		} else if ok {
			put(w.lineEnd(at), w.lineBreak()+w.lead(holder, head(0)), "")
		}
	}
	holder.Content = slices.Insert(holder.Content, index, nodes...)
	return w.settle(w.file.root, edits...)
}

// lead is what stands before an entry on a line of its own.
func (w *rewriter) lead(holder, first *yaml.Node) string {
	if holder.Kind == yaml.MappingNode {
		return strings.Repeat(" ", first.Column-1)
	}
	at, ok := w.offset(first)
	if !ok {
		return ""
	}
	line := string(w.text[w.lineStart(at):at])
	dash := strings.LastIndexByte(line, '-')
	if dash < 0 {
		return ""
	}
	return strings.Repeat(" ", len([]rune(line[:dash]))) + line[dash:]
}

// cut takes a spot out.
func (w *rewriter) cut(s *spot) ([]byte, bool) {
	holder := s.holder.node
	step, i := 1, slices.Index(holder.Content, s.node)
	if s.key != nil {
		step, i = 2, slices.Index(holder.Content, s.key)
	}
	if i < 0 {
		return w.refuse("it stands for a list of one", "take the whole list out")
	}
	flow := holder.Style&yaml.FlowStyle != 0
	if len(holder.Content) == step && !flow {
		return w.refuse("it is the last one there", "take out what holds it: "+s.holder.path)
	}
	from, ok := w.offset(holder.Content[i])
	to, ok2 := w.end(s.node)
	if !ok || !ok2 {
		return w.settle(nil)
	}
	var e edit
	switch {
	case flow && i > 0:
		if e.start, ok = w.end(holder.Content[i-1]); ok {
			e.end = to
		}
	case flow && len(holder.Content) > step:
		e.start = from
		e.end, ok = w.offset(holder.Content[step])
	case flow:
		e = edit{from, to, ""}
	default:
		e, ok = w.lines(holder, i, step, from, to)
	}
	if !ok {
		return w.refuse("comments stand around it", "take it out in the file's text")
	}
	holder.Content = slices.Delete(holder.Content, i, i+step)
	return w.settle(w.file.root, e)
}

// lines is the edit that takes an entry out which stands on lines of its own, or first behind the dash of a list.
func (w *rewriter) lines(holder *yaml.Node, i, step, from, to int) (edit, bool) {
	start := w.lineStart(from)
	before := strings.TrimSpace(string(w.text[start:from]))
	if before == "" || before == "-" && holder.Kind == yaml.SequenceNode {
		end := w.nextLine(to)
		if end == len(w.text) && start > 0 && w.lineEnd(to) == end { // the last line, which no break ends
			for start--; start > 0 && w.text[start-1] == '\r'; start-- {
			}
		}
		return edit{start, end, ""}, true
	}
	if i+step >= len(holder.Content) {
		return edit{}, false
	}
	next, ok := w.offset(holder.Content[i+step])
	if !ok || bytes.IndexByte(w.text[to:next], '#') >= 0 {
		return edit{}, false
	}
	return edit{from, next, ""}, true
}
