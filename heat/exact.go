package heat

import "math"

// exact is a sum that carries its own rounding error along, so that the ledger shows the scheme's balance and not
// the order of its additions. Source: Neumaier, Z. Angew. Math. Mech. 54 (1974) 39.
type exact struct{ sum, rest float64 }

func (e *exact) add(v float64) {
	t := e.sum + v
	if math.Abs(e.sum) >= math.Abs(v) {
		e.rest += (e.sum - t) + v
	} else {
		e.rest += (v - t) + e.sum
	}
	e.sum = t
}

func (e *exact) value() float64 { return e.sum + e.rest }

// batch is how many products weigh adds up plainly before it carries the rounding along: few enough that the
// rounding of a batch is that of the products themselves, enough that carrying costs little.
const batch = 64

// weigh adds the products of a and b, which are of equal length.
func (e *exact) weigh(a, b []float64) {
	for len(a) > batch {
		e.add(product(a[:batch], b[:batch]))
		a, b = a[batch:], b[batch:]
	}
	e.add(product(a, b))
}

// weighAndMark is weigh that also raises high and lowers low to the extremes of b.
func (e *exact) weighAndMark(a, b []float64, high, low float64) (highest, lowest float64) {
	for _, v := range b {
		if v > high {
			high = v
		}
		if v < low {
			low = v
		}
	}
	e.weigh(a, b)
	return high, low
}

// product adds up products in four sums.
func product(a, b []float64) float64 {
	s0, s1, s2, s3 := 0.0, 0.0, 0.0, 0.0
	for len(a) >= 8 && len(b) >= 8 {
		s0 += a[0]*b[0] + a[4]*b[4]
		s1 += a[1]*b[1] + a[5]*b[5]
		s2 += a[2]*b[2] + a[6]*b[6]
		s3 += a[3]*b[3] + a[7]*b[7]
		a, b = a[8:], b[8:]
	}
	for i, v := range a {
		s0 += v * b[i]
	}
	return (s0 + s1) + (s2 + s3)
}
