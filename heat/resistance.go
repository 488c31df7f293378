package heat

import (
	"math"

	"emberbank/duty"
	"emberbank/film"
	"emberbank/receiver"
	"emberbank/water"
)

// links sets the resistances of contact, wall and film of every slice for a step of tau (s) that begins now, or with 0
// for the moment: liquid as it will be in the step's middle if it goes on as in the last step, all else as it stands.
func (w *stream) links(t *tubes, tilt, tau float64) {
	w.laid, w.tilt, w.boils = false, tilt, false
	if len(w.plan) != len(w.slices) {
		n := len(w.slices)
		w.plan, w.past, w.pastNew = make([]wet, n), make([]past, n), make([]past, n)
		w.base, w.baseNew, w.trend = make([]held, n), make([]held, n), make([]held, n)
		w.rebase()
	}
	if w.state == duty.Drained {
		for _, si := range w.slices {
			t.cut(&t.slices[si])
		}
		return
	}
	for i, si := range w.slices {
		s, q, iso := &t.slices[si], &w.plan[i], w.at[i]
		p := &t.b.rec.Passes[s.pass]
		q.mean0 = s.mean
		q.zones.ready = false
		h := w.h[i]
		if h > iso.HLiquid+1 {
			w.boils = true
		}
		if h < iso.HLiquid {
			h = clamp(h+0.5*tau*w.rate[i]*q.zones.cp, iso.Low, iso.HLiquid-1)
		}
		f := iso.Film(h)
		if h > iso.High {
			f.T = iso.temperature(h)
		}
		t.solidLinks(s, p, f.T)
		s.made, s.regime, s.wetted = film.Coefficient{}, film.Liquid, math.NaN()
		switch {
		case p.FilmNone:
			s.filmR = 0
		case p.FilmFixed > 0:
			s.filmR = 1 / (p.FilmFixed * t.more.film * s.inner)
		case w.state != duty.Flowing:
			t.take(s, w.standing(t, i))
		case h > iso.HLiquid && h < iso.HVapour:
			w.layZones(t, i)
			t.take(s, s.made)
		default:
			t.take(s, w.film(t, i, &f))
		}
		t.conductance(s)
	}
	w.boiled = w.boiled || w.boils
}

// cut takes a slice's chain away.
func (t *tubes) cut(s *slice) {
	s.u = 0
	if s.ease == 0 {
		for q := s.first; q < s.last; q++ {
			t.links[q].k = 0
		}
	}
}

// film returns the film coefficient of a slice that holds liquid or steam of the properties f, with the wall's
// temperature as of the last step. Where the wall comes above saturation, the flux is the one that the chain leads
// through the film, from the difference of temperatures of the last step.
func (w *stream) film(t *tubes, i int, f *water.Film) film.Coefficient {
	s, was, iso := &t.slices[w.slices[i]], &w.past[i], w.at[i]
	p := &t.b.rec.Passes[s.pass]
	over := was.wall
	if was.heat == 0 {
		over = 0.5 * (s.mean - f.T)
	}
	G := w.flow / s.section
	single := film.Tube(fluid(f), iso.Prandtl(clamp(f.T+over, 274, 1000)), G, p.Inner, w.heatLen, slope(s.axis, w.tilt), over)
	cold := iso.Saturation - f.T
	if cold <= 0 { // steam
		return single
	}
	drive := was.drive
	if was.heat == 0 {
		drive = s.mean - f.T
	}
	if H := t.within(single); drive/s.chain(1/(H*s.inner))/s.inner <= H*cold {
		return single // the wall stays below saturation
	}
	two := iso.twoPhase()
	two.LiquidOnly = single.H
	quality := -cold * iso.Liquid.HeatCapacity / two.Latent
	return w.boil(t, s, p, &two, quality, G, drive, was.onset)
}

// boil returns the film of boiling water that carries what the chain leads to it from drive (K) above the water. The
// film rises with its flux less than in proportion, so that taking turns settles; guess is where to begin, in W/(m² K).
func (w *stream) boil(t *tubes, s *slice, p *receiver.Pass, two *film.TwoPhase, quality, G, drive, guess float64) film.Coefficient {
	c := film.Coefficient{H: math.Max(guess, two.LiquidOnly)}
	for range 6 {
		before := c.H
		flux := drive / s.chain(1/(t.within(c)*s.inner)) / s.inner
		c = film.Boiling(*two, quality, G, p.Inner, flux)
		if math.Abs(c.H-before) < 0.01*before {
			break
		}
	}
	return c
}

