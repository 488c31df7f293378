// Package farm runs the variants of a study: each once, several at a time, and none again that was run before.
//
// A variant is known by its key, the hash of everything that its run is computed from (key.go). Its record, which is what
// the run gave, goes to a Store, where the first to come under a key stays; the values of responses are read from the
// record as it stands there, whether it was computed just now or last week. So a study that was stopped goes on where
// it was, another axis or another response computes nothing twice, and the outcomes, which stand in the order of the
// design, are the same for any number of workers.
//
// Tasks go through a Queue. Shared is one inside a process; a queue that others join hands tasks to their workers too,
// which build the problem of a task from its settings, and what they ran arrives by the queue.
//
// A run that takes longer than the study's limit fails with that for a reason, and its record stands under a key of its own
// with the limit in it: a later start with a longer limit runs it again. A task whose worker was lost three times is set
// aside for this start; nothing is recorded of it, since the next start may have better luck.
//
//	outcomes, err := job.Work(ctx, 0, job.Count)
package farm

import (
	"context"
	"fmt"
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
	Limit    float64   // s, the time limit that the run did not keep; 0: it is no such failure
	Stopped  string    // why the run ended before its time, by a rule; "": it did not
	Cautions []string  // each "KIND: what the run says"
	Warnings []string
	Ledger   heat.Ledger
	History  history.History
}

// Setting is one change of a variant beside the files: a number or a text in place of what stands at a path, a factor on it,
// or how many are kept of what a path lists.
type Setting struct {
	Path   string  `json:"path"`
	Factor bool    `json:"factor,omitempty"`
	First  bool    `json:"first,omitempty"` // Value is how many are kept
	Value  float64 `json:"value_si"`
	Text   string  `json:"text,omitempty"`       // in place of Value; "": the value counts
	Under  bool    `json:"under,omitempty"`      // made before those that are not, such as by a match
	Half   float64 `json:"half_95_si,omitempty"` // how well the value is known; 0: not said
	With   string  `json:"with,omitempty"`       // name of what the path moves with; "": it stands alone
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
	Key      string // under which its record stands; "" where there is none: it cannot be built, or was set aside
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
	File     string  // the run file, for records
	Model    string  // the program and what else results hang on beside the problem
	Limit    float64 // s, the time that one variant may take; 0: any
	Store    Store
	Queue    Queue          // nil: a Shared one for each call of Work
	Workers  int            // in this process; 0: 1; below 0: none, others join the queue
	Seconds  func() float64 // s, of a clock that does not jump; nil: none
	Times    *Times         // by that clock, where the time went; may be nil
	Progress func(Progress) // one call at a time; may be nil
	// Settled is told of each variant when it has its outcome, one call at a time; may be nil.
	Settled func(number int64, o Outcome)
}

// Work brings the variants from number from up to below to, and returns their outcomes in that order. A cancelled context
// ends it with an error; what was computed stands in the store.
func (j *Job) Work(ctx context.Context, from, to int64) ([]Outcome, error) {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	workers := max(0, j.Workers)
	if j.Workers == 0 {
		workers = 1
	}
	// Of a Shared queue, so many are open: in hand, on their way into the store, waiting, and the one that is being submitted.
	w := &working{Job: j, from: from, out: make([]Outcome, to-from), queue: j.Queue, cancel: cancel, open: map[string]*variant{}, atHand: 4*workers + 1, none: make(chan struct{})}
	if w.queue == nil {
		w.queue = NewShared(2 * workers)
	}
	w.progress.Total = to - from
	w.tell(func(*Progress) {})
	rest, stop := context.WithCancel(ctx)
	defer stop()
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() { w.worker(rest) })
	}
	wg.Go(func() { w.collect(rest) })
	twins := w.feed(ctx, from, to)
	select {
	case <-w.none:
	case <-ctx.Done():
	}
	stop()
	wg.Wait()
	if err := context.Cause(ctx); err != nil {
		return nil, fmt.Errorf("running variants: %w", err)
	}
	for i, first := range twins {
		w.out[i] = w.out[first]
		w.tell(func(p *Progress) {
			p.count(&w.out[i], true)
			w.settled(w.from+i, w.out[i])
		})
	}
	return w.out, nil
}

