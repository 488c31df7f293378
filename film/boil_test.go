package film

import (
	"fmt"
	"math"
	"sync"
	"testing"

	"emberbank/water"

	"pgregory.net/rapid"
)

// boilingWater is saturated water and steam at p in bar by IAPWS-IF97.
func boilingWater(t testing.TB, bar float64) TwoPhase {
	t.Helper()
	p, err := waterAt(bar)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func waterAt(bar float64) (TwoPhase, error) {
	iso, err := water.NewIsobar(bar * 1e5)
	if err != nil {
		return TwoPhase{}, err
	}
	of := func(s *water.State) Fluid {
		return Fluid{Density: s.Density, Viscosity: s.Viscosity, Conductivity: s.Conductivity, HeatCapacity: s.HeatCapacity, Prandtl: s.Prandtl}
	}
	return TwoPhase{
		Liquid: of(&iso.Liquid), Vapour: of(&iso.Vapour), Latent: iso.HVapour - iso.HLiquid,
		SurfaceTension: iso.SurfaceTension, Pressure: bar * 1e5, ReducedPressure: bar * 1e5 / 22.064e6,
		MolarMass: 18.015268, Saturation: iso.Saturation,
	}, nil
}

// in sets the single-phase films that Boil meets at both ends.
func (t TwoPhase) in(G, inner, tilt float64) TwoPhase {
	t.LiquidOnly = Tube(t.Liquid, 0, G, inner, 2, tilt, 10).H
	t.VapourOnly = Tube(t.Vapour, 0, G, inner, 2, tilt, 10).H
	return t
}

var somePressures = []float64{1, 3, 10, 40, 100, 160}

func everyChoice() []Choice {
	all := []Choice{{}}
	for i := range boilingNames[1:] {
		all = append(all, Choice{Boiling: BoilingLaw(i + 1)})
	}
	for i := range dryOutNames[1:] {
		all = append(all, Choice{DryOut: DryOutLaw(i + 1)})
	}
	for i := range mistNames[1:] {
		all = append(all, Choice{Mist: MistLaw(i + 1)})
	}
	return append(all, Choice{Void: Homogeneous})
}

// From cold liquid to hot steam, at every pressure, flow, flux and tilt of the
// job, no interval of quality hides a jump of the film or of its spread: where a
// thousandth of quality moves the film by more than a fiftieth, halving that
// interval forty times leaves nothing.
func TestBoilHasNoJumpOverQuality(t *testing.T) {
	for _, bar := range somePressures {
		pair := boilingWater(t, bar)
		for _, G := range []float64{1, 20, 120, 600, 2000} {
			for _, q := range []float64{0, 2e4, 2e5, 1e6} {
				for _, tilt := range []float64{-90, -30, 0, 12, 45, 90} {
					p := pair.in(G, 0.01, tilt*degree)
					h := func(x float64) float64 { return Boil(&p, x, G, 0.01, tilt*degree, q, Choice{}).H }
					s := func(x float64) float64 { return Boil(&p, x, G, 0.01, tilt*degree, q, Choice{}).Spread }
					noLeap(t, fmt.Sprintf("film at %g bar, G %g, q %g, %g°", bar, G, q, tilt), h, -0.3, 1.2, 400)
					noLeap(t, fmt.Sprintf("spread at %g bar, G %g, q %g, %g°", bar, G, q, tilt), s, -0.3, 1.2, 200)
				}
			}
		}
	}
}

// noLeap scans f from a to b in n steps and looks into every step of over 2 %.
func noLeap(t *testing.T, what string, f func(float64) float64, a, b float64, n int) {
	t.Helper()
	before, dx := f(a), (b-a)/float64(n)
	for i := 1; i <= n; i++ {
		x := a + float64(i)*dx
		after := f(x)
		if !(after > 0) || math.IsInf(after, 0) {
			t.Fatalf("%s is %g at %g", what, after, x)
		}
		if math.Abs(after-before) > 0.02*before {
			if jump := leap(f, x-dx, x); jump > 1e-4 {
				t.Fatalf("%s jumps by %.2g between %g and %g", what, jump, x-dx, x)
			}
		}
		before = after
	}
}

// The same over flow, flux, tilt and pressure, for every law to choose from.
func TestBoilHasNoJumpOverFlowFluxTiltAndPressure(t *testing.T) {
	pairs := map[float64]TwoPhase{}
	for _, bar := range []float64{1.5, 12, 90} {
		pairs[bar] = boilingWater(t, bar)
	}
	for _, c := range everyChoice() {
		for _, bar := range []float64{1.5, 12, 90} {
			pair := pairs[bar]
			for _, x := range []float64{-0.05, 0.02, 0.3, 0.7, 0.93, 0.98} {
				name := fmt.Sprintf("%+v, %g bar, quality %g", c, bar, x)
				noLeap(t, name+", over flow", func(logG float64) float64 {
					G := math.Pow(10, logG)
					p := pair.in(G, 0.012, 0)
					return Boil(&p, x, G, 0.012, 0, 1e5, c).H
				}, 0, 3.35, 200)
				p := pair.in(90, 0.012, 0)
				noLeap(t, name+", over flux", func(logQ float64) float64 {
					return Boil(&p, x, 90, 0.012, 0, math.Pow(10, logQ), c).H
				}, 1, 6, 200)
				noLeap(t, name+", over tilt", func(deg float64) float64 {
					return Boil(&p, x, 90, 0.012, deg*degree, 1e5, c).H
				}, -90, 90, 200)
			}
		}
	}
	noLeap(t, "over pressure", func(logBar float64) float64 {
		p := boilingWater(t, math.Pow(10, logBar))
		p = p.in(90, 0.012, 0)
		sum := 0.0
		for _, x := range []float64{0.02, 0.3, 0.8} {
			sum += Boil(&p, x, 90, 0.012, 0, 1e5, Choice{}).H
		}
		return sum
	}, 0, 2.2, 150) // steps that stay under the 2 % of which noLeap takes notice
}

// How steep the film may be, for the march: over 1 % of quality its logarithm
// changes by less than 2 where the wall does not dry (the most of it in slow flow
// just below saturation, where nucleation comes in, and in the
// first 2 % at 1 bar, where steam is made of little water and much room), and
// while it dries by less than 0.35 of the wet film.
func TestBoilIsNoSteeperThanSaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := boilingAt(t)
		G := math.Pow(10, rapid.Float64Range(0, 3.3).Draw(t, "log G"))
		inner := rapid.Float64Range(0.003, 0.05).Draw(t, "bore")
		tilt := rapid.Float64Range(-90, 90).Draw(t, "tilt") * degree
		q := rapid.Float64Range(0, 1e6).Draw(t, "flux")
		x := rapid.Float64Range(-0.3, 1.2).Draw(t, "quality")
		c := rapid.SampledFrom(everyChoice()).Draw(t, "choice")
		p = p.in(G, inner, tilt)
		a, b := Boil(&p, x, G, inner, tilt, q, c), Boil(&p, x+0.01, G, inner, tilt, q, c)
		from, to := DryOut(&p, G, inner, tilt, q, c)
		if x+0.01 >= from && x < to {
			wet := Boil(&p, from-1e-6, G, inner, tilt, q, c).H
			if math.Abs(a.H-b.H) > 0.35*math.Max(wet, a.H) {
				t.Fatalf("drying at %g: %g to %g, wet %g, dry-out %g..%g", x, a.H, b.H, wet, from, to)
			}
			return
		}
		if math.Abs(math.Log(b.H/a.H)) > 2 {
			t.Fatalf("at %g: %g to %g", x, a.H, b.H)
		}
	})
}

