package heat

import (
	"fmt"
	"math"
	"slices"

	"emberbank/duty"
)

// stream is the water of one circuit. Each slice of tube holds a mass of water at one enthalpy, that of what
// leaves the slice; the flow carries enthalpy from slice to slice.
//
// In time the water is stepped implicitly over the whole step within every stage of the solid's scheme, so that
// neither a full tap (which fills a slice in milliseconds) nor a trickle bounds the step:
//
//	m (h' − h) + τ ṁ (h̄ − h̄up) = τ U' (T̄ − T(h̄)),   h̄ = w h' + (1 − w) h
//
// with m, h the slice's mass and enthalpy at the start of the step, h' at its end, h̄ the mean over it, ṁ the flow, h̄up
// what enters, T̄ the mean of the cells around it. U' = ṁ c (exp(U/ṁc) - 1) makes the steady outlet of a slice the exact
// exponential approach to T̄. The share w makes h' that of a slice that approaches its balance exponentially: 1/2 for
// slices that the step outruns slowly (second order), 1 for those that settle within it (implicit Euler). Slices that
// boil or may boil take w = 1 and a balance over all phases: see entry.go.
//
// When the step is done, the heat Q that the solid gave up over the step closes the books: what leaves a slice carries
//
//	E = E'up + Q - (m' h' - m h)
//
// in J over the step, with h' for T̄ and inlet of the step's end: so the outlet stands where it should, and no energy is
// lost. The next step begins from the h' that belongs to T̄ and inlet of the step's middle, which is what the stages met
// on average: else the solid would pay only half of what warms water that settles within a step. Water at rest has no
// outflow to take the difference: it keeps all of Q.
type stream struct {
	state         duty.WaterState
	slices        []int     // in the order of flow
	iso           *isobar   // at the outlet's pressure
	at            []*isobar // of each slice's pressure
	head          []float64 // Pa, from each slice's middle to the outlet
	h, mass       []float64 // J/kg, kg by slice in flow order, at the start of the step
	hNew          []float64
	massNew       []float64
	rate          []float64 // K/s, over the last step
	shown         []float64 // J/kg, of the row in hand
	hOld, massOld []float64 // at the start of the last step
	flow          float64   // kg/s into the circuit
	inlet         float64   // J/kg, the mean over the step
	inletEnd      float64   // J/kg, at its end
	inletT        float64   // K, at its end
	outNew        float64   // kg/s leaving, of the candidate step
	out           float64   // kg/s leaving, over what rows follow
	shut          sealed
	linkTau       float64 // s, of the step for which resistances are laid
	highest       float64 // Pa, of all that was shut in so far
	unwetted      bool    // the first water into drained tubes has not been reckoned with
	switched      bool    // since the last step
	lasts         bool    // the state that is shown is a steady one
	boils         bool
	boiled        bool    // ever, in this run
	frozen        bool    // likewise
	flowOld       float64 // kg/s, during the last step
	tauOld        float64 // s, of the last step; 0: none since the last switch
	since         []held  // at the start of what rows follow: the last step, or that before steps too short to tell its heat
	span, lead    float64 // s, from there to the last step's end, and to its start
	shorts        int     // short steps in a row that rows follow
	briefly       float64 // s, that they take together
	share         float64 // of its flow signal, as switched
	surge         float64 // relative change of the flow over the step
	surgeKnown    bool    // else it is what it was in the last one
	pumped        float64 // kg/s, the pump's share as of the last step
	pending       float64 // J carried off by the candidate step
	carried       float64 // J carried off since the start: outflow less inflow, filling and draining counted
	origin        float64 // J/kg at 20 °C and the first pressure: the zero of the water's heat content
	heatLen       float64 // m of tube
	held          string

	plan          []wet // what stages need of the slices
	laid          bool  // whether plan stands for the present state and a step of laidTau
	laidTau       float64
	tilt          float64 // rad, of the present step
	past, pastNew []past  // of the last step and of the candidate
	base, baseNew []held  // from which the step begins, and the next one after the candidate
	trend         []held  // J/(kg s), kg/s, of the last step
	steer         steer
	seen          []flowState
}

// held is what a slice holds.
type held struct{ h, mass float64 } // J/kg, kg

