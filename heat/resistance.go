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
		h := w.h[i]
		if h < iso.HLiquid {
			h = clamp(h+0.5*w.linkTau*w.rate[i]*q.zones.cp, iso.Low, iso.HLiquid-1)
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
}

// linkPlane is linksOf for the k-th part of every circuit that holds water, as many parts as there are planes.
func (m *march) linkPlane(k int) {
	for _, w := range m.streams {
		if n := len(w.slices); w.state != duty.Drained {
			w.linksOf(m.tubes, k*n/m.b.nz, (k+1)*n/m.b.nz)
		}
	}
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
	s.regime, s.wetted = film.Liquid, 1
	cold := iso.Saturation - f.T
	if cold <= 0 {
		s.regime, s.wetted = film.Steam, 0
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
	for range 10 {
		before := b.H
		b = bore.Boil(quality, t.flux(s, b.Coefficient, drive), 1, 1.05)
		if math.Abs(b.H-before) < filmSettled*before {
			break
		}
		b.H = turns.next(before, b.H)
	}
	return b
}

// filmSettled is the relative change at which a film and its flux agree: less would make the water's states jitter from
// step to step.
const filmSettled = 1e-6

// inTurn finds where h = f(h) from pairs of them, by the secant through the last two.
type inTurn struct{ h, f float64 }

// next returns the next h to try, once f(h) is known.
func (p *inTurn) next(h, f float64) float64 {
	next := f
	if slope := (f - p.f) / (h - p.h); p.h > 0 && h != p.h && slope < 0.9 {
		next = clamp((f-slope*h)/(1-slope), 0.3*f, 3*f)
	}
	p.h, p.f = h, f
	return next
}

// flux returns what the chain leads through a film from drive (K) above the water, in W/m².
func (t *tubes) flux(s *slice, c film.Coefficient, drive float64) float64 {
	return drive / s.chain(1/(t.within(c)*s.inner)) / s.inner
}

// placeIn returns where between two neighbours of a rising list x lies, as a share; next, which only rises, is the upper one.
func placeIn(list []float64, x float64, next *int) float64 {
	for *next < len(list)-1 && list[*next] < x {
		*next++
	}
	return (x - list[*next-1]) / (list[*next] - list[*next-1])
}

// between returns the value at x on the straight lines through points.
func between(list, values []float64, x float64, next *int) float64 {
	share := placeIn(list, x, next)
	return values[*next-1] + share*(values[*next]-values[*next-1])
}

// beginning is the quality at which boiling counts as begun, by when its film has grown from that of the liquid.
const beginning = 0.05

// dryWall is the spread of a film on a wall that dries or is dry: a factor of two.
const dryWall = 1.0

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
		for k := range z.boil {
			z.boil[k] = s.u
		}
		return
	}
	h := w.h[i]
	G := w.flow / s.section
	two := iso.two
	incline := s.along * slope(s.axis, w.tilt)
	over := w.past[i].wall
	if w.past[i].heat == 0 {
		over = 0.5 * (q.mean0 - iso.Saturation)
	}
	two.LiquidOnly = film.Tube(iso.liquid, 0, G, p.Inner, w.heatLen, incline, over).H
	steam := film.Tube(iso.vapour, 0, G, p.Inner, w.heatLen, incline, over)
	two.VapourOnly = steam.H
	conduct := func(c film.Coefficient) float64 { return 1 / s.chain(1/(t.within(c)*s.inner)) }
	drive := math.Max(0, q.mean0-iso.Saturation)

	// Where boiling has just begun, the film is found with its flux; from zone to zone the flux of the one before will do.
	bore := film.NewBore(&two, G, p.Inner, incline, t.laws)
	b := t.boil(s, &bore, beginning, drive, math.Max(w.past[i].wet, two.LiquidOnly))
	from, to := film.DryOut(&two, G, p.Inner, incline, t.flux(s, b.Coefficient, drive), t.laws)
	z.wetFilm = b.H
	z.dry(iso, from, to)
	z.vapour = conduct(steam)
	var at [wetFilms]float64 // qualities, closer where boiling has begun
	var wet [wetFilms]film.Coefficient
	for j := range at {
		u := float64(j) / (wetFilms - 1)
		at[j] = from * u * (0.1 + 0.9*u*u)
		b = bore.Boil(at[j], t.flux(s, b.Coefficient, drive), 1, 1.05)
		wet[j] = b.Coefficient
	}
	mist := [...]float64{from, 0.5 * (from + to), to, 0.5 * (to + 1), 1}
	var mists [len(mist)]float64
	for j, x := range mist {
		mists[j] = film.Mist(&two, x, G, p.Inner, t.laws)
	}
	next, dried := 1, 1
	for k := range zoneCount {
		x := iso.quality(0.5 * (z.edge[k] + z.edge[k+1]))
		c := film.Coefficient{Spread: dryWall}
		switch {
		case k < wetSteps:
			share := placeIn(at[:], x, &next)
			c = wet[next-1]
			c.H += share * (wet[next].H - c.H)
			c.Spread += share * (wet[next].Spread - c.Spread)
		case k < wetSteps+drySteps:
			dry := (float64(k-wetSteps) + 0.5) / drySteps
			c.H = b.H + dry*dry*(3-2*dry)*(between(mist[:], mists[:], x, &dried)-b.H) // as film.Boil has it
		default:
			c.H = between(mist[:], mists[:], x, &dried)
		}
		z.boil[k] = conduct(c)
	}
	if z.liquid = s.u; h >= iso.HLiquid || s.u == 0 { // liquid that is about to boil, on a wall that boils already
		onset := t.boil(s, &bore, -1e-9, drive, math.Max(w.past[i].onset, two.LiquidOnly))
		z.onset = onset.H
		z.liquid = conduct(onset.Coefficient)
	}
	if h >= iso.HVapour && s.u > 0 {
		z.vapour = s.u
	}
	if h > iso.HLiquid && h < iso.HVapour {
		quality := iso.quality(h)
		b = bore.Boil(quality, t.flux(s, b.Coefficient, drive), from, to)
		s.made, s.regime, s.wetted = b.Coefficient, b.Regime, b.Wetted
	}
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
