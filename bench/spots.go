package bench

import (
	"fmt"
	"slices"
	"strings"

	yaml "go.yaml.in/yaml/v4"
)

// spot is a place of a file: a value that stands there, or an optional key that could.
type spot struct {
	path   string // as messages name it, such as "passes[2].depth"
	step   string // its last step
	holder *spot  // nil: the file
	key    *yaml.Node
	node   *yaml.Node // nil: nothing stands there
	typ    *shape     // of all that is allowed; nil: the key is not known
	read   *shape     // the one of them that it looks like
	fd     *field     // of the form that holds it; nil: an entry of a list, or a name
	inside []*spot
}

// mostEntries bounds the entries of a list that are places of their own: a table over time is one text.
const mostEntries = 200

// spotsOf lays out a file of a kind whose form is known.
func (r *reader) spotsOf(f *file) *spot {
	top := mapping(fileForms[slices.Index(kinds(), f.kind)].laid())
	s := &spot{node: f.root, typ: top, read: top}
	r.lay(s)
	return s
}

// lay finds what stands, and what could stand, inside a spot.
func (r *reader) lay(s *spot) {
	if s.read = s.typ; s.node == nil {
		return
	}
	for again := true; again; {
		again = false
		switch {
		case s.read.kind == isEither:
			if o, score := r.closest(&value{node: s.node}, s.read); score > 0 {
				s.read, again = o, true
			}
		case s.read.kind == isList && s.node.Kind != yaml.SequenceNode && !isNull(s.node): // one for a list of one
			s.read, again = s.read.item, true
		}
	}
	switch s.node.Kind {
	case yaml.SequenceNode:
		r.layEntries(s)
	case yaml.MappingNode:
		r.layPairs(s)
	}
}

func (r *reader) layEntries(s *spot) {
	n := len(s.node.Content)
	if s.read.kind != isList && s.read.kind != isTuple || n > mostEntries || s.read.kind == isTuple && n != len(s.read.items) {
		return
	}
	for i, c := range s.node.Content {
		item := s.read.item
		if s.read.kind == isTuple {
			item = s.read.items[i]
		}
		r.nest(s, &spot{step: fmt.Sprintf("[%d]", i+1), node: c, typ: item})
	}
}

func (r *reader) layPairs(s *spot) {
	fm := s.read.mapped()
	given := map[string]bool{}
	for i := 0; i+1 < len(s.node.Content); i += 2 {
		k, c := s.node.Content[i], s.node.Content[i+1]
		one := &spot{step: shortened(k.Value), key: k, node: c}
		switch {
		case s.read.kind == isNamed:
			one.typ = s.read.item
		case fm != nil && fm.find(k.Value) != nil:
			one.fd = fm.find(k.Value)
			one.step, one.typ = one.fd.key, one.fd.typ
		}
		if given[one.step] {
			continue // told by check
		}
		given[one.step] = true
		r.nest(s, one)
	}
	if fm == nil {
		return
	}
	for i := range fm.fields {
		if fd := &fm.fields[i]; !given[fd.key] {
			r.nest(s, &spot{step: fd.key, typ: fd.typ, fd: fd})
		}
	}
}

// nest puts a spot into another, and lays it out.
func (r *reader) nest(s, one *spot) {
	one.holder = s
	one.path = (&value{path: s.path}).child(nil, one.step).path
	s.inside = append(s.inside, one)
	if one.typ != nil {
		r.lay(one)
	}
}

// each calls what is inside, in the file's order, what could stand behind what stands.
func (s *spot) each(do func(*spot)) {
	for _, one := range s.inside {
		do(one)
		one.each(do)
	}
}

// find returns the spot of a path; nil: there is none.
func (s *spot) find(path string) *spot {
	for _, one := range s.inside {
		if one.path == path {
			return one
		}
		if rest, ok := strings.CutPrefix(path, one.path); ok && (rest[0] == '.' || rest[0] == '[') {
			if got := one.find(path); got != nil {
				return got
			}
		}
	}
	return nil
}

// seems is the shape that a value most likely gets: of several, the first that is no word.
func (s *shape) seems() *shape {
	for s.kind == isEither {
		next := s.options[0]
		for _, o := range s.options {
			if o.kind == isQuantity {
				next = o
				break
			}
		}
		s = next
	}
	return s
}

// start is a text to begin with, where nothing stands: an example, or the keys that are needed with theirs.
func (s *shape) start() string {
	switch s.kind {
	case isEither:
		return s.seems().start()
	case isWord:
		return s.words[0]
	case isFlag:
		return "yes"
	case isList:
		return "[" + s.item.within() + "]"
	case isTuple:
		parts := make([]string, len(s.items))
		for i, t := range s.items {
			parts[i] = t.within()
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case isMapping:
		var parts []string
		for _, f := range s.mapped().fields {
			if f.required {
				parts = append(parts, f.key+": "+f.typ.within())
			}
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case isNamed:
		return "{}"
	}
	return s.example
}

// within is start inside brackets, where a text with marks of its own needs quotes.
func (s *shape) within() string {
	text := s.start()
	if !s.seems().brackets() && strings.ContainsAny(text, "[]{},:#") {
		return escaped(text)
	}
	return text
}
