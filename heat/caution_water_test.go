package heat

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"emberbank/duty"
)

// raised returns the caution of a kind, nil where there is none.
func raised(r *Result, kind string) *Caution {
	for i := range r.Cautions {
		if r.Cautions[i].Kind == kind {
			return &r.Cautions[i]
		}
	}
	return nil
}

// Saturation by IAPWS-IF97 as in its verification tables and in any steam table: 133.5 °C at 3 bar, 263.9 °C at 50 bar,
// 39.8 bar at 250 °C; none above 373.946 °C. At 400 °C water has 166 kg/m³ at 250 bar and 357 kg/m³ at 300 bar (steam tables:
// v = 6.01e-3 and 2.80e-3 m³/kg), so that the critical 322 kg/m³ stand under some 290 bar.
func TestWaterInAHotBlockIsToldThePressureThatItComesTo(t *testing.T) {
	for _, c := range []struct {
		block, pressure float64
		state           duty.WaterState
		boils           float64 // °C; 0: no caution
		says            string
	}{
		{250, 3e5, duty.Flowing, 133.5, "39.8 bar"},
		{250, 3e5, duty.Closed, 133.5, "39.8 bar"},
		{250, 3e5, duty.Open, 133.5, "39.8 bar"},
		{250, 3e5, duty.Drained, 0, ""},
		{250, 50e5, duty.Flowing, 0, ""},
		{400, 50e5, duty.Flowing, 263.9, "no saturation pressure: that of trapped water is then set by how full the tube is. A tube a third full of cold water comes to about 290 bar"},
	} {
		p := lumped(1)
		p.Initial = c.block + zero
		p.circuit(0.01, 20+zero, c.pressure, through(&p, 0, false))
		p.Duty.Switches.Water[0] = c.state
		p.every(1, 3)
		r := solve(t, p)
		x := raised(r, KindSaturation)
		if c.boils == 0 {
			if x != nil {
				t.Errorf("%+v: %q", c, x.Text)
			}
			continue
		}
		if x == nil {
			t.Errorf("%+v: no caution", c)
			continue
		}
		closeTo(t, "block", x.Value, c.block+zero, 0.5)
		closeTo(t, "boiling point", x.Limit, c.boils+zero, 0.1)
		if !strings.Contains(x.Text, c.says) || !strings.Contains(x.Text, "licensed practice") {
			t.Errorf("it says %q", x.Text)
		}
	}
}

// The wall's outer face stands by the heat flux over the contact conductance below the block; in a drained pass it has the
// block's temperature.
func TestTubeWallAboveItsServiceTemperatureRaisesACaution(t *testing.T) {
	for state, limit := range map[duty.WaterState]float64{duty.Drained: 450, duty.Flowing: 300} {
		p := lumped(1)
		wall := plain(8000, 500, 16)
		wall.Name, wall.ServiceLimit, wall.ServiceSource = "sheet", limit, "invented"
		p.Receiver.Media = append(p.Receiver.Media, wall)
		q := &p.Receiver.Passes[0]
		q.WallMedium, q.Contact.None = 1, false
		p.Initial = 600
		p.circuit(0.5, 20+zero, 50e5, through(&p, 0, false)) // so much that it stays cold
		p.Duty.Switches.Water[0] = state
		p.every(1, 3)
		r := solve(t, p)
		x := cautioned(t, r, KindTubeWall)
		want := 600 - values(t, r, "heat to passes")[0]/(400*math.Pi*0.012*0.1)
		closeTo(t, "wall", x.Value, want, 1)
		closeTo(t, "limit", x.Limit, limit, 0)
		if (state == duty.Flowing) != (want < 400) || x.Source != "invented" || !strings.Contains(x.Text, "sheet") {
			t.Errorf("%+v, wall at %g K", x, want)
		}
		p.Receiver.Media[1].ServiceLimit = 601
		if x := raised(solve(t, p), KindTubeWall); x != nil {
			t.Errorf("below its limit: %q", x.Text)
		}
		p.Receiver.Media[1].TubeLimit, p.Receiver.Media[1].TubeSource = 299, "of tubes" // the lower one for what is under pressure
		if x := cautioned(t, solve(t, p), KindTubeWall); x.Limit != 299 || x.Source != "of tubes" {
			t.Errorf("with a limit of tubes: %+v", x)
		}
	}
}

