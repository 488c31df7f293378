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
