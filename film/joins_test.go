package film

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// water40 is liquid water near 40 °C, rounded; only its order of size matters.
func water40() Fluid {
	return Fluid{Density: 992, Viscosity: 6.5e-4, Conductivity: 0.63, HeatCapacity: 4179, Prandtl: 4.3, Expansion: 3.8e-4}
}

// steam10 is saturated water and steam at 10 bar, rounded.
func steam10() TwoPhase {
	return TwoPhase{
		Liquid:          Fluid{Density: 887.1, Viscosity: 1.505e-4, Conductivity: 0.671, HeatCapacity: 4405, Prandtl: 0.987, Expansion: 1.4e-3},
		Vapour:          Fluid{Density: 5.145, Viscosity: 1.5e-5, Conductivity: 0.0368, HeatCapacity: 2700, Prandtl: 1.1, Expansion: 2.8e-3},
		Latent:          2.014e6,
		SurfaceTension:  0.0422,
		Pressure:        1e6,
		ReducedPressure: 0.0453,
		MolarMass:       18.015,
	}
}

// leap halves an interval forty times, each time keeping the half in which f
// changes more, and returns the relative change that is left: nothing for a
// steep but unbroken curve, the jump itself for a broken one.
func leap(f func(float64) float64, a, b float64) float64 {
	fa, fb := f(a), f(b)
	for i := 0; i < 40; i++ {
		m := (a + b) / 2
		fm := f(m)
		if math.Abs(fm-fa) > math.Abs(fb-fm) {
			b, fb = m, fm
		} else {
			a, fa = m, fm
		}
	}
	return math.Abs(fb-fa) / math.Abs(fa)
}

// checkStep holds the relative change between neighbours of a scan under most.
func checkStep(t *testing.T, what string, at, before, after, most float64) {
	t.Helper()
	if !(math.Abs(after-before) <= most*math.Abs(before)) {
		t.Errorf("%s jumps at %.6g: %.6g to %.6g", what, at, before, after)
	}
}

// A 0.1 % step of the flow changes the film by under 2 %, from a trickle to far
// past a full tap, in short and long tubes, with and without buoyancy.
func TestTubeHasNoJumpOverFlow(t *testing.T) {
	f := water40()
	for _, length := range []float64{0.1, 1, 20} {
		for _, tilt := range []float64{0, math.Pi / 4, math.Pi / 2} {
			for _, dT := range []float64{0, 5, 80} {
				before := Tube(f, 2, 0.01, 0.01, length, tilt, dT).H
				for G := 0.01; G < 3e4; G *= 1.001 {
					after := Tube(f, 2, G, 0.01, length, tilt, dT).H
					checkStep(t, "Tube", G, before, after, 0.02)
					if after < before*(1-1e-12) {
						t.Fatalf("more flow lowers the film at G = %g: %g to %g", G, before, after)
					}
					before = after
				}
			}
		}
	}
}

func TestTubeComesToItsPublishedForms(t *testing.T) {
	f := water40()
	inner := 0.01
	flux := func(re float64) float64 { return re * f.Viscosity / inner }
	nusselt := func(c Coefficient) float64 { return c.H * inner / f.Conductivity }
	near := func(what string, got, want, rtol float64) {
		t.Helper()
		if math.Abs(got-want) > rtol*want {
			t.Errorf("%s: Nu %.8g, want %.8g", what, got, want)
		}
	}
	long := 1e9 // the factor 1+(D/L)^⅔ is then within 1e-6 of 1
	near("trickle in a long tube", nusselt(Tube(f, 0, flux(1), inner, long, 0, 0)), 3.66, 1e-6)
	near("laminar entry", nusselt(Tube(f, 0, flux(1500), inner, 1, 0, 0)), Hausen(1500, f.Prandtl, 0.01), 1e-12)
	near("turbulent", nusselt(Tube(f, 0, flux(50000), inner, long, 0, 0)), Gnielinski(50000, f.Prandtl, Filonenko(50000)), 1e-6)
	near("half-way through the transition", nusselt(Tube(f, 0, flux(3150), inner, long, 0, 0)),
		(Hausen(2300, f.Prandtl, inner/long)+Gnielinski(4000, f.Prandtl, Filonenko(4000)))/2, 1e-6)
	// Where the forced part is in its entry regime (high Gz) the join is within a
	// few per cent of Brown & Thomas, whose 1.75 Gz^⅓ stands 5 % over Hausen.
	gr := grashof(f, 20, inner)
	near("aided by buoyancy", nusselt(Tube(f, 0, flux(1000), inner, 0.2, 0, 20)), BrownThomas(1000*f.Prandtl*0.05, gr), 0.05)
}

