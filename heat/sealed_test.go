package heat

import (
	"math"
	"strings"
	"testing"

	"emberbank/duty"
	"emberbank/history"
	"emberbank/receiver"
	"emberbank/water"
)

// A tube shut full of water at 20 °C has no room: at constant volume water's pressure rises by β/κ = 2.07e-4/4.59e-10 Pa/K
// or 4.5 bar/K at 20 °C and by some 10 bar/K at 60 °C (expansion and compressibility of water, common handbook values
// from memory), so that 160 bar are passed some 20 K on.
func TestClosedFullTubeStopsTheRunWithItsPressure(t *testing.T) {
	p := lumped(1)
	p.Initial = 90 + zero
	p.circuit(0, 20+zero, 5e5, through(&p, 0, false))
	p.Duty.Switches.Water[0] = duty.Closed
	p.every(1, 200)
	r := solve(t, p)
	closes(t, r)
	if !strings.Contains(r.Stopped, "closed circuit A") {
		t.Fatalf("the run stopped by %q at %g s", r.Stopped, r.Ended)
	}
	var full *Caution
	for i := range r.Cautions {
		if r.Cautions[i].Kind == KindFull {
			full = &r.Cautions[i]
		}
	}
	if full == nil {
		t.Fatal("no caution tells of it")
	}
	if full.Value < 160e5 || full.Value > 200e5 {
		t.Errorf("it names %.4g bar", full.Value/1e5)
	}
	// Warmed from 20 °C by 31.4 W/K towards 90 °C for the time of the run.
	T := 90 - 70*math.Exp(-lumpedUA*r.Ended/(7.84e-3*4150))
	if T < 38 || T > 48 {
		t.Errorf("it stopped when the water had about %.3g °C", T)
	}
	if !strings.Contains(full.Text, "relief") || !strings.Contains(full.Text, practice) {
		t.Errorf("the caution reads %q", full.Text)
	}
}

// Water that has stood in a shut tube from the start did not enter it, and its pressure at the end is none that it settles at.
func TestTubeShutFromTheStartIsToldAsSuch(t *testing.T) {
	p := lumped(1)
	p.Initial = 150 + zero
	p.circuit(0, 20+zero, 5e5, through(&p, 0, false))
	p.Duty.Switches.Water[0] = duty.Closed
	p.every(1, 200)
	told := false
	for _, c := range solve(t, p).Cautions {
		switch c.Kind {
		case KindClosed:
			told = strings.Contains(c.Text, "passes 160 bar, where the run ends")
		case KindWetting:
			t.Errorf("water that stood in the tubes from the start raises %q", c.Text)
		}
	}
	if !told {
		t.Error("no caution tells that the tube was shut and where the run ended")
	}
}

// Shut half boiled away, the pressure follows saturation of the water's temperature.
func TestClosedBoilingTubeFollowsSaturation(t *testing.T) {
	p := lumped(1)
	p.Initial = 190 + zero
	p.circuit(0, 20+zero, 1e5, through(&p, 0, false))
	p.Duty.Switches.Water[0] = duty.Open
	p.Duty.Events = []duty.Event{{At: 5, Name: "shut", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Closed)}}}}
	p.every(1, 400)
	m, err := newMarch(&p)
	if err != nil {
		t.Fatal(err)
	}
	defer m.s.team.stop()
	r, err := m.run(t.Context())
	if err != nil || r.Stopped != "" {
		t.Fatal(err, r.Stopped)
	}
	closes(t, r)
	w := m.streams[0]
	mean := last(values(t, r, "block mean"))
	if !(w.mass[0] < 0.9*w.shut.volume/4*950) {
		t.Errorf("nothing had boiled off when the valves were shut: %g kg of %g m³", w.mass[0], w.shut.volume)
	}
	// At rest with the block: saturation pressure at 180.4 °C is 10.11 bar (IF97: 10.027 bar at 180 °C, 11.23 bar at 185 °C).
	slope := (11.23 - 10.027) * 1e5 / 5
	want := 10.027e5 + slope*(mean-zero-180)
	if math.Abs(w.shut.p/want-1) > 0.002 { // the straight line between the two lies 0.1 % above the curve
		t.Errorf("the pressure is %.4g bar with the block at %.4g °C, want %.4g bar", w.shut.p/1e5, mean-zero, want/1e5)
	}
}

