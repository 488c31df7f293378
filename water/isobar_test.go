package water

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawIsobar builds a table at a random pressure, low ones as likely as high ones.
func drawIsobar(t *rapid.T) *Isobar {
	p := math.Exp(rapid.Float64Range(math.Log(IsobarLowest), math.Log(IsobarHighest)).Draw(t, "log pressure"))
	b, err := NewIsobar(clamp(p, IsobarLowest, IsobarHighest))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// near fails unless got is want within the relative tolerance.
func near(t *rapid.T, what string, got, want, rtol float64) {
	if !(math.Abs(got-want) <= rtol*math.Abs(want)) {
		t.Fatalf("%s: got %.15g, want %.15g (relative difference %.2g, allowed %.2g)", what, got, want, got/want-1, rtol)
	}
}

// sameStates fails unless the table's state is the equations' within the bounds that Isobar promises.
func sameStates(t *rapid.T, got, want State) {
	near(t, "temperature", got.T, want.T, 1e-8)
	near(t, "density", got.Density, want.Density, 1e-8)
	near(t, "heat capacity", got.HeatCapacity, want.HeatCapacity, 1e-6)
	near(t, "viscosity", got.Viscosity, want.Viscosity, 1e-6)
	near(t, "conductivity", got.Conductivity, want.Conductivity, 1e-4)
	near(t, "Prandtl number", got.Prandtl, want.Prandtl, 1e-4)
	// Entropy and quality pass through zero: compared on their own scales.
	if !(math.Abs(got.Entropy-want.Entropy) <= 1e-8*math.Max(1000, want.Entropy)) {
		t.Fatalf("entropy: got %.12g, want %.12g", got.Entropy, want.Entropy)
	}
	if !(math.Abs(got.Quality-want.Quality) <= 1e-9*math.Max(1, math.Abs(want.Quality))) {
		t.Fatalf("quality: got %.12g, want %.12g", got.Quality, want.Quality)
	}
	if got.P != want.P {
		t.Fatalf("pressure: got %g, want %g", got.P, want.P)
	}
}

func TestIsobarKeepsItsBoundsAgainstTheEquations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawIsobar(t)
		for range 200 {
			h := rapid.Float64Range(b.Low, b.High).Draw(t, "enthalpy")
			want, err := AtPH(b.P, h)
			if err != nil {
				t.Fatal(err)
			}
			if want.T > region2Temperature {
				continue // the last joules before the border of region 5, whose far side AtPH may take
			}
			got := b.At(h)
			sameStates(t, got, want)
			if got.H != h {
				t.Fatalf("enthalpy: got %g, want %g", got.H, h)
			}
			near(t, "At and Temperature", got.T, b.Temperature(h), 1e-15)
			near(t, "At and Density", got.Density, b.Density(h), 1e-15)
		}
	})
}

// The hardest places: the first and last intervals of each phase, and the liquid around 160 °C where the critical
// part of the conductivity sets in.
func TestIsobarKeepsItsBoundsAtTheHardestPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawIsobar(t)
		dl, dv := (b.HLiquid-b.Low)/100, (b.High-b.HVapour)/100
		places := [][2]float64{
			{b.Low, b.Low + dl}, {b.HLiquid - dl, b.HLiquid}, {b.HVapour, b.HVapour + dv}, {b.High - dv, b.High},
		}
		if b.Saturation > 440 {
			places = append(places, [2]float64{b.Enthalpy(425), b.Enthalpy(440)})
		}
		for _, place := range places {
			for range 40 {
				h := rapid.Float64Range(place[0], place[1]).Draw(t, "enthalpy")
				want, err := AtPH(b.P, h)
				if err != nil {
					t.Fatal(err)
				}
				if want.T <= region2Temperature { // as above
					sameStates(t, b.At(h), want)
				}
			}
		}
	})
}

func TestIsobarTemperatureNeverFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawIsobar(t)
		const steps = 20000
		last := b.Temperature(b.Low)
		for i := 1; i <= steps; i++ {
			h := math.Min(b.High, b.Low+(b.High-b.Low)*float64(i)/steps)
			T := b.Temperature(h)
			boiling := h >= b.HLiquid && h < b.HVapour
			if T < last || T == last && !boiling {
				t.Fatalf("temperature goes from %.15g to %.15g K at %g J/kg", last, T, h)
			}
			if boiling && (T != b.Saturation || b.Slope(h) != 0) {
				t.Fatalf("boiling water at %g J/kg has %g K and slope %g", h, T, b.Slope(h))
			}
			if !boiling && !(b.Slope(h) > 0) {
				t.Fatalf("slope %g at %g J/kg", b.Slope(h), h)
			}
			last = T
		}
	})
}

