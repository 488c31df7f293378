package water

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// sound tells what is wrong with a state, or "".
func sound(s State) string {
	for _, v := range []float64{s.P, s.T, s.H, s.Density, s.HeatCapacity, s.Viscosity, s.Conductivity, s.Prandtl, s.Quality, s.Entropy} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return "not finite"
		}
	}
	for _, v := range []float64{s.P, s.T, s.Density, s.HeatCapacity, s.Viscosity, s.Conductivity, s.Prandtl} {
		if !(v > 0) {
			return "not above zero"
		}
	}
	return ""
}

// Every pair of numbers gives a sound state or an error: also without a fuzzer, densest where the borders are.
func TestAnyStateIsSoundOrRefused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for range 20 {
			p := rapid.OneOf(
				rapid.SampledFrom([]float64{TriplePressure, region3Pressure, CriticalPressure, region5Pressure, highestPressure}),
				rapid.Float64Range(region3Pressure, 23e6),
				rapid.Float64Range(0, 110e6),
				rapid.Float64(),
			).Draw(t, "p")
			if rapid.Bool().Draw(t, "neighbour") {
				p = math.Nextafter(p, rapid.SampledFrom([]float64{0, math.Inf(1)}).Draw(t, "to"))
			}
			T := rapid.OneOf(
				rapid.SampledFrom([]float64{lowestTemperature, TripleTemperature, region1Temperature, CriticalTemperature, region2Temperature, region5Temperature}),
				rapid.Float64Range(623, 648),
				rapid.Float64Range(270, 2300),
				rapid.Float64(),
			).Draw(t, "T")
			soundOrRefused(t, p, T)
			soundOrRefused(t, p, rapid.OneOf(rapid.Float64Range(-1e4, 8e6), rapid.Float64Range(1.6e6, 2.7e6)).Draw(t, "h"))
			soundOrRefused(t, p, rapid.OneOf(rapid.Float64Range(-100, 15e3), rapid.Float64Range(3.7e3, 5.3e3)).Draw(t, "s"))
		}
	})
}

// soundOrRefused fails unless each function of state gives a sound state or an error, never both.
func soundOrRefused(t interface{ Errorf(string, ...any) }, p, x float64) {
	check := func(what string, s State, err error) {
		if err != nil {
			if err.Error() == "" || s != (State{}) {
				t.Errorf("%s(%g, %g): state %+v with error %q", what, p, x, s, err)
			}
			return
		}
		if fault := sound(s); fault != "" {
			t.Errorf("%s(%g, %g): %s: %+v", what, p, x, fault, s)
		}
	}
	s, err := AtPH(p, x)
	check("AtPH", s, err)
	if err == nil && s.H != x {
		t.Errorf("AtPH(%g, %g) has enthalpy %g", p, x, s.H)
	}
	s, err = AtPT(p, x)
	check("AtPT", s, err)
	s, err = AtPS(p, x)
	check("AtPS", s, err)
	s, err = SaturatedLiquid(p)
	check("SaturatedLiquid", s, err)
	s, err = SaturatedVapour(p)
	check("SaturatedVapour", s, err)
}

func FuzzStateOrError(f *testing.F) {
	for _, seed := range [][2]float64{
		{1e5, 4e5},
		{1e5, 1e6},
		{1e5, 3e6},
		{16.529e6, 1.67e6},
		{16.53e6, 2.5e6},
		{22.064e6, 2.1e6},
		{100e6, 95e3},
		{611.657, 0},
		{611.657, -41},
		{5e6, 5e6},
		{math.NaN(), 1},
		{1e5, math.NaN()},
		{math.Inf(1), math.Inf(-1)},
		{1e5, 273.15},
		{1e5, 372.755919},
		{20e6, 623.15},
		{50e6, 900},
		{1e-300, 300},
		{5e-324, 1073.15},
	} {
		f.Add(seed[0], seed[1])
	}
	f.Fuzz(func(t *testing.T, p, x float64) {
		soundOrRefused(t, p, x)
		b, err := NewIsobar(p)
		if err != nil {
			return
		}
		if s := b.At(x); !math.IsNaN(x) && sound(s) != "" {
			t.Errorf("isobar of %g Pa at %g J/kg: %s: %+v", p, x, sound(s), s)
		}
	})
}