// Of 7.84 g in 7.85 cm³ most boils off, the rest is shut in: less than the critical 322 kg/m³ in a block at 460 °C pass the critical
// point (373.946 °C, 220.64 bar; IAPWS-IF97), beyond which no table of saturation tells the pressure.
func TestClosedHotTubeStopsWhereSaturationEnds(t *testing.T) {
	p := lumped(1)
	p.Initial = 460 + zero
	p.circuit(0, 20+zero, 20e5, through(&p, 0, false))
	p.Duty.Switches.Water[0] = duty.Open
	p.Duty.Events = []duty.Event{{At: 2.0, Name: "shut", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Closed)}}}}
	p.every(0.2, 200)
	r := solve(t, p)
	closes(t, r)
	if !strings.Contains(r.Stopped, "closed circuit A passes 220 bar") {
		t.Fatalf("the run ended by %q at %g s with %g °C", r.Stopped, r.Ended, last(values(t, r, "block mean"))-zero)
	}
	full, shut := raised(r, KindFull), raised(r, KindClosed)
	if full == nil || full.Value < 220e5 || full.Value > 300e5 || !strings.Contains(full.Text, practice) {
		t.Errorf("the caution is %+v", full)
	}
	if shut == nil || !strings.Contains(shut.Text, "with water and steam in it") || !strings.Contains(shut.Text, "In this run it comes to 2") {
		t.Errorf("the caution of the shutting is %+v", shut)
	}
}

// shutting returns a block of one temperature (°C) on some passes whose water of 20 °C at a pressure (Pa) flows (kg/s) or
// stands open, and is shut in after a while (s).
func shutting(passes int, block, pressure, flow, after float64, state duty.WaterState) Problem {
	p := lumped(passes)
	p.Initial = block + zero
	var runs []receiver.Run
	for i := range passes {
		runs = append(runs, through(&p, i, i%2 == 1))
	}
	p.circuit(flow, 20+zero, pressure, runs...)
	p.Duty.Switches.Water[0] = state
	p.Duty.Events = []duty.Event{{At: after, Name: "shut", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Closed)}}}}
	p.every(0.5, after+60)
	return p
}

// With steam beside liquid, water that is shut in comes to the saturation pressure of the block, and on its way there
// never passes that of the hottest wall by more than a step's error, however uneven its slices: cold liquid beside steam,
// a trickle that has just boiled, half boiled away. Saturation by IAPWS-IF97, which package water holds against its tables.
func TestClosedHalfFullTubeNeverPassesSaturationOfItsWalls(t *testing.T) {
	for name, p := range map[string]Problem{
		"a flow that begins to boil": shutting(2, 165, 2.5e5, 2.3e-3, 4.4, duty.Flowing),
		"a fast flow":                shutting(3, 228, 5.8e5, 7.2e-3, 11.8, duty.Flowing),
		"a faster one":               shutting(3, 287, 4.4e5, 7e-3, 19.6, duty.Flowing),
		"liquid in cold tubes first": shutting(2, 170, 2.2e5, 3.5e-3, 12.9, duty.Flowing),
		"a trickle of steam":         shutting(1, 169, 1.4e5, 1e-4, 18, duty.Flowing),
		"another":                    shutting(1, 210, 6.8e5, 1.9e-4, 16.2, duty.Flowing),
		"standing open":              shutting(2, 254, 2.6e5, 1e-3, 2, duty.Open),
		"standing open for longer":   shutting(1, 209, 8.1e5, 1e-3, 15.1, duty.Open),
	} {
		m, err := newMarch(&p)
		if err != nil {
			t.Fatal(err)
		}
		r, err := m.run(t.Context())
		m.s.team.stop()
		if err != nil || r.Stopped != "" {
			t.Fatal(name, err, r.Stopped)
		}
		closes(t, r)
		shut := p.Duty.Events[0].At
		mean, pressure := values(t, r, "block mean"), values(t, r, "circuit A pressure")
		ratio := 0.0
		for i, at := range r.History.Time {
			ps, err := water.SaturationPressure(mean[i])
			if err != nil {
				t.Fatal(err)
			}
			if ratio = pressure[i] / ps; at > shut && ratio > 1.015 {
				t.Errorf("%s: %.4g bar at %g s, saturation of the block is at %.4g bar", name, pressure[i]/1e5, at, ps/1e5)
			}
		}
		w := m.streams[0]
		if w.shut.full || math.Abs(ratio-1) > 2e-4 {
			t.Errorf("%s: at rest the pressure is %.5g times that of saturation", name, ratio)
		}
		// At one temperature the whole is in equilibrium: its energy is that of all its mass in all its volume.
		U := -w.shut.p * w.shut.volume
		for i := range w.h {
			U += w.mass[i] * w.h[i]
		}
		state, err := water.AtVT(w.shut.volume/w.shut.mass, last(mean))
		if err != nil {
			t.Fatal(err)
		}
		if u := U / w.shut.mass; math.Abs(u-state.InternalEnergy()) > 200 { // 0.05 K of liquid
			t.Errorf("%s: it holds %.6g J/kg, in equilibrium %.6g J/kg", name, u, state.InternalEnergy())
		}
	}
}

