package survey

import (
	"context"
	"io/fs"

	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/farm"
	"emberbank/heat"
	"emberbank/kernel"
)

// Survey is a study at hand, with what it needs to be run.
type Survey struct {
	Asked *bench.Study
	Files fs.FS       // in which the study's run stands
	Loops *kernel.Set // nil: the fastest that the processor runs

	// Job holds what the work goes through: Store, Queue, Workers, Seconds, Model. What a variant is, is filled in.
	Job farm.Job

	// Cost tells what the variant of a key took: seconds of computing, and bytes on the disk. nil: nothing is known.
	Cost func(key string) (seconds float64, size int64)
	// Consent is asked once, when the first variant has told what one takes. Its error ends the study. nil: go on.
	Consent func(Estimate) error
	// Watch is told how far the work has got, one call at a time; may be nil.
	Watch func(Progress)
}

// Work runs the study and judges it. A cancelled context ends it with an error; what was computed stands in the store, and
// another call goes on from there.
func (s *Survey) Work(ctx context.Context) (*dossier.Varied, error) {
	w := &working{Survey: s}
	outcomes, err := w.sweep(ctx)
	if err != nil {
		return nil, err
	}
	return variedOf(s.Asked, outcomes), nil
}

// working is a study under way.
type working struct {
	*Survey
	progress Progress
	counting bool    // consent is there: from here on time is taken
	began    float64 // s, when it came
	before   int64   // variants computed before that
}

// point is a variant: a value of each axis, in SI.
type point []float64

// sweep runs every point of the design.
func (w *working) sweep(ctx context.Context) ([]farm.Outcome, error) {
	count := w.Asked.Design.Count()
	at := func(n int64) point {
		x := make(point, len(w.Asked.Axes))
		w.Asked.Design.At(n, x)
		return x
	}
	first, err := w.begin(ctx, count, at(0))
	if err != nil {
		return nil, err
	}
	rest, err := w.run(ctx, 1, count, at)
	return append(first, rest...), err
}

// run brings the points from number from up to below to.
func (w *working) run(ctx context.Context, from, to int64, at func(n int64) point) ([]farm.Outcome, error) {
	job := w.Job
	job.File, job.Run, job.Read = w.Asked.Run, Run, reader(w.Asked.Responses)
	job.Build = func(n int64) (heat.Problem, []farm.Setting, error) {
		set := settings(w.Asked, at(n))
		built, err := Build(w.Files, w.Asked.Run, set)
		if err != nil {
			return heat.Problem{}, nil, err
		}
		built.Problem.Threads, built.Problem.Kernel = 1, w.Loops
		return built.Problem, set, nil
	}
	before := w.progress
	job.Progress = func(p farm.Progress) { w.tell(before, p) }
	return job.Work(ctx, from, to)
}
