package water

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The pressure of a liquid hangs on the last digits of its volume: 1e-14 of the volume is some 20 Pa.
const pascals = 100.0

func TestShutWaterMatchesIndependentGrid(t *testing.T) {
	rows, kinds := readGrid(t, "state_grid.csv")
	for i, q := range rows {
		p, T, v, u, h := q["p_bar"]*1e5, q["t_C"]+273.15, q["v_m3kg"], q["u_kJkg"]*1e3, q["h_kJkg"]*1e3
		at := fmt.Sprintf("%s at %g bar, %g °C: ", kinds[i], q["p_bar"], q["t_C"])
		s, err := AtVU(v, u)
		if err != nil {
			t.Error(at, err)
			continue
		}
		// The grid has ten digits; half a unit of the tenth of v is 10 Pa at most in the liquid, in u 1e-9 K.
		same(t, at+"T", s.T, T, 1e-8)
		same(t, at+"h", s.H, h, 1e-8)
		if math.Abs(s.P-p) > 1e-7*p+100 {
			t.Errorf("%sp = %.10g Pa", at, s.P)
		}
		if x := q["quality"]; !math.IsNaN(x) && math.Abs(s.Quality-x) > 1e-6 { // as much by 1 Pa
			t.Errorf("%squality %.10g, want %g", at, s.Quality, x)
		}
	}
}

func TestShutWaterUndoesEveryState(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, f := drawPhase(t)
		s, err := AtPT(f.pressure, f.T)
		if err != nil {
			t.Fatal(err)
		}
		v := 1 / s.Density
		tolerance := 1e-9
		for _, T := range borders(f.pressure) {
			if math.Abs(f.T-T) < 1 {
				tolerance = 2e-4 // the regions' volumes step there
			}
		}
		if f.pressure > 0.9999*highestPressure || f.pressure > 0.9999*region5Pressure && f.T > region2Temperature-1 {
			return // rounding may take it over the end
		}
		byT, err := AtVT(v, f.T)
		if err != nil {
			t.Fatal(err)
		}
		byU, err := AtVU(v, s.InternalEnergy())
		if err != nil {
			t.Fatal(err)
		}
		if 1/byT.Density != v && math.Abs(byT.Density*v-1) > 1e-15 {
			t.Fatalf("volume %g, want %g", 1/byT.Density, v)
		}
		near(t, "T of (v,u)", byU.T, f.T, tolerance)
		// A step of volume is a step of pressure of as much over the compressibility, and one of energy moves the
		// pressure along the line of constant volume.
		slack := pascals + f.pressure*1e-9 + 3*tolerance*s.Density/f.drhodp
		for _, p := range []float64{byT.P, byU.P} {
			if math.Abs(p-f.pressure) > slack {
				t.Fatalf("pressure %.12g, want %.12g", p, f.pressure)
			}
		}
	})
}

func TestShutBoilingWaterHasItsQuality(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		T := rapid.Float64Range(TripleTemperature, CriticalTemperature-0.5).Draw(t, "T")
		x := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "quality")
		p := saturationPressure(T)
		l, v, _ := saturated(p)
		volume := l.v + x*(v.v-l.v)
		s, err := AtVU(volume, l.u+x*(v.u-l.u))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "T", s.T, T, 1e-8)
		near(t, "p", s.P, p, 1e-7)
		near(t, "h", s.H, l.h+x*(v.h-l.h), 1e-7)
		if math.Abs(s.Quality-x) > 1e-6 {
			t.Fatalf("quality %g, want %g", s.Quality, x)
		}
	})
}

// A sealed tube that is heated grows hotter, and above the density's maximum its pressure rises.
func TestHeatingShutWaterRaisesTemperatureAndPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := math.Exp(rapid.Float64Range(math.Log(0.00098), math.Log(150)).Draw(t, "log volume"))
		u := rapid.Float64Range(30e3, 100e3).Draw(t, "energy")
		var last State
		for ; u < 6e6; u += 20e3 {
			s, err := AtVU(v, u)
			if err != nil {
				if last.P == 0 { // cold vapour, thinner than boiling water can be
					continue
				}
				// Full of liquid, above 50 MPa over 800 °C, or above 2000 °C.
				if last.P > 0.6*highestPressure && errors.Is(err, ErrOverPressure) || last.P > 0.9*region5Pressure || last.T > 0.95*region5Temperature {
					return
				}
				t.Fatalf("%v after %+v", err, last)
			}
			if fault := sound(s); fault != "" {
				t.Fatalf("%s: %+v", fault, s)
			}
			near(t, "u", s.InternalEnergy(), u, 1e-12)
			if s.T < last.T || last.T > 278 && s.P < last.P*(1-1e-6)-pascals {
				t.Fatalf("from %+v\nto %+v", last, s)
			}
			last = s
		}
	})
}

