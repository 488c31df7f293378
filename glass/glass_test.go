package glass

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Source: ISO 3585 glass, n = 1.473: one face throws back 0.036582556, two let 0.92941699 through without absorption
// (evaluated from (n-1)²/(n+1)² and (1-ρ)/(1+ρ)); n = 1.4585 (fused silica): 0.034780695 and 0.93277668.
func TestLightStraightOnByClosedForm(t *testing.T) {
	for _, c := range []struct{ n, face, pane float64 }{{1.473, 0.036582556, 0.92941699}, {1.4585, 0.034780695, 0.93277668}} {
		a, b := Reflectance(c.n, 0)
		if math.Abs(a-c.face) > 1e-9 || math.Abs(b-c.face) > 1e-9 {
			t.Errorf("n %g: one face reflects %.9f and %.9f, want %.9f", c.n, a, b, c.face)
		}
		if l := Sheet(c.n, 0, 0.004, 0); math.Abs(l.Transmitted-c.pane) > 1e-8 || l.Absorbed != 0 {
			t.Errorf("n %g: two faces transmit %.9f, want %.8f", c.n, l.Transmitted, c.pane)
		}
	}
}

// Source: Duffie & Beckman, Solar Engineering of Thermal Processes, example 5.1.1 (from memory): n = 1.526, 60°: the angle
// of refraction is 34.58° and one face reflects 0.185 across and 0.001 along, 0.093 on average; straight on 0.0434.
func TestFresnelAtSixtyDegreesByTheTextbook(t *testing.T) {
	a, b := Reflectance(1.526, math.Pi/3)
	if math.Abs(a-0.185) > 5e-4 || math.Abs(b-0.001) > 5e-4 || math.Abs((a+b)/2-0.093) > 5e-4 {
		t.Errorf("60 deg: %.4f and %.4f", a, b)
	}
	if a, _ := Reflectance(1.526, 0); math.Abs(a-0.0434) > 5e-5 {
		t.Errorf("straight on: %.5f", a)
	}
}

// At Brewster's angle, tan i = n, nothing of the field along the plane is thrown back, and across it ((n²-1)/(n²+1))².
func TestBrewstersAngle(t *testing.T) {
	for _, n := range []float64{1.3, 1.5, 2.4} {
		a, b := Reflectance(n, math.Atan(n))
		if q := (n*n - 1) / (n*n + 1); b > 1e-30 || math.Abs(a-q*q) > 1e-14 {
			t.Errorf("n %g: %.3g along and %.6f across, want 0 and %.6f", n, b, a, q*q)
		}
	}
}

func TestSharesAddUpAndStayWithinBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Sheet(rapid.Float64Range(1, 4).Draw(t, "n"), rapid.Float64Range(0, 1e5).Draw(t, "K"), rapid.Float64Range(1e-4, 0.1).Draw(t, "L"), rapid.Float64Range(0, math.Pi/2).Draw(t, "angle"))
		sum := l.Transmitted + l.Reflected + l.Absorbed
		if math.Abs(sum-1) > 1e-12 || l.Transmitted < 0 || l.Absorbed < 0 || l.Reflected < -1e-12 {
			t.Fatalf("%+v", l)
		}
	})
}

