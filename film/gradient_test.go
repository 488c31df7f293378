package film

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

var frictionLaws = []FrictionLaw{ByMullerSteinhagenHeck, ByFriedel, ByMcAdams}

// Every part of the gradient meets the single phase at both ends, without a
// jump in between, for every law.
func TestDropMeetsEachPhaseWithoutAJump(t *testing.T) {
	for _, bar := range []float64{1, 10, 160} {
		p := boilingWater(t, bar)
		for _, law := range frictionLaws {
			for _, void := range []VoidLaw{ByRouhani, Homogeneous} {
				for _, G := range []float64{2, 200, 2000} {
					c := Choice{Friction: law, Void: void}
					at := func(x float64) Gradient { return Drop(&p, x, G, 0.01, 2e-6, 0.5, c) }
					for end, f := range map[float64]Fluid{0: p.Liquid, 1: p.Vapour} {
						d := at(end)
						want := Gradient{Friction: SinglePhaseDrop(f, G, 0.01, 2e-6, 1), Gravity: f.Density * Gravity * math.Sin(0.5), Momentum: G * G / f.Density}
						for what, pair := range map[string][2]float64{
							"friction": {d.Friction, want.Friction}, "gravity": {d.Gravity, want.Gravity}, "momentum": {d.Momentum, want.Momentum},
						} {
							if math.Abs(pair[0]-pair[1]) > 1e-9*pair[1] {
								t.Errorf("%+v, %g bar, G %g, quality %g: %s %g, want %g", c, bar, G, end, what, pair[0], pair[1])
							}
						}
					}
					name := fmt.Sprintf("%+v, %g bar, G %g: ", c, bar, G)
					noLeap(t, name+"friction", func(x float64) float64 { return at(x).Friction }, -0.01, 1.01, 500)
					noLeap(t, name+"density", func(x float64) float64 { return at(x).Density }, -0.01, 1.01, 500)
					noLeap(t, name+"momentum", func(x float64) float64 { return at(x).Momentum }, -0.01, 1.01, 500)
				}
			}
		}
	}
}

// The momentum flux and the density are those of their definitions.
func TestVoidGivesMomentumAndDensity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := boilingAt(t)
		G := math.Pow(10, rapid.Float64Range(0, 3.3).Draw(t, "log G"))
		x := rapid.Float64Range(0.001, 0.999).Draw(t, "quality")
		inner := rapid.Float64Range(0.003, 0.05).Draw(t, "bore")
		tilt := rapid.Float64Range(-90, 90).Draw(t, "tilt") * degree
		d := Drop(&p, x, G, inner, 0, tilt, Choice{})
		e := Void(&p, x, G, inner, tilt, Choice{})
		l, v := p.Liquid.Density, p.Vapour.Density
		if !(e > 0 && e < 1) || math.Abs(d.Void-e) > 1e-12 {
			t.Fatalf("void %g, %g", e, d.Void)
		}
		if rho := e*v + (1-e)*l; math.Abs(d.Density-rho) > 1e-9*rho {
			t.Fatalf("density %g, want %g", d.Density, rho)
		}
		if m := G * G * (x*x/(e*v) + (1-x)*(1-x)/((1-e)*l)); math.Abs(d.Momentum-m) > 1e-6*m {
			t.Fatalf("momentum %g, want %g", d.Momentum, m)
		}
		// Steam is not slower than the water beside it, and both laws of void agree on that.
		if h := Void(&p, x, G, inner, tilt, Choice{Void: Homogeneous}); e > h+1e-12 {
			t.Fatalf("void %g over the homogeneous %g", e, h)
		}
		if more := Void(&p, math.Min(x+0.01, 1), G, inner, tilt, Choice{}); more < e {
			t.Fatalf("more steam takes less room: %g, then %g", e, more)
		}
	})
}

// Turned round, the friction turns its sign, and the weight does not.
func TestDropTurnsWithTheFlow(t *testing.T) {
	p := boilingWater(t, 5)
	for _, law := range frictionLaws {
		there, back := Drop(&p, 0.3, 150, 0.01, 0, 0.4, Choice{Friction: law}), Drop(&p, 0.3, -150, 0.01, 0, 0.4, Choice{Friction: law})
		if there.Friction != -back.Friction || there.Gravity != back.Gravity || there.Momentum != back.Momentum {
			t.Errorf("%v: %+v there, %+v back", law, there, back)
		}
	}
}

// The three laws of friction are within a factor of three of each other from
// 5 bar and 100 kg/(m² s) on.
func TestFrictionLawsAgreeWithOneAnother(t *testing.T) {
	for _, bar := range []float64{5, 20, 100} {
		p := boilingWater(t, bar)
		for _, G := range []float64{100, 500, 2000} {
			for x := 0.05; x < 1; x += 0.05 {
				own := Drop(&p, x, G, 0.012, 2e-6, 0, Choice{}).Friction
				for _, law := range frictionLaws {
					if r := Drop(&p, x, G, 0.012, 2e-6, 0, Choice{Friction: law}).Friction / own; r < 1.0/3 || r > 3 {
						t.Errorf("%v at %g bar, G %g, quality %g: %.2g times the default", law, bar, G, x, r)
					}
				}
			}
		}
	}
}
