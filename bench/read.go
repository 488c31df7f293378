package bench

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"emberbank/unit"
	yaml "go.yaml.in/yaml/v4"
)

// value is a node of a file, read by the table of fields: it keeps its place and text so that later checks can
// point at it. Missing and mistaken values are nil; the methods of a nil value give defaults, so that building
// goes on and finds further mistakes.
type value struct {
	node *yaml.Node
	file string
	path string // in the file, such as "passes[2].depth"
	root string // before path in Uncertain.Path, such as "receiver."
	typ  *shape // the one that it was read as
	text string // scalar as typed
	// instead is what stands in place of the typed number, as a message shows it; "": the typed one counts.
	instead string
	num     float64
	half    float64
	on      bool
	list    []*value
	keys    []string // of a mapping, in the file's order
	at      map[string]*value
	// partial: something below was mistaken, so checks that need the whole keep quiet.
	partial bool
	// wanted is the quantity that a value over time stands for, where it was read as a mapping.
	wanted *shape
	// rivals are the other mappings that could have stood here: their keys do not go with this one's.
	rivals []*form
}

// readFile reads a whole file by its form.
func (r *reader) readFile(f *file, fm *form, root string) *value {
	if f == nil {
		return nil
	}
	v := r.mapping(&value{node: f.root, file: f.name, root: root}, mapping(fm))
	return v
}

// problemAt reports a mistake at a value.
func (r *reader) problemAt(v *value, message, allowed, fix string) {
	r.report(Problem{
		File: v.file, Line: v.node.Line, Column: v.node.Column, Field: v.path, Typed: v.typed(),
		Message: message, Allowed: allowed, Fix: fix,
	})
}

// wrong reports that a value is out of what is allowed: FIELD is "TYPED", or with a reason behind.
func (r *reader) wrong(v *value, reason, allowed, fix string) {
	if v == nil {
		return
	}
	m := fmt.Sprintf("%s is %q", v.path, v.typed())
	if reason != "" {
		m += ": " + reason
	}
	r.problemAt(v, m, allowed, fix)
}

// doubt reports a warning at a value.
func (r *reader) doubt(v *value, message, fix string) {
	if v == nil {
		return
	}
	r.report(Problem{
		File: v.file, Line: v.node.Line, Column: v.node.Column, Field: v.path, Typed: v.typed(),
		Message: message, Fix: fix, Warning: true,
	})
}

// typed is the value as it stands in the file, shortened.
func (v *value) typed() string {
	if v.instead != "" {
		return v.instead
	}
	if v.node.Kind == yaml.ScalarNode {
		return shortened(v.node.Value)
	}
	return shortened(flow(v.node, 0))
}

func shortened(s string) string { return cut(s, 60) }

// cut makes one line of at most n characters.
func cut(s string, n int) string {
	s = strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f {
			return ' '
		}
		return c
	}, s)
	if c := []rune(s); len(c) > n {
		return string(c[:n-3]) + "…"
	}
	return s
}

