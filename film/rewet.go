package film

import "math"

// Quench is a hot tube into which the first water comes.
type Quench struct {
	Wall         float64 // K, the tube's wall
	Density      float64 // kg/m³, of the wall
	HeatCapacity float64 // J/(kg K), of the wall
	Conductivity float64 // W/(m K), of the wall
	Thickness    float64 // m, of the wall
	Inner        float64 // m, bore
	Length       float64 // m
	Contact      float64 // W/(m² K), conductance to the block on the tube's outer area; 0: none
	Block        float64 // K, the block around the tube
	Flow         float64 // kg/s
	Subcooling   float64 // J/kg, h′ less the inlet's enthalpy; 0 or more
}

// Rewetted is how a hot tube's wall is wetted, as far as it can be told. Each
// band spans a factor of two at least from its best value to either end.
type Rewetted struct {
	Leidenfrost Band    // K, wall temperature below which water wets it
	Front       Band    // m/s, speed of the wetted part's end where it starts
	Time        Band    // s, until the whole tube is wet; +Inf where it never is
	Reach       Band    // m, how far the front comes; Length if through
	Steam       Band    // kg, made in that time (in the time to 95 % of Reach, if never through)
	Rate        Band    // kg/s, of steam, the mean over that time
	Law         string  // what holds the front back in the best estimate
	FilmBoiling bool    // the wall begins above the best Leidenfrost temperature
	Spread      float64 // as of a Coefficient: the band's factor less 1, the largest of Time's
}

// What a quench front is reckoned with, all ours but where a source stands.
const (
	// wetFilm is the film just behind the front in W/(m² K), Yamanouchi's
	// constant as the later literature gives it for a front that wets at the
	// Leidenfrost temperature: 10⁴..10⁵ fits most of the measurements with
	// little flow (order of magnitude from memory).
	wetFilm       = 3e4
	wetFilmFactor = 3.0
	// usedBest and usedLow are the shares of the water's capacity to take heat
	// that the front gets; the rest flies past as droplets.
	usedBest = 0.5
	usedLow  = 0.25
)

// Names of what holds a front back.
const (
	lawFrontConduction = "conduction in the wall: Yamanouchi 1968"
	lawFrontWater      = "the water's capacity to take up the wall's heat"
	lawFrontFilling    = "filling: the wall is wetted as the water comes"
)

// Yamanouchi returns the speed in m/s of a front of wetting along a wall that
// conduction through the wall feeds:
//
//	1/u = ρ c √(δ/(h k)) √[(Tw − T0)(Tw − Ts)]/(T0 − Ts)
//
// Tw is the dry wall, T0 the temperature that water wets at, Ts saturation, in
// K; film h behind the front in W/(m² K), none ahead of it; δ the thickness. The
// wall is thin: h δ/k below about 1; above, the true front is slower.
// Source: Yamanouchi, J. Nucl. Sci. Technol. 5 (1968) 547; the form follows from
// one-dimensional conduction and was derived anew.
func Yamanouchi(wall, wets, saturation, film, thickness, conductivity, density, heatCapacity float64) float64 {
	if wall <= wets {
		return math.Inf(1)
	}
	if wets <= saturation {
		return 0
	}
	return math.Sqrt(film*conductivity/thickness) / (density * heatCapacity) *
		(wets - saturation) / math.Sqrt((wall-wets)*(wall-saturation))
}

