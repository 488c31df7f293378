package heat

import (
	"math"
	"slices"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/film"
	"emberbank/water"
)

// In a flow that lasts, each slice's heat is the rise of enthalpy over it; places follow one another along the tube, and
// the circuit ends with the history's outlet, quality and steam.
func TestProfileFollowsTheCircuitAndClosesSliceBySlice(t *testing.T) {
	for _, c := range regimes {
		p := served(c.T, c.pressure, c.flow)
		p.Until, p.Output, p.ProfileTimes = 1e-3, []float64{0}, []float64{0}
		r := solve(t, p)
		if len(r.Profiles) != 1 || len(r.Profiles[0].Places) != 16 || r.Profiles[0].Circuit != "A" || r.Profiles[0].State != "flowing" {
			t.Fatalf("%s: profiles %+v", c.name, r.Profiles)
		}
		pr := &r.Profiles[0]
		end, before, hot, all := 0.0, math.NaN(), 0.0, 0.0
		for i, at := range pr.Places {
			closeTo(t, c.name+": distance, m", at.Distance, end+0.5*at.Length, 1e-12)
			end += at.Length
			if want := []string{"1", "2"}[i/8]; at.Pass != want || at.Run != "pass" {
				t.Errorf("%s: place %d is %s %s", c.name, i, at.Run, at.Pass)
			}
			if i > 0 {
				// Films, pressures and profile are found in turn at the start: what is left is below 1 % of a slice's heat.
				closeTo(t, c.name+": heat of a slice, W", at.Heat*at.Length, c.flow*(at.Leaving-before), 0.01*math.Abs(at.Heat*at.Length)+1e-3)
				closeTo(t, c.name+": enthalpy in the middle, J/kg", at.Enthalpy, 0.5*(before+at.Leaving), 1e-6)
			}
			before = at.Leaving
			all += at.Heat * at.Length
			if !(at.Block >= at.Outside && at.Outside >= at.Inside && at.Inside >= at.Temperature-1) { // half a slice's warming
				t.Errorf("%s: at %.3g m the block stands at %.5g, the wall at %.5g and %.5g, the water at %.5g K", c.name, at.Distance, at.Block, at.Outside, at.Inside, at.Temperature)
			}
			hot = math.Max(hot, at.Inside)
		}
		closeTo(t, c.name+": length, m", end, 0.6, 1e-12)
		closeTo(t, c.name+": heat of both passes, W", all, values(t, r, "heat to passes")[0], 1e-9*all)
		closeTo(t, c.name+": outlet, K", pr.Outlet, values(t, r, "circuit A outlet")[0], 0)
		closeTo(t, c.name+": inlet, K", pr.Inlet, 20+zero, 0)
		closeTo(t, c.name+": wall max, K", values(t, r, "circuit A wall max")[0], hot, 0)
		x := values(t, r, "circuit A quality")[0]
		closeTo(t, c.name+": steam, kg/s", values(t, r, "circuit A steam")[0], c.flow*clamp(x, 0, 1), 1e-12)
	}
}

// The wall between film and contact, at a slice, is what the resistances say: with a fixed film of 1e4 W/(m² K), a
// contact of 1500 W/(m² K) and a wall of 16 W/(m K), per metre of a tube of 12 × 1 mm.
func TestWallTemperaturesLieByTheirResistances(t *testing.T) {
	p := served(90, 5e5, 0.3)
	for i := range p.Receiver.Passes {
		p.Receiver.Passes[i].FilmFixed = 1e4
	}
	p.ProfileTimes = []float64{0}
	for _, at := range solve(t, p).Profiles[0].Places {
		closeTo(t, "over the wall, K", at.Outside-at.Inside, at.Heat*math.Log(1.2)/(2*math.Pi*16), 1e-9)
		closeTo(t, "over the film, K", at.Inside-at.Temperature, at.Heat/(1e4*math.Pi*0.010), 0.01) // the slice's middle for its mean
		closeTo(t, "film", at.Film, 1e4, 1e-6*1e4)
	}
}

