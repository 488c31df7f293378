package bench

import (
	"math"
	"strings"
	"testing"

	"emberbank/glass"
	"emberbank/optics"
)

func TestAPaneFollowsFromWhatItIsMadeOf(t *testing.T) {
	r := ability(t, "lamp")
	w := r.Problem.Receiver.Window
	near(t, "face straight on", w.Absorptance, 0.95)
	near(t, "face at 60.5 deg", w.Absorptances[60], 0.92-0.5/20*0.32)
	near(t, "face at 89.5 deg", w.Absorptances[89], 0.6)
	near(t, "flux limit of the face", w.FluxLimit, 900e3)
	near(t, "flux limit of the pane", w.Glass.FluxLimit, 1e6)
	m, _ := glass.Lookup("low-iron-glass")
	lamp := glass.At(m, 0.004, glass.Black(3200), 0)
	near(t, "transmittance for the lamp's spectrum", w.Glass.Transmittance, lamp.Transmitted)
	if sun := glass.At(m, 0.004, glass.Sun(), 0); !(lamp.Transmitted < sun.Transmitted-0.02) {
		t.Errorf("a lamp of 3200 K, with its infrared, passes as %.3f and the sun as %.3f", lamp.Transmitted, sun.Transmitted)
	}
	l := r.Problem.Duty.Light
	near(t, "floor", l.Map.Floor, 0.15)
	face, _ := optics.Uptake(w, l.Angles)
	straight, _ := optics.Uptake(w, nil)
	if !(face < straight) || face < straight-0.05 {
		t.Errorf("the face takes %.4f of a cone of 40 deg and %.4f of light straight on", face, straight)
	}
	// By hand: 997 kg/m³ · 2 l/min · 4182 J/(kg K) · 14 K = 1945.8 W, and 20 W, over 0.97.
	power := (997*2e-3/60*4182*14 + 20) / 0.97
	near(t, "power", l.Power.At(0), power)
	last := r.Sources[len(r.Sources)-1]
	if !strings.HasPrefix(last, "light: 2027 ± ") || !strings.Contains(last, "rise") {
		t.Errorf("the reading is told as %q", last)
	}
	found := 0
	for _, u := range r.Uncertain {
		if strings.HasPrefix(u.Path, "duty.light.reading.calorimeter.") {
			found++
		}
	}
	same(t, "uncertain numbers of the reading", found, 3)
}

func TestAMeasuredMapGivesThePower(t *testing.T) {
	r := ability(t, "measured-map")
	// A tent of 100 kW/m² over 200 mm × 200 mm carries a quarter of its box.
	near(t, "power", r.Problem.Duty.Light.Power.At(0), 100e3*0.04/4)
	g := r.Problem.Receiver.Window.Glass
	near(t, "transmittance by index and extinction", g.Transmittance, glass.Sheet(1.5, 10, 0.004, 0).Transmitted)
	if math.IsNaN(g.Transmittances[89]) || len(g.Absorptances) != 90 {
		t.Errorf("the pane by angle: %v", g.Transmittances)
	}
}