// Rewet estimates how the first water wets a hot tube, how much steam that
// makes and how fast.
//
// The front goes as fast as the slowest of: the water that fills the bore,
// G/ρ_l; conduction to the wet part, Yamanouchi, if the wall is over
// Leidenfrost; and the heat that the water can take up, a share of flow ×
// (latent + subcooling), against what the wall holds above saturation per
// metre and what the block gives through the contact to all that is wet:
//
//	dz/dt = min(u, [η ṁ H − k' z]/e'),  e' = ρ c A (Tw − Ts),  k' = U π D_o (Tb − Ts)
//
// solved exactly. Where η ṁ H falls to k' z before the end, the tube is never
// wet throughout: the rest dries out in steady flow. Steam is the heat given
// over latent + subcooling, at most the water that came.
//
// It is an estimate to warn by, a factor of two at the least. The steam leaves
// suddenly, may hammer and shocks the tube: open the outlet first, let the
// first water in slowly, keep clear of the outlet, and follow the local codes
// for pressure parts and whoever is licensed for them.
//
// t needs Pressure and Saturation.
func Rewet(t *TwoPhase, q Quench) Rewetted {
	r := Rewetted{Leidenfrost: Leidenfrost(t, q.Conductivity, q.Density, q.HeatCapacity)}
	r.FilmBoiling = q.Wall > r.Leidenfrost.Best
	best := r.front(t, q, r.Leidenfrost.Best, wetFilm, usedBest)
	slow := r.front(t, q, r.Leidenfrost.Low, wetFilm/wetFilmFactor, usedLow)
	fast := r.front(t, q, r.Leidenfrost.High, wetFilm*wetFilmFactor, 1)
	r.Law = best.law
	r.Front = widened(slow.speed, best.speed, fast.speed)
	r.Time = widened(fast.time, best.time, slow.time)
	r.Reach = Band{slow.reach, best.reach, fast.reach}
	r.Steam = widened(math.Min(slow.steam, fast.steam), best.steam, math.Max(slow.steam, fast.steam))
	r.Steam.High = math.Min(r.Steam.High, math.Max(best.steam, q.Flow*r.Time.High))
	r.Rate = widened(slow.rate, best.rate, fast.rate)
	r.Rate.High = math.Max(best.rate, math.Min(r.Rate.High, q.Flow))
	r.Spread = math.Max(r.Time.High/r.Time.Best, r.Time.Best/r.Time.Low) - 1
	if math.IsNaN(r.Spread) {
		r.Spread = math.Inf(1)
	}
	return r
}

// widened moves the ends of a band to a factor of two at least.
func widened(low, best, high float64) Band {
	return Band{math.Min(low, best/2), best, math.Max(high, 2*best)}
}

// run is one way of a front along the tube.
type run struct {
	speed, time, reach, steam, rate float64
	law                             string
}

// front follows one front that wets at T0 with the film h behind it, on the
// share used of what the water can take up.
func (r *Rewetted) front(t *TwoPhase, q Quench, wets, film, used float64) run {
	const through = 0.95 // of the way, where a front never comes to the end
	section := math.Pi / 4 * q.Inner * q.Inner
	metal := math.Pi * q.Thickness * (q.Inner + q.Thickness) // m², the wall's cross-section
	over := math.Max(q.Wall-t.Saturation, 0)
	capacity := q.Density * q.HeatCapacity * metal * over                                                    // J/m
	give := math.Max(q.Contact, 0) * math.Pi * (q.Inner + 2*q.Thickness) * math.Max(q.Block-t.Saturation, 0) // W/m
	per := t.Latent + math.Max(q.Subcooling, 0)                                                              // J/kg
	power := used * math.Max(q.Flow, 0) * per                                                                // W
	u, law := math.Max(q.Flow, 0)/(t.Liquid.Density*section), lawFrontFilling
	if y := Yamanouchi(q.Wall, wets, t.Saturation, film, q.Thickness, q.Conductivity, q.Density, q.HeatCapacity); y < u {
		u, law = y, lawFrontConduction
	}
	out := run{reach: q.Length, law: law}
	out.speed = u
	if capacity > 0 && power/capacity < u {
		out.speed, out.law = power/capacity, lawFrontWater
	}
	if give > 0 {
		out.reach = math.Min(q.Length, power/give)
	}
	end := q.Length
	if out.reach < q.Length {
		end = through * out.reach
		out.law = lawFrontWater
	}
	if !(out.speed > 0) {
		out.time, out.reach = math.Inf(1), 0
		return out
	}
	// Up to bend the front goes at u, beyond at what the water can take.
	bend := end
	if give > 0 {
		bend = reach((power-u*capacity)/give, 0, end)
	} else if power < u*capacity {
		bend = 0
	}
	taken := bend / u
	if bend < end {
		if give > 0 {
			taken += capacity / give * math.Log((power-give*bend)/(power-give*end))
		} else {
			taken += (end - bend) * capacity / power
		}
		if bend == 0 || bend < 0.5*end {
			out.law = lawFrontWater
		}
	}
	// The wall's heat and the block's, ∫ k' z dt, on the way at u; beyond it, all
	// that the water takes.
	heat := capacity*bend + give*bend*bend/(2*u)
	if bend < end {
		heat += power * (taken - bend/u)
	}
	out.steam = math.Min(heat/per, q.Flow*taken)
	if taken > 0 {
		out.rate = out.steam / taken
	}
	out.time = taken
	if out.reach < q.Length {
		out.time = math.Inf(1)
	}
	return out
}
