package hazard

import (
	"errors"
	"fmt"
	"testing"

	"emberbank/internal/testkit"
	"emberbank/water"
)

// kell gives thermal expansivity in 1/K and isothermal compressibility in 1/Pa of water at 1.01325 bar and t in °C, 0 to 100.
// Source: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97-105, equations for density and compressibility; coefficients as a public page carries them.
func kell(t float64) (alpha, kappa float64) {
	rho := func(t float64) float64 {
		return (999.83952 + t*(16.945176+t*(-7.9870401e-3+t*(-46.170461e-6+t*(105.56302e-9+t*-280.54253e-12))))) / (1 + 16.879850e-3*t)
	}
	const d = 1e-3
	alpha = -(rho(t+d) - rho(t-d)) / (2 * d) / rho(t)
	kappa = (50.88496 + t*(0.6163813+t*(1.459187e-3+t*(20.08438e-6+t*(-58.47727e-9+t*410.4110e-12))))) / (1 + 19.67348e-3*t) * 1e-6 / 1e5
	return alpha, kappa
}

func TestPressureOfWaterShutInRisesAsMeasuredExpansionAndCompressionSay(t *testing.T) {
	for _, c := range []float64{20, 40, 60, 80, 99} {
		alpha, kappa := kell(c)
		got, err := RisePerKelvin(101325, c+iceZero)
		if err != nil {
			t.Fatal(err)
		}
		// Kell states 0.3 to 7·10⁻⁹ of 0.45·10⁻⁴ 1/bar for the compressibility; IF97 follows it within half a per cent.
		testkit.Close(t, fmt.Sprintf("α/κ at %g °C (Kell 1975)", c), got, alpha/kappa, 0.01, 0)
	}
}

func TestKelvinsToALimitAddUpToThePressure(t *testing.T) {
	const p, T, limit = 3e5, 288.15, 19.6e6
	k, err := Kelvins(p, T, limit)
	if err != nil {
		t.Fatal(err)
	}
	start, _ := water.AtPT(p, T)
	end, err := water.AtPT(limit, T+k)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "density at limit and temperature", end.Density, start.Density, 1e-7, 0)
	// By Kell's α/κ at the mean of the two temperatures, which leaves out what the pressure does to them: some per cent.
	alpha, kappa := kell(T + k/2 - iceZero)
	testkit.Close(t, "kelvins by α/κ", k, (limit-p)/(alpha/kappa), 0.05, 0)
	if k, err := Kelvins(p, T, p); err != nil || k != 0 {
		t.Errorf("a limit that is reached takes %g K (%v)", k, err)
	}
}

func TestSteamDoesNotFillATube(t *testing.T) {
	for _, q := range [][2]float64{{1e5, 400}, {1e5, 274}, {22e6, 640}} {
		if r, err := RisePerKelvin(q[0], q[1]); !errors.Is(err, water.ErrRange) {
			t.Errorf("at %g Pa and %g K the pressure rises by %g Pa/K (%v)", q[0], q[1], r, err)
		}
	}
	if _, err := Kelvins(1e5, 300, 2e8); !errors.Is(err, water.ErrRange) {
		t.Errorf("a limit beyond the equations is taken: %v", err)
	}
}
