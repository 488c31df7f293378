package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/farm"
)

// varied lays what came out beside what was asked.
func (w *working) varied(outcomes []farm.Outcome, at func(n int64) point) *account.Varied {
	s := w.Asked
	v := Head(s)
	v.Variants = make([]account.Variant, len(outcomes))
	for i := range outcomes {
		v.Variants[i] = w.variant(&outcomes[i], at(int64(i)).x)
	}
	for k, r := range v.Responses {
		if !slices.ContainsFunc(v.Variants, func(o account.Variant) bool { return o.Failure == "" && !math.IsNaN(o.Values[k]) }) {
			v.Notes = append(v.Notes, fmt.Sprintf("No variant has a value of %s (%s).", r.Name, r.Read))
		}
	}
	v.Notes = append(v.Notes, contrasts(v)...)
	for _, k := range s.Constraints {
		v.Constraints = append(v.Constraints, w.constraint(v, k))
	}
	return v
}

// variant is an outcome with its place on the axes.
func (w *working) variant(o *farm.Outcome, x []float64) account.Variant {
	one := account.Variant{Key: o.Key, At: x, Values: o.Values, Failure: o.Failure, Stopped: o.Stopped, Cautions: o.Cautions}
	one.Meets = w.meets(o)
	return one
}

// meets tells whether a variant meets all constraints; one without a value does not.
func (w *working) meets(o *farm.Outcome) bool {
	for _, k := range w.Asked.Constraints {
		if !within(k, value(o, k.Response)) {
			return false
		}
	}
	return o.Failure == ""
}

// within is false where there is no value.
func within(k bench.StudyConstraint, y float64) bool { return y >= k.Above && y <= k.Below }

// constraint counts the variants that meet a constraint; where none does, it names the one that comes nearest.
func (w *working) constraint(v *account.Varied, k bench.StudyConstraint) account.VariedConstraint {
	r := &v.Responses[k.Response]
	var limits []string
	if !math.IsInf(k.Above, 0) {
		limits = append(limits, "at least "+r.Amount(k.Above, false))
	}
	if !math.IsInf(k.Below, 0) {
		limits = append(limits, "at most "+r.Amount(k.Below, false))
	}
	c := account.VariedConstraint{Text: r.Name + " " + strings.Join(limits, " and "), Response: k.Response, Above: k.Above, Below: k.Below}
	nearest, off := -1, math.Inf(1)
	for i := range v.Variants {
		o := &v.Variants[i]
		if o.Failure != "" {
			continue
		}
		if y := o.Values[k.Response]; within(k, y) {
			c.Meet++
		} else if d := math.Max(k.Above-y, y-k.Below); d < off {
			nearest, off = i, d
		}
	}
	switch {
	case c.Meet > 0:
		c.Words = fmt.Sprintf("%s: %d of %d variants meet it.", c.Text, c.Meet, len(v.Variants))
	case nearest < 0:
		c.Words = c.Text + ": no variant meets it."
	default:
		c.Words = fmt.Sprintf("%s: no variant meets it. Variant %d comes nearest, with %s.", c.Text, nearest+1, r.Amount(v.Variants[nearest].Values[k.Response], false))
	}
	return c
}
