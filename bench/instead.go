package bench

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"emberbank/unit"
	yaml "go.yaml.in/yaml/v4"
)

// scalar is a text that stands at a path, with what is allowed there.
type scalar struct {
	text  string
	shape *shape
	line  int
}

// keyOf is a value's path as Options name it.
func (v *value) keyOf() string { return v.root + v.path }

// instead puts another text where Options want one, and keeps what stands there where that is asked for.
func (r *reader) instead(v *value, s *shape) {
	if len(r.texts) == 0 && r.scalars == nil && !r.overrides() || v.node.Kind != yaml.ScalarNode || s.kind == isList || s.kind == isTuple {
		return
	}
	key := v.keyOf()
	if r.scalars != nil {
		if _, known := r.scalars[key]; !known { // the outermost shape comes first, which has all that is allowed
			r.scalars[key] = scalar{v.node.Value, s, v.node.Line}
		}
	}
	text, found := r.texts[key]
	if found {
		r.used[key] = true
	} else if text, found = r.number(key, v.node.Value, s); !found {
		return
	}
	n := *v.node
	n.Value, n.Tag, n.Style = text, "!!str", 0
	v.node = &n
}

// overrides tells whether any number is put in place of another.
func (r *reader) overrides() bool {
	return slices.ContainsFunc(r.changes, func(l change) bool { return len(l.override) > 0 })
}

// number returns the number that Options put where a word stands that a number may stand for.
func (r *reader) number(key, word string, s *shape) (text string, found bool) {
	var x float64
	for i := range r.changes {
		if o, is := r.puts(i, key); is {
			x, found = o, true
		}
	}
	q := s.numberOption()
	if !found || q == nil {
		return "", false
	}
	if _, err := unit.Parse(word, q.dim); err == nil {
		return "", false // a number stands there
	}
	return unit.Format(x, q.dim, q.dim.SI()), true
}

// numberOption is the quantity that may stand in place of a word; nil where none may.
func (s *shape) numberOption() *shape {
	if s.kind != isEither {
		return nil
	}
	for _, o := range s.options {
		if o.kind == isQuantity {
			return o
		}
	}
	return nil
}

// passesPath is the list of which Options.First keeps the beginning.
const passesPath = "receiver.passes"

// keepFirst takes away the passes beyond those that Options.First keeps, and what is then without any: circuits, and what
// the duty says of them. The files were checked with all passes.
func (p *runPlan) keepFirst(f *file) {
	for _, key := range slices.Sorted(maps.Keys(p.r.first)) {
		n := p.r.first[key]
		if all := len(p.out.Receiver.Passes); key != passesPath || n < 0 || n > all {
			p.r.report(Problem{
				File: f.name, Field: key, Message: fmt.Sprintf("the first %d of %s are asked for", n, key),
				Allowed: fmt.Sprintf("0 to %d of %s", all, passesPath), Fix: "ask for as many passes as the receiver has, or fewer",
			})
			return
		} else if n == all {
			continue
		}
		to := p.rec.keepCircuits(n)
		p.out.Receiver = p.rec.out
		p.out.Duty.KeepCircuits(to)
	}
}

// keepCircuits lays circuits of the first n passes alone. It returns the new place of each circuit, -1 where it has no
// pass left.
func (p *plan) keepCircuits(n int) []int {
	to := make([]int, len(p.laid))
	p.out.Passes, p.out.Circuits = p.out.Passes[:n:n], nil
	for i, c := range p.laid {
		order := slices.DeleteFunc(slices.Clone(c.order), func(pass int) bool { return pass >= n })
		if to[i] = -1; len(order) > 0 {
			to[i] = len(p.out.Circuits)
			p.out.Circuits = append(p.out.Circuits, p.join(c.name, order, c.v))
		}
	}
	return to
}

// lostPaths reports changes that nothing in the files took.
func (r *reader) lostPaths(f *file) {
	var lost []string
	each := func(key string, used map[string]bool) {
		if !used[key] && !r.elsewhere(key) {
			lost = append(lost, key)
		}
	}
	for key := range r.texts {
		each(key, r.used)
	}
	for _, l := range r.changes {
		for key := range l.override {
			each(key, r.used)
		}
		for key := range l.factor {
			each(key, r.factored)
		}
	}
	slices.Sort(lost)
	var known []string
	for _, u := range r.uncertain {
		known = append(known, u.Path)
	}
	for _, key := range slices.Compact(lost) {
		fix := "take one of the inputs that are written with ±"
		if near := nearest(key, known); near != "" {
			fix = fmt.Sprintf("did you mean %q?", near)
		}
		r.report(Problem{File: f.name, Field: key, Message: "no input has the path " + key, Fix: fix})
	}
}

// elsewhere tells whether a path is a material's property where other words may have put another material in its place: a
// variant without the material does not depend on it.
func (r *reader) elsewhere(key string) bool {
	return len(r.texts) > 0 && strings.HasPrefix(key, "medium[")
}

// takes tells whether a text suits a shape as a word, a name, a flag, a whole number or a quantity, and else how to mend it.
func (s *shape) takes(text string) (ok bool, fix string) {
	switch s.kind {
	case isText:
		return strings.TrimSpace(text) != "", "write " + s.noun
	case isWord:
		return slices.Contains(s.words, text), wordFix(text, s.words)
	case isFlag:
		switch strings.ToLower(text) {
		case "yes", "true", "on", "no", "false", "off":
			return true, ""
		}
		return false, `write "yes" or "no"`
	case isQuantity:
		q, err := unit.Parse(text, s.dim)
		if err != nil {
			_, fix = unitTrouble(err, s)
			return false, fix
		}
		return s.holds(q.Value), giveOne(s)
	case isEither:
		for _, o := range s.options {
			if ok, _ := o.takes(text); ok {
				return true, ""
			}
		}
		if near := nearest(text, s.words2()); near != "" {
			return false, fmt.Sprintf("did you mean %q?", near)
		}
		return false, giveOne(s)
	}
	return false, giveOne(s)
}
