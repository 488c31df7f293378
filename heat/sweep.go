package heat

import (
	"math"

	"emberbank/duty"
)

// wet is what a stage needs of one slice's water, laid once for a step.
type wet struct {
	h, held float64 // J/kg at the step's start; kg, the mass over share
	share   float64 // of the step's end in the mean enthalpy of the step: see sweep
	u, up   float64 // W/K: U, and U' of one phase at the circuit's flow
	guess   float64 // J/kg, the mean enthalpy as of the last stage
	mean0   float64 // K, T̄ at the step's start
	lag     float64 // 1/(1 + step over the slice's own time): the share of a swing that outlasts the step
	mass    float64 // kg, at the step's start
	after   float64 // kg, at its end
	drift   float64 // J/kg, by which the water would change over the step if it went on as in the last one
	fill    float64 // kg, the same of its mass
	swell   float64 // the same of U, or of U' where the slice is plain, relative
	was     float64 // W/K, U or U' in the last step; 0: not known

	wasPlain bool
	plain    bool // full of liquid
	zones    zones
}

// near is the distance in J/kg, some 0.02 K, from which one step of Newton's method along a table of water ends within
// 1e-6 K.
const near = 100.0

// What a march down the circuit is for.
const (
	stage     = iota // the heat at a stage
	middle           // what the stages met on average
	endOfStep        // the water of the step's end
)

// furthest bounds, in J/kg, what is foretold of a slice's enthalpy within a step: some 10 K.
const furthest = 4e4

// widestSwell bounds what is foretold of a conductance or a flow within a step: a larger change is none that goes on.
const widestSwell = 0.2

// end returns the enthalpy in J/kg at the step's end that belongs to the mean of the last march.
func (q *wet) end() float64 { return q.h + (q.guess-q.h)/q.share }

// lay prepares sweeps of a step of tau (s) that begins from base, or else from the water as it stands.
func (w *stream) lay(t *tubes, tau float64, base bool) {
	w.laid, w.laidTau = true, tau
	ahead := 0.0 // of the last step's middle, in steps between the middles
	if base && w.tauOld > 0 {
		ahead = tau / (0.5 * (tau + w.tauOld))
	}
	switch {
	case !base:
		w.surge = 0
	case w.surgeKnown:
	case ahead > 0 && w.flowOld > 0:
		w.surge = clamp((w.flow/w.flowOld-1)*ahead, -widestSwell, widestSwell)
	default:
		w.surge = 0
	}
	flow := 0.0
	if w.state == duty.Flowing {
		flow = w.flow
	}
	for i, si := range w.slices {
		s, q, iso := &t.slices[si], &w.plan[i], w.at[i]
		hl := iso.HLiquid
		q.h, q.mass, q.u = w.h[i], w.mass[i], s.u
		if base {
			q.h, q.mass = w.base[i].h, w.base[i].mass
		}
		q.after = q.mass
		if !(math.Abs(q.guess) < 1e8) || q.guess == 0 {
			q.guess = q.h
		}
		_, slope := iso.point(q.h)
		if slope == 0 && w.state == duty.Closed {
			slope = w.shut.stiffness
		}
		q.plain = q.h < hl && q.mass >= 0.98*s.volume*iso.Liquid.Density
		q.up, q.zones.cp = q.u, iso.Liquid.HeatCapacity
		if slope > 0 {
			q.up = effective(q.u, flow/slope)
			if q.h < hl {
				q.zones.cp = 1 / slope
			}
		}
		q.share, q.held, q.lag = 1, q.mass, 1
		q.drift, q.fill, q.swell = 0, 0, 0
		if ahead > 0 && !q.plain {
			q.drift = clamp(w.trend[i].h*tau, -furthest, furthest)
			q.fill = clamp(w.trend[i].mass*tau, -0.3*q.mass, 0.3*q.mass)
		}
		if ahead > 0 && q.was > 0 && q.plain && q.wasPlain {
			q.swell = clamp((q.up/q.was-1)*ahead, -widestSwell, widestSwell)
		}
		if q.mass == 0 {
			q.lag = 0
			continue
		}
		z := tau * (flow + q.up*slope) / q.mass
		q.lag = 1 / (1 + z)
		if w.state == duty.Closed || w.state == duty.Flowing && q.plain && s.mean < iso.Saturation-2 {
			q.share = endShare(z)
			q.held = q.mass / q.share
			if base && slope > 0 {
				q.drift = clamp(w.rate[i]*tau/slope, -furthest, furthest)
			}
		}
	}
}

