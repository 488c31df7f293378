package plan

import (
	"math"
	"slices"

	"emberbank/heat"
)

// rowsOfRun is how many distances a run's length is cut into.
const rowsOfRun = 240

// cells are the rows at which a run is read: each stretch between switchings is cut into equal cells of at most row, in s, and
// a row stands in the middle of each. So no row stands at the moment of a switching, where a reading is neither of before
// nor of after (an outlet at the instant of its first water reads the inlet, whatever the block does, and would calibrate
// its sensor and the model at one blow); and where switchings move by seconds, all rows and what they stand for move by
// seconds. Width is what of the time each stands for; the first and the last time have none and do not count.
func cells(p *heat.Problem, row float64) (times, width, begins []float64) {
	cuts := []float64{0, p.Until}
	for _, e := range p.Duty.Events {
		cuts = append(cuts, e.At)
	}
	for _, r := range p.Duty.Rules {
		cuts = append(cuts, r.After)
	}
	cuts = slices.DeleteFunc(cuts, func(t float64) bool { return !(t >= 0 && t <= p.Until) })
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	times, width, begins = []float64{0}, []float64{0}, []float64{0}
	for i := 1; i < len(cuts); i++ {
		long := cuts[i] - cuts[i-1]
		if long < 1e-6*row { // the same moment, written twice
			continue
		}
		n := int(math.Ceil(long/row - 1e-9))
		for k := range n {
			times = append(times, cuts[i-1]+long*(float64(k)+0.5)/float64(n))
			width, begins = append(width, long/float64(n)), append(begins, cuts[i-1])
		}
	}
	return append(times, p.Until), append(width, 0), append(begins, p.Until)
}

// settles tells of each row of a column whether its reading counts: a column without a value before, such as the outlet of
// a circuit into which water was just let, counts from a quarter of a row after it has one. It has one from the last
// switching before its first row, or, where a rule of the run let it have one, from that row at the latest.
func (r *replies) settles(c int, row float64) []bool {
	out := make([]bool, len(r.time))
	has := math.Inf(-1) // since when it has a value
	for k, t := range r.time {
		if math.IsNaN(r.value[c][k]) {
			has = math.NaN()
			continue
		}
		if math.IsNaN(has) {
			if has = t; r.begins[k] > r.time[k-1] {
				has = r.begins[k]
			}
		}
		out[k] = r.width[k] > 0 && t-has >= 0.25*row*(1-1e-9)
	}
	return out
}

// white is the standard deviation with which a logger reads the mean of a cell of so many seconds, from the white noise of one
// reading; lasting is the size of its lasting noise and time how long that lasts.
//
// A logger's clock knows nothing of the trial, so readings fall on any moment alike, and a cell holds width/every of them
// on average, less than one where the logger is slow:
//
//	s² every/width
//
// Lasting noise is taken from cell to cell as it is. Readings farther apart catch less of its mean: read at a distance Δ its
// spectrum at rest is l² Δ coth(Δ/2τ), and what that is above the same at the cells' own distance is added. Both grow with
// the interval, so that a faster logger never teaches less. Where what a parameter does is brief beside the interval, a
// reading may miss it or not; told is what readings teach on average over the moments at which they may fall.
//
// The spectrum is that of an exponential correlation read at equal distances, summed over its multiples; own derivation.
func white(s, lasting, time, every, width float64) float64 {
	v := s * s * every / width
	if every > width && time > 0 {
		v += lasting * lasting * (heldBy(every, time) - heldBy(width, time)) / width
	}
	return math.Sqrt(v)
}

// heldBy is Δ coth(Δ/2τ), in s.
func heldBy(d, tau float64) float64 {
	if d < 1e-4*tau {
		return 2 * tau
	}
	return d / math.Tanh(d/(2*tau))
}

// layout is the rows of a variant, as the trial stands at the start.
func (d *design) layout(v *variant) (times, width, begins []float64) {
	p := d.problems[v.trial]
	row := p.Until / rowsOfRun // also of a longer stretch, whose other rows stay
	if v.change != nil {
		if err := v.change.apply(&p); err != nil {
			return cells(&d.problems[v.trial], row)
		}
	}
	return cells(&p, row)
}

// row is the distance of a trial's rows, in s.
func (d *design) row(trial int) float64 { return d.problems[trial].Until / rowsOfRun }
