package heat

import (
	"fmt"
	"math"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/film"
	"emberbank/water"
)

// stream is the water of one circuit. Each slice of tube holds a mass of water at one enthalpy, that of what
// leaves the slice; the flow carries enthalpy from slice to slice.
//
// In time the water is stepped implicitly over the whole step within every stage of the solid's scheme, so that
// neither a full tap (which fills a slice in milliseconds) nor a trickle bounds the step:
//
//	(m + τ ṁ) h' = m h + τ ṁ h'up + τ U' (T̄ - T(h'))
//
// with m, h the slice's mass and enthalpy at the start of the step, ṁ the flow into it, h'up what enters, T̄ the
// mean of the cells around it. U' = ṁ c (exp(U/ṁc) - 1) makes the steady outlet of a slice the exact exponential
// approach to T̄. When the step is done, h' is that of the solid at the step's end, and the heat Q that the solid
// gave up over the step closes the books: what leaves a slice carries
//
//	E = E'up + Q - (m' h' - m h)
//
// in J over the step. So the outlet stands where it should at the step's end, and no energy is lost. Water at rest
// has no outflow to take the difference: it keeps all of Q.
type stream struct {
	state         duty.WaterState
	slices        []int // in the order of flow
	iso           *water.Isobar
	h, mass       []float64 // J/kg, kg by slice in flow order, at the start of the step
	hNew          []float64
	massNew       []float64
	rate          []float64 // K/s, over the last step
	shown         []float64 // J/kg, of the row in hand
	hOld, massOld []float64 // at the start of the last step
	flow          float64   // kg/s into the circuit
	inlet         float64   // J/kg
	inletT        float64   // K
	outNew        float64   // kg/s leaving, of the candidate step
	boils         bool
	boiled        bool    // ever, in this run
	flowOld       float64 // kg/s, during the last step
	pumped        float64 // kg/s, the pump's share as of the last step
	pending       float64 // J carried off by the candidate step
	carried       float64 // J carried off since the start: outflow less inflow, filling and draining counted
	beyond        float64 // K kg/J, dT/dh of steam at the table's hot end
	origin        float64 // J/kg at 20 °C and the first pressure: the zero of the water's heat content
	heatLen       float64 // m of tube
	held          string
	doubt         string // the first correlation that was used outside its range
}

// isobarStep is the relative change of pressure that asks for a new table.
const isobarStep = 0.002

func (w *stream) setPressure(p float64) error {
	if w.iso != nil && math.Abs(p-w.iso.P) <= isobarStep*w.iso.P {
		return nil
	}
	iso, err := water.NewIsobar(p)
	if err != nil {
		return fmt.Errorf("laying the water's properties at %.4g bar: %w", p/1e5, err)
	}
	if w.iso == nil { // the zero stays where it is when the pressure changes, or the content would jump
		w.origin = iso.Enthalpy(293.15)
	}
	w.iso = iso
	w.beyond = 1 / iso.At(iso.High).HeatCapacity
	return nil
}

// temperature returns the water's temperature in K at h in J/kg. Beyond the table's end at 1073 K it goes on with the
// heat capacity there, so that steam from a hotter block has a temperature that rises.
func (w *stream) temperature(h float64) float64 {
	if beyond := h - w.iso.High; beyond > 0 {
		return w.iso.Temperature(w.iso.High) + beyond*w.beyond
	}
	return w.iso.Temperature(h)
}

// slope returns dT/dh in K kg/J.
func (w *stream) slope(h float64) float64 {
	if h > w.iso.High {
		return w.beyond
	}
	return w.iso.Slope(h)
}

// fill puts water of the inlet's temperature into the whole circuit and books what came in.
func (w *stream) fill(t *tubes) {
	h := w.iso.Enthalpy(w.inletT)
	for i, s := range w.slices {
		w.h[i] = h
		w.mass[i] = t.slices[s].volume * w.iso.Density(h)
		w.carried -= w.mass[i] * (h - w.origin)
	}
}

// drain lets the water out and books what left.
func (w *stream) drain() {
	for i := range w.h {
		w.carried += w.mass[i] * (w.h[i] - w.origin)
		w.mass[i] = 0
	}
}

// content returns the heat content of the water above 20 °C in J.
func (w *stream) content() float64 {
	e := 0.0
	for i := range w.h {
		e += w.mass[i] * (w.h[i] - w.origin)
	}
	return e
}

// steepest is the largest number of transfer units of one slice that its exponential counts in full.
const steepest = 5.0

