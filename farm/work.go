package farm

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"sync"
	"time"

	"emberbank/heat"
)

// Within is the key under which the record of a run stands that did not keep a time limit, in s.
func Within(key string, limit float64) string {
	return key + "-within-" + strconv.FormatFloat(limit, 'f', -1, 64) + "s"
}

// Under is the key under which a record stands.
func (r *Record) Under(key string) string {
	if r.Limit > 0 {
		return Within(key, r.Limit)
	}
	return key
}

// computed is a task that was run, on its way into the store.
type computed struct {
	Lease
	record  *Record
	seconds float64
}

// worker runs tasks until the context ends. What a task gave is kept while the next is run: a disk takes its time to say that
// it has what it was given.
func (w *working) worker(ctx context.Context) {
	done := make(chan computed)
	var keeper sync.WaitGroup
	keeper.Go(func() {
		for c := range done {
			if err := w.finish(c); err != nil && ctx.Err() == nil {
				w.cancel(err)
			}
		}
	})
	defer keeper.Wait()
	defer close(done)
	for {
		began := w.clock()
		lease, err := w.queue.Next(ctx)
		var c *computed
		got := w.clock()
		if err == nil {
			c, err = w.one(ctx, lease)
		}
		if err != nil {
			if ctx.Err() == nil {
				w.cancel(err)
			}
			return
		}
		if c != nil {
			ran := w.clock()
			done <- *c
			w.Times.add(got-began, ran-got-c.seconds, c.seconds, w.clock()-ran)
		}
	}
}

// finish keeps what a task gave, and ends it.
func (w *working) finish(c computed) error {
	if err := w.keep(c.Key, c.record, c.seconds); err != nil {
		w.queue.Release(c.Lease)
		return err
	}
	return w.queue.Complete(c.Lease)
}

// one runs a variant, or ends the task where no run is asked for or will be tried: then there is nothing to be kept. Its error
// ends the whole work; a run that cannot be computed is none, and is recorded.
func (w *working) one(ctx context.Context, l Lease) (*computed, error) {
	v, err := w.asked(l)
	switch {
	case v == nil:
		return nil, err
	case l.Try > MostTries:
		if err := w.queue.Complete(l); err != nil {
			return nil, err
		}
		w.settle(l.Key, Outcome{Failure: AsideText}, false)
		return nil, nil
	}
	w.tell(func(p *Progress) { p.Running++ })
	defer w.tell(func(p *Progress) { p.Running-- })
	var problem heat.Problem
	if v.problem != nil {
		problem = *v.problem
	}
	if v.problem == nil || l.Settings == nil {
		p, settings, err := w.Build(v.number)
		if err != nil {
			w.queue.Release(l)
			return nil, fmt.Errorf("building variant %d again: %w", v.number+1, err)
		}
		problem, l.Settings = p, settings
	}
	began := w.clock()
	r, err := Compute(ctx, w.Run, problem, w.Limit)
	if err != nil {
		w.queue.Release(l)
		return nil, err
	}
	r.Run, r.Settings = w.File, l.Settings
	return &computed{l, r, w.clock() - began}, nil
}

// asked is the variant that a task is of. One of none is ended: left by an earlier start, or run by another meanwhile.
func (w *working) asked(l Lease) (*variant, error) {
	w.opening.Lock()
	defer w.opening.Unlock()
	w.mu.Lock()
	v := w.open[l.Key]
	w.mu.Unlock()
	if v == nil || l.Limit != w.Limit {
		return nil, w.queue.Complete(l)
	}
	return v, nil
}

// aside takes the word that a task was set aside; of no variant, it is a word of an earlier start.
func (w *working) aside(a Arrival) {
	w.opening.Lock()
	defer w.opening.Unlock()
	w.settle(a.Key, Outcome{Failure: a.Aside}, false)
	if a.Keep != nil {
		a.Keep()
	}
}

// collect keeps what others run.
func (w *working) collect(ctx context.Context) {
	for {
		a, err := w.queue.Arrived(ctx)
		switch {
		case err != nil:
		case a.Record == nil:
			w.aside(a)
		default:
			if err = w.keep(a.Key, a.Record, a.Seconds); err == nil && a.Keep != nil {
				a.Keep()
			}
		}
		if err != nil {
			if ctx.Err() == nil {
				w.cancel(err)
			}
			return
		}
	}
}

// keep puts a record into the store, and makes an outcome of what stands there. What did not keep another limit than the one
// that is set is no outcome.
func (w *working) keep(key string, r *Record, seconds float64) error {
	kept, err := w.Store.Save(r.Under(key), r, seconds)
	if err != nil || r.Limit > 0 && r.Limit != w.Limit {
		return err
	}
	w.mu.Lock()
	asked := w.open[key] != nil
	w.mu.Unlock()
	if !asked {
		return nil
	}
	return w.take(key, r.Under(key), kept, false)
}

func (w *working) clock() float64 {
	if w.Seconds == nil {
		return 0
	}
	return w.Seconds()
}

// lastWord is how long a run that was told to end may take to do so. One that does not hear is left to itself.
const lastWord = 10 * time.Second

var errLate = errors.New("the time limit is over")

// LateText begins the failure of a run that did not keep its time limit.
const LateText = "it was not done within its time limit"

// Compute runs a problem and makes a record of what it gave. With a limit, in s, a run that takes longer fails. The error is
// that of a context that ended.
func Compute(ctx context.Context, run func(context.Context, heat.Problem) (*heat.Result, error), p heat.Problem, limit float64) (*Record, error) {
	within := ctx
	if limit > 0 {
		c, stop := context.WithTimeoutCause(ctx, time.Duration(limit*float64(time.Second)), errLate)
		defer stop()
		within = c
	}
	type answer struct {
		result *heat.Result
		err    error
	}
	answers := make(chan answer, 1)
	go func() {
		var a answer
		a.result, a.err = safely(within, run, p)
		answers <- a
	}()
	var got answer
	select {
	case got = <-answers:
	case <-within.Done():
		last := time.NewTimer(lastWord)
		defer last.Stop()
		select {
		case got = <-answers:
		case <-last.C:
			got.err = within.Err()
		}
	}
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	r := &Record{}
	switch {
	case got.err != nil && within.Err() != nil:
		r.Limit, r.Failure = limit, LateText+" of "+strconv.FormatFloat(limit, 'f', -1, 64)+" s"
	case got.err != nil:
		r.Failure = got.err.Error()
	case got.result == nil || len(got.result.History.Time) == 0:
		r.Failure = "the run gave no result"
	default:
		r.Stopped, r.Warnings, r.Ledger, r.History = got.result.Stopped, got.result.Warnings, got.result.Ledger, got.result.History
		for _, c := range got.result.Cautions {
			r.Cautions = append(r.Cautions, c.Kind+": "+c.Text)
		}
	}
	return r, nil
}

// safely runs a problem; a panic of one variant costs no more than that variant.
func safely(ctx context.Context, run func(context.Context, heat.Problem) (*heat.Result, error), p heat.Problem) (r *heat.Result, err error) {
	defer func() {
		if x := recover(); x != nil {
			r, err = nil, fmt.Errorf("the program broke down in this variant, which is a mistake of the program: %v", x)
		}
	}()
	return run(ctx, p)
}
