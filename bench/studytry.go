package bench

import (
	"fmt"
	"slices"

	"emberbank/sample"
)

// design counts the variants of a sweep and tries its axes.
func (c *choices) design(at *value) {
	var levels []sample.Levels
	for _, a := range c.out.Axes {
		if a.Levels == nil {
			return
		}
		levels = append(levels, a.Levels)
	}
	if at == nil || len(levels) == 0 {
		return
	}
	g, err := sample.NewGrid(levels...)
	switch {
	case err != nil:
		c.r.problemAt(at, at.path+": "+err.Error(), fmt.Sprintf("at most %d variants", mostVariants), "take fewer values, or fewer axes")
	case g.Count() > mostVariants:
		c.r.problemAt(at, fmt.Sprintf("%s: the sweep has %d variants", at.path, g.Count()), fmt.Sprintf("at most %d", mostVariants), "take fewer values, or fewer axes")
	case len(levels) == len(at.node.Content):
		c.out.Design = g
		c.try()
	}
}

// try builds the run at the ends of each axis that is not of words, the other axes as the files have them.
func (c *choices) try() {
	for i := range c.out.Axes {
		if c.out.Axes[i].Kind != AxisWords {
			c.tryEnds(i)
		}
	}
}

// tryEnds builds the run at the ends of an axis, or with each of its words.
func (c *choices) tryEnds(i int) {
	for _, x := range c.out.Axes[i].ends() {
		c.tryOne(i, x)
	}
}

// mostTries bounds the words of an axis that are tried before the study starts.
const mostTries = 200

// ends are the values of an axis that are tried.
func (a *StudyAxis) ends() []float64 {
	switch {
	case a.Kind == AxisWords:
		var all []float64
		for i := range min(len(a.Words), mostTries) {
			all = append(all, float64(i))
		}
		return all
	case a.Levels != nil:
		return []float64{a.Levels.Value(0), a.Levels.Value(a.Levels.Len() - 1)}
	case a.From != nil:
		return []float64{a.From.Quantile(0.001), a.From.Quantile(0.999)}
	}
	return []float64{a.Low, a.High}
}

// tryOne builds the run with one value of one axis.
func (c *choices) tryOne(i int, x float64) {
	one := Study{Axes: c.out.Axes[i : i+1], Under: c.out.Under}
	a := &one.Axes[0]
	run, ps := c.build(one.Changes([]float64{x}))
	if !ps.Failed() {
		if a.Kind == AxisWords {
			rec := run.Problem.Receiver
			c.bodies = append(c.bodies, &rec)
		}
		for _, u := range run.Spreads {
			if !slices.ContainsFunc(c.known.spreads, func(o Uncertain) bool { return o.Path == u.Path }) {
				c.known.spreads = append(c.known.spreads, u)
			}
		}
		return
	}
	first := ps[slices.IndexFunc(ps, func(p Problem) bool { return !p.Warning })]
	fix := "choose other values, or vary what hangs on it by further paths of this axis"
	if a.Kind == AxisWords && first.Fix != "" {
		fix = first.Fix
	}
	c.r.problemAt(c.axes[i], fmt.Sprintf("%s: with %s the run cannot be built: %s: %s", c.axes[i].path, a.Show(x), first.Place(), first.Message), first.Allowed, fix)
}
