package heat

import (
	"runtime"
	"sync/atomic"
	"time"
)

// team shares the planes of a sweep among a fixed number of goroutines. Every sum is kept plane by plane and
// added in the order of the planes, so that results do not depend on the number of workers.
//
// Each worker has a span of planes of its own, which stays nearly the same from sweep to sweep so that its cells stay in
// its cache; who is done with its own takes, after a while, planes from the far end of the others'. A worker that the system has set
// aside therefore holds nobody up, unless in the middle of a plane. Between sweeps a worker watches for the next one
// for a millisecond or two, then sleeps.
//
// Where cores lie far apart, each cache line that one has written and another reads costs as much as some hundred cells of a
// sweep. So one word starts a sweep, spans begin by themselves, and each worker counts what it has done on a line of its own.
type team struct {
	workers int
	planes  int
	spin    int
	spans   []span64
	jobs    [mostJobs]atomic.Pointer[job] // that were done, by number; 0: one without a number
	known   int
	asleep  []flag
	wake    []chan struct{}
	_       line
	start   atomic.Uint64 // of the sweep in hand: its turn<<8 | the number of its job
	_       line
	counts  []counted // by worker
}

// line keeps what one worker writes away from what others read: two lines, since they are fetched in pairs.
type line [128]byte

// mostJobs is how many kinds of sweep have a number.
const mostJobs = 64

// job is one kind of sweep: what is done with one plane, or, where the order of planes matters, what a worker does. Work
// counts each plane of each stage that it does; there are as many as count says. Left, if it is not nil, is called by each worker once
// none of its own planes is left to take.
type job struct {
	plane  func(k int)
	left   func(me int, turn uint64)
	work   func(me int, turn uint64)
	count  int
	number int // among the team's; 0: none yet
}

// span64 is planes lo..hi that nobody took yet in the turn in which something of it was last taken, as turn<<40 | lo<<20 | hi.
// Of a later turn all of its planes are there: see take.
type span64 struct {
	v   atomic.Uint64
	all atomic.Uint64 // all of its planes, as lo<<20 | hi; they change between turns only: see train.share
	_   [112]byte
}

func (s *span64) planes() (lo, hi int) {
	v := s.all.Load()
	return int(v >> 20), int(v & 0xfffff)
}

func (s *span64) set(lo, hi int) { s.all.Store(uint64(lo)<<20 | uint64(hi)) }

// counted is how many planes a worker has done in a turn, as turn<<32 | planes.
type counted struct {
	v atomic.Uint64
	_ [120]byte
}

type flag struct {
	v atomic.Bool // four bytes
	_ [124]byte
}

// watching is how often a worker looks for the next sweep before it sleeps: a millisecond or two. Whoever begins a sweep must wake who
// sleeps, which takes some ten microseconds of one and more of the other; between a step's sweeps lie its rows. Once it has looked for some
// hundred microseconds (alert) it lets others of this program run between looks. Measured on the small benchmark B1: computing took 133.6
// ms with 200 000 looks, 130.9 with 600 000 and 129.0 with two million.
const (
	watching = 2000000
	alert    = 200000
)

func newTeam(threads, planes int) *team {
	if threads <= 0 {
		threads = runtime.GOMAXPROCS(0)
	}
	t := &team{workers: max(1, min(threads, planes)), planes: planes}
	t.spans, t.counts = make([]span64, t.workers), make([]counted, t.workers)
	for w := range t.spans {
		t.spans[w].set(w*planes/t.workers, (w+1)*planes/t.workers)
	}
	t.asleep = make([]flag, t.workers)
	t.wake = make([]chan struct{}, t.workers)
	if runtime.GOMAXPROCS(0) >= t.workers {
		t.spin = watching
	}
	for w := 1; w < t.workers; w++ {
		t.wake[w] = make(chan struct{}, 1)
		go t.serve(w)
	}
	return t
}

// turns is how many turns can be told apart in a span.
const turns = 1 << 24

func pack(turn uint64, lo, hi int) uint64 {
	return turn%turns<<40 | uint64(lo)<<20 | uint64(hi)
}

// age tells how a packed word stands to a turn: of an earlier one, below 0; of the same, 0; of a later one, above 0.
func age(word, turn uint64) int {
	d := (word>>40 - turn) % turns
	switch {
	case d == 0:
		return 0
	case d >= turns/2:
		return -1
	}
	return 1
}

// turn returns the number of the last sweep.
func (t *team) turn() uint64 { return t.start.Load() >> 8 }

// run calls f for spans that together are all planes and returns when all are done. It allocates; what runs in every
// step has its job at hand and calls each.
func (t *team) run(f func(k0, k1 int)) {
	t.begin(&job{plane: func(k int) { f(k, k+1) }})
}

// each does the job for every plane and returns when all are done.
func (t *team) each(j *job) {
	t.know(j)
	t.begin(j)
}

// know gives a job a number, as long as there are any. A worker that comes late to a job without one may find a later such job
// in its place. Where both are of planes it finds none of its turn left to take; work of another kind must have a number.
func (t *team) know(j *job) {
	if j.number == 0 && t.known+1 < mostJobs {
		t.known++
		j.number = t.known
		t.jobs[j.number].Store(j)
	}
}

