package heat

import (
	"testing"

	"emberbank/block"
	"emberbank/duty"
)

// The water is stepped implicitly, so its inlet must be that of a step's end: taken at the start, it trailed a ramp by
// a step, every change of the step's length looked like a jump of the water, and steps shrank to under a second.
func TestSlowRampOfTheInletTakesNoStormOfSteps(t *testing.T) {
	steps := func(inlet duty.Signal) int {
		p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{9, 9, 9}, plain(2700, 900, 200))
		p.Initial = 150 + zero
		p.tube("1", block.Width, block.Point{0.05, 0, 0.05})
		p.circuit(0.02, 15+zero, 10e5, through(&p, 0, false))
		p.Duty.Water[0].Inlet = inlet
		p.every(60, 3600)
		r := solve(t, p)
		closes(t, r)
		return r.Steps
	}
	still := steps(duty.Fixed(15 + zero))
	ramp := steps(duty.Signal{T: []float64{0, 3600}, V: []float64{15 + zero, 75 + zero}})
	// A ramp of a kelvin in a minute is smooth, but the block's flow of heat bends with it: 4 times the steps were seen.
	// More than 10 times would be a storm; with the inlet of the start it took 190 times as many.
	if ramp > 10*still {
		t.Errorf("with a ramp of the inlet the march took %d steps, without it %d", ramp, still)
	}
	t.Logf("steps: %d without a ramp, %d with it", still, ramp)
}