// working is a job under way.
type working struct {
	*Job
	from   int64
	queue  Queue
	cancel context.CancelCauseFunc
	atHand int // how many problems are kept at hand

	// opening is held while a variant is made known, and while a task that no variant asks for is ended: one that is submitted
	// then would be taken for the one that still lies there, and be ended with it.
	opening sync.Mutex

	mu       sync.Mutex // of what follows
	out      []Outcome
	open     map[string]*variant // by key, what has no outcome yet
	fed      bool                // all are in open that will be
	ended    bool
	none     chan struct{} // closed when nothing is open any more
	held     int           // problems at hand
	kinds    [][]string    // of cautions, each list once: variants have the same few
	progress Progress
}

// variant is one that has no outcome yet.
type variant struct {
	number  int64
	problem *heat.Problem // nil: it is built again
}

func (w *working) tell(change func(*Progress)) {
	w.mu.Lock()
	defer w.mu.Unlock()
	change(&w.progress)
	p := w.progress
	p.Running += w.queue.Elsewhere()
	if w.Progress != nil {
		w.Progress(p)
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

// unbuilt stands for the key of a variant that cannot be built.
const unbuilt = ""

// feed submits what is not in the store, in the order of the design, and returns the variants that are the same as one
// before them.
func (w *working) feed(ctx context.Context, from, to int64) (twins map[int64]int64) {
	twins, seen := map[int64]int64{}, map[string]int64{}
	defer w.tell(func(*Progress) {
		w.fed = true
		w.end()
	})
	for n := from; n < to && ctx.Err() == nil; n++ {
		i := n - from
		p, settings, err := w.Build(n)
		if err != nil {
			w.opened(unbuilt, n, nil)
			w.settle(unbuilt, Outcome{Failure: err.Error()}, false)
			continue
		}
		key := Key(&p, w.Model)
		if first, twice := seen[key]; twice {
			twins[i] = first
			continue
		}
		seen[key] = i
		w.opened(key, n, &p)
		at, r, err := w.Known(key)
		switch {
		case err == nil && r == nil:
			err = w.queue.Submit(ctx, Task{Number: n, Key: key, Limit: w.Limit, Settings: settings})
		case err == nil:
			err = w.take(key, at, r, true)
		}
		if err != nil {
			w.cancel(err)
		}
	}
	return twins
}

// Known returns a variant's record and the key under which it stands: its own, or one with the time limit that it did not keep.
// The record is nil where there is none.
func (j *Job) Known(key string) (at string, r *Record, err error) {
	r, err = j.Store.Load(key)
	if r == nil && err == nil && j.Limit > 0 {
		key = Within(key, j.Limit)
		r, err = j.Store.Load(key)
	}
	return key, r, err
}

func (w *working) opened(key string, n int64, p *heat.Problem) {
	w.opening.Lock()
	defer w.opening.Unlock()
	w.mu.Lock()
	defer w.mu.Unlock()
	v := &variant{number: n}
	if p != nil && w.held < w.atHand {
		w.held++
		v.problem = p
	}
	w.open[key] = v
}

// settle gives a variant its outcome, unless it has one.
func (w *working) settle(key string, o Outcome, known bool) {
	w.tell(func(p *Progress) {
		v := w.open[key]
		if v == nil {
			return
		}
		if v.problem != nil {
			w.held--
		}
		delete(w.open, key)
		w.out[v.number-w.from] = o
		p.count(&o, known)
		w.settled(v.number, o)
		w.end()
	})
}

func (w *working) settled(number int64, o Outcome) {
	if w.Settled != nil {
		w.Settled(number, o)
	}
}

// end tells when nothing is open any more; the lock is held.
func (w *working) end() {
	if w.fed && len(w.open) == 0 && !w.ended {
		w.ended = true
		close(w.none)
	}
}

// take makes an outcome of a record, unless the variant has one.
func (w *working) take(key, at string, r *Record, known bool) error {
	o := Outcome{Key: at, Failure: r.Failure, Stopped: r.Stopped, Cautions: w.kindsOf(r.Cautions)}
	if r.Failure == "" {
		values, err := w.Read(r)
		if err != nil {
			return err
		}
		o.Values = values
	}
	w.settle(key, o, known)
	return nil
}

// kindsOf are the kinds of some cautions, each once. They share no memory with the texts of the cautions, and outcomes share
// them: a study may have a million.
func (w *working) kindsOf(cautions []string) (kinds []string) {
	for _, c := range cautions {
		if kind, _, _ := strings.Cut(c, ": "); !slices.Contains(kinds, kind) {
			kinds = append(kinds, kind)
		}
	}
	if kinds == nil {
		return nil
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, known := range w.kinds {
		if slices.Equal(known, kinds) {
			return known
		}
	}
	for i := range kinds {
		kinds[i] = strings.Clone(kinds[i])
	}
	w.kinds = append(w.kinds, kinds)
	return kinds
}
