package survey

import (
	"fmt"
	"math"

	"emberbank/answer"
	"emberbank/bench"
	"emberbank/dossier"
)

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
	r := answer.Response{Neighbour: answer.Unknown}
	found := &dossier.VariedPlateau{Response: a.Response, Axis: a.Axis}
	for _, i := range group {
		o := &v.Variants[i]
		if o.Failure != "" || math.IsNaN(o.Values[a.Response]) {
			found.Missing++
			continue
		}
		found.Group = append(found.Group, i)
		r.X, r.Y = append(r.X, o.At[a.Axis]), append(r.Y, o.Values[a.Response])
		if !math.IsNaN(a.Computing) {
			r.U = append(r.U, a.Computing)
		}
	}
	found.Points = r
	if r.U != nil {
		found.Half = halves(r)
	}
	asked := answer.Flattening{Margin: a.Margin}
	out := dossier.VariedAnswer{Question: question, Verdict: answer.Undecided.String()}
	p, err := asked.Plateau(r)
	if err != nil {
		out.Sentences = []string{"It cannot be judged: " + err.Error() + "."}
		return out
	}
	found.Found = p
	out.Plateau = found
	names := answer.Names{
		Axis: axis.Name, Response: response.Name, X: axis.Show,
		Y: func(y float64) string { return dossier.Amount(response.Quantity, y, false) },
		D: func(y float64) string { return dossier.Amount(response.Quantity, y, true) },
	}
	if p.Verdict == answer.Flattened && math.IsNaN(a.Computing) {
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
	if found.Missing > 0 {
		out.Sentences = append(out.Sentences, fmt.Sprintf("%d of %d variants have no value and are left out.", found.Missing, len(group)))
	}
	out.Sentences = append(out.Sentences, "This holds for the inputs as stated: their uncertainty is not in it.")
	return out
}

// halves are the half-widths of a response's values at 95 %, from computing and from inputs.
func halves(r answer.Response) []float64 {
	out := make([]float64, len(r.X))
	for i := range out {
		sum := 0.0
		if r.U != nil {
			sum = r.U[i] * r.U[i]
		}
		for _, c := range r.Inputs {
			sum += c[i] * c[i]
		}
		out[i] = 1.96 * math.Sqrt(sum)
	}
	return out
}
