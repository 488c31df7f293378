package heat

import (
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
)

// Water that is shut in and freezes ends the run with words that say so, at about the time at which the cold has taken what it holds above
// 0 °C; what was computed until then is kept.
func TestWaterThatFreezesEndsTheRun(t *testing.T) {
	for _, state := range []duty.WaterState{duty.Closed, duty.Open} {
		p := cuboid(block.Point{0.15, 0.15, 0.15}, [3]int{3, 3, 3}, plain(100, 500, 20))
		p.Initial = 5 + zero
		p.tube("1", block.Width, block.Point{0.075, 0, 0.075})
		p.circuit(0.01, 5+zero, 20e5, through(&p, 0, false))
		p.cool(block.Bottom, 100, -30+zero, 0)
		p.Duty.Switches.Water[0] = state
		p.every(5, 7200)
		r, err := Run(t.Context(), p)
		if err == nil || !strings.Contains(err.Error(), `the water in circuit "A" freezes`) {
			t.Fatalf("state %v: %v", state, err)
		}
		t.Log(err)
		if n := len(r.History.Time); n < 2 || last(values(t, r, "block mean")) > zero {
			t.Errorf("state %v: %d rows, the last at %g K", state, n, last(values(t, r, "block mean")))
		}
	}
}
