package survey

import (
	"fmt"
	"math"
	"strings"

	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/farm"
)

// variedOf lays what came out beside what was asked.
func variedOf(s *bench.Study, outcomes []farm.Outcome) *dossier.Varied {
	v := &dossier.Varied{Name: s.Name, Kind: [...]string{"sweep", "sample", "search"}[s.Kind], Notes: s.Warnings}
	for _, a := range s.Axes {
		v.Axes = append(v.Axes, dossier.VariedAxis{Name: a.Name, Dimension: a.Dimension, Unit: a.Unit})
	}
	for _, r := range s.Responses {
		v.Responses = append(v.Responses, dossier.VariedResponse{Name: r.Name, Read: r.Read.Text, Quantity: r.Quantity})
	}
	for i, o := range outcomes {
		one := dossier.Variant{Key: o.Key, At: make([]float64, len(s.Axes)), Values: o.Values, Failure: o.Failure, Stopped: o.Stopped, Cautions: o.Cautions}
		s.Design.At(int64(i), one.At)
		one.Meets = o.Failure == ""
		for _, k := range s.Constraints {
			one.Meets = one.Meets && meets(k, one.Values)
		}
		v.Variants = append(v.Variants, one)
	}
	for _, k := range s.Constraints {
		v.Constraints = append(v.Constraints, constraintOf(s, v, k))
	}
	for _, a := range s.Answers {
		v.Answers = append(v.Answers, answersOf(s, v, a)...)
	}
	return v
}

// meets is false where there is no value.
func meets(k bench.StudyConstraint, values []float64) bool {
	return len(values) > k.Response && values[k.Response] >= k.Above && values[k.Response] <= k.Below
}

// constraintOf counts the variants that meet a constraint; where none does, it names the one that comes nearest.
func constraintOf(s *bench.Study, v *dossier.Varied, k bench.StudyConstraint) dossier.VariedConstraint {
	r := s.Responses[k.Response]
	var limits []string
	if !math.IsInf(k.Above, 0) {
		limits = append(limits, "at least "+dossier.Amount(r.Quantity, k.Above, false))
	}
	if !math.IsInf(k.Below, 0) {
		limits = append(limits, "at most "+dossier.Amount(r.Quantity, k.Below, false))
	}
	c := dossier.VariedConstraint{Text: r.Name + " " + strings.Join(limits, " and ")}
	nearest, off := -1, math.Inf(1)
	for i := range v.Variants {
		o := &v.Variants[i]
		if o.Failure != "" {
			continue
		}
		if meets(k, o.Values) {
			c.Meet++
		} else if d := math.Max(k.Above-o.Values[k.Response], o.Values[k.Response]-k.Below); d < off {
			nearest, off = i, d
		}
	}
	switch {
	case c.Meet > 0:
		c.Words = fmt.Sprintf("%s: %d of %d variants meet it.", c.Text, c.Meet, len(v.Variants))
	case nearest < 0:
		c.Words = c.Text + ": no variant meets it."
	default:
		c.Words = fmt.Sprintf("%s: no variant meets it. Variant %d comes nearest, with %s.", c.Text, nearest+1, dossier.Amount(r.Quantity, v.Variants[nearest].Values[k.Response], false))
	}
	return c
}
