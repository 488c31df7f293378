package bench

import (
	"math"
	"slices"
)

// answer reads one question.
func (c *choices) answer(v *value) {
	if c.out.Kind != Sweep {
		c.r.problemAt(v, v.path+" asks what only a sweep shows: what happens from value to value of an axis", "questions of a sweep", "take it out: what samples and searches are for is answered without asking")
		return
	}
	if v.has("pays") {
		c.pays(v)
		return
	}
	c.plateau(v)
}

// overAxis finds an axis by its name; -1 where there is none, which is told.
func (c *choices) overAxis(v *value) int {
	if v == nil {
		return -1
	}
	var names []string
	for k, o := range c.out.Axes {
		if o.Name == v.text {
			return k
		}
		names = append(names, o.Name)
	}
	if len(names) > 0 {
		c.r.wrong(v, "no axis has this name", quoted(names), wordFix(v.text, names))
	}
	return -1
}

func (c *choices) plateau(v *value) {
	i, q := c.named(v.get("plateau"))
	a := StudyAnswer{Response: i, Axis: c.overAxis(v.get("over")), Computing: math.NaN()}
	if a.Axis >= 0 {
		if l := c.out.Axes[a.Axis].Levels; c.out.Axes[a.Axis].Kind == AxisWords || l != nil && (l.Len() < 4 || l.Value(0) <= 0) {
			c.r.wrong(v.get("over"), "a plateau is judged over four values or more, all above zero", "such an axis", "give the axis more values, or take the question out")
		}
	}
	if q == nil || q.Quantity < 0 || a.Axis < 0 {
		return
	}
	a.Margin = c.size(v.get("margin"), q, errorOf[q.Quantity], 0)
	if a.Twins = v.get("computing").is("refined"); !a.Twins {
		a.Computing = c.size(v.get("computing"), q, errorOf[q.Quantity], math.NaN())
	}
	if m := v.get("margin"); m != nil && !(a.Margin > 0) {
		c.r.wrong(m, "", "above zero", "say by how much a plateau may still change")
	}
	if a.Computing < 0 {
		c.r.wrong(v.get("computing"), "an uncertainty is not below zero", "from zero", "give a standard uncertainty")
	}
	c.out.Answers = append(c.out.Answers, a)
}

// pays reads a question of a count that pays.
func (c *choices) pays(v *value) {
	a := StudyAnswer{Response: -1, Axis: c.overAxis(v.get("over")), Computing: math.NaN(), Pays: &StudyPays{Control: -1}}
	var first *StudyResponse
	for _, t := range v.get("pays").items() {
		i, q := c.named(t)
		if q == nil || q.Quantity < 0 {
			continue
		}
		if slices.Contains(a.Pays.Responses, i) {
			c.r.wrong(t, "it stands twice", "each response once", "take one out")
		}
		if first != nil && q.Quantity != first.Quantity {
			c.r.wrong(t, "another kind of quantity than the response before it", "responses of one kind", "ask two questions")
			return
		}
		first = q
		a.Pays.Responses = append(a.Pays.Responses, i)
	}
	if a.Axis >= 0 {
		if o := &c.out.Axes[a.Axis]; o.Kind == AxisWords || o.Levels != nil && o.Levels.Len() < 2 {
			c.r.wrong(v.get("over"), "what pays is judged from number to number", "an axis of two numbers or more", "name another axis")
			return
		}
	}
	if t := v.get("control"); t != nil {
		k := c.overAxis(t)
		if k >= 0 && (k == a.Axis || c.out.Axes[k].Kind == AxisWords || c.out.Axes[k].Levels != nil && c.out.Axes[k].Levels.Len() < 2) {
			c.r.wrong(t, "the control range lies between the least and the largest value of another axis", "another axis, of two numbers or more", "name such an axis, or take control out")
			return
		}
		a.Pays.Control = k
	}
	if first == nil || a.Axis < 0 {
		return
	}
	if a.Pays.Worth = c.size(v.get("worth"), first, errorOf[first.Quantity], math.NaN()); !(a.Pays.Worth > 0) {
		c.r.wrong(v.get("worth"), "", "above zero", "say what one more has to bring")
	}
	a.Response = a.Pays.Responses[0]
	c.out.Answers = append(c.out.Answers, a)
}