// endShare returns the share of the end in the mean over a step of z times the time constant of something that
// approaches its balance exponentially: 1/2 for slow things, 1 for quick ones.
func endShare(z float64) float64 {
	switch {
	case z < 1e-2:
		return 0.5 + z/12
	case z > 40:
		return 1 - 1/z
	}
	return -1/math.Expm1(-z) - 1/z
}

// sweep marches down the circuit with the whole step tau (s), or at steady flow where tau is 0, and sets each
// slice's heat and fluid temperature for the present mean temperatures of the cells. It does not change h.
//
// At is the share of the step that has passed at the stage in hand. Stages meet the water's mean over the step; as it is
// expected to change, the stages before the middle meet water that is so much less changed, those after it more. That
// alters nothing on average, but without it the heat would jump from the end of a step to the start of the next by what
// warms the water in one, and the solid's cells around the tubes would ring with it.
func (w *stream) sweep(t *tubes, tau, at float64) { w.march(t, tau, stage, at-0.5) }

// march is sweep, of a stage or, once the step is done, for its middle or its end: what follows from the mean enthalpy is
// then the water at the step's end, had the cells and the inlet stood as in the middle, or as they do at the end. Off is
// the stage's distance from the step's middle as a share of the step.
func (w *stream) march(t *tubes, tau float64, of int, off float64) {
	if w.state == duty.Drained {
		for _, s := range w.slices {
			t.slices[s].heat = 0
			t.settle(s)
		}
		return
	}
	if !w.laid || w.laidTau != tau {
		w.lay(t, tau, true)
	}
	switch w.state {
	case duty.Closed:
		w.rest(t, tau, off)
		return
	case duty.Open:
		w.simmer(t, tau)
		return
	}
	steady := tau == 0
	if steady {
		tau = 1
	}
	place := off // in the step, of flow and inlet
	if of == endOfStep && len(w.plan) > 0 {
		place = w.plan[0].share - 0.5
	}
	in := tau * w.flow * (1 + place*w.surge) // kg over the step
	up := w.inlet + 2*place*(w.inletEnd-w.inlet)
	whole := in
	// J/kg, by which what comes in stands above its mean at the end. It counts by the half of a slow slice's place: none
	// of it leaves the transit of a change 1.2 % late, all of it 1.4 % early; the half was chosen with that in view.
	gained := 0.0
	for i, si := range w.slices {
		s, q, iso := &t.slices[si], &w.plan[i], w.at[i]
		hl := iso.HLiquid
		mean, place := s.mean, off
		switch of {
		case middle:
			mean = 0.5 * (mean + q.mean0)
		case endOfStep:
			mean -= (1 - q.share) * (mean - q.mean0)
			place = q.share - 0.5
			up += place * gained
			gained = 0
		}
		held := q.held
		if steady {
			held = 0
		}
		if q.plain && in == whole {
			gain := 1 + place*q.swell
			a, b := held+in, tau*q.up*gain
			rhs := held*(q.h+off*q.drift) + in*up + b*mean
			h := q.guess
			T, slope, d := 0.0, 0.0, 0.0
			for range 20 {
				T, slope = iso.point(h)
				d = (rhs - a*h - b*T) / (a + b*slope)
				h += d
				if math.Abs(d) < near || h > hl {
					break
				}
			}
			T += slope * d
			if steady { // the heat is a difference of enthalpies here: all digits
				h, T = iso.polish(a, b, rhs, h)
			}
			heat := q.up * gain * (mean - T)
			if h < hl && heat*tau >= in*(h-hl) && math.Abs(d) < near { // liquid from end to end
				if steady {
					heat = in * (h - up)
				}
				q.guess = h
				s.heat, s.fluid = heat, T
				t.settle(si)
				up = h
				if of == endOfStep {
					gained = q.end() - h
				}
				continue
			}
		}
		in, up = w.general(t, i, mean, tau, place, in, up, steady)
	}
}

