package heat

import (
	"math"

	"emberbank/film"
)

// This file follows water that stands in tubes that are open at the outlet: it warms, swells out, boils off at the
// outlet's pressure until it is dry, and the steam that is left warms on. In a slice of volume V that holds m kg of
// water at h:
//
//	below saturation     dQ = m dh,               what has no room any more leaves at h
//	boiling, with room   dQ = m dh                at saturation, until mixture fills the slice
//	boiling, full        dQ = −Λ dm,              Λ = (h″ − h′) v″/(v″ − v′): steam alone leaves
//	dry                  dQ = m dh,               what has no room any more leaves at h
//
// Λ exceeds the latent heat by what turns into the steam that takes the place of the water that went. Cooled water keeps
// its mass: what would be drawn back from outside is left out, and so is what the steam takes up on its way out.
//
// Source: balances of mass and energy of an open system at constant pressure.

// boilOff returns Λ in J/kg.
func (b *isobar) boilOff() float64 {
	vl, vv := 1/b.Liquid.Density, 1/b.Vapour.Density
	return b.latent * vv / (vv - vl)
}

// full returns the enthalpy in J/kg at which m kg of boiling water fill the volume in m³, within h′ to h″.
func (b *isobar) full(m, volume float64) float64 {
	vl, vv := 1/b.Liquid.Density, 1/b.Vapour.Density
	return b.HLiquid + b.latent*clamp((volume/m-vl)/(vv-vl), 0, 1)
}

// warmed returns the mean of the mass in kg of liquid in the volume while it warms to saturation and swells out.
func (b *isobar) warmed(volume, m float64) float64 {
	return 0.5 * (m + math.Min(m, volume*b.Liquid.Density))
}

// soak gives the heat Q in J to m kg at h that stand in the volume, and returns what stands there then.
func (b *isobar) soak(volume, m, h, Q float64) (mass, enthalpy float64) {
	if m <= 0 {
		return m, h
	}
	if Q <= 0 {
		return m, h + Q/m
	}
	if h < b.HLiquid {
		warmed := b.warmed(volume, m)
		if need := warmed * (b.HLiquid - h); Q < need {
			h += Q / warmed
			return math.Min(m, volume*b.Density(h)), h
		} else {
			Q -= need
		}
		m, h = math.Min(m, volume*b.Liquid.Density), b.HLiquid
	}
	if h < b.HVapour {
		to := b.full(m, volume)
		if need := m * (to - h); Q <= need {
			return m, h + Q/m
		} else if need > 0 {
			Q -= need
		}
		dry := volume * b.Vapour.Density
		off := Q / b.boilOff()
		if m-off > dry {
			m -= off
			return m, b.full(m, volume)
		}
		Q -= math.Max(0, m-dry) * b.boilOff()
		m, h = math.Min(m, dry), b.HVapour
	}
	h += Q / m
	return math.Min(m, volume*b.Density(math.Min(h, b.High))), h
}

// uptake returns the heat in J that m kg at h take in over tau (s) from a wall at mean (K) through u (W/K): each stage
// of soak in turn, warming exponentially and boiling evenly.
func (b *isobar) uptake(volume, m, h, u, mean, tau float64) float64 {
	if m <= 0 || u <= 0 {
		return 0
	}
	T, slope := b.point(h)
	d := mean - T
	if slope > 0 { // one phase
		full := m
		if h < b.HLiquid && d > 0 {
			m = b.warmed(volume, m)
		}
		C := m * b.meanCp(h, mean, slope)
		Q := -C * d * math.Expm1(-tau*u/C)
		end := h + Q/m
		switch {
		case h < b.HLiquid && end > b.HLiquid:
			need := m * (b.HLiquid - h)
			spent := timeTo(C, d, mean-b.Saturation, u, tau)
			return need + b.uptake(volume, math.Min(full, volume*b.Liquid.Density), b.HLiquid, u, mean, tau-spent)
		case h >= b.HVapour && end < b.HVapour:
			spent := timeTo(C, d, mean-b.Saturation, u, tau)
			return m*(b.HVapour-h) + math.Max(u*(mean-b.Saturation)*(tau-spent), -m*b.latent)
		}
		return Q
	}
	over := mean - b.Saturation
	if over <= 0 {
		return math.Max(u*over*tau, -m*(h-b.HLiquid)-1e-3) // condensed at most
	}
	left := m*(b.full(m, volume)-h) + math.Max(0, m-volume*b.Vapour.Density)*b.boilOff() // until dry
	left = math.Max(left, 0)
	if u*over*tau <= left {
		return u * over * tau
	}
	rest := tau - left/(u*over)
	C := math.Min(m, volume*b.Vapour.Density) * b.meanCp(b.HVapour, mean, 1/b.vapourCp)
	return left - C*over*math.Expm1(-rest*u/C)
}

