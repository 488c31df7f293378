package heat

import (
	"sync/atomic"

	"emberbank/kernel"
)

// train is several evaluations of a step, stages mostly, in one go over the planes: behind the first, which goes from plane to plane,
// the others follow, each one plane behind the one before it. A plane's numbers are then in the processor's cache when the next
// stage wants them. The evaluation that opens the step goes first in its first train, the one that closes it last in its last.
// All trains of a step follow one another without a halt: a thread that is done with its part of one begins with the next, which
// goes the other way, back over the planes that it had last. That can be wherever a stage needs of the one before nothing but the
// temperatures of its own plane and of the two beside it: not while water in tubes carries heat from plane to plane, nor where
// implicit parts reach across planes. There each stage goes by itself.
//
// Each thread has a slab of planes of its own and a list of what is to be done in it, in order; who is done takes from
// others' lists. Neighbouring slabs are gone through from or towards the face between them, so that both come there at
// the same time. What a plane's stage computes does not depend on who computes it or when.
type train struct {
	s       *solver
	longest int // evaluations in a train; 1: each goes by itself
	count   int // evaluations in hand, of one or several trains
	done    []doneStages
	slabs   []slab
	crews   []crew
	job     job
	given   given
	scheme  *stages
	last    uint64 // turn of the last trains
	stages  int    // since shares were last compared
	_       line
	cars    atomic.Int32 // as count, for workers that may come late
}

// given is what the stages of trains are laid from.
type given struct {
	ya, yb, t, ta            []float64
	aa, ab, planeAA, planeAB []float64
	first                    int
	tau                      float64
	light                    [mostStages + 2]float64 // W
}

// crew is the stages of one train as one worker has them before it: each lays its own, which is sooner done than to
// fetch them from another's cache.
type crew struct {
	turn   uint64 // for which they are laid
	train  int    // which of the turn's
	stages [longestTrain]car
	heldAt struct {
		turn  uint64
		train int
	}
	_     line
	ahead ahead
	_     line
}

// longestTrain is the most evaluations in a train. A long train spares the memory, a short one keeps what it has in hand in a core's own
// cache: see trainOf.
const longestTrain = 12

const (
	ownCache  = 700e3 // bytes, most of a core's second cache on common processors
	lastCache = 12e6  // bytes, of the cache behind it, which others use too
	inHand    = 72    // bytes that a stage moves for each cell
)

// trainOf returns how many evaluations go in a train over planes of so many cells: as many as keep their planes, and the two beside
// them, in a core's own cache, 8 at most, where all cells lie in the cache behind it; else as many as can be.
//
// Measured on an AMD EPYC whose cores have 1 MB of their own, by benchmark B1 on other grids, in the time of trains of 8. 100 000 cells
// in planes of 1600 to 3600, one thread and two: 0.86 to 1.02 with trains of 2, 0.87 to 0.99 of 3, 0.88 to 0.98 of 4, 0.95 to 1.02 of 6.
// 36 000 cells in planes of 1200, two threads: 1.00, 0.99, 1.00, 0.96. 301 000 in planes of 4900, two threads: 1.09 of 2, 1.08 of 3, 1.10
// of 4; a million: 1.38, 1.17, 1.11. Trains of 12, 16 and 24, one thread and two: 1.01 and 1.02, 0.95 and 1.00, 0.96 and 0.98 on 301 000,
// 0.94 and 0.98, 0.98 and 0.96, 1.00 and 0.96 on a million; of 12 and 16 on 288 000, two threads: 0.93, 0.95.
func trainOf(cells, plane int) int {
	if cells*inHand > lastCache {
		return longestTrain
	}
	return max(2, min(8, int(ownCache)/(inHand*plane)-2))
}

// doneStages counts the evaluations, 255 at most, that a plane has had, as turn<<8 | stages, on cache lines of its own.
type doneStages struct {
	n atomic.Uint64
	_ [120]byte
}

// slab is the planes of one thread, its span of the team's, gone through upwards or downwards.
type slab struct {
	next atomic.Uint64 // as span64: the turn, the number of the next thing to do, and how many there are
	up   bool
	_    [119]byte
}

