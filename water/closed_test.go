package water

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// drawSlices draws slices that share a pressure, from cold liquid to superheated steam, and the volume that they fill.
func drawSlices(t *rapid.T, p float64) (slices []Slice, volume float64) {
	for range rapid.IntRange(1, 12).Draw(t, "slices") {
		s, err := AtPH(p, rapid.Float64Range(50e3, 3.4e6).Draw(t, "h"))
		if err != nil {
			t.Fatal(err)
		}
		m := rapid.Float64Range(1e-3, 1).Draw(t, "mass")
		slices = append(slices, Slice{Mass: m, H: s.H, Volume: 1 / s.Density})
		volume += m / s.Density
	}
	return slices, volume
}

func energyOf(slices []Slice, volume, p float64) float64 {
	sum := -p * volume
	for _, s := range slices {
		sum += s.Mass * s.H
	}
	return sum
}

// A closed circuit keeps its volume, and its internal energy rises by the heat alone.
func TestClosedWaterKeepsVolumeAndEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPressure(t, 2e4, 20e6)
		slices, volume := drawSlices(t, p)
		for range 5 {
			before := energyOf(slices, volume, p)
			heat, scale := 0.0, 0.0
			for i := range slices {
				s := &slices[i]
				// Up to 20 kJ/kg of heat or cold.
				q := rapid.Float64Range(-5e3, 20e3).Draw(t, "heat")
				if s.H+q < 20e3 || s.H+q > 3.5e6 {
					q = 0
				}
				s.H += q
				heat += s.Mass * q
				scale += s.Mass * (math.Abs(s.H) + p*s.Volume)
			}
			kept := append([]Slice(nil), slices...)
			next, err := SharedPressure(slices, volume, p)
			if err != nil {
				if !errors.Is(err, ErrRange) {
					t.Fatal(err)
				}
				for i := range kept {
					if slices[i] != kept[i] {
						t.Fatalf("refused, yet slice %d went from %+v to %+v", i, kept[i], slices[i])
					}
				}
				return
			}
			p = next
			filled := 0.0
			for _, s := range slices {
				filled += s.Mass * s.Volume
				state, err := AtPH(p, s.H)
				if err != nil {
					t.Fatal(err)
				}
				near(t, "specific volume", s.Volume, 1/state.Density, 1e-12)
			}
			if p < region3Pressure { // above, borders of regions step
				near(t, "volume", filled, volume, 1e-9)
			}
			near(t, "volume", filled, volume, 1e-4)
			if d := energyOf(slices, volume, p) - before - heat; math.Abs(d) > 1e-9*scale {
				t.Fatalf("%g J of %g J were made", d, scale)
			}
		}
	})
}

// One slice alone is water shut in: its pressure is that of AtVU.
func TestOneClosedSliceIsWaterShutIn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPressure(t, 2e4, 15e6)
		s, err := AtPH(p, rapid.Float64Range(50e3, 3e6).Draw(t, "h"))
		if err != nil {
			t.Fatal(err)
		}
		q := rapid.Float64Range(0, 150e3).Draw(t, "heat")
		want, wantErr := AtVU(1/s.Density, s.InternalEnergy()+q)
		slices := []Slice{{Mass: 2, H: s.H + q, Volume: 1 / s.Density}}
		got, err := SharedPressure(slices, 2/s.Density, p)
		if errors.Is(wantErr, ErrOverPressure) != errors.Is(err, ErrOverPressure) {
			t.Fatalf("%v, and %v by AtVU", err, wantErr)
		}
		if err != nil {
			return
		}
		if math.Abs(got-want.P) > 2e-4*want.P { // steps at the borders of regions
			t.Fatalf("%g Pa, want %g Pa", got, want.P)
		}
	})
}

func TestMoreHeatNeverLowersTheClosedPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPressure(t, 5e4, 15e6)
		slices, volume := drawSlices(t, p)
		last := 0.0
		for q := 0.0; q < 40e3; q += 4e3 {
			heated := append([]Slice(nil), slices...)
			for i := range heated {
				heated[i].H += q
			}
			next, err := SharedPressure(heated, volume, p)
			if errors.Is(err, ErrOverPressure) {
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if next < last*(1-1e-6)-pascals {
				t.Fatalf("%g J/kg bring %g Pa, less brought %g Pa", q, next, last)
			}
			last = next
		}
	})
}

func TestClosedWaterRefusesWithAReason(t *testing.T) {
	full, nan := Slice{Mass: 1, H: 100e3, Volume: 0.001}, math.NaN()
	for _, c := range []struct {
		slices     []Slice
		volume, p0 float64
		is         error
		says       string
	}{
		{[]Slice{full}, 0.9e-3, 1e5, ErrOverPressure, "closed water of 0.0009 m3"},
		{[]Slice{{1, 400e3, 0.001}}, 1e-3, 1e5, ErrOverPressure, "relief valve"},
		{[]Slice{full}, 20, 1e5, ErrRange, "too cold or too little"},
		{[]Slice{full}, nan, 1e5, ErrRange, "above zero"},
		{[]Slice{full}, 0.001, nan, ErrRange, "pressure (NaN"},
		{[]Slice{full, {-1, 0, 0}}, 0.001, 1e5, ErrRange, "slice 2 has mass -1 kg"},
		{[]Slice{{1, nan, 0}}, 0.001, 1e5, ErrRange, "not a number"},
		{[]Slice{{1, -1e6, 0}}, 0.001, 1e5, ErrRange, "0 degC"},
		{nil, 0.001, 1e5, ErrRange, "mass (0 kg)"},
	} {
		_, err := SharedPressure(c.slices, c.volume, c.p0)
		if err == nil || !errors.Is(err, c.is) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("error %q: want one that wraps %q and says %q", err, c.is, c.says)
		}
	}
}

func closedSlices(tb testing.TB) (slices []Slice, volume float64) {
	for i := range 100 {
		s, err := AtPH(5e5, 100e3+25e3*float64(i))
		if err != nil {
			tb.Fatal(err)
		}
		slices = append(slices, Slice{Mass: 0.1 * s.Density, H: s.H, Volume: 1 / s.Density})
		volume += 0.1
	}
	return slices, volume
}

func TestSharedPressureAllocatesNothing(t *testing.T) {
	slices, volume := closedSlices(t)
	p := 5e5
	n := testing.AllocsPerRun(20, func() {
		for i := range slices {
			slices[i].H += 100
		}
		var err error
		if p, err = SharedPressure(slices, volume, p); err != nil {
			t.Error(err)
		}
	})
	if n != 0 || !(p > 5e5) {
		t.Errorf("%g allocations, pressure %g Pa", n, p)
	}
}

func BenchmarkSharedPressure(b *testing.B) {
	slices, volume := closedSlices(b)
	kept := append([]Slice(nil), slices...)
	for b.Loop() {
		copy(slices, kept)
		for i := range slices {
			slices[i].H += 500
		}
		p, err := SharedPressure(slices, volume, 5e5)
		if err != nil {
			b.Fatal(err)
		}
		sink = p
	}
}
