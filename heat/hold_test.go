package heat

import (
	"cmp"
	"fmt"
	"math"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/water"
)

// draining is a block of three passes in series with films by correlation, at 350 °C and insulated, that one control
// drains at 3 bar.
func draining(c duty.Control) Problem {
	p := cuboid(block.Point{0.15, 0.3, 0.2}, [3]int{8, 12, 10}, plain(2700, 900, 150))
	p.Initial = 350 + zero
	for i, z := range []float64{0.05, 0.1, 0.15} {
		p.tube(fmt.Sprint(i+1), block.Width, block.Point{0.075, 0, z})
	}
	p.circuit(0, 15+zero, 3e5, through(&p, 0, false), through(&p, 1, true), through(&p, 2, false))
	p.Duty.Water[0].Flow = duty.Signal{}
	p.Duty.Throttle = []duty.Control{c}
	p.Threads = 1
	p.every(30, 1200)
	return p
}

// at3bar holds what IF97 says of water at 3 bar, K and J/kg.
type at3bar struct{ saturation, cold, liquid, vapour float64 }

func water3bar(t *testing.T) at3bar {
	t.Helper()
	Ts, err1 := water.SaturationTemperature(3e5)
	liquid, err2 := water.SaturatedLiquid(3e5)
	vapour, err3 := water.SaturatedVapour(3e5)
	cold, err4 := water.AtPT(3e5, 15+zero)
	for _, err := range []error{err1, err2, err3, err4} {
		if err != nil {
			t.Fatal(err)
		}
	}
	return at3bar{Ts, cold.H, liquid.H, vapour.H}
}

func (w at3bar) steam(t *testing.T, T float64) float64 {
	t.Helper()
	s, err := water.AtPT(3e5, T)
	if err != nil {
		t.Fatal(err)
	}
	return s.H
}

// The steady outlet is held to rounding. What a row shows trails it: the water of the moment entered a transit ago, and
// as the block cools, water that boils later fills more of the tubes, so that up to a percent less leaves than enters.
// The passes' heat is the flow times the rise of enthalpy by IF97, within the same.
func TestControlHoldsWhatLeavesWhileTheBlockCools(t *testing.T) {
	w := water3bar(t)
	const steam = 1.91 / 3600 // kg/s
	for _, c := range []struct {
		name    string
		control duty.Control
		column  string
		zero    float64
		within  float64
		leaves  func(flow float64) float64 // J/kg; NaN: not given by what is held
	}{
		{
			"quality",
			duty.Control{Holds: duty.HoldQuality, Value: 0.6},
			"quality", 0, 0.02,
			func(float64) float64 { return w.liquid + 0.6*(w.vapour-w.liquid) },
		},
		{
			"superheat",
			duty.Control{Holds: duty.HoldSuperheat, Value: 20},
			"outlet", w.saturation, 4,
			func(float64) float64 { return w.steam(t, w.saturation+20) },
		},
		{
			"steam",
			duty.Control{Holds: duty.HoldSteam, Value: steam},
			"steam", 0, 0.02 * steam,
			func(flow float64) float64 {
				if flow < 1.001*steam {
					return math.NaN()
				}
				return w.liquid + steam/flow*(w.vapour-w.liquid)
			},
		},
		{
			"temperature of steam",
			duty.Control{Value: 200 + zero},
			"outlet", 0, 4,
			func(float64) float64 { return w.steam(t, 200+zero) },
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.control.Min, c.control.Max = 1e-5, 0.05
			r := solve(t, draining(c.control))
			closes(t, r)
			for _, s := range r.Warnings {
				if strings.Contains(s, "held") {
					t.Error(s)
				}
			}
			mean, flow, q := values(t, r, "block mean"), values(t, r, "circuit A flow"), values(t, r, "heat to passes")
			if fell := mean[0] - last(mean); !(fell > 50) {
				t.Errorf("the block cools by %g K only", fell)
			}
			balances := 0
			for i, x := range r.History.Time {
				if x < 60 { // the water of the start was that of the start's films
					continue
				}
				closeTo(t, fmt.Sprintf("held at %g s", x), values(t, r, "circuit A "+c.column)[i]-c.zero, c.control.Value, c.within)
				if h := c.leaves(flow[i]); h == h {
					balances++
					closeTo(t, fmt.Sprintf("heat at %g s, W", x), q[i], flow[i]*(h-w.cold), 0.02*q[i])
				}
			}
			if balances == 0 && c.name != "steam" { // which may all leave dry
				t.Error("no row's heat was compared")
			}
		})
	}
}