func TestShutWaterRefusesWithAReason(t *testing.T) {
	vu := func(v, u float64) error { _, err := AtVU(v, u); return err }
	vt := func(v, T float64) error { _, err := AtVT(v, T); return err }
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		err  error
		is   error
		says string
	}{
		{vu(0.001, 500e3), ErrOverPressure, "fills its volume"},
		{vu(0.0009, 100e3), ErrOverPressure, "fills its volume"},
		{vu(0.002, 6e6), ErrOverPressure, "relief valve"},
		{vt(0.001, 400), ErrOverPressure, "water of 0.001 m3/kg at 126.85 degC"},
		{vt(0.0015, 1000), ErrOverPressure, "above 100 MPa"},
		{vt(0.008, 1500), ErrRange, "above 800 degC the pressure must be within 50 MPa"},
		{vt(1e7, 300), ErrRange, "1 Pa"},
		{vu(1e7, 2.5e6), ErrRange, "give less volume"},
		{vu(0.1, -1e6), ErrRange, "below 0 degC"},
		{vu(10, 1e9), ErrRange, "above 2000 degC"},
		{vu(0.001, -50e3), ErrRange, "ice"},
		{vu(0, 1e6), ErrRange, "above zero"},
		{vu(nan, 1e6), ErrRange, "above zero"},
		{vu(1, nan), ErrRange, "a number"},
		{vu(inf, 1e6), ErrRange, ""},
		{vt(1, 200), ErrRange, "0 degC to 2000 degC"},
		{vt(1, nan), ErrRange, "0 degC to 2000 degC"},
		{vt(-1, 300), ErrRange, "above zero"},
	} {
		if c.err == nil || !errors.Is(c.err, c.is) || !errors.Is(c.err, ErrRange) || !strings.Contains(c.err.Error(), c.says) {
			t.Errorf("error %q: want one that wraps %q and says %q", c.err, c.is, c.says)
		}
	}
}

func shutOrRefused(t interface{ Errorf(string, ...any) }, v, x float64) {
	for name, at := range map[string]func(v, x float64) (State, error){"AtVU": AtVU, "AtVT": AtVT} {
		s, err := at(v, x)
		switch {
		case err != nil && (!errors.Is(err, ErrRange) || s != (State{})):
			t.Errorf("%s(%g, %g): %+v with error %v", name, v, x, s, err)
		case err == nil && sound(s) != "":
			t.Errorf("%s(%g, %g): %s: %+v", name, v, x, sound(s), s)
		case err == nil && !(s.P >= lowestPressure && s.P <= highestPressure && s.T >= lowestTemperature && s.T <= region5Temperature):
			t.Errorf("%s(%g, %g): outside the range: %+v", name, v, x, s)
		}
		if err != nil && strings.Contains(err.Error(), "no temperature found") {
			t.Errorf("%s(%g, %g): %v", name, v, x, err)
		}
	}
}

func TestAnyShutStateIsSoundOrRefused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for range 20 {
			v := rapid.OneOf(
				rapid.Float64Range(0.0009, 0.01),
				rapid.Float64Range(0.0030, 0.0032),
				rapid.Map(rapid.Float64Range(math.Log(1e-4), math.Log(1e7)), math.Exp),
				rapid.Float64(),
			).Draw(t, "v")
			shutOrRefused(t, v, rapid.OneOf(
				rapid.Float64Range(-1e5, 7e6),
				rapid.Float64Range(1.9e6, 2.1e6),
				rapid.Float64Range(270, 2300),
				rapid.Float64Range(645, 648),
				rapid.Float64(),
			).Draw(t, "u or T"))
		}
	})
}

func FuzzShutStateOrError(f *testing.F) {
	for _, seed := range [][2]float64{
		{0.001, 4e5},
		{0.00100005, 20e3},
		{0.0031, 2.019e6},
		{0.0031055900621118, 647.096},
		{1, 2e6},
		{200, 2.4e6},
		{0.0016, 623.15},
		{0.0027, 863.15},
		{0.0097, 1073.15},
		{math.NaN(), 1},
		{math.Inf(1), 300},
		{5e-324, 5e-324},
	} {
		f.Add(seed[0], seed[1])
	}
	f.Fuzz(func(t *testing.T, v, x float64) { shutOrRefused(t, v, x) })
}

func TestShutStatesAllocateNothing(t *testing.T) {
	u, sum := 100e3, 0.0
	n := testing.AllocsPerRun(500, func() {
		u += 4e3
		s, err := AtVU(0.1, u)
		if err == nil {
			sum += s.T
		}
	})
	if n != 0 || !(sum > 0) {
		t.Errorf("%g allocations per state, sum %g", n, sum)
	}
}

func BenchmarkAtVU(b *testing.B) {
	for _, c := range []struct {
		name string
		v, u float64
	}{{"boiling", 0.01, 900e3}, {"liquid", 0.00101, 300e3}, {"steam", 0.5, 2.9e6}, {"dense", 0.0031, 2.1e6}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				s, err := AtVU(c.v, c.u)
				if err != nil {
					b.Fatal(err)
				}
				sink = s.P
			}
		})
	}
}
