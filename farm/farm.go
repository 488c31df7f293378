// Package farm runs the variants of a study: each once, several at a time, and none again that was run before.
//
// A variant is known by its key, the hash of everything that its run is computed from (key.go). Its record, which is what
// the run gave, goes to a Store, where the first to come under a key stays; the values of responses are read from the
// record as it stands there, whether it was computed just now or last week. So a study that was stopped goes on where
// it was, another axis or another response computes nothing twice, and the outcomes, which stand in the order of the
// design, are the same for any number of workers.
//
// Tasks go through a Queue. Shared is the one inside a process; a queue between machines takes its place by the same
// five calls, and the worker then builds the problem of a task by its number.
//
// Left out: a limit on the time of one variant, and queues between machines.
//
//	outcomes, err := job.Work(ctx, 0, job.Count)
package farm

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"

	"emberbank/heat"
	"emberbank/history"
)

// Record is what a variant's run gave, and from what. Times of computing are not in it.
type Record struct {
	Run      string    // the run file that was varied
	Settings []Setting // what stood in place of its numbers
	Failure  string    // why there are no results; "": there are
	Stopped  string    // why the run ended before its time, by a rule; "": it did not
	Cautions []string  // each "KIND: what the run says"
	Warnings []string
	Ledger   heat.Ledger
	History  history.History
}

// Setting is one number that a variant has in place of the files'.
type Setting struct {
	Path   string  `json:"path"`
	Factor bool    `json:"factor,omitempty"`
	Value  float64 `json:"value_si"`
}

// Store keeps records by key.
type Store interface {
	// Load returns the record of a key; nil without an error where there is none, or none that is whole.
	Load(key string) (*Record, error)
	// Save keeps a record unless the key has one, and returns the one that stands then, as Load would. Seconds is how
	// long the run took.
	Save(key string, r *Record, seconds float64) (*Record, error)
}

// Outcome is what a study knows of a variant.
type Outcome struct {
	Key      string // "" where the variant cannot be built
	Values   []float64
	Failure  string
	Stopped  string
	Cautions []string // their kinds, each once
}

// Progress is how far the work has got.
type Progress struct {
	Done, Known, Running, Failed, Total int64 // Known is the part of Done that was computed before
}

// Job is the variants of a study.
type Job struct {
	// Build returns the problem of a variant, with the settings that its record names. An error means that it cannot be built.
	Build func(number int64) (heat.Problem, []Setting, error)
	Run   func(ctx context.Context, p heat.Problem) (*heat.Result, error)
	// Read returns the values of the responses. An error means that a response is not there, which ends the work.
	Read     func(r *Record) ([]float64, error)
	File     string // the run file, for records
	Model    string // version of the program and what else results hang on beside the problem
	Store    Store
	Queue    Queue          // for one call of Work; nil: a Shared one
	Workers  int            // 0: 1
	Seconds  func() float64 // s, of a clock that does not jump; nil: none
	Progress func(Progress) // one call at a time; may be nil
}

// Work brings the variants from number from up to below to, and returns their outcomes in that order. A cancelled context
// ends it with an error; what was computed stands in the store.
func (j *Job) Work(ctx context.Context, from, to int64) ([]Outcome, error) {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	workers := max(1, j.Workers)
	w := &working{Job: j, from: from, out: make([]Outcome, to-from), queue: j.Queue, cancel: cancel}
	if w.queue == nil {
		w.queue = NewShared(2 * workers)
	}
	w.progress.Total = to - from
	w.tell(func(*Progress) {})
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() { w.worker(ctx) })
	}
	twins := w.feed(ctx, from, to)
	w.queue.Close()
	wg.Wait()
	if err := context.Cause(ctx); err != nil {
		return nil, fmt.Errorf("running variants: %w", err)
	}
	for i, first := range twins {
		w.out[i] = w.out[first]
		w.tell(func(p *Progress) { p.count(&w.out[i], true) })
	}
	return w.out, nil
}

// working is a job under way.
type working struct {
	*Job
	from     int64
	out      []Outcome // each written by one goroutine
	queue    Queue
	cancel   context.CancelCauseFunc
	mu       sync.Mutex
	progress Progress
}

func (w *working) tell(change func(*Progress)) {
	w.mu.Lock()
	defer w.mu.Unlock()
	change(&w.progress)
	if w.Progress != nil {
		w.Progress(w.progress)
	}
}

