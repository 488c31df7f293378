package heat

import (
	"math"
	"testing"

	"emberbank/duty"
	"emberbank/water"
)

// A tube that stands open in a hot block is a kettle: of 998 kg/m³ at 20 °C 959 are left at 99.6 °C, and boiling those
// off at 1 bar takes 2257.5 kJ/kg and a steam's volume each. Saturated states at 1 bar, IAPWS-IF97 as in steam tables:
// h′ 417.4, h″ 2674.9 kJ/kg, ρ′ 958.6, ρ″ 0.590 kg/m³.
func TestOpenWaterTakesItsLatentHeatAndLeavesTheTubeDry(t *testing.T) {
	p := lumped(1)
	p.Initial = 200 + zero
	p.circuit(0, 20+zero, 1e5, through(&p, 0, false))
	p.Duty.Switches.Water[0] = duty.Open
	p.every(1, 60)
	r := solve(t, p)
	closes(t, r)
	volume := math.Pi / 4 * 0.010 * 0.010 * 0.1
	boil := 2257.5e3 / (1 - 0.590/958.6)
	heat := volume * (0.5*(998.2+958.6)*(417.4e3-84.0e3) + (958.6-0.590)*boil)
	if got := r.Ledger.ToPasses; math.Abs(got/heat-1) > 0.01 {
		t.Errorf("it took %.5g J, want %.5g J within 1 %%", got, heat)
	}
	drop := heat / capacity(1)
	closeTo(t, "block mean", last(values(t, r, "block mean")), 200+zero-drop, 0.01*drop)
	// From 20 °C by 31.4 W/K to saturation, then evenly by 31.4 W/K of some 96 K until dry.
	warm := 7.84e-3 * 4190 / lumpedUA * math.Log((200.-20)/(200-99.6))
	mean := 200 - 99.6 - 0.5*drop
	dry := warm + volume*(958.6-0.590)*boil/(lumpedUA*mean)
	// As steam leaves what stands there at saturation, but for the steam that fills the dry tube; as water what swells out before.
	closeTo(t, "steam that left, kg", r.Left[0].Steam, volume*(958.6-0.590), 0.005*volume*958.6)
	closeTo(t, "water that left, kg", r.Left[0].Water-r.Left[0].Steam, volume*(998.2-958.6), 0.005*volume*958.6)
	flows := values(t, r, "heat to passes")
	if before, after := flows[int(dry)-1], flows[int(dry)+2]; before < 0.9*lumpedUA*mean || after > 0.02*before {
		t.Errorf("a second before it is dry at %.3g s %.4g W flow, two seconds after %.4g W", dry, before, after)
	}
}

// What a standing slice takes in over a step is what brings it to where it is.
func TestUptakeAndSoakAgree(t *testing.T) {
	table, err := water.NewIsobar(3e5)
	if err != nil {
		t.Fatal(err)
	}
	b := &isobar{Isobar: table, latent: table.HVapour - table.HLiquid, beyond: 1 / table.At(table.High).HeatCapacity, vapourCp: table.Vapour.HeatCapacity}
	const volume = 1e-5
	for _, mean := range []float64{300, 380, 500, 700} {
		m, h := volume*990, table.Enthalpy(290)
		before := math.Inf(-1)
		for tau := 0.01; tau < 4000; tau *= 1.2 {
			Q := b.uptake(volume, m, h, 2, mean, tau)
			if !(Q >= before) {
				t.Fatalf("over %g s at %g K it takes %g J, over less %g J", tau, mean, Q, before)
			}
			before = Q
			mass, end := b.soak(volume, m, h, Q)
			if T := b.temperature(end); T > mean+0.5 || !(mass > 0) || mass > m {
				t.Fatalf("after %g s at %g K around stand %g kg at %g K", tau, mean, mass, T)
			}
		}
	}
}

// indexOf returns where x stands in list, or 0.
func indexOf(list []float64, x float64) int {
	for i, v := range list {
		if v == x {
			return i
		}
	}
	return 0
}

// A tube that stood open until it was dry is as hot and as dry as a drained one when water comes again.
func TestFirstWaterIntoTubesThatBoiledDryIsTold(t *testing.T) {
	for _, c := range []struct {
		open float64 // s
		told bool
	}{{120, true}, {1, false}} {
		p := lumped(1)
		p.Initial = 300 + zero
		p.circuit(0.01, 20+zero, 3e5, through(&p, 0, false))
		w := &p.Receiver.Passes[0]
		w.WallMedium = 0
		p.Duty.Switches.Water[0] = duty.Open
		p.Duty.Events = []duty.Event{{At: c.open, Name: "on", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}}}
		p.every(1, c.open+10)
		r := solve(t, p)
		closes(t, r)
		if told := raised(r, KindFirstWater) != nil; told != c.told {
			t.Errorf("after %g s open, first water is told: %v", c.open, told)
		}
		// The steam in the tube is not 10 g/s of it, as the water that comes in.
		if steam := values(t, r, "circuit A steam")[indexOf(r.History.Time, c.open)]; steam > 1e-3 {
			t.Errorf("as the flow begins after %g s, %g kg/s of steam are said to leave", c.open, steam)
		}
	}
}
