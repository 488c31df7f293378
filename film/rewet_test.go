package film

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// steelTube is a thin steel tube of 2 m in a block of its own temperature.
func steelTube(wall, flow float64) Quench {
	return Quench{
		Wall: wall, Density: 7900, HeatCapacity: 500, Conductivity: 18, Thickness: 1e-3,
		Inner: 0.01, Length: 2, Contact: 300, Block: wall, Flow: flow, Subcooling: 3e5,
	}
}

// A front that conduction drives, followed by the equation itself: the profile
// of each side must meet in value and in slope at Yamanouchi's speed.
func TestYamanouchiFrontMeetsItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		Ts := 373.0
		T0 := Ts + rapid.Float64Range(20, 250).Draw(t, "wets")
		Tw := T0 + rapid.Float64Range(1, 500).Draw(t, "over")
		h := math.Pow(10, rapid.Float64Range(3, 6).Draw(t, "log film"))
		d := math.Pow(10, rapid.Float64Range(-4, -2).Draw(t, "log thickness"))
		const k, rho, c = 18.0, 7900.0, 500.0
		u := Yamanouchi(Tw, T0, Ts, h, d, k, rho, c)
		// Ahead: T = Tw − (Tw − T0) exp(−ρcu z/k). Behind: T = Ts + (T0 − Ts) exp(m z), k d m² + ρ c d u m = h.
		ahead := (Tw - T0) * rho * c * u / k
		b := rho * c * u / k
		m := (-b + math.Sqrt(b*b+4*h/(k*d))) / 2
		if behind := (T0 - Ts) * m; math.Abs(ahead-behind) > 1e-9*ahead {
			t.Fatalf("slopes %g and %g", ahead, behind)
		}
	})
}

// The front's way in closed form against small steps along the tube.
func TestRewetFollowsItsFront(t *testing.T) {
	p := boilingWater(t, 2)
	for _, q := range []Quench{steelTube(480, 0.02), steelTube(620, 0.02), steelTube(700, 0.004), steelTube(900, 0.1)} {
		r := Rewetted{}
		got := r.front(&p, q, 560, wetFilm, usedBest)
		over := q.Wall - p.Saturation
		metal := math.Pi * q.Thickness * (q.Inner + q.Thickness)
		per := p.Latent + q.Subcooling
		u := math.Min(q.Flow/(p.Liquid.Density*math.Pi/4*q.Inner*q.Inner),
			Yamanouchi(q.Wall, 560, p.Saturation, wetFilm, q.Thickness, q.Conductivity, q.Density, q.HeatCapacity))
		end := q.Length
		if got.reach < end {
			end = 0.95 * got.reach
		}
		const n = 200000
		dz := end / n
		taken, heat := 0.0, 0.0
		for i := range n {
			z := (float64(i) + 0.5) * dz
			give := q.Contact * math.Pi * (q.Inner + 2*q.Thickness) * (q.Block - p.Saturation) * z
			speed := math.Min(u, (usedBest*q.Flow*per-give)/(q.Density*q.HeatCapacity*metal*over))
			taken += dz / speed
			heat += q.Density*q.HeatCapacity*metal*over*dz + give*dz/speed
		}
		time := got.steam / got.rate
		if math.Abs(time-taken) > 1e-4*taken {
			t.Errorf("wall %g K, %g kg/s: %g s, step by step %g s", q.Wall, q.Flow, time, taken)
		}
		if want := math.Min(heat/per, q.Flow*taken); math.Abs(got.steam-want) > 1e-4*want {
			t.Errorf("wall %g K, %g kg/s: %g kg of steam, step by step %g kg", q.Wall, q.Flow, got.steam, want)
		}
	}
}

// Each estimate lies in its band, a factor of two from either end at least, and
// steam never exceeds the water that came.
func TestRewetStaysWithinItsBands(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := boilingAt(t)
		q := steelTube(rapid.Float64Range(300, 1000).Draw(t, "wall"), math.Pow(10, rapid.Float64Range(-4, 0).Draw(t, "log flow")))
		q.Contact = rapid.SampledFrom([]float64{0, 100, 3000}).Draw(t, "contact")
		r := Rewet(&p, q)
		for name, b := range map[string]Band{"time": r.Time, "front": r.Front, "steam": r.Steam, "rate": r.Rate} {
			if !(b.Low <= b.Best && b.Best <= b.High) || math.IsNaN(b.Low+b.Best) || b.Low < 0 {
				t.Fatalf("%s: %+v", name, b)
			}
			if name != "rate" && name != "steam" && b.High < 2*b.Best && !math.IsInf(b.Best, 1) {
				t.Fatalf("%s: %+v is no factor of two", name, b)
			}
		}
		if !(r.Leidenfrost.Low < r.Leidenfrost.Best && r.Leidenfrost.Best < r.Leidenfrost.High) || r.Rate.High > q.Flow*(1+1e-9) && r.Rate.Best < q.Flow {
			t.Fatalf("%+v", r)
		}
	})
}