// What is let out into the open at 1.01325 bar has h′ = 419.1 and r = 2256.5 kJ/kg, v″ = 1.673 m³/kg there; at 3 bar 561.4
// and 2163.5 kJ/kg (IAPWS-IF97, as in any steam table).
func TestWhatIsLetOutIsToldWithItsSteam(t *testing.T) {
	p := draining(duty.Control{Holds: duty.HoldQuality, Value: 0.6, Min: 1e-5, Max: 0.05})
	p.every(10, 300)
	r := solve(t, p)
	hot := cautioned(t, r, KindHotOutlet)
	closeTo(t, "outlet", hot.Value, 133.5+zero, 0.1)
	wettest, most := 0.0, 0.0
	for i := range r.History.Time {
		wettest = math.Max(wettest, values(t, r, "circuit A quality")[i])
		most = math.Max(most, values(t, r, "circuit A steam")[i])
	}
	share := (561.4 + wettest*2163.5 - 419.1) / 2256.5
	if want := fmt.Sprintf("up to %.0f %% of it is steam", 100*share); !strings.Contains(hot.Text, want) {
		t.Errorf("it does not say %q: %q", want, hot.Text)
	}
	steam := cautioned(t, r, KindSteam)
	closeTo(t, "steam, kg/s", steam.Value, most, 1e-12)
	for _, want := range []string{"hammers", "licensed practice", fmt.Sprintf("%.2g kg/h", 3600*most), fmt.Sprintf("%.2g m³ an hour", 3600*most*1.673)} {
		if !strings.Contains(steam.Text, want) {
			t.Errorf("it does not say %q: %q", want, steam.Text)
		}
	}
}

// Below the pressure of the open water boils below 100 °C and still leaves as steam; at 90 °C and 3 bar it does not.
func TestSteamBelowHundredDegreesIsToldAndWarmWaterIsNot(t *testing.T) {
	p := draining(duty.Control{Holds: duty.HoldQuality, Value: 0.5, Min: 1e-5, Max: 0.05})
	p.Duty.Water[0].Pressure = duty.Fixed(0.5e5)
	p.every(10, 60)
	closeTo(t, "outlet", cautioned(t, solve(t, p), KindHotOutlet).Value, 81.3+zero, 0.2)
	p = draining(duty.Control{Value: 90 + zero, Min: 1e-5, Max: 0.05})
	p.every(10, 60)
	r := solve(t, p)
	for _, kind := range []string{KindHotOutlet, KindSteam} {
		if x := raised(r, kind); x != nil {
			t.Errorf("at 90 °C: %q", x.Text)
		}
	}
}

func TestWaterThatStandsOpenIsToldItsSteam(t *testing.T) {
	p := lumped(1)
	p.Initial = 200 + zero
	p.circuit(0, 20+zero, 1e5, through(&p, 0, false))
	p.Duty.Switches.Water[0] = duty.Open
	p.every(1, 20)
	r := solve(t, p)
	closes(t, r)
	// 31.4 W/K of at most 100 K boil off at 2258 kJ/kg at the most.
	x := cautioned(t, r, KindSteam)
	if most := lumpedUA * 100.4 / 2257.5e3; !(x.Value > 0.5*most && x.Value < 1.05*most) {
		t.Errorf("steam of %g kg/s, at most %g can be had: %q", x.Value, most, x.Text)
	}
	cautioned(t, r, KindHotOutlet)
}

// Steam of 1 bar (1.69 m³/kg at 100 °C, steam tables) at 400 kg/(m² s) would leave at some 690 m/s; sound in steam of 100 °C
// runs at 473 m/s (IAPWS-95 as tabled, from memory).
func TestChokedOutletIsTold(t *testing.T) {
	for _, c := range []struct {
		flow float64
		told bool
	}{{0.0002, false}, {0.012, true}} {
		p := narrow(450+zero, c.flow, 1)
		p.Duty.Water[0].Pressure = duty.Fixed(1e5)
		r := solve(t, p)
		told := false
		for _, x := range r.Cautions {
			told = told || x.Kind == KindChoke
		}
		if told != c.told {
			t.Errorf("at %g kg/s it is told: %v; quality at the outlet %g", c.flow, told, values(t, r, "circuit A quality")[0])
		}
	}
}
