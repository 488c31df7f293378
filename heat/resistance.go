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
	if w.beginLinks(t, tilt, tau); w.state != duty.Drained {
		w.linksOf(t, 0, len(w.slices))
	}
}

// beginLinks is links up to the slices, each of which linksOf then takes by itself.
func (w *stream) beginLinks(t *tubes, tilt, tau float64) {
	w.laid, w.tilt, w.linkTau, w.boils = false, tilt, tau, false
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
	for i, h := range w.h {
		w.boils = w.boils || h > w.at[i].HLiquid+1
	}
	w.boiled = w.boiled || w.boils
}

// linksOf sets the resistances of slices from..to in the order of flow.
func (w *stream) linksOf(t *tubes, from, to int) {
	for i := from; i < to; i++ {
		s, q, iso := &t.slices[w.slices[i]], &w.plan[i], w.at[i]
		p := &t.b.rec.Passes[s.pass]
		q.mean0 = s.mean
		q.zones.ready = false
		h := w.foretold(i)
		if w.state == duty.Flowing {
			h = w.amid(i, h)
		}
		f := iso.Film(h)
		if h > iso.High {
			f.T = iso.temperature(h)
		}
		t.solidLinks(s, p, f.T)
		s.made, s.regime, s.wetted, s.unsettled = film.Coefficient{}, film.Liquid, math.NaN(), false
		switch {
		case p.FilmNone:
			s.filmR = 0
		case p.FilmFixed > 0:
			s.filmR = 1 / (p.FilmFixed * t.more.film * s.inner)
		case w.state != duty.Flowing:
			t.take(s, w.standing(t, i))
		case w.h[i] > iso.HLiquid && w.h[i] < iso.HVapour:
			w.layZones(t, i)
			t.take(s, s.made)
		default:
			t.take(s, w.film(t, i, &f))
		}
		t.conductance(s)
		s.steep = w.steepness(i, s.u)
		if w.state == duty.Flowing && w.h[i] >= iso.HVapour { // else the one who follows the flow would, slice by slice
			w.layZones(t, i)
		}
	}
}

// steepness returns by how much the heat of slice i may rise with the mean of the cells around it in the coming step, in
// W/K, where one phase passes it: from U′ down to what the flow and the slice itself take up, the longer the step,
//
//	dQ/dT̄ = U′/(1 + U′ (dT/dh) τ/(m + τ ṁ)).
func (w *stream) steepness(i int, u float64) float64 {
	_, slope := w.at[i].point(w.h[i])
	if w.state != duty.Flowing || slope <= 0 {
		return u
	}
	up := effective(u, w.flow/slope)
	if w.linkTau > 0 {
		up /= 1 + up*slope*w.linkTau/(2*w.mass[i]+w.linkTau*w.flow) // the water's mean changes half as far as its end
	}
	return up
}

// amid returns the enthalpy in J/kg in the middle of what of slice i is in one phase with h, at which it leaves: films and
// contacts there are those of the slice's mean.
func (w *stream) amid(i int, h float64) float64 {
	up, iso := w.inlet, w.at[i]
	if i > 0 {
		up = w.foretold(i - 1)
	}
	switch {
	case h < iso.HLiquid:
		return clamp(0.5*(up+h), iso.Low, iso.HLiquid-1)
	case h > iso.HVapour:
		return 0.5 * (math.Max(up, iso.HVapour) + h)
	}
	return h
}

// foretold returns the enthalpy in J/kg that leaves slice i: of liquid as it will be in the step's middle if it goes on as in
// the last step.
func (w *stream) foretold(i int) float64 {
	h, iso := w.h[i], w.at[i]
	if h < iso.HLiquid {
		return clamp(h+0.5*w.linkTau*w.rate[i]*w.plan[i].zones.cp, iso.Low, iso.HLiquid-1)
	}
	return h
}

// entering returns the enthalpy in J/kg that enters slice i as the water stands.
func (w *stream) entering(i int) float64 {
	if i == 0 {
		return w.inlet
	}
	return w.h[i-1]
}

// link is stream.links by all workers.
func (m *march) link(w *stream, tilt, tau float64) {
	w.beginLinks(m.tubes, tilt, tau)
	m.linked = append(m.linked[:0], w)
	m.s.team.each(&m.linkJob)
}

// linkPlane is linksOf for the k-th part of every circuit in hand that holds water, as many parts as there are planes.
func (m *march) linkPlane(k int) {
	for _, w := range m.linked {
		if n := len(w.slices); w.state != duty.Drained {
			w.linksOf(m.tubes, k*n/m.b.nz, (k+1)*n/m.b.nz)
		}
	}
}