// polish solves a h + b T(h) = rhs from h nearby to the last digits.
func (iso *isobar) polish(a, b, rhs, h float64) (float64, float64) {
	for range 10 {
		T, slope := iso.point(h)
		d := (rhs - a*h - b*T) / (a + b*slope)
		h += d
		if math.Abs(d) < 1e-12*(1+math.Abs(h)) {
			break
		}
	}
	return h, iso.temperature(h)
}

// general is march for one slice whose water may hold more than one phase, or more or less mass at the step's end: it
// solves
//
//	∫ m dh + M (B(h') − h'up) = 0
//
// for h', where M is the mass that comes in over the step at h'up and B(h') what a steady flow must enter with to leave
// with h'. The mass at the end is what the slice has room for along that flow's way. It returns the mass that leaves over
// the step and its mean enthalpy.
func (w *stream) general(t *tubes, i int, mean, tau, place, in, up float64, steady bool) (out, leaves float64) {
	s, q, iso := &t.slices[w.slices[i]], &w.plan[i], w.at[i]
	in = math.Max(in, 1e-12*w.flow*tau) // a slice that fills up lets next to nothing through
	mass, h0 := q.mass+place*q.fill, q.h+place*q.drift
	if steady {
		mass = 0
	}
	if q.u == 0 {
		h := up
		if !steady {
			h = (mass*h0 + in*up) / (mass + in)
		}
		q.guess, q.after = h, s.volume*iso.Density(h)
		s.heat, s.fluid = 0, iso.temperature(h)
		t.settle(w.slices[i])
		return in, h
	}
	if !q.zones.ready {
		w.layZones(t, i)
	}
	f := in / tau / (1 + place*q.swell) // a larger flow to the same end as smaller conductances
	q.zones.most = mostGrowth(in / (tau * w.flow))
	tol := 0.3 // J/kg; the step that is left of it is far smaller
	if steady {
		tol = 1e-7
	}
	lo, hi, last := math.Inf(-1), math.Inf(1), math.Inf(1)
	h, after, stored := q.guess, 0.0, 0.0
	found, push := false, 1.0
	for range 200 {
		way := iso.entry(&q.zones, mean, f, h)
		after = math.Min(s.volume*way.density, mass+in)
		g, slope := in*(way.in-up), in*way.slope
		if mass > 0 {
			stored = iso.boiledOff(mass, after, h0, h)
			g += stored
			slope += math.Min(mass, after)
		}
		if g > 0 {
			hi = h
		} else {
			lo = h
		}
		next := h - g/slope
		if !(next > lo && next < hi) || math.Abs(g) > 0.5*last {
			switch {
			case lo > math.Inf(-1) && hi < math.Inf(1):
				next = 0.5 * (lo + hi)
			default: // slow, and from one side: further each time, until the other side is found
				push *= 2
				next = h + clamp(push*(next-h), -1e6, 1e6)
			}
		}
		last = math.Abs(g)
		d := next - h
		h = next
		if found = math.Abs(d) < tol || hi-lo < tol; found {
			break
		}
	}
	s.unsettled = s.unsettled || !found
	heat := (stored + in*(h-up)) / tau
	q.guess, q.after = h, after
	s.heat, s.fluid = heat, iso.temperature(h)
	t.settle(w.slices[i])
	if steady {
		q.after = s.volume * iso.entry(&q.zones, mean, f, h).density
		return in, h
	}
	// What leaves closes the balance of mass and of energy.
	out = mass + in - after
	if out <= 1e-9*in {
		return 0, h
	}
	leaves = (in*up + tau*heat - (after*h - mass*h0)) / out
	return out, leaves
}