// A cool tube is wetted as the water comes; a hot one takes longer, a hotter one
// longer still, and a trickle never wets a tube that a hot block feeds.
func TestHotterTubesTakeLongerToWet(t *testing.T) {
	p := boilingWater(t, 1)
	before := 0.0
	for _, wall := range []float64{380, 450, 600, 700, 900} {
		r := Rewet(&p, steelTube(wall, 0.05))
		if r.Time.Best < before {
			t.Errorf("%g K: %g s, less than %g s", wall, r.Time.Best, before)
		}
		if r.FilmBoiling != (wall > r.Leidenfrost.Best) {
			t.Errorf("%g K: film boiling %v, Leidenfrost %g K", wall, r.FilmBoiling, r.Leidenfrost.Best)
		}
		before = r.Time.Best
	}
	if r := Rewet(&p, steelTube(700, 0.0005)); !math.IsInf(r.Time.Best, 1) || r.Reach.Best >= 2 {
		t.Errorf("a trickle wets it all: %+v", r)
	}
}

// At 1 bar the published temperatures stand in the known order: Berenson's level
// plate under the tube, a wall that cools where it touches above the plate.
func TestLeidenfrostAtOneBar(t *testing.T) {
	p := boilingWater(t, 1)
	plate := p.Saturation + BerensonLeidenfrost(&p)
	tube := GroeneveldStewart(1e5, 0, p.Saturation)
	wall := HenryLeidenfrost(&p, plate, p.Saturation, p.Saturation, 18, 7900, 500)
	if !(plate > 273.15+160 && plate < 273.15+220) || !(tube > 273.15+280 && tube < 273.15+295) || wall < plate {
		t.Errorf("plate %g K, tube %g K, wall %g K", plate, tube, wall)
	}
	before := GroeneveldStewart(9e6*(1-1e-9), 0, 303.345+273.15)
	if after := GroeneveldStewart(9e6*(1+1e-9), 0, 303.345+273.15); math.Abs(after-before) > 0.01 {
		t.Errorf("jumps at 9 MPa: %g to %g K", before, after)
	}
}

// Water that stands open: a full tube boils as a pool, an empty one rests in
// steam, and there is no jump in what is left nor in the tilt.
func TestStandingGoesFromPoolToSteam(t *testing.T) {
	p := boilingWater(t, 1)
	if b := Standing(&p, 1, 0.012, 0, 2e4, 15, Choice{}); math.Abs(b.H-Cooper(2e4, p.ReducedPressure, p.MolarMass, 1)) > 1e-6*b.H || b.Wetted < 1-1e-9 {
		t.Errorf("full: %+v", b)
	}
	if b := Standing(&p, 0, 0.012, 0, 2e4, 15, Choice{}); b.H != Stagnant(p.Vapour, 0.012, 15).H || b.Wetted > 1e-9 {
		t.Errorf("empty: %+v", b)
	}
	for _, deg := range []float64{0, 3, 90} {
		noLeap(t, "standing over what is left", func(full float64) float64 {
			return Standing(&p, full, 0.012, deg*degree, 2e4, 15, Choice{}).H
		}, 0, 1, 400)
	}
	noLeap(t, "standing over tilt", func(deg float64) float64 {
		return Standing(&p, 0.2, 0.012, deg*degree, 2e4, 15, Choice{}).H
	}, -90, 90, 400)
	rapid.Check(t, func(t *rapid.T) {
		p := boilingAt(t)
		q := math.Pow(10, rapid.Float64Range(-2, 7).Draw(t, "log flux"))
		b := Standing(&p, rapid.Float64Range(-0.1, 1.1).Draw(t, "full"), 0.01, rapid.Float64Range(-2, 2).Draw(t, "tilt"), q, 20, Choice{})
		if !(b.H > 0) || !b.Outside || b.Spread < 1 || b.Regime != Pool {
			t.Fatalf("%+v", b)
		}
	})
}
