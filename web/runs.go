package web

import (
	"context"
	"errors"
	"runtime"
	"slices"
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
	asks int // how often a run was asked for
	shut bool
	wait sync.WaitGroup
}

// run is a run file and what has been computed of it. A coarse answer comes first, then the whole one.
type run struct {
	name     string
	mu       sync.Mutex
	stop     context.CancelFunc // of what is being computed; nil: nothing is
	turn     int                // grows when it is begun anew; what an earlier turn still says counts no more
	state    string
	failure  string
	problems bench.Problems
	loaded   *bench.Run
	hand     *answer // the answer at hand: the last that is whole, or the first as far as it has got
	growing  *answer // what is being computed behind it
	number   int     // of the answer at hand
	readings int     // how often the files were read without a mistake
	began    time.Time
	reached  float64 // s, of what is being computed
	told     time.Time
	stamps   map[string]string // of the files that it was read from, when they were read; nil while they are
	files    map[string]string // those of the reading before, by name
	revised  revised
	asked    int // when it was asked for last, as the runs count; their lock is held
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
	rs.asks++
	if r := rs.all[name]; r != nil {
		r.asked = rs.asks
		return r, nil
	}
	if err := rs.desk.mayRun(name); err != nil {
		return nil, err
	}
	r := &run{name: name, asked: rs.asks}
	if rs.all == nil {
		rs.all = map[string]*run{}
	}
	rs.all[name] = r
	rs.letGo()
	rs.begin(r)
	return r, nil
}

// mostVariants is how many variants of studies are kept: each holds its fields, and a study may have thousands.
const mostVariants = 4

// letGo forgets the variant that nobody has asked for longest, where there are too many; the lock of the runs is held.
func (rs *runs) letGo() {
	var oldest *run
	n := 0
	for name, r := range rs.all {
		if _, _, variant := variantNamed(name); !variant {
			continue
		}
		if n++; oldest == nil || r.asked < oldest.asked {
			oldest = r
		}
	}
	if n > mostVariants {
		oldest.halt()
		delete(rs.all, oldest.name)
	}
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
	r.turn++
	turn := r.turn
	r.stop, r.state, r.failure, r.began, r.reached = cancel, computing, "", time.Now(), 0
	r.growing = nil
	if r.stamps != nil {
		r.files, r.stamps = r.stamps, nil
	}
	r.mu.Unlock()
	rs.wait.Go(func() { defer cancel(); rs.desk.compute(ctx, r, turn) })
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
func (d *Desk) compute(ctx context.Context, r *run, turn int) {
	before := d.before(r)
	loaded, problems := d.loadRun(r.name)
	if !r.read(turn, loaded, problems) {
		return
	}
	if said, wrong := bench.Statements(d.root.FS(), r.name, bench.Options{}); wrong == nil && !problems.Failed() {
		r.revise(turn, said, d.typed(r.name))
	}
	d.stamp(r, turn, before)
	d.lookSoon() // what was written while they were read
	d.tell(r)
	if problems.Failed() {
		return
	}
	p := loaded.Problem
	p.Kernel, p.Threads = d.loops, d.threads
	if coarse, ok := coarser(p); ok {
		coarse.Threads = besideThePage(d.threads)
		if !d.march(ctx, r, turn, newAnswer(loaded, &coarse, true), coarse) {
			return
		}
	}
	d.march(ctx, r, turn, newAnswer(loaded, &p, false), p)
}

// read takes in what the files hold; false: the run was begun anew meanwhile. After a mistake the run that was read last
// stays.
func (r *run) read(turn int, loaded *bench.Run, problems bench.Problems) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.turn != turn {
		return false
	}
	r.problems = problems
	if problems.Failed() {
		r.state = mistaken
	} else {
		r.loaded = loaded
		r.readings++
	}
	return true
}

// revise notes what the files say that a turn is computed from.
func (r *run) revise(turn int, said []bench.Statement, typed map[string]string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.turn == turn {
		r.revised.read(said, r.hand)
		r.revised.typed = typed
	}
}

