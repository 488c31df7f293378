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

// flowState is what a pressure drop asks of the water in a slice.
type flowState struct {
	iso                *isobar
	quality, leaving   float64 // in the middle and at the end
	density, viscosity float64 // kg/m³, Pa s, in the middle of one phase; 0: two are there
	outDensity         float64 // kg/m³, at the end of one phase; 0: two are there
}

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
	before := w.inlet
	for i, h := range w.h {
		w.see(i, before, h)
		before = h
	}
	if len(w.head) != len(w.slices) {
		w.head = make([]float64, len(w.slices))
	}
}

// see notes what slice i holds at h in J/kg, entered at before.
func (w *stream) see(i int, before, h float64) {
	iso := w.at[i]
	middle := 0.5 * (before + h)
	x := iso.quality(middle)
	seen := flowState{iso: iso, quality: x, leaving: iso.quality(h)}
	if x <= 0 || x >= 1 {
		f := iso.Film(middle)
		seen.density, seen.viscosity = f.Density, f.Viscosity
	}
	if seen.leaving <= 0 || seen.leaving >= 1 {
		seen.outDensity = iso.Density(h)
	}
	w.seen = append(w.seen, seen)
}

// fall returns the circuit's pressure drop in Pa for the water as look saw it: friction, acceleration and gravity; and
// sets head, what of it lies behind each slice's middle. Two phases by film.Drop.
func (w *stream) fall(t *tubes, flow, tilt float64) float64 {
	if w.state != duty.Flowing || flow <= 0 {
		return 0
	}
	dp := 0.0
	after := math.NaN() // momentum flux in Pa behind the slice
	for i := len(w.slices) - 1; i >= 0; i-- {
		s := &t.slices[w.slices[i]]
		p := &t.b.rec.Passes[s.pass]
		st := &w.seen[i]
		G := flow / s.section
		incline := s.along * slope(s.axis, tilt)
		leaving := G * G / st.outDensity
		if st.outDensity == 0 {
			leaving = film.Drop(&st.iso.two, st.leaving, G, p.Inner, p.Roughness, incline, t.laws).Momentum
		}
		if after == after {
			dp += after - leaving
		}
		after = leaving
		here := 0.0
		if st.density > 0 {
			here = film.SinglePhaseDrop(film.Fluid{Density: st.density, Viscosity: st.viscosity}, G, p.Inner, p.Roughness, s.length)
			here += st.density * film.Gravity * math.Sin(incline) * s.length
		} else {
			d := film.Drop(&st.iso.two, st.quality, G, p.Inner, p.Roughness, incline, t.laws).Within(t.films)
			here = (d.Friction + d.Gravity) * s.length
		}
		w.head[i] = dp + 0.5*here
		dp += here
	}
	if len(w.slices) > 0 {
		s := &t.slices[w.slices[0]]
		G := flow / s.section
		dp += after - G*G/w.iso.Density(w.inlet)
	}
	return dp
}
