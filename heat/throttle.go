package heat

import (
	"math"

	"emberbank/duty"
)

// steer is what a control remembers of its last flow and of where it could not hold what is asked.
type steer struct {
	known   bool
	t       float64 // s, of the moment for which flow was found
	flow    float64 // kg/s
	trend   float64 // 1/s, relative, from the step before
	gain    float64 // by which what seek brings to naught falls as the flow grows e-fold
	served  float64 // K, the same of the outlet's temperature, where heat is held that is to serve
	past    float64 // s, of the step before: 0 after a switch
	off     float64 // of the steady outlet from what is asked, K, 1, kg/s or W, where it cannot be held
	quality float64 // of the same outlet, where a superheat cannot be held
	missed  []miss  // by reason, in the order in which they arose
	last    look    // at the start of the last step
	open    bool    // its end has not been read
	slack   float64 // factor on what its search may leave; 0: 1
}

// within is what a search may leave.
func (p *steer) within(usual float64) float64 { return usual * math.Max(1, p.slack) }

// Bounds of a control's search. An enthalpy of the outlet counts in kelvins of cold liquid, by 4186 J/(kg K).
const (
	heldWithin  = 1e-3 // K, of the outlet's temperature
	steamWithin = 0.02 // K, the same of steam and boiling water: 84 J/kg, 4e-5 of quality, some 0.04 K of steam
	flowWithin  = 1e-4 // of the steam or the heat asked for
	steadyGain  = 30.0 // K, a first guess of gain
	coldCp      = 4186 // J/(kg K)
)

// hastySlack is by how much more a search may leave where the answer is asked for soon: a hundredth of the steam.
const hastySlack = 100

// throttle sets the flow so that the steady outlet, with the films of that flow, is what the control holds, within its
// limits. For a step of tau (s) the flow is carried on to its middle as it went over the last step; a row shows it as the
// step carried it.
func (m *march) throttle(w *stream, c duty.Control, tilt, tau float64) {
	if !m.asks(w, tau) {
		m.steer(w, c, tau, math.NaN())
		return
	}
	m.steer(w, c, tau, m.find(w, c, tilt))
}

// asks tells whether a control has to find its flow for a step of tau (s), or with 0 for the moment: not for a row within a
// march, and not for another try of the same step.
func (m *march) asks(w *stream, tau float64) bool {
	p := &w.steer
	if tau == 0 {
		return !p.known || w.tauOld == 0
	}
	return !p.known || m.t > p.t || p.past != w.tauOld
}

// carriedOn returns the flow in kg/s as it went over the last step, carried on to now.
func (m *march) carriedOn(w *stream, c duty.Control) float64 {
	p := &w.steer
	return clamp(p.flow*math.Exp(clamp(p.trend*(m.t-p.t), -widestSwell, widestSwell)), c.Min, c.Max)
}

// find returns the flow in kg/s that holds what is asked now.
func (m *march) find(w *stream, c duty.Control, tilt float64) float64 {
	w.inlet = w.iso.Enthalpy(m.p.Duty.Water[c.Circuit].Inlet.At(m.t))
	return w.steady(m.tubes, c, tilt, m.carriedOn(w, c), w.held == "" && w.tauOld > 0)
}

// steer sets the flow of a step of tau (s), or with 0 of the moment, from the one that was found for now; NaN: it is the one
// that was found before.
func (m *march) steer(w *stream, c duty.Control, tau, flow float64) {
	p := &w.steer
	ago := m.t - p.t
	found := flow == flow
	switch {
	case tau == 0 && found:
		w.flow = flow
		return
	case tau == 0:
		w.flow = m.carriedOn(w, c)
		return
	case found:
		switch {
		case w.tauOld == 0 || w.held != "":
			p.trend = 0
		case p.known && ago > 0 && p.flow > 0:
			p.trend = math.Log(flow/p.flow) / ago
		}
		p.known, p.t, p.flow, p.past = true, m.t, flow, w.tauOld
	}
	w.flow = clamp(p.flow*math.Exp(0.5*tau*p.trend), c.Min, c.Max)
	w.inlet = 0.5 * (w.iso.Enthalpy(m.p.Duty.Water[c.Circuit].Inlet.At(m.t)) + w.inletEnd)
	w.surge, w.surgeKnown = clamp(p.trend*tau, -widestSwell, widestSwell), true
}