// boilingAt draws a pressure from 1 to 160 bar.
func boilingAt(t *rapid.T) TwoPhase { return rapid.SampledFrom(boilingWaters()).Draw(t, "water") }

var boilingWaters = sync.OnceValue(func() []TwoPhase {
	var all []TwoPhase
	for _, bar := range []float64{1, 1.4, 2, 3, 5, 8, 13, 20, 33, 55, 90, 120, 160} {
		p, err := waterAt(bar)
		if err != nil {
			panic(err) // the table covers these
		}
		all = append(all, p)
	}
	return all
})

// More superheat of the wall gives more heat as long as the wall is wet and
// dry-out stands where it is. Said exception: a flux that moves dry-out to lower
// quality (here held by BoilBetween).
func TestMoreSuperheatGivesMoreHeatUpToDryOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := boilingAt(t)
		G := math.Pow(10, rapid.Float64Range(0, 3.3).Draw(t, "log G"))
		inner := rapid.Float64Range(0.003, 0.05).Draw(t, "bore")
		tilt := rapid.Float64Range(-90, 90).Draw(t, "tilt") * degree
		x := rapid.Float64Range(-0.3, 1.2).Draw(t, "quality")
		c := rapid.SampledFrom(everyChoice()).Draw(t, "choice")
		p = p.in(G, inner, tilt)
		before := 0.0
		for q := 100.0; q < 1e6; q *= 1.3 {
			over := q / BoilBetween(&p, x, G, inner, tilt, q, 0.7, 0.9, c).H // above the bulk
			if over <= before {
				t.Fatalf("%g W/m² at %g K, less flux at %g K", q, over, before)
			}
			before = over
		}
	})
}

