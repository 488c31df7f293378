package heat

import (
	"math"
	"testing"

	"emberbank/duty"
	"emberbank/film"
	"emberbank/receiver"
)

// What LossOfWindow says of the window alone is what a steady run of the whole receiver loses there, at the temperature at
// which its face stands.
func TestLossOfWindowIsThatOfASteadyRun(t *testing.T) {
	out := Weather{Air: 288, Sky: 270, Ground: 290, Wind: 1.5, Tilt: 0.6}
	for name, change := range map[string]func(p *Problem){
		"glass":             func(p *Problem) {},
		"glass, film":       func(p *Problem) { p.Receiver.Window.Glass.OutsideFilm = receiver.Film{Kind: receiver.FilmOutside} },
		"glass in the dark": func(p *Problem) { p.Duty.Switches.Light = false },
		"open": func(p *Problem) {
			p.Receiver.Window.Glass = nil
			p.Receiver.Window.Film = receiver.Film{Kind: receiver.FilmOutside}
		},
		"shut": func(p *Problem) {
			p.Duty.Switches.CoverShut = true
			p.Receiver.Window.Cover = 1.5
		},
		"shut without glass": func(p *Problem) {
			p.Receiver.Window.Glass = nil
			p.Duty.Switches.CoverShut = true
			p.Receiver.Window.Cover = 1.5
		},
	} {
		p := glazed()
		p.Steady = true
		p.Duty.Ambient, p.Duty.Sky, p.Duty.Ground = duty.Fixed(out.Air), duty.Fixed(out.Sky), duty.Fixed(out.Ground)
		p.Duty.Wind, p.Duty.Tilt = duty.Fixed(out.Wind), duty.Fixed(out.Tilt)
		p.Duty.Light = &duty.Light{Power: duty.Fixed(1000)}
		p.Duty.Switches.Light = true
		change(&p)
		r := solve(t, p)
		absorbed, inPane := r.Ledger.Absorbed, r.Ledger.Glass
		// The face stands where block and window agree: 600 K less what the half of the block's depth takes.
		lost := last(values(t, r, "lost window"))
		face := 600 + (absorbed-(lost-inPane))/(1e4*0.04/0.02)
		l := LossOfWindow(&p.Receiver, out, face, inPane, p.Duty.Switches.CoverShut)
		closeTo(t, name+": lost outwards, W", l.Outward, lost, 2e-4*lost)
		closeTo(t, name+": lost by the face, W", l.Lost, lost-inPane, 2e-4*lost)
		closeTo(t, name+": parts, W", l.Convected+l.Radiated, l.Lost, 1e-9*lost)
	}
}

// In the narrowest gap that is built face and pane are parallel plates; far apart, nothing but the sides joins them, and half
// of what passes by comes through.
func TestGapRadiationRunsFromPlatesToReradiatingSides(t *testing.T) {
	w := &receiver.Window{Emissivity: 0.9, Glass: &receiver.Glass{Emissivity: 0.8, Gap: 1e-6}}
	p := &patch{width: 0.2, height: 0.3}
	closeTo(t, "narrow", gapEmissivity(w, p), 1/(1/0.9+1/0.8-1), 1e-4)
	w.Glass.Gap = 1e3
	closeTo(t, "wide", gapEmissivity(w, p), 1/(1/0.9-1+2+1/0.8-1), 1e-4)
	w.Glass.Gap = 0.02
	view := film.OpposedRectangles(0.2, 0.3, 0.02)
	closeTo(t, "between", gapEmissivity(w, p), 1/(1/0.9-1+2/(1+view)+1/0.8-1), 1e-12)
	w.Emissivity = 0
	if e := gapEmissivity(w, p); e != 0 || math.IsNaN(e) {
		t.Errorf("a face that does not radiate exchanges %g", e)
	}
}

func TestBrightLightPastItsLimitsIsSaid(t *testing.T) {
	p := glazed()
	p.Receiver.Media[1].Name, p.Receiver.Media[1].ServiceLimit, p.Receiver.Media[1].ServiceSource = "glass", 700, "invented"
	p.Receiver.Window.ServiceLimit = 590
	p.Receiver.Window.FluxLimit, p.Receiver.Window.Glass.FluxLimit = 20e3, 20e3
	p.Duty.Light = &duty.Light{Power: duty.Fixed(2000), Map: duty.Map{Kind: duty.Gaussian, Centre: [2]float64{0.1, 0.1}, Sigma: [2]float64{0.05, 0.05}}}
	p.Duty.Switches.Light = true
	p.Steady = true
	r := solve(t, p)
	found := map[string]Caution{}
	for _, c := range r.Cautions {
		found[c.Kind+": "+c.Place] = c
	}
	for _, want := range []string{"flux limit: pane", "flux limit: window's face", "service limit: the window's face"} {
		if _, ok := found[want]; !ok {
			t.Errorf("%q is not said; said are %v", want, found)
		}
	}
	// Incident flux on the brightest cell of 50 mm: the map's mean over it.
	pane, face := found["flux limit: pane"].Value, found["flux limit: window's face"].Value
	closeTo(t, "face over pane", face/pane, 0.9, 1e-12)
	if pane < 60e3 || pane > 2000/(2*math.Pi*0.05*0.05)*1.05 {
		t.Errorf("the flux on the pane is %g W/m2", pane)
	}

	// The brightest piece of the pane, which takes 0.2 of the light.
	p.Receiver.Window.Glass.Absorptance, p.Receiver.Window.Glass.Transmittance = 0.2, 0.7
	r = solve(t, p)
	for _, c := range r.Cautions {
		if c.Kind == KindServiceLimit && c.Place == "the pane of glass in the brightest light" {
			if c.Value < 700 || c.Value > 900 {
				t.Errorf("the brightest piece heads for %g K", c.Value)
			}
			return
		}
	}
	t.Errorf("nothing says that the pane's middle grows too hot: %v", r.Cautions)
}
