package bench

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"emberbank/sample"
	"emberbank/unit"
)

// asked is an axis while it is being read, with what is allowed at each of its paths.
type asked struct {
	StudyAxis
	v      *value
	shapes []*shape
	known  bool // everything at its paths is
	found  bool // one of its paths is, and gave kind and dimension
}

// texts are the scalars under some keys, one by one or in lists.
func (v *value) texts(keys ...string) (out []*value) {
	for _, k := range keys {
		switch t := v.get(k); {
		case t == nil:
		case t.list != nil:
			out = append(out, t.list...)
		default:
			out = append(out, t)
		}
	}
	return out
}

// numberColumn is the column of a study's table with the number of a variant, a bare one, as an axis or a response may be.
const numberColumn = "variant"

// studyColumns are that and the columns that carry no unit, as an axis of words carries none.
var studyColumns = []string{numberColumn, "meets the constraints", "cautions", "ended early", "failure", "key"}

// what reads an axis's name and paths, and finds out what stands there. texts are its values as typed.
func (c *choices) what(v *value, texts []*value) *asked {
	r := c.r
	a := &asked{v: v, StudyAxis: StudyAxis{Name: v.get("name").word(""), Factor: v.get("factor").yes(false), Dimension: unit.Dimensionless, Low: math.NaN(), High: math.NaN()}}
	if slices.ContainsFunc(c.out.Axes, func(o StudyAxis) bool { return o.Name == a.Name }) {
		r.wrong(v.get("name"), "another axis has this name", "each name once", "choose another name")
	}
	if slices.Contains(studyColumns, a.Name) {
		r.wrong(v.get("name"), "a column of the study's table has this name", "any other name", "choose another name")
	}
	a.known = c.known != nil && v.get("path") != nil
	for _, pv := range v.get("path").items() {
		for _, o := range c.out.Axes {
			if slices.Contains(o.Paths, pv.text) {
				r.wrong(pv, "the axis "+o.Name+" varies it already", "each path once", "take one out")
			}
		}
		a.Paths = append(a.Paths, pv.text)
		if c.known != nil {
			a.known = c.at(a, pv, texts) && a.known
		}
	}
	return a
}

// at finds out what stands at one path. It is false after a mistake.
func (c *choices) at(a *asked, pv *value, texts []*value) bool {
	r := c.r
	u, found, below := c.known.find(pv.text)
	text, isText := c.known.scalars[pv.text]
	kind, dim, s := AxisNumber, u.Dimension, u.shape
	switch {
	case a.Factor && found && !below:
		r.wrong(pv, "a spread is a factor by itself", "the path without factor", `take "factor: yes" out`)
		return false
	case a.Factor && (found || below):
		return true
	case a.Factor && isText:
		r.wrong(pv, fmt.Sprintf("%q stands there, which no factor multiplies", text.text), "the path of a number, or of what has numbers below", `take "factor: yes" out, and give the words`)
		return false
	case a.Factor:
		r.noNumber(pv, "the run "+c.known.name, c.known, below)
		return false
	case pv.text == passesPath && c.run != nil && len(c.run.Problem.Receiver.Passes) > 0:
		kind, dim, s = AxisFirst, unit.Dimensionless, count(0, float64(len(c.run.Problem.Receiver.Passes)))
	case isText && text.shape.kind == isCount:
		kind, dim, s = AxisWhole, unit.Dimensionless, text.shape
	case found && (!isText || !text.shape.holdsOneOf(texts)):
	case isText && text.shape.numberOption() != nil && !text.shape.holdsOneOf(texts):
		s = text.shape.numberOption()
		dim = s.dim
	case isText:
		kind, dim, s = AxisWords, unit.Dimensionless, text.shape
	default:
		c.nothing(pv, below)
		return false
	}
	if a.found && (kind != a.Kind || dim != a.Dimension) {
		r.wrong(pv, "another kind of quantity than the path before it", "one kind", "make two axes of it")
		return false
	}
	a.Kind, a.Dimension, a.found = kind, dim, true
	if s != nil {
		a.shapes = append(a.shapes, s)
	}
	return true
}

