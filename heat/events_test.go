package heat

import (
	"math"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/receiver"
)

// lit is a well conducting block (0.1 m, 2 kg, 2000 J/K) that absorbs light through an open, adiabatic window.
func lit(power duty.Signal) Problem {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{4, 4, 4}, plain(2000, 1000, 1e4))
	p.Receiver.Window = &receiver.Window{Opening: p.Receiver.Block, Absorptance: 1}
	p.Duty.Light = &duty.Light{Power: power, Absorbed: true}
	p.Duty.Switches.Light = true
	return p
}

// times marches a problem by itself and returns the times at which steps end.
func times(t *testing.T, p Problem) []float64 {
	t.Helper()
	var out []float64
	p.Progress = func(x float64) { out = append(out, x) }
	solve(t, p)
	return out
}

func has(all []float64, x float64) bool {
	for _, v := range all {
		if v == x {
			return true
		}
	}
	return false
}

// Every event, jump and bend ends a step exactly; so what lies on both of its sides is never mixed in one step.
func TestNoStepStraddlesAnEvent(t *testing.T) {
	p := lit(duty.Signal{T: []float64{0, 33.3, 33.3, 71}, V: []float64{100, 100, 900, 300}})
	p.Duty.Ambient = duty.Signal{T: []float64{0, 17, 1000}, V: []float64{293, 293, 300}}
	p.cool(block.Back, 5, 293, 0)
	p.Duty.Events = []duty.Event{
		{At: 50.25, Name: "shut", Do: []duty.Action{{What: duty.SetCover, Value: 1}}},
		{At: 60, Name: "open", Do: []duty.Action{{What: duty.SetCover, Value: 0}}},
	}
	p.Duty.Rules = []duty.Rule{{Name: "late", Watch: duty.Watch{What: duty.WatchBlockMean}, Above: true, Threshold: 1e4, After: 81.5}}
	p.Until, p.Output = 100, []float64{0, 100}
	got := times(t, p)
	for _, want := range []float64{17, 33.3, 50.25, 60, 71, 81.5, 100} {
		if !has(got, want) {
			t.Errorf("no step ends at %g s: %v", want, got)
		}
	}
}

// The light's integral is exact: a ramp and a jump are linear between stops, and the scheme integrates them exactly.
func TestLightRampsAndJumpsAreIntegratedExactly(t *testing.T) {
	p := lit(duty.Signal{T: []float64{0, 40, 40, 100, 130}, V: []float64{0, 800, 200, 1000, 0}})
	p.Until, p.Output = 150, []float64{0, 75, 150}
	r := solve(t, p)
	closes(t, r)
	want := 0.5*800*40 + 0.5*(200+1000)*60 + 0.5*1000*30
	closeTo(t, "absorbed, J", r.Ledger.Absorbed, want, 1e-9*want)
	closeTo(t, "stored, J", r.Ledger.Stored, want, 1e-9*want)
	closeTo(t, "absorbed at 75 s, W", values(t, r, "absorbed")[1], 200+800*35/60.0, 1e-9)
}

func TestShutCoverAndSwitchedOffLightAbsorbNothing(t *testing.T) {
	for _, what := range []duty.Action{{What: duty.SetCover, Value: 1}, {What: duty.SetLight, Value: 0}} {
		p := lit(duty.Fixed(500))
		p.Duty.Events = []duty.Event{{At: 20, Name: "dark", Do: []duty.Action{what}}}
		p.Until, p.Output = 60, []float64{0, 60}
		r := solve(t, p)
		closes(t, r)
		closeTo(t, "absorbed, J", r.Ledger.Absorbed, 500*20, 1e-6)
	}
}

// crossing runs a rule that stops the run at 30 °C and returns the block's mean then.
func crossing(t *testing.T, power duty.Signal) (T, at float64) {
	p := lit(power)
	p.Duty.Rules = []duty.Rule{{
		Name: "full", Watch: duty.Watch{What: duty.WatchBlockMean}, Above: true, Threshold: 30 + zero,
		Do: []duty.Action{{What: duty.StopRun}},
	}}
	p.Until, p.Output = 5000, []float64{0}
	r := solve(t, p)
	closes(t, r)
	if r.Stopped != "full" {
		t.Fatalf("the run stopped by %q at %g s", r.Stopped, r.Ended)
	}
	return last(values(t, r, "block mean")), r.Ended
}

// A rule acts at its crossing to within what it is worth in temperature: 0.01 K here. With constant power the mean
// rises straight; with a rising one it bends upwards, so that straight lines come short of the crossing.
func TestRuleActsAtItsCrossing(t *testing.T) {
	T, at := crossing(t, duty.Fixed(100))
	closeTo(t, "block mean at 100 W", T, 30+zero, 0.01)
	closeTo(t, "time at 100 W, s", at, 200, 0.2)
	T, at = crossing(t, duty.Signal{T: []float64{0, 5000}, V: []float64{0, 5000}})
	closeTo(t, "block mean at a rising power", T, 30+zero, 0.01)
	closeTo(t, "time at a rising power, s", at, 200, 0.2)
	// Bent so little that the straight line comes short by less than a tenth of a millisecond.
	T, at = crossing(t, duty.Signal{T: []float64{0, 5000}, V: []float64{100, 100.002}})
	closeTo(t, "block mean at a power that hardly rises", T, 30+zero, 0.01)
	closeTo(t, "time at a power that hardly rises, s", at, 200, 0.2)
}