// past is what the next step's film asks of the last one.
type past struct {
	heat  float64 // W
	drive float64 // K, from the mean of the cells to the water's mean
	wall  float64 // K, from the water to the bore's wall

	wet, onset float64 // W/(m² K), films of boiling water and of liquid about to boil; 0: not known
}

// fill puts water of the inlet's temperature into the whole circuit and books what came in.
func (w *stream) fill(t *tubes) {
	h := w.iso.Enthalpy(w.inletT)
	for i, s := range w.slices {
		w.h[i] = h
		w.mass[i] = t.slices[s].volume * w.iso.Density(h)
		w.carried -= w.mass[i] * (h - w.origin)
	}
	clear(w.past)
	w.rebase()
}

// drain lets the water out and books what left.
func (w *stream) drain() {
	for i := range w.h {
		w.carried += w.mass[i] * (w.h[i] - w.origin)
		w.mass[i] = 0
	}
	clear(w.past)
	w.rebase()
}

// rebase makes the next step begin from the water as it stands.
func (w *stream) rebase() {
	w.laid = false
	for i := range w.base {
		w.base[i] = held{w.h[i], w.mass[i]}
	}
}

// content returns the heat content of the water above 20 °C in J.
func (w *stream) content() float64 {
	e := -w.lift()
	for i := range w.h {
		e += w.mass[i] * (w.h[i] - w.origin)
	}
	return e
}

// leastElapsed is the share of a step for which the water of a row within it is followed at the least, where it boils.
const leastElapsed = 0.2

// stand sets each slice's heat, and the enthalpies that rows show, for the moment. Within a step, and at its end, what
// settles within a step is the water of an implicit step from the step's start to the moment, elapsed (s), so that heat
// and rise of enthalpy belong together; with elapsed 0 all is the water as it stands.
func (w *stream) stand(t *tubes, elapsed float64) {
	if w.lasts { // the heat is then the flow's rise of enthalpy to the last digit, with the films as they are shown
		if w.state == duty.Flowing {
			w.start(t)
		} else { // water that stands has the temperature of its tube and takes nothing
			w.laid = false
			w.sweep(t, 0, 0.5)
			w.laid = false
		}
		copy(w.shown, w.h)
		return
	}
	copy(w.shown, w.h)
	if w.state == duty.Drained {
		w.march(t, elapsed, stage, 0)
		return
	}
	if elapsed > 0 {
		elapsed += w.lead
		if w.boils { // in next to no time boiling water makes up for the row's own films by heat that nobody gave
			elapsed = math.Max(elapsed, leastElapsed*w.span)
		}
		w.shut.swap()
		w.exchange()
		w.lay(t, elapsed, false)
		w.sweep(t, elapsed, 0.5)
		w.exchange()
		w.shut.swap()
		w.laid = false
	} else {
		w.lay(t, 0, false)
		w.laid = false
	}
	for i, si := range w.slices {
		s, q := &t.slices[si], &w.plan[i]
		slow := 1.0 // share of the water as it stands
		if elapsed > 0 {
			slow = 2 * (1 - q.share)
			if w.state == duty.Flowing {
				w.shown[i] = q.end()
			}
		}
		swept := 0.0 // what suits slices that settle within a step
		if elapsed > 0 {
			swept = s.heat
		}
		switch {
		case q.share == 1 && elapsed > 0:
			continue // as swept
		case w.state == duty.Flowing && !q.plain && s.u > 0: // more than one phase may be in it
			s.fluid = w.at[i].temperature(w.shown[i])
			s.heat = w.passing(t, i)
		case w.state == duty.Flowing:
			T, slope := w.at[i].point(w.shown[i])
			u := s.u
			if slope > 0 {
				u = effective(u, w.flow/slope)
			}
			s.fluid = T
			s.heat = slow*u*(s.mean-T) + (1-slow)*swept
		default:
			s.fluid = w.at[i].temperature(w.shown[i])
			s.heat = slow * s.u * (s.mean - s.fluid)
			if slow < 1 { // what went into it, per second
				s.heat += (1 - slow) * (w.mass[i]*(w.h[i]-w.since[i].h) - w.worked(i)) / elapsed
			}
		}
		t.settle(si)
	}
}

