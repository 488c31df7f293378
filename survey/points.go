package survey

import (
	"context"
	"math"
	"sync"

	"emberbank/farm"
	"emberbank/heat"
)

// point is a variant.
type point struct {
	x    []float64      // a value of each axis, in SI; nil: as the files have it
	more []farm.Setting // what it differs by besides
}

// settings are what a variant has in place of what the files say.
func (w *working) settings(p point) (out []farm.Setting) {
	set := w.Asked.Base()
	if p.x != nil {
		set = w.Asked.Settings(p.x)
	}
	for _, c := range set {
		out = append(out, farm.Setting(c))
	}
	return append(out, p.more...)
}

// with is the variant with one setting more.
func (p point) with(s farm.Setting) point {
	return point{p.x, append(p.more[:len(p.more):len(p.more)], s)}
}

// refinedOnce is the variant on the next finer grid.
func (p point) refinedOnce() point { return p.with(farm.Setting{Path: Refined, Value: 1}) }

// at is point n of the design.
func (w *working) at(n int64) point {
	x := make([]float64, len(w.Asked.Axes))
	w.Asked.Design.At(n, x)
	return point{x: x}
}

// run brings the points from number from up to below to.
func (w *working) run(ctx context.Context, from, to int64, at func(n int64) point) ([]farm.Outcome, error) {
	job := w.Job
	job.File, job.Limit, job.Run = w.Asked.Run, w.Asked.Limit, Run
	job.Read = func(r *farm.Record) ([]float64, error) {
		values, err := w.read(r)
		if o := (farm.Outcome{Values: values}); w.tally && w.meets(&o) {
			w.met.Add(1)
		}
		return values, err
	}
	var mu sync.Mutex
	made := make([][]float64, to-from)
	job.Build = func(n int64) (heat.Problem, []farm.Setting, error) {
		set := w.settings(at(n))
		built, err := w.builder.Build(set)
		if err != nil {
			return heat.Problem{}, nil, err
		}
		if w.ofBuilt {
			mu.Lock()
			made[n-from] = w.Asked.Built(built)
			mu.Unlock()
		}
		built.Problem.Threads, built.Problem.Kernel = 1, w.Loops
		return built.Problem, set, nil
	}
	before := w.progress
	job.Progress = func(p farm.Progress) { w.tell(before, p) }
	if w.Seen != nil && w.first >= 0 {
		job.Settled = func(n int64, o farm.Outcome) {
			p := at(n)
			if p.x == nil {
				return // the present design
			}
			mu.Lock()
			o.Values = merged(o.Values, made[n-from])
			mu.Unlock()
			w.Seen(w.first+n, w.variant(&o, p.x))
		}
	}
	out, err := job.Work(ctx, from, to)
	if err != nil {
		return nil, err
	}
	if w.ofBuilt {
		for i := range out {
			out[i].Values = merged(out[i].Values, made[i])
		}
	}
	return out, nil
}

// runAll brings some points.
func (w *working) runAll(ctx context.Context, points []point) ([]farm.Outcome, error) {
	return w.run(ctx, 0, int64(len(points)), func(n int64) point { return points[n] })
}

// more brings points that answers need besides the variants, and notes their keys.
func (w *working) more(ctx context.Context, count int64, at func(n int64) point) ([]farm.Outcome, error) {
	w.first = -1
	out, err := w.run(ctx, 0, count, at)
	for i := range out {
		if out[i].Key != "" {
			w.keys = append(w.keys, out[i].Key)
		}
	}
	return out, err
}

// moreOf brings some points besides the variants.
func (w *working) moreOf(ctx context.Context, points []point) ([]farm.Outcome, error) {
	return w.more(ctx, int64(len(points)), func(n int64) point { return points[n] })
}

// merged are the values read off a run, with those that hang on what is built in their places. A run without values has none.
func merged(read, built []float64) []float64 {
	if read == nil || built == nil {
		return read
	}
	out := make([]float64, len(read))
	for i, v := range read {
		if out[i] = v; !math.IsNaN(built[i]) {
			out[i] = built[i]
		}
	}
	return out
}

// value is a response of a variant; NaN where it has none.
func value(o *farm.Outcome, response int) float64 {
	if o.Failure != "" || response >= len(o.Values) {
		return math.NaN()
	}
	return o.Values[response]
}
