package dish

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"testing"

	"emberbank/internal/testkit"
)

// perfect is a dish without errors or gaps, its window in the focal plane.
func perfect(focal, diameter, window float64) Dish {
	return Dish{
		Focal: focal, Diameter: diameter, Pieces: Petals(4, 0, diameter/2, Piece{Present: true, Reflectance: 1}),
		Window: Window{Distance: focal, Round: true, Width: window, Height: window},
	}
}

func cast(t testing.TB, d Dish, opt Options) *Result {
	t.Helper()
	r, err := Cast(context.Background(), &d, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// within compares with an error from casting: four standard errors, and what the caller allows for what is left out.
func within(t testing.TB, what string, got Amount, want, allow float64) {
	t.Helper()
	if math.Abs(got.Value-want) > 4*got.Error+allow {
		t.Errorf("%s is %.8g ± %.2g, want %.8g ± %.2g", what, got.Value, got.Error, want, allow)
	}
}

func TestSameBytesForAnyNumberOfThreadsAndOthersForAnotherSeed(t *testing.T) {
	d := perfect(1, 1.2, 0.02)
	d.Pieces[2].Slope, d.Pieces[1].Specular, d.Tracking = 2e-3, 1e-3, 1e-3
	d.Arms = []Arm{{From: [3]float64{0, 0, 1}, To: [3]float64{0.6, 0, 0.09}, Width: 0.02}}
	var texts [3]string
	for i, opt := range []Options{{Rays: 100000, Threads: 1}, {Rays: 100000, Threads: 5}, {Rays: 100000, Seed: 1}} {
		raw, err := json.Marshal(cast(t, d, opt))
		if err != nil {
			t.Fatal(err)
		}
		texts[i] = string(raw)
	}
	if texts[0] != texts[1] {
		t.Error("one thread and five give other bytes")
	}
	if texts[0] == texts[2] {
		t.Error("two seeds give the same bytes")
	}
}

func TestEveryRayAndAllPowerEndsSomewhere(t *testing.T) {
	d := perfect(1, 1.2, 0.012)
	for i := range d.Pieces {
		d.Pieces[i].Reflectance, d.Pieces[i].Slope, d.Pieces[i].Specular = 0.9-0.05*float64(i), 3e-3, 1e-3
	}
	d.Pieces[1].Present = false
	d.Tracking = 2e-3
	d.Sun = Sun{Shape: Limb, Circumsolar: 0.05}
	d.Body = Body{Width: 0.2, Height: 0.3, Depth: 0.2}
	d.Arms = []Arm{{From: [3]float64{0.1, 0, 1}, To: [3]float64{0.6, 0, 0.09}, Width: 0.02}, {From: [3]float64{0, -0.1, 1}, To: [3]float64{0, -0.3, 0.0225}, Width: 0.02}} // the second stands within the cone
	r := cast(t, d, Options{Rays: 200000})
	rays, power := int64(0), 0.0
	for _, e := range r.Ends {
		rays, power = rays+e.Rays, power+e.Power.Value
		if (e.Power.Value > 0) != (e.End == Absorbed || e.Rays > 0) || e.Power.Value == 0 && e.End != Away {
			t.Errorf("%s: %d rays, %g m²", e.End.Name(), e.Rays, e.Power.Value)
		}
	}
	if rays != r.Rays {
		t.Errorf("%d rays end, %d were cast", rays, r.Rays)
	}
	// The beam through the aperture: its rays weigh 1 on the average, by the slope of where they meet the mirror.
	testkit.Close(t, "power of all ends over the mirrors' area", power, r.Mirror, 2e-5, 0)
	testkit.Close(t, "gaps and mirrors over the dish", r.Gaps+r.Mirror, math.Pi/4*1.2*1.2, 1e-12, 0)
	sum := 0.0
	for _, x := range r.Map.Angles {
		sum += x
	}
	testkit.Close(t, "shares of all angles", sum, 1, 1e-12, 0)
}

// TestEvenSunGivesTheKnownFluxInTheFocalPlane: a perfect dish under a disc of even radiance gives sin²ψ/sin²θ in the middle of
// its focal plane, out to f tanθ, and falls as computed elsewhere.
func TestEvenSunGivesTheKnownFluxInTheFocalPlane(t *testing.T) {
	const source = "direct numerical integration over a perfect dish of f = 1 m, D = 1.2 m and a sun of 4.65 mrad; about 5 digits of the centre's value; the centre's value is exact"
	d := perfect(1, 1.2, 0.013)
	r := cast(t, d, Options{Rays: 2e6})
	c := d.ready()
	if err := c.lay(context.Background(), &d, Options{}.filled()); err != nil {
		t.Fatal(err)
	}
	w, err := c.workers(Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := w.pass(context.Background(), 256, 2); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct{ radius, flux float64 }{
		{0.002, 14013.4}, {0.0045, 14013.2}, {0.0047, 12882.0}, {0.0049, 8682.12}, {0.0051, 5022.55}, {0.0054, 2190.76}, {0.0057, 741.286}, {0.006, 54.0072},
	} {
		// The mean over a ring of some bins about the radius, 0.05 mm wide.
		first := int(row.radius*c.perRadius) - 1
		sum := w.power(func(t *tally) float64 { return t.round[first] + t.round[first+1] + t.round[first+2] })
		a, b := float64(first)/c.perRadius, float64(first+3)/c.perRadius
		area := math.Pi * (b*b - a*a)
		// The middle of the ring lies beside the radius by up to half a bin: 2e7 suns/m at the steepest.
		aside := math.Abs((a+b)/2-row.radius) * 2.2e7
		if row.radius < 0.0046 {
			aside = 0
		}
		within(t, "flux, "+source, Amount{sum.Value / area, sum.Error / area}, row.flux, aside+1e-4*14013.5)
		if sum.Error/area > 0.006*14013.5 {
			t.Errorf("at %g m the error of %g suns tells nothing", row.radius, sum.Error/area)
		}
	}
	testkit.Close(t, "flux in the middle, exact", r.Peak.Value, math.Pow(math.Sin(r.RimAngle)/math.Sin(SunHalfAngle), 2), 0.003, 4*r.Peak.Error)
	within(t, "share within the image of the rim", r.Intercept, 1, 1e-9)
}

// TestGaussianErrorsGiveTheInterceptFormula: of a long, small dish all errors are small beside the sine of any angle, and the
// spot is a Gaussian of σ f.
func TestGaussianErrorsGiveTheInterceptFormula(t *testing.T) {
	const source = "γ = 1 - exp(-r²/(2 σ²)), σ² = sun² + (2 slope)² + specular² + tracking²: Duffie & Beckman; Rabl 1985"
	d := perfect(10, 0.6, 0.1)
	d.Sun = Sun{Shape: GaussianSun, Sigma: 2.73e-3}
	d.Tracking = 1e-3
	for i := range d.Pieces {
		d.Pieces[i].Slope, d.Pieces[i].Specular = 2e-3, 0.5e-3
	}
	const sigma = 4.970201203e-3
	r := cast(t, d, Options{Rays: 1e6})
	for i, size := range r.Round.Size {
		x := size / 2 / (10 * sigma)
		within(t, "intercept, "+source, r.Round.Intercept[i], 1-math.Exp(-x*x/2), 3e-4)
	}
	within(t, "peak flux P/(2πσ²)", r.Peak, r.Reflected.Value/(2*math.Pi*100*sigma*sigma), 0.004*r.Peak.Value)
}

func TestNoMapExceedsTheLimitOfConcentration(t *testing.T) {
	for _, diameter := range []float64{1, 2, 3.9} { // rim angles up to 88°
		r := cast(t, perfect(1, diameter, 0.02), Options{Rays: 300000})
		for n, f := range r.Map.Flux {
			if limit := Limit(SunHalfAngle); f-5*r.Map.Error[n] > limit {
				t.Fatalf("a dish of %g m gives %g suns, the limit is %g", diameter, f, limit)
			}
		}
	}
}

// TestASymmetricDishGivesASymmetricMap compares the flux with that at the place mirrored about either axis, as far as both
// are known.
func TestASymmetricDishGivesASymmetricMap(t *testing.T) {
	d := perfect(1, 1.2, 0.03)
	for i := range d.Pieces {
		d.Pieces[i].Slope = 3e-3
	}
	r := cast(t, d, Options{Rays: 1e6})
	nx, ny := len(r.Map.Width), len(r.Map.Height)
	worst, square, n := 0.0, 0.0, 0.0
	for j := range ny {
		for i := range nx {
			for _, m := range []int{nx - 1 - i + j*nx, i + (ny-1-j)*nx, j + i*nx} {
				e := math.Hypot(r.Map.Error[i+j*nx], r.Map.Error[m])
				if m == i+j*nx || e < 1e-3*r.Peak.Value {
					continue
				}
				z := (r.Map.Flux[i+j*nx] - r.Map.Flux[m]) / e
				worst, square, n = math.Max(worst, math.Abs(z)), square+z*z, n+1
			}
		}
	}
	// Differences in errors of 15 degrees of freedom: mean square 15/13.
	if n < 1000 || math.Abs(square/n-15.0/13) > 0.15 || worst > 7 {
		t.Errorf("%g pairs differ by up to %g errors, mean square %g", n, worst, square/n)
	}
	for a := range r.Centre {
		if math.Abs(r.Centre[a]) > 2e-5 {
			t.Errorf("the middle of the spot lies at %v", r.Centre)
		}
	}
}

func TestAMissingPetalTakesExactlyItsShare(t *testing.T) {
	d := perfect(1, 1.2, 0.02)
	d.Pieces = Petals(12, 0.1, 0.6, Piece{Present: true, Reflectance: 0.9})
	d.Hole = 0.2
	whole := cast(t, d, Options{Rays: 100000})
	d.Pieces[3].Present, d.Pieces[4].Present = false, false
	less := cast(t, d, Options{Rays: 100000})
	testkit.Close(t, "mirrors that are left", less.Mirror/whole.Mirror, 10.0/12, 1e-12, 0)
	testkit.Close(t, "gaps", less.Gaps/whole.Whole, 2.0/12, 1e-12, 0)
	testkit.Close(t, "what is thrown back", less.Reflected.Value/whole.Reflected.Value, 10.0/12, 2e-5, 0)
}

func TestShadowsHaveTheirGeometricArea(t *testing.T) {
	d := perfect(1, 1.2, 0.02)
	d.Sun.HalfAngle = 1e-7
	d.Body = Body{Round: true, Width: 0.2, Height: 0.2, Depth: 0.3}
	d.Arms = []Arm{{From: [3]float64{0, 0, 1.1}, To: [3]float64{1, 0, 1.1}, Width: 0.03}} // behind the window's plane: on the way in alone
	r := cast(t, d, Options{Rays: 1e6})
	within(t, "the can's shadow", r.Ends[ShadedByBody].Power, math.Pi*0.01, 1e-6)
	bar := 0.0 // stripe from the can to the rim
	for i := range 1000 {
		y := 0.015 * (float64(i) + 0.5) / 1000
		bar += 2 * 0.015 / 1000 * (math.Sqrt(0.36-y*y) - math.Sqrt(0.01-y*y))
	}
	within(t, "the bar's shadow", r.Ends[ShadedByArms].Power, bar, 1e-6)
	if r.Ends[StoppedByArms].Rays != 0 {
		t.Error("an arm behind the plane stops light on its way back")
	}
	// A box of two edges under a sun of 10 mrad from aside: its shadow grows by its depth times the angle.
	d.Arms, d.Body, d.Off = nil, Body{Width: 0.2, Height: 0.1, Depth: 0.3}, [2]float64{0.01, 0}
	r = cast(t, d, Options{Rays: 1e6})
	within(t, "the box's shadow from aside", r.Ends[ShadedByBody].Power, (0.2+0.3*0.01)*0.1, 3e-6)
}

func TestATurnedPieceThrowsItsLightByTwiceTheAngle(t *testing.T) {
	for _, outline := range []Outline{Disc([2]float64{0.3, 0}, 0.02), Rectangle([2]float64{0, 0.3}, 0.03, 0.03, 0), Hexagon([2]float64{-0.2, 0.2}, 0.04, 0.3)} {
		d := perfect(2, 1, 0.2)
		d.Pieces = []Piece{{Present: true, Reflectance: 1, Outline: outline, Pointing: [2]float64{0.004, 0.002}}}
		r := cast(t, d, Options{Rays: 50000})
		m := outline.Middle()
		far := math.Hypot(m[0], m[1])
		c, s := m[0]/far, m[1]/far
		psi := 2 * math.Atan(far/4)
		way := far / math.Sin(psi)
		// Outwards: the ray turns by 2α in the plane of incidence, the plane is met at ψ. Sideways: the normal tips square to the
		// plane of incidence, the ray by 2β cos(ψ/2).
		out, side := 2*0.004*way/math.Cos(psi), 2*0.002*way*math.Cos(psi/2)
		for a, want := range [2]float64{out*c - side*s, out*s + side*c} {
			testkit.Close(t, "place of the spot, by the law of reflection", r.Centre[a], want, 0, 0.015*out)
		}
	}
}

func TestSunsHaveTheirSpread(t *testing.T) {
	u, v := make([]float64, 1<<14), 0.37
	for i := range u {
		u[i] = (float64(i) + 0.5) / float64(len(u))
	}
	share := func(s Sun, theta float64) float64 {
		d := s.directions()
		n := 0.0
		for i := range u {
			x, y := d.draw(u[i], v)
			if math.Hypot(x, y) <= math.Sin(theta) {
				n++
			}
		}
		return n / float64(len(u))
	}
	testkit.Close(t, "pill-box within half its angle", share(Sun{}, SunHalfAngle/2), 0.25, 2e-3, 0)
	testkit.Close(t, "Gaussian within σ, exact", share(Sun{Shape: GaussianSun, Sigma: 3e-3}, 3e-3), 1-math.Exp(-0.5), 1e-3, 0)
	for _, ratio := range []float64{0, 0.01, 0.05, 0.2, 0.4, 0.6} {
		s := Sun{Shape: Limb, Circumsolar: ratio}
		testkit.Close(t, "share beyond the disc is the circumsolar ratio", 1-share(s, SunHalfAngle), ratio, 0, 3e-4)
		if share(s, aureoleEnds) != 1 {
			t.Error("light from beyond the aureole")
		}
	}
	// Darkening alone: mean of cos(0.326 θ)/cos(0.308 θ) by area within half the disc, by hand with 2000 rings.
	in, all := 0.0, 0.0
	for i := range 2000 {
		x := 4.65 * (float64(i) + 0.5) / 2000
		f := x * math.Cos(0.326*x) / math.Cos(0.308*x)
		if all += f; x < 4.65/2 {
			in += f
		}
	}
	testkit.Close(t, "limb-darkened sun within half the disc", share(Sun{Shape: Limb}, SunHalfAngle/2), in/all, 2e-3, 0)
}

func TestRefiningEndsAtTheWantedErrorAndTheTruthLiesWithin(t *testing.T) {
	d := perfect(1, 1.2, 0.0105)
	few := cast(t, d, Options{Error: 0.003, Peak: 1})
	many := cast(t, d, Options{Error: 0.0002, Peak: 1, Seed: 5})
	if e := few.Intercept.Error; e > 0.003 || few.Rays >= many.Rays {
		t.Errorf("error %g after %d rays; %d rays for 0.0002", e, few.Rays, many.Rays)
	}
	within(t, "intercept", few.Intercept, many.Intercept.Value, 4*many.Intercept.Error)
	if most := cast(t, d, Options{Error: 1e-9, Most: 50000}); most.Rays < 50000 || most.Rays > 100000 {
		t.Errorf("%d rays, at most 50000 and a pass were wanted", most.Rays)
	}
}

func TestCastingStopsWhenAsked(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	d := perfect(1, 1.2, 0.02)
	if _, err := Cast(ctx, &d, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

func TestARayCostsNoAllocation(t *testing.T) {
	d := perfect(1, 1.2, 0.02)
	d.Sun = Sun{Shape: Limb, Circumsolar: 0.05}
	c := d.ready()
	if err := c.lay(context.Background(), &d, Options{}.filled()); err != nil {
		t.Fatal(err)
	}
	w, err := c.workers(Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n := testing.AllocsPerRun(5, func() { c.cast(&w.tallies[0], &c.pieces[0], w.streams[0], 1000) }); n > 0 {
		t.Errorf("1000 rays cost %g allocations", n)
	}
}

func BenchmarkRays(b *testing.B) {
	d := perfect(1, 1.2, 0.18)
	d.Pieces = Petals(12, 0.1, 0.6, Piece{Present: true, Reflectance: 0.9, Slope: 3e-3, Specular: 1e-3})
	d.Tracking, d.Sun = 1e-3, Sun{Shape: Limb, Circumsolar: 0.05}
	d.Body = Body{Width: 0.3, Height: 0.3, Depth: 0.2}
	for i := range 3 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 3)
		d.Arms = append(d.Arms, Arm{From: [3]float64{0.15 * c, 0.15 * s, 1}, To: [3]float64{0.6 * c, 0.6 * s, 0.09}, Width: 0.02})
	}
	c := d.ready()
	if err := c.lay(context.Background(), &d, Options{}.filled()); err != nil {
		b.Fatal(err)
	}
	w, err := c.workers(Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for i := range b.N {
		c.cast(&w.tallies[0], &c.pieces[i%12], w.streams[0], 1000)
	}
	b.ReportMetric(float64(b.N)*1000/b.Elapsed().Seconds(), "rays/s")
}

// TestUncertainErrorsGiveABandThatOneCanCompute: of a long dish whose spot is a Gaussian, the intercept's change with the slope
// error is known by its formula.
func TestUncertainErrorsGiveABandThatOneCanCompute(t *testing.T) {
	at := func(slope, reflectance float64) *Dish {
		d := perfect(10, 0.6, 0.1)
		d.Sun = Sun{Shape: GaussianSun, Sigma: 2.73e-3}
		for i := range d.Pieces {
			d.Pieces[i].Slope, d.Pieces[i].Reflectance = slope, reflectance
		}
		return &d
	}
	opt := Options{Rays: 100000}
	base := cast(t, *at(2e-3, 0.9), opt)
	c, err := Carry(context.Background(), at(2e-3, 0.9), base, []Side{
		{Name: "slope", Below: at(1.5e-3, 0.9), Above: at(2.5e-3, 0.9)}, {Name: "reflectance", Below: at(2e-3, 0.85)},
	}, opt)
	if err != nil {
		t.Fatal(err)
	}
	caught := func(slope float64) float64 {
		return 1 - math.Exp(-0.05*0.05/(2*100*(2.73e-3*2.73e-3+4*slope*slope)))
	}
	change := (caught(2.5e-3) - caught(1.5e-3)) / 2
	testkit.Close(t, "half-width of the intercept, by the formula", c.Intercept, -change, 0.01, 0)
	testkit.Close(t, "half-width of what is thrown back", c.Reflected, base.Mirror*0.05, 1e-4, 0)
	power := math.Hypot(base.Reflected.Value*change, base.Window.Value*0.05/0.9)
	testkit.Close(t, "half-width of the power in the window", c.Window, power, 0.01, 0)
	testkit.Close(t, "shares of the variance", c.Parts[0].Share+c.Parts[1].Share, 1, 1e-12, 0)
}

func TestAnglesFallIntoTheirBins(t *testing.T) {
	d := perfect(1, 1.2, 0.02)
	c := d.ready()
	for i := range 100000 {
		angle := (float64(i) + 0.5) / 100000 * math.Pi / 2
		if got, want := c.angleBin(math.Cos(angle)), int(angle*180/math.Pi); got != want {
			t.Fatalf("%g deg falls into bin %d", angle*180/math.Pi, got)
		}
	}
	if c.angleBin(1) != 0 || c.angleBin(1+1e-15) != 0 || c.angleBin(0) != 89 {
		t.Error("the ends fall elsewhere")
	}
}

func TestNormalNumbersAreNormal(t *testing.T) {
	n := newNormals()
	for _, u := range []float64{1e-9, 1e-3, 1.0/64 - 1e-12, 1.0 / 64, 0.0171, 0.3, 0.77777, 1 - 1e-9} {
		a, b := n.pair(2, u, 0.123)
		testkit.Close(t, "radius", math.Hypot(a, b), 2*math.Sqrt(-2*math.Log(u)), 2e-5, 2e-8) // a spot of 1 m is drawn to 20 nm
	}
}
