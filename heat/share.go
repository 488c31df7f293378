package heat

import "time"

// sharing is how many stages pass before shares are compared.
const sharing = 128

// share moves a plane from a worker that had more to do to its neighbour, where both are then closer together. Planes differ:
// those with tubes and free faces take longer, and most of all those at the common face, whose neighbour another core has written.
// No number depends on whose a plane is. Stages is how many have passed since the last call.
func (w *train) share(stages int) {
	if w.stages += stages; w.stages < sharing {
		return
	}
	w.stages = 0
	team := w.s.team
	for i := range w.crews {
		w.busy[i] = w.crews[i].busy.Swap(0)
	}
	for i := range len(w.crews) - 1 {
		a, b := &team.spans[i], &team.spans[i+1]
		lo, mid := a.planes()
		_, hi := b.planes()
		one := (w.busy[i] + w.busy[i+1]) / int64(hi-lo) // ns, what a plane took
		switch more := w.busy[i] - w.busy[i+1]; {
		case more > one && mid-lo > 1:
			mid--
		case more < -one && hi-mid > 1:
			mid++
		}
		a.set(lo, mid)
		b.set(mid, hi)
	}
}

// stopwatch counts the time for which something was done.
type stopwatch struct {
	since time.Time
	busy  time.Duration
	off   bool
}

func (c *stopwatch) start() { c.since = time.Now() }

// pause stops the clock if it goes.
func (c *stopwatch) pause() {
	if !c.off {
		c.busy += time.Since(c.since)
		c.off = true
	}
}

// goOn starts the clock if it stands.
func (c *stopwatch) goOn() {
	if c.off {
		c.since, c.off = time.Now(), false
	}
}

// stop returns the time counted, in ns.
func (c *stopwatch) stop() int64 {
	c.pause()
	return int64(c.busy)
}
