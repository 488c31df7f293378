package heat

import (
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/receiver"
)

// A step may end a hair short of a threshold, and the next one then begins there: it too has to stop at the crossing.
func TestEveryThresholdIsMetWherever(t *testing.T) {
	for i := range 40 {
		level := 140 - 0.37*float64(i) + zero
		p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{7, 5, 7}, plain(2700, 900, 200))
		p.Initial = 150 + zero
		p.tube("1", block.Width, block.Point{0.05, 0, 0.05})
		p.circuit(0.005, 15+zero, 10e5, through(&p, 0, false))
		p.Duty.Rules = []duty.Rule{{
			Name: "cold", Watch: duty.Watch{What: duty.WatchBlockMean}, Threshold: level,
			Do: []duty.Action{{What: duty.StopRun}},
		}}
		p.every(600, 7200)
		r := solve(t, p)
		mean := last(values(t, r, "block mean"))
		// It cools by less than 1 K/s, and a crossing is met to about 1e-4 s.
		if r.Stopped != "cold" || mean > level || mean < level-1e-3 {
			t.Errorf("the rule at %.2f K acted at %.6f K (%s)", level, mean, r.Stopped)
		}
	}
}

func TestRunThatStopsAtAnOutputTimeHasOneRowThere(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{3, 3, 3}, plain(2700, 900, 200))
	p.cool(block.Front, 50, 20+zero, 0.5)
	p.Duty.Events = []duty.Event{{Name: "halt", At: 600, Do: []duty.Action{{What: duty.StopRun}}}}
	p.every(60, 3600)
	r := solve(t, p)
	if n := len(r.History.Time); n != 11 || r.History.Time[n-1] != 600 {
		t.Errorf("rows stand at %v s", r.History.Time)
	}
}

func TestCoverThatShutsAtDuskOpensInTheMorning(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{3, 3, 3}, plain(2700, 900, 200))
	p.Receiver.Window = &receiver.Window{Opening: p.Receiver.Block, Absorptance: 1}
	p.Duty.Light = &duty.Light{Power: duty.Signal{T: []float64{0, 600, 660, 1800, 1860}, V: []float64{1000, 1000, 0, 0, 1000}}}
	p.Duty.Switches.Light = true
	p.Duty.Rules = []duty.Rule{{
		Name: "dusk", Watch: duty.Watch{What: duty.WatchLight}, Threshold: 100, Hysteresis: 50,
		Do: []duty.Action{{What: duty.SetCover, Value: 1}}, Else: []duty.Action{{What: duty.SetCover}},
	}}
	p.every(60, 3600)
	r := solve(t, p)
	if a := values(t, r, "absorbed"); !(a[15] == 0 && last(a) > 0) {
		t.Errorf("at night %g W are absorbed, next morning %g W; events %v", a[15], last(a), r.Events)
	}
}
