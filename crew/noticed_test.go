package crew

import (
	"context"
	"io/fs"
	"sync/atomic"
	"testing"
	"time"

	"emberbank/farm"
	"emberbank/heat"
)

// slow is a run that takes three times as long as a worker may be silent, for one variant.
func slow(times *atomic.Int64) func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
	return func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
		if int(p.Tolerance) == 9 {
			times.Add(1)
			pause(ctx, 3*quick.Silence)
		}
		return run(ctx, p)
	}
}

// TestALongRunIsNotTakenForALostOne: while a worker says that it is at a task, nobody else gets it, here or elsewhere.
func TestALongRunIsNotTakenForALostOne(t *testing.T) {
	for _, here := range []bool{true, false} {
		l, a := opened(t)
		l.pace = quick
		s := empty()
		_, j := offered1(t, l, s)
		var times atomic.Int64
		f := slow(&times)
		if j.Run = f; here {
			j.Workers = 2
		} else {
			for range 2 {
				joined(t, a, func(ctx context.Context, _ *Link, p heat.Problem) (*heat.Result, error) { return f(ctx, p) })
			}
		}
		same(t, worked(t, j), s)
		if times.Load() != 1 {
			t.Errorf("here %v: the long run was begun %d times", here, times.Load())
		}
	}
}

// another builds something else than the study.
func another(fsys fs.FS, run string, set []farm.Setting) (heat.Problem, error) {
	p, err := build(fsys, run, set)
	p.Until++
	return p, err
}

// TestAWorkerThatBuildsAnotherProblemHandsInNothing: its record would stand under a key that is not its own.
func TestAWorkerThatBuildsAnotherProblemHandsInNothing(t *testing.T) {
	l, a := opened(t)
	s := empty()
	_, j := offered1(t, l, s)
	other, err := Join(context.Background(), a)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	var runs atomic.Int64
	w := &Worker{Link: other, Program: program, Build: another, Seconds: func() float64 { return 0 }, Run: func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
		runs.Add(1)
		return run(ctx, p)
	}}
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		_ = w.Work(ctx)
	}()
	for i, o := range worked(t, j) {
		if o.Failure == "" {
			t.Errorf("variant %d has values", i)
		}
	}
	stop()
	<-ended
	if len(s.held) != 0 || runs.Load() != 0 {
		t.Errorf("%d runs, %d records", runs.Load(), len(s.held))
	}
}

// TestAStoppedStudyLeavesNoTasks: a worker that stays would run them for nobody.
func TestAStoppedStudyLeavesNoTasks(t *testing.T) {
	l, _ := opened(t)
	q, j := offered1(t, l, empty())
	ctx, stop := context.WithTimeout(context.Background(), time.Second)
	defer stop()
	if _, err := j.Work(ctx, 0, variants); err == nil {
		t.Fatal("it is done without a worker")
	}
	left := func() uint64 {
		st, err := l.js.Stream(context.Background(), tasks)
		if err != nil {
			t.Fatal(err)
		}
		return st.CachedInfo().State.Msgs
	}
	if left() == 0 {
		t.Fatal("no task was submitted")
	}
	q.Close(false)
	if n := left(); n != 0 {
		t.Errorf("%d tasks are left", n)
	}
}
