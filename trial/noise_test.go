package trial

import (
	"math"
	"math/rand/v2"
	"testing"

	"emberbank/history"
)

// TestASwitchBetweenLevelsIsNoNoise: a lamp that a thermostat switches, or one that is chopped within two rows, is as
// noisy as its readings scatter about a level, whatever the levels; the steps between them say nothing of it.
func TestASwitchBetweenLevelsIsNoNoise(t *testing.T) {
	const n = 600
	for _, c := range []struct {
		name     string
		on, off  int // rows
		high     float64
		low      float64
		noise    float64
		rounding float64
	}{
		{"full and a quarter", 20, 10, 3500, 875, 0, 0.1},
		{"full and off with an offset", 20, 10, 3500, -30, 0, 0.1},
		{"chopped", 2, 1, 3500, 200, 0, 0.1},
		{"each second row", 1, 1, 3500, 200, 0, 0.1},
		{"scattering", 20, 10, 3500, -30, 8, 0.1},
		{"scattering and chopped", 3, 2, 3500, 200, 8, 0.1},
		{"steady", n, 1, 3500, 0, 8, 0.1},
	} {
		rng := rand.New(rand.NewPCG(7, 1))
		v := make([]float64, n)
		for k := range v {
			v[k] = c.low
			if k%(c.on+c.off) < c.on {
				v[k] = c.high
			}
			v[k] = math.Round((v[k]+c.noise*rng.NormFloat64())/c.rounding) * c.rounding
		}
		got, want := noise(v, history.HeatFlow, c.rounding), math.Max(c.noise, c.rounding/math.Sqrt(12))
		// A median of squares over a hundred rows or more is right to within a quarter.
		if math.Abs(got-want) > 0.25*want {
			t.Errorf("%s: ± %.3g W, want %.3g", c.name, got, want)
		}
	}
}

// TestASwingThatIsNoSwitchStillCountsAsNoise: light behind broken clouds has no levels to be switched between.
func TestASwingThatIsNoSwitchStillCountsAsNoise(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	for _, n := range []int{20, 60, 2000} {
		v := make([]float64, n)
		for k := range v {
			v[k] = 600 + 100*rng.NormFloat64()
		}
		if got := noise(v, history.Irradiance, 0.1); got < 40 || got > 180 { // by n = 20 a median scatters by a third
			t.Errorf("%d rows: ± %.3g W/m2, made with 100", n, got)
		}
	}
}
