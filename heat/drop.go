package heat

import (
	"math"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/film"
)

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

// flowState is what friction asks of the water in a slice.
type flowState struct{ density, viscosity float64 } // kg/m³, Pa s

// pressureDrop returns the circuit's pressure drop in Pa at the present state.
func (w *stream) pressureDrop(t *tubes, flow, tilt float64) float64 {
	w.look()
	return w.drop(t, flow, tilt)
}

// look reads what drop asks of the present water, once for many flows.
func (w *stream) look() {
	if w.state != duty.Flowing {
		return
	}
	w.seen = w.seen[:0]
	for _, h := range w.h {
		st := w.iso.At(h)
		w.seen = append(w.seen, flowState{st.Density, st.Viscosity})
	}
}

// drop returns the circuit's pressure drop in Pa for the water as look saw it: friction, acceleration and
// gravity. Two phases count as a homogeneous mixture with the mean viscosity of McAdams, Woods & Heroman, which is what
// a state of boiling water holds.
func (w *stream) drop(t *tubes, flow, tilt float64) float64 {
	if w.state != duty.Flowing || flow <= 0 {
		return 0
	}
	dp := 0.0
	rhoIn, rhoOut := 0.0, 0.0
	G := 0.0
	for i, si := range w.slices {
		s := &t.slices[si]
		p := &t.b.rec.Passes[s.pass]
		st := &w.seen[i]
		G = flow / s.section
		dp += film.SinglePhaseDrop(film.Fluid{Density: st.density, Viscosity: st.viscosity}, G, p.Inner, p.Roughness, s.length)
		dp += st.density * 9.80665 * math.Sin(slope(s.axis, tilt)) * s.along * s.length
		if i == 0 {
			rhoIn = st.density
		}
		rhoOut = st.density
	}
	if rhoIn > 0 {
		dp += G * G * (1/rhoOut - 1/rhoIn)
	}
	return dp
}
