package survey

import (
	"context"
	"fmt"
	"math"

	"emberbank/account"
	"emberbank/answer"
	"emberbank/bench"
	"emberbank/farm"
	"emberbank/study"
)

// over says what the best is worth over the present design: both once more on a finer grid, and with each uncertain input
// moved, so that what errors they share drops out.
func (w *working) over(ctx context.Context, v *account.Varied, f *finding, inputs []bench.Uncertain, o *account.VariedOptimum) ([]string, error) {
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
	var atBest [][]float64
	for _, in := range inputs {
		effects, _, err := w.moved(ctx, in, 2, func(n int64) point { return points[n] }, pair)
		if err != nil {
			return present, err
		}
		atBest = append(atBest, effects[1])
		one := []float64{f.turned(0, effects[0][o.Response]), f.turned(0, effects[1][o.Response])}
		if math.IsNaN(one[0]) || math.IsNaN(one[1]) {
			present = append(present, "What the uncertainty of "+in.Path+" does to the two has no value and is left out.")
			continue
		}
		both.Inputs = append(both.Inputs, one)
	}
	present = append(w.keeping(v, f, o, atBest), present...)
	if !v.Present.Meets {
		present = append(present, "The present design misses a constraint that the best keeps.")
	}
	got, err := answer.AdvantageOver(both, confidence)
	if err != nil {
		return append(present, "It cannot be compared: "+err.Error()+"."), nil
	}
	o.Over = &got
	return append(present, w.worth(r, got, told, len(both.Inputs))), nil
}

// worth says what the best is worth over the present design; computing tells that the uncertainty from computing is known.
func (w *working) worth(r *account.VariedResponse, got answer.Advantage, computing bool, inputs int) string {
	amount := func(y float64) string { return r.Amount(y, true) }
	better := "better"
	if got.By < 0 {
		better = "worse"
	}
	text := fmt.Sprintf("The best is %s by %s", better, amount(math.Abs(got.By)))
	if !computing && inputs == 0 {
		return text + "; how uncertain that is from grid and time step is not known."
	}
	text += fmt.Sprintf(" ± %s (standard uncertainty%s)", rough(amount)(got.U), w.ofWhat(computing, inputs))
	if got.Shown {
		return text + fmt.Sprintf(", by %s at least (95 %%).", amount(got.Least))
	}
	return text + ", so that it is not shown to be better."
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
