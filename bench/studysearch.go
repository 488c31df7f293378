package bench

import (
	"fmt"
	"math"

	"emberbank/sample"
)

// searched reads a search, but for its aims, which name responses.
func (c *choices) searched(v *value) {
	s := &StudySearch{Runs: int(v.get("runs").number(0)), Seed: seedOf(v), Surrogate: !v.get("by").is("trials"), AtOnce: int(v.get("at once").number(1))}
	c.out.Kind, c.out.Search = Search, s
	ok := !v.partial
	for _, ov := range v.get("over").items() {
		ok = c.over(ov) && ok
	}
	if fill := 4*len(c.out.Axes) + 4; ok && s.Surrogate && s.Runs <= fill {
		c.r.doubt(v.get("runs"), fmt.Sprintf("%s is %d: the first %d only spread over the ranges, before there is a model that says where to look", v.get("runs").path, s.Runs, fill),
			fmt.Sprintf("allow %d or more", 2*fill))
	}
	if s.AtOnce > max(s.Runs, 1) {
		c.r.wrong(v.get("at once"), "more than all variants", fmt.Sprintf("up to %d", s.Runs), "ask for fewer at once")
	}
	if ok && c.run != nil {
		c.try()
	}
}

// over reads what is searched over; false after a mistake.
func (c *choices) over(v *value) bool {
	a := c.what(v, v.texts("values", "from", "to"))
	if !a.known || v.partial {
		return false
	}
	values, from, to := v.get("values"), v.get("from"), v.get("to")
	a.Ratio = v.get("steps").is("ratio")
	switch {
	case values != nil && (from != nil || to != nil):
		c.r.problemAt(v, v.path+" has both values and a range", `"values", or "from" and "to"`, "take one of the two out")
		return false
	case values != nil:
		if a.Levels = c.list(a, values.items()); a.Levels == nil {
			return false
		}
		a.ofLevels()
	case a.Kind == AxisWords:
		c.r.problemAt(v, v.path+" lacks its words", `"values"`, fmt.Sprintf(`add "values: [%s, …]": %s`, c.known.scalars[a.Paths[0]].text, a.shapes[0].allowed()))
		return false
	case from == nil || to == nil:
		c.r.problemAt(v, v.path+" lacks its range", `"from" and "to", or "values"`, `add "from: 20 mm, to: 200 mm", in the unit of what is varied`)
		return false
	default:
		low, ok := c.value(a, from)
		high, fine := c.value(a, to)
		if !ok || !fine || !c.rises(a, from, to, low, high) {
			return false
		}
		a.Low, a.High = low, high
	}
	c.add(a)
	return true
}

// ofLevels sets the range of given values.
func (a *asked) ofLevels() {
	if l, is := a.Levels.(sample.List); is {
		a.Low, a.High = l[0], l[len(l)-1]
	}
}

// mostAims is how many aims a search can have: between three the best are a surface, which nobody reads.
const mostAims = 2

// aims reads what a search is after.
func (c *choices) aims(list *value) {
	items := list.items()
	if n := len(items); n > mostAims {
		c.r.problemAt(list, fmt.Sprintf("%s: %d aims", list.path, n), "one aim, or two for the front between them", "make limits of the others, under constraints")
		return
	}
	for _, v := range items {
		i, q := c.named(v.get("response"))
		if q == nil {
			continue
		}
		for _, o := range c.out.Search.Aims {
			if o.Response == i {
				c.r.wrong(v.get("response"), "another aim has this response", "each response once", "take one out")
			}
		}
		a := StudyAim{Response: i, Most: v.get("want").is("most")}
		if q.Quantity >= 0 {
			a.Flat = c.size(v.get("flat within"), q, errorOf[q.Quantity], 0)
		}
		if f := v.get("flat within"); f != nil && !math.IsNaN(a.Flat) && a.Flat < 0 {
			c.r.wrong(f, "", "from zero", "say by how much a variant may be worse")
		}
		c.out.Search.Aims = append(c.out.Search.Aims, a)
	}
}
