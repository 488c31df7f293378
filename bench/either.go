package bench

import (
	"fmt"
	"strings"

	"emberbank/unit"
	yaml "go.yaml.in/yaml/v4"
)

// A value that may look one of several ways is read as the one that it looks like most; its mistakes are then told
// of that one alone.

// either picks the option that the node looks like and reads it as that.
func (r *reader) either(v *value, s *shape) *value {
	o, score := r.closest(v, s)
	if score <= 0 {
		r.wrong(v, "", s.allowed(), eitherFix(v, s))
		return nil
	}
	if o.kind == isQuantity && v.node.Kind == yaml.ScalarNode {
		// A word that was mistyped is told as a word.
		if words := s.words2(); len(words) > 0 && !strings.ContainsAny(v.node.Value, "0123456789") {
			fix := giveOne(o)
			if near := nearest(v.node.Value, words); near != "" {
				fix = fmt.Sprintf("did you mean %q?", near)
			}
			r.wrong(v, "", s.allowed(), fix)
			return nil
		}
	}
	if o.kind == isMapping {
		for _, other := range s.options {
			if other.kind == isMapping && other != o {
				v.rivals = append(v.rivals, other.mapped())
			}
		}
	}
	got := r.read(v, o)
	if got != nil && o.kind == isMapping {
		got.wanted = s.options[0]
	}
	return got
}

// closest is the option that a node looks like most, the first of several that are as close, and how close it is.
func (r *reader) closest(v *value, s *shape) (best *shape, score int) {
	score = -1
	for _, o := range s.options {
		if sc := r.fit(v, o); sc > score {
			best, score = o, sc
		}
	}
	return best, score
}

func eitherFix(v *value, s *shape) string {
	if v.node.Kind == yaml.ScalarNode {
		if near := nearest(v.node.Value, s.words2()); near != "" {
			return fmt.Sprintf("did you mean %q?", near)
		}
		for _, o := range s.options {
			if o.kind == isQuantity {
				return giveOne(o)
			}
		}
	}
	return "write it in one of these forms"
}

// words2 gathers the words among the options.
func (s *shape) words2() []string {
	var out []string
	for _, o := range s.options {
		if o.kind == isWord {
			out = append(out, o.words...)
		}
	}
	return out
}

// fit tells how well a node's outer form suits a shape: 0 not at all.
func (r *reader) fit(v *value, s *shape) int {
	n := v.node
	switch s.kind {
	case isEither:
		best := 0
		for _, o := range s.options {
			best = max(best, r.fit(v, o))
		}
		return best
	case isWord:
		if n.Kind == yaml.ScalarNode {
			for _, w := range s.words {
				if w == n.Value {
					return 100
				}
			}
		}
		return 0
	case isFlag:
		if n.Kind == yaml.ScalarNode {
			switch strings.ToLower(n.Value) {
			case "yes", "no", "true", "false", "on", "off":
				return 100
			}
		}
		return 0
	case isQuantity:
		if n.Kind != yaml.ScalarNode {
			return 0
		}
		if _, err := unit.Parse(n.Value, s.dim); err == nil {
			return 50
		}
		return 2
	case isText, isCount:
		if n.Kind == yaml.ScalarNode {
			return 1
		}
		return 0
	case isList, isTuple:
		if n.Kind == yaml.SequenceNode {
			return 10
		}
		return 0
	case isMapping:
		if n.Kind != yaml.MappingNode {
			return 0
		}
		known := 1
		for i := 0; i+1 < len(n.Content); i += 2 {
			if s.mapped().find(n.Content[i].Value) != nil {
				known += 10
			} else if nearest(n.Content[i].Value, s.mapped().accepted()) != "" {
				known += 5
			} else {
				known--
			}
		}
		return max(known, 1)
	case isNamed:
		if n.Kind == yaml.MappingNode {
			return 1
		}
	}
	return 0
}
