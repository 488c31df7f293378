package trial

import (
	"math"

	"emberbank/history"
)

// noise estimates the standard deviation of independent errors from second differences, which a smooth course hardly
// touches:
//
//	σ² = median(d²)/(6·0.4549), d = v[i−1] − 2 v[i] + v[i+1]
//
// 6 is the sum of squares of 1, −2, 1; 0.4549 the median of χ² with one degree of freedom. Never below r/√12 (JCGM
// 100:2008, F.2.2.1), r being the step of the readings or of the last digit in the file, whichever is larger. A flow, a
// power or light that stands at zero is off, or was set to zero, and shows no noise: such rows do not count. Nor do those at
// which it is switched from one level to another: a step of that kind is no error of the reading. v are the rows of the
// logger itself: rows drawn between them are as smooth as lines are.
func noise(v []float64, q history.Quantity, rounding float64) float64 {
	d := secondDifferences(v, q, math.Inf(1))
	if q != history.Temperature && q != history.Pressure {
		// Where without its greatest steps a course scatters by less than a tenth of them, they are switches. Mere noise
		// has steps of a fifth of its extent everywhere, and scatters by a seventh of it at least.
		step := extent(v) / 5
		if calm := secondDifferences(v, q, step); calm.scatter() < 0.1*step {
			d = calm
		}
	}
	r := rounding / math.Sqrt(12)
	if 50*d.still > len(d.squares) && d.moved >= 10 { // values that repeat are rounded; those of a steep course may only look so, and a single jump is no step
		r = math.Max(r, resolution(v)/math.Sqrt(12))
	}
	if len(d.squares) < 5 {
		return r
	}
	return math.Max(r, d.scatter())
}

// differences are the second differences of a course.
type differences struct {
	squares      []float64
	still, moved int // rows that repeat the one before, and those that do not
}

func (d *differences) scatter() float64 {
	if len(d.squares) == 0 {
		return 0
	}
	return math.Sqrt(median(d.squares) / (6 * 0.4549))
}

// secondDifferences takes those at which neighbours are less than step apart; where a quantity rests at zero, not there.
func secondDifferences(v []float64, q history.Quantity, step float64) *differences {
	rests := q != history.Temperature && q != history.Pressure
	d := &differences{}
	stride := max(1, len(v)/50000)
	for i := 1; i+1 < len(v); i += stride {
		if rests && (v[i-1] == 0 || v[i] == 0 || v[i+1] == 0) {
			continue
		}
		if math.Abs(v[i]-v[i-1]) >= step || math.Abs(v[i+1]-v[i]) >= step {
			continue
		}
		if x := v[i-1] - 2*v[i] + v[i+1]; x == x {
			d.squares = append(d.squares, x*x)
			if v[i] == v[i-1] {
				d.still++
			} else {
				d.moved++
			}
		}
	}
	return d
}
