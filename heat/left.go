package heat

import (
	"math"

	"emberbank/duty"
)

// Left is what has left a circuit over a run while water flowed through it or stood open in it, by the march's own account of
// mass and energy. What is let out when the tubes are drained does not count.
type Left struct {
	Circuit string
	Water   float64 // kg, all of it
	Steam   float64 // kg, the part that left as vapour at the outlet's pressure
}

// transfers books what the water does over an accepted step of tau (s) from m.t, before it is moved on.
func (r *recorder) transfers(tau float64) {
	r.fill(tau)
	for i, w := range r.m.streams {
		l := &r.leaves[i]
		switch w.state {
		case duty.Flowing:
			out := w.outNew * tau
			if !(out > 0) {
				continue
			}
			// What the circuit carries off over the step is outflow less inflow of enthalpy: its mean as it leaves follows.
			h := w.origin + (w.pending+w.flow*(w.inlet-w.origin)*tau)/out
			l.Water += out
			l.Steam += out * clamp(w.last().quality(h), 0, 1)
		case duty.Open:
			for j, si := range w.slices {
				l.Water += w.mass[j] - w.massNew[j]
				l.Steam += w.at[j].boiledAway(r.m.tubes.slices[si].volume, w.mass[j], w.h[j], w.massNew[j], w.hNew[j])
			}
		}
	}
}

// boiledAway returns the mass in kg that left a slice of a volume (m³) as steam while soak brought what stood in it from m0
// kg at h0 (J/kg) to m1 at h1: before it boils, it swells out as liquid.
func (b *isobar) boiledAway(volume, m0, h0, m1, h1 float64) float64 {
	if h1 < b.HLiquid {
		return 0
	}
	if h0 < b.HLiquid {
		m0 = math.Min(m0, volume*b.Liquid.Density)
	}
	return math.Max(0, m0-m1)
}
