package heat

import "sync/atomic"

// sharing is how many stages pass before shares are compared, of those that go by themselves only sampled ones counted.
const sharing = 64

// bearable is by how many planes' work a worker may be behind its neighbour before one changes hands: that turns being behind by two
// planes' work into being ahead by as much.
const bearable = 1.25

// mostHeld bounds what counts of being behind at one meeting, in planes: a worker that was set aside for once has not become slow.
const mostHeld = 4

// ahead is by how many things (planes, where evaluations go by themselves), since shares were last compared, neighbours were behind a
// worker that waited for them or was done with its own: those before it, those after it.
type ahead [2]atomic.Int64

// note adds what the neighbours of a worker that is done with its own in a turn still have to do.
func (w *train) note(me int, turn uint64) {
	for side, of := range [2]int{me - 1, me + 1} {
		if of < 0 || of >= len(w.slabs) {
			continue
		}
		v := w.slabs[of].next.Load()
		if age(v, turn) == 0 { // else it has not begun, or all is over: nothing can be said of its pace
			w.behind(me, side, int(v&0xfffff)-int(v>>20&0xfffff))
		}
	}
}

// sampled is at every how manieth turn it is looked at who has planes left, of evaluations that go by themselves: to look costs the one who
// is looked at as much as to hand something on. It has no divisor in common with the few sweeps that one evaluation may take.
const sampled = 5

// left adds, at a turn that is sampled, the planes that the neighbours of a worker have not begun when it has begun all of its own.
func (w *train) left(me int, turn uint64) {
	if turn%sampled != 0 {
		return
	}
	for side, of := range [2]int{me - 1, me + 1} {
		if of < 0 || of >= len(w.crews) {
			continue
		}
		v := w.s.team.spans[of].v.Load()
		if age(v, turn) == 0 { // else it has not begun, or all is over
			planes := int(v&0xfffff) - int(v>>20&0xfffff)
			w.crews[me].ahead[side].Add(int64(min(planes, mostHeld)))
		}
	}
}

// held adds by how much the neighbour is behind for which a worker waits before a thing of its own in plane k, the first time in a
// train.
func (w *train) held(me, k int, t thing, turn uint64) {
	c := &w.crews[me]
	if c.heldAt.turn == turn && c.heldAt.train == t.train {
		return
	}
	last := t.stages(w) - 1 // what it must have had
	count := int(w.cars.Load())
	first, end := w.s.team.spans[me].planes()
	for side, of := range [2]int{me - 1, me + 1} {
		beside := [2]int{k - 1, k + 1}[side]
		if of < 0 || of >= len(w.slabs) || first <= beside && beside < end {
			continue
		}
		b := &w.slabs[of]
		had, v := w.done[beside].n.Load(), b.next.Load()
		if had >= turn<<8|uint64(last+1) || age(v, turn) != 0 {
			continue
		}
		c.heldAt.turn, c.heldAt.train = turn, t.train
		lo, hi := w.s.team.spans[of].planes()
		w.behind(me, side, 1+w.number(last, beside, b, lo, hi, count)-int(v>>20&0xfffff))
	}
}

// behind adds so many things by which the neighbour on a side of a worker is behind.
func (w *train) behind(me, side, things int) {
	if things > 0 {
		w.crews[me].ahead[side].Add(int64(min(things, mostHeld*2*w.longest)))
	}
}

// number returns the number of the thing in a slab of the planes lo..hi that gives plane k the stage after so many, of count.
func (w *train) number(before, k int, b *slab, lo, hi, count int) int {
	t := thing{train: before / w.longest, cars: w.longest, stage: before % w.longest, place: k - lo}
	if t.plane(b, lo, hi) != k {
		t.place = hi - 1 - k
	}
	at := t.train * t.cars * (hi - lo + t.cars - 1)
	if t.train == count/t.cars {
		t.cars = count % t.cars
	}
	return at + (t.place+t.stage)*t.cars + t.stage
}

// share hands planes of a worker that was behind to its neighbour. Planes differ: those with tubes and free faces take longer, and
// most of all those at the common face, whose neighbour another core has written; and workers do: a core may share its means with
// other work. No number depends on whose a plane is. Stages is how many have passed since the last call.
//
// Neighbours wait for each other where they meet, once in two trains; a plane that changes hands makes one shorter by its stages and
// the other longer.
func (w *train) share(stages int) {
	if w.stages += stages; w.stages < sharing {
		return
	}
	spans := w.s.team.spans
	for i := range len(w.crews) - 1 {
		more := float64(w.crews[i+1].ahead[0].Swap(0)-w.crews[i].ahead[1].Swap(0)) / float64(w.stages) // of the first, in planes
		lo, mid := spans[i].planes()
		_, hi := spans[i+1].planes()
		n := 0
		switch {
		case more > bearable:
			n = -min(max(1, int(more/2)), mid-lo-1)
		case more < -bearable:
			n = min(max(1, int(-more/2)), hi-mid-1)
		}
		spans[i].set(lo, mid+n)
		spans[i+1].set(mid+n, hi)
	}
	w.stages = 0
}