func TestTubeSaysWhenItIsOutside(t *testing.T) {
	f := water40()
	inside := []Coefficient{
		Tube(f, 0, 2, 0.01, 1, 0, 0), Tube(f, 0, 150, 0.01, 1, 0, 0), Tube(f, 0, 2000, 0.01, 1, 0, 5),
	}
	for _, c := range inside {
		if c.Outside || c.Spread >= 1 || c.Law == "" {
			t.Errorf("%+v should be inside", c)
		}
	}
	oil := f
	oil.Prandtl = 5000
	for _, c := range []Coefficient{
		Tube(oil, 0, 100, 0.01, 1, 0, 0), Tube(f, 0, 1e6, 0.01, 1, 0, 0), Tube(f, 0, 10, 0.02, 0.3, math.Pi/2, 60), Stagnant(f, 0.01, 10),
	} {
		if !c.Outside || c.Spread < 1 {
			t.Errorf("%+v should be outside, with at least a factor of two", c)
		}
	}
}

// A face is turned once round, in air and in wind, hot and cold, in steps of a
// tenth of a degree. No step exceeds 1 % but close to level, where the upright
// form dies out steeply (as the sixth root of gravity's part); wherever a step
// is larger it must vanish on being halved forty times. 1 % is left for the
// sixth root of the last interval.
func TestOutsideHasNoJumpOverAttitude(t *testing.T) {
	for _, height := range []float64{0.02, 0.1, 0.5, 2} {
		for _, pair := range [][2]float64{{293.2, 293.15}, {330, 293}, {900, 293}, {270, 300}} {
			for _, wind := range []float64{0, 0.3, 8} {
				at := func(deg float64) float64 {
					return Outside(deg*degree, height, height/4, pair[0], pair[1], wind).H
				}
				before := at(-180)
				for deg := -179.9; deg <= 180; deg += 0.1 {
					after := at(deg)
					if math.Abs(after-before) > 0.01*before {
						if fromLevel := math.Abs(math.Abs(deg) - 90); fromLevel > 10 {
							t.Errorf("step of %.2g at %.1f°", after/before-1, deg)
						}
						if jump := leap(at, deg-0.1, deg); jump > 0.01 {
							t.Errorf("Outside jumps by %.2g at %.1f°, height %g, faces %v, wind %g", jump, deg, height, pair, wind)
						}
					}
					before = after
				}
			}
		}
	}
}

// From a hundredth of a kelvin to 800 K, at every attitude, a 0.1 % step of the
// difference changes the film by under 0.5 %.
func TestOutsideHasNoJumpOverTemperatureAndWind(t *testing.T) {
	for deg := -90.0; deg <= 90; deg += 15 {
		before := Outside(deg*degree, 0.3, 0.075, 293.15+0.01, 293.15, 0).H
		for dT := 0.01; dT < 800; dT *= 1.001 {
			after := Outside(deg*degree, 0.3, 0.075, 293.15+dT, 293.15, 0).H
			checkStep(t, "Outside over temperature", dT, before, after, 0.005)
			before = after
		}
		before = Outside(deg*degree, 0.3, 0.075, 400, 293.15, 1e-4).H
		for wind := 1e-4; wind < 100; wind *= 1.001 {
			after := Outside(deg*degree, 0.3, 0.075, 400, 293.15, wind).H
			checkStep(t, "Outside over wind", wind, before, after, 0.005)
			if after < before {
				t.Fatalf("more wind lowers the film at %g m/s", wind)
			}
			before = after
		}
	}
}

