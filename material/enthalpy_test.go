package material

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// tester is what testing.T and rapid.T share.
type tester interface {
	Helper()
	Errorf(format string, args ...any)
}

// near checks |got-want| <= atol + rtol |want|.
func near(t tester, what string, got, want, atol, rtol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= atol+rtol*math.Abs(want)) {
		t.Errorf("%s: got %.10g, want %.10g (within %g + %g)", what, got, want, atol, rtol)
	}
}

// benchmarkMedium melts as in the block benchmark: 1000 J/(kg K) throughout and 60 kJ/kg spread evenly between 419
// and 420 °C on top of it.
func benchmarkMedium() Medium {
	return Medium{
		Name: "benchmark", Density: 2000,
		HeatCapacity: Constant(1000), HeatCapacityMelted: Constant(1000),
		Conductivity: Isotropic(Constant(60)), ConductivityMelted: Isotropic(Constant(60)),
		Latent: 60e3, Solidus: 419 + iceZero, Liquidus: 420 + iceZero,
	}
}

func TestEnthalpyFollowsPiecewiseLawExactly(t *testing.T) {
	m := benchmarkMedium()
	e := NewEnthalpy(&m)
	for _, row := range []struct{ degC, h, melted, slope float64 }{
		{-50, -70e3, 0, 1e-3},
		{20, 0, 0, 1e-3},
		{300, 280e3, 0, 1e-3},
		{418.5, 398.5e3, 0, 1e-3},
		{419.25, 399.25e3 + 15e3, 0.25, 1.0 / 61000},
		{419.5, 399.5e3 + 30e3, 0.5, 1.0 / 61000},
		{420.5, 400.5e3 + 60e3, 1, 1e-3},
		{900, 880e3 + 60e3, 1, 1e-3},
		{2500, 2480e3 + 60e3, 1, 1e-3}, // beyond the table the outermost piece goes on
	} {
		// Only rounding stands between table and law: 1e-12 of a million J/kg.
		near(t, "temperature", e.Temperature(row.h), row.degC+iceZero, 1e-9, 1e-13)
		near(t, "enthalpy", e.Of(row.degC+iceZero), row.h, 1e-5, 1e-12)
		near(t, "melted", e.Melted(row.h), row.melted, 1e-10, 0)
		near(t, "slope", e.Slope(row.h), row.slope, 0, 1e-9)
	}
	near(t, "melting begins", e.Hs, 399e3, 1e-5, 0)
	near(t, "melting ends", e.Hl, 460e3, 1e-5, 0)
	near(t, "least heat capacity", e.MinCp, 1000, 1e-6, 0)
}

func TestSharpMeltingHoldsItsTemperature(t *testing.T) {
	zn, _ := Lookup("zinc")
	m := zn.Medium()
	e := NewEnthalpy(&m)
	near(t, "latent heat", e.Hl-e.Hs, zn.Latent, 1e-6, 0)
	for _, f := range []float64{0.001, 0.3, 0.999} {
		h := e.Hs + f*zn.Latent
		near(t, "temperature on the plateau", e.Temperature(h), zn.Solidus, 1e-9, 0)
		near(t, "melted", e.Melted(h), f, 1e-9, 0)
		if s := e.Slope(h); s != 0 {
			t.Errorf("slope on the plateau is %g, want 0", s)
		}
	}
	if e.Temperature(e.Hs-1) >= zn.Solidus || e.Temperature(e.Hl+1) <= zn.Solidus {
		t.Error("the plateau does not end where melting ends")
	}
}

func TestMeltingBeyondTheTableStillEnds(t *testing.T) {
	for _, T := range []float64{120, 2000} {
		m := benchmarkMedium()
		m.Solidus, m.Liquidus = T, T
		e := NewEnthalpy(&m)
		near(t, "below", e.Temperature(e.Hs-5e4), T-50, 1e-9, 0)
		near(t, "above", e.Temperature(e.Hl+5e4), T+50, 1e-9, 0)
		near(t, "far above", e.Temperature(e.Hl+5e5), T+500, 1e-9, 0)
		near(t, "latent heat", e.Hl-e.Hs, 60e3, 1e-6, 0)
	}
}

// integral is the heat taken up between two temperatures, by Gauss-Legendre with three points on pieces of 1/20 K:
// far finer than the table, and a different rule.
func integral(m *Medium, from, to float64) float64 {
	sum, n := 0.0, int(math.Ceil((to-from)*20))
	d := (to - from) / float64(n)
	for i := range n {
		mid := from + (float64(i)+0.5)*d
		for _, p := range [3]struct{ x, w float64 }{{-math.Sqrt(0.6), 5. / 9}, {0, 8. / 9}, {math.Sqrt(0.6), 5. / 9}} {
			T := mid + 0.5*d*p.x
			cp := m.HeatCapacity.At(T)
			switch {
			case m.Latent > 0 && T > m.Liquidus:
				cp = m.HeatCapacityMelted.At(T)
			case m.Latent > 0 && T > m.Solidus:
				f := (T - m.Solidus) / (m.Liquidus - m.Solidus)
				cp = (1-f)*cp + f*m.HeatCapacityMelted.At(T) + m.Latent/(m.Liquidus-m.Solidus)
			}
			sum += 0.5 * d * p.w * cp
		}
	}
	return sum
}

