package cli

import (
	"fmt"
	"math"
	"strings"

	judge "emberbank/answer"
	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/farm"
)

// variedOf lays what came out beside what was asked.
func variedOf(s *bench.Study, outcomes []farm.Outcome) *dossier.Varied {
	v := &dossier.Varied{Name: s.Name, Notes: s.Warnings}
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

// answersOf judges a response over an axis, for each combination of the values of the other axes.
func answersOf(s *bench.Study, v *dossier.Varied, a bench.StudyAnswer) (out []dossier.VariedAnswer) {
	var rest []string // the combinations, in the order of the design
	groups := map[string][]int{}
	for i := range v.Variants {
		key := ""
		for k := range v.Axes {
			if k != a.Axis {
				key += ", " + v.Axes[k].Name + " " + v.Axes[k].Show(v.Variants[i].At[k])
			}
		}
		if groups[key] == nil {
			rest = append(rest, key)
		}
		groups[key] = append(groups[key], i)
	}
	for _, key := range rest {
		q := fmt.Sprintf("Is there a plateau of %s over %s?", s.Responses[a.Response].Name, s.Axes[a.Axis].Name)
		if key != "" {
			q += " With " + key[2:]
		}
		out = append(out, plateauOf(s, v, a, groups[key], q))
	}
	return out
}

// plateauOf judges the variants of one group.
func plateauOf(s *bench.Study, v *dossier.Varied, a bench.StudyAnswer, group []int, question string) dossier.VariedAnswer {
	axis, response := &v.Axes[a.Axis], s.Responses[a.Response]
	r := judge.Response{Neighbour: judge.Unknown}
	missing := 0
	for _, i := range group {
		o := &v.Variants[i]
		if o.Failure != "" || math.IsNaN(o.Values[a.Response]) {
			missing++
			continue
		}
		r.X, r.Y = append(r.X, o.At[a.Axis]), append(r.Y, o.Values[a.Response])
		if !math.IsNaN(a.Computing) {
			r.U = append(r.U, a.Computing)
		}
	}
	asked := judge.Flattening{Margin: a.Margin}
	out := dossier.VariedAnswer{Question: question, Verdict: judge.Undecided.String()}
	p, err := asked.Plateau(r)
	if err != nil {
		out.Sentences = []string{"It cannot be judged: " + err.Error() + "."}
		return out
	}
	names := judge.Names{
		Axis: axis.Name, Response: response.Name, X: axis.Show,
		Y: func(y float64) string { return dossier.Amount(response.Quantity, y, false) },
		D: func(y float64) string { return dossier.Amount(response.Quantity, y, true) },
	}
	if p.Verdict == judge.Flattened && math.IsNaN(a.Computing) {
		out.Sentences = append(out.Sentences,
			fmt.Sprintf("No plateau is claimed: how uncertain the values are from grid and time step is not stated. Were they exact, %s would change by less than %s from %s on.", response.Name, names.D(p.Margin), names.X(p.From)),
			`What would settle it: "emberbank run --accuracy" on two of the variants, and half of the half-width that it tells under "computing:".`)
	} else {
		out.Verdict = p.Verdict.String()
		out.Sentences = p.Sentences(asked, names)
		if math.IsNaN(a.Computing) {
			out.Sentences = append(out.Sentences, `The values are taken as exact: how uncertain they are from grid and time step is not stated ("computing:").`)
		}
	}
	if missing > 0 {
		out.Sentences = append(out.Sentences, fmt.Sprintf("%d of %d variants have no value and are left out.", missing, len(group)))
	}
	out.Sentences = append(out.Sentences, "This holds for the inputs as stated: their uncertainty is not in it.")
	return out
}
