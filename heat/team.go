package heat

import (
	"runtime"
	"sync/atomic"
)

// team shares the planes of a sweep among a fixed number of goroutines. Every sum is kept plane by plane and
// added in the order of the planes, so that results do not depend on the number of workers.
//
// Each worker has a span of planes of its own, which stays the same from sweep to sweep so that its cells stay in
// its cache; who is done with its own takes, after a while, planes from the far end of the others'. A worker that the system has set
// aside therefore holds nobody up, unless in the middle of a plane. Between sweeps a worker watches for the next one
// for some hundred microseconds, then sleeps.
type team struct {
	workers int
	planes  int
	spans   []span64
	job     atomic.Pointer[job]
	turn    atomic.Uint32 // counts sweeps
	left    atomic.Int32  // planes of this sweep that are not done
	asleep  []flag
	wake    []chan struct{}
	spin    int
}

// job is one kind of sweep: what is done with one plane, or, where the order of planes matters, what a worker does. Work
// counts left down for each plane of each stage that it does; there are as many as count says.
type job struct {
	plane func(k int)
	work  func(me int, turn uint32)
	count int
}

// span64 is planes lo..hi of one sweep that nobody took yet, as turn<<40 | lo<<20 | hi, on a cache line of its own.
type span64 struct {
	v atomic.Uint64
	_ [56]byte
}

type flag struct {
	v atomic.Bool
	_ [60]byte
}

// watching is how often a worker looks for the next sweep before it sleeps: some hundred microseconds.
const watching = 200000

func newTeam(threads, planes int) *team {
	if threads <= 0 {
		threads = runtime.GOMAXPROCS(0)
	}
	t := &team{workers: max(1, min(threads, planes)), planes: planes}
	t.spans = make([]span64, t.workers)
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

func pack(turn uint32, lo, hi int) uint64 {
	return uint64(turn&0xffffff)<<40 | uint64(lo)<<20 | uint64(hi)
}

// run calls f for spans that together are all planes and returns when all are done. It allocates; what runs in every
// step has its job at hand and calls each.
func (t *team) run(f func(k0, k1 int)) {
	t.each(&job{plane: func(k int) { f(k, k+1) }})
}

// each does the job for every plane and returns when all are done.
func (t *team) each(j *job) {
	if t.workers == 1 && j.work == nil {
		for k := range t.planes {
			j.plane(k)
		}
		return
	}
	turn := t.turn.Load() + 1
	t.job.Store(j)
	if j.work != nil {
		t.left.Store(int32(j.count))
	} else {
		t.left.Store(int32(t.planes))
		for w := range t.spans {
			t.spans[w].v.Store(pack(turn, w*t.planes/t.workers, (w+1)*t.planes/t.workers))
		}
	}
	t.turn.Store(turn)
	for w := 1; w < t.workers; w++ {
		if t.asleep[w].v.Load() && t.asleep[w].v.Swap(false) {
			t.wake[w] <- struct{}{}
		}
	}
	t.does(0, turn, j)
	for i := 0; t.left.Load() > 0; i++ {
		if i > watching || t.spin == 0 {
			runtime.Gosched()
		}
	}
}

func (t *team) does(me int, turn uint32, j *job) {
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

// work does planes of the sweep until none is left to take: its own from the low end, others' from the high.
func (t *team) work(me int, turn uint32, j *job) {
	done := int32(0)
	for d := range t.workers {
		span := &t.spans[(me+d)%t.workers].v
		for i := 0; d == 1 && i < patience; i++ {
			if t.allDone(&done, turn) {
				return
			}
		}
		for {
			k0, k1 := t.take(span, turn, d == 0)
			if k0 == k1 {
				break
			}
			for k := k0; k < k1; k++ {
				j.plane(k)
			}
			done += int32(k1 - k0)
		}
	}
	t.allDone(&done, turn)
}

// allDone counts what a worker has done, once it does no more of its own, and tells whether nothing is left to be done by anyone.
// Counted each time, the count would go from core to core.
func (t *team) allDone(done *int32, turn uint32) bool {
	if *done > 0 {
		t.left.Add(-*done)
		*done = 0
	}
	return t.left.Load() <= 0 || t.turn.Load() != turn
}

// take takes planes k0..k1 of a span, from its low or its high end: a quarter of what is left, so that the last ones
// taken are few. None are left where k0 = k1.
func (t *team) take(span *atomic.Uint64, turn uint32, low bool) (k0, k1 int) {
	for {
		v := span.Load()
		lo, hi := int(v>>20&0xfffff), int(v&0xfffff)
		if uint32(v>>40) != turn&0xffffff || lo >= hi {
			return 0, 0
		}
		n := (hi - lo + 3) / 4
		if low {
			if span.CompareAndSwap(v, pack(turn, lo+n, hi)) {
				return lo, lo + n
			}
		} else if span.CompareAndSwap(v, pack(turn, lo, hi-n)) {
			return hi - n, hi
		}
	}
}

// serve is the life of worker w.
func (t *team) serve(w int) {
	seen := uint32(0)
	for {
		for i := 0; t.turn.Load() == seen; i++ {
			if i < t.spin {
				continue
			}
			t.asleep[w].v.Store(true)
			if t.turn.Load() != seen && t.asleep[w].v.Swap(false) {
				break
			}
			<-t.wake[w] // a sweep began, or the march is over
			i = 0
		}
		seen = t.turn.Load()
		j := t.job.Load()
		if j == nil {
			return
		}
		t.does(w, seen, j)
	}
}

// stop ends the workers.
func (t *team) stop() {
	t.job.Store(nil)
	t.turn.Add(1)
	for w := 1; w < t.workers; w++ {
		if t.asleep[w].v.Swap(false) {
			t.wake[w] <- struct{}{}
		}
	}
}