func TestOutsideComesToItsPublishedForms(t *testing.T) {
	const Ts, Ta, height, side = 360.0, 300.0, 0.4, 0.1
	air := AirAt((Ts + Ta) / 2)
	ra := func(size float64) float64 { return grashof(air, Ts-Ta, size) * air.Prandtl }
	want := map[string][2]float64{
		"upright":       {0, ChurchillChuPlate(ra(height), air.Prandtl) * air.Conductivity / height},
		"hot side up":   {math.Pi / 2, HotFaceUp(ra(side)) * air.Conductivity / side},
		"hot side down": {-math.Pi / 2, HotFaceDown(ra(side)) * air.Conductivity / side},
	}
	for name, w := range want {
		if c := Outside(w[0], height, side, Ts, Ta, 0); math.Abs(c.H-w[1]) > 1e-9*w[1] {
			t.Errorf("%s: %.9g by %s, want %.9g", name, c.H, c.Law, w[1])
		}
	}
	// The example behind the published row of the upright plate: a glass screen
	// of 0.71 m at 232 °C in air of 23 °C; the book prints 7.0 W/(m² K) (from
	// memory), with its own air table: within 2 %.
	if c := Outside(0, 0.71, 0.2, 232+273.15, 23+273.15, 0); math.Abs(c.H-7.0) > 0.02*7.0 {
		t.Errorf("glass screen: %.4g W/(m² K), Incropera Example 9.2 prints 7.0", c.H)
	}
}

func TestColdFaceIsAHotFaceTurnedOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := rapid.Float64Range(-math.Pi/2, math.Pi/2).Draw(t, "elevation")
		mean := rapid.Float64Range(260, 700).Draw(t, "mean")
		half := rapid.Float64Range(0.01, 50).Draw(t, "half")
		hot := Outside(e, 0.3, 0.07, mean+half, mean-half, 0)
		cold := Outside(-e, 0.3, 0.07, mean-half, mean+half, 0)
		if math.Abs(hot.H-cold.H) > 1e-9*hot.H {
			t.Fatalf("hot %v, cold turned over %v", hot, cold)
		}
	})
}

// The layer turned from heated below to heated above in steps of a tenth of a
// degree, at many Rayleigh numbers: no step above 1.5 % of the larger of its own
// value and the upright one (a straight fall from upright to level makes 0.2 %).
func TestGapHasNoJumpOverAngle(t *testing.T) {
	for _, aspect := range []float64{5, 12, 40, 110} {
		for ra := 1.0; ra < 3e7; ra *= 1.25 {
			before, upright := GapNusselt(ra, aspect, 0), UprightGap(ra, aspect)
			for deg := 0.1; deg <= 180; deg += 0.1 {
				after := GapNusselt(ra, aspect, deg*degree)
				if math.Abs(after-before) > 0.015*math.Max(before, upright) {
					t.Errorf("Nu steps from %.5g to %.5g at Ra %.3g, %.1f°", before, after, ra, deg)
				}
				if after < 1-1e-12 {
					t.Fatalf("Nu %g under pure conduction at Ra %g, %g°", after, ra, deg)
				}
				before = after
			}
			if math.Abs(before-1) > 1e-9 {
				t.Fatalf("heated from above, Nu is %g, want 1", before)
			}
		}
	}
}

// More difference never lowers the convection of a layer, whatever its slope,
// and a 0.1 % step of Ra changes it by under 1 %.
func TestGapRisesSmoothlyWithRayleigh(t *testing.T) {
	for deg := 0.0; deg <= 180; deg += 7.5 {
		before := GapNusselt(1, 20, deg*degree)
		for ra := 1.0; ra < 3e7; ra *= 1.001 {
			after := GapNusselt(ra, 20, deg*degree)
			checkStep(t, "GapNusselt", ra, before, after, 0.01)
			if after < before*(1-1e-12) {
				t.Fatalf("Nu falls at Ra %g, %g°: %g to %g", ra, deg, before, after)
			}
			before = after
		}
	}
}

