package bench

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"emberbank/unit"
)

// object is a JSON object; encoding/json writes its keys in alphabetical order, so the text is always the same.
type object map[string]any

// Schema returns a JSON Schema (draft 2020-12) for files of a kind, for editors that complete and check while
// typing; the empty kind gives one for files of any kind. It is looser than the reader: it knows keys, words and
// the outer form of quantities, and leaves ranges and what belongs together to "emberbank check".
func Schema(kind string) ([]byte, error) {
	w := &schemaWriter{defs: object{}, names: map[*form]string{}}
	top := object{"$schema": "https://json-schema.org/draft/2020-12/schema"}
	if kind == "" {
		top["title"] = "emberbank file"
		var all []any
		for _, f := range fileForms {
			all = append(all, w.ref(f.laid()))
		}
		top["oneOf"] = all
	} else {
		i := slices.Index(kinds(), kind)
		if i < 0 {
			return nil, fmt.Errorf("no files are of kind %q; known are %s", kind, joined(kinds()))
		}
		for k, v := range w.object(fileForms[i].laid()) {
			top[k] = v
		}
		top["title"] = "emberbank " + kind
	}
	if len(w.defs) > 0 {
		top["$defs"] = w.defs
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(top); err != nil {
		return nil, fmt.Errorf("writing the schema of kind %q: %w", kind, err)
	}
	return out.Bytes(), nil
}

// schemaWriter keeps forms that were written already, so that each stands once.
type schemaWriter struct {
	defs  object
	names map[*form]string
}

// ref writes a form among the definitions and returns a reference to it. Forms that read alike share one.
func (w *schemaWriter) ref(f *form) object {
	name, done := w.names[f]
	if !done {
		text := w.object(f)
		base := strings.ReplaceAll(strings.TrimPrefix(strings.TrimPrefix(f.name, "a "), "an "), " ", "-")
		name = base
		for n := 2; ; n++ {
			have, taken := w.defs[name]
			if !taken || reflect.DeepEqual(have, any(text)) {
				break
			}
			name = fmt.Sprintf("%s-%d", base, n)
		}
		w.names[f] = name
		w.defs[name] = text
	}
	return object{"$ref": "#/$defs/" + name}
}

// object writes a form in place.
func (w *schemaWriter) object(f *form) object {
	props := object{}
	var required []string
	var eitherKey []any
	for i := range f.fields {
		fd := &f.fields[i]
		s := w.shape(fd.typ)
		s["description"] = describe(fd)
		props[fd.key] = s
		switch {
		case fd.synonym != "":
			again := w.shape(fd.typ)
			again["description"] = "the same as " + fd.key
			props[fd.synonym] = again
			if fd.required {
				eitherKey = append(eitherKey, object{"anyOf": []any{object{"required": []string{fd.key}}, object{"required": []string{fd.synonym}}}})
			}
		case fd.required:
			required = append(required, fd.key)
		}
	}
	out := object{"type": "object", "properties": props, "additionalProperties": false}
	if f.doc != "" {
		out["description"] = f.doc
	}
	if required != nil {
		out["required"] = required
	}
	if eitherKey != nil {
		out["allOf"] = eitherKey
	}
	return out
}

// describe is a field's sentence with range and default.
func describe(fd *field) string {
	s := sentence(fd.doc)
	if fd.typ.kind == isQuantity {
		s += " Allowed: " + fd.typ.span() + "."
	}
	if fd.def != "" {
		s += " Default: " + fd.def + "."
	}
	return s
}

func sentence(s string) string {
	if s == "" {
		return ""
	}
	r := []rune(s)
	return strings.ToUpper(string(r[0])) + string(r[1:]) + "."
}

// quantityPattern lets through what begins like a number; the reader knows the rest.
const quantityPattern = `^\s*[(+\-−]?\s*[0-9.]`

func (w *schemaWriter) shape(s *shape) object {
	switch s.kind {
	case isText:
		return object{"type": []string{"string", "number"}, "examples": []string{s.example}}
	case isWord:
		words := []any{}
		for _, x := range s.words {
			words = append(words, x)
		}
		if slices.Contains(s.words, "on") || slices.Contains(s.words, "yes") {
			words = append(words, true, false)
		}
		if len(s.words) == 1 {
			return object{"const": s.words[0]}
		}
		return object{"enum": words}
	case isFlag:
		return object{"enum": []any{true, false, "yes", "no", "on", "off"}}
	case isCount:
		out := object{"type": "integer", "minimum": s.min}
		if !math.IsInf(s.max, 1) {
			out["maximum"] = s.max
		}
		return out
	case isQuantity:
		if s.dim != unit.Dimensionless {
			return object{"type": "string", "pattern": quantityPattern, "examples": []string{s.example}}
		}
		number := object{"type": "number"}
		if !math.IsInf(s.min, -1) {
			number["minimum"] = s.min
		}
		if !math.IsInf(s.max, 1) {
			number["maximum"] = s.max
		}
		return object{"anyOf": []any{number, object{"type": "string", "pattern": quantityPattern, "examples": []string{s.example}}}}
	case isList:
		item := w.shape(s.item)
		return object{"anyOf": []any{object{"type": "array", "items": item, "minItems": s.least}, item}}
	case isTuple:
		var items []any
		for _, t := range s.items {
			items = append(items, w.shape(t))
		}
		return object{"type": "array", "prefixItems": items, "minItems": len(items), "maxItems": len(items)}
	case isMapping:
		return w.ref(s.mapped())
	case isNamed:
		return object{"type": "object", "additionalProperties": w.shape(s.item)}
	}
	var options []any
	for _, o := range s.options {
		options = append(options, w.shape(o))
	}
	return object{"anyOf": options}
}
