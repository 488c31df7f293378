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
	b = b[:len(a)]
	s0, s1, s2, s3 := 0.0, 0.0, 0.0, 0.0
	i := 0
	for ; i+4 <= len(a); i += 4 {
		x, y := a[i:i+4:i+4], b[i:i+4:i+4]
		s0 += x[0] * y[0]
		s1 += x[1] * y[1]
		s2 += x[2] * y[2]
		s3 += x[3] * y[3]
	}
	for ; i < len(a); i++ {
		s0 += a[i] * b[i]
	}
	return (s0 + s1) + (s2 + s3)
}