func TestIsobarSlopeIsTheDerivativeOfTemperature(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawIsobar(t)
		h := rapid.Float64Range(b.Low+1e3, b.High-1e3).Draw(t, "enthalpy")
		const step = 200.0 // J/kg; no more than a few steps of the finest table
		if (h-step-b.HLiquid)*(h+step-b.HLiquid) <= 0 || (h-step-b.HVapour)*(h+step-b.HVapour) <= 0 {
			t.Skip("a kink lies between")
		}
		// Central difference; its own error is third derivative times step²/6, below 1e-6 of the slope but for
		// cold liquid at low pressure, where the span is short.
		got, want := b.Slope(h), (b.Temperature(h+step)-b.Temperature(h-step))/(2*step)
		if math.Abs(got-want) > 1e-5*math.Abs(want) {
			t.Fatalf("slope %.12g, difference %.12g", got, want)
		}
		// And it is what the heat capacity says, within the table's bounds.
		if want := 1 / b.At(h).HeatCapacity; b.At(h).Quality < 0 || b.At(h).Quality > 1 {
			near(t, "slope against 1/cp", got, want, 1e-5)
		}
	})
}

func TestIsobarKinksAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawIsobar(t)
		// Density and viscosity of a mixture are inverses of sums, which round.
		l := b.At(b.HLiquid)
		near(t, "ρ of the liquid", l.Density, b.Liquid.Density, 1e-15)
		near(t, "μ of the liquid", l.Viscosity, b.Liquid.Viscosity, 1e-15)
		l.Density, l.Viscosity = b.Liquid.Density, b.Liquid.Viscosity
		if l != b.Liquid {
			t.Fatalf("at saturation:\n%+v\nsaturated liquid:\n%+v", l, b.Liquid)
		}
		if b.At(b.HVapour) != b.Vapour {
			t.Fatalf("at saturation:\n%+v\nsaturated vapour:\n%+v", b.At(b.HVapour), b.Vapour)
		}
		for _, h := range []float64{b.HLiquid, b.HVapour} {
			if T := b.Temperature(h); T != b.Saturation {
				t.Fatalf("%.17g K at the kink, saturation %.17g K", T, b.Saturation)
			}
		}
		// One rounding step outside, the table has the same values: there is no jump.
		below, above := math.Nextafter(b.HLiquid, 0), math.Nextafter(b.HVapour, 1e9)
		near(t, "T below", b.Temperature(below), b.Saturation, 1e-12)
		near(t, "T above", b.Temperature(above), b.Saturation, 1e-12)
		near(t, "ρ below", b.Density(below), b.Liquid.Density, 1e-12)
		near(t, "ρ above", b.Density(above), b.Vapour.Density, 1e-12)
		near(t, "μ above", b.At(above).Viscosity, b.Vapour.Viscosity, 1e-12)
		near(t, "T at the lower end", b.Temperature(b.Low), TripleTemperature, 1e-14)
		near(t, "T at the upper end", b.Temperature(b.High), region2Temperature, 1e-14)
	})
}

func TestIsobarEnthalpyUndoesTemperature(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawIsobar(t)
		for range 50 {
			T := rapid.Float64Range(TripleTemperature, region2Temperature).Draw(t, "temperature")
			h := b.Enthalpy(T)
			rtol := 1e-14
			for _, seam := range borders(b.P) {
				if seam != b.Saturation && math.Abs(T-seam) < 0.05 {
					rtol = 1e-4 // enthalpies of two regions overlap
				}
			}
			near(t, "temperature", b.Temperature(h), T, rtol)
			if T <= b.Saturation && h > b.HLiquid || T > b.Saturation && h < b.HVapour {
				t.Fatalf("%g K has %g J/kg", T, h)
			}
			want, err := AtPT(b.P, T)
			if err != nil {
				t.Fatal(err)
			}
			// 1e-8 of T by cp over the scale of h.
			if math.Abs(h-want.H) > 1e-8*math.Max(1e6, T*want.HeatCapacity) && math.Abs(T-b.Saturation) > 1e-9 {
				t.Fatalf("%g K has %.12g J/kg by table, %.12g by equation", T, h, want.H)
			}
		}
		if b.Enthalpy(b.Saturation) != b.HLiquid {
			t.Fatalf("at saturation %g J/kg", b.Enthalpy(b.Saturation))
		}
	})
}