// Full of liquid at 20 °C and warmed to 35 °C or so, the pressure is the one at which water of that temperature has the
// density of the start (IAPWS-IF97, region 1), and the block gives what the water's internal energy rises.
func TestClosedFullTubeFollowsItsDensity(t *testing.T) {
	p := lumped(2)
	p.Initial = 32 + zero
	p.circuit(0, 20+zero, 5e5, through(&p, 0, false), through(&p, 1, true))
	p.Duty.Switches.Water[0] = duty.Closed
	p.every(1, 300)
	m, err := newMarch(&p)
	if err != nil {
		t.Fatal(err)
	}
	defer m.s.team.stop()
	r, err := m.run(t.Context())
	if err != nil || r.Stopped != "" {
		t.Fatal(err, r.Stopped)
	}
	closes(t, r)
	at := func(p, T float64) water.State {
		s, err := water.AtPT(p, T)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	cold, warm := at(5e5, 20+zero), at(last(values(t, r, "circuit A pressure")), last(values(t, r, "block mean")))
	if !(warm.P > 40e5 && warm.P < 100e5) {
		t.Errorf("%.4g bar", warm.P/1e5)
	}
	if math.Abs(warm.Density/cold.Density-1) > 1e-6 { // 2e-5 of it for each bar/20
		t.Errorf("at %.4g bar and %.4g °C water has %.8g kg/m³, shut in were %.8g kg/m³", warm.P/1e5, warm.T-zero, warm.Density, cold.Density)
	}
	want := m.streams[0].shut.mass * (warm.InternalEnergy() - cold.InternalEnergy())
	if math.Abs(r.Ledger.ToPasses/want-1) > 1e-5 {
		t.Errorf("the block gave %.7g J, the water took %.7g J", r.Ledger.ToPasses, want)
	}
}

// A rule that opens the outlet at a pressure keeps what is shut in near it, as a relief valve does.
func TestRuleOnPressureRelievesAClosedCircuit(t *testing.T) {
	p := shutting(1, 190, 1e5, 1e-3, 5, duty.Open)
	p.Duty.Rules = []duty.Rule{{
		Name: "relief", Watch: duty.Watch{What: duty.WatchPressure}, Above: true, Threshold: 8e5,
		Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Open)}},
	}}
	r := solve(t, p)
	closes(t, r)
	if len(r.Events) != 2 || r.Events[1].What != "relief" {
		t.Fatalf("marked are %+v", r.Events)
	}
	for i, p := range values(t, r, "circuit A pressure") {
		at := r.History.Time[i]
		switch relieved := r.Events[1].At; {
		case p > 8.05e5:
			t.Errorf("%.4g bar at %g s", p/1e5, at)
		case (at < 5 || at > relieved) && p != 1e5:
			t.Errorf("standing open at 1 bar, its pressure at %g s is %.4g bar", at, p/1e5)
		}
	}
}

func TestOnlyCircuitsThatCanBeShutHaveAPressure(t *testing.T) {
	p := lumped(2)
	p.circuit(0.01, 20+zero, 5e5, through(&p, 0, false))
	p.circuit(0.01, 20+zero, 5e5, through(&p, 1, false))
	p.Duty.Switches.Water[1] = duty.Drained
	p.Duty.Rules = []duty.Rule{{
		Name: "cold", Watch: duty.Watch{What: duty.WatchBlockMean}, Threshold: 0,
		Else: []duty.Action{{What: duty.SetWater, Index: 1, Value: float64(duty.Closed)}},
	}}
	p.every(1, 3)
	r := solve(t, p)
	for i := range r.History.Columns {
		if r.History.Columns[i].Name == "circuit A pressure" {
			t.Error("circuit A cannot be shut")
		}
	}
	if c := r.History.Column("circuit B pressure"); c == nil || c.Quantity != history.Pressure || !math.IsNaN(c.Values[0]) {
		t.Errorf("of the drained circuit B: %+v", c)
	}
}

// Water that has cooled while it stood open has shrunk; shut in, steam fills the rest, at 2.339 kPa over water of 20 °C
// (saturation, IAPWS-IF97 and any steam table).
func TestClosedTubeWithRoomComesToItsLowSaturation(t *testing.T) {
	p := shutting(1, 20, 5e5, 0, 60, duty.Open)
	p.Duty.Water[0].Inlet = duty.Fixed(95 + zero)
	r := solve(t, p)
	closes(t, r)
	mean := last(values(t, r, "block mean")) - zero
	want := 2339 * (1 + 0.0620*(mean-20)) // 6.2 % for each kelvin there (steam table: 2.198 kPa at 19 °C, 2.488 kPa at 21 °C)
	if p := last(values(t, r, "circuit A pressure")); math.Abs(p/want-1) > 0.005 {
		t.Errorf("%.5g Pa over water of %.4g °C, want %.5g Pa", p, mean, want)
	}
}