func TestStatesAlongACircuitThatDries(t *testing.T) {
	p := served(320, 2e5, 0.0012)
	p.ProfileTimes = []float64{0}
	var met []string
	for _, at := range solve(t, p).Profiles[0].Places {
		if n := len(met); n == 0 || met[n-1] != at.State {
			met = append(met, at.State)
		}
	}
	for _, want := range []string{"stratified", "drying", "steam"} {
		if !slices.Contains(met, want) {
			t.Errorf("the water goes through %q, without %s", met, want)
		}
	}
	for _, c := range []struct {
		quality float64
		regime  film.Regime
		hot     bool
		want    string
	}{
		{-0.1, film.Liquid, true, "liquid"},
		{-0.1, film.Subcooled, true, "subcooled boiling"},
		{-0.1, film.Subcooled, false, "liquid"},
		{0.3, film.Liquid, true, "boiling"},
		{0.97, film.Steam, true, "mist"},
		{1.1, film.Droplets, true, "steam"},
		{0.3, film.Stratified, true, "stratified"},
		{0.3, film.Droplets, true, "mist"},
		{0.9, film.Saturated, true, "boiling"},
	} {
		if got := stateWord(c.quality, c.regime, c.hot); got != c.want {
			t.Errorf("quality %g under %v, wall hot %v, is called %q, want %q", c.quality, c.regime, c.hot, got, c.want)
		}
	}
}

// The word is that of the film in a slice's middle: below quality 0 water boils on a wall above saturation and on no other,
// also where it leaves the slice boiling; from quality 0 on the wetted share goes with the word.
func TestWordsFollowTheFilmOfTheMiddle(t *testing.T) {
	crossing, cold := 0, 0
	for _, T := range []float64{140, 180, 230, 280, 330, 380} {
		for _, flow := range []float64{0.0004, 0.001, 0.003, 0.01, 0.04} {
			p := served(T, 3e5, flow)
			p.Duty.Switches.Water[0] = duty.Drained
			p.Duty.Events = []duty.Event{{At: 1, Name: "open", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}}}
			p.every(1, 30)
			p.ProfileTimes = []float64{1, 2, 7.5, 30}
			for _, q := range solve(t, p).Profiles {
				for i, at := range q.Places {
					sat, err := water.SaturationTemperature(at.Pressure)
					if err != nil {
						t.Fatal(err)
					}
					hot := at.Inside - sat // K; the table of a slice may stand 0.5 % beside its pressure, 0.15 K
					bad := ""
					switch {
					case at.Quality < 0 && at.State != "liquid" && at.State != "subcooled boiling":
						bad = "is liquid"
					case at.State == "subcooled boiling" && hot < -0.15:
						bad = "has a wall that is too cool to boil"
					case at.State == "liquid" && hot > 6 && i > 0: // bubbles grow from some 3 K on (Bergles & Rohsenow, film.Onset)
						bad = "has a wall that boils"
					case at.State == "stratified" != (at.Wetted < 0.99 && at.Wetted > 0) && at.Quality >= 0 && at.State != "drying":
						bad = "is wetted otherwise"
					case at.Quality < 0 && at.Wetted < 1:
						bad = "wets all of the bore"
					}
					if bad != "" {
						t.Errorf("%g °C, %g kg/s, %g s: place %d is called %q but %s: quality %.4g, leaves at %.5g J/kg, wall %.4g K over saturation, wetted %.3g",
							T, flow, q.Time, i, at.State, bad, at.Quality, at.Leaving, hot, at.Wetted)
					}
					if at.Quality < 0 && at.Leaving > 570e3 { // h′ at 3 bar is 561 kJ/kg, IAPWS-IF97
						crossing++
					}
					if at.State == "liquid" && hot < 0 && hot > -10 {
						cold++
					}
				}
			}
		}
	}
	if crossing == 0 || cold == 0 {
		t.Errorf("%d slices come to boil, %d have walls just below saturation: nothing is shown", crossing, cold)
	}
}

