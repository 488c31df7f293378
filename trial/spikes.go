package trial

import (
	"fmt"
	"math"

	"emberbank/history"
)

// spikes takes out one or two values in a row that stand far from the median of the seven around them. Far is more
// than eight times the scatter about the running median, and more than a floor: the height given, or for
// temperatures 2 K. Where such a value is part of a step, the median goes with the step and nothing is taken.
//
// The rule is the one of a running median with a threshold by the median absolute deviation; common practice in
// cleaning series, the factor eight chosen so that Gaussian noise loses less than one value in 10¹⁴.
func (l *Log) spikes(st *channelState, v []float64) {
	if asleep(st.repairs.Spikes, st.c.Quantity) || len(v) < 7 || st.c.Hold {
		return
	}
	const half = 3
	floor := st.c.SpikeHeight
	var dev []float64
	stride := max(1, len(v)/20000)
	mid := func(i int) float64 {
		var w [2*half + 1]float64
		n := 0
		for j := max(0, i-half); j <= min(len(v)-1, i+half); j++ {
			if v[j] == v[j] {
				k := n
				for k > 0 && w[k-1] > v[j] {
					w[k] = w[k-1]
					k--
				}
				w[k] = v[j]
				n++
			}
		}
		if n < 4 {
			return math.NaN()
		}
		return w[n/2]
	}
	for i := 0; i < len(v); i += stride {
		if m := mid(i); m == m && v[i] == v[i] {
			dev = append(dev, math.Abs(v[i]-m))
		}
	}
	if len(dev) == 0 {
		return
	}
	scatter := 1.4826 * median(dev)
	if floor == 0 {
		switch st.c.Quantity {
		case history.Temperature:
			floor = 2
		default:
			floor = max(20*scatter+1e-3*extent(v), 5*resolution(v)) // a reading that flips between two steps is no spike
		}
	}
	limit := math.Max(8*scatter, floor)
	var t tally
	var at []int
	for i := range v {
		if v[i] != v[i] || i > 0 && i < len(v)-1 && math.Abs(v[i]-v[i-1]) <= limit/2 && math.Abs(v[i]-v[i+1]) <= limit/2 {
			continue
		}
		m, far := mid(i), limit+steepness(v, i)
		if m == m && math.Abs(v[i]-m) > far && lonely(v, i, m, far) {
			t.add(int(l.line[i]))
			at = append(at, i)
		}
	}
	if t.count == 0 {
		return
	}
	what := fmt.Sprintf("spikes of %.3g %s or more taken as missing", limit, siUnit(st.c.Quantity))
	if st.repairs.Spikes == Off {
		what = fmt.Sprintf("spikes of %.3g %s or more, left as they are", limit, siUnit(st.c.Quantity))
	} else {
		for _, i := range at {
			v[i] = math.NaN()
		}
	}
	l.Repairs = append(l.Repairs, Repair{
		Key: "spikes", File: l.Source.Name, Column: st.c.Name, Count: t.count, Line: t.first, What: what,
		Mended: st.repairs.Spikes != Off,
	})
}

func siUnit(q history.Quantity) string {
	if q == history.Temperature {
		return "K"
	}
	return q.Unit()
}

// lonely tells whether the value at i belongs to a run of at most two that stand off the level m, with values close to
// that level on both sides.
func lonely(v []float64, i int, m, limit float64) bool {
	n := 1
	for _, d := range [2]int{-1, 1} {
		j := i + d
		for j >= 0 && j < len(v) && (v[j] != v[j] || math.Abs(v[j]-m) > limit) {
			if v[j] == v[j] {
				n++
			}
			if n > 2 {
				return false
			}
			j += d
		}
		if j < 0 || j >= len(v) {
			return false
		}
	}
	return true
}

// steepness is how much the neighbours themselves move, so that the top of a fast rise is no spike.
func steepness(v []float64, i int) float64 {
	s := 0.0
	for _, p := range [2][2]int{{i - 3, i - 2}, {i + 2, i + 3}} {
		if p[0] >= 0 && p[1] < len(v) {
			if d := math.Abs(v[p[1]] - v[p[0]]); d == d {
				s = math.Max(s, d)
			}
		}
	}
	return s
}

func extent(v []float64) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, x := range v {
		if x == x {
			lo, hi = min(lo, x), max(hi, x)
		}
	}
	if hi < lo {
		return 0
	}
	return hi - lo
}
