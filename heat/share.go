package heat

import "sync/atomic"

// sharing is how many stages pass before shares are compared.
const sharing = 128

// bearable is by how many planes of a train a worker may be behind its neighbour, on average. Seen on 30 planes and two workers: a
// plane that changes hands turns being two planes behind into being two ahead, so that a tighter bound would have it change for ever.
const bearable = 3

// ahead is by how many things, in the trains since shares were last compared, neighbours were behind a worker that was done with
// its own: those before it, those after it.
type ahead [2]atomic.Int64

// note adds what the neighbours of a worker that is done with its own in a turn still have to do.
func (w *train) note(me int, turn uint64) {
	for side, of := range [2]int{me - 1, me + 1} {
		if of < 0 || of >= len(w.slabs) {
			continue
		}
		v := w.slabs[of].next.Load()
		if age(v, turn) == 0 { // else it has not begun, or all is over: nothing can be said of its pace
			w.crews[me].ahead[side].Add(int64(v&0xfffff) - int64(v>>20&0xfffff))
		}
	}
}

// share hands a plane of a worker that was behind to its neighbour. Planes differ: those with tubes and free faces take longer, and
// most of all those at the common face, whose neighbour another core has written. No number depends on whose a plane is. Stages is
// how many have passed since the last call, in one go of trains.
//
// Neighbours wait for each other where they meet, once in two trains, so that one who is behind is so by what it had to do in the
// last trains alone.
func (w *train) share(stages int) {
	w.goes++
	if w.stages += stages; w.stages < sharing {
		return
	}
	most := int64(w.goes * w.longest * bearable)
	w.stages, w.goes = 0, 0
	spans := w.s.team.spans
	for i := range len(w.crews) - 1 {
		more := w.crews[i+1].ahead[0].Swap(0) - w.crews[i].ahead[1].Swap(0) // of the first
		lo, mid := spans[i].planes()
		_, hi := spans[i+1].planes()
		switch {
		case more > most && mid-lo > 1:
			mid--
		case more < -most && hi-mid > 1:
			mid++
		}
		spans[i].set(lo, mid)
		spans[i+1].set(mid, hi)
	}
}
