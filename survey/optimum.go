package survey

import (
	"context"
	"fmt"
	"math"
	"strings"

	"emberbank/account"
	"emberbank/answer"
	"emberbank/bench"
)

const (
	// flatShare of the aim's span over the variants that meet the constraints counts as good as the best where the file says
	// nothing, as for plateaus.
	flatShare = 0.02
	// A surface is laid through so many variants at most, those nearest to the best.
	surfacePoints = 250
	// slack is how near its limit a constraint holds, as a share of what its response spans; stepShare is the step of
	// derivatives, as a share of an axis.
	slack, stepShare = 0.02, 0.02
)

// optimum says what a search for one aim came to.
func (w *working) optimum(ctx context.Context, v *account.Varied, f *finding, inputs []bench.Uncertain) error {
	aim := w.Asked.Search.Aims[0]
	r := &v.Responses[aim.Response]
	most := map[bool]string{true: "most", false: "least"}[aim.Most]
	out := account.VariedAnswer{Question: fmt.Sprintf("Which variant has the %s of %s?", most, r.Name), Verdict: answer.Undecided.String()}
	defer func() { v.Answers = append(v.Answers, out) }()
	o := &account.VariedOptimum{Response: aim.Response, Most: aim.Most, Best: -1, Left: math.NaN(), Course: f.course(v)}
	out.Optimum = o
	best := f.seeker.Best()
	if len(best.Front) == 0 {
		out.Sentences = []string{"No variant has values."}
		w.progress.Total = w.progress.Done
		return nil
	}
	u := best.Front[0].At
	o.Best, o.Met = f.number(u), best.Met
	if !best.Met {
		out.Verdict = "no variant meets the constraints"
		out.Sentences = []string{fmt.Sprintf("No variant meets all constraints. Variant %d comes nearest: %s.", o.Best+1, w.described(v, o.Best))}
		w.progress.Total = w.progress.Done
		return nil
	}
	out.Verdict = fmt.Sprintf("variant %d", o.Best+1)
	out.Sentences = append(out.Sentences, fmt.Sprintf("The best of %d variants is variant %d, %s: %s.", len(f.points), o.Best+1, w.placed(v, o.Best), r.Name+" "+r.Amount(v.Variants[o.Best].Values[aim.Response], false)))
	o.Tolerance = aim.Flat
	if o.Tolerance == 0 {
		o.Tolerance = flatShare * spanOf(v, aim.Response)
	}
	near, better, err := w.edges(ctx, f, u, o.Tolerance)
	if err != nil {
		return err
	}
	if near != nil {
		out.Sentences = append(out.Sentences, w.flatness(v, f, near, u, o)...)
		if better {
			out.Sentences = append(out.Sentences, "A run at the edge of this is better than the best that the search found: it has not come to its end. Allow it more runs.")
		}
		out.Sentences = append(out.Sentences, w.prices(v, f, near, u, o)...)
		out.Sentences = append(out.Sentences, w.valley(v, f, near, o)...)
	} else {
		out.Sentences = append(out.Sentences, "How flat it is cannot be told: too few variants have values, or all have the same.")
	}
	over, err := w.over(ctx, v, f, inputs, o)
	out.Sentences = append(out.Sentences, over...)
	out.Sentences = append(out.Sentences, "A search finds a good place and does not prove that there is no better one: start it again with another seed where much hangs on it.")
	return err
}

// course is the best value so far that meets the constraints, after each variant.
func (f *finding) course(v *account.Varied) []float64 {
	aim := f.asked.Search.Aims[0]
	out := make([]float64, len(v.Variants))
	best := math.NaN()
	for i := range v.Variants {
		if o := &v.Variants[i]; o.Meets && !math.IsNaN(o.Values[aim.Response]) {
			if y := o.Values[aim.Response]; math.IsNaN(best) || f.turned(0, y) < f.turned(0, best) {
				best = y
			}
		}
		out[i] = best
	}
	return out
}

// spanOf is what a response spans over the variants that meet the constraints.
func spanOf(v *account.Varied, response int) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range v.Variants {
		if o := &v.Variants[i]; o.Meets && !math.IsNaN(o.Values[response]) {
			low, high = math.Min(low, o.Values[response]), math.Max(high, o.Values[response])
		}
	}
	return math.Max(high-low, 0)
}

// placed names the place of a variant on the axes; described its responses as well.
func (w *working) placed(v *account.Varied, i int) string {
	var parts []string
	for k := range v.Axes {
		parts = append(parts, v.Axes[k].Name+" "+v.Axes[k].Show(v.Variants[i].At[k]))
	}
	return strings.Join(parts, ", ")
}

func (w *working) described(v *account.Varied, i int) string {
	return w.placed(v, i) + ": " + responsesOf(v, &v.Variants[i])
}

func responsesOf(v *account.Varied, o *account.Variant) string {
	if o.Failure != "" {
		return "no values (" + o.Failure + ")"
	}
	var parts []string
	for k := range v.Responses {
		text := "no value"
		if !math.IsNaN(o.Values[k]) {
			text = v.Responses[k].Amount(o.Values[k], false)
		}
		parts = append(parts, v.Responses[k].Name+" "+text)
	}
	return strings.Join(parts, ", ")
}
