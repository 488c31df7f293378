package survey

import (
	"context"
	"fmt"
	"math"

	"emberbank/bench"
	"emberbank/heat"
	"emberbank/study"
)

// lookTime is how much of a run is computed to see which columns and entries it has, in s.
const lookTime = 1e-3

// look sees to it that what the responses read is there, before anything else runs: the first moment of a few variants has
// all columns of a history and all entries of a ledger.
func (w *working) look(ctx context.Context) error {
	var missing error
	for _, p := range w.corners() {
		built, err := w.builder.Build(w.settings(p))
		if err != nil {
			continue // a variant that cannot be built is told as such
		}
		short := built.Problem
		short.Threads, short.Kernel, short.Steady = 1, w.Loops, false
		short.Until = lookTime
		if u := built.Problem.Until; u > 0 && !built.Problem.Steady {
			short.Until = math.Min(lookTime, u)
		}
		short.Output, short.FieldTimes, short.ProfileTimes = []float64{0, short.Until}, nil, nil
		result, err := Run(ctx, short)
		if ctx.Err() != nil {
			return fmt.Errorf("looking at the responses: %w", context.Cause(ctx))
		}
		if err != nil || result == nil {
			continue
		}
		if missing = absent(w.Asked.Responses, result); missing == nil {
			return nil
		}
	}
	return missing
}

// corners are variants that differ much: the first and the last of a design, else the run as its files have it.
func (w *working) corners() []point {
	if d := w.Asked.Design; d != nil {
		return []point{w.at(d.Count() - 1), w.at(0)}
	}
	return []point{{}}
}

// absent names the first response of which nothing can be read.
func absent(responses []bench.StudyResponse, r *heat.Result) error {
	for _, one := range responses {
		if one.Read.How.OfBuilt() {
			continue
		}
		for _, of := range []string{one.Read.Of, one.Read.Watch} {
			q := study.Quantity{Of: of}
			if one.Read.How == bench.ReadLedger {
				q.Take = study.InLedger
			}
			if of == "" {
				continue
			}
			if _, err := q.Value(r); err != nil {
				return &Mistake{Message: "reading the response " + one.Name, Err: err, Fix: "mend what it reads; nothing was computed"}
			}
		}
	}
	return nil
}