// Outside the ranges the spread is a factor of two at least, it is never under
// one tenth, and what is wet is a share.
func TestBoilSaysWhenItIsOutside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := boilingAt(t)
		G := math.Pow(10, rapid.Float64Range(-1, 4.3).Draw(t, "log G"))
		inner := rapid.Float64Range(0.001, 0.1).Draw(t, "bore")
		tilt := rapid.Float64Range(-90, 90).Draw(t, "tilt") * degree
		q := rapid.Float64Range(-1e5, 4e6).Draw(t, "flux")
		x := rapid.Float64Range(-0.3, 1.2).Draw(t, "quality")
		c := rapid.SampledFrom(everyChoice()).Draw(t, "choice")
		p = p.in(G, inner, tilt)
		b := Boil(&p, x, G, inner, tilt, q, c)
		if b.Outside != (b.Spread >= factorOfTwo) && b.Regime != Liquid || b.Spread < 0.1 || b.Law == "" {
			t.Fatalf("%+v", b)
		}
		if !(b.Wetted >= 0 && b.Wetted <= 1) {
			t.Fatalf("wetted %g", b.Wetted)
		}
		if x > 0.06 && x < 1 && (G < 12 || G > 8180 || inner < 0.0029 || inner > 0.033 || q < 350) && b.Spread < factorOfTwo {
			t.Fatalf("G %g, bore %g, q %g: spread only %g", G, inner, q, b.Spread)
		}
	})
}

func TestDryOutStaysWithinItsBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := boilingAt(t)
		G := math.Pow(10, rapid.Float64Range(-3, 4).Draw(t, "log G"))
		inner := rapid.Float64Range(0.001, 0.1).Draw(t, "bore")
		tilt := rapid.Float64Range(-90, 90).Draw(t, "tilt") * degree
		q := rapid.Float64Range(-1e5, 1e7).Draw(t, "flux")
		c := rapid.SampledFrom(everyChoice()).Draw(t, "choice")
		from, to := DryOut(&p, G, inner, tilt, q, c)
		if !(from >= 0.05 && from <= 0.95 && to >= from+0.05-1e-12 && to <= 1+1e-12) {
			t.Fatalf("%g..%g", from, to)
		}
		more, _ := DryOut(&p, G, inner, tilt, q+1e5, c)
		if more > from+1e-12 {
			t.Fatalf("more flux dries later: %g, then %g", from, more)
		}
	})
}

func TestWithinGoesTheSameFactorEitherWay(t *testing.T) {
	c := Coefficient{H: 100, Spread: 1}
	if d := (Gradient{Friction: -8, Gravity: 3, Spread: 1}).Within(-1); d.Friction != -4 || d.Gravity != 3 {
		t.Errorf("gradient: %+v", d)
	}
	for _, w := range []struct{ s, want float64 }{{-1, 50}, {0, 100}, {1, 200}, {0.5, 100 * math.Sqrt2}} {
		if got := c.Within(w.s); math.Abs(got-w.want) > 1e-12*w.want {
			t.Errorf("at %g: %g, want %g", w.s, got, w.want)
		}
	}
}

