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
	w.look(t)
	return w.fall(t, flow, tilt)
}

// look reads what fall asks of the present water, once for many flows.
func (w *stream) look(t *tubes) {
	if w.state != duty.Flowing {
		return
	}
	w.seen = w.seen[:0]
	for i, h := range w.h {
		w.see(i, h)
	}
	if len(w.head) != len(w.slices) {
		w.head = make([]float64, len(w.slices))
	}
}

// see notes what slice i holds at h in J/kg.
func (w *stream) see(i int, h float64) {
	st := w.at[i].At(h)
	w.seen = append(w.seen, flowState{st.Density, st.Viscosity})
}

// fall returns the circuit's pressure drop in Pa for the water as look saw it: friction, acceleration and gravity; and
// sets head, what of it lies behind each slice's middle. Two phases count as a homogeneous mixture with the mean
// viscosity of McAdams, Woods & Heroman, which is what a state of boiling water holds.
func (w *stream) fall(t *tubes, flow, tilt float64) float64 {
	if w.state != duty.Flowing || flow <= 0 {
		return 0
	}
	dp := 0.0
	after := w.seen[len(w.seen)-1].density
	for i := len(w.slices) - 1; i >= 0; i-- {
		s := &t.slices[w.slices[i]]
		p := &t.b.rec.Passes[s.pass]
		st := &w.seen[i]
		G := flow / s.section
		here := film.SinglePhaseDrop(film.Fluid{Density: st.density, Viscosity: st.viscosity}, G, p.Inner, p.Roughness, s.length)
		here += st.density * 9.80665 * math.Sin(slope(s.axis, tilt)) * s.along * s.length
		dp += G * G * (1/after - 1/st.density)
		after = st.density
		w.head[i] = dp + 0.5*here
		dp += here
	}
	return dp
}