func (p *Progress) count(o *Outcome, known bool) {
	p.Done++
	if known {
		p.Known++
	}
	if o.Failure != "" {
		p.Failed++
	}
}

// feed submits what is not in the store, in the order of the design, and returns the variants that are the same as one
// before them.
func (w *working) feed(ctx context.Context, from, to int64) (twins map[int64]int64) {
	twins, seen := map[int64]int64{}, map[string]int64{}
	for n := from; n < to && ctx.Err() == nil; n++ {
		i := n - from
		p, settings, err := w.Build(n)
		if err != nil {
			w.out[i] = Outcome{Failure: err.Error()}
			w.tell(func(p *Progress) { p.count(&w.out[i], false) })
			continue
		}
		key := Key(&p, w.Model)
		if first, twice := seen[key]; twice {
			twins[i] = first
			continue
		}
		seen[key] = i
		r, err := w.Store.Load(key)
		if err != nil {
			w.cancel(err)
			return twins
		}
		if r == nil {
			err = w.queue.Submit(ctx, Task{Number: n, Key: key, Problem: &p, Settings: settings})
		} else {
			err = w.take(n, key, r, true)
		}
		if err != nil {
			w.cancel(err)
		}
	}
	return twins
}

// take makes an outcome of a record.
func (w *working) take(n int64, key string, r *Record, known bool) error {
	o := Outcome{Key: key, Failure: r.Failure, Stopped: r.Stopped}
	for _, c := range r.Cautions {
		if kind, _, _ := strings.Cut(c, ": "); !slices.Contains(o.Cautions, kind) {
			o.Cautions = append(o.Cautions, kind)
		}
	}
	if r.Failure == "" {
		values, err := w.Read(r)
		if err != nil {
			return err
		}
		o.Values = values
	}
	w.out[n-w.from] = o
	w.tell(func(p *Progress) { p.count(&o, known) })
	return nil
}

// worker runs tasks until there are no more.
func (w *working) worker(ctx context.Context) {
	for {
		lease, err := w.queue.Next(ctx)
		if errors.Is(err, io.EOF) {
			return
		}
		if err == nil {
			w.tell(func(p *Progress) { p.Running++ })
			err = w.one(ctx, lease)
			w.tell(func(p *Progress) { p.Running-- })
		}
		if err != nil {
			w.cancel(err)
			return
		}
	}
}

// one runs a variant. Its error ends the whole work; a run that cannot be computed is none, and is recorded.
func (w *working) one(ctx context.Context, l Lease) error {
	if l.Problem == nil {
		p, settings, err := w.Build(l.Number)
		if err != nil {
			return fmt.Errorf("building variant %d again: %w", l.Number+1, err)
		}
		l.Problem, l.Settings = &p, settings
	}
	p := *l.Problem
	began := w.clock()
	p.Progress = func(float64) { w.queue.Heartbeat(l) }
	result, err := w.safely(ctx, p)
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	r := &Record{Run: w.File, Settings: l.Settings}
	switch {
	case err != nil:
		r.Failure = err.Error()
	case result == nil || len(result.History.Time) == 0:
		r.Failure = "the run gave no result"
	default:
		r.Stopped, r.Warnings, r.Ledger, r.History = result.Stopped, result.Warnings, result.Ledger, result.History
		for _, c := range result.Cautions {
			r.Cautions = append(r.Cautions, c.Kind+": "+c.Text)
		}
	}
	kept, err := w.Store.Save(l.Key, r, w.clock()-began)
	if err != nil {
		return err
	}
	if r.Failure != "" { // another try would end alike
		w.queue.Fail(l, errors.New(r.Failure), true)
	} else {
		w.queue.Complete(l)
	}
	return w.take(l.Number, l.Key, kept, false)
}

func (w *working) clock() float64 {
	if w.Seconds == nil {
		return 0
	}
	return w.Seconds()
}

// safely runs a problem; a panic of one variant costs no more than that variant.
func (w *working) safely(ctx context.Context, p heat.Problem) (r *heat.Result, err error) {
	defer func() {
		if x := recover(); x != nil {
			r, err = nil, fmt.Errorf("the program broke down in this variant, which is a mistake of the program: %v", x)
		}
	}()
	return w.Run(ctx, p)
}
