package survey

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/answer"
	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/farm"
	"emberbank/seek"
	"emberbank/study"
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
func (w *working) optimum(ctx context.Context, v *dossier.Varied, f *finding, inputs []bench.Uncertain) error {
	aim := w.Asked.Search.Aims[0]
	r := &v.Responses[aim.Response]
	most := map[bool]string{true: "most", false: "least"}[aim.Most]
	out := dossier.VariedAnswer{Question: fmt.Sprintf("Which variant has the %s of %s?", most, r.Name), Verdict: answer.Undecided.String()}
	defer func() { v.Answers = append(v.Answers, out) }()
	o := &dossier.VariedOptimum{Response: aim.Response, Most: aim.Most, Best: -1, Left: math.NaN(), Course: f.course(v)}
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
func (f *finding) course(v *dossier.Varied) []float64 {
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
func spanOf(v *dossier.Varied, response int) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range v.Variants {
		if o := &v.Variants[i]; o.Meets && !math.IsNaN(o.Values[response]) {
			low, high = math.Min(low, o.Values[response]), math.Max(high, o.Values[response])
		}
	}
	return math.Max(high-low, 0)
}

// placed names the place of a variant on the axes; described its responses as well.
func (w *working) placed(v *dossier.Varied, i int) string {
	var parts []string
	for k := range v.Axes {
		parts = append(parts, v.Axes[k].Name+" "+v.Axes[k].Show(v.Variants[i].At[k]))
	}
	return strings.Join(parts, ", ")
}

func (w *working) described(v *dossier.Varied, i int) string {
	return w.placed(v, i) + ": " + responsesOf(v, &v.Variants[i])
}

func responsesOf(v *dossier.Varied, o *dossier.Variant) string {
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

// surface is what stands between the variants near the best.
type surface struct {
	*seek.Surface
	through   int
	low, high []float64 // of each axis, as the search sees it
	scale     []float64 // of each constraint: what it spans
}

// lay lays a surface through the variants near the best; nil: too few have values.
func (w *working) lay(f *finding, best []float64, more []seek.Told) *surface {
	s, err := seek.NewSurrogate(f.problem)
	if err != nil {
		return nil
	}
	near := append(f.problem.Nearest(f.seeker.History(), best, surfacePoints), more...)
	out := &surface{through: len(near), scale: make([]float64, len(f.limits))}
	low := slices.Repeat([]float64{math.Inf(1)}, len(f.limits))
	high := slices.Repeat([]float64{math.Inf(-1)}, len(f.limits))
	for _, t := range near {
		if s.Tell(t.At, t.Values) != nil {
			return nil
		}
		for k, c := range t.Constraints {
			low[k], high[k] = math.Min(low[k], c), math.Max(high[k], c)
		}
	}
	if out.Surface = s.Surface(); out.Surface == nil {
		return nil
	}
	for k := range out.scale {
		if out.scale[k] = high[k] - low[k]; !(out.scale[k] > 0) {
			out.scale[k] = 1
		}
	}
	for i, a := range f.problem.Axes {
		if a.Kind == seek.Choice { // held: there is no between
			out.low, out.high = append(out.low, best[i]), append(out.high, best[i])
			continue
		}
		out.low, out.high = append(out.low, a.Low), append(out.high, a.High)
	}
	return out
}

// landscape is the surface as answer takes it: constraints in units of what they span, and one that holds the best counts as
// kept there.
func (s *surface) landscape(best []float64) answer.Landscape {
	_, at, _ := s.At(best)
	return answer.Landscape{Low: s.low, High: s.high, Of: func(u []float64) (float64, []float64, error) {
		aims, constraints, _ := s.At(u)
		for k := range constraints {
			constraints[k] = (constraints[k] - math.Max(at[k], 0)) / s.scale[k]
		}
		return aims[0], constraints, nil
	}}
}

// edgeRounds is how often the edges of the room around the best are run and the surface laid anew. A search leaves few variants
// there, so that the first surface may lead the edge astray.
const edgeRounds = 2

// edges lays a surface that knows the edges of the room of each axis: variants there are run, beside those of the search. nil: too
// few variants have values to lay one, or the aim has no span. better tells that one of them is better than the best.
func (w *working) edges(ctx context.Context, f *finding, best []float64, tolerance float64) (s *surface, better bool, err error) {
	var more []seek.Told
	w.progress.Total -= f.edges()
	if s = w.lay(f, best, nil); s == nil || !(tolerance > 0) {
		return nil, false, nil
	}
	for range edgeRounds {
		rooms, err := s.landscape(best).Flatness(best, tolerance)
		if err != nil {
			return s, better, nil // flatness will tell
		}
		var points [][]float64
		for i, r := range rooms {
			for _, end := range []float64{r.Low, r.High} {
				u := slices.Clone(best)
				if u[i] = end; f.problem.Axes[i].Kind == seek.Whole {
					u[i] = math.Round(end)
				}
				known := func(p []float64) bool { return slices.Equal(p, u) }
				if !slices.ContainsFunc(points, known) && !slices.ContainsFunc(f.points, known) && !slices.ContainsFunc(more, func(t seek.Told) bool { return known(t.At) }) {
					points = append(points, u)
				}
			}
		}
		variants := make([]point, len(points))
		for k, u := range points {
			variants[k] = point{x: f.values(u)}
		}
		w.progress.Total += int64(len(points))
		outcomes, err := w.moreOf(ctx, variants)
		if err != nil {
			return nil, false, err
		}
		for k := range outcomes {
			told := f.told(&outcomes[k])
			more = append(more, seek.Told{At: points[k], Values: told})
			better = better || !told.Failed && w.meets(&outcomes[k]) && told.Aims[0] < f.turned(0, value(&f.outcomes[f.number(best)], f.asked.Search.Aims[0].Response))
		}
		s = w.lay(f, best, more)
	}
	return s, better, nil
}

// edges is how many variants are run at the edges at the most.
func (s *sought) edges() (n int64) {
	for _, a := range s.problem.Axes {
		if a.Kind != seek.Choice {
			n += 2 * edgeRounds
		}
	}
	return n
}

// flatness says how far each axis may move from the best.
func (w *working) flatness(v *dossier.Varied, f *finding, s *surface, best []float64, o *dossier.VariedOptimum) []string {
	rooms, err := s.landscape(best).Flatness(best, o.Tolerance)
	if err != nil {
		return []string{"How flat it is cannot be told: " + err.Error() + "."}
	}
	var said []string
	for i := range rooms {
		a, r := &w.Asked.Axes[i], &rooms[i]
		if a.Kind == bench.AxisWords {
			continue
		}
		if f.problem.Axes[i].Kind == seek.Whole {
			r.Low, r.High = math.Ceil(r.Low-1e-9), math.Floor(r.High+1e-9)
		}
		r.Low, r.High = f.value(i, r.Low), f.value(i, r.High)
		r.LowWhat, r.HighWhat = f.constraintOf(r.LowEnd, r.LowWhat), f.constraintOf(r.HighEnd, r.HighWhat)
		said = append(said, fmt.Sprintf("%s from %s (%s) to %s (%s)", a.Name, v.Axes[i].Show(r.Low), w.ending(v, r.LowEnd, r.LowWhat), v.Axes[i].Show(r.High), w.ending(v, r.HighEnd, r.HighWhat)))
	}
	o.Rooms = rooms
	if len(said) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("Within %s of it lie, each moved alone: %s. This is read off a surface through %d runs, some of them at these ends.", v.Responses[o.Response].Amount(o.Tolerance, true), strings.Join(said, "; "), s.through)}
}

// constraintOf is the study's constraint behind one of the search's.
func (f *finding) constraintOf(by answer.Bound, what int) int {
	if by == answer.ByConstraint {
		return f.limits[what].constraint
	}
	return what
}

func (w *working) ending(v *dossier.Varied, by answer.Bound, what int) string {
	if by == answer.ByConstraint {
		return v.Responses[w.Asked.Constraints[what].Response].Name + " then misses its limit"
	}
	return by.String()
}

// prices says which constraints hold the best, and what they cost.
func (w *working) prices(v *dossier.Varied, f *finding, s *surface, best []float64, o *dossier.VariedOptimum) (said []string) {
	step := make([]float64, len(best))
	for i := range step {
		if step[i] = stepShare * (s.high[i] - s.low[i]); f.problem.Axes[i].Kind == seek.Whole {
			step[i] = math.Max(step[i], 1)
		}
		if !(step[i] > 0) {
			step[i] = 1 // held
		}
	}
	prices, left, err := s.landscape(best).Prices(best, step, slack)
	if err != nil {
		return nil
	}
	o.Left = left
	r := &v.Responses[o.Response]
	for _, p := range prices {
		l := f.limits[p.Constraint]
		per := p.PerUnit / s.scale[p.Constraint]
		o.Prices = append(o.Prices, answer.Price{Constraint: l.constraint, PerUnit: per})
		c := w.Asked.Constraints[l.constraint]
		q := &v.Responses[c.Response]
		limit := c.Above
		if l.below {
			limit = c.Below
		}
		if per <= 0 {
			said = append(said, fmt.Sprintf("It stands at the limit of %s (%s), which costs nothing to speak of.", q.Name, q.Amount(limit, false)))
			continue
		}
		tenth := 0.1 * s.scale[p.Constraint]
		said = append(said, fmt.Sprintf("The limit of %s (%s) holds it: let out by %s, it would bring about %s.", q.Name, q.Amount(limit, false), rough(func(y float64) string { return q.Amount(y, true) })(tenth), rough(func(y float64) string { return r.Amount(y, true) })(per*tenth)))
	}
	for i, a := range w.Asked.Axes {
		if f.problem.Axes[i].Kind == seek.Choice {
			continue
		}
		edge := 1e-6 * (s.high[i] - s.low[i])
		switch {
		case best[i]-s.low[i] <= edge:
			said = append(said, fmt.Sprintf("%s stands at the lower end of its range; below it may be better still.", a.Name))
		case s.high[i]-best[i] <= edge:
			said = append(said, fmt.Sprintf("%s stands at the upper end of its range; above it may be better still.", a.Name))
		}
	}
	return said
}

// valley looks for a second good place that is cut off from the best: on the straight way to it the surface rises above both, or a
// constraint is missed. After R. K. Ursem, "Multinational evolutionary algorithms", IEEE CEC (1999) 1633-1640 (the test of a
// hill between two places).
func (w *working) valley(v *dossier.Varied, f *finding, s *surface, o *dossier.VariedOptimum) []string {
	const between = 9
	all := f.seeker.History()
	best := f.points[o.Best]
	near := math.Max(3*o.Tolerance, 0.1*spanOf(v, o.Response))
	second := -1
	for _, t := range all {
		i := f.number(t.At)
		if i < 0 || i == o.Best || !v.Variants[i].Meets {
			continue
		}
		worse := f.turned(0, v.Variants[i].Values[o.Response]) - f.turned(0, v.Variants[o.Best].Values[o.Response])
		if worse > near || second >= 0 && f.turned(0, v.Variants[i].Values[o.Response]) >= f.turned(0, v.Variants[second].Values[o.Response]) {
			continue
		}
		from, _, _ := s.At(best)
		to, _, _ := s.At(t.At)
		for k := 1; k <= between; k++ {
			u := slices.Clone(best)
			for a := range u {
				u[a] += (t.At[a] - best[a]) * float64(k) / (between + 1)
			}
			if f.listed(best, t.At) { // another entry of a list: there is no way between
				break
			}
			aims, constraints, _ := s.At(u)
			hill := aims[0] > math.Max(from[0], to[0])+o.Tolerance
			for j, c := range constraints {
				hill = hill || c > slack*s.scale[j]
			}
			if hill {
				second = i
				break
			}
		}
	}
	if second < 0 {
		return nil
	}
	r := &v.Responses[o.Response]
	return []string{fmt.Sprintf("A second good place lies apart from it: variant %d, %s, with %s. What is between them is worse, so that small steps do not lead from one to the other.", second+1, w.placed(v, second), r.Amount(v.Variants[second].Values[o.Response], false))}
}

// listed tells whether two points differ in an axis that is a list.
func (f *finding) listed(a, b []float64) bool {
	for i, x := range f.problem.Axes {
		if x.Kind == seek.Choice && a[i] != b[i] {
			return true
		}
	}
	return false
}

// over says what the best is worth over the present design: both once more on a finer grid, and with each uncertain input
// moved, so that what errors they share drops out.
func (w *working) over(ctx context.Context, v *dossier.Varied, f *finding, inputs []bench.Uncertain, o *dossier.VariedOptimum) ([]string, error) {
	r := &v.Responses[o.Response]
	present := []string{"The present design, the files as they are: " + responsesOf(v, v.Present) + "."}
	old, own := value(&f.present, o.Response), f.outcomes[o.Best]
	if math.IsNaN(old) {
		w.progress.Total = w.progress.Done
		return append(present, "So it cannot be compared."), nil
	}
	points := []point{{}, {x: f.values(f.points[o.Best])}}
	pair := []farm.Outcome{f.present, own}
	fine, err := w.moreOf(ctx, refinedPoints(points))
	if err != nil {
		return present, err
	}
	y := func(of []farm.Outcome, k int) float64 { return f.turned(0, value(&of[k], o.Response)) }
	both := answer.Response{X: []float64{0, 1}, Y: []float64{y(pair, 0), y(pair, 1)}}
	coarse, finer := both.Y[0]-both.Y[1], y(fine, 0)-y(fine, 1)
	ratio := math.Inf(1)
	for _, p := range points {
		if built, err := w.builder.Build(w.settings(p)); err == nil {
			ratio = math.Min(ratio, study.Finer(built.Problem, 1))
		}
	}
	told := !math.IsNaN(finer) && ratio > 1 && !math.IsInf(ratio, 1)
	if told { // the error of the difference, in equal parts: no more is shared
		u := twinError(finer-coarse, ratio) / math.Sqrt2
		both.U = []float64{u, u}
	}
	for _, in := range inputs {
		effects, _, err := w.moved(ctx, in, 2, func(n int64) point { return points[n] }, pair)
		if err != nil {
			return present, err
		}
		one := []float64{f.turned(0, effects[0][o.Response]), f.turned(0, effects[1][o.Response])}
		if math.IsNaN(one[0]) || math.IsNaN(one[1]) {
			present = append(present, "What the uncertainty of "+in.Path+" does to the two has no value and is left out.")
			continue
		}
		both.Inputs = append(both.Inputs, one)
	}
	if !v.Present.Meets {
		present = append(present, "The present design misses a constraint that the best keeps.")
	}
	got, err := answer.AdvantageOver(both, confidence)
	if err != nil {
		return append(present, "It cannot be compared: "+err.Error()+"."), nil
	}
	o.Over = &got
	amount := func(y float64) string { return r.Amount(y, true) }
	better := "better"
	if got.By < 0 {
		better = "worse"
	}
	text := fmt.Sprintf("The best is %s by %s", better, amount(math.Abs(got.By)))
	switch {
	case !told && len(both.Inputs) == 0:
		text += "; how uncertain that is from grid and time step is not known."
	case got.Shown:
		text += fmt.Sprintf(" ± %s (standard uncertainty%s), by %s at least (95 %%).", rough(amount)(got.U), w.ofWhat(told, len(both.Inputs)), amount(got.Least))
	default:
		text += fmt.Sprintf(" ± %s (standard uncertainty%s), so that it is not shown to be better.", rough(amount)(got.U), w.ofWhat(told, len(both.Inputs)))
	}
	return append(present, text), nil
}

// ofWhat says what an uncertainty of a difference holds.
func (w *working) ofWhat(computing bool, inputs int) string {
	switch {
	case computing && inputs > 0:
		return " from grid, time step and " + countOf(inputs, "input")
	case computing:
		return " from grid and time step; that of the inputs is not in it"
	}
	return " from " + countOf(inputs, "input") + "; that of grid and time step is not known"
}

func countOf(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