// cut takes a slice's chain away.
func (t *tubes) cut(s *slice) {
	s.u, s.steep = 0, 0
	for q := s.first; q < s.last; q++ {
		t.links[q].k = 0
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
	cold := iso.Saturation - f.T
	prandtl := iso.LiquidPrandtl // at the wall too, on whichever side of saturation that is
	s.regime, s.wetted = film.Liquid, 1
	if cold <= 0 {
		prandtl = iso.VapourPrandtl
		s.regime, s.wetted = film.Steam, 0
	}
	single := film.Tube(fluid(f), prandtl(clamp(f.T+over, 274, 1000)), G, p.Inner, w.heatLen, slope(s.axis, w.tilt), over)
	if cold <= 0 {
		return single
	}
	drive := was.drive
	if was.heat == 0 {
		drive = s.mean - f.T
	}
	if H := t.within(single); drive/s.chain(1/(H*s.inner))/s.inner <= H*cold {
		return single // the wall stays below saturation
	}
	two := iso.two
	two.LiquidOnly = single.H
	bore := film.NewBore(&two, G, p.Inner, s.along*slope(s.axis, w.tilt), t.laws)
	b := t.boil(s, &bore, -cold*iso.Liquid.HeatCapacity/two.Latent, drive, math.Max(was.onset, single.H))
	s.regime = b.Regime
	return b.Coefficient
}

// boil returns the film of water that boils on a wet wall and carries what the chain leads to it from drive (K) above the
// water. The film rises with its flux less than in proportion, so that taking turns settles; guess is where to begin, in
// W/(m² K).
func (t *tubes) boil(s *slice, bore *film.Bore, quality, drive, guess float64) film.Boiled {
	b := film.Boiled{Coefficient: film.Coefficient{H: guess}}
	var turns inTurn
	for range mostTurns {
		before := b.H
		b = bore.Boil(quality, t.flux(s, b.Coefficient, drive), 1, 1.05)
		if math.Abs(b.H-before) < filmSettled*before {
			return b
		}
		b.H = turns.next(before, b.H)
	}
	s.unsettled = true
	return b
}

// mostTurns bounds how often a film and its flux take turns.
const mostTurns = 40

// filmSettled is the relative change at which a film and its flux agree: less would make the water's states jitter from
// step to step.
const filmSettled = 1e-6

// inTurn finds where h = f(h) from pairs of them, by the secant through the last two.
type inTurn struct{ h, f float64 }

// steepestTurn is the slope of f from which the secant is not trusted. A slow flow whose wall has just begun to boil comes near 1.
const steepestTurn = 0.98

// next returns the next h to try, once f(h) is known.
func (p *inTurn) next(h, f float64) float64 {
	next := f
	if slope := (f - p.f) / (h - p.h); p.h > 0 && h != p.h && slope < steepestTurn {
		next = clamp((f-slope*h)/(1-slope), 0.3*f, 3*f)
	}
	p.h, p.f = h, f
	return next
}

// flux returns what the chain leads through a film from drive (K) above the water, in W/m².
func (t *tubes) flux(s *slice, c film.Coefficient, drive float64) float64 {
	return drive / s.chain(1/(t.within(c)*s.inner)) / s.inner
}

// beginning is the quality at which boiling counts as begun, by when its film has grown from that of the liquid.
const beginning = 0.05

// layZones sets what a slice conducts by the state of the water in it, for slices that hold more than one state or may
// come to.
func (w *stream) layZones(t *tubes, i int) {
	s, q, iso := &t.slices[w.slices[i]], &w.plan[i], w.at[i]
	p := &t.b.rec.Passes[s.pass]
	z := &q.zones
	z.ready = true
	if p.FilmNone || p.FilmFixed > 0 {
		z.dry(iso, 0.5, 1)
		z.liquid, z.vapour = s.u, s.u
		for k := range z.chain {
			z.chain[k] = 1 / s.u
		}
		return
	}
	clear(z.chain[:])
	z.spots.unsettled = false
	h, up, G := w.h[i], w.entering(i), w.flow/s.section
	incline := s.along * slope(s.axis, w.tilt)
	over := w.past[i].wall
	if w.past[i].heat == 0 {
		over = 0.5 * (q.mean0 - iso.Saturation)
	}
	steam := film.Tube(iso.vapour, 0, G, p.Inner, w.heatLen, incline, over)
	y := &z.spots
	y.two, y.part, y.times = iso.two, t.films, t.more.film*s.inner
	y.two.LiquidOnly = film.Tube(iso.liquid, 0, G, p.Inner, w.heatLen, incline, over).H
	y.two.VapourOnly = steam.H
	y.drive, y.rest, y.least = math.Max(0, q.mean0-iso.Saturation), s.contact+s.wall+s.ease, 0
	if !(s.ease > 0) {
		y.least = leastShare / s.sum
	}
	y.inner, y.liquid, y.latent = s.inner, iso.HLiquid, iso.latent
	y.bore = film.NewBore(&y.two, G, p.Inner, incline, t.laws)
	z.vapour = 1 / y.whole(steam)

	// Where boiling has just begun, the wet wall's flux is found from the last step's film; it tells where the wall dries, and
	// what the wet wall carries there tells it better.
	y.guess = math.Max(w.past[i].wet, y.two.LiquidOnly)
	b := y.boil(beginning, 1, 1.05)
	z.wetFilm, y.guess = b.H, b.H
	from, to := y.bore.DryOut(y.flux(b.Coefficient))
	from, _ = y.dries(from)
	_, to = y.dries(to)
	z.dry(iso, from, math.Max(to, from+leastDrying))
	if z.liquid = s.u; h >= iso.HLiquid || s.u == 0 { // liquid that is about to boil, on a wall that boils already
		cold := iso.Saturation - iso.temperature(0.5*(clamp(up, iso.Low, iso.HLiquid)+iso.HLiquid))
		onset := t.boil(s, &y.bore, -cold*iso.Liquid.HeatCapacity/y.two.Latent-1e-9, y.drive+cold, math.Max(w.past[i].onset, y.two.LiquidOnly))
		z.onset = onset.H
		z.liquid = 1 / y.whole(onset.Coefficient)
	}
	if h >= iso.HVapour && s.u > 0 {
		z.vapour = s.u
	}
	if h > iso.HLiquid && h < iso.HVapour {
		b = y.boil(iso.quality(h), z.from, z.to)
		s.made, s.regime, s.wetted = b.Coefficient, b.Regime, b.Wetted
	}
	// What the way through the slice as it stands crosses: all threads lay links, but one follows the flow.
	if up < h {
		for k := z.below(clamp(up, iso.HLiquid, iso.HVapour)); k <= zoneCount && z.edge[max(k-1, 0)] < h; k++ {
			z.at(k)
		}
	}
}

// dryWall is the spread of a film on a dry wall: a factor of two.
const dryWall = 1.0

// spots are what the resistances of a slice's boiling water hang on.
type spots struct {
	two   film.TwoPhase
	bore  film.Bore
	drive float64 // K, from the water to the cells
	rest  float64 // K/W, of the chain but the film
	least float64 // K/W, of the whole chain
	inner float64 // m²
	times float64 // m², the inner area with the factor on films
	part  float64 // of its spread at which each film is taken
	guess float64 // W/(m² K), a film from which to begin

	unsettled bool // some film and its flux did not agree

	liquid, latent float64 // J/kg, h′ and h″ − h′
}

func (y *spots) quality(h float64) float64 { return (h - y.liquid) / y.latent }

// whole returns the resistance of the chain in K/W with a film.
func (y *spots) whole(c film.Coefficient) float64 {
	return math.Max(y.rest+1/(c.Within(y.part)*y.times), y.least)
}

// flux returns what the chain leads through a film in W/m².
func (y *spots) flux(c film.Coefficient) float64 { return y.drive / (y.whole(c) * y.inner) }

// boil returns the film at a quality within 0..1 that carries its own flux, on a wall that dries between two others.
func (y *spots) boil(quality, from, to float64) film.Boiled {
	spot := y.bore.At(quality, from, to)
	b := film.Boiled{Coefficient: film.Coefficient{H: y.guess}}
	var turns inTurn
	for range mostTurns {
		before := b.H
		b = spot.Boil(y.flux(b.Coefficient))
		if math.Abs(b.H-before) < filmSettled*before {
			return b
		}
		b.H = turns.next(before, b.H)
	}
	y.unsettled = true
	return b
}

// leastDrying is the least width in quality of the zones in which a wall dries.
const leastDrying = 0.01

// dries returns the qualities between which the wall dries by the flux that it would carry at one quality if it were wet.
func (y *spots) dries(quality float64) (from, to float64) {
	b := y.boil(math.Min(quality, 0.999), 1, 1.05)
	return y.bore.DryOut(y.flux(b.Coefficient))
}

// chain returns the resistance in K/W at node k of zones, of quality x, on a wall that dries between two qualities.
func (y *spots) chain(from, to float64, k int, x float64) float64 {
	if k > wetSteps && k < wetSteps+drySteps {
		from, to = y.dries(x)
	}
	if x >= 1 {
		return y.whole(film.Coefficient{H: y.two.VapourOnly, Spread: dryWall})
	}
	return y.whole(y.boil(x, from, to).Coefficient)
}

func clamp(x, lo, hi float64) float64 { return math.Min(math.Max(x, lo), hi) }

// twoPhase returns the properties of saturated liquid and vapour that films of boiling ask for.
func (b *isobar) twoPhase() film.TwoPhase {
	return film.TwoPhase{
		Liquid: saturated(&b.Liquid), Vapour: saturated(&b.Vapour), Saturation: b.Saturation,
		Latent: b.latent, SurfaceTension: b.SurfaceTension, Pressure: b.P,
		ReducedPressure: b.P / 22.064e6, MolarMass: 18.015268,
	}
}

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
