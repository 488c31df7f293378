package survey

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/answer"
)

// confidence is that of intervals; shares are the quantiles that are told of a response, and holding is the share of a
// tolerance interval.
const (
	confidence = 0.95
	holding    = 0.9
)

var shares = []float64{0.05, 0.25, 0.5, 0.75, 0.95}

// sample runs a sample and says how the responses are spread, how much of it meets the constraints, and which inputs are
// behind the spread.
func (w *working) sample(ctx context.Context) (*account.Varied, error) {
	count := w.Asked.Design.Count()
	w.tally = len(w.Asked.Constraints) > 0 && !w.ofBuilt
	first, err := w.begin(ctx, plan{variants: count}, w.at(0))
	if err != nil {
		return nil, err
	}
	rest, err := w.run(ctx, 1, count, w.at)
	if err != nil {
		return nil, err
	}
	v := w.varied(append(first, rest...), w.at)
	draws := w.draws(len(v.Variants))
	w.share(v, draws)
	for r := range v.Responses {
		v.Answers = append(v.Answers, w.spread(v, r, draws))
	}
	if w.Asked.Sample.Sensitivity {
		for r := range v.Responses {
			v.Answers = append(v.Answers, w.sensitivity(v, r))
		}
	}
	v.Notes = append(v.Notes, "Intervals hold at 95 % and suppose independent draws and inputs that do not hang together; points that are spread more evenly than by chance make them wider than need be. What the model itself leaves out is in none of them.")
	return v, nil
}

// draws are the variants that are drawn independently: all, or of a design for sensitivity the first two of each row, since the
// others repeat values of these.
func (w *working) draws(count int) (out []int) {
	width := 1
	if w.Asked.Sample.Sensitivity {
		width = len(w.Asked.Axes) + 2
	}
	for i := range count {
		if i%width < 2 {
			out = append(out, i)
		}
	}
	return out
}

// share says how much of the sample meets the constraints.
func (w *working) share(v *account.Varied, draws []int) {
	if len(w.Asked.Constraints) == 0 {
		return
	}
	part := func(meets func(o *account.Variant) bool) (account.VariedShare, int, string) {
		s := account.VariedShare{}
		left := 0
		for _, i := range draws {
			o := &v.Variants[i]
			if w.empty(o) {
				left++
				continue
			}
			s.Of++
			if meets(o) {
				s.Meet++
			}
		}
		got, err := answer.ShareOf(s.Meet, s.Of, confidence)
		if err != nil {
			return s, left, "no variant has values"
		}
		s.Share, s.Low, s.High = got.Value, got.Low, got.High
		return s, left, fmt.Sprintf("%s of what may be (%d of %d draws)", percents(got.Value, got.Low, got.High), s.Meet, s.Of)
	}
	for k, c := range w.Asked.Constraints {
		one, _, text := part(func(o *account.Variant) bool { return within(c, o.Values[c.Response]) })
		v.Constraints[k].Meet = one.Meet
		v.Constraints[k].Words = v.Constraints[k].Text + ": met by " + text + "."
	}
	all, left, text := part(func(o *account.Variant) bool { return o.Meets })
	v.Meeting = &all
	all.Words = "All constraints together are met by " + text + "."
	if left > 0 {
		more := fmt.Sprintf(" %d of %d draws have no value and are left out; were they all to miss, the share would be %s.", left, len(draws), percent(float64(all.Meet)/float64(len(draws))))
		all.Words += more
		if len(v.Constraints) == 1 {
			v.Constraints[0].Words += more
		}
	}
}

// empty tells whether a variant lacks a value that a constraint needs.
func (w *working) empty(o *account.Variant) bool {
	for _, c := range w.Asked.Constraints {
		if o.Failure != "" || math.IsNaN(o.Values[c.Response]) {
			return true
		}
	}
	return o.Failure != ""
}

func percent(x float64) string {
	switch p := 100 * x; {
	case math.Abs(p) >= 0.05 && math.Abs(p) < 0.95:
		return fmt.Sprintf("%.1f %%", p)
	default:
		return fmt.Sprintf("%.0f %%", p)
	}
}

// percents writes a share with its interval: "71 % (64 to 78 %)".
func percents(value, low, high float64) string {
	return fmt.Sprintf("%s (%s to %s)", percent(value), strings.TrimSuffix(percent(low), " %"), percent(high))
}

// spread is the distribution of a response.
func (w *working) spread(v *account.Varied, response int, draws []int) account.VariedAnswer {
	r := &v.Responses[response]
	out := account.VariedAnswer{Question: "How is " + r.Name + " spread?", Verdict: "spread"}
	values := make([]float64, len(draws))
	for k, i := range draws {
		values[k] = math.NaN()
		if o := &v.Variants[i]; o.Failure == "" {
			values[k] = o.Values[response]
		}
	}
	s, err := answer.NewSpread(values)
	if err != nil {
		out.Verdict, out.Sentences = answer.Undecided.String(), []string{"It cannot be told: " + err.Error() + "."}
		return out
	}
	found := &account.VariedSpread{Response: response, Of: draws, Spread: s}
	found.MeanLow, found.MeanHigh = s.MeanWithin(confidence)
	out.Table = [][]string{{"this share lies below", r.Name, "interval"}}
	for _, share := range shares {
		q, err := s.Quantile(share, confidence)
		if err != nil {
			continue
		}
		found.Quantiles = append(found.Quantiles, q)
		out.Table = append(out.Table, []string{percent(share), r.Amount(q.Value, false), reach(r, q.Low, q.High)})
	}
	found.Tolerance, err = s.Within(holding, confidence)
	out.Sentences = append(out.Sentences, fmt.Sprintf("Its mean is %s (%s), its standard deviation %s.", r.Amount(s.Mean, false), reach(r, found.MeanLow, found.MeanHigh), r.Amount(s.SD, true)))
	if t := found.Tolerance; err == nil && t.Enough {
		out.Sentences = append(out.Sentences, fmt.Sprintf("At least %s of what may be lie between %s and %s, with a confidence of %s.", percent(t.Share), r.Amount(t.Low, false), r.Amount(t.High, false), percent(confidence)))
	} else if err == nil {
		out.Sentences = append(out.Sentences, fmt.Sprintf("%d draws are too few to name limits that hold %s of what may be with a confidence of %s: %d would do. All lie between %s and %s.", s.Count(), percent(t.Share), percent(confidence), t.Needed, r.Amount(t.Low, false), r.Amount(t.High, false)))
	}
	if s.Left > 0 {
		out.Sentences = append(out.Sentences, fmt.Sprintf("%d of %d draws have no value and are left out.", s.Left, len(draws)))
	}
	out.Spread = found
	return out
}

