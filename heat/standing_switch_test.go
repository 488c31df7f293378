package heat

import (
	"testing"

	"emberbank/block"
	"emberbank/duty"
)

// A trickle that boils and dries within one slice holds far more than the steam that leaves it. Shut off to stand open, the slice is steam
// at once: that jump is no error of a step, which would refuse any, however short.
func TestATrickleThatStandsAtOnceEndsNoRun(t *testing.T) {
	p := cuboid(block.Point{0.15, 0.15, 0.15}, [3]int{2, 1, 2}, plain(2000, 500, 50))
	p.Initial = 723
	q := p.tube("1", block.Width, block.Point{0.045, 0, 0.047})
	q.Spreading = true
	p.circuit(1e-4, 313, 20e5, through(&p, 0, false))
	p.Duty.Switches.Water[0] = duty.Flowing
	p.Duty.Events = []duty.Event{{At: 15, Name: "stand", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Open)}}}}
	p.every(5, 30)
	r := solve(t, p)
	closes(t, r)
}
