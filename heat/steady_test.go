package heat

import (
	"context"
	"math"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/film"
	"emberbank/receiver"
)

// standingRig is a block with insulation, a window, conductivity over temperature, radiation and two passes of water in
// series, under constant light.
func standingRig() Problem {
	m := plain(2000, 1000, 0)
	for a := range 3 {
		m.Conductivity[a] = slanting(250, 120, 800, 60)
	}
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{7, 5, 5}, m)
	p.Receiver.Media = append(p.Receiver.Media, plain(20, 100, 0.1))
	p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{
		Name: "back", Role: receiver.RoleInsulation, Medium: 1, Initial: math.NaN(),
		Box: block.Box{Min: block.Point{0.1, 0, 0}, Max: block.Point{0.14, 0.1, 0.1}},
	})
	p.Receiver.Window = &receiver.Window{Opening: p.Receiver.Block, Absorptance: 0.9, Emissivity: 0.8, Film: receiver.Film{Kind: receiver.FilmOutside}}
	p.Duty.Light = &duty.Light{Power: duty.Fixed(2000), Map: duty.Map{Kind: duty.Gaussian, Centre: [2]float64{0.05, 0.05}, Sigma: [2]float64{0.03, 0.03}}}
	p.Duty.Switches.Light = true
	p.Duty.Tilt = duty.Fixed(0.5)
	p.cool(block.Back, 8, 20+zero, 0.3)
	p.tube("1", block.Width, block.Point{0.05, 0, 0.03})
	p.tube("2", block.Width, block.Point{0.05, 0, 0.07})
	p.circuit(0.01, 20+zero, 10e5, through(&p, 0, false), through(&p, 1, true))
	p.FieldTimes = []float64{0}
	return p
}

// The march's end after twenty time constants (C/UA ≈ 2000/10 s) against the direct solution.
func TestSteadyStateIsWhereTheMarchEnds(t *testing.T) {
	p := standingRig()
	p.Steady = true
	direct := solve(t, p)
	if !direct.Ledger.Steady {
		t.Errorf("the ledger does not say that it holds rates")
	}
	p.Steady = false
	p.Until, p.Output, p.FieldTimes = 6000, []float64{0, 6000}, []float64{6000}
	marched := solve(t, p)
	closes(t, marched)
	for c, T := range direct.Fields[0].Temperature {
		if x := marched.Fields[0].Temperature[c]; math.Abs(x-T) > 0.1 {
			t.Fatalf("cell %d stands at %.6g K directly and at %.6g K after the march", c, T, x)
		}
	}
	for _, name := range []string{"absorbed", "heat to passes", "lost window", "lost back", "circuit A pressure drop"} {
		a, b := last(values(t, direct, name)), last(values(t, marched, name))
		closeTo(t, name, a, b, 2e-3*math.Abs(b))
	}
	l := direct.Ledger
	closeTo(t, "light less losses less water, W", l.Absorbed-l.Lost-l.Carried, 0, 1e-6*l.Absorbed)
}

func TestSteadyStateIsRefusedWhereNothingLeadsHeatOut(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{3, 3, 3}, plain(2000, 1000, 100))
	p.Receiver.Parts[0].Generation = 1e4
	p.Steady = true
	if _, err := Run(context.Background(), p); err == nil || !strings.Contains(err.Error(), "no steady state") {
		t.Errorf("the error is %v", err)
	}
}

// Generation in a slab between walls at one temperature: the middle stands q L²/(8k) above them.
// Source: Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, art. 3.14.
func TestSteadyGenerationGivesTheParabola(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.02, 0.02}, [3]int{41, 1, 1}, plain(2000, 1000, 20))
	p.Receiver.Parts[0].Generation = 1e6
	p.hold(block.Front, 300)
	p.hold(block.Back, 300)
	p.Probes = []Probe{{Name: "middle", At: block.Point{0.05, 0.01, 0.01}}}
	p.Steady = true
	r := solve(t, p)
	closeTo(t, "middle", last(values(t, r, "middle")), 300+1e6*0.01/(8*20), 1e6*0.01/(8*20)*2/(41*41.0))
	closeTo(t, "heat lost, W", r.Ledger.Lost, 1e6*4e-5, 1e-6)
}