// effective returns U' of a slice: what makes its outlet approach T̄ exponentially at a steady flow.
func effective(u, flowCp float64) float64 {
	if flowCp <= 0 {
		return u
	}
	n := u / flowCp
	if n < 1e-6 {
		return u
	}
	if n > steepest {
		return u * math.Expm1(steepest) / steepest
	}
	return flowCp * math.Expm1(n)
}

// sweep marches down the circuit with the whole step tau (s), or at steady flow where tau is 0, and sets each
// slice's heat and fluid temperature for the present mean temperatures of the cells. It does not change h.
func (w *stream) sweep(t *tubes, tau float64) {
	if w.state == duty.Drained {
		for _, s := range w.slices {
			t.slices[s].heat = 0
			t.slices[s].settle()
		}
		return
	}
	flow := w.flow
	up := w.inlet
	steady := tau == 0
	if steady {
		tau = 1
	}
	for i, si := range w.slices {
		s := &t.slices[si]
		m := w.mass[i]
		if steady {
			m = 0
		}
		a := m + tau*flow
		if a == 0 {
			s.heat = 0
			s.settle()
			continue
		}
		carriedIn := m*w.h[i] + tau*flow*up
		h := w.slice(s, a, carriedIn, tau, flow, w.h[i])
		s.heat = (a*h - carriedIn) / tau
		s.fluid = w.temperature(h)
		s.settle()
		w.hNew[i] = h
		up = h
	}
}

// stand sets each slice's heat, and the enthalpies that rows show, for the moment. Within a step, and at its end, the
// water is that of an implicit step from the step's start to the moment, elapsed (s), so that heat and rise of
// enthalpy belong together; with elapsed 0 it is the water as it stands.
func (w *stream) stand(t *tubes, elapsed float64) {
	if elapsed > 0 && w.state == duty.Flowing {
		h, mass := w.h, w.mass
		w.h, w.mass = w.hOld, w.massOld
		w.sweep(t, elapsed)
		w.h, w.mass = h, mass
		copy(w.shown, w.hNew)
		return
	}
	copy(w.shown, w.h)
	for i, si := range w.slices {
		s := &t.slices[si]
		s.heat = 0
		if w.state != duty.Drained {
			u := s.u
			if slope := w.slope(w.h[i]); slope > 0 {
				u = effective(u, w.flow/slope)
			}
			s.fluid = w.temperature(w.h[i])
			s.heat = u * (s.mean - s.fluid)
		}
		s.settle()
	}
}

// slice solves a h + τ U' T(h) = in + τ U' T̄ for h: the left side rises with h.
func (w *stream) slice(s *slice, a, in, tau, flow, guess float64) float64 {
	iso := w.iso
	slope := w.slope(guess)
	cp := inf
	if slope > 0 {
		cp = 1 / slope
	}
	u := s.u
	if !math.IsInf(cp, 1) {
		u = effective(s.u, flow*cp)
	}
	if u == 0 {
		return in / a
	}
	rhs := in + tau*u*s.mean
	h := guess
	lo, hi := iso.Low-1e6, iso.High+1e7
	for range 60 {
		f := a*h + tau*u*w.temperature(h) - rhs
		if f > 0 {
			hi = h
		} else {
			lo = h
		}
		d := f / (a + tau*u*w.slope(h))
		next := h - d
		if !(next > lo && next < hi) {
			next = 0.5 * (lo + hi)
		}
		if math.Abs(next-h) < 1e-12*(1+math.Abs(h)) { // the heat is a small difference of a h: it needs all digits
			return next
		}
		h = next
	}
	return h
}

// close takes the heat (J) that each slice received over the step, sets the candidate state at its end, and returns
// what the water carried off in J. The last sweep was that of the step's end.
func (w *stream) close(t *tubes, tau float64, heat func(slice int) float64) (carried float64) {
	if w.state == duty.Drained {
		copy(w.hNew, w.h)
		copy(w.massNew, w.mass)
		return 0
	}
	if w.state == duty.Closed {
		for i, si := range w.slices {
			w.hNew[i], w.massNew[i] = w.h[i]+heat(si)/w.mass[i], w.mass[i]
		}
		w.outNew = 0
		return 0
	}
	flow, in := w.flow, w.flow*(w.inlet-w.origin)*tau
	energy := in
	for i, si := range w.slices {
		mass := t.slices[si].volume * w.iso.Density(w.hNew[i])
		out := flow - (mass-w.mass[i])/tau
		if out < 0 { // water that shrinks draws more than the inlet gives: the rest of the slice stays short
			mass = w.mass[i] + tau*flow
			out = 0
		}
		energy += heat(si) - (mass*(w.hNew[i]-w.origin) - w.mass[i]*(w.h[i]-w.origin))
		w.massNew[i] = mass
		flow = out
	}
	w.outNew = flow
	return energy - in
}