// reach writes an interval that may be open.
func reach(r *account.VariedResponse, low, high float64) string {
	switch {
	case math.IsInf(low, 0) && math.IsInf(high, 0):
		return "not known"
	case math.IsInf(low, 0):
		return "up to " + r.Amount(high, false)
	case math.IsInf(high, 0):
		return "from " + r.Amount(low, false)
	}
	return r.Amount(low, false) + " to " + r.Amount(high, false)
}

// little is the share of the spread below which an input is told to matter little.
const little = 0.02

// sensitivity says which inputs are behind the spread of a response.
func (w *working) sensitivity(v *account.Varied, response int) account.VariedAnswer {
	r := &v.Responses[response]
	out := account.VariedAnswer{Question: "Which inputs make the spread of " + r.Name + "?", Verdict: answer.Undecided.String()}
	values := make([]float64, len(v.Variants))
	for i := range v.Variants {
		values[i] = math.NaN()
		if o := &v.Variants[i]; o.Failure == "" {
			values[i] = o.Values[response]
		}
	}
	s, err := answer.Indices{Seed: w.Asked.Sample.Seed}.Sensitivity(values, len(v.Axes))
	if err != nil {
		out.Sentences = []string{"It cannot be told: " + err.Error() + "."}
		return out
	}
	found := &account.VariedSensitivity{Response: response, Found: s}
	order := make([]int, len(v.Axes))
	for k := range order {
		order[k] = k
		found.Inputs = append(found.Inputs, k)
	}
	out.Sensitivity = found
	slices.SortStableFunc(order, func(i, j int) int { return -cmpFloat(s.Total[i].Value, s.Total[j].Value) })
	top := order[0]
	out.Verdict = v.Axes[top].Name
	out.Sentences = append(out.Sentences, partOf(v.Axes[top].Name, r.Name, s.First[top], s.Total[top]))
	if len(order) > 1 && s.Total[order[1]].High > s.Total[top].Low {
		out.Verdict = answer.Undecided.String()
		out.Sentences = append(out.Sentences, fmt.Sprintf("Whether it or %s matters more is not known: their intervals overlap. More rows would tell.", v.Axes[order[1]].Name))
	}
	var small []string
	sum := 0.0
	out.Table = [][]string{{"input", "by itself", "with all it takes part in"}}
	for _, k := range order {
		sum += s.First[k].Value
		if s.Total[k].High < little {
			small = append(small, v.Axes[k].Name)
		}
		out.Table = append(out.Table, []string{v.Axes[k].Name, percents(shareOf(s.First[k])), percents(shareOf(s.Total[k]))})
	}
	if len(small) > 0 {
		out.Sentences = append(out.Sentences, fmt.Sprintf("Less than %s of it, as far as this sample tells, hang on %s: to know %s better would change little.", percent(little), strings.Join(small, ", "), map[bool]string{true: "it", false: "them"}[len(small) == 1]))
	}
	if together := 1 - sum; together > 0.1 {
		out.Sentences = append(out.Sentences, fmt.Sprintf("About %s of it comes from inputs that act together and cannot be shared out among them.", percent(math.Min(together, 1))))
	}
	if s.Left > 0 {
		out.Sentences = append(out.Sentences, fmt.Sprintf("%d of %d rows have a variant without a value and are left out.", s.Left, s.Left+s.Rows))
	}
	return out
}

// partOf says what an input makes of a spread. What it has a part in is no less than what it makes by itself; estimates of
// both may fall the other way round, and are then said once.
func partOf(input, response string, first, total answer.Index) string {
	alone, with := percents(shareOf(first)), percents(shareOf(total))
	switch {
	case total.Value >= first.Value || math.IsNaN(total.Value+first.Value):
		return fmt.Sprintf("%s makes %s of the spread of %s by itself, and has a part in %s of it.", input, alone, response, with)
	case total.High >= first.Low:
		return fmt.Sprintf("%s makes about %s of the spread of %s, almost all of it by itself.", input, alone, response)
	}
	return fmt.Sprintf("%s makes %s of the spread of %s by itself and has a part in no more than %s of it: both cannot be, and more rows would tell.", input, alone, response, with)
}

// shareOf is an index as a share: what scatter leads below nothing or beyond the whole is cut off.
func shareOf(x answer.Index) (value, low, high float64) {
	cut := func(v float64) float64 { return math.Min(math.Max(v, 0), 1) }
	return cut(x.Value), cut(x.Low), cut(x.High)
}