func (t *team) begin(j *job) {
	all := j.count
	if j.work == nil {
		all = t.planes
		if t.workers == 1 {
			for k := range t.planes {
				j.plane(k)
			}
			return
		}
	}
	if j.number == 0 {
		t.jobs[0].Store(j)
	}
	turn := t.turn() + 1
	t.start.Store(turn<<8 | uint64(j.number))
	for w := 1; w < t.workers; w++ {
		if t.asleep[w].v.Load() && t.asleep[w].v.Swap(false) {
			t.wake[w] <- struct{}{}
		}
	}
	t.does(0, turn, j)
	for i := 1; !t.over(turn, all); i++ {
		if t.spin == 0 || i%patience == 0 {
			rest(i)
		}
	}
}

func (t *team) does(me int, turn uint64, j *job) {
	if j.work != nil {
		j.work(me, turn)
		return
	}
	t.work(me, turn, j)
}

// patience is how often a worker looks whether it can go on, or whether the others are done, before it does something of
// theirs: some microseconds. What it takes of another's must come out of that one's cache, and where the two lie far apart
// even asking holds the other up: one who is nearly done is better left to it.
const patience = 1000

// resigned is how often a worker looks whether it can go on before it sleeps between looks: about a millisecond. Whoever it waits for has
// then been set aside by the system, for other work.
const resigned = 100 * patience

// rest is for a worker that has looked so often whether it can go on. Where other programs keep the processors busy, one that only looked
// would use up its own turn on them and have none when it could go on: two that wait for each other in turn then take many times as long.
func rest(looked int) {
	if looked < resigned {
		runtime.Gosched()
		return
	}
	time.Sleep(20 * time.Microsecond)
}

// work does planes of the sweep until none is left to take: its own from the low end, others' from the high.
func (t *team) work(me int, turn uint64, j *job) {
	done := 0
	for d := range t.workers {
		of := &t.spans[(me+d)%t.workers]
		for i := 0; d == 1 && i < patience; i++ {
			if t.over(turn, t.planes) {
				return
			}
		}
		before := done
		for {
			k0, k1 := of.take(turn, d == 0)
			if k0 == k1 {
				break
			}
			for k := k0; k < k1; k++ {
				j.plane(k)
			}
			done += k1 - k0
		}
		if d == 0 && j.left != nil {
			j.left(me, turn)
		}
		if done > before {
			t.did(me, turn, done)
		}
	}
}

// did says how many planes a worker has done in a turn so far. It is said once a worker does no more of its own: said each
// time, the count would go from core to core.
func (t *team) did(me int, turn uint64, planes int) {
	t.counts[me].v.Store(turn<<32 | uint64(planes))
}

// over tells whether all planes of a turn are done.
func (t *team) over(turn uint64, all int) bool {
	sum := 0
	for w := range t.counts {
		v := t.counts[w].v.Load()
		switch at := v >> 32; {
		case at == turn&0xffffffff:
			sum += int(v & 0xffffffff)
		case t.turn() != turn: // a later one has begun
			return true
		}
	}
	return sum >= all
}

// take takes planes k0..k1 of a span, from its low or its high end: a quarter of what is left, so that the last ones
// taken are few. None are left where k0 = k1. A turn is over only when all of every span has been taken in it, so that
// a word of an earlier turn says that nobody has begun this one.
func (s *span64) take(turn uint64, low bool) (k0, k1 int) {
	for {
		v := s.v.Load()
		lo, hi := int(v>>20&0xfffff), int(v&0xfffff)
		switch age(v, turn) {
		case -1:
			lo, hi = s.planes()
		case 1:
			return 0, 0
		}
		if lo >= hi {
			return 0, 0
		}
		n := (hi - lo + 3) / 4
		if low {
			if s.v.CompareAndSwap(v, pack(turn, lo+n, hi)) {
				return lo, lo + n
			}
		} else if s.v.CompareAndSwap(v, pack(turn, lo, hi-n)) {
			return hi - n, hi
		}
	}
}

// serve is the life of worker w.
func (t *team) serve(w int) {
	seen := uint64(0)
	for {
		for i := 0; t.turn() == seen; i++ {
			if i < t.spin {
				if i > alert && i%patience == 0 {
					runtime.Gosched()
				}
				continue
			}
			t.asleep[w].v.Store(true)
			if t.turn() != seen && t.asleep[w].v.Swap(false) {
				break
			}
			<-t.wake[w] // a sweep began, or the march is over
			i = 0
		}
		start := t.start.Load()
		seen = start >> 8
		j := t.jobs[start&0xff].Load()
		if j == nil {
			return
		}
		t.does(w, seen, j)
	}
}

// stop ends the workers.
func (t *team) stop() {
	t.jobs[0].Store(nil)
	t.start.Store((t.turn() + 1) << 8)
	for w := 1; w < t.workers; w++ {
		if t.asleep[w].v.Swap(false) {
			t.wake[w] <- struct{}{}
		}
	}
}