// A geometric series of beams, summed one by one, gives what the closed form gives.
func TestSheetIsTheSumOfItsInnerReflections(t *testing.T) {
	const n, k, thick, angle = 1.6, 20.0, 0.01, 0.9
	a := math.Exp(-k * thick / math.Sqrt(1-math.Pow(math.Sin(angle)/n, 2)))
	across, along := Reflectance(n, angle)
	var want Light
	for _, rho := range []float64{across, along} {
		inside := 0.5 * (1 - rho)
		want.Reflected += 0.5 * rho
		for i := range 200 {
			want.Absorbed += inside * (1 - a)
			inside *= a
			if i%2 == 0 {
				want.Transmitted += inside * (1 - rho)
			} else {
				want.Reflected += inside * (1 - rho)
			}
			inside *= rho
		}
	}
	got := Sheet(n, k, thick, angle)
	if math.Abs(got.Transmitted-want.Transmitted) > 1e-14 || math.Abs(got.Absorbed-want.Absorbed) > 1e-14 || math.Abs(got.Reflected-want.Reflected) > 1e-14 {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// Source: ASTM G173-03, whose whole table of direct and circumsolar light sums to 900.139 W/m² from 280 to 4000 nm.
func TestReducedSpectrumHoldsTheWholeTablesTotal(t *testing.T) {
	s := Sun()
	if got := s.Total(); math.Abs(got/900.139-1) > 0.01 {
		t.Errorf("%.2f W/m2, want 900.14 to a hundredth", got)
	}
	for i := 1; i < len(s.Wavelength); i++ {
		if s.Wavelength[i] <= s.Wavelength[i-1] {
			t.Fatalf("wavelength %d does not rise", i)
		}
	}
}

// Source: ASHRAE Handbook Fundamentals, table of optical properties of glazing, clear glass of 3 mm (from memory): solar
// transmittance 0.83 straight on, 0.82 at 40°, 0.80 at 50°, 0.75 at 60°, 0.64 at 70°, 0.39 at 80°, 0.75 for diffuse light;
// reflectance 0.08 straight on. The glass is not the same piece.
func TestClearGlassOfThreeMillimetresByAngle(t *testing.T) {
	m, _ := Lookup("soda-lime-glass")
	for _, c := range []struct{ deg, want float64 }{{0, 0.83}, {40, 0.82}, {50, 0.80}, {60, 0.75}, {70, 0.64}, {80, 0.39}} {
		got := At(m, 0.003, Sun(), c.deg*math.Pi/180)
		t.Logf("%2.0f deg: %.4f reflected %.4f absorbed %.4f", c.deg, got.Transmitted, got.Reflected, got.Absorbed)
		if math.Abs(got.Transmitted-c.want) > 0.01 {
			t.Errorf("%g deg: %.4f, want %.2f", c.deg, got.Transmitted, c.want)
		}
	}
	pane, diffuse := ByAngle(m, 0.003, Sun(), 90), 0.0
	for i, share := range Cone(math.Pi/2, 90) {
		diffuse += share * pane[i].Transmitted
	}
	if math.Abs(diffuse-0.75) > 0.02 {
		t.Errorf("diffuse: %.4f, want 0.75", diffuse)
	}
	low, _ := Lookup("low-iron-glass")
	t.Logf("low iron 3 mm %+v", At(low, 0.003, Sun(), 0))
	bo, _ := Lookup("borosilicate-glass")
	t.Logf("borosilicate 4 mm %+v", At(bo, 0.004, Sun(), 0))
	si, _ := Lookup("fused-silica")
	t.Logf("silica 4 mm %+v", At(si, 0.004, Sun(), 0))
}

// Source: Malitson, J. Opt. Soc. Am. 55 (1965) 1205: fused silica at the sodium line 589.3 nm has n = 1.45840 (from memory),
// suppliers' pages give n_d = 1.4585.
func TestFusedSilicaInYellowLight(t *testing.T) {
	m, _ := Lookup("fused-silica")
	if got := m.Index(587.6e-9); math.Abs(got-1.4585) > 5e-5 {
		t.Errorf("n_d %.5f, want 1.4585", got)
	}
}

func TestConesShareAllLight(t *testing.T) {
	for _, half := range []float64{0, 0.01, 0.5, 1.2, math.Pi / 2} {
		sum := 0.0
		for _, v := range Cone(half, 90) {
			sum += v
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Errorf("half-angle %g: shares sum to %.15f", half, sum)
		}
	}
}

// Half of a black body's power lies below 4107 µm K / T (from memory).
func TestBlackBodyMedian(t *testing.T) {
	s := Black(3000)
	sum, half := 0.0, s.Total()/2
	for i, v := range s.Power {
		if sum += v; sum > half {
			if at := s.Wavelength[i] * 3000; math.Abs(at/4107e-6-1) > 0.07 { // cut off at 4.6 µm, beyond which lies 4 % of the power
				t.Errorf("half of the power lies below λT = %.4g m K", at)
			}
			break
		}
	}
}