// accept makes the candidate state the present one.
func (w *stream) accept(carried, tau float64) {
	for i := range w.h {
		w.rate[i] = 0
		if w.state != duty.Drained {
			w.rate[i] = (w.temperature(w.hNew[i]) - w.temperature(w.h[i])) / tau
		}
	}
	w.flowOld = w.flow
	copy(w.hOld, w.h)
	copy(w.massOld, w.mass)
	copy(w.h, w.hNew)
	copy(w.mass, w.massNew)
	w.carried += carried
}

// renewal returns a tenth of the mean time in which the flow renews a slice, or in which a slice at rest warms
// through, and at least half a second: shorter steps resolve nothing that the slices themselves do not smear.
func (w *stream) renewal(t *tubes) float64 {
	mass, rate := 0.0, 0.0
	for i, si := range w.slices {
		mass += w.mass[i]
		if w.flow > 0 {
			rate += w.flow
		} else {
			rate += t.slices[si].u * w.slope(w.h[i])
		}
	}
	if rate == 0 {
		return 0.5
	}
	return math.Max(0.5, 0.1*mass/rate)
}

// outlet returns the enthalpy, temperature and quality of what leaves now.
func (w *stream) outlet(h []float64) (T, quality float64) {
	if w.state != duty.Flowing || len(h) == 0 {
		return math.NaN(), math.NaN()
	}
	x := h[len(h)-1]
	return w.temperature(x), (x - w.iso.HLiquid) / (w.iso.HVapour - w.iso.HLiquid)
}

// start puts the profile of a circuit that has been flowing for long, for the cells as they are.
func (w *stream) start(t *tubes) {
	w.sweep(t, 0)
	up := w.inlet
	for i, si := range w.slices {
		h := up
		if w.flow > 0 {
			h = up + t.slices[si].heat/w.flow
		}
		w.h[i] = h
		w.mass[i] = t.slices[si].volume * w.iso.Density(h)
		up = h
	}
}

// links sets the resistances of contact, wall and film of every slice for the state of the present step.
func (w *stream) links(t *tubes, tilt float64) {
	w.boils = false
	for i, si := range w.slices {
		s := &t.slices[si]
		p := &t.b.rec.Passes[s.pass]
		if w.state == duty.Drained {
			s.u = 0
			continue
		}
		T := w.temperature(w.h[i])
		t.solidLinks(s, T)
		switch {
		case p.FilmNone:
			s.filmR = 0
		case p.FilmFixed > 0:
			s.filmR = 1 / (p.FilmFixed * math.Pi * p.Inner * s.length)
		default:
			c := w.film(t, s, w.h[i], tilt)
			s.filmR = 1 / (c.H * math.Pi * p.Inner * s.length)
			if c.Outside && w.doubt == "" {
				w.doubt = c.Law
			}
		}
		s.conductance()
		if w.h[i] > w.iso.HLiquid+1 {
			w.boils = true
		}
	}
	w.boiled = w.boiled || w.boils
}

// film returns the film coefficient of one slice, with the wall's temperature and heat flux as of the last step.
func (w *stream) film(t *tubes, s *slice, h, tilt float64) film.Coefficient {
	p := &t.b.rec.Passes[s.pass]
	st := w.iso.At(h)
	G := w.flow / (math.Pi / 4 * p.Inner * p.Inner)
	Tw := st.T + s.heat*s.filmR
	if s.heat == 0 || s.filmR == 0 {
		Tw = 0.5 * (st.T + s.mean)
	}
	if w.state == duty.Closed || w.flow <= 0 {
		return film.Stagnant(w.expanding(w.single(h)), p.Inner, Tw-st.T)
	}
	wall := w.iso.At(w.iso.Enthalpy(clamp(Tw, 274, 1000)))
	single := film.Tube(w.expanding(w.single(h)), wall.Prandtl, G, p.Inner, w.heatLen, slope(s.axis, tilt), Tw-st.T)
	if st.Quality >= 1 {
		return single
	}
	flux := s.heat / (math.Pi * p.Inner * s.length)
	if cold := w.iso.Saturation - st.T; st.Quality <= 0 && flux <= single.H*cold {
		return single // the wall stays below saturation
	}
	two := w.twoPhase()
	two.LiquidOnly = single.H
	return film.Boiling(two, st.Quality, G, p.Inner, flux)
}

