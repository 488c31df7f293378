package survey

import (
	"context"
	"fmt"
	"math"
	"slices"

	"emberbank/bench"
	"emberbank/farm"
	"emberbank/study"
)

// beside is what is run besides the variants of a sweep, for its answers: each variant once more for each uncertain input, and
// some on a finer grid.
type beside struct {
	inputs []bench.Uncertain
	twins  []int64 // variants, rising
	notes  []string

	effects [][][]float64         // of each input, variant and response: what one standard uncertainty does; nil: not run
	unmoved []int                 // of each input, variants in which it could not be moved
	errors  map[int64]([]float64) // of each twin, the standard uncertainty of each response
}

// beside says what the answers of a sweep need.
func (w *working) beside() *beside {
	b := &beside{errors: map[int64][]float64{}}
	if len(w.Asked.Answers) == 0 {
		return b
	}
	b.inputs, b.notes = w.carried()
	for _, a := range w.Asked.Answers {
		if !twinned(a) {
			continue
		}
		for _, g := range w.groups(a.Axis, w.held(a)) {
			for _, k := range twinsOf(len(g.variants)) {
				b.twins = append(b.twins, int64(g.variants[k]))
			}
		}
	}
	slices.Sort(b.twins)
	b.twins = slices.Compact(b.twins)
	return b
}

// twinned tells whether an answer rests on twins: where the file asks for them, and where it can state no uncertainty.
func twinned(a bench.StudyAnswer) bool { return a.Twins || a.Pays != nil && math.IsNaN(a.Computing) }

// carried are the inputs whose uncertainty is carried, and notes of those that cannot be moved as far as it says.
func (w *working) carried() (inputs []bench.Uncertain, notes []string) {
	for _, u := range w.Asked.Carry {
		if m := moves(u); len(m) > 0 && math.Abs(m[0].by) < 1 {
			notes = append(notes, fmt.Sprintf("The uncertainty of %s reaches beyond what is allowed there, above and below: it is moved as far as is allowed, and what that does is scaled.", u.Path))
		}
	}
	return w.Asked.Carry, notes
}

func (b *beside) carried(variants int64) int64 { return variants * int64(len(b.inputs)) }

// twinsOf are the places of n points of an axis that are run on a finer grid as well: both ends and the middle, and of more than
// eight points those between as well.
func twinsOf(n int) []int {
	parts := 2
	if n > 8 {
		parts = 4
	}
	var out []int
	for k := range parts + 1 {
		if at := k * (n - 1) / parts; len(out) == 0 || out[len(out)-1] != at {
			out = append(out, at)
		}
	}
	return out
}

// runBeside runs what the answers need; outcomes are the variants' own.
func (w *working) runBeside(ctx context.Context, b *beside, outcomes []farm.Outcome) error {
	for _, u := range b.inputs {
		effects, unmoved, err := w.moved(ctx, u, int64(len(outcomes)), w.at, outcomes)
		if err != nil {
			return err
		}
		b.effects, b.unmoved = append(b.effects, effects), append(b.unmoved, unmoved)
	}
	points := make([]point, len(b.twins))
	own := make([]farm.Outcome, len(b.twins))
	for i, n := range b.twins {
		points[i], own[i] = w.at(n), outcomes[n]
	}
	errors, err := w.twins(ctx, points, own)
	if err != nil {
		return err
	}
	for i, n := range b.twins {
		b.errors[n] = errors[i]
	}
	return nil
}

// move is an uncertain input moved by so many of its standard uncertainties.
type move struct {
	farm.Setting
	by float64
}

// leastMove is by how many standard uncertainties an input has to be moved at the least for its effect to be scaled from that: less
// would scale errors of computing.
const leastMove = 0.05

// moves are the ways in which an input is moved: by one standard uncertainty up and down, or as far as is allowed at its path, the
// wider first. Half-widths hold at 95 % and are taken as two standard uncertainties, as study.Carry's are.
func moves(u bench.Uncertain) (out []move) {
	low, high := u.Limits()
	for _, by := range []float64{1, -1} {
		whole := by * u.Half / 2
		at := min(max(u.Value+whole, low), high)
		if part := by * (at - u.Value) / whole; math.Abs(part) >= leastMove {
			out = append(out, move{farm.Setting{Path: u.Path, Value: at}, part})
		}
	}
	if len(out) == 2 && math.Abs(out[1].by) > math.Abs(out[0].by) {
		slices.Reverse(out)
	}
	return out
}

