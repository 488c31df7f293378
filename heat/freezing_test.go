package heat

import (
	"io"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
)

// Water that is shut in and freezes ends the run with words that say so; what was computed until then is kept. Water that flows is warned
// of once, and so is what was shut in.
func TestWaterThatFreezesIsTold(t *testing.T) {
	for _, state := range []duty.WaterState{duty.Closed, duty.Open, duty.Flowing} {
		p := cuboid(block.Point{0.15, 0.15, 0.15}, [3]int{3, 3, 3}, plain(100, 500, 20))
		p.Initial = 5 + zero
		p.tube("1", block.Width, block.Point{0.075, 0, 0.075})
		p.circuit(0.001, 1+zero, 20e5, through(&p, 0, false))
		p.cool(block.Bottom, 100, -30+zero, 0)
		p.Duty.Switches.Water[0] = state
		p.every(5, 600)
		r, err := Run(t.Context(), p)
		if state == duty.Flowing {
			if err != nil {
				t.Fatal(err)
			}
		} else if err == nil || !strings.Contains(err.Error(), `the water in circuit "A" freezes`) {
			t.Fatalf("state %v: %v", state, err)
		}
		if n := len(r.History.Time); n < 2 || last(values(t, r, "block mean")) > zero {
			t.Errorf("state %v: %d rows, the last at %g K", state, n, last(values(t, r, "block mean")))
		}
		if n := strings.Count(strings.Join(r.Warnings, "\n"), "came down to 0 °C"); n != 1 {
			t.Errorf("state %v: %d warnings of frost in %q", state, n, r.Warnings)
		}
	}
	m := &march{streams: []*stream{{state: duty.Open, h: []float64{1}}}} // no pressure yet
	if err := m.stuck(io.EOF); err != io.EOF {
		t.Errorf("what failed is told as %v", err)
	}
	p := cuboid(block.Point{0.15, 0.15, 0.15}, [3]int{3, 3, 3}, plain(100, 500, 20))
	p.Initial = 5 + zero
	p.tube("1", block.Width, block.Point{0.075, 0, 0.075})
	p.circuit(0.001, 1+zero, 20e5, through(&p, 0, false))
	p.every(5, 60)
	if all := strings.Join(solve(t, p).Warnings, "\n"); strings.Contains(all, "0 °C") {
		t.Errorf("water of 1 °C is said to freeze: %s", all)
	}
}
