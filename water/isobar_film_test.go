package water

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// One look into the table gives what At, Temperature, Slope and Enthalpy give one by one.
func TestFilmPropertiesAreThoseOfTheState(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawIsobar(t)
		for range 100 {
			h := rapid.Float64Range(b.Low, b.High).Draw(t, "enthalpy")
			T, slope := b.TemperatureSlope(h)
			near(t, "temperature", T, b.Temperature(h), 1e-15)
			near(t, "slope", slope, b.Slope(h), 1e-15)
			f, s := b.Film(h), b.At(h)
			near(t, "temperature of the film", f.T, s.T, 1e-15)
			near(t, "viscosity", f.Conductivity, s.Conductivity, 1e-14)
			near(t, "Prandtl number", f.Prandtl, s.Prandtl, 1e-14)
			if h < b.HLiquid || h > b.HVapour {
				near(t, "density", f.Density, s.Density, 1e-14)
				near(t, "viscosity", f.Viscosity, s.Viscosity, 1e-14)
				of := b.LiquidPrandtl
				if h > b.HVapour {
					of = b.VapourPrandtl
				}
				near(t, "Prandtl number by temperature", of(s.T), s.Prandtl, 1e-9)
			} else {
				near(t, "density of boiling water's liquid", f.Density, b.Liquid.Density, 1e-12)
			}
		}
	})
}

// The expansion is the derivative of the equations' own density at constant pressure, by central differences of 1 mK:
// good to 1e-6 where the liquid expands by more than 1e-5 per kelvin.
func TestExpansionIsTheDerivativeOfDensity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawIsobar(t)
		T := rapid.Float64Range(280, 1050).Draw(t, "temperature")
		if math.Abs(T-b.Saturation) < 0.1 {
			return
		}
		hot, err := AtPT(b.P, T+1e-3)
		if err != nil {
			return // region 3
		}
		cold, err := AtPT(b.P, T-1e-3)
		if err != nil {
			return
		}
		want := (cold.Density - hot.Density) / 2e-3 / (0.5 * (cold.Density + hot.Density))
		got := b.Film(b.Enthalpy(T)).Expansion
		if want < 0 {
			want = 0
		}
		if !(math.Abs(got-want) <= 1e-5*want+1e-8) {
			t.Fatalf("at %g Pa and %g K: %.8g, want %.8g", b.P, T, got, want)
		}
	})
}