// leaving returns the enthalpy in J/kg at which the steady flow in kg/s leaves, with its own films.
func (w *stream) leaving(t *tubes, tilt, flow float64) float64 {
	w.flow = flow
	w.links(t, tilt, 0)
	w.sweep(t, 0, 0.5)
	return w.plan[len(w.plan)-1].guess
}

// last returns the table of what leaves: at the outlet's pressure, which may lie far below that in the last slice's middle.
func (w *stream) last() *isobar { return w.iso }

// steady returns the flow in kg/s that holds what is asked of the steady outlet, from a guess on, and says in held why
// it cannot. Holding: the guess goes on from a flow that held it.
func (w *stream) steady(t *tubes, c duty.Control, tilt, guess float64, holding bool) float64 {
	p, iso := &w.steer, w.last()
	w.held, p.off = "", 0
	first := !p.known || !(guess > 0)
	if first {
		guess = math.Sqrt(c.Min * c.Max)
		p.gain = steadyGain
	}
	guess = clamp(guess, c.Min, c.Max)
	switch c.Holds {
	case duty.HoldSteam:
		if first {
			p.gain = 0.5
		}
		return w.steaming(t, c, tilt, guess, holding && !first)
	case duty.HoldHeat:
		if first {
			p.gain, p.served = 0.5, steadyGain
		}
		return w.heating(t, c, tilt, guess)
	}
	want, within := iso.Enthalpy(c.Value), heldWithin
	more, less := "at its largest flow the outlet is hotter than asked", "at its smallest flow the outlet is cooler than asked"
	switch c.Holds {
	case duty.HoldQuality:
		want = iso.HLiquid + c.Value*iso.latent
		more, less = "at its largest flow the outlet is drier than asked", "at its smallest flow the outlet is wetter than asked"
	case duty.HoldSuperheat:
		want = iso.Enthalpy(iso.Saturation + c.Value)
	}
	if want > iso.HLiquid {
		within = steamWithin
	}
	within = p.within(within)
	h := 0.0
	flow, end := p.seek(func(flow float64) float64 {
		h = w.leaving(t, tilt, flow)
		return (h - want) / coldCp
	}, guess, c.Min, c.Max, within)
	switch {
	case end > 0:
		w.held = more
	case end < 0:
		w.held = less
	default:
		return flow
	}
	switch c.Holds {
	case duty.HoldQuality:
		p.off = iso.quality(h) - c.Value
	case duty.HoldSuperheat:
		p.off = iso.temperature(h) - iso.Saturation - c.Value
		p.quality = iso.quality(h)
	default:
		p.off = iso.temperature(h) - c.Value
	}
	return flow
}

// seek returns the flow in kg/s between lo and hi at which excess, which falls as the flow rises, comes to naught within
// a tolerance; or the end beyond which it would: +1 the greatest flow, −1 the least.
func (p *steer) seek(excess func(flow float64) float64, flow, lo, hi, within float64) (float64, int) {
	least, most := lo, hi
	atLo, atHi := math.NaN(), math.NaN()
	before, was := math.NaN(), math.NaN()
	for i := range 90 {
		f := excess(flow)
		if math.Abs(f) < within {
			break
		}
		if f > 0 {
			if flow >= most {
				return flow, 1
			}
			lo, atLo = flow, f
		} else {
			if flow <= least {
				return flow, -1
			}
			hi, atHi = flow, f
		}
		both := atLo == atLo && atHi == atHi
		if both && hi-lo < 1e-7*hi {
			break
		}
		if gain := (was - f) / math.Log(flow/before); gain > 0 && gain < inf {
			p.gain = gain
		}
		before, was = flow, f
		next := flow * math.Exp(clamp(f/p.gain, -3, 3))
		switch {
		case both && (i%4 == 3 || !(next > lo && next < hi)):
			next = math.Sqrt(lo * hi) // it cannot stall
		case next >= hi:
			next = hi
			if atHi == atHi {
				next = math.Sqrt(lo * hi)
			}
		case next <= lo:
			next = lo
			if atLo == atLo {
				next = math.Sqrt(lo * hi)
			}
		}
		flow = next
	}
	return flow, 0
}