// With hysteresis the heater goes off at the threshold, on again 2 K below, and so on.
func TestRuleSwitchesBackByItsHysteresis(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{4, 4, 4}, plain(2000, 1000, 1e4))
	p.cool(block.Back, 1000, 20+zero, 0)
	p.Receiver.Heaters = []receiver.Heater{{Name: "heater", Axis: block.Height, At: block.Point{0.04, 0.04, 0}, To: 0.1}}
	p.Duty.Heaters = []duty.Signal{duty.Fixed(600)}
	p.Duty.Rules = []duty.Rule{{
		Name: "warm", Watch: duty.Watch{What: duty.WatchBlockMean}, Above: true, Threshold: 40 + zero, Hysteresis: 2,
		Do: []duty.Action{{What: duty.SetHeater, Value: 0}}, Else: []duty.Action{{What: duty.SetHeater, Value: 1}},
	}}
	p.every(1, 1200)
	r := solve(t, p)
	closes(t, r)
	if len(r.Events) < 6 {
		t.Fatalf("only %d switches: %v", len(r.Events), r.Events)
	}
	for i, e := range r.Events {
		if (i%2 == 1) != strings.HasSuffix(e.What, "back") {
			t.Fatalf("switches do not alternate: %v", r.Events)
		}
	}
	for i, T := range values(t, r, "block mean") {
		if r.History.Time[i] > r.Events[0].At && (T < 38+zero-0.1 || T > 40+zero+0.1) {
			t.Fatalf("block mean %.3f degC at %g s leaves 38 to 40 degC", T-zero, r.History.Time[i])
		}
	}
}

func TestRuleOnAProbeActsAtTheStartWhereItIsBeyond(t *testing.T) {
	p := lit(duty.Fixed(100))
	p.Probes = []Probe{{Name: "tip", At: block.Point{0.011, 0.012, 0.013}}}
	p.Duty.Rules = []duty.Rule{{
		Name: "off", Watch: duty.Watch{What: duty.WatchProbe, Probe: "tip"}, Above: true, Threshold: 20 + zero - 1e-6,
		Do: []duty.Action{{What: duty.SetLight, Value: 0}},
	}}
	p.Until, p.Output = 60, []float64{0, 60}
	r := solve(t, p)
	closeTo(t, "absorbed, J", r.Ledger.Absorbed, 0, 0)
	if len(r.Events) != 1 || r.Events[0].At != 0 {
		t.Errorf("switched: %v", r.Events)
	}
}

// A sensor in a block that warms by a K/s reads a (t - τ (1 - e^(-t/τ))) above the start, whatever the steps.
func TestSensorLagsAsFirstOrder(t *testing.T) {
	for _, rows := range []float64{1, 50, 200} {
		p := lit(duty.Fixed(200)) // 0.1 K/s
		p.Probes = []Probe{{Name: "sensor", Kind: Sensor, Lag: 30, Immersion: 1, At: block.Point{0.05, 0.05, 0.05}}}
		p.every(rows, 400)
		r := solve(t, p)
		for i, x := range r.History.Time {
			want := 20 + zero + 0.1*(x-30*-math.Expm1(-x/30))
			// 0.03 K: the place is not quite as hot as the mean, and steps err by 0.05 K at most.
			closeTo(t, "sensor", values(t, r, "sensor")[i], want, 0.03)
		}
	}
}

func TestSensorReadsShortByItsImmersion(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{4, 4, 4}, plain(2000, 1000, 100))
	p.Initial = 120 + zero
	p.Probes = []Probe{{Name: "sensor", Kind: Sensor, Immersion: 0.9, At: block.Point{0.05, 0.05, 0.05}}}
	p.every(10, 20)
	r := solve(t, p)
	closeTo(t, "sensor", last(values(t, r, "sensor")), 0.9*120+0.1*20+zero, 1e-9)
}

// Three layers between two walls: interfaces stand where resistances in series put them, and probes on them, on the
// walls and between read straight lines.
func TestProbesReadInterfacesAndSurfacesExactly(t *testing.T) {
	p := cuboid(block.Point{0.03, 0.02, 0.02}, [3]int{}, plain(2000, 1000, 20))
	p.Receiver.Media = append(p.Receiver.Media, plain(500, 1000, 0.5), plain(7000, 500, 60))
	x := []float64{0, 0.03, 0.05, 0.06}
	k := []float64{20, 0.5, 60}
	for i := 1; i < 3; i++ {
		p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{
			Name: "layer", Role: receiver.RoleInsulation, Medium: i, Initial: math.NaN(),
			Box: block.Box{Min: block.Point{x[i], 0, 0}, Max: block.Point{x[i+1], 0.02, 0.02}},
		})
	}
	p.Grid.Lines = [3][]float64{{0, 0.007, 0.02, 0.03, 0.035, 0.042, 0.05, 0.06}, {0, 0.01, 0.02}, {0, 0.02}}
	p.hold(block.Front, 500)
	p.cool(block.Back, 25, 300, 0)
	R := []float64{0}
	for i := range k {
		R = append(R, R[i]+(x[i+1]-x[i])/k[i])
	}
	flux := 200 / (R[3] + 1.0/25)
	at := func(d float64) float64 {
		for i := range k {
			if d <= x[i+1] {
				return 500 - flux*(R[i]+(d-x[i])/k[i])
			}
		}
		return math.NaN()
	}
	depths := []float64{0, 0.001, 0.02, 0.03, 0.0321, 0.042, 0.049, 0.05, 0.055, 0.06}
	for i, d := range depths {
		p.Probes = append(p.Probes, Probe{Name: string(rune('a' + i)), At: block.Point{d, 0.013, 0.004}})
	}
	p.Steady = true
	r := solve(t, p)
	for i, d := range depths {
		closeTo(t, "probe "+p.Probes[i].Name, last(values(t, r, p.Probes[i].Name)), at(d), 1e-5) // conductances are kept in single precision
	}
	closeTo(t, "heat lost at the back", last(values(t, r, "lost back")), flux*4e-4, 1e-7*flux*4e-4)
}