// exchange puts the water of the start of what rows follow in the place of the present one, or back.
func (w *stream) exchange() {
	for i := range w.since {
		w.since[i].h, w.h[i] = w.h[i], w.since[i].h
		w.since[i].mass, w.mass[i] = w.mass[i], w.since[i].mass
	}
}

// reckon takes a step of tau (s) that begins now into what rows follow, and tells whether its heat is that of the water.
// Where a march lands on a time or a threshold by a step far shorter than the one before, rows follow both: in next to no
// time boiling water makes up for a hair's difference of its state by a heat that lasts no longer.
func (w *stream) reckon(tau float64) (tells bool) {
	if w.state != duty.Closed && w.short(tau) {
		w.lead = w.span
		w.span += tau
		w.shorts++
		w.briefly += tau
		return false
	}
	w.lead, w.span, w.shorts, w.briefly = 0, tau, 0, 0
	for i := range w.since {
		w.since[i] = held{w.h[i], w.mass[i]}
	}
	return true
}

// mostShort bounds how many short steps in a row are taken together with what came before them. A landing makes one to
// three; where steps stay short, because something jumped, rows and films go by them soon.
const mostShort = 4

// instant is a share of the time that rows follow which counts for nothing: short steps that all together take less are one
// landing, however many they are. A rule that watches the water itself is come upon by five and more.
const instant = 1e-2

// short tells whether a step of tau (s) is too short to tell the heat of what rows follow.
func (w *stream) short(tau float64) bool {
	return tau < leastElapsed*w.span && (w.shorts < mostShort || w.briefly+tau < instant*w.span)
}

// outflow returns what leaves in kg/s over a candidate step of tau (s) and, where that is too short to tell, what came before.
func (w *stream) outflow(tau float64) float64 {
	if w.short(tau) {
		return (w.span*w.out + tau*w.outNew) / (w.span + tau)
	}
	return w.outNew
}

// passing returns the heat in W that slice i gives to a steady flow that leaves it as it stands.
func (w *stream) passing(t *tubes, i int) float64 {
	s, q := &t.slices[w.slices[i]], &w.plan[i]
	if !q.zones.ready {
		w.layZones(t, i)
	}
	q.zones.most = fullGrowth
	return w.flow * (w.shown[i] - w.at[i].entry(&q.zones, s.mean, w.flow, w.shown[i]).in)
}

// close takes the heat (J) that each slice received over the step, sets the candidate state at its end, and returns
// what the water carried off in J. The last sweep was that of the step's end.
func (w *stream) close(t *tubes, tau float64, heat func(slice int) float64) (carried float64) {
	if w.state == duty.Drained {
		copy(w.hNew, w.h)
		copy(w.massNew, w.mass)
		clear(w.pastNew)
		return 0
	}
	if w.state == duty.Open {
		return w.boilDown(t, tau, heat)
	}
	if w.state == duty.Closed {
		w.sealTo(t, heat)
		return 0
	}
	w.march(t, tau, middle, 0)
	for i := range w.plan {
		w.baseNew[i] = held{w.plan[i].end(), w.plan[i].after}
	}
	w.march(t, tau, endOfStep, 0)
	flow, in := w.flow, w.flow*(w.inlet-w.origin)*tau
	energy := in
	for i, si := range w.slices {
		w.hNew[i] = w.plan[i].end()
		w.pastNew[i] = t.slices[si].past()
		q := &w.plan[i]
		if q.zones.ready {
			w.pastNew[i].wet, w.pastNew[i].onset = q.zones.wetFilm, q.zones.onset
		}
		mass := q.after
		if q.plain && w.hNew[i] < w.at[i].HLiquid {
			mass = t.slices[si].volume * w.at[i].Density(w.hNew[i])
		}
		out := flow - (mass-w.mass[i])/tau
		if out < 0 { // water that shrinks draws more than the inlet gives: the rest of the slice stays short
			mass = w.mass[i] + tau*flow
			out = 0
		}
		energy += heat(si) - (mass*(w.hNew[i]-w.origin) - w.mass[i]*(w.h[i]-w.origin))
		w.massNew[i] = mass
		if q.plain && w.baseNew[i].h < w.at[i].HLiquid {
			w.baseNew[i].mass = mass // it expands
		}
		flow = out
	}
	w.outNew = flow
	return energy - in
}