func newTrain(s *solver) *train {
	n := s.team.workers
	w := &train{s: s, longest: trainOf(s.b.n, s.pad), done: make([]doneStages, s.b.nz), slabs: make([]slab, n), crews: make([]crew, n)}
	for i := range w.slabs {
		w.slabs[i].up = i%2 == 1
	}
	w.job.work = w.work
	s.team.know(&w.job)
	return w
}

// drive computes the evaluation j of a step of tau, with as many after it as go in trains, mostly all, and returns how many.
func (m *march) drive(j int, tau float64) int {
	s, k, w := m.s, m.scheme, m.s.train
	w.count = 1
	if w.longest > 1 && s.thin == nil && len(s.tubes.joined) == 0 {
		w.count = w.fitting(k.s + 2 - j)
	}
	w.given = given{ya: s.ya, yb: s.yb, t: s.t0, ta: s.ta, aa: s.aa, ab: s.ab, planeAA: s.planeAA, planeAB: s.planeAB, first: j, tau: tau}
	for i := range w.count {
		w.given.light[i] = m.perWatt * m.lightOf(j+i, tau)
	}
	s.light, s.at = w.given.light[w.count-1], k.at(j)
	s.evaluations += w.count
	if j == 1 {
		s.tubes.takeLone()
	}
	if w.count == 1 {
		w.lay(&w.crews[0], k, 0, 1)
		s.singly()
		if s.team.turn()%sampled == 0 {
			w.share(1)
		}
	} else {
		if turn := s.team.turn(); turn > w.last+turns/4 { // before a slab's word could be taken for a later one
			for i := range w.slabs {
				w.slabs[i].next.Store(pack(turn, 0, 0))
			}
		}
		w.job.count = w.count * s.b.nz
		w.cars.Store(int32(w.count))
		w.scheme = k
		s.team.each(&w.job)
		w.last = s.team.turn()
		w.share(w.count)
	}
	if j == 1 {
		s.opened(k.muT[1] * tau)
	}
	to := min(j+w.count, k.s+1) // the closing evaluation leaves everything in its place
	if (to-j)%2 == 1 {
		s.t0, s.ta = s.ta, s.t0
	}
	if stages := to - max(j, 2); stages%2 == 1 {
		s.ya, s.yb, s.aa, s.ab, s.planeAA, s.planeAB = s.yb, s.ya, s.ab, s.aa, s.planeAB, s.planeAA
	}
	if j+w.count > k.s+1 {
		s.closed()
	}
	return w.count
}

// lightOf returns the light's signal at the evaluation j of the step of tau in hand.
func (m *march) lightOf(j int, tau float64) float64 {
	if j == 1 {
		return m.lightAt(m.t)
	}
	return m.lightBefore(m.t + m.scheme.at(j)*tau)
}

// work is a worker's share of a train: its own slab, then what is left of the others', whose workers may have been set aside.
// Where its own must wait for long it does something of others' too.
func (w *train) work(me int, turn uint64) {
	team := w.s.team
	done := 0
	for idle, said := 0, 0; ; {
		did, over := w.next(me, me, turn)
		if did > 0 {
			idle = 0
			done += did
			continue
		}
		if over {
			if done > said {
				if said == 0 {
					w.note(me, turn)
				}
				team.did(me, turn, done)
				said = done
			}
			if team.over(turn, w.s.b.nz*int(w.cars.Load())) {
				return
			}
		}
		if idle++; idle%patience != 0 {
			continue
		}
		for d := 1; d < len(w.slabs) && did == 0; d++ {
			var none bool
			did, none = w.next(me, (me+d)%len(w.slabs), turn)
			over = over && none
		}
		if did > 0 {
			done += did
			continue
		}
		if over {
			return
		}
		rest(idle)
	}
}

// atOnce is how many things of its own a worker takes at a time: a plane's stage each, or nothing. Each taking waits until all that
// was written before has left the processor, which lasts as long as some hundred cells; a worker that is set aside holds up the
// others by what it has taken.
const atOnce = 8