// nothing reports a path at which nothing stands that can be varied.
func (c *choices) nothing(pv *value, below bool) {
	const allowed = "the path of a number, a word or a name that the files state; or " + passesPath + ", for how many of them are laid"
	fix := "write the path as the files have it; entries of lists count from 1, such as receiver.passes[2].contact"
	if near := nearest(pv.text, append(c.known.paths(), passesPath)); near != "" {
		fix = fmt.Sprintf("did you mean %q?", near)
	} else if below {
		fix = `to multiply all that stands below it, add "factor: yes"`
		if next := c.known.under(pv.text); len(next) > 0 && len(next) <= 8 {
			fix += "; below it stand " + joined(next)
		}
	} else if near := c.known.nearestPath(pv.text); near != "" {
		fix = near
	}
	c.r.wrong(pv, "the run "+c.known.name+" has nothing there that can be varied", allowed, fix)
}

// holdsOneOf tells whether one of the texts is a word that the shape knows beside numbers.
func (s *shape) holdsOneOf(texts []*value) bool {
	words := s.words2()
	return slices.ContainsFunc(texts, func(t *value) bool { return slices.Contains(words, t.text) })
}

// value reads one value of an axis; false after a mistake.
func (c *choices) value(a *asked, t *value) (float64, bool) {
	r := c.r
	switch a.Kind {
	case AxisWords:
		return c.wordValue(a, t)
	case AxisWhole, AxisFirst:
		n, err := strconv.Atoi(strings.TrimSpace(t.text))
		for _, s := range a.shapes {
			if x := float64(n); err != nil || x < s.min || x > s.max {
				r.wrong(t, "", s.allowed(), giveOne(s))
				return math.NaN(), false
			}
		}
		return float64(n), true
	}
	q, err := unit.Parse(t.text, a.Dimension)
	if err != nil {
		what, fix := unitTrouble(err, quantity(a.Dimension, "", ""))
		r.wrong(t, what, "", fix)
		return math.NaN(), false
	}
	if a.Unit == "" {
		a.Unit = q.Unit
	}
	return q.Value, c.within(a, t, q.Value)
}

// within complains of a number that a field of the axis does not take.
func (c *choices) within(a *asked, t *value, x float64) bool {
	for _, s := range a.shapes {
		if x < s.min-slack(s.min) || x > s.max+slack(s.max) || s.open && x <= s.min {
			c.r.wrong(t, "", s.allowed(), giveOne(s))
			return false
		}
	}
	if a.Factor && !(x >= 0) {
		c.r.wrong(t, "a factor is not below zero", "from 0", "give it as 0.5 or as 50 %")
		return false
	}
	return true
}

// wordValue gives a word its place among the axis's words.
func (c *choices) wordValue(a *asked, t *value) (float64, bool) {
	for _, s := range a.shapes {
		if ok, fix := s.takes(t.text); !ok {
			c.r.wrong(t, "", s.allowed(), fix)
			return math.NaN(), false
		}
	}
	if slices.Contains(a.Words, t.text) {
		c.r.wrong(t, "it stands twice", "each word once", "take one out")
		return math.NaN(), false
	}
	a.Words = append(a.Words, t.text)
	return float64(len(a.Words) - 1), true
}

// list reads values one by one; nil after a mistake.
func (c *choices) list(a *asked, texts []*value) sample.Levels {
	var out sample.List
	ok := true
	for _, t := range texts {
		x, fine := c.value(a, t)
		if n := len(out); fine && n > 0 && x <= out[n-1] {
			c.r.wrong(t, "not above the value before it", "values that rise", "put them in order, each once")
			fine = false
		}
		ok = ok && fine
		out = append(out, x)
	}
	if !ok || len(out) == 0 {
		return nil
	}
	return out
}

