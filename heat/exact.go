package heat

import (
	"math"

	"emberbank/kernel"
)

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
const batch = 256

// weigh adds the products of a and b, which are of equal length.
func (e *exact) weigh(loops *kernel.Set, a, b []float64) {
	for len(a) > batch {
		e.add(loops.Weigh(a[:batch], b[:batch]))
		a, b = a[batch:], b[batch:]
	}
	e.add(loops.Weigh(a, b))
}
