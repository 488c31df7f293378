package heat

import (
	"math"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/material"
	"emberbank/water"
)

// narrow is a good conductor at T (K) with a tube of 4 mm bore, 0.6 m long, in which little water at 1.2 bar boils.
func narrow(T, flow float64, tubes int) Problem {
	p := cuboid(block.Point{0.1, 0.6, 0.1}, [3]int{4, 24, 4}, plain(4000, 1000, 300))
	p.Initial = T
	for i := range tubes {
		s := p.tube(string(rune('1'+i)), block.Width, block.Point{0.05, 0, 0.03 + 0.04*float64(i)})
		s.Outer, s.Inner, s.Roughness = 0.006, 0.004, 1.5e-6
		s.Contact.Value = material.Constant(2000)
		p.circuit(flow, 20+zero, 1.2e5, through(&p, i, false))
	}
	p.every(1, 4)
	p.ProfileTimes = []float64{0}
	return p
}

func TestSaturationFallsWithThePressureAlongATube(t *testing.T) {
	r := solve(t, narrow(300+zero, 0.004, 1))
	places := r.Profiles[0].Places
	boiling := 0
	for i, at := range places {
		if i > 0 && at.Pressure > places[i-1].Pressure {
			t.Errorf("the pressure rises along the flow, from %g to %g Pa", places[i-1].Pressure, at.Pressure)
		}
		if at.Quality > 0.01 && at.Quality < 0.99 {
			boiling++
			T, err := water.SaturationTemperature(at.Pressure)
			if err != nil {
				t.Fatal(err)
			}
			closeTo(t, "boiling water, K", at.Temperature, T, 0.2) // tables stand at steps of half a per cent
		}
	}
	if boiling < 5 {
		t.Fatalf("only %d places boil", boiling)
	}
	drop := values(t, r, "circuit A pressure drop")[0]
	if fall := places[0].Pressure - 1.2e5; drop < 2e4 || math.Abs(fall/drop-1) > 0.03 { // to the first slice's middle
		t.Errorf("the drop is %g Pa, from the first place %g Pa", drop, fall)
	}
}

// On the falling branch less flow meets more resistance: shown by the runs themselves.
func TestFallingBranchIsToldWhereLessFlowMeetsMoreResistance(t *testing.T) {
	drop := func(flow float64) (float64, bool) {
		r := solve(t, narrow(300+zero, flow, 1))
		told := false
		for _, c := range r.Cautions {
			if c.Kind == KindBranch {
				told = true
				if !strings.Contains(c.Text, "falling branch") || !strings.Contains(c.Text, practice) {
					t.Errorf("the caution reads %q", c.Text)
				}
			}
		}
		return values(t, r, "circuit A pressure drop")[0], told
	}
	falling, rising := 0, 0
	before, toldBefore := drop(0.004)
	for flow := 0.004 * 1.15; flow < 0.05; flow *= 1.15 {
		now, told := drop(flow)
		if now < 0.98*before {
			falling++
			if !told && !toldBefore {
				t.Errorf("at %.4g kg/s the drop fell from %.5g to %.5g Pa, and no caution tells", flow, before, now)
			}
		} else if now > 1.1*before {
			rising++
		}
		before, toldBefore = now, told
	}
	if falling < 2 || rising < 2 {
		t.Fatalf("of the flows tried the drop fell over %d and rose over %d", falling, rising)
	}
}

// Two tubes on one pump, one in good contact and one nearly insulated: the one that boils gets less.
func TestBoilingCircuitsShareUnequallyAndItIsTold(t *testing.T) {
	p := narrow(300+zero, 0, 2)
	p.Receiver.Passes[1].Contact.Value = material.Constant(20)
	p.Duty.Water[0].Flow, p.Duty.Water[1].Flow = duty.Signal{}, duty.Signal{}
	p.Duty.Pumps = []duty.Pump{{Flow: duty.Fixed(0.01), Circuits: []int{0, 1}}}
	p.every(2, 20)
	r := solve(t, p)
	a, b := last(values(t, r, "circuit A flow")), last(values(t, r, "circuit B flow"))
	if !(a < 0.7*b) {
		t.Errorf("the boiling circuit gets %g kg/s, the other %g kg/s", a, b)
	}
	closeTo(t, "both, kg/s", a+b, 0.01, 1e-9)
	c := cautioned(t, r, KindShares)
	if !strings.Contains(c.Text, practice) || c.Value < unevenShare || c.Place != "circuits A, B" || !strings.Contains(c.Text, "worst circuit A gets") {
		t.Errorf("the caution of %s reads %q", c.Place, c.Text)
	}
	told := 0
	for _, c := range r.Cautions {
		if c.Kind == KindShares {
			told++
		}
	}
	if told != 1 {
		t.Errorf("told %d times", told)
	}
}

// The first water into a hot steel tube: the wall's heat above saturation alone makes a known mass of steam.
func TestFirstWaterIsToldWithItsSteam(t *testing.T) {
	p := narrow(350+zero, 0.01, 1)
	steel := plain(7900, 500, 16)
	p.Receiver.Media = append(p.Receiver.Media, steel)
	p.Receiver.Passes[0].WallMedium = len(p.Receiver.Media) - 1
	p.Duty.Switches.Water[0] = duty.Drained
	p.Duty.Events = []duty.Event{{At: 1, Name: "fill", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}}}
	r := solve(t, p)
	c := cautioned(t, r, KindFirstWater)
	closeTo(t, "wall, K", c.Value, 350+zero, 1)
	for _, word := range []string{"steam", "hammer", "thermal shock", practice, "kg of steam"} {
		if !strings.Contains(c.Text, word) {
			t.Errorf("the caution does not say %q: %s", word, c.Text)
		}
	}
	t.Log(c.Text)
}
