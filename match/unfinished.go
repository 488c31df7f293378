package match

import (
	"context"
	"math"
)

// unfinished is what is known where a search was stopped: the best parameters so far, without intervals, and how the
// columns fit with them. Without a solution, or where something else than a stop ended the search, it is nil.
func (out *Result) unfinished(ctx context.Context, m *model, from []settled) *Result {
	var sol Solution
	if len(from) > 0 {
		sol = from[0].Solution
	}
	if ctx.Err() == nil || len(sol.X) < len(m.problem.Parameters) || len(sol.Differences) != len(m.y) {
		return nil
	}
	for j, p := range m.problem.Parameters {
		out.Estimates = append(out.Estimates, Estimated{Name: p.Name, Value: sol.X[j], SD: math.NaN(), Lower: math.NaN(), Upper: math.NaN()})
	}
	out.Cost, out.Rows = sol.Cost, len(m.y)
	at := 0
	for i := range m.trials {
		for _, c := range m.trials[i].channels {
			fit := ColumnFit{Trial: m.trials[i].Name, Column: c.Column, Unit: c.Quantity.Unit(), Time: c.time, Measured: c.value}
			for k := range c.value {
				fit.Computed = append(fit.Computed, c.value[k]+sol.Differences[at+k])
				fit.Band = append(fit.Band, math.NaN())
			}
			at += len(c.value)
			fit.sum()
			out.Columns = append(out.Columns, fit)
		}
	}
	out.Runs, _ = m.memory.Runs()
	return out.halfway(ctx)
}

// halfway marks a result as stopped; it is nil where something else ended the work.
func (out *Result) halfway(ctx context.Context) *Result {
	if ctx.Err() == nil {
		return nil
	}
	out.Unfinished, out.Converged, out.Why = true, false, "it was stopped"
	out.Trust = nil
	out.Verdict = "Unfinished: the match was stopped. These are the best parameters that it had come to, not its result; intervals, " +
		"where they stand, are not final, and no trial that was set aside has been predicted."
	return out
}
