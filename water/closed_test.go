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
				near(t, "specific volume", s.Volume, 1/state.Density, 2e-11) // each ends within 1e-12 of temperature
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

// Beside a wall, heat is what the wall gives at the temperature that the water comes to.
func TestClosedWaterTakesTheHeatOfItsWalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPressure(t, 2e4, 10e6)
		slices, volume := drawSlices(t, p)
		kept := append([]Slice(nil), slices...)
		for i := range slices {
			slices[i].Pull = slices[i].Mass * math.Pow(10, rapid.Float64Range(1, 6).Draw(t, "pull"))
			slices[i].Wall = rapid.Float64Range(280, 600).Draw(t, "wall")
			if rapid.Bool().Draw(t, "guess") {
				slices[i].T = rapid.Float64Range(275, 1000).Draw(t, "near")
			}
		}
		next, err := SharedPressure(slices, volume, p)
		if err != nil {
			if !errors.Is(err, ErrRange) {
				t.Fatal(err)
			}
			return
		}
		filled := 0.0
		for i, s := range slices {
			state, err := AtPH(next, s.H)
			if err != nil {
				t.Fatal(err)
			}
			step := 1e-9
			if next > region3Pressure { // borders of regions step
				step = 1e-4
			}
			near(t, "temperature", s.T, state.T, step)
			near(t, "quality", s.Quality, state.Quality, step)
			q := s.Pull / s.Mass * (s.Wall - s.T)
			if rise := s.H - kept[i].H - kept[i].Volume*(next-p); math.Abs(rise-q) > step*(math.Abs(q)+math.Abs(s.H)+s.Pull/s.Mass*s.T) {
				t.Fatalf("slice %d rose by %g J/kg, its wall gave %g J/kg", i, rise, q)
			}
			filled += s.Mass / state.Density
		}
		near(t, "volume", filled, volume, 1e-4)
	})
}

// Left long beside walls of one temperature, water with steam in it has that temperature's saturation pressure
// (IAPWS R7-97(2012), Table 35: 0.353658941e-2 MPa at 300 K, 0.263889776e1 at 500 K, 0.123443146e2 at 600 K), whatever the
// slices held.
func TestClosedWaterComesToSaturationAtItsWalls(t *testing.T) {
	const volume = 5e-3
	for _, c := range []struct{ T, p float64 }{{300, 0.353658941e4}, {500, 0.263889776e7}, {600, 0.123443146e8}} {
		cold, err := AtPT(5e5, 320)
		if err != nil {
			t.Fatal(err)
		}
		steam, err := AtPT(5e5, 450)
		if err != nil {
			t.Fatal(err)
		}
		slices := []Slice{
			{Mass: 0.4, H: cold.H, Volume: 1 / cold.Density},
			{Mass: 1e-3 * steam.Density, H: steam.H, Volume: 1 / steam.Density},
			{Mass: 0.03, H: 1.5e6, Volume: 0.136},
		}
		p := 5e5
		for range 200 {
			for i := range slices {
				slices[i].Pull, slices[i].Wall = 1e5*slices[i].Mass, c.T
			}
			if p, err = SharedPressure(slices, volume, p); err != nil {
				t.Fatal(err)
			}
		}
		if math.Abs(p/c.p-1) > 1e-8 {
			t.Errorf("%g Pa at %g K, want %g Pa", p, c.T, c.p)
		}
	}
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
		{[]Slice{{Mass: 1, H: 400e3, Volume: 0.001}}, 1e-3, 1e5, ErrOverPressure, "relief valve"},
		{[]Slice{full}, 20, 1e5, ErrRange, "too cold or too little"},
		{[]Slice{full}, nan, 1e5, ErrRange, "above zero"},
		{[]Slice{full}, 0.001, nan, ErrRange, "pressure (NaN"},
		{[]Slice{full, {Mass: -1}}, 0.001, 1e5, ErrRange, "slice 2 has mass -1 kg"},
		{[]Slice{{Mass: 1, H: nan}}, 0.001, 1e5, ErrRange, "not a number"},
		{[]Slice{{Mass: 1, H: -1e6}}, 0.001, 1e5, ErrRange, "0 degC"},
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