// coarser is the same problem on half as many cells along each direction, in haste and with steps that may err by coarseSteps;
// false where the file fixes the cells.
func coarser(p heat.Problem) (heat.Problem, bool) {
	if p.Grid.Counts != [3]int{} || p.Grid.Lines[0] != nil || p.Steady {
		return p, false
	}
	if p.Grid.Refine == 0 {
		p.Grid.Refine = 1
	}
	p.Grid.Refine /= 2
	p.Hasty, p.Tolerance = true, max(p.Tolerance, coarseSteps)
	return p, true
}

// coarseSteps, in K: on the worked bench 3 K in haste give the same events to some ten seconds and the same heat to half of a
// hundredth, in half of the processor's time that 0.8 K without haste take; grids coarser still have no fewer cells.
const coarseSteps = 3.0

// besideThePage is how many threads compute the answer that a page waits for: all that may, but one, so that the page can be
// drawn meanwhile.
func besideThePage(threads int) int {
	if threads <= 0 {
		threads = runtime.GOMAXPROCS(0)
	}
	return max(1, threads-1)
}

// march computes one answer. It returns false where there is nothing to go on with: the run was stopped, begun anew or
// cannot be computed.
func (d *Desk) march(ctx context.Context, r *run, turn int, a *answer, p heat.Problem) bool {
	if !r.grows(turn, a) {
		return false
	}
	p.Seen = func(s heat.Sight) {
		r.mu.Lock()
		defer r.mu.Unlock()
		a.grow(s, len(p.Output))
	}
	p.Progress = func(t float64) {
		if r.reaches(turn, t) {
			d.tell(r)
		}
	}
	result, err := heat.Run(ctx, p)
	goOn := r.ends(turn, a, result, err, ctx.Err() != nil)
	d.tell(r)
	return goOn
}

// grows says that an answer is being computed. The last good answer stays at hand until there is another.
func (r *run) grows(turn int, a *answer) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.turn != turn {
		return false
	}
	r.growing, r.began, r.reached = a, time.Now(), 0
	if r.hand == nil {
		r.hand, r.number = a, r.number+1
	}
	return true
}

// reaches keeps how far the march has got, and tells whether the pages should hear of it.
func (r *run) reaches(turn int, t float64) (due bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.turn != turn {
		return false
	}
	r.reached = t
	if due = time.Since(r.told) > tellEvery; due {
		r.told = time.Now()
	}
	return due
}

// tellEvery is how often the pages hear how far a march has got.
const tellEvery = 150 * time.Millisecond

// ends takes in how a march ended.
func (r *run) ends(turn int, a *answer, result *heat.Result, err error, halted bool) (goOn bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	switch {
	case r.turn != turn:
		return false
	case halted:
		r.state, r.growing = stopped, nil
		return false
	case result == nil || len(result.History.Time) == 0:
		r.state, r.growing, r.failure = failed, nil, "the run gave no result"
		if err != nil {
			r.failure = err.Error()
		}
		return false
	}
	if err != nil && result.Stopped == "" {
		result.Stopped = err.Error()
	}
	a.end(result)
	r.revised.gave(a)
	if r.hand != a {
		r.hand, r.number = a, r.number+1
	}
	if !a.coarse {
		r.state, r.growing = done, nil
	}
	return true
}

// tell tells the pages where a run stands.
func (d *Desk) tell(r *run) {
	r.mu.Lock()
	defer r.mu.Unlock() // so that what is told last is what came last
	d.news.tell(r.moved())
}

// moved is where the run stands; the lock is held.
func (r *run) moved() Moved {
	m := Moved{Run: r.name, State: r.state, Does: "nothing", Answer: r.number, Read: r.readings}
	if r.hand != nil {
		m.Old = !slices.Equal(r.hand.loaded.Inputs, r.loaded.Inputs)
		m.Coarse, m.Rows, m.Until, m.Reached = r.hand.coarse, len(r.hand.h.Time), r.hand.until, r.hand.until
	}
	if r.state == computing && r.growing != nil {
		if m.Does = "whole"; r.growing.coarse {
			m.Does = "coarse"
		}
		m.Reached, m.Until = r.reached, r.growing.until
		if spent := time.Since(r.began).Seconds(); r.reached > 0 && m.Until > r.reached {
			m.Left = spent * (m.Until - r.reached) / r.reached
		}
	}
	return m
}
