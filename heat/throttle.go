package heat

import (
	"math"

	"emberbank/duty"
)

// steer is what a control remembers of its last flow.
type steer struct {
	known bool
	t     float64 // s, of the moment for which flow was found
	flow  float64 // kg/s
	trend float64 // 1/s, relative, from the step before
	gain  float64 // K, by which the steady outlet falls as the flow grows e-fold
}

// Bounds of a control's search.
const (
	heldWithin = 1e-3 // K, of the outlet asked for
	steadyGain = 30.0 // K, a first guess of gain
)

// throttle sets the flow so that the steady outlet, with the films of that flow, holds the wanted temperature,
// within the control's limits. For a step of tau (s) the flow is carried on to its middle as it went over the last step.
func (m *march) throttle(w *stream, c duty.Control, tilt, tau float64) {
	p := &w.steer
	w.inlet = w.iso.Enthalpy(m.p.Duty.Water[c.Circuit].Inlet.At(m.t))
	flow := w.steady(m.tubes, c, tilt)
	if tau > 0 {
		switch {
		case w.tauOld == 0 || w.held != "":
			p.trend = 0
		case p.known && m.t > p.t && p.flow > 0:
			p.trend = math.Log(flow/p.flow) / (m.t - p.t)
		}
		p.known, p.t, p.flow = true, m.t, flow
		flow = clamp(flow*math.Exp(0.5*tau*p.trend), c.Min, c.Max)
		w.inlet = 0.5 * (w.inlet + w.inletEnd)
		w.surge, w.surgeKnown = clamp(p.trend*tau, -widestSwell, widestSwell), true
	}
	w.flow = flow
}

// steady returns the flow in kg/s that holds the steady outlet, from the last one on.
func (w *stream) steady(t *tubes, c duty.Control, tilt float64) float64 {
	p := &w.steer
	excess := func(flow float64) float64 {
		w.flow = flow
		w.links(t, tilt, 0)
		w.sweep(t, 0, 0.5)
		return t.slices[w.slices[len(w.slices)-1]].fluid - c.Outlet
	}
	w.held = ""
	flow := p.flow
	if !p.known || !(flow > 0) {
		flow = math.Sqrt(c.Min * c.Max)
		p.gain = steadyGain
	}
	flow = clamp(flow, c.Min, c.Max)
	lo, hi := c.Min, c.Max // the outlet falls as the flow rises
	atLo, atHi := math.NaN(), math.NaN()
	before, was := math.NaN(), math.NaN()
	for i := range 90 {
		f := excess(flow)
		if math.Abs(f) < heldWithin {
			break
		}
		if f > 0 {
			if flow >= c.Max {
				w.held = "at its largest flow the outlet is hotter than asked"
				break
			}
			lo, atLo = flow, f
		} else {
			if flow <= c.Min {
				w.held = "at its smallest flow the outlet is cooler than asked"
				break
			}
			hi, atHi = flow, f
		}
		if hi-lo < 1e-9*hi && atLo == atLo && atHi == atHi {
			break
		}
		if gain := (was - f) / math.Log(flow/before); gain > 0 && gain < inf {
			p.gain = gain
		}
		before, was = flow, f
		next := flow * math.Exp(clamp(f/p.gain, -3, 3))
		switch {
		case atLo == atLo && atHi == atHi && (i%4 == 3 || !(next > lo && next < hi)):
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
	return flow
}

// flowStep is the largest relative change of a controlled flow from step to step: the flow is held during a step at
// that of its middle.
const flowStep = 0.1

// pace bounds the coming step, in s, where a control moves a flow: by how fast it moved over the last step.
func (m *march) pace() float64 {
	most := inf
	for _, c := range m.p.Duty.Throttle {
		if w := m.streams[c.Circuit]; w.state == duty.Flowing && w.steer.trend != 0 {
			most = math.Min(most, math.Max(0.5, flowStep/math.Abs(w.steer.trend)))
		}
	}
	return most
}