// next takes the next things in a slab, if the first can be done yet, and does them. It tells how many stages of planes it did and
// whether none is left to take.
func (w *train) next(me, of int, turn uint64) (did int, over bool) {
	b := &w.slabs[of]
	lo, hi := w.s.team.spans[of].planes()
	for {
		v := b.next.Load()
		count := int(w.cars.Load())
		at, end := int(v>>20&0xfffff), int(v&0xfffff)
		switch age(v, turn) {
		case -1:
			at, end = 0, w.things(hi-lo, count)
		case 1:
			return 0, true
		}
		if at >= end {
			return 0, true
		}
		if t := w.thing(at, hi-lo, count); t.real(hi-lo) && !w.ready(t.plane(b, lo, hi), t.stages(w), turn) {
			if me == of {
				w.held(me, t.plane(b, lo, hi), t, turn)
			}
			return 0, false
		}
		to := at + 1
		if me == of {
			to = min(at+atOnce, end)
		}
		if !b.next.CompareAndSwap(v, pack(turn, to, end)) {
			continue
		}
		for ; at < to; at++ {
			if t := w.thing(at, hi-lo, count); t.real(hi - lo) {
				w.do(me, of, t.plane(b, lo, hi), t, turn)
				did++
			}
		}
		if did > 0 {
			return did, false
		}
	}
}

// do does a stage of plane k of a slab, once that can be done.
func (w *train) do(me, of, k int, t thing, turn uint64) {
	before := t.stages(w)
	for i := 1; !w.ready(k, before, turn); i++ {
		if i == 1 && me == of {
			w.held(me, k, t, turn)
		}
		if i%patience == 0 {
			rest(i)
		}
	}
	c := &w.crews[me]
	if c.turn != turn || c.train != t.train {
		w.lay(c, w.scheme, before-t.stage, t.cars)
		c.turn, c.train = turn, t.train
	}
	w.s.carPlane(k, &c.stages[t.stage])
	kernel.Publish(&w.done[k].n, turn<<8|uint64(before+1))
}

// mostThings is how many things a slab's word can count.
const mostThings = 1<<20 - 1

// fitting returns how many of count stages, one at least, a slab's word can count the things of: all of them, or whole trains.
func (w *train) fitting(count int) int {
	planes := 0
	for i := range w.slabs {
		lo, hi := w.s.team.spans[i].planes()
		planes = max(planes, hi-lo)
	}
	for count > 1 && w.things(planes, count) > mostThings {
		count = max(1, (count-1)/w.longest*w.longest)
	}
	return count
}

// things returns how many things there are to do in a slab of so many planes by count stages. Where a train's first and last
// stages go over the ends of the slab, some of them are nothing.
func (w *train) things(planes, count int) int {
	rest := count % w.longest
	return count/w.longest*w.longest*(planes+w.longest-1) + rest*(planes+rest-1)
}

// thing is something to do: the stage of a train of so many (cars) in the place-th of a slab's planes, counted in the train's
// direction.
type thing struct{ train, cars, stage, place int }

// thing returns the one with the number at in a slab of so many planes.
func (w *train) thing(at, planes, count int) thing {
	t := thing{cars: w.longest}
	whole := t.cars * (planes + t.cars - 1)
	t.train = at / whole
	at -= t.train * whole
	if t.train == count/t.cars {
		t.cars = count % t.cars
	}
	t.stage = at % t.cars
	t.place = at/t.cars - t.stage
	return t
}

// real tells whether there is such a place among so many planes.
func (t thing) real(planes int) bool { return t.place >= 0 && t.place < planes }

// plane returns the plane in the slab of the planes lo..hi. One train goes the slab's way, the next one back.
func (t thing) plane(b *slab, lo, hi int) int {
	if b.up == (t.train%2 == 1) {
		return hi - 1 - t.place
	}
	return lo + t.place
}

// stages returns how many stages come before it.
func (t thing) stages(w *train) int { return t.train*w.longest + t.stage }

// ready tells whether plane k and those beside it have had as many stages of the turn as given.
func (w *train) ready(k, stages int, turn uint64) bool {
	if stages == 0 {
		return true
	}
	had := turn<<8 | uint64(stages)
	for q := max(0, k-1); q <= min(len(w.done)-1, k+1); q++ {
		if w.done[q].n.Load() < had {
			return false
		}
	}
	return true
}