// Profiles are kept at their own times, or at those of the fields, and never bend the march.
func TestProfilesComeAtTheirTimesAndBendNothing(t *testing.T) {
	p := served(200, 3e5, 0.004)
	p.every(10, 60)
	plain := solve(t, p)
	p.ProfileTimes = []float64{0, 7.25, 20, 60}
	r := solve(t, p)
	var at []float64
	for _, q := range r.Profiles {
		at = append(at, q.Time)
	}
	if !slices.Equal(at, p.ProfileTimes) || len(plain.Profiles) != 0 {
		t.Errorf("profiles at %v, want %v; without times there are %d", at, p.ProfileTimes, len(plain.Profiles))
	}
	if len(r.History.Time) != len(plain.History.Time) || r.Steps != plain.Steps {
		t.Errorf("%d rows and %d steps with profiles, %d and %d without", len(r.History.Time), r.Steps, len(plain.History.Time), plain.Steps)
	}
	// A moment that is looked at leaves iterates of films behind, some 1e-6 K.
	closeTo(t, "block mean at the end", last(values(t, r, "block mean")), last(values(t, plain, "block mean")), 1e-5)

	p.ProfileTimes, p.FieldTimes = nil, []float64{30}
	if r = solve(t, p); len(r.Profiles) != 1 || r.Profiles[0].Time != 30 {
		t.Errorf("with fields at 30 s there are %d profiles", len(r.Profiles))
	}
	p.ProfileTimes = []float64{}
	if r = solve(t, p); len(r.Profiles) != 0 {
		t.Errorf("an empty list of times gives %d profiles", len(r.Profiles))
	}
}

func TestEmptyCircuitHasWallsButNoWater(t *testing.T) {
	p := served(200, 3e5, 0.004)
	p.Duty.Switches.Water[0] = duty.Drained
	p.ProfileTimes = []float64{0}
	r := solve(t, p)
	for _, at := range r.Profiles[0].Places {
		if at.State != "empty" || !math.IsNaN(at.Temperature) || !math.IsNaN(at.Enthalpy) || at.Heat != 0 {
			t.Errorf("a drained tube holds %+v", at)
		}
		closeTo(t, "wall of an empty tube, K", at.Inside, 200+zero, 1e-9)
	}
	closeTo(t, "wall max of an empty circuit, K", values(t, r, "circuit A wall max")[0], 200+zero, 1e-9)
	closeTo(t, "steam", values(t, r, "circuit A steam")[0], 0, 0)
}

// Mirrored, and fed from the other end, a block gives the mirrored profile.
func TestProfileOfTheMirroredBlockIsTheMirrored(t *testing.T) {
	run := func(backwards bool) []Place {
		p := cuboid(block.Point{0.1, 0.3, 0.1}, [3]int{4, 8, 4}, plain(2000, 1000, 100))
		p.Initial = 250 + zero
		p.tube("1", block.Width, block.Point{0.05, 0, 0.05})
		p.circuit(0.001, 20+zero, 4e5, through(&p, 0, backwards)) // near 3 bar, rounding tips a choice worth 0.3 mK
		p.every(10, 30)
		p.ProfileTimes = []float64{30}
		return solve(t, p).Profiles[0].Places
	}
	there, back := run(false), run(true)
	for i := range there {
		closeTo(t, "water, K", back[i].Temperature, there[i].Temperature, 1e-6)
		closeTo(t, "wall, K", back[i].Inside, there[i].Inside, 1e-3) // films and fluxes agree within what their iterations leave
	}
}

func TestFieldsAndProfilesThatARunEndsBeforeAreTold(t *testing.T) {
	p := served(200, 3e5, 0.004)
	p.every(10, 600)
	p.FieldTimes, p.ProfileTimes = []float64{20, 120}, []float64{50, 70, 300}
	p.Duty.Events = []duty.Event{{At: 60, Name: "enough", Do: []duty.Action{{What: duty.StopRun, Value: 1}}}}
	r := solve(t, p)
	for _, want := range []string{
		"the fields asked for at 120 s were not reached: the run ended after 60 s",
		"the profiles asked for at 70 s and at one later time were not reached: the run ended after 60 s",
	} {
		if !slices.Contains(r.Warnings, want) {
			t.Errorf("warnings %q lack %q", r.Warnings, want)
		}
	}
	p.ProfileTimes = nil
	if r = solve(t, p); !slices.Contains(r.Warnings, "the fields and profiles asked for at 120 s were not reached: the run ended after 60 s") {
		t.Errorf("with profiles at the times of fields: warnings %q", r.Warnings)
	}
	p.Duty.Events = nil
	for _, w := range solve(t, p).Warnings {
		if strings.Contains(w, "reached") {
			t.Errorf("a whole run warns: %s", w)
		}
	}
}