// Two independent correlations of one group meet where Gap joins them. The
// spread is what the papers themselves claim, 5 % each, plus the scatter near
// the onset; it also bounds what our join at 60° changes.
func TestHollandsMeetsTheSteepGap(t *testing.T) {
	for ra := 1e4; ra < 2e5; ra *= 1.1 {
		a, b := Hollands(ra, math.Pi/3), SteepGap(ra, 40)
		if math.Abs(a-b) > 0.12*b {
			t.Errorf("at Ra %.3g Hollands gives %.4g, ElSherbiny %.4g", ra, a, b)
		}
	}
}

// The upright gap against the form that a standard for glazing uses, fitted
// later to more measurements in air:
//
//	Ra ≤ 10⁴           Nu = 1 + 1.7596678·10⁻¹⁰ Ra^2.2984755
//	10⁴ < Ra ≤ 5·10⁴   Nu = 0.028154 Ra^0.4134
//	Ra > 5·10⁴         Nu = 0.0673838 Ra^⅓
//
// Source: ISO 15099:2003, section 5.3.3.4, after Wright (1996) (the section from
// memory, the coefficients found in a public building library). The
// 13 % allowed lies within the scatter of the measurements behind both.
func TestUprightGapAgreesWithALaterForm(t *testing.T) {
	for ra := 1e3; ra < 2e6; ra *= 1.2 {
		later := 0.0673838 * math.Cbrt(ra)
		if ra <= 1e4 {
			later = 1 + 1.7596678e-10*math.Pow(ra, 2.2984755)
		} else if ra <= 5e4 {
			later = 0.028154 * math.Pow(ra, 0.4134)
		}
		// An aspect at which the tall-layer terms rule.
		if got := UprightGap(ra, 80); math.Abs(got-later) > 0.13*later {
			t.Errorf("Ra %.3g: %.4g, later form %.4g", ra, got, later)
		}
	}
}

func TestGapIsTheSameFromEitherSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := rapid.Float64Range(-math.Pi/2, math.Pi/2).Draw(t, "elevation")
		gap := rapid.Float64Range(0.002, 0.2).Draw(t, "gap")
		T1 := rapid.Float64Range(250, 900).Draw(t, "T1")
		T2 := rapid.Float64Range(250, 900).Draw(t, "T2")
		a := Gap(e, gap, 0.3, T1, T2)
		b := Gap(-e, gap, 0.3, T2, T1)
		if math.Abs(a.H-b.H) > 1e-9*a.H {
			t.Fatalf("%v from one side, %v from the other", a, b)
		}
	})
}

// The subcooled form solves its own equation.
func TestSubcooledBalancesItsFlux(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(10, 1e5).Draw(t, "a")
		b := rapid.Float64Range(10, 1e5).Draw(t, "b")
		cold := rapid.Float64Range(1e-6, 200).Draw(t, "cold")
		q := rapid.Float64Range(1, 1e6).Draw(t, "q")
		h, boils := subcooled(a, b, cold, q)
		if !boils {
			if h != a || q > a*cold {
				t.Fatalf("does not boil but h = %g, a = %g, q = %g", h, a, q)
			}
			return
		}
		wall := q / h // above bulk
		back := math.Hypot(a*wall, b*(wall-cold))
		if math.Abs(back-q) > 1e-6*q {
			t.Fatalf("flux %g comes back as %g", q, back)
		}
	})
}