func TestIsobarHoldsItsEndsOutsideTheTable(t *testing.T) {
	b, err := NewIsobar(1e5)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ h, end float64 }{
		{b.Low - 1, b.Low},
		{-math.MaxFloat64, b.Low},
		{math.Inf(-1), b.Low},
		{b.High + 1, b.High},
		{math.MaxFloat64, b.High},
		{math.Inf(1), b.High},
	} {
		if b.Temperature(c.h) != b.Temperature(c.end) || b.Density(c.h) != b.Density(c.end) || b.At(c.h) != b.At(c.end) {
			t.Errorf("%g J/kg: not the state of the end %g J/kg", c.h, c.end)
		}
		if b.Slope(c.h) != 0 {
			t.Errorf("%g J/kg: slope %g", c.h, b.Slope(c.h))
		}
	}
	if b.Enthalpy(200) != b.Low || b.Enthalpy(2000) != b.High {
		t.Errorf("enthalpies outside: %g and %g", b.Enthalpy(200), b.Enthalpy(2000))
	}
	nan := math.NaN()
	for name, v := range map[string]float64{
		"temperature": b.Temperature(nan), "slope": b.Slope(nan), "density": b.Density(nan),
		"enthalpy": b.Enthalpy(nan), "state": b.At(nan).T,
	} {
		if !math.IsNaN(v) {
			t.Errorf("%s of NaN is %g", name, v)
		}
	}
}

func TestIsobarRefusesPressuresOutsideItsRange(t *testing.T) {
	for _, c := range []struct {
		p    float64
		want error
	}{
		{999, ErrRange},
		{0, ErrRange},
		{-1e5, ErrRange},
		{math.NaN(), ErrRange},
		{math.Inf(-1), ErrRange},
		{22.1e6, ErrRange},
		{30e6, ErrRange},
		{math.Inf(1), ErrRange},
	} {
		if _, err := NewIsobar(c.p); !errors.Is(err, c.want) {
			t.Errorf("%g Pa: error %v, want one that wraps %v", c.p, err, c.want)
		}
	}
}

func TestReadingAnIsobarAllocatesNothing(t *testing.T) {
	b, err := NewIsobar(5e5)
	if err != nil {
		t.Fatal(err)
	}
	h, sum := b.Low, 0.0
	n := testing.AllocsPerRun(1000, func() {
		h += 3e3
		s := b.At(h)
		sum += s.T + b.Temperature(h) + b.Slope(h) + b.Density(h) + b.Enthalpy(s.T)
	})
	if n != 0 {
		t.Errorf("%g allocations per reading", n)
	}
	if !(sum > 0) {
		t.Errorf("sum %g", sum)
	}
}

// sink keeps the compiler from dropping what a benchmark computes.
var sink float64

func benchmarkRead(b *testing.B, read func(*Isobar, float64) float64) {
	q, err := NewIsobar(5e5)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	h, sum := q.Low, 0.0
	for b.Loop() {
		if h += 12345.6; h > q.High {
			h -= q.High - q.Low
		}
		sum += read(q, h)
	}
	sink = sum
}

func BenchmarkIsobarAt(b *testing.B) {
	benchmarkRead(b, func(q *Isobar, h float64) float64 { return q.At(h).Viscosity })
}

func BenchmarkIsobarTemperature(b *testing.B) { benchmarkRead(b, (*Isobar).Temperature) }

// Temperature, Film and Density in turn on as many threads as there are processors: calls per minute of all.
func BenchmarkPropertyCalls(b *testing.B) {
	q, err := NewIsobar(5e5)
	if err != nil {
		b.Fatal(err)
	}
	b.RunParallel(func(each *testing.PB) {
		h, sum := q.Low, 0.0
		for each.Next() {
			if h += 12345.6; h > q.High {
				h -= q.High - q.Low
			}
			sum += q.Temperature(h) + q.Film(h).Viscosity + q.Density(h)
		}
		if math.IsNaN(sum) {
			b.Error("sum is not a number")
		}
	})
	b.ReportMetric(3*float64(b.N)/b.Elapsed().Minutes(), "calls/min")
}

func BenchmarkNewIsobar(b *testing.B) {
	for _, p := range []float64{5e5, 100e5, 200e5} {
		b.Run(fmt.Sprintf("bar=%g", p/1e5), func(b *testing.B) {
			for b.Loop() {
				if _, err := NewIsobar(p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkAtPH(b *testing.B) {
	for b.Loop() {
		s, err := AtPH(5e5, 4e5)
		if err != nil {
			b.Fatal(err)
		}
		sink = s.T
	}
}