// past returns what the next step's film asks of this one.
func (s *slice) past() past {
	p := past{heat: s.heat, wall: s.heat * s.filmR}
	if s.u > 0 {
		p.drive = s.heat / s.u
	}
	return p
}

// accept makes the candidate state the present one.
func (w *stream) accept(carried, tau float64) {
	for i := range w.h {
		w.rate[i] = 0
		switch w.state {
		case duty.Drained:
		case duty.Closed:
			w.rate[i] = (w.shut.waterNew[i].T - w.shut.water[i].T) / tau
		default:
			w.rate[i] = (w.at[i].temperature(w.hNew[i]) - w.at[i].temperature(w.h[i])) / tau
		}
	}
	if w.state == duty.Closed {
		w.shut.take()
		w.highest = math.Max(w.highest, w.shut.p)
	}
	w.flowOld, w.tauOld, w.switched = w.flow, tau, false
	for i := range w.plan {
		w.plan[i].was, w.plan[i].wasPlain = w.plan[i].up, w.plan[i].plain
	}
	for i := range w.trend {
		w.trend[i] = held{(w.hNew[i] - w.h[i]) / tau, (w.massNew[i] - w.mass[i]) / tau}
	}
	w.out = w.outflow(tau)
	if w.reckon(tau) {
		copy(w.past, w.pastNew)
	}
	copy(w.hOld, w.h)
	copy(w.massOld, w.mass)
	copy(w.h, w.hNew)
	copy(w.mass, w.massNew)
	copy(w.base, w.baseNew)
	if w.state != duty.Flowing {
		w.rebase()
	}
	w.laid = false
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
			rate += t.slices[si].u * w.at[i].slope(w.h[i])
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
	return w.last().temperature(x), w.last().quality(x)
}

// start puts the profile of a circuit that has been flowing for long, for the cells as they are.
func (w *stream) start(t *tubes) {
	w.laid = false
	w.sweep(t, 0, 0.5)
	w.laid = false
	up := w.inlet
	for i, si := range w.slices {
		h := up
		if w.flow > 0 {
			h = up + t.slices[si].heat/w.flow
		}
		w.h[i] = h
		w.mass[i] = t.slices[si].volume * w.at[i].Density(h)
		if h > w.at[i].HLiquid {
			w.mass[i] = w.plan[i].after
		}
		w.past[i] = t.slices[si].past()
		up = h
	}
	w.rebase()
}

// newStream returns the water of a circuit that is drained.
func newStream(t *tubes, order []int) *stream {
	n := len(order)
	w := &stream{slices: order, state: duty.Drained, steer: steer{slack: t.slack}}
	for _, v := range []*[]float64{&w.h, &w.mass, &w.hNew, &w.massNew, &w.hOld, &w.massOld, &w.rate, &w.shown} {
		*v = make([]float64, n)
	}
	w.since = make([]held, n)
	for _, s := range order {
		w.heatLen += t.slices[s].length
	}
	return w
}

// freezes tells whether some water has come down to the freezing point, to a thousandth of a kelvin. Nothing does whose pressure has not
// been set yet.
func (w *stream) freezes() bool {
	if w.state == duty.Drained || w.iso == nil {
		return false
	}
	frost := w.iso.Enthalpy(273.15) + 5
	return slices.ContainsFunc(w.h, func(h float64) bool { return h <= frost })
}

// notFollowed says what ice means for a run.
const notFollowed = "ice, which bursts tubes, is not followed: drain the circuit before or keep it warm"

// watchFrost warns of water that has come down to the freezing point: from there on its temperature stands still.
func (m *march) watchFrost() {
	for i, w := range m.streams {
		if !w.frozen && w.freezes() {
			w.frozen = true
			m.warn(fmt.Sprintf("the water in circuit %q came down to 0 °C at %s, and from there on its numbers do not hold; %s", m.b.rec.Circuits[i].Name, clock(m.t), notFollowed))
		}
	}
}

// stuck returns why a march cannot go on: the freezing of water, if some freezes, or what failed.
func (m *march) stuck(failed error) error {
	for i, w := range m.streams {
		if w.freezes() {
			return fmt.Errorf("at %.6g s the water in circuit %q freezes; %s, or end the run before", m.t, m.b.rec.Circuits[i].Name, notFollowed)
		}
	}
	return failed
}