func TestChoiceIsSetByName(t *testing.T) {
	for _, part := range Parts() {
		for _, name := range Laws(part) {
			var c Choice
			if err := c.Set(part, name); err != nil {
				t.Error(err)
			}
			at := map[string]fmt.Stringer{"boiling": c.Boiling, "dry-out": c.DryOut, "mist": c.Mist, "void": c.Void, "friction": c.Friction}
			if got := at[part].String(); got != name {
				t.Errorf("%s set to %q reads %q", part, name, got)
			}
		}
	}
	var c Choice
	if c.Set("boiling", "guess") == nil || c.Set("weather", "fair") == nil || c != (Choice{}) {
		t.Error("an unknown name is set")
	}
}

func TestBoilAllocatesNothing(t *testing.T) {
	p := boilingWater(t, 3).in(60, 0.01, 0)
	n := testing.AllocsPerRun(50, func() {
		for _, x := range []float64{-0.1, 0.01, 0.4, 0.96, 1.1} {
			Boil(&p, x, 60, 0.01, 0.3, 1e5, Choice{Boiling: ByChen})
			Drop(&p, x, 60, 0.01, 1e-6, 0.3, Choice{Friction: ByFriedel})
		}
		Standing(&p, 0.4, 0.01, 0, 1e5, 20, Choice{})
		Rewet(&p, Quench{Wall: 600, Density: 7900, HeatCapacity: 500, Conductivity: 18, Thickness: 1e-3, Inner: 0.01, Length: 1, Flow: 0.01})
	})
	if n != 0 {
		t.Errorf("%g allocations", n)
	}
}

// Whatever positive numbers come in, and no flow, positive finite films come out.
func TestBoilGivesNoNaN(t *testing.T) {
	wide := func(t *rapid.T, name string) float64 {
		return math.Pow(10, rapid.Float64Range(-9, 9).Draw(t, name))
	}
	rapid.Check(t, func(t *rapid.T) {
		fluid := func(name string) Fluid {
			return Fluid{wide(t, name+" density"), wide(t, name+" viscosity"), wide(t, name+" conductivity"), wide(t, name+" heat capacity"), wide(t, name+" prandtl"), 0}
		}
		p := TwoPhase{
			Liquid: fluid("liquid"), Vapour: fluid("vapour"), Latent: wide(t, "latent"), SurfaceTension: wide(t, "tension"),
			Pressure: wide(t, "pressure"), ReducedPressure: wide(t, "reduced"), MolarMass: 18, Saturation: wide(t, "saturation"),
		}
		G := rapid.SampledFrom([]float64{0, 1, -1}).Draw(t, "sign") * wide(t, "G")
		x := rapid.Float64Range(-2, 2).Draw(t, "quality")
		inner, q := wide(t, "bore"), wide(t, "flux")
		tilt := rapid.Float64Range(-10, 10).Draw(t, "tilt")
		c := rapid.SampledFrom(everyChoice()).Draw(t, "choice")
		c.Friction = rapid.SampledFrom(frictionLaws).Draw(t, "friction")
		b := Boil(&p, x, G, inner, tilt, q, c)
		if !(b.H > 0) || math.IsInf(b.H, 0) || math.IsNaN(b.Spread) {
			t.Fatalf("Boil gives %+v", b)
		}
		s := Standing(&p, x, inner, tilt, q, 10, c)
		if !(s.H > 0) || math.IsInf(s.H, 0) {
			t.Fatalf("Standing gives %+v", s)
		}
		d := Drop(&p, x, G, inner, 1e-6, tilt, c)
		if math.IsNaN(d.Friction + d.Gravity + d.Momentum + d.Void) {
			t.Fatalf("Drop gives %+v", d)
		}
		from, to := DryOut(&p, G, inner, tilt, q, c)
		if !(from >= 0.05 && to <= 1+1e-12 && to > from) {
			t.Fatalf("dry-out %g..%g", from, to)
		}
		if w := Wetted(&p, x, G, inner, tilt, c); !(w >= 0 && w <= 1) {
			t.Fatalf("wetted %g", w)
		}
	})
}