// layZones sets what a slice conducts by the state of the water in it, for slices that hold more than one state or may
// come to.
func (w *stream) layZones(t *tubes, i int) {
	s, q, iso := &t.slices[w.slices[i]], &w.plan[i], w.at[i]
	p := &t.b.rec.Passes[s.pass]
	z := &q.zones
	z.ready = true
	if p.FilmNone || p.FilmFixed > 0 {
		z.liquid, z.wet, z.vapour = s.u, s.u, s.u
		for k := range z.drying {
			z.drying[k] = s.u
		}
		return
	}
	h := w.h[i]
	G := w.flow / s.section
	two := iso.twoPhase()
	incline := slope(s.axis, w.tilt)
	over := w.past[i].wall
	if w.past[i].heat == 0 {
		over = 0.5 * (q.mean0 - iso.Saturation)
	}
	liquid := iso.Film(iso.HLiquid)
	two.LiquidOnly = film.Tube(fluid(&liquid), 0, G, p.Inner, w.heatLen, incline, over).H
	vapour := iso.Film(iso.HVapour)
	dry := film.Tube(fluid(&vapour), 0, G, p.Inner, w.heatLen, incline, over)
	two.VapourOnly = dry.H
	// The film of boiling rises slowly with quality: it is taken where the slice stands, or soon after boiling begins.
	quality := clamp((h-iso.HLiquid)/two.Latent, 0.05, dryFrom)
	c := w.boil(t, s, p, &two, quality, G, math.Max(0, q.mean0-iso.Saturation), w.past[i].wet)
	z.wetFilm, z.dryFilm = c.H, dry.H
	conduct := func(c film.Coefficient) float64 { return 1 / s.chain(1/(t.within(c)*s.inner)) }
	z.wet, z.vapour = conduct(c), conduct(dry)
	if z.liquid = s.u; h >= iso.HLiquid || s.u == 0 { // liquid that is about to boil, on a wall that boils already
		onset := w.boil(t, s, p, &two, -1e-9, G, math.Max(0, q.mean0-iso.Saturation), w.past[i].onset)
		z.onsetFilm = onset.H
		z.liquid = conduct(onset)
	}
	if h >= iso.HVapour && s.u > 0 {
		z.vapour = s.u
	}
	for k := range z.drying {
		z.drying[k] = conduct(film.Coefficient{H: z.film((float64(k) + 0.5) / drySteps), Spread: drySpread})
	}
	if h > iso.HLiquid && h < iso.HVapour {
		if s.made = c; iso.quality(h) > dryFrom {
			s.made = film.Boiling(two, iso.quality(h), G, p.Inner, w.past[i].heat/s.inner)
			s.made.H, s.made.Spread = w.mixed(i, h), drySpread
		}
	}
}

// film returns the film of a wall of which the given share is dry: a smooth step, as film.Boiling has it.
func (z *zones) film(dry float64) float64 {
	return z.wetFilm + dry*dry*(3-2*dry)*(z.dryFilm-z.wetFilm)
}

// mixed returns the film of boiling water at h in J/kg, once its zones are laid.
func (w *stream) mixed(i int, h float64) float64 {
	x := w.at[i].quality(h)
	return w.plan[i].zones.film(clamp((x-dryFrom)/(dryTo-dryFrom), 0, 1))
}

func (iso *isobar) twoPhase() film.TwoPhase {
	return film.TwoPhase{
		Liquid: saturated(&iso.Liquid), Vapour: saturated(&iso.Vapour),
		Latent: iso.latent, SurfaceTension: iso.SurfaceTension, Pressure: iso.P,
		ReducedPressure: iso.P / 22.064e6, MolarMass: 18.015268,
	}
}

func clamp(x, lo, hi float64) float64 { return math.Min(math.Max(x, lo), hi) }

// fluid hands properties of water to the film correlations.
func fluid(f *water.Film) film.Fluid {
	return film.Fluid{
		Density: f.Density, Viscosity: f.Viscosity, Conductivity: f.Conductivity,
		HeatCapacity: f.HeatCapacity, Prandtl: f.Prandtl, Expansion: f.Expansion,
	}
}

// saturated does so for a state; its expansion is left out.
func saturated(s *water.State) film.Fluid {
	return film.Fluid{
		Density: s.Density, Viscosity: s.Viscosity, Conductivity: s.Conductivity,
		HeatCapacity: s.HeatCapacity, Prandtl: s.Prandtl,
	}
}

// solidLinks sets the resistances of contact and wall of a slice; T is the fluid's temperature in K.
func (t *tubes) solidLinks(s *slice, p *receiver.Pass, T float64) {
	s.contact, s.wall = 0, 0
	if !p.Contact.None {
		s.contact = 1 / (p.Contact.Value.At(0.5*(s.bore+T)) * t.more.contact * s.outer)
	}
	if p.WallMedium >= 0 {
		k := t.b.rec.Media[p.WallMedium].Conductivity[0].At(0.5 * (s.bore + T))
		s.wall = s.around / (k * t.more.wall)
	}
}
