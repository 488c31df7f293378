package heat

import (
	"math"
	"testing"

	"emberbank/duty"
)

// Water let into a hot block is a filling until a content of the tubes has left: two passes of 0.3 m and 10 mm hold 47 g at
// 20 °C (998.2 kg/m³), which 5 g/s of liquid under 60 bar move out in 9.4 s.
func TestTubesFillUntilTheirContentHasLeft(t *testing.T) {
	p := served(150, 60e5, 0.005)
	p.Duty.Switches.Water[0] = duty.Drained
	p.Duty.Events = []duty.Event{{At: 5, Name: "open", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}}}
	p.every(1, 40)
	r := solve(t, p)
	if len(r.Fillings) != 1 || r.Fillings[0].Circuit != "A" || r.Fillings[0].From != 5 {
		t.Fatalf("fillings %+v", r.Fillings)
	}
	content := 998.2 * 2 * 0.3 * math.Pi / 4 * 0.010 * 0.010
	// Liquid warmed to some 60 °C swells out by 2 % of the content meanwhile.
	closeTo(t, "transit, s", r.Fillings[0].To-5, content/0.005, 0.3)
	for _, c := range r.Chains {
		if fills := c.Time >= 5 && c.Time < r.Fillings[0].To; c.Filling != fills {
			t.Errorf("after %g s the chain of pass %s says that tubes fill: %v", c.Time, c.Pass, c.Filling)
		}
	}

	p.Duty.Events[0].At = 40 // with the run's end
	if r = solve(t, p); len(r.Fillings) != 1 || !r.Fillings[0].At(40) {
		t.Errorf("opened at the end: fillings %+v", r.Fillings)
	}
	p.Duty.Events = nil
	p.Duty.Switches.Water[0] = duty.Flowing // at the start it has been flowing for long
	if r = solve(t, p); len(r.Fillings) != 0 {
		t.Errorf("a flow from the start has fillings %+v", r.Fillings)
	}
}

// Water that boils drives the content of the tubes out before a content has come in, and what would help is tried in the
// row of the most heat that a lasting flow takes.
func TestMostHeatIsTriedOnceTheTubesAreFull(t *testing.T) {
	p := served(300, 3e5, 0.001)
	p.Duty.Switches.Water[0] = duty.Drained
	p.Duty.Events = []duty.Event{{At: 5, Name: "open", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}}}
	p.every(1, 300)
	r := solve(t, p)
	if len(r.Fillings) != 1 || !(r.Fillings[0].To > 6 && r.Fillings[0].To < 5+47) {
		t.Fatalf("fillings %+v", r.Fillings)
	}
	var first, most *Chain
	for i := range r.Chains {
		c := &r.Chains[i]
		switch {
		case c.State != "flowing":
		case c.Filling && (first == nil || c.Heat > first.Heat):
			first = c
		case !c.Filling && (most == nil || c.Heat > most.Heat):
			most = c
		}
	}
	if !(first.Heat > 1.2*most.Heat) {
		t.Errorf("filling tubes take %.4g W, full ones %.4g W: nothing is shown", first.Heat, most.Heat)
	}
	if math.IsNaN(most.Links[inContact].Gain) {
		t.Errorf("the row after %g s was not tried", most.Time)
	}
}

// Steam that left a flow that lasts is its flow times its quality times the time; without boiling there is none, and all that
// comes in leaves.
func TestSteamThatLeftIsFlowTimesQuality(t *testing.T) {
	for _, c := range regimes {
		p := served(c.T, c.pressure, c.flow)
		p.every(0.05, 2)
		r := solve(t, p)
		want, all := 0.0, 0.0
		x, time := values(t, r, "circuit A quality"), r.History.Time
		for i := 1; i < len(x); i++ {
			dt := time[i] - time[i-1]
			want += c.flow * dt * 0.5 * (clamp(x[i], 0, 1) + clamp(x[i-1], 0, 1))
			all += c.flow * dt
		}
		// Steam as hot as the block holds little, and what of that leaves as it settles is 4 % of these two seconds' flow.
		closeTo(t, c.name+": steam, kg", r.Left[0].Steam, want, 0.05*all)
		closeTo(t, c.name+": all, kg", r.Left[0].Water, all, 0.05*all)
		if c.quality[1] == 0 && r.Left[0].Steam != 0 {
			t.Errorf("%s: %g kg of steam", c.name, r.Left[0].Steam)
		}
	}
}

// The steam of a drain holds the enthalpy that was carried off: what leaves wet between saturated liquid and vapour is known
// by its energy. Saturated states at 3 bar, IAPWS-IF97 as in steam tables: h′ 561.5, h″ 2724.9 kJ/kg; h(3 bar, 20 °C) 84.2.
func TestSteamThatLeftCarriesItsHeat(t *testing.T) {
	p := served(250, 3e5, 0.004)
	p.every(1, 20)
	r := solve(t, p)
	for _, x := range values(t, r, "circuit A quality") {
		if !(x > 0 && x < 1) {
			t.Fatalf("the outlet's quality is %g: not wet all the time", x)
		}
	}
	l := r.Left[0]
	energy := r.Ledger.Carried + l.Water*84.2e3 // J, of what left over the triple point: heat counts from 20 °C, at which it comes in
	closeTo(t, "steam, kg", l.Steam, (energy-l.Water*561.5e3)/(2724.9e3-561.5e3), 1e-3*l.Steam)
}
