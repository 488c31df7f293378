package web

import (
	"context"
	"errors"
	"io/fs"
	"sync"
	"time"

	"emberbank/bench"
	"emberbank/heat"
)

// runs are those of a bench that somebody has looked at.
type runs struct {
	desk *Desk
	mu   sync.Mutex
	all  map[string]*run
	shut bool
	wait sync.WaitGroup
}

// run is a run file and what has been computed of it. A coarse answer comes first, then the whole one.
type run struct {
	name     string
	mu       sync.Mutex
	stop     context.CancelFunc // of what is being computed; nil: nothing is
	state    string
	failure  string
	problems bench.Problems
	loaded   *bench.Run
	hand     *answer // the answer at hand: the last that is whole, or the first as far as it has got
	growing  *answer // what is being computed behind it
	number   int     // of the answer at hand
	began    time.Time
	reached  float64 // s, of what is being computed
	told     time.Time
}

// States of a run.
const (
	computing = "computing"
	done      = "done"
	stopped   = "stopped"
	mistaken  = "mistaken"
	failed    = "failed"
)

var errShut = errors.New("the program is ending")

// of returns a run, and begins to compute it where nobody has looked at it before.
func (rs *runs) of(name string) (*run, error) {
	rs.mu.Lock()
	defer rs.mu.Unlock()
	if rs.shut {
		return nil, errShut
	}
	if r := rs.all[name]; r != nil {
		return r, nil
	}
	if !mayOpen(name) {
		return nil, errName
	}
	if _, err := fs.Stat(rs.desk.root.FS(), name); err != nil {
		return nil, errNoFile
	}
	r := &run{name: name}
	if rs.all == nil {
		rs.all = map[string]*run{}
	}
	rs.all[name] = r
	rs.begin(r)
	return r, nil
}

// again computes a run anew from its files.
func (rs *runs) again(r *run) error {
	rs.mu.Lock()
	defer rs.mu.Unlock()
	if rs.shut {
		return errShut
	}
	rs.begin(r)
	return nil
}

// begin starts computing; the lock of the runs is held. What was being computed of this run is stopped.
func (rs *runs) begin(r *run) {
	ctx, cancel := context.WithCancel(context.Background())
	r.mu.Lock()
	if r.stop != nil {
		r.stop()
	}
	r.stop, r.state, r.failure, r.began, r.reached = cancel, computing, "", time.Now(), 0
	r.mu.Unlock()
	rs.wait.Go(func() { defer cancel(); rs.desk.compute(ctx, r) })
}

func (rs *runs) close() {
	rs.mu.Lock()
	rs.shut = true
	for _, r := range rs.all {
		r.halt()
	}
	rs.mu.Unlock()
	rs.wait.Wait()
}

// halt stops what is being computed.
func (r *run) halt() {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.stop != nil {
		r.stop()
	}
}

// compute reads the files and computes the coarse answer and the whole one.
func (d *Desk) compute(ctx context.Context, r *run) {
	loaded, problems := bench.LoadRun(d.root.FS(), r.name, bench.Options{})
	r.mu.Lock()
	if ctx.Err() != nil {
		r.mu.Unlock()
		return
	}
	r.problems = problems
	if problems.Failed() {
		r.state = mistaken
		r.mu.Unlock()
		d.tell(r)
		return
	}
	r.loaded = loaded
	r.mu.Unlock()
	p := loaded.Problem
	p.Kernel, p.Threads = d.loops, d.threads
	if coarse, ok := coarser(p); ok && !d.march(ctx, r, loaded, coarse, true) {
		return
	}
	d.march(ctx, r, loaded, p, false)
}

// coarser is the same problem on half as many cells along each direction, with larger steps; false where the file fixes the
// cells.
func coarser(p heat.Problem) (heat.Problem, bool) {
	if p.Grid.Counts != [3]int{} || p.Grid.Lines[0] != nil || p.Steady {
		return p, false
	}
	if p.Grid.Refine == 0 {
		p.Grid.Refine = 1
	}
	if p.Tolerance == 0 {
		p.Tolerance = heat.DefaultTolerance
	}
	p.Grid.Refine /= 2
	p.Tolerance *= 2
	return p, true
}

// march computes one answer. It returns false where the run was stopped, or begun anew meanwhile.
func (d *Desk) march(ctx context.Context, r *run, loaded *bench.Run, p heat.Problem, coarse bool) bool {
	a := newAnswer(loaded, &p, coarse)
	r.mu.Lock()
	r.growing, r.began, r.reached = a, time.Now(), 0
	if r.hand == nil { // the last good answer stays until there is another
		r.hand, r.number = a, r.number+1
	}
	r.mu.Unlock()
	p.Seen = func(s heat.Sight) {
		r.mu.Lock()
		a.grow(s, len(p.Output))
		r.mu.Unlock()
	}
	p.Progress = func(t float64) {
		r.mu.Lock()
		r.reached = t
		due := time.Since(r.told) > 150*time.Millisecond
		if due {
			r.told = time.Now()
		}
		r.mu.Unlock()
		if due && ctx.Err() == nil {
			d.tell(r)
		}
	}
	result, err := heat.Run(ctx, p)
	r.mu.Lock()
	if ctx.Err() != nil {
		if r.state == computing && r.growing == a {
			r.state = stopped
		}
		r.mu.Unlock()
		d.tell(r)
		return false
	}
	if result == nil || len(result.History.Time) == 0 {
		r.state, r.failure = failed, "the run gave no result"
		if err != nil {
			r.failure = err.Error()
		}
		r.mu.Unlock()
		d.tell(r)
		return false
	}
	if err != nil && result.Stopped == "" {
		result.Stopped = err.Error()
	}
	a.end(result)
	if r.hand != a {
		r.hand, r.number = a, r.number+1
	}
	if !coarse {
		r.state, r.growing = done, nil
	}
	r.mu.Unlock()
	d.tell(r)
	return true
}

// tell tells the pages where a run stands.
func (d *Desk) tell(r *run) {
	r.mu.Lock()
	m := r.moved()
	r.mu.Unlock()
	d.news.tell(m)
}

// moved is where the run stands; the lock is held.
func (r *run) moved() Moved {
	m := Moved{Run: r.name, State: r.state, Answer: r.number}
	if r.hand != nil {
		m.Coarse, m.Rows, m.Until, m.Reached = r.hand.coarse, len(r.hand.h.Time), r.hand.until, r.hand.until
	}
	if r.state == computing {
		m.Reached = r.reached
		if spent := time.Since(r.began).Seconds(); r.reached > 0 && m.Until > r.reached {
			m.Left = spent * (m.Until - r.reached) / r.reached
		}
	}
	return m
}