// single returns an enthalpy of one phase near h: the liquid's until it is all steam.
func (w *stream) single(h float64) float64 {
	if h > w.iso.HLiquid && h < w.iso.HVapour {
		return w.iso.HLiquid
	}
	return h
}

func (w *stream) twoPhase() film.TwoPhase {
	return film.TwoPhase{
		Liquid: fluid(w.iso.Liquid), Vapour: fluid(w.iso.Vapour),
		Latent: w.iso.HVapour - w.iso.HLiquid, SurfaceTension: w.iso.SurfaceTension, Pressure: w.iso.P,
		ReducedPressure: w.iso.P / 22.064e6, MolarMass: 18.015268,
	}
}

func clamp(x, lo, hi float64) float64 { return math.Min(math.Max(x, lo), hi) }

// fluid hands a state of water to the film correlations.
func fluid(s water.State) film.Fluid {
	return film.Fluid{
		Density: s.Density, Viscosity: s.Viscosity, Conductivity: s.Conductivity,
		HeatCapacity: s.HeatCapacity, Prandtl: s.Prandtl,
	}
}

// expanding is fluid with the volumetric expansion coefficient in 1/K, by a difference along the isobar.
func (w *stream) expanding(h float64) film.Fluid {
	const d = 5e3 // J/kg, about 1 K
	f := fluid(w.iso.At(h))
	lo, hi := h-d, h+d
	if dT := w.iso.Temperature(hi) - w.iso.Temperature(lo); dT > 0 {
		f.Expansion = math.Max(0, (w.iso.Density(lo)-w.iso.Density(hi))/dT/f.Density)
	}
	return f
}

// slope returns the incline of a tube along an axis in rad above the horizontal for the receiver's tilt.
func slope(a block.Axis, tilt float64) float64 {
	switch a {
	case block.Depth:
		return tilt // the window's normal looks down by tilt, so depth rises by it
	case block.Height:
		return math.Pi/2 - math.Abs(tilt)
	}
	return 0
}

// column returns the weight of a column of the inlet's water along the circuit in Pa, positive where it rises.
func (w *stream) column(t *tubes, tilt float64) float64 {
	rho := w.iso.Density(w.inlet)
	dp := 0.0
	for _, si := range w.slices {
		s := &t.slices[si]
		dp += rho * 9.80665 * math.Sin(slope(s.axis, tilt)) * s.along * s.length
	}
	return dp
}

// pressureDrop returns the circuit's pressure drop in Pa at the present state: friction, acceleration and
// gravity, two phases as a homogeneous mixture.
func (w *stream) pressureDrop(t *tubes, flow, tilt float64) float64 {
	if w.state != duty.Flowing || flow <= 0 {
		return 0
	}
	dp := 0.0
	rhoIn, rhoOut := 0.0, 0.0
	var G float64
	for i, si := range w.slices {
		s := &t.slices[si]
		p := &t.b.rec.Passes[s.pass]
		st := w.iso.At(w.h[i])
		G = flow / (math.Pi / 4 * p.Inner * p.Inner)
		if st.Quality > 0 && st.Quality < 1 {
			dp += film.HomogeneousDrop(w.twoPhase(), st.Quality, G, p.Inner, p.Roughness, s.length)
		} else {
			dp += film.SinglePhaseDrop(fluid(st), G, p.Inner, p.Roughness, s.length)
		}
		dp += st.Density * 9.80665 * math.Sin(slope(s.axis, tilt)) * s.along * s.length
		if i == 0 {
			rhoIn = st.Density
		}
		rhoOut = st.Density
	}
	if rhoIn > 0 {
		dp += G * G * (1/rhoOut - 1/rhoIn)
	}
	return dp
}

// solidLinks sets the resistances of contact and wall of a slice; T is the fluid's temperature in K.
func (t *tubes) solidLinks(s *slice, T float64) {
	p := &t.b.rec.Passes[s.pass]
	s.contact, s.wall = 0, 0
	outer := math.Pi * p.Outer * s.length
	if !p.Contact.None {
		s.contact = 1 / (p.Contact.Value.At(0.5*(s.bore+T)) * outer)
	}
	if p.WallMedium >= 0 {
		k := t.b.rec.Media[p.WallMedium].Conductivity[0].At(0.5 * (s.bore + T))
		s.wall = math.Log(p.Outer/p.Inner) / (2 * math.Pi * k * s.length)
	}
}