// At a steady state that 1.2 kW keep up, the flow is those watts over the rise of enthalpy by IF97.
func TestHeldSteadyStatesTakeTheWattsOverTheRiseOfEnthalpy(t *testing.T) {
	w := water3bar(t)
	const watts = 1200.0
	hold := func(c duty.Control) *Result {
		c.Min, c.Max = 1e-5, 0.05
		p := draining(c)
		p.Receiver.Parts[0].Generation = watts / (0.15 * 0.3 * 0.2)
		p.Steady = true
		return solve(t, p)
	}
	power := func(r *Result) float64 { return last(values(t, r, "heat to passes")) }
	for _, c := range []struct {
		control duty.Control
		leaves  float64 // J/kg
	}{
		{duty.Control{Value: 90 + zero}, w.steam(t, 90+zero)},
		{duty.Control{Holds: duty.HoldQuality, Value: 0.2}, w.liquid + 0.2*(w.vapour-w.liquid)},
		{duty.Control{Holds: duty.HoldQuality, Value: 0.8}, w.liquid + 0.8*(w.vapour-w.liquid)},
	} {
		r := hold(c.control)
		want := power(r) / (c.leaves - w.cold)
		closeTo(t, fmt.Sprintf("flow that holds %+v, kg/s", c.control), last(values(t, r, "circuit A flow")), want, 2e-3*want)
	}
}

// At each limit the flow is the limit's, and the warning says why, how long and how far off.
func TestControlSaysWhyHowLongAndHowFarItCouldNotHold(t *testing.T) {
	const hour = 3600.0
	for _, c := range []struct {
		control duty.Control
		flow    float64 // kg/s; 0: between the limits
		say     string
		far     string // how far off; "": by an amount
	}{
		{duty.Control{Holds: duty.HoldQuality, Value: 0.6, Min: 0.1 / hour, Max: 1 / hour}, 1 / hour, "at its largest flow the outlet is drier than asked", ""},
		{duty.Control{Holds: duty.HoldQuality, Value: 0.6, Min: 20 / hour, Max: 40 / hour}, 20 / hour, "at its smallest flow the outlet is wetter than asked", ""},
		{duty.Control{Holds: duty.HoldSuperheat, Value: 20, Min: 0.1 / hour, Max: 1 / hour}, 1 / hour, "at its largest flow the outlet is hotter than asked", ""},
		{duty.Control{Holds: duty.HoldSuperheat, Value: 20, Min: 6 / hour, Max: 8 / hour}, 6 / hour, "at its smallest flow the outlet is cooler than asked", ", and wet, with a quality down to 0."},
		{duty.Control{Holds: duty.HoldSuperheat, Value: 20, Min: 200 / hour, Max: 300 / hour}, 200 / hour, "at its smallest flow the outlet is cooler than asked", ", and liquid, below its boiling point (after 60 s)"},
		{duty.Control{Holds: duty.HoldSteam, Value: 2 / hour, Min: 0.1 / hour, Max: 1 / hour}, 1 / hour, "at its largest flow there is less steam than asked", ""},
		{duty.Control{Holds: duty.HoldSteam, Value: 9 / hour, Min: 0.1 / hour, Max: 90 / hour}, 0, "no flow within its limits makes as much steam as asked", ""},
		{duty.Control{Holds: duty.HoldSteam, Value: 1 / hour, Min: 1.5 / hour, Max: 2 / hour}, 1.5 / hour, "at every flow within its limits there is more steam than asked", ""},
	} {
		p := draining(c.control)
		p.every(10, 60)
		r := solve(t, p)
		closes(t, r)
		flow := last(values(t, r, "circuit A flow"))
		switch {
		case c.flow > 0:
			closeTo(t, c.say+": flow", flow, c.flow, 1e-12)
		case !(flow > 1.01*c.control.Min && flow < 0.99*c.control.Max):
			t.Errorf("%s: flow %g kg/s", c.say, flow)
		}
		said := strings.Join(r.Warnings, "\n")
		if !strings.Contains(said, "could not be held for 60 s: "+c.say) || !strings.Contains(said, cmp.Or(c.far, ", by up to ")) {
			t.Errorf("no warning says that %s: %q", c.say, r.Warnings)
		}
	}
}