// meanCp returns the mean heat capacity in J/(kg K) of water of one phase on its way from h to mean in K, or to
// saturation before; slope is dT/dh there.
func (b *isobar) meanCp(h, mean, slope float64) float64 {
	T, end := b.temperature(h), b.enthalpy(mean)
	switch {
	case h < b.HLiquid && mean >= b.Saturation:
		mean, end = b.Saturation, b.HLiquid
	case h >= b.HVapour && mean <= b.Saturation:
		mean, end = b.Saturation, b.HVapour
	}
	if math.Abs(mean-T) < 0.01 {
		return 1 / slope
	}
	return (end - h) / (mean - T)
}

// timeTo returns the time in s, within tau, at which something of the heat capacity C (J/K) comes from d to to (K)
// below its surroundings through u (W/K).
func timeTo(C, d, to, u, tau float64) float64 {
	if r := d / to; r > 0 {
		return clamp(C/u*math.Log(r), 0, tau)
	}
	return tau
}

// simmer is march for water that stands open.
func (w *stream) simmer(t *tubes, tau float64) {
	for i, si := range w.slices {
		s, q, iso := &t.slices[si], &w.plan[i], w.at[i]
		switch {
		case tau == 0: // at last it is dry and takes nothing
			s.heat, s.fluid = 0, s.mean
		default:
			Q := iso.uptake(s.volume, q.mass, q.h, q.u, s.mean, tau)
			s.heat = Q / tau
			q.after, q.guess = iso.soak(s.volume, q.mass, q.h, Q)
			s.fluid = iso.temperature(q.guess)
		}
		t.settle(si)
	}
}

// boilDown takes the heat (J) that each slice received over the step of water that stands open, sets the candidate state
// at its end, and returns what left with steam and water in J.
func (w *stream) boilDown(t *tubes, tau float64, heat func(slice int) float64) (carried float64) {
	w.outNew = 0
	for i, si := range w.slices {
		s, iso := &t.slices[si], w.at[i]
		Q := heat(si)
		w.massNew[i], w.hNew[i] = iso.soak(s.volume, w.mass[i], w.h[i], Q)
		if top := iso.enthalpy(s.mean); Q > 0 && w.hNew[i] > math.Max(iso.HVapour, math.Max(top, w.h[i])) {
			w.hNew[i] = math.Max(iso.HVapour, math.Max(top, w.h[i])) // a wisp of steam ends no hotter than its tube; the rest leaves
		}
		carried += Q - (w.massNew[i]*(w.hNew[i]-w.origin) - w.mass[i]*(w.h[i]-w.origin))
		w.outNew += (w.mass[i] - w.massNew[i]) / tau
		w.pastNew[i] = s.past()
	}
	return carried
}

// standing returns the film of a slice of water that stands: of the wetted share of the bore, boiling or warming as in a
// pool, and of the rest in resting steam.
func (w *stream) standing(t *tubes, i int) film.Coefficient {
	s, q, iso := &t.slices[w.slices[i]], &w.plan[i], w.at[i]
	p := &t.b.rec.Passes[s.pass]
	h, m := w.h[i], w.mass[i]
	over := w.past[i].wall
	if w.past[i].heat == 0 {
		over = 0.5 * (s.mean - iso.temperature(h))
	}
	if h >= iso.HVapour {
		s.regime, s.wetted = film.Steam, 0
		steam := iso.Film(h)
		return film.Stagnant(fluid(&steam), p.Inner, over)
	}
	liquid := iso.Film(math.Min(h, iso.HLiquid))
	filled := m * (1 - clamp(iso.quality(h), 0, 1)) / (liquid.Density * s.volume)
	incline := s.along * slope(s.axis, w.tilt)
	drive, b := 0.0, film.Boiled{Coefficient: film.Coefficient{H: math.Max(w.past[i].wet, 10)}}
	if h >= iso.HLiquid {
		drive = math.Max(0, q.mean0-iso.Saturation)
	}
	var turns inTurn
	settled := false
	for range mostTurns {
		before := b.H
		b = film.Standing(&iso.two, filled, p.Inner, incline, t.flux(s, b.Coefficient, drive), over, t.laws)
		if settled = drive == 0 || math.Abs(b.H-before) < filmSettled*before; settled {
			break
		}
		b.H = turns.next(before, b.H)
	}
	s.unsettled = s.unsettled || !settled
	s.regime, s.wetted = film.Liquid, b.Wetted
	if h >= iso.HLiquid {
		q.zones.wetFilm = b.H
		s.regime = b.Regime
		return b.Coefficient
	}
	wet := film.Stagnant(fluid(&liquid), p.Inner, over)
	wet.H = b.Wetted*wet.H + (1-b.Wetted)*film.Stagnant(iso.vapour, p.Inner, over).H
	return wet
}
