package heat

import "math"

// This file follows the water back through one slice across liquid, boiling water and steam, so that a slice in which
// water comes to boil, dries or condenses takes the heat that its parts take, without a jump where one phase ends.

// steepest is the largest number of transfer units of one slice that its exponential counts in full.
const steepest = 5.0

var fullGrowth = math.Expm1(steepest) / steepest

// growth returns (Tb − Tin)/(Tb − Tout) − 1 of a slice of n transfer units: e^n − 1, and straight on from steepest.
func growth(n float64) float64 {
	if n > steepest {
		return n * fullGrowth
	}
	return math.Expm1(n)
}

// unitsOf undoes growth.
func unitsOf(more float64) float64 {
	if n := more / fullGrowth; n > steepest {
		return n
	}
	return math.Log1p(more)
}

// effective returns U' of a slice: what makes its outlet approach T̄ exponentially at a steady flow.
func effective(u, flowCp float64) float64 {
	if flowCp <= 0 {
		return u
	}
	n := u / flowCp
	if n < 1e-6 {
		return u
	}
	return flowCp * growth(n)
}

// The drying wall stands as steps of quality, each with the film of its middle.
const (
	dryFrom  = 0.70 // as film.Boiling has it
	dryTo    = 0.95
	drySteps = 8
)

// zones are the conductances of a slice in W/K by the state of the water that is in it.
type zones struct {
	ready               bool
	wetFilm, dryFilm    float64 // W/(m² K)
	cp                  float64 // J/(kg K), of the liquid
	liquid, wet, vapour float64
	drying              [drySteps]float64
}

// entry returns the enthalpy in J/kg at which the steady flow f in kg/s must enter a slice to leave it at h in J/kg, with
// Tb in K around it, and about how fast that rises with h. It rises with h always: two flows through the same slice
// never cross.
//
// Heated water is followed back downwards: through steam, drying, boiling, liquid, each taking its share of the slice;
// cooled water upwards. Within liquid and steam the heat capacity is the mean between h and saturation, for heated
// liquid that of saturation.
func (w *stream) entry(z *zones, Tb, f, h float64) (in, slope float64) {
	T, rise := w.point(h)
	d := Tb - T
	if d == 0 {
		return h, 1
	}
	sat := w.iso.Saturation
	left := 1.0 // of the slice
	at := h
	if d > 0 {
		if h > w.iso.HVapour {
			// c falls in with h − h″ and T − Tsat, so that the way down ends at saturated steam.
			c := (h - w.iso.HVapour) / math.Max(T-sat, 1e-9)
			n := z.vapour / (f * c)
			more := (T - sat) / d // growth down to saturation
			if s := growth(n); s <= more {
				return h - c*s*d, 1 + c*s*rise
			}
			left -= unitsOf(more) / n
			at = w.iso.HVapour
		}
		over := Tb - sat
		speed := w.speed(z, h, d)
		for at > w.iso.HLiquid {
			floor, u := w.below(z, at)
			reach := left * u * over / f
			if at-reach >= floor {
				return at - reach, u * over / speed
			}
			left -= (at - floor) * f / (u * over)
			at = floor
		}
		if h > w.iso.HLiquid {
			d, rise = over, 0
		}
		c := z.cp
		s := growth(left * z.liquid / (f * c))
		in = at - c*s*d
		if h > w.iso.HLiquid {
			return in, z.liquid * (over + s*over) / speed
		}
		return in, 1 + c*s*rise
	}
	if h < w.iso.HLiquid {
		c := (w.iso.HLiquid - h) / math.Max(sat-T, 1e-9)
		n := z.liquid / (f * c)
		more := (T - sat) / d
		if s := growth(n); s <= more {
			return h - c*s*d, 1 + c*s*rise
		}
		left -= unitsOf(more) / n
		at = w.iso.HLiquid
	}
	over := Tb - sat // below zero
	speed := w.speed(z, h, d)
	for at < w.iso.HVapour {
		ceiling, u := w.above(z, at)
		reach := left * u * over / f
		if at-reach <= ceiling {
			return at - reach, u * over / speed
		}
		left -= (at - ceiling) * f / (u * over)
		at = ceiling
	}
	if h < w.iso.HVapour {
		d, rise = over, 0
	}
	s := growth(left * z.vapour / (f * w.vapourCp))
	in = at - w.vapourCp*s*d
	if h < w.iso.HVapour {
		return in, z.vapour * (over + s*over) / speed
	}
	return in, 1 + w.vapourCp*s*rise
}