// moved runs each of some variants with an input moved, the first way or, where the variant cannot be built so, the other, and
// returns what one standard uncertainty does to each response: 0 where it cannot be moved either way, NaN where there is no value.
func (w *working) moved(ctx context.Context, u bench.Uncertain, count int64, at func(int64) point, own []farm.Outcome) (effects [][]float64, unmoved int, err error) {
	effects = make([][]float64, count)
	left := make([]int64, count)
	for n := range left {
		left[n] = int64(n)
	}
	for i, m := range moves(u) {
		if i > 0 {
			w.progress.Total += int64(len(left))
		}
		out, err := w.more(ctx, int64(len(left)), func(n int64) point { return at(left[n]).with(m.Setting) })
		if err != nil {
			return nil, 0, err
		}
		var again []int64
		for k, n := range left {
			if out[k].Key == "" && own[n].Key != "" {
				again = append(again, n)
			} else {
				effects[n] = w.change(&out[k], &own[n], 1/m.by)
			}
		}
		left = again
	}
	for _, n := range left {
		effects[n] = make([]float64, len(w.Asked.Responses))
	}
	return effects, len(left), nil
}

// change is by how much the responses of one variant differ from those of another, times a factor.
func (w *working) change(a, b *farm.Outcome, times float64) []float64 {
	out := make([]float64, len(w.Asked.Responses))
	for r := range out {
		out[r] = times * (value(a, r) - value(b, r))
	}
	return out
}

// Of two grids, one finer by the ratio r, the error of the coarser one's value is estimated as its difference d times what
// study.Remaining has for the scheme's order 2, where results are smooth, times study.SafetyOfTwo. It covers order 1 too: there it
// is 3r/(r + 1) times the error, 1.7 or more. That is a half-width at 95 %, of which half is taken as the standard uncertainty.
func twinError(d, ratio float64) float64 {
	return study.SafetyOfTwo * study.Remaining(ratio, 2) * math.Abs(d) / 2
}

// twins runs variants on the next finer grid, and returns the standard uncertainty of each response that follows; NaN where one of
// the two has no value or the grid cannot be made finer.
func (w *working) twins(ctx context.Context, points []point, own []farm.Outcome) ([][]float64, error) {
	fine, err := w.moreOf(ctx, refinedPoints(points))
	if err != nil {
		return nil, err
	}
	out := make([][]float64, len(points))
	for i := range points {
		out[i] = w.change(&fine[i], &own[i], 1)
		ratio := 1.0
		if built, err := w.builder.Build(w.settings(points[i])); err == nil {
			ratio = study.Finer(built.Problem, 1)
		}
		for r := range out[i] {
			if out[i][r] = twinError(out[i][r], ratio); ratio <= 1 {
				out[i][r] = math.NaN()
			}
			if w.Asked.Responses[r].Read.How.OfBuilt() {
				out[i][r] = 0
			}
		}
	}
	return out, nil
}

func refinedPoints(points []point) []point {
	out := make([]point, len(points))
	for i, p := range points {
		out[i] = p.refinedOnce()
	}
	return out
}

// between is the uncertainty from computing of a response at each of some variants of one group, by the twins among them: the
// larger of the twins at or around each. Between two twins the difference of the grids may pass through zero by chance, and a
// line between the two would say too little there; the larger of all would say too much at an end where all is
// smooth. nil: fewer than two twins have values.
func (b *beside) between(group []int, response int) []float64 {
	type known struct {
		at int
		u  float64
	}
	var have []known
	for k, n := range group {
		if e, ok := b.errors[int64(n)]; ok && !math.IsNaN(e[response]) {
			have = append(have, known{k, e[response]})
		}
	}
	if len(have) < 2 {
		return nil
	}
	out := make([]float64, len(group))
	for k := range group {
		above := 0
		for above < len(have) && have[above].at <= k {
			above++
		}
		out[k] = math.Max(have[max(above-1, 0)].u, have[min(above, len(have)-1)].u)
	}
	return out
}
