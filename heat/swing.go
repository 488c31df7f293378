package heat

import (
	"math"

	"emberbank/duty"
)

// waterShare is the error of the water's temperature that a step may make in any slice, as a share of the span of
// temperatures between inlet, water and the solid around the tubes; waterLeast is its least value in K.
const (
	waterShare = 0.002
	waterLeast = 0.002
)

// waterSwings returns the estimated error of the water's implicit step over what is allowed, as an error of the
// third order for the control of the step: half the difference between this step's change and what the last
// step's rate gives.
func (m *march) waterSwings(tau float64) float64 {
	worst := 0.0
	strict := math.Min(1, m.p.Tolerance/DefaultTolerance) // a tighter march is tighter here too
	for _, w := range m.streams {
		if w.state == duty.Drained {
			continue
		}
		most := 0.0
		lo, hi := w.inletT, w.inletT
		for i, si := range w.slices {
			T := w.temperature(w.h[i])
			d := w.temperature(w.hNew[i]) - T
			most = math.Max(most, math.Abs(d-w.rate[i]*tau))
			mean := m.tubes.slices[si].mean
			lo, hi = math.Min(lo, math.Min(T, mean)), math.Max(hi, math.Max(T, mean))
		}
		least := strict * w.renewal(m.tubes)
		if tau > least*(1+1e-9) { // the step that follows a rejection is no shorter than that either
			off := 0.5 * most / (strict * math.Max(waterLeast, waterShare*(hi-lo)))
			worst = math.Max(worst, math.Min(off, math.Pow(math.Max(1.01, 0.8*tau/least), 2)))
		}
	}
	return math.Pow(worst, 1.5)
}
