package film

import (
	"math"
	"testing"
)

// Gap is GapNusselt with air at the mean temperature, whatever the attitude.
func TestGapComesToItsPublishedForms(t *testing.T) {
	const T1, T2, gap, height = 420.0, 340.0, 0.018, 0.4
	air := AirAt(380)
	ra := Gravity / 380 * 80 * cube(gap) * air.Density * air.Density * air.HeatCapacity / (air.Viscosity * air.Conductivity)
	for _, slope := range []float64{0, 40, 60, 75, 90, 130, 180} {
		want := GapNusselt(ra, height/gap, slope*degree) * air.Conductivity / gap
		got := Gap((90-slope)*degree, gap, height, T1, T2)
		if math.Abs(got.H-want) > 1e-6*want { // the arc sine is coarse close to level
			t.Errorf("slope %g°: %.9g, want %.9g", slope, got.H, want)
		}
		if got.Outside {
			t.Errorf("slope %g°, Ra %.3g: said to be outside", slope, ra)
		}
	}
}

// A layer says so on both sides of each border of its law.
func TestGapSaysWhenItIsOutside(t *testing.T) {
	for _, c := range []struct {
		name                    string
		slope, gap, height, hot float64
		outside                 bool
	}{
		{"upright, tall", 90, 0.02, 0.4, 400, false},
		{"upright, stout", 90, 0.10, 0.4, 400, true},
		{"upright, Ra over 2e7", 90, 0.20, 4, 400, true},
		{"from below, long", 0, 0.02, 0.4, 400, false},
		{"from below, short", 0, 0.04, 0.4, 400, true},
		{"from below, Ra over 1e5", 0, 0.04, 4, 400, true},
		{"from above, at rest", 180, 0.10, 0.4, 400, false},
		{"hotter than the table of air", 90, 0.02, 0.4, 1400, true},
	} {
		got := Gap((90-c.slope)*degree, c.gap, c.height, c.hot, 300)
		if got.Outside != c.outside || c.outside && got.Spread < 1 {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}

func TestOutsideSaysWhenItIsOutside(t *testing.T) {
	for _, c := range []struct {
		name                        string
		elevation, height, hot, air float64
		outside                     bool
	}{
		{"upright", 0, 0.4, 330, 293, false},
		{"30° over the horizontal", 30, 0.4, 330, 293, false},
		{"level, up", 90, 0.4, 330, 293, false},
		{"level, down", -90, 0.8, 330, 293, false},
		{"a speck looking down", -90, 0.02, 300, 293, true},
		{"hotter than the table of air", 0, 0.4, 1700, 293, true},
	} {
		got := Outside(c.elevation*degree, c.height, c.height/4, c.hot, c.air, 0)
		if got.Outside != c.outside || c.outside && got.Spread < 1 {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}

// Cooper's roughness term by the ratio of two walls: (2 µm against 1 µm) is
// p_r^(−0.2 log₁₀ 2).
func TestCooperComesToItsRoughnessTerm(t *testing.T) {
	got := Cooper(1e5, 0.05, 18, 2) / Cooper(1e5, 0.05, 18, 1)
	if want := math.Pow(0.05, -0.0602059991327962); math.Abs(got-want) > 1e-12 {
		t.Errorf("2 µm over 1 µm: %.12g, want %.12g", got, want)
	}
}
