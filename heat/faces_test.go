package heat

import (
	"math"
	"testing"

	"emberbank/film"
)

// What an expansion leaves out falls with the third power of the distance from where it was laid.
func TestAFacesExpansionErrsWithTheThirdPower(t *testing.T) {
	o := opening{g: 0.4, hA: 0.01, air: 290, rA: 0.9 * film.StefanBoltzmann * 1e-3, radiator4: p4(290)}
	T := 700.0
	o.s0 = o.g * T
	o.x0 = o.face(o.s0, T)
	o.lay()
	off := func(d float64) float64 {
		S := o.s0 + o.g*d
		s := S - o.s0
		return math.Abs(o.o0 + s*(o.o1+s*o.o2) - o.loss(o.face(S, o.x0)))
	}
	for _, side := range []float64{1, -1} {
		if slope := slopeOf(off(80*side), off(20*side), 4); slope < 2.8 || slope > 3.3 {
			t.Errorf("order %.2f, wanted 3 (errors %.3g and %.3g W)", slope, off(80*side), off(20*side))
		}
	}
}
