package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/answer"
	"emberbank/bench"
)

// plateaus judges a response over an axis, for each combination of the values of the other axes.
func (w *working) plateaus(v *account.Varied, a bench.StudyAnswer, b *beside) (out []account.VariedAnswer) {
	for _, g := range w.groups(a.Axis, nil) {
		q := fmt.Sprintf("Is there a plateau of %s over %s?", w.Asked.Responses[a.Response].Name, w.Asked.Axes[a.Axis].Name)
		if g.others != "" {
			q += " With " + g.others
		}
		out = append(out, w.plateau(v, a, g, b, q))
	}
	return out
}

// plateau judges the variants of one group.
func (w *working) plateau(v *account.Varied, a bench.StudyAnswer, g group, b *beside, question string) account.VariedAnswer {
	m := w.measure(v, a, a.Response, g, b)
	asked := answer.Flattening{Margin: a.Margin}
	out := account.VariedAnswer{Question: question, Verdict: answer.Undecided.String()}
	p, err := asked.Plateau(m.Response)
	if err != nil {
		out.Sentences = []string{"It cannot be judged: " + err.Error() + "."}
		return out
	}
	out.Plateau = &account.VariedPlateau{
		Response: a.Response, Axis: a.Axis, Group: m.group, Missing: m.missing,
		Points: m.Response, Half: m.half, Inputs: m.inputs, Found: p,
	}
	names := w.names(v, a.Axis, a.Response)
	if p.Verdict == answer.Flattened && !m.told {
		out.Sentences = append(out.Sentences,
			fmt.Sprintf("No plateau is claimed: how uncertain the values are from grid and time step is not known. Were they exact, %s would change by less than %s from %s on.", names.Response, names.D(p.Margin), names.X(p.From)),
			`What would settle it: "computing: refined" in the study's file, which computes some variants again on a finer grid.`)
	} else {
		out.Verdict = p.Verdict.String()
		out.Sentences = p.Sentences(asked, names)
		if !m.told {
			out.Sentences = append(out.Sentences, `The values are taken as exact: how uncertain they are from grid and time step is not known ("computing:").`)
		}
	}
	out.Sentences = append(out.Sentences, w.caveats(v, a, b, g, m, names.D)...)
	return out
}

// names are how sentences speak of an axis and a response.
func (w *working) names(v *account.Varied, axis, response int) answer.Names {
	r := &v.Responses[response]
	return answer.Names{
		Axis: v.Axes[axis].Name, Response: r.Name, X: v.Axes[axis].Show,
		Y: func(y float64) string { return r.Amount(y, false) },
		D: func(y float64) string { return r.Amount(y, true) },
	}
}

// caveats say what an answer over an axis rests on.
func (w *working) caveats(v *account.Varied, a bench.StudyAnswer, b *beside, g group, m measured, show func(float64) string) (out []string) {
	switch {
	case twinned(a) && m.U != nil:
		n := 0
		for _, i := range g.variants {
			if _, ok := b.errors[int64(i)]; ok {
				n++
			}
		}
		out = append(out, fmt.Sprintf("Grid and time step leave a standard uncertainty of %s, by %d of the variants computed again on a finer grid with a smaller tolerance.", spanned(m.U, rough(show)), n))
	case twinned(a):
		out = append(out, "The variants on a finer grid have no values, or the grid cannot be made finer: how uncertain the values are from computing is not known.")
	}
	if m.missing > 0 {
		out = append(out, w.leftOut(v, a, g, m))
	}
	if len(m.Inputs) == 0 {
		return append(out, "This holds for the inputs as stated: their uncertainty is not in it.")
	}
	// The input that does most at the upper end stands first.
	order := make([]int, len(m.Inputs))
	for k := range order {
		order[k] = k
	}
	end := len(m.X) - 1
	if end >= 0 {
		slices.SortStableFunc(order, func(i, j int) int {
			return -cmpFloat(math.Abs(m.Inputs[i][end]), math.Abs(m.Inputs[j][end]))
		})
	}
	var said []string
	for _, k := range order[:min(len(order), 5)] {
		text := m.inputs[k]
		if end >= 0 {
			text += " (" + rough(show)(math.Abs(m.Inputs[k][end])) + ")"
		}
		said = append(said, text)
	}
	if n := len(order) - len(said); n > 0 {
		said = append(said, fmt.Sprintf("%d more", n))
	}
	out = append(out, "The stated uncertainty of inputs is in it; one standard uncertainty does, at the upper end: "+strings.Join(said, ", ")+".")
	for k, n := range b.unmoved {
		if n > 0 {
			out = append(out, fmt.Sprintf("In %d variants %s is not there or cannot be moved; it counts as certain there.", n, b.inputs[k].Path))
		}
	}
	return out
}

// leftOut says which variants have no value.
func (w *working) leftOut(v *account.Varied, a bench.StudyAnswer, g group, m measured) string {
	const most = 5
	var at []string
	for _, i := range g.variants {
		if !slices.Contains(m.group, i) {
			at = append(at, v.Axes[a.Axis].Show(v.Variants[i].At[a.Axis]))
		}
	}
	if n := len(at) - most; n > 0 {
		at = append(at[:most], fmt.Sprintf("%d more", n))
	}
	have := "have no value and are"
	if m.missing == 1 {
		have = "has no value and is"
	}
	text := fmt.Sprintf("%d of %d variants %s left out (%s %s)", m.missing, len(g.variants), have, v.Axes[a.Axis].Name, strings.Join(at, ", "))
	if a.Pays != nil {
		text += ": no step to or from there is judged"
	}
	return text + "."
}

// rough writes an uncertainty to two digits.
func rough(show func(float64) string) func(float64) string {
	return func(u float64) string {
		if u == 0 || math.IsNaN(u) || math.IsInf(u, 0) {
			return show(u)
		}
		scale := math.Pow(10, 1-math.Floor(math.Log10(math.Abs(u))))
		return show(math.Round(u*scale) / scale)
	}
}

func cmpFloat(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// spanned writes the smallest and the largest of some values.
func spanned(values []float64, show func(float64) string) string {
	low, high := slices.Min(values), slices.Max(values)
	if a, b := show(low), show(high); a != b {
		return a + " to " + b
	}
	return show(high)
}
