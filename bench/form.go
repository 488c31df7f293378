package bench

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"emberbank/unit"
)

// The table of fields. A form is a mapping in a file; its fields say which keys it may have, what each holds,
// its range, its default and its meaning. Everything that reads or describes files walks these values.

// form is a mapping with known keys.
type form struct {
	name   string // how messages and docs call it: "receiver", "a layer of insulation"
	doc    string // one or two sentences
	fields []field
}

// field is one key of a form.
type field struct {
	key      string
	typ      *shape
	required bool
	def      string // the default, in words of the docs; "" where absence needs no word
	doc      string
	synonym  string // an older or other key that is accepted
}

// shape is what a value may look like.
type shape struct {
	kind     kindOf
	dim      unit.Dimension // quantity
	min, max float64        // quantity: SI; count: the numbers
	minText  string         // as messages show them
	maxText  string
	open     bool         // the minimum itself is not allowed
	words    []string     // word
	item     *shape       // list, named
	items    []*shape     // tuple
	least    int          // list
	form     func() *form // mapping: laid when a file or a page first comes to it
	options  []*shape     // either
	noun     string       // "a length"
	example  string
	section  string // docs: the heading under which this shape is described once
	doc      string // of the section
}

// kindOf is the kind of a shape.
type kindOf int

const (
	isText     kindOf = iota
	isWord            // one of words
	isFlag            // yes or no
	isCount           // a whole number
	isQuantity        // a number with a unit; without one where dimensionless
	isList            // a list, or one item standing for a list of one
	isTuple           // a list of fixed length
	isMapping
	isNamed // a mapping whose keys are names
	isEither
)

// find returns the field of a key or of its synonym.
func (f *form) find(key string) *field {
	for i := range f.fields {
		if f.fields[i].key == key || f.fields[i].synonym != "" && f.fields[i].synonym == key {
			return &f.fields[i]
		}
	}
	return nil
}

func (f *form) keys() []string {
	out := make([]string, len(f.fields))
	for i := range f.fields {
		out[i] = f.fields[i].key
	}
	return out
}

// accepted returns the keys and their synonyms.
func (f *form) accepted() []string {
	out := f.keys()
	for i := range f.fields {
		if s := f.fields[i].synonym; s != "" {
			out = append(out, s)
		}
	}
	return out
}

// with returns a copy of the form with other fields added.
func (f *form) with(name, doc string, fields ...field) *form {
	return &form{name: name, doc: doc, fields: append(append([]field(nil), f.fields...), fields...)}
}

// nounOf names a kind of quantity with its article, and gives an example that parses.
func nounOf(d unit.Dimension) (noun, example string) {
	noun = d.String()
	article := "a "
	if strings.ContainsRune("aeiou", rune(noun[0])) {
		article = "an "
	}
	return article + noun, d.Example()
}

// quantity is a number with a unit between two limits, written with their units; "" leaves an end open.
func quantity(d unit.Dimension, min, max string) *shape {
	s := &shape{kind: isQuantity, dim: d, min: math.Inf(-1), max: math.Inf(1), minText: min, maxText: max}
	s.noun, s.example = nounOf(d)
	limit := func(text string) float64 {
		q, err := unit.Parse(text, d)
		if err != nil {
			panic(fmt.Sprintf("the table of fields has the limit %q: %v", text, err))
		}
		return q.Value
	}
	if min != "" {
		s.min = limit(min)
	}
	if max != "" {
		s.max = limit(max)
	}
	return s
}

// above is a quantity above its lower limit, the limit left out.
func above(d unit.Dimension, min, max string) *shape {
	s := quantity(d, min, max)
	s.open = true
	return s
}

func like(s *shape, example string) *shape {
	c := *s
	c.example = example
	return &c
}

func text(noun, example string) *shape { return &shape{kind: isText, noun: noun, example: example} }

func word(words ...string) *shape { return &shape{kind: isWord, words: words, noun: "a word"} }

func flag() *shape { return &shape{kind: isFlag, noun: "yes or no"} }

func count(min, max float64) *shape {
	return &shape{kind: isCount, min: min, max: max, noun: "a whole number", example: fmt.Sprint(min)}
}

func list(item *shape, least int) *shape {
	return &shape{kind: isList, item: item, least: least, noun: "a list"}
}

func tuple(items ...*shape) *shape { return &shape{kind: isTuple, items: items, noun: "a list"} }

func mapping(f *form) *shape {
	return &shape{kind: isMapping, form: func() *form { return f }, noun: f.name}
}

// later is mapping for a form that is laid when it is first asked for: most files use few of them.
func later(noun string, lay func() *form) *shape {
	return &shape{kind: isMapping, form: sync.OnceValue(lay), noun: noun}
}

// mapped returns a mapping's form, nil for other shapes.
func (s *shape) mapped() *form {
	if s.form == nil {
		return nil
	}
	return s.form()
}

func named(item *shape) *shape {
	return &shape{kind: isNamed, item: item, noun: "a mapping from names"}
}

func either(options ...*shape) *shape { return &shape{kind: isEither, options: options} }

// called gives a shape its own section in the docs.
func (s *shape) called(section, doc string) *shape {
	c := *s
	c.section, c.doc = section, doc
	return &c
}

// allowed says in words what a shape takes.
func (s *shape) allowed() string {
	switch s.kind {
	case isWord:
		return joined(s.words)
	case isFlag:
		return "yes or no"
	case isCount:
		if math.IsInf(s.max, 1) {
			return fmt.Sprintf("a whole number from %g", s.min)
		}
		return fmt.Sprintf("a whole number from %g to %g", s.min, s.max)
	case isQuantity:
		return s.span()
	case isList:
		return "a list, each " + s.item.allowed()
	case isTuple:
		out := "["
		for i, t := range s.items {
			if i > 0 {
				out += ", "
			}
			out += t.noun
		}
		return out + "]"
	case isMapping:
		if len(s.mapped().fields) > 12 {
			return "the keys of " + s.mapped().name
		}
		return "{" + keyList(s.mapped()) + "}"
	case isNamed:
		return "names, each with " + s.item.allowed()
	case isEither:
		parts := make([]string, len(s.options))
		for i, o := range s.options {
			parts[i] = o.allowed()
		}
		return joined(parts)
	}
	return s.noun
}

// keyList names a form's keys, those that may be left out in parentheses.
func keyList(f *form) string {
	out := ""
	for i, fd := range f.fields {
		if i > 0 {
			out += ", "
		}
		if fd.required {
			out += fd.key
		} else {
			out += "(" + fd.key + ")"
		}
	}
	return out
}

// span is a quantity's range in words.
func (s *shape) span() string {
	switch {
	case s.minText != "" && s.maxText != "" && s.open:
		return "above " + s.minText + ", up to " + s.maxText
	case s.minText != "" && s.maxText != "":
		return s.minText + " to " + s.maxText
	case s.minText != "" && s.open:
		return "above " + s.minText
	case s.minText != "":
		return "from " + s.minText
	case s.maxText != "":
		return "up to " + s.maxText
	}
	return s.noun + `, such as "` + s.example + `"`
}