func TestWarningNamesTheLargestDeparture(t *testing.T) {
	for name, end := range map[string]func(p *Problem){
		"the run's end": func(*Problem) {},
		"draining": func(p *Problem) {
			p.Duty.Events = []duty.Event{{At: 450, Name: "drain", Do: []duty.Action{{What: duty.SetWater}}}}
		},
	} {
		p := lumped(1)
		p.circuit(0, 20+zero, 5e5, through(&p, 0, false))
		p.Duty.Water[0].Flow = duty.Signal{}
		p.Duty.Throttle = []duty.Control{{Circuit: 0, Value: 30 + zero, Min: 0.002, Max: 0.01}}
		p.every(5, 500)
		end(&p)
		r := solve(t, p)
		// Held while the block is warm; then the least flow leaves colder and colder, most so at the end.
		held, until, coldest := 0.0, 0.0, 0.0
		for i, T := range values(t, r, "circuit A outlet") {
			switch at := r.History.Time[i]; {
			case T > 29.9+zero:
				held = at
			case T == T:
				until, coldest = at, T
			}
		}
		var seconds, off, at float64
		for _, s := range r.Warnings {
			if strings.Contains(s, "at its smallest") {
				if _, err := fmt.Sscanf(s, "30 °C at the outlet of circuit A could not be held for %g s: at its smallest flow the outlet is cooler than asked, by up to %g K (after %g s)", &seconds, &off, &at); err != nil {
					t.Fatalf("%q: %v", s, err)
				}
			}
		}
		closeTo(t, name+": seconds not held", seconds, until-held, 25)
		closeTo(t, name+": largest departure, K", off, 30+zero-coldest, 0.1)
		closeTo(t, name+": when, s", at, until, 5) // rows come every 5 s
	}
}

// Of the flows that make the steam asked for the control takes the least: none below makes as much.
func TestSteamIsHeldByTheLeastFlowThatMakesIt(t *testing.T) {
	for _, T := range []float64{250, 300, 350} {
		for _, ask := range []float64{0.5, 1, 2, 3} {
			c := duty.Control{Holds: duty.HoldSteam, Value: ask / 3600, Min: 1e-5, Max: 0.05}
			p := draining(c)
			p.Initial = T + zero
			m := startMarch(t, p)
			w := m.streams[0]
			flow := w.steady(m.tubes, c, 0, w.steer.flow, false)
			makes := func(flow float64) float64 {
				return flow * clamp(w.last().quality(w.leaving(m.tubes, 0, flow)), 0, 1)
			}
			most, top := 0.0, 0.0
			for f := 1e-5; f < 0.05; f *= 1.01 {
				steam := makes(f)
				if f < 0.999*flow && steam > c.Value*1.001 {
					t.Errorf("at %g °C, %g kg/h: %g kg/s is held, but %g kg/s makes %g kg/s", T, ask, flow, f, steam)
					break
				}
				if steam > most {
					most, top = steam, f
				}
			}
			switch {
			case w.held == "":
				closeTo(t, fmt.Sprintf("steam at %g °C, kg/s", T), makes(flow), c.Value, 2e-4*c.Value)
			case most > 1.005*c.Value:
				t.Errorf("at %g °C %g kg/h are said not to be had, but %g kg/s makes %g kg/s", T, ask, top, most)
			default:
				closeTo(t, fmt.Sprintf("the most steam at %g °C, kg/s", T), makes(flow), most, 0.005*most)
			}
			m.s.team.stop()
		}
	}
}

// A flow that starts beyond the most finds what is asked where there is less steam the more water comes.
func TestSteamIsHeldBeyondTheMostWhereTheLeastFlowMakesTooMuch(t *testing.T) {
	c := duty.Control{Holds: duty.HoldSteam, Value: 1.0 / 3600, Min: 2.0 / 3600, Max: 0.05}
	p := draining(c)
	p.every(10, 100)
	r := solve(t, p)
	closes(t, r)
	for i, x := range r.History.Time {
		if x >= 50 {
			closeTo(t, "steam, kg/s", values(t, r, "circuit A steam")[i], c.Value, 0.05*c.Value)
			if flow := values(t, r, "circuit A flow")[i]; !(flow > 2*c.Min) {
				t.Errorf("flow %g kg/s", flow)
			}
		}
	}
}

// Rows may fall just behind the start of a step: their heat is that of the rows beside them.
func TestNoRowOfBoilingWaterJumps(t *testing.T) {
	for _, c := range []duty.Control{
		{Holds: duty.HoldQuality, Value: 0.6, Min: 1e-5, Max: 0.05},
		{Holds: duty.HoldSteam, Value: 2.0 / 3600, Min: 1e-5, Max: 0.05},
	} {
		p := draining(c)
		p.every(0.05, 100)
		r := solve(t, p)
		q := values(t, r, "heat to passes")
		for i, x := range r.History.Time {
			if x < 30 || i+10 >= len(q) {
				continue
			}
			if beside := 0.5 * (q[i-10] + q[i+10]); !(math.Abs(q[i]-beside) < 0.05*beside) {
				t.Fatalf("at %g s %g W go to the passes, half a second before and after %g and %g W", x, q[i], q[i-10], q[i+10])
			}
		}
	}
}
