package heat

import (
	"math"

	"emberbank/duty"
)

// waterShare is the error of the water's temperature that a step may make, as a mean over what the circuit holds when
// full of liquid and as a share of the span of temperatures between inlet, water and the solid around the tubes;
// waterLeast is its least value in K.
const (
	waterShare = 0.002
	waterLeast = 0.002
)

// spanSwing is the mean change of the solid around the tubes within a step, as a share of the span of temperatures, from
// which it bounds the step: the heat to the water follows that span, however small it is beside the solid's tolerance.
const spanSwing = 0.15

// sealedSwing is the share of sealedLimit by which the pressure of a closed circuit may rise within a step.
const sealedSwing = 0.1

// goneSwing is the share of what a standing circuit can hold that may leave within a step: its films hang on how full it
// is.
const goneSwing = 0.05

// flowSwing is the relative change of a flow within a step from which it bounds the step: the flow is held at that of the
// step's middle, which leaves an error of a few thousandths of the heat at this change.
const flowSwing = 0.3

// hastySwing is by how much more the water may err at the most where the answer is asked for soon.
const hastySwing = 8

// waterSwings returns the estimated error of the water's implicit step over what is allowed, as an error of the
// third order for the control of the step: half the difference between this step's change of temperature and what the
// last step's rate gives, less what a slice forgets within the step anyway, weighed by the heat capacity of the water
// that is in the slice.
func (m *march) waterSwings(tau float64) float64 {
	worst := 0.0
	most := 1.0
	if m.p.Hasty {
		most = hastySwing
	}
	strict := math.Min(most, m.p.Tolerance/DefaultTolerance) // a tighter march is tighter here too
	for _, w := range m.streams {
		if w.state == duty.Drained {
			continue
		}
		off, whole, moved, gone := 0.0, 0.0, 0.0, 0.0
		lo, hi := w.inletT, w.inletT
		cl := w.iso.Liquid.HeatCapacity
		for i, si := range w.slices {
			s, q := &m.tubes.slices[si], &w.plan[i]
			T := w.at[i].temperature(w.h[i])
			d := w.at[i].temperature(w.hNew[i]) - T
			if w.state == duty.Closed {
				T = w.shut.water[i].T
				d = w.shut.waterNew[i].T - T
			}
			capacity := math.Min(w.mass[i], w.massNew[i]) * cl
			off += 0.5 * math.Abs(d-w.rate[i]*tau) * q.lag * capacity
			whole += s.volume * w.iso.Liquid.Density * cl
			moved += math.Abs(s.mean-q.mean0) / float64(len(w.slices))
			// What was there while it flowed goes at the switch, however short the step.
			stood := s.volume * w.at[i].Density(w.h[i])
			gone += math.Min(math.Abs(w.massNew[i]-w.mass[i]), math.Abs(w.massNew[i]-stood)) * cl
			lo, hi = math.Min(lo, math.Min(T, s.mean)), math.Max(hi, math.Max(T, s.mean))
		}
		least := strict * w.renewal(m.tubes)
		if tau > least*(1+1e-9) { // the step that follows a rejection is no shorter than that either
			off /= whole * strict * math.Max(waterLeast, waterShare*(hi-lo))
			worst = math.Max(worst, math.Min(off, math.Pow(math.Max(1.01, 0.8*tau/least), 2)))
		}
		if w.state == duty.Closed {
			dp := (w.shut.pNew - w.shut.p) / (sealedSwing * sealedLimit)
			worst = math.Max(worst, dp*dp)
		}
		if w.state == duty.Open && whole > 0 {
			gone /= whole * goneSwing
			worst = math.Max(worst, gone*gone)
		}
		if span := hi - lo; w.state == duty.Flowing && span > waterLeast {
			moved /= span * spanSwing
			worst = math.Max(worst, moved*moved)
		}
		worst = math.Max(worst, w.surge*w.surge/(flowSwing*flowSwing))
	}
	return math.Pow(worst, 1.5)
}