// levels reads the values of an axis of a sweep; nil after a mistake.
func (c *choices) levels(a *asked) sample.Levels {
	r, v := c.r, a.v
	values, from, to, count := v.get("values"), v.get("from"), v.get("to"), v.get("count")
	whole := a.Kind == AxisWhole || a.Kind == AxisFirst
	ranged := from != nil || to != nil || count != nil
	switch {
	case values != nil && ranged:
		r.problemAt(v, v.path+" has both values and a range", `"values", or "from", "to" and "count"`, "take one of the two out")
	case values != nil:
		return c.list(a, values.items())
	case v.partial:
	case a.Kind == AxisWords:
		r.problemAt(v, v.path+" lacks its values", `"values"`, fmt.Sprintf(`add "values: [%s, …]": %s`, c.known.scalars[a.Paths[0]].text, a.shapes[0].allowed()))
	case from == nil || to == nil || count == nil && !whole:
		r.problemAt(v, v.path+" lacks its values", `"values", or "from", "to" and "count"`, `add "values: [20 mm, 40 mm, 80 mm]" or "from: 20 mm, to: 80 mm, count: 4", in the unit of what is varied`)
	default:
		return c.ranged(a, from, to, count)
	}
	return nil
}

// ranged reads a range of values; nil after a mistake.
func (c *choices) ranged(a *asked, from, to, count *value) sample.Levels {
	r := c.r
	low, ok := c.value(a, from)
	high, fine := c.value(a, to)
	if !ok || !fine || !c.rises(a, from, to, low, high) {
		return nil
	}
	g := sample.Range{From: low, To: high, Count: int64(count.number(high - low + 1)), Log: a.v.get("steps").is("ratio")}
	if a.Kind != AxisNumber {
		span, parts := int64(high-low), g.Count-1
		if g.Log {
			r.wrong(a.v.get("steps"), "whole numbers have no equal ratios", "equal", `take "steps" out, or give the values one by one`)
			return nil
		}
		if parts < 1 || span%parts != 0 {
			r.wrong(count, fmt.Sprintf("from %d to %d it would not step by whole numbers", int64(low), int64(high)), "a count whose steps are whole numbers", `take "count" out for every whole number, or give the values one by one`)
			return nil
		}
	}
	return g
}

// rises checks the ends of a range.
func (c *choices) rises(a *asked, from, to *value, low, high float64) bool {
	switch {
	case low >= high:
		c.r.wrong(to, "not above the first value", "a range that rises", "swap or mend them")
	case a.v.get("steps").is("ratio") && low <= 0:
		c.r.wrong(from, "equal ratios begin above zero", "above zero", `begin above zero, or take "steps: equal"`)
	default:
		return true
	}
	return false
}

// axis reads one axis of a sweep.
func (c *choices) axis(v *value) {
	a := c.what(v, v.texts("values", "from", "to"))
	if !a.known || v.partial && v.get("values") == nil && v.get("from") == nil {
		return
	}
	a.Levels = c.levels(a)
	if v.partial {
		a.Levels = nil
	}
	c.add(a)
}

// add takes an axis into the study. Words are tried at once: media that come in by them have properties that may be varied.
func (c *choices) add(a *asked) {
	c.out.Axes, c.axes = append(c.out.Axes, a.StudyAxis), append(c.axes, a.v)
	if a.Kind == AxisWords {
		c.tryEnds(len(c.out.Axes) - 1)
	}
}

// Show writes a value of the axis with its unit, or the word that it stands for.
func (a *StudyAxis) Show(x float64) string {
	switch a.Kind {
	case AxisWords:
		if i := int(x); i >= 0 && i < len(a.Words) {
			return a.Words[i]
		}
		return ""
	case AxisWhole, AxisFirst:
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	return unit.Format(x, a.Dimension, a.Unit)
}
