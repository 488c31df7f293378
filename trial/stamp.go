package trial

import (
	"math"
	"slices"
)

// leap is how far a stamp must lie ahead of the row before, in intervals and in s, for its clock to be doubted.
const (
	leapSteps   = 50
	leapSeconds = 60
)

// place decides by its stamp what becomes of a row: it is taken, dropped as seen before, or waits until the next rows
// show whether the clock was moved. Following never goes blind: where a clock was set back, or leapt farther than time
// went by, it runs on from the last row, and that is told.
func (l *Live) place(st *stream, t float64, row []float64, line uint32) {
	if !st.begun {
		st.accept(l, t, row, line)
		return
	}
	if st.anew {
		st.anew = false
		st.known = true
		if !st.log.Absolute && t+st.shift <= st.high && t-st.first < 10*st.step() && !(t == st.first && equal(row, st.lead)) {
			st.known = false
			st.runOn(t)
			l.tell(st, BeganAnew, 0, 0, "")
		}
	}
	if st.known {
		if st.seen(t, row) {
			return
		}
		st.known = t+st.shift <= st.high && t < st.time[0]
		if st.known {
			return
		}
	}
	t += st.shift
	switch {
	case t <= st.high:
		l.back(st, t, row, line)
	case st.step() > 0 && t-st.high > max(leapSteps*st.step(), leapSeconds):
		l.forth(st, t, row, line)
	default:
		if n := len(st.ahead); n > 0 {
			l.tell(st, Stray, st.ahead[n-1].t-st.high, n, "")
			st.ahead = nil
		}
		st.accept(l, t, row, line)
	}
}

// seen tells whether a row is one of the window's.
func (st *stream) seen(t float64, row []float64) bool {
	for _, shift := range [2]float64{0, st.shift} {
		i, found := slices.BinarySearch(st.time, t+shift)
		if !found {
			continue
		}
		same := true
		for c := range row {
			a, b := row[c], st.values[c][i]
			same = same && (a == b || a != a && b != b)
		}
		if same {
			return true
		}
	}
	return false
}

func equal(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return x == y || x != x && y != y })
}

// runOn moves the clock so that a row at t stands behind the last one, by the time that went by where that is known.
func (st *stream) runOn(t float64) {
	by := max(st.step(), 1e-3)
	if st.since > by {
		by = st.since
	}
	st.shift = st.high + by - t
}

// back judges a row that does not rise. One alone is out of order and left to the whole record; so many in a row that
// rise steadily are a clock that was set back.
func (l *Live) back(st *stream, t float64, row []float64, line uint32) {
	if t > st.before && st.behind > 0 {
		st.behind++
	} else {
		st.behind = 1
	}
	st.before = t
	if st.behind <= ahead || st.high-t <= 5*st.step() {
		return
	}
	by, file := st.high-t, t-st.shift
	st.runOn(file)
	l.tell(st, ClockBack, by, st.behind-1, "")
	st.accept(l, file+st.shift, row, line)
}

// forth judges a row far ahead: three of them that go on from one another are a gap, or a clock that was set ahead
// where less time went by.
func (l *Live) forth(st *stream, t float64, row []float64, line uint32) {
	if n := len(st.ahead); n > 0 {
		if last := st.ahead[n-1].t; t <= last || t-last > max(leapSteps*st.step(), leapSeconds) {
			l.tell(st, Stray, last-st.high, n, "")
			st.ahead = nil
		}
	}
	st.ahead = append(st.ahead, held{t, row, line, st.since})
	if len(st.ahead) < 3 {
		return
	}
	rows := st.ahead
	st.ahead = nil
	by, move := rows[0].t-st.high, 0.0
	if s := rows[0].since; s == s && by-s > max(leapSteps*st.step(), leapSeconds) {
		move = st.high + max(s, st.step()) - rows[0].t
		st.shift += move
		l.tell(st, ClockAhead, by, 0, "")
	} else {
		l.tell(st, LongGap, by, 0, "")
	}
	for _, h := range rows {
		st.accept(l, h.t+move, h.values, h.line)
	}
}

// accept takes a row at t, on our clock, into the window.
func (st *stream) accept(l *Live, t float64, row []float64, line uint32) {
	if !st.begun {
		st.begun, st.first, st.lead = true, t, row
		if !l.zeroed {
			l.zeroed, l.zero = true, l.scale(st, t)+l.setup.From
		}
	}
	if at := l.at(st, t); at < 0 || l.setup.To > 0 && at > l.setup.To-l.setup.From {
		st.high = t
		return
	}
	if !math.IsInf(st.high, -1) {
		if len(st.steps) == 15 {
			st.steps = slices.Delete(st.steps, 0, 1)
		}
		st.steps = append(st.steps, t-st.high)
	}
	st.behind, st.high = 0, t
	st.time, st.line = append(st.time, t), append(st.line, line)
	for i := range row {
		st.values[i] = append(st.values[i], row[i])
	}
	st.fresh++
	if st.fresh >= window/2 {
		l.flush(st, false)
	}
}

// step is the median of the last distances of rows in s; 0 while there are too few.
func (st *stream) step() float64 {
	if len(st.steps) < 3 {
		return 0
	}
	return median(slices.Clone(st.steps))
}