// steaming returns the least flow in kg/s that leaves with the vapour that is asked for. As the flow grows from naught,
// all of it leaves as vapour; then the tubes make less vapour than water comes in, and at last the water takes all heat
// to warm up, so that the vapour rises to a most and falls again. Where the most is too little, that is the flow.
func (w *stream) steaming(t *tubes, c duty.Control, tilt, guess float64, holding bool) float64 {
	p := &w.steer
	lacks := func(flow float64) float64 { // as a share of what is asked
		return 1 - flow*clamp(w.last().quality(w.leaving(t, tilt, flow)), 0, 1)/c.Value
	}
	miss := func(why string, lack float64) { w.held, p.off = why, -lack*c.Value }
	lo := clamp(c.Value, c.Min, c.Max) // less water cannot make it
	if holding && guess > 1.001*lo {
		if flow, found := p.follow(lacks, guess, lo, c.Max); found {
			return flow
		}
	}
	atLo := lacks(lo)
	if math.Abs(atLo) < p.within(flowWithin) {
		return lo
	}
	if atLo < 0 { // the least flow makes too much: beyond the most there may be a flow that makes less
		atHi := lacks(c.Max)
		if atHi < 0 {
			const why = "at every flow within its limits there is more steam than asked"
			if miss(why, atLo); atHi > atLo {
				miss(why, atHi)
				return c.Max
			}
			return c.Min
		}
		flow, _ := p.seek(func(flow float64) float64 { return -lacks(flow) }, math.Sqrt(lo*c.Max), lo, c.Max, p.within(flowWithin))
		return flow
	}
	from := math.Max(guess, math.Min(1.02*lo, c.Max))
	if lacks(from) >= 1 { // no vapour at all: nothing there tells which way to go
		if from = c.Min; atLo < 1 {
			from = lo
		}
	}
	top, atTop := p.climb(lacks, from, c.Min, c.Max)
	switch {
	case math.Abs(atTop) < p.within(flowWithin):
		return top
	case atTop > 0 && top >= c.Max:
		miss("at its largest flow there is less steam than asked", atTop)
		return top
	case atTop > 0:
		miss("no flow within its limits makes as much steam as asked", atTop)
		return top
	}
	flow, _ := p.seek(lacks, clamp(top*math.Exp(clamp(atTop/p.gain, -3, 0)), lo, top), lo, top, p.within(flowWithin))
	return flow
}

// follow goes from a guess to the flow in kg/s nearby at which f, which falls there as the flow grows, comes to naught; it
// tells whether there is one.
func (p *steer) follow(f func(flow float64) float64, guess, least, most float64) (flow float64, found bool) {
	at := f(guess)
	switch {
	case math.Abs(at) < p.within(flowWithin):
		return guess, true
	case at > 0:
		top := math.Min(guess*math.Exp(clamp(1.5*at/p.gain, 1e-3, 0.1)), most)
		atTop := f(top)
		switch {
		case math.Abs(atTop) < p.within(flowWithin):
			return top, true
		case atTop > 0:
			return 0, false
		}
		flow, end := p.seek(f, guess*math.Pow(top/guess, at/(at-atTop)), guess, top, p.within(flowWithin))
		return flow, end == 0
	}
	flow, end := p.seek(f, math.Max(least, guess*math.Exp(clamp(at/p.gain, -3, -1e-6))), least, guess, p.within(flowWithin))
	return flow, end == 0
}

