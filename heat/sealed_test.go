package heat

import (
	"math"
	"strings"
	"testing"

	"emberbank/duty"
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
	if math.Abs(w.shut.p/want-1) > 0.02 {
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