// glazed is a block held at 600 K behind glass, with fixed film outside.
func glazed() Problem {
	p := cuboid(block.Point{0.02, 0.2, 0.2}, [3]int{2, 4, 4}, plain(2000, 1000, 1e4))
	p.hold(block.Back, 600)
	p.Initial = 600
	pane := plain(2200, 750, 1.4)
	p.Receiver.Media = append(p.Receiver.Media, pane)
	p.Receiver.Window = &receiver.Window{
		Opening: p.Receiver.Block, Absorptance: 0.9, Emissivity: 0.8,
		Glass: &receiver.Glass{
			Thickness: 0.004, Gap: 0.02, Medium: 1, Transmittance: 0.9, Absorptance: 0.04, Emissivity: 0.85,
			OutsideFilm: receiver.Film{Kind: receiver.FilmFixed, Value: 12},
		},
	}
	return p
}

// The pane's temperature by hand: what comes over the gap (film, and radiation between opposed squares whose sides send back
// all that meets them) and what it absorbs leaves outside (film, and radiation to sky and ground at the ambient).
func TestPaneStandsWhereItsHeatFlowsBalance(t *testing.T) {
	p := glazed()
	p.Duty.Light = &duty.Light{Power: duty.Fixed(1000)}
	p.Duty.Switches.Light = true
	p.Steady = true
	r := solve(t, p)
	lo, hi := 293.15, 600.0
	view := film.OpposedRectangles(0.2, 0.2, 0.02)
	gap := 1 / (1/0.8 - 1 + 1/(view+(1-view)/2) + 1/0.85 - 1)
	out := 0.0
	for range 100 {
		T := 0.5 * (lo + hi)
		in := 0.04*(film.Gap(0, 0.02, 0.2, 600, T).H*(600-T)+gap*film.StefanBoltzmann*(p4(600)-p4(T))) + 0.04*1000
		out = 0.04 * (12*(T-293.15) + 0.85*film.StefanBoltzmann*(p4(T)-p4(293.15)))
		if in > out {
			lo = T
		} else {
			hi = T
		}
	}
	// 0.3 %: the face stands a little off 600 K.
	closeTo(t, "lost at the window, W", last(values(t, r, "lost window")), out, 3e-3*out)
	closeTo(t, "light in the pane, W", r.Ledger.Glass, 40, 1e-9)
	closeTo(t, "light absorbed by the block, W", r.Ledger.Absorbed, 1000*0.9*0.9, 1e-9)

	p.Steady = false
	p.Until, p.Output = 7200, []float64{0, 7200}
	m := solve(t, p)
	closes(t, m)
	closeTo(t, "lost at the window after two hours, W", last(values(t, m, "lost window")), out, 3e-3*out)
}

// A pane of a hundredth of a millimetre follows within a tenth of a second; steps of minutes must neither fail nor swing.
func TestThinPaneIsStableAtLongSteps(t *testing.T) {
	p := glazed()
	p.Receiver.Window.Glass.Thickness = 1e-5
	p.Until, p.Output = 7200, nil
	for x := 0.0; x <= 7200; x += 600 {
		p.Output = append(p.Output, x)
	}
	r := solve(t, p)
	closes(t, r)
	lost := values(t, r, "lost window")
	for i := 2; i < len(lost); i++ {
		closeTo(t, "lost at the window from row to row, W", lost[i], lost[1], 0.01*lost[1])
	}
	if r.Steps > 500 {
		t.Errorf("%d steps: the pane bounds them", r.Steps)
	}
}

func TestShutCoverOverGlassInsulatesThePane(t *testing.T) {
	p := glazed()
	p.Receiver.Window.Cover = 2
	p.Steady = true
	open := last(values(t, solve(t, p), "lost window"))
	p.Duty.Switches.CoverShut = true
	shut := last(values(t, solve(t, p), "lost window"))
	if !(shut < 0.3*open && shut < 2*0.04*(600-293.15)) {
		t.Errorf("lost %.4g W open and %.4g W shut", open, shut)
	}
	p.Receiver.Window.Cover = 0
	closeTo(t, "lost under a cover that lets nothing through, W", last(values(t, solve(t, p), "lost window")), 0, 1e-6)
}