// climb looks between two limits, from a guess on, for a flow in kg/s at which f, which falls and then rises as the flow
// grows, is at or below naught; where there is none, for the one at which it is least. It returns that flow and f there.
func (p *steer) climb(f func(flow float64) float64, guess, least, most float64) (flow, at float64) {
	const near = 1.02
	b := clamp(guess, least, most)
	fb := f(b)
	if fb <= p.within(flowWithin) {
		return b, fb
	}
	// Up by what the gain foretells, then in growing strides, until f rises; or down, where it rises at once.
	ratio := clamp(math.Exp(1.2*fb/p.gain), near, 2)
	a, fa, c, fc := b, fb, math.Min(b*ratio, most), fb
	if c > b {
		fc = f(c)
	}
	if fc < fb {
		for fc > p.within(flowWithin) && fc < fb && c < most {
			a, fa, b, fb = b, fb, c, fc
			ratio = math.Min(ratio*ratio, 2)
			c = math.Min(c*ratio, most)
			fc = f(c)
		}
		if fc <= p.within(flowWithin) || fc < fb {
			return c, fc
		}
	} else {
		for ratio = near; ; ratio = math.Min(ratio*ratio, 2) {
			if a = math.Max(b/ratio, least); a >= b {
				return b, fb
			}
			if fa = f(a); fa <= p.within(flowWithin) {
				return a, fa
			}
			if fa >= fb {
				break
			}
			b, c, fb, fc = a, b, fa, fb
		}
		if b == c { // it rises down from the greatest flow
			return b, fb
		}
	}
	// The least lies between a and c, about b. Golden section, then a parabola through the three.
	const golden = 0.381966
	for fb > p.within(flowWithin) && c > near*near*a {
		x := b * math.Pow(c/b, golden)
		lower := b/a > c/b
		if lower {
			x = b * math.Pow(a/b, golden)
		}
		fx := f(x)
		switch {
		case fx < fb && lower:
			b, c, fb, fc = x, b, fx, fb
		case fx < fb:
			a, b, fa, fb = b, x, fb, fx
		case lower:
			a, fa = x, fx
		default:
			c, fc = x, fx
		}
	}
	if fb > p.within(flowWithin) && c > b && b > a {
		l, r := math.Log(a/b), math.Log(c/b)
		x := 0.5 * (l*l*(fc-fb) - r*r*(fa-fb)) / (l*(fc-fb) - r*(fa-fb))
		if at := b * math.Exp(clamp(x, l, r)); x == x {
			if fx := f(at); fx < fb {
				return at, fx
			}
		}
	}
	return b, fb
}

// steam returns the vapour that leaves in kg/s, where the last slice holds water at h in J/kg and out (kg/s) leaves. What
// leaves water that stands open counts as steam once some of it boils.
func (w *stream) steam(h []float64, out float64) float64 {
	if w.state == duty.Open {
		if !w.boils || w.tauOld == 0 {
			return 0
		}
		return math.Max(0, out)
	}
	_, quality := w.outlet(h)
	if !(quality > 0) || w.switched { // what a flow that has just begun drives out is not known yet
		return 0
	}
	flow := w.flow
	if w.tauOld > 0 {
		flow = out
	}
	return flow * math.Min(quality, 1)
}

// flowStep is the largest relative change of a controlled flow from step to step: the flow is held during a step at
// that of its middle.
const flowStep = 0.1

// pace bounds the coming step, in s, where a control moves a flow: by how fast it moved over the last step.
func (m *march) pace() float64 {
	most := inf
	for _, w := range m.streams {
		if w.state == duty.Flowing && w.steer.trend != 0 {
			most = math.Min(most, math.Max(0.5, flowStep/math.Abs(w.steer.trend)))
		}
	}
	return most
}