func TestEnthalpyIsTheIntegralOfHeatCapacityForEveryEntry(t *testing.T) {
	for _, entry := range Catalogue() {
		m := entry.Medium()
		e := NewEnthalpy(&m)
		high := min(entry.High, 1500)
		want := integral(&m, ReferenceTemperature, high)
		if m.Latent > 0 && high > m.Solidus { // piecewise, so that no step straddles the jump
			want = integral(&m, ReferenceTemperature, m.Solidus) + integral(&m, m.Liquidus, high) + m.Latent
		}
		// At whole knots the pieces are Simpson sums of smooth curves: 1e-6, as the energy balance asks.
		near(t, entry.Name, e.Of(high), want, 0, 1e-6)
	}
}

func TestMeltingRangeTakesUpItsLatentHeat(t *testing.T) {
	sn, _ := Lookup("tin")
	m := sn.Medium()
	m.Solidus, m.Liquidus = 490, 505
	e := NewEnthalpy(&m)
	near(t, "across the range", e.Hl-e.Hs, integral(&m, 490, 505), 0, 1e-6)
	near(t, "enthalpy at 1000 K", e.Of(1000), integral(&m, ReferenceTemperature, 490)+integral(&m, 490, 505)+integral(&m, 505, 1000), 0, 1e-6)
}

func TestTemperatureAndEnthalpyUndoEachOther(t *testing.T) {
	all := Catalogue()
	rapid.Check(t, func(r *rapid.T) {
		entry := all[rapid.IntRange(0, len(all)-1).Draw(r, "entry")]
		m := entry.Medium()
		if m.Latent > 0 && rapid.Bool().Draw(r, "range") {
			m.Liquidus += rapid.Float64Range(0.01, 50).Draw(r, "width")
		}
		e := NewEnthalpy(&m)
		T := rapid.Float64Range(180, 1750).Draw(r, "T")
		near(r, "T(h(T))", e.Temperature(e.Of(T)), T, 1e-9, 1e-12)
		h := e.Of(T) + rapid.Float64Range(0, 1).Draw(r, "more")*max(m.Latent, 1)
		if s := e.Slope(h); s > 0 {
			// Of gives the solid's value at a sharp melting point, so the way back is exact off the plateau only.
			near(r, "h(T(h))", e.Of(e.Temperature(h)), h, 1e-3, 1e-9)
		}
	})
}

func TestEnthalpyRisesWithTemperature(t *testing.T) {
	all := Catalogue()
	rapid.Check(t, func(r *rapid.T) {
		m := all[rapid.IntRange(0, len(all)-1).Draw(r, "entry")].Medium()
		e := NewEnthalpy(&m)
		h := rapid.Float64Range(-1e5, 3e6).Draw(r, "h")
		dh := rapid.Float64Range(1e-3, 1e5).Draw(r, "dh")
		if e.Temperature(h+dh) < e.Temperature(h) {
			r.Fatalf("%s: temperature falls between %g and %g J/kg", m.Name, h, h+dh)
		}
		if a, b := e.Melted(h), e.Melted(h+dh); !(0 <= a && a <= b && b <= 1) {
			r.Fatalf("%s: melted fraction goes from %g to %g", m.Name, a, b)
		}
		if s := e.Slope(h); !(s >= 0) || s > 1.0000001/e.MinCp {
			r.Fatalf("%s: slope %g outside 0 to 1/%g", m.Name, s, e.MinCp)
		}
		for i := 1; i < len(e.H); i++ {
			if !(e.H[i] > e.H[i-1]) || e.T[i] < e.T[i-1] {
				r.Fatalf("%s: knots %d fall: %g J/kg %g K after %g J/kg %g K", m.Name, i, e.H[i], e.T[i], e.H[i-1], e.T[i-1])
			}
		}
	})
}

func TestReadingTemperatureAllocatesNothing(t *testing.T) {
	sn, _ := Lookup("tin")
	m := sn.Medium()
	e := NewEnthalpy(&m)
	h, sum := 0.0, 0.0
	if n := testing.AllocsPerRun(1000, func() {
		sum += e.Temperature(h) + e.Slope(h) + e.Melted(h)
		h += 200
	}); n != 0 {
		t.Errorf("%g allocations a call, want 0", n)
	}
	if sum <= 0 {
		t.Error("nothing was read")
	}
}
