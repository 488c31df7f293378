package dossier

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"strconv"
	"strings"
)

// tree is a JSON document with the name under which it is found. Objects keep the order of their keys.
type tree struct {
	name string // in the bench, such as "results/day/summary.json"
	top  any    // *object, []any, string, json.Number, bool or nil
}

// object is a JSON object.
type object struct {
	keys []string
	at   map[string]any
}

// readTree reads a document; what cannot be read has nothing in it.
func readTree(root fs.FS, name string) *tree {
	raw, err := fs.ReadFile(root, name)
	if err != nil {
		return &tree{name: name}
	}
	return treeOf(name, raw)
}

// treeOf reads a document from its bytes.
func treeOf(name string, raw []byte) *tree {
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	top, err := decode(d)
	if err != nil {
		return &tree{name: name}
	}
	return &tree{name, top}
}

// indented prints a value as a document.
func indented(v any) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		panic(fmt.Sprintf("dossier: a document that JSON cannot hold: %v", err))
	}
	return b.Bytes()
}

// decode reads one value.
func decode(d *json.Decoder) (any, error) {
	token, err := d.Token()
	if err != nil {
		return nil, err
	}
	switch token {
	case json.Delim('{'):
		o := &object{at: map[string]any{}}
		for d.More() {
			key, err := d.Token()
			if err != nil {
				return nil, err
			}
			name, _ := key.(string)
			value, err := decode(d)
			if err != nil {
				return nil, err
			}
			if _, twice := o.at[name]; !twice {
				o.keys = append(o.keys, name)
			}
			o.at[name] = value
		}
		_, err = d.Token()
		return o, err
	case json.Delim('['):
		list := []any{}
		for d.More() {
			value, err := decode(d)
			if err != nil {
				return nil, err
			}
			list = append(list, value)
		}
		_, err = d.Token()
		return list, err
	}
	return token, nil
}

// escaped is a key as a step of a pointer, by RFC 6901 section 3.
func escaped(key string) string {
	return strings.NewReplacer("~", "~0", "/", "~1").Replace(key)
}

func unescaped(step string) string {
	return strings.NewReplacer("~1", "/", "~0", "~").Replace(step)
}

// at follows a pointer: "" is the whole document, "/phases/0/why" a member of a member.
func (t *tree) at(pointer string) (v any, ok bool) {
	v = t.top
	if pointer == "" {
		return v, v != nil
	}
	if !strings.HasPrefix(pointer, "/") {
		return nil, false
	}
	for _, step := range strings.Split(pointer[1:], "/") {
		switch x := v.(type) {
		case *object:
			if v, ok = x.at[unescaped(step)]; !ok {
				return nil, false
			}
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i < 0 || i >= len(x) || step != strconv.Itoa(i) {
				return nil, false
			}
			v = x[i]
		default:
			return nil, false
		}
	}
	return v, true
}

// count is how many members a list or an object has.
func (t *tree) count(pointer string) int {
	v, _ := t.at(pointer)
	switch x := v.(type) {
	case *object:
		return len(x.keys)
	case []any:
		return len(x)
	}
	return 0
}

func (t *tree) keys(pointer string) []string {
	v, _ := t.at(pointer)
	if o, ok := v.(*object); ok {
		return o.keys
	}
	return nil
}

// origin is the place of a pointer, as paper.Span names it.
func (t *tree) origin(pointer string) string { return t.name + " " + pointer }

// split takes the last step off a pointer.
func split(pointer string) (parent, key string) {
	i := strings.LastIndexByte(pointer, '/')
	if i < 0 {
		return "", pointer
	}
	return pointer[:i], unescaped(pointer[i+1:])
}

// sibling is what stands beside a place under another key.
func (t *tree) sibling(pointer, key string) (any, bool) {
	parent, _ := split(pointer)
	return t.at(parent + "/" + escaped(key))
}

// Sentence is a text of a result with its place.
type Sentence struct {
	Text   string
	Origin string
}

func (t *tree) sentence(pointer string) (Sentence, bool) {
	v, _ := t.at(pointer)
	s, ok := v.(string)
	return Sentence{s, t.origin(pointer)}, ok && s != ""
}