// The three saturated forms are fits to much the same measurements. At 10 bar in
// the middle of their range they agree within a factor of 1.6.
func TestBoilingFormsAgreeWithOneAnother(t *testing.T) {
	pair := steam10()
	for _, x := range []float64{0.1, 0.3, 0.5} {
		own := Boil(&pair, x, 300, 0.01, 0, 2e5, Choice{DryOut: ByKonkov})
		if want := LiuWinterton(pair, x, 300, 0.01, 2e5); math.Abs(own.H-want) > 1e-12*want {
			t.Errorf("Boil at %g: %g, Liu & Winterton %g", x, own.H, want)
		}
		for _, other := range []float64{GungorWinterton(pair, x, 300, 0.01, 2e5), Kandlikar(pair, x, 300, 0.01, 2e5)} {
			if r := other / own.H; r < 1/1.6 || r > 1.6 {
				t.Errorf("quality %g: %g against %g", x, other, own.H)
			}
		}
	}
}

func TestAirHasNoJumpOverTemperature(t *testing.T) {
	before := AirAt(150)
	for T := 150.1; T < 1800; T += 0.1 {
		after := AirAt(T)
		checkStep(t, "density", T, before.Density, after.Density, 0.002)
		checkStep(t, "viscosity", T, before.Viscosity, after.Viscosity, 0.002)
		checkStep(t, "conductivity", T, before.Conductivity, after.Conductivity, 0.002)
		checkStep(t, "Prandtl number", T, before.Prandtl, after.Prandtl, 0.002)
		before = after
	}
}

func TestFrictionHasNoJumpAndComesToPoiseuille(t *testing.T) {
	before := Friction(1e-3, 1e-5, 0.01)
	for re := 1e-3; re < 1e8; re *= 1.001 {
		after := Friction(re, 1e-5, 0.01)
		checkStep(t, "Friction", re, before, after, 0.01)
		before = after
	}
	// Laminar flow through a tube, exact: Δp = 32 μ G L/(ρ D²).
	f := water40()
	for _, G := range []float64{1e-4, 0.01, 1, 20} {
		want := 32 * f.Viscosity * G * 3 / (f.Density * 0.01 * 0.01)
		if got := SinglePhaseDrop(f, G, 0.01, 0, 3); math.Abs(got-want) > 1e-6*want {
			t.Errorf("G = %g: %g Pa, Poiseuille gives %g", G, got, want)
		}
	}
	if got := SinglePhaseDrop(f, 0, 0.01, 0, 3); got != 0 {
		t.Errorf("no flow, yet %g Pa", got)
	}
}

func TestHomogeneousDropMeetsEachPhase(t *testing.T) {
	pair := steam10()
	for _, G := range []float64{-300, 5, 800} {
		liquid := SinglePhaseDrop(pair.Liquid, G, 0.01, 2e-6, 1.5)
		vapour := SinglePhaseDrop(pair.Vapour, G, 0.01, 2e-6, 1.5)
		if a := HomogeneousDrop(pair, 0, G, 0.01, 2e-6, 1.5); math.Abs(a-liquid) > 1e-12*math.Abs(liquid) {
			t.Errorf("quality 0: %g, liquid %g", a, liquid)
		}
		if a := HomogeneousDrop(pair, 1, G, 0.01, 2e-6, 1.5); math.Abs(a-vapour) > 1e-12*math.Abs(vapour) {
			t.Errorf("quality 1: %g, vapour %g", a, vapour)
		}
	}
}

