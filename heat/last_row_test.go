package heat

import (
	"math"
	"testing"

	"emberbank/duty"
)

// A march lands on a rule's threshold by a step of next to nothing. The row that shows the end of the run tells the same
// heat as a row of another run that happens to stand near.
func TestLastRowOfARunThatARuleStopsGoesOnWithTheOthers(t *testing.T) {
	p := draining(duty.Control{})
	p.Duty.Throttle, p.Duty.Water[0].Flow = nil, duty.Fixed(3e-4)
	p.Duty.Switches.Water[0] = duty.Drained
	p.Duty.Events = []duty.Event{{At: 60, Name: "drain", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}}}
	free := solve(t, p)
	for _, below := range []float64{325.2, 321.3, 315.7, 310.7, 308.1} {
		p.Duty.Rules = []duty.Rule{{Name: "cold", Watch: duty.Watch{What: duty.WatchBlockMean}, Threshold: below + zero, Do: []duty.Action{{What: duty.StopRun}}}}
		r := solve(t, p)
		closes(t, r)
		end := last(r.History.Time)
		if r.Stopped != "cold" || end == 1200 {
			t.Fatalf("stopped by %q at %g s", r.Stopped, end)
		}
		want := rowAt(free.History.Time, values(t, free, "heat to passes"), end)
		if got := last(values(t, r, "heat to passes")); math.Abs(got/want-1) > 0.01 {
			t.Errorf("stopped at %.3f s the row shows %.5g W; without the rule it is %.5g W", end, got, want)
		}
		want = rowAt(free.History.Time, values(t, free, "circuit A steam"), end)
		if got := last(values(t, r, "circuit A steam")); math.Abs(got/want-1) > 0.01 {
			t.Errorf("stopped at %.3f s the row shows %.5g kg/s of steam; without the rule it is %.5g kg/s", end, got, want)
		}
	}
}

// What is switched beside the water leaves the water's row as it is.
func TestRowAtAnEventBesideTheWaterGoesOnWithTheOthers(t *testing.T) {
	p := draining(duty.Control{})
	p.Duty.Throttle, p.Duty.Water[0].Flow = nil, duty.Fixed(3e-4)
	p.Duty.Switches.Water[0] = duty.Drained
	p.Duty.Events = []duty.Event{{At: 60, Name: "drain", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}}}
	free := solve(t, p)
	p.Duty.Events = append(p.Duty.Events, duty.Event{At: 600, Name: "cover", Do: []duty.Action{{What: duty.SetCover, Value: 1}}})
	r := solve(t, p)
	for i, at := range r.History.Time {
		want := values(t, free, "heat to passes")[i]
		if got := values(t, r, "heat to passes")[i]; at > 120 && math.Abs(got/want-1) > 0.01 {
			t.Errorf("at %g s the row shows %.5g W, without the event %.5g W", at, got, want)
		}
	}
}

// rowAt reads a value from rows, straight from one to the next.
func rowAt(times, values []float64, at float64) float64 {
	for i := 1; i < len(times); i++ {
		if times[i] >= at {
			x := (at - times[i-1]) / (times[i] - times[i-1])
			return values[i-1] + x*(values[i]-values[i-1])
		}
	}
	return math.NaN()
}
