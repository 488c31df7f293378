package hazard

import (
	"math"
	"testing"

	"emberbank/internal/testkit"
)

func TestLimitsOfLightAreThoseOfTheDirective(t *testing.T) {
	// Source: Directive 2006/25/EC, Annex I, Table 1.1, rows m to o, worked by hand; formulas from memory.
	testkit.Close(t, "eye, 10 s", EyeLimit(10), 3200.9, 1e-4, 0)
	testkit.Close(t, "eye, 1000 s, where both rows nearly meet", EyeLimit(1000), 101.2, 1e-3, 0)
	testkit.Close(t, "eye, longer", EyeLimit(1001), 100, 0, 0)
	for _, r := range []struct{ t, want float64 }{{1, 20000}, {0.25, 56568.5}} {
		got, ok := SkinLimit(r.t)
		if !ok {
			t.Fatalf("no limit for %g s", r.t)
		}
		testkit.Close(t, "skin", got, r.want, 1e-5, 0)
	}
	if _, ok := SkinLimit(10); ok {
		t.Error("skin has a limit for 10 s")
	}
}

// TestThrownLightIsAllOfIt adds up Lambert's light over the half sphere: E cos θ d² over all directions is the power.
func TestThrownLightIsAllOfIt(t *testing.T) {
	const power, d, n = 700.0, 3.0, 2000
	sum := 0.0
	for i := range n {
		theta := (float64(i) + 0.5) * math.Pi / 2 / n
		sum += Thrown(power, d) * math.Cos(theta) * 2 * math.Pi * math.Sin(theta) * d * d * math.Pi / 2 / n
	}
	testkit.Close(t, "power", sum, power, 1e-6, 0)
	testkit.Close(t, "distance", Thrown(power, ThrownClear(power, 100)), 100, 1e-12, 0)
}

func TestConeOfLightFallsWithTheSquareOfTheDistance(t *testing.T) {
	const power, half = 3000.0, 0.7
	area := math.Pi * math.Pow(2*math.Tan(half), 2)
	testkit.Close(t, "two metres on", Beyond(power, half, 2), power/area, 1e-12, 0)
	testkit.Close(t, "distance", Beyond(power, half, BeyondClear(power, half, 1000)), 1000, 1e-12, 0)
}
