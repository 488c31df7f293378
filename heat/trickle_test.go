package heat

import (
	"math"
	"testing"

	"emberbank/block"
)

// The stages of a step are as many as the steepest of its slices asks for: where a trickle passes a light block, a slice's
// heat rises with the cells' temperature by up to 29 times what the chain leads, as long as the step is short. With the
// chain's alone the march was unstable, took seven times as many steps and ended 7 K beside what a tight tolerance gives.
func TestTrickleInALightBlockIsMarchedStably(t *testing.T) {
	run := func(tolerance float64) *Result {
		p := cuboid(block.Point{0.03, 0.1, 0.03}, [3]int{7, 1, 7}, plain(100, 500, 0.1))
		p.tube("1", block.Width, block.Point{0.015, 0, 0.015})
		p.circuit(1e-5, 300, 5e5, through(&p, 0, false))
		p.cool(block.Front, 10, 290, 0)
		p.Initial, p.Tolerance = 600, tolerance
		p.every(10, 200)
		r := solve(t, p)
		closes(t, r)
		t.Logf("%d steps, %d refused, %d stages, mean %.3f K", r.Steps, r.Rejected, r.Stages, last(values(t, r, "block mean")))
		return r
	}
	plain, tight := run(DefaultTolerance), run(0.01*DefaultTolerance)
	a, b := last(values(t, plain, "block mean")), last(values(t, tight, "block mean"))
	if math.Abs(a-b) > 0.6 { // 0.26 K seen
		t.Errorf("the block ends at %.3f K, by a tight tolerance at %.3f K", a, b)
	}
	if plain.Steps > 600 {
		t.Errorf("%d steps", plain.Steps)
	}
}
