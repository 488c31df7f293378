package bench

import (
	"fmt"
	"strings"

	"emberbank/unit"
)

// FilmsPath is the path of an input that no file holds: every computed film inside a tube, at the part of its own spread
// that Options.Override says, from -1 to 1. It is carried where the run has such films.
const FilmsPath = "films in tubes"

// films sets the run's films where Options say so.
func (p *runPlan) films() {
	if x, found := p.r.overridden(FilmsPath); found {
		p.out.Films = x
	}
}

// filmsCarried tells whether a run has water that flows through tubes of which the film is computed.
func (r *Run) filmsCarried() bool {
	rec := &r.Problem.Receiver
	for _, c := range rec.Circuits {
		for _, run := range c.Runs {
			if s := &rec.Passes[run.Pass]; s.Line == 0 && !s.FilmNone && s.FilmFixed == 0 {
				return true
			}
		}
	}
	return false
}

// carry reads which uncertainties are carried into the answers.
func (c *choices) carry(v *value) {
	if v == nil || c.run == nil {
		return
	}
	all := c.inputsStated()
	if c.run.filmsCarried() {
		all = append(all, Uncertain{Path: FilmsPath, Dimension: unit.Dimensionless, Half: 1})
	}
	var names []string
	left := all[:0]
	for _, u := range all {
		if !c.settled(&u, c.set) {
			left = append(left, u)
			names = append(names, u.Path)
		}
	}
	const stateOne = `write one in the run's files as "380 ± 24 W/(m2 K)" (half-width at 95 %), or take carry out`
	switch {
	case v.typ.kind == isFlag && !v.on:
		return
	case c.out.Sample != nil:
		c.r.problemAt(v, v.path+" goes with a sweep or a search: a sample draws what is uncertain", "a sweep or a search", `take it out, and draw with "stated: yes"`)
		return
	case len(left) == 0:
		c.r.problemAt(v, "the run "+c.known.name+" states no input with an uncertainty that no axis sets, so there is nothing to carry", "a run whose files state some with ±", stateOne)
		return
	case v.typ.kind == isFlag:
		c.out.Carry = left
	default:
		for _, t := range v.items() {
			c.carryOne(t, left, names)
		}
	}
	if d := c.out.Design; d != nil {
		if n := d.Count() * int64(len(c.out.Carry)+1); n > mostVariants {
			c.r.problemAt(v, fmt.Sprintf("%s: %d variants, each run %d times more for what is carried, are %d runs", v.path, d.Count(), len(c.out.Carry), n), fmt.Sprintf("at most %d", mostVariants), "carry fewer inputs, or take fewer values")
		}
	}
}

func (c *choices) carryOne(t *value, left []Uncertain, names []string) {
	for _, have := range c.out.Carry {
		if have.Path == t.text {
			c.r.wrong(t, "it stands twice", "each path once", "take one out")
			return
		}
	}
	for _, u := range left {
		if u.Path == t.text {
			c.out.Carry = append(c.out.Carry, u)
			return
		}
	}
	if c.set(t.text) {
		c.r.wrong(t, "an axis sets it, so that what the files state of it does not count", "an input that no axis sets", "take it out")
		return
	}
	c.r.wrong(t, "the run states no uncertainty there", quoted(names), nearOr(t.text, names, `name one of them, or write "carry: yes" for all`))
}

// nearOr offers the word that comes nearest, or else another fix.
func nearOr(typed string, words []string, fix string) string {
	if near := nearest(typed, words); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return fix
}

// set tells whether an axis puts another value in the place of what the files state at a path, or of what a factor makes of it.
func (c *choices) set(p string) bool {
	p = strings.TrimPrefix(p, factorBegins)
	for _, a := range c.out.Axes {
		for _, have := range a.Paths {
			if have == p && !a.Factor {
				return true
			}
		}
	}
	return false
}