// speed returns the heat that a slice gives to water at h, d in K colder, in W.
func (w *stream) speed(z *zones, h, d float64) float64 {
	switch {
	case h <= w.iso.HLiquid:
		return z.liquid * d
	case h >= w.iso.HVapour:
		return z.vapour * d
	}
	_, u := w.below(z, h)
	return u * d
}

// below returns the lower end in J/kg of the zone of boiling water that ends at or holds h, and its conductance.
func (w *stream) below(z *zones, h float64) (floor, u float64) {
	latent := w.iso.HVapour - w.iso.HLiquid
	x := (h - w.iso.HLiquid) / latent
	switch {
	case x <= dryFrom*(1+1e-12):
		return w.iso.HLiquid, z.wet
	case x > dryTo*(1+1e-12):
		return w.iso.HLiquid + dryTo*latent, z.vapour
	}
	const step = (dryTo - dryFrom) / drySteps
	i := min(drySteps-1, max(0, int(math.Ceil((x-dryFrom)/step-1e-9))-1))
	return w.iso.HLiquid + (dryFrom+float64(i)*step)*latent, z.drying[i]
}

// above is below for water that is followed upwards: the upper end of the zone that begins at or holds h.
func (w *stream) above(z *zones, h float64) (ceiling, u float64) {
	latent := w.iso.HVapour - w.iso.HLiquid
	x := (h - w.iso.HLiquid) / latent
	switch {
	case x < dryFrom*(1-1e-12):
		return w.iso.HLiquid + dryFrom*latent, z.wet
	case x >= dryTo*(1-1e-12):
		return w.iso.HVapour, z.vapour
	}
	const step = (dryTo - dryFrom) / drySteps
	i := min(drySteps-1, max(0, int(math.Floor((x-dryFrom)/step+1e-9))))
	return w.iso.HLiquid + (dryFrom+float64(i+1)*step)*latent, z.drying[i]
}

// boiledOff returns ∫ m dh in J from h0 up to h, for a slice that holds mass kg at h0: it keeps its mass until it is
// full, then gives up what its volume in m³ does not hold. Water that shrinks keeps its mass: what fills it up comes
// in as flow.
func (w *stream) boiledOff(volume, mass, h0, h float64) float64 {
	if h <= h0 {
		return mass * (h - h0)
	}
	sum := 0.0
	at := h0
	if hl := w.iso.HLiquid; at < hl {
		to := math.Min(h, hl)
		sum += mass * (to - at)
		at = to
	}
	if hv := w.iso.HVapour; at < h && at < hv {
		to := math.Min(h, hv)
		latent := hv - w.iso.HLiquid
		vl := 1 / w.iso.Liquid.Density
		more := (1/w.iso.Vapour.Density - vl) / latent // m³/J, by which a kilogram grows
		full := w.iso.HLiquid + (volume/mass-vl)/more
		if full > at {
			full = math.Min(full, to)
			sum += mass * (full - at)
			at = full
		}
		if at < to {
			v0 := vl + (at-w.iso.HLiquid)*more
			sum += volume / more * math.Log1p((to-at)*more/v0)
		}
		at = to
	}
	if at < h {
		rho := w.iso.Density(0.5 * (at + h))
		sum += math.Min(mass, volume*rho) * (h - at)
	}
	return sum
}
