package heat

import (
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/receiver"
)

// boilingLater is draining with a steady trickle from the first minute on.
func boilingLater() Problem {
	p := draining(duty.Control{})
	p.Duty.Throttle, p.Duty.Water[0].Flow = nil, duty.Fixed(3e-4)
	p.Duty.Switches.Water[0] = duty.Drained
	p.Duty.Events = []duty.Event{{At: 60, Name: "drain", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}}}
	return p
}

// A march lands on a rule's threshold by a step of next to nothing. The row that shows the end of the run tells the same
// heat as a row of another run that happens to stand near.
func TestLastRowOfARunThatARuleStopsGoesOnWithTheOthers(t *testing.T) {
	p := boilingLater()
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

// However many steps of next to nothing a landing takes, what leaves is what left before; where steps stay short for longer, it
// is soon theirs.
func TestALandingOfManyStepsTellsNothingOfTheFlow(t *testing.T) {
	w := &stream{state: duty.Flowing, span: 22, out: 3e-4}
	steps := func(n int, tau, outNew float64) {
		for range n {
			w.outNew = outNew
			w.out = w.outflow(tau)
			w.reckon(tau)
		}
	}
	steps(3, 1e-3, 0.2) // in next to no time boiling water makes up for a hair's difference
	steps(5, 1e-3, 0)
	if math.Abs(w.out/3e-4-1) > 0.15 {
		t.Errorf("after a landing of 8 ms %.4g kg/s leave; it were 3e-4 kg/s before", w.out)
	}
	steps(5, 0.1, 1e-4)
	if w.out != 1e-4 {
		t.Errorf("after half a second of short steps %.4g kg/s leave, not the 1e-4 kg/s of them", w.out)
	}
}

// What is switched beside the water leaves the water's row as it is.
func TestRowAtAnEventBesideTheWaterGoesOnWithTheOthers(t *testing.T) {
	p := boilingLater()
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

// A body that has rested for hours, in steps of up to an hour, warms as one that is switched on at once: films and rows go by
// the short steps of now. While they went by the last long one, the films stood still and the blocks ended tens to hundreds
// of kelvin hotter.
func TestWaterAfterALongRestIsThatOfTheMoment(t *testing.T) {
	for _, power := range []float64{500, 3000} {
		run := func(on float64) *Result {
			p := cuboid(block.Point{0.08, 0.2, 0.08}, [3]int{8, 2, 8}, plain(2700, 900, 200))
			p.tube("1", block.Width, block.Point{0.04, 0, 0.04}).Contact.None = true
			p.circuit(0.003, 300, 2e5, through(&p, 0, false))
			p.Receiver.Heaters = []receiver.Heater{{Name: "heater", Axis: block.Width, At: block.Point{0.02, 0, 0.02}, To: 0.2}}
			p.Duty.Heaters = []duty.Signal{duty.Fixed(power)}
			p.Duty.Switches.Heaters = []bool{on == 0}
			p.Duty.Events = []duty.Event{{At: on, Name: "on", Do: []duty.Action{{What: duty.SetHeater, Value: 1}}}}
			p.Initial = 300
			p.every(10, 600)
			p.Until += on
			for i := range p.Output {
				p.Output[i] += on
			}
			return solve(t, p)
		}
		a, b := run(0), run(10800)
		mean, rested := values(t, a, "block mean"), values(t, b, "block mean")
		most := 0.0
		for i := range mean {
			most = math.Max(most, math.Abs(rested[i]-mean[i]))
		}
		t.Logf("%g W: %d steps, after a rest %d; apart by %.3g K", power, a.Steps, b.Steps, most)
		if most > 1.5 { // 0.5 K seen, while it begins to boil
			t.Errorf("%g W: after a rest the block is off by %.3g K", power, most)
		}
	}
}