// Whatever positive numbers come in, a positive finite coefficient comes out.
func TestNothingFiniteGivesNaN(t *testing.T) {
	wide := func(t *rapid.T, name string) float64 {
		return math.Pow(10, rapid.Float64Range(-12, 12).Draw(t, name))
	}
	rapid.Check(t, func(t *rapid.T) {
		fluid := func(name string) Fluid {
			return Fluid{wide(t, name+" density"), wide(t, name+" viscosity"), wide(t, name+" conductivity"), wide(t, name+" heat capacity"), wide(t, name+" prandtl"), wide(t, name+" expansion")}
		}
		f, v := fluid("liquid"), fluid("vapour")
		a, b, c, d := wide(t, "a"), wide(t, "b"), wide(t, "c"), wide(t, "d")
		T1 := rapid.Float64Range(1, 5000).Draw(t, "T1")
		T2 := rapid.Float64Range(1, 5000).Draw(t, "T2")
		e := rapid.Float64Range(-10, 10).Draw(t, "angle")
		x := rapid.Float64Range(-2, 2).Draw(t, "quality")
		pair := TwoPhase{Liquid: f, Vapour: v, Latent: wide(t, "latent"), SurfaceTension: 0.05, ReducedPressure: wide(t, "reduced"), MolarMass: 18}
		for name, got := range map[string]Coefficient{
			"Tube":     Tube(f, d, a, b, c, e, T1-T2),
			"Stagnant": Stagnant(f, b, T1-T2),
			"Outside":  Outside(e, a, b, T1, T2, c),
			"Gap":      Gap(e, a, b, T1, T2),
			"Boil":     Boil(&pair, x, a, b, 0, c, Choice{}).Coefficient,
		} {
			if !(got.H > 0) || math.IsInf(got.H, 0) {
				t.Fatalf("%s gives %+v", name, got)
			}
			if got.Outside && got.Spread < 1 {
				t.Fatalf("%s is outside its range with a spread of only %g", name, got.Spread)
			}
		}
		if p := SinglePhaseDrop(f, a, b, 1e-6, c); math.IsNaN(p) {
			t.Fatalf("SinglePhaseDrop gives NaN")
		}
		if p := HomogeneousDrop(pair, x, a, b, 1e-6, c); math.IsNaN(p) {
			t.Fatalf("HomogeneousDrop gives NaN")
		}
	})
}

func TestNothingLeavesAMirror(t *testing.T) {
	for _, pair := range [][2]float64{{0, 0.5}, {0.5, 0}, {0, 0}} {
		if q := Exchange(pair[0], pair[1], 900, 300); q != 0 {
			t.Errorf("emissivities %v exchange %g W/m²", pair, q)
		}
	}
}

func TestRadiationIsTheSameBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// From a thousandth: numbers near the smallest float lose digits.
		e1 := rapid.Float64Range(0.001, 1).Draw(t, "e1")
		e2 := rapid.Float64Range(0.001, 1).Draw(t, "e2")
		T1 := rapid.Float64Range(100, 2000).Draw(t, "T1")
		T2 := rapid.Float64Range(100, 2000).Draw(t, "T2")
		there, back := Exchange(e1, e2, T1, T2), Exchange(e2, e1, T2, T1)
		if math.IsNaN(there) || math.Abs(there+back) > 1e-12*math.Abs(there) {
			t.Fatalf("%g there, %g back", there, back)
		}
		if a, b := GreyCoefficient(e1, T1, T2)*(T1-T2), Grey(e1, T1, T2); math.Abs(a-b) > 1e-12*math.Abs(b) {
			t.Fatalf("coefficient gives %g, flux is %g", a, b)
		}
		r1 := rapid.Float64Range(0.01, 10).Draw(t, "r1")
		r2 := rapid.Float64Range(0.01, 10).Draw(t, "r2")
		f12, f21 := CoaxialDisks(r1, r2, 1), CoaxialDisks(r2, r1, 1)
		if math.Abs(f12*r1*r1-f21*r2*r2) > 1e-10*f12*r1*r1 || f12 > 1 || f12 < 0 {
			t.Fatalf("disks: F12 %g, F21 %g", f12, f21)
		}
	})
}

// A march asks for films at every step; none of them may allocate.
func TestFilmsAllocateNothing(t *testing.T) {
	f, pair := water40(), steam10()
	n := testing.AllocsPerRun(100, func() {
		Tube(f, 2, 300, 0.01, 2, 0, 30)
		Stagnant(f, 0.01, 30)
		Outside(0.3, 0.2, 0.05, 400, 300, 2)
		Gap(0.3, 0.02, 0.2, 600, 400)
		Boil(&pair, 0.3, 300, 0.01, 0, 1e5, Choice{})
		HomogeneousDrop(pair, 0.3, 300, 0.01, 1e-6, 2)
	})
	if n != 0 {
		t.Errorf("%g allocations", n)
	}
}