// flow writes a node on one line.
func flow(n *yaml.Node, depth int) string {
	if depth > 4 {
		return "…"
	}
	var parts []string
	switch n.Kind {
	case yaml.ScalarNode:
		return n.Value
	case yaml.AliasNode:
		return "*" + n.Value
	case yaml.SequenceNode:
		for i, c := range n.Content {
			if i == 8 {
				parts = append(parts, "…")
				break
			}
			parts = append(parts, flow(c, depth+1))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			if i == 16 {
				parts = append(parts, "…")
				break
			}
			parts = append(parts, n.Content[i].Value+": "+flow(n.Content[i+1], depth+1))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return ""
}

// read reads a node as a shape; nil after a mistake.
func (r *reader) read(v *value, s *shape) *value {
	r.instead(v, s)
	n := v.node
	if n.Kind == yaml.AliasNode || n.Anchor != "" {
		r.problemAt(v, fmt.Sprintf("%s uses an anchor or alias (& or *)", v.path), "", "write the value out")
		return nil
	}
	switch s.kind {
	case isEither:
		return r.either(v, s)
	case isList:
		return r.list(v, s)
	case isTuple:
		return r.tuple(v, s)
	case isMapping:
		return r.mapping(v, s)
	case isNamed:
		return r.named(v, s)
	}
	if n.Kind != yaml.ScalarNode {
		have := "a list"
		if n.Kind == yaml.MappingNode {
			have = "a mapping"
		}
		r.problemAt(v, fmt.Sprintf("%s is %s, not %s", v.path, have, s.noun), s.allowed(), giveOne(s))
		return nil
	}
	v.text, v.typ = n.Value, s
	switch s.kind {
	case isQuantity:
		return r.quantity(v, s)
	case isCount:
		x, err := strconv.ParseInt(strings.TrimSpace(v.text), 10, 32)
		if err != nil || float64(x) < s.min || float64(x) > s.max {
			r.wrong(v, "", s.allowed(), giveOne(s))
			return nil
		}
		v.num = float64(x)
	case isFlag:
		switch strings.ToLower(v.text) {
		case "yes", "true", "on":
			v.on = true
		case "no", "false", "off":
		default:
			r.wrong(v, "", s.allowed(), `write "yes" or "no"`)
			return nil
		}
	case isWord:
		for _, w := range s.words {
			if w == v.text {
				return v
			}
		}
		r.wrong(v, "", s.allowed(), wordFix(v.text, s.words))
		return nil
	case isText:
		if strings.TrimSpace(v.text) == "" {
			r.problemAt(v, v.path+" is empty", s.allowed(), "write "+s.noun+", or take the line out")
			return nil
		}
	}
	return v
}

func giveOne(s *shape) string {
	switch {
	case s.kind == isWord:
		return "write " + quoted(s.words)
	case s.kind == isEither:
		for _, o := range s.options {
			if o.kind == isQuantity {
				return giveOne(o)
			}
		}
		return giveOne(s.options[0])
	case s.example != "":
		return fmt.Sprintf("give %s, for example %q", s.noun, s.example)
	}
	return "give " + s.noun
}

func wordFix(typed string, words []string) string {
	if near := nearest(typed, words); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return "write " + quoted(words)
}

// quantity reads a number with its unit.
func (r *reader) quantity(v *value, s *shape) *value {
	q, err := unit.Parse(v.text, s.dim)
	if err != nil {
		what, fix := unitTrouble(err, s)
		message := fmt.Sprintf("%s is %q: %s", v.path, v.typed(), what)
		if strings.HasPrefix(what, `"`+v.typed()+`"`) {
			message = v.path + " " + what
		}
		r.problemAt(v, message, s.allowed(), fix)
		return nil
	}
	if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) || math.IsNaN(q.Half) || math.IsInf(q.Half, 0) {
		r.wrong(v, "not a finite number", s.allowed(), giveOne(s))
		return nil
	}
	if !s.holds(q.Value) {
		r.wrong(v, "", s.allowed(), giveOne(s))
		return nil
	}
	if q.Half < 0 {
		r.wrong(v, "the uncertainty is below zero", "", `write it as "380 ± 24 W/(m2 K)"`)
		return nil
	}
	v.num, v.half = q.Value, q.Half
	key := v.root + v.path
	own := q.Half // of the number itself, without factors
	half := own
	for i, l := range r.changes {
		if o, found := r.puts(i, key); found {
			v.num = o
			r.used[key] = true
			if h, said := l.half[key]; said {
				own = h
			}
			half = own // what lies under it counts no more, its factors neither
		}
		f := r.factorOn(l, key, s.dim != unit.Time)
		v.num *= f
		if half *= math.Abs(f); l.settles(key, s.dim != unit.Time) {
			half = 0 // it is the factor's
		}
	}
	if v.num != q.Value {
		v.instead = unit.Format(v.num, s.dim, q.Unit)
		if !s.holds(v.num) {
			r.wrong(v, "in place of "+strconv.Quote(shortened(v.node.Value)), s.allowed(), "change it by less: what a study, a match or a ± makes of a number must be allowed there too")
			return nil
		}
	}
	r.keepNumber(key, s, v)
	u := Uncertain{Path: key, Dimension: s.dim, Unit: q.Unit, Value: v.num, Half: half, shape: s}
	switch name, known := r.joint(key); {
	case name != "":
		r.oneInput(u, name, known)
	case half > 0:
		r.uncertain = append(r.uncertain, u)
	}
	return v
}

// change is changes of numbers that are made together, one upon another, and how well they are known.
type change struct {
	override, factor, half map[string]float64
	alike                  map[string]string
}

// changesOf are the changes that Options make, the first first.
func changesOf(opt Options) []change {
	var out []change
	if opt.Under != nil {
		out = changesOf(*opt.Under)
	}
	return append(out, change{opt.Override, opt.Factor, opt.Half, opt.Alike})
}

// FactorPath is the path of a factor of Options itself: an override there takes its place.
func FactorPath(path string) string { return factorBegins + path }

const factorBegins = "factor on "

// covers tells whether what stands at a path or below it has the key.
func covers(path, key string) bool {
	rest, ok := strings.CutPrefix(key, path)
	return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// settles tells whether a factor on a number is known so well, or so badly, that its own ± does not count beside it.
func (l change) settles(key string, below bool) bool {
	for path := range l.factor {
		_, joined := l.alike[FactorPath(path)]
		if _, said := l.half[FactorPath(path)]; (said || joined) && (path == key || below && covers(path, key)) {
			return true
		}
	}
	return false
}

// inputsKnown are the numbers that are stated or known with an uncertainty, then factors.
func (r *reader) inputsKnown() []Uncertain {
	factors := r.factorsKnown() // what moves several is listed with the numbers
	return append(r.uncertain, factors...)
}

// factorsKnown are the factors whose half-widths are said, as inputs; not those on a number that another takes the place of.
func (r *reader) factorsKnown() (out []Uncertain) {
	for i, l := range r.changes {
		replaced := func(path string) bool {
			return slices.ContainsFunc(r.changes[i+1:], func(later change) bool { _, is := later.override[path]; return is })
		}
		for _, path := range slices.Sorted(maps.Keys(l.factor)) {
			u := Uncertain{Path: FactorPath(path), Dimension: unit.Dimensionless, Value: l.factor[path], Half: l.half[FactorPath(path)], factor: true}
			switch name := l.alike[u.Path]; {
			case replaced(path):
			case name != "":
				r.oneInput(u, name, l.half[name])
			case u.Half > 0:
				out = append(out, u)
			}
		}
	}
	return out
}

// overridden returns what the last of them puts in place of the number at a path.
func (r *reader) overridden(key string) (x float64, found bool) {
	for i := range r.changes {
		if o, is := r.puts(i, key); is {
			x, found = o, true
			r.used[key] = true
		}
	}
	return x, found
}

// factorOn is the product of a change's factors on a path and, of what is no time, on what it stands below: twice the light
// comes at the same hours.
func (r *reader) factorOn(l change, key string, below bool) float64 {
	f := 1.0
	if len(l.factor) == 0 {
		return f
	}
	for _, path := range slices.Sorted(maps.Keys(l.factor)) { // a product of three hangs on its order
		if !covers(path, key) || path != key && !below {
			continue
		}
		r.factored[path] = true
		if x, found := r.overridden(FactorPath(path)); found {
			f *= x
		} else {
			f *= l.factor[path]
		}
	}
	return f
}

// holds tells whether a quantity may have a value, in SI. What is no number it does not hold.
func (s *shape) holds(x float64) bool {
	return x >= s.min-slack(s.min) && x <= s.max+slack(s.max) && !(s.open && x <= s.min)
}

// limits are the least and the largest that it may be, in SI. Where the least itself is not allowed it is a thousandth of the way
// from there to a value that is.
func (s *shape) limits(value float64) (low, high float64) {
	if low = s.min; s.open {
		low += (value - s.min) / 1000
	}
	return low, s.max
}

// slack lets a limit typed in another unit pass: "80 cm" where the limit is 0.8 m.
func slack(limit float64) float64 {
	if math.IsInf(limit, 0) {
		return 0
	}
	return 1e-12 * math.Abs(limit)
}

// unitTrouble splits what package unit says into what is wrong and the fix.
func unitTrouble(err error, s *shape) (what, fix string) {
	var e *unit.Error
	if errors.As(err, &e) {
		return e.What, e.Fix
	}
	return err.Error(), giveOne(s)
}

// child makes the value of a node below v.
func (v *value) child(n *yaml.Node, step string) *value {
	p := v.path
	switch {
	case strings.HasPrefix(step, "["):
		p += step
	case p == "":
		p = step
	default:
		p += "." + step
	}
	return &value{node: n, file: v.file, root: v.root, path: p}
}

// list reads a list; one value that is no list stands for a list of one.
func (r *reader) list(v *value, s *shape) *value {
	v.typ = s
	if v.node.Kind != yaml.SequenceNode {
		if v.node.Kind == yaml.ScalarNode && isNull(v.node) {
			r.problemAt(v, v.path+" has no value", s.allowed(), "give a list, or take the line out")
			return nil
		}
		one := &value{node: v.node, file: v.file, root: v.root, path: v.path}
		if got := r.read(one, s.item); got != nil {
			v.list = []*value{got}
			return v
		}
		return nil
	}
	for i, c := range v.node.Content {
		got := r.read(v.child(c, fmt.Sprintf("[%d]", i+1)), s.item)
		if got == nil {
			v.partial = true
			continue
		}
		v.partial = v.partial || got.partial
		v.list = append(v.list, got)
	}
	if len(v.node.Content) < s.least {
		r.problemAt(v, fmt.Sprintf("%s has %d entries", v.path, len(v.node.Content)),
			fmt.Sprintf("at least %d: %s", s.least, s.allowed()), "add entries, or take the key out")
		return nil
	}
	return v
}

func (r *reader) tuple(v *value, s *shape) *value {
	v.typ = s
	if v.node.Kind != yaml.SequenceNode || len(v.node.Content) != len(s.items) {
		r.wrong(v, fmt.Sprintf("not a list of %d", len(s.items)), s.allowed(), giveTuple(s))
		return nil
	}
	for i, c := range v.node.Content {
		got := r.read(v.child(c, fmt.Sprintf("[%d]", i+1)), s.items[i])
		if got == nil {
			v.partial = true
		}
		v.list = append(v.list, got)
	}
	if v.partial {
		return nil
	}
	return v
}

func giveTuple(s *shape) string {
	parts := make([]string, len(s.items))
	for i, t := range s.items {
		for t.kind == isEither {
			t = t.options[0]
		}
		parts[i] = t.example
	}
	return `write it as "[` + strings.Join(parts, ", ") + `]"`
}

func isNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// entries walks a mapping's keys, with duplicates and odd keys reported. It returns the keys whose value was
// complained of here and that were not handed on.
func (r *reader) entries(v *value, each func(key string, k, c *yaml.Node)) (told map[string]bool) {
	seen := map[string]int{}
	told = map[string]bool{}
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		k, c := v.node.Content[i], v.node.Content[i+1]
		at := v.child(k, shortened(k.Value))
		if whole := decimalComma(v.node, i); whole != "" {
			at.node = c
			r.report(Problem{
				File: v.file, Line: c.Line, Column: c.Column, Field: at.path, Typed: shortened(whole),
				Message: fmt.Sprintf("%s is %q: a comma stands in the number", at.path, shortened(whole)),
				Fix:     "write a decimal point: " + shortened(strings.Replace(whole, ",", ".", 1)),
			})
			told[k.Value], v.partial = true, true
			i += 2
			continue
		}
		if k.Kind != yaml.ScalarNode || k.Tag == "!!merge" || k.Anchor != "" {
			r.problemAt(at, "this key is not plain text", "", "write keys as words; merging (<<) is not part of the form")
			v.partial = true
			continue
		}
		if line, twice := seen[k.Value]; twice {
			r.problemAt(at, fmt.Sprintf("%s stands twice, first in line %d", at.path, line), "each key once", "take one of the two out")
			v.partial = true
			continue
		}
		seen[k.Value] = k.Line
		each(k.Value, k, c)
	}
	return told
}

// decimalComma sees a number with a decimal comma that the braces around it have torn apart: in
// {inlet: 12,5 degC} YAML finds the key "inlet" with "12" and a key "5 degC" with nothing. It returns "12,5 degC".
func decimalComma(n *yaml.Node, i int) string {
	if i+3 >= len(n.Content) {
		return ""
	}
	c, k, null := n.Content[i+1], n.Content[i+2], n.Content[i+3]
	if c.Kind != yaml.ScalarNode || k.Kind != yaml.ScalarNode || !isNull(null) || null.Value != "" {
		return ""
	}
	first := strings.TrimLeft(c.Value, "+-")
	if first == "" || strings.Trim(first, "0123456789") != "" || k.Value == "" || k.Value[0] < '0' || k.Value[0] > '9' {
		return ""
	}
	return c.Value + "," + k.Value
}

func (r *reader) mapping(v *value, s *shape) *value {
	v.typ, v.at = s, map[string]*value{}
	if v.node.Kind != yaml.MappingNode {
		if isNull(v.node) {
			r.problemAt(v, v.path+" has no value", s.allowed(), "give its keys, or take the line out")
			return nil
		}
		r.wrong(v, "its keys are missing", s.allowed(), "give its keys indented below, or in { }")
		return nil
	}
	given, meant := map[string]bool{}, map[string]bool{}
	told := r.entries(v, func(key string, k, c *yaml.Node) {
		f := s.mapped().find(key)
		if f == nil {
			at := v.child(k, shortened(key))
			v.partial = true
			for _, rival := range v.rivals {
				if rival.find(key) != nil {
					r.report(Problem{
						File: v.file, Line: k.Line, Column: k.Column, Field: at.path, Typed: shortened(key),
						Message: at.path + " does not go together with the other keys here",
						Allowed: "{" + keyList(s.mapped()) + "} or {" + keyList(rival) + "}", Fix: "take it out, or the others",
					})
					return
				}
			}
			fix := "take it out, or write one of the keys that are known"
			if near := nearest(key, s.mapped().accepted()); near != "" {
				fix = fmt.Sprintf("did you mean %q?", near)
				meant[s.mapped().find(near).key] = true
			}
			r.report(Problem{
				File: v.file, Line: k.Line, Column: k.Column, Field: at.path, Typed: shortened(key),
				Message: at.path + " is not a known key", Allowed: joined(s.mapped().keys()), Fix: fix,
			})
			return
		}
		at := v.child(c, f.key)
		if given[f.key] {
			r.problemAt(at, fmt.Sprintf("%s and %s mean the same", f.key, f.synonym), "one of the two", "take one of the two out")
			return
		}
		given[f.key] = true
		if isNull(c) {
			if c.Value == "" || f.required {
				r.problemAt(at, at.path+" has no value", f.typ.allowed(), giveOne(f.typ)+orOut(f))
				v.partial = true
			}
			return
		}
		got := r.read(at, f.typ)
		if got == nil {
			v.partial = true
			return
		}
		v.partial = v.partial || got.partial
		v.at[f.key] = got
		v.keys = append(v.keys, f.key)
	})
	for i := range s.mapped().fields {
		f := &s.mapped().fields[i]
		if f.required && !given[f.key] && !meant[f.key] && !told[f.key] && !(f.synonym != "" && told[f.synonym]) {
			at := v.child(v.node, f.key)
			r.report(Problem{
				File: v.file, Line: v.node.Line, Column: v.node.Column, Field: at.path,
				Message: at.path + " is missing", Allowed: f.typ.allowed(), Fix: `add "` + f.key + `: …": ` + giveOne(f.typ),
			})
			v.partial = true
		}
	}
	return v
}

func orOut(f *field) string {
	if f.required {
		return ""
	}
	return ", or take the line out"
}

func (r *reader) named(v *value, s *shape) *value {
	v.typ, v.at = s, map[string]*value{}
	if v.node.Kind != yaml.MappingNode {
		r.wrong(v, "not a mapping", s.allowed(), "give names with their values indented below, or in { }")
		return nil
	}
	r.entries(v, func(key string, k, c *yaml.Node) {
		at := v.child(c, shortened(key))
		got := r.read(at, s.item)
		if got == nil {
			v.partial = true
			return
		}
		v.partial = v.partial || got.partial
		v.at[key] = got
		v.keys = append(v.keys, key)
	})
	return v
}
