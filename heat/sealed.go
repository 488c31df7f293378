package heat

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/water"
)

// sealed is water between shut valves. Its volume stays, and so does the mass of each slice; all slices share the one
// pressure at which together they fill the volume:
//
//	Σ m v(p, h) = V,   dh = δq/m + v dp   for each slice
//
// so that Σ m h − p V rises by the heat and nothing else. While there is steam beside liquid that is the saturation
// pressure of what boils; once liquid fills the tube it rises by some 5 to 20 bar for each kelvin. Slices give no water to
// one another: what one of them has too little room for takes that of its neighbours, and steam does not go to where it
// would condense. Where a block's temperature is uneven the pressure is thus that of its hotter tubes, sooner too high
// than too low. The tube's own widening is left out: it makes the pressure of a full tube rise some tenths less steeply.
// Source: balances of mass and energy at constant volume; IAPWS-IF97 by water.SharedPressure.
type sealed struct {
	volume, mass float64 // m³, kg
	first        float64 // Pa, when the valves were shut
	p, pNew      float64 // Pa
	back         float64 // Pa, from p to the moment of a row within the last step; else 0
	full         bool    // liquid fills it
	fullNew      bool
	stiffness    float64 // K kg/J, by which saturation rises with the heat of each kg that boils
	lost         bool    // the content left the equations: far above the limit, or frozen

	// By slice: as they are, at the end of the candidate step, at the start of the last step, and for a stage.
	water, waterNew, waterOld, stage []water.Slice
	pOld                             float64
}

// Pressures in Pa at which a run with a closed circuit stops: full of liquid, and with steam in it. Beyond the one neither
// tubes nor correlations of this job reach, beyond the other, just below the critical one, no saturation either.
const (
	sealedLimit = 16e6
	steamLimit  = water.IsobarHighest
)

// seal shuts the valves on what stands in the circuit. A flow counts what a slice holds at the enthalpy with which it
// leaves; where it boils or is steam, that mass would need more room than there is. It stays at the mean that has room,
// and the rest goes with what left.
func (w *stream) seal(t *tubes) {
	n := len(w.slices)
	for i, si := range w.slices {
		if h := w.iso.fitting(w.mass[i], t.slices[si].volume); h < w.h[i] {
			w.carried += w.mass[i] * (w.h[i] - h)
			w.h[i] = h
		}
	}
	w.shut = sealed{first: w.iso.P, p: w.iso.P, pOld: w.iso.P, water: make([]water.Slice, n), waterNew: make([]water.Slice, n), waterOld: make([]water.Slice, n), stage: make([]water.Slice, n)}
	z := &w.shut
	filled := 0.0
	for i, si := range w.slices {
		z.volume += t.slices[si].volume
		z.mass += w.mass[i]
		z.water[i] = water.Slice{Mass: w.mass[i], H: w.h[i], Volume: 1 / w.iso.Density(w.h[i]), T: w.iso.temperature(w.h[i])}
		filled += w.mass[i] * z.water[i].Volume
	}
	for i := range w.at {
		w.at[i] = w.iso
	}
	if filled > 0 {
		z.even(z.volume / filled)
	}
	w.gauge(nil)
	z.take()
	z.waterOld, z.pOld = append([]water.Slice(nil), z.water...), z.p
	for i := range w.h {
		w.h[i] = z.water[i].H
	}
	w.rebase()
}

// fitting returns the enthalpy in J/kg at which m kg of boiling water or steam fill the volume in m³, h′ at the least.
func (b *isobar) fitting(m, volume float64) float64 {
	if m > volume*b.Vapour.Density { // denser than saturated vapour
		return b.full(m, volume)
	}
	low, high := b.HVapour, b.High
	for range 50 {
		if h := 0.5 * (low + high); b.Density(h)*volume > m {
			low = h
		} else {
			high = h
		}
	}
	return high
}

// even scales the slices' volumes, of which the next step takes the work of pressure, so that they fill the tubes.
func (z *sealed) even(by float64) {
	for i := range z.water {
		z.water[i].Volume *= by
	}
}

// take makes the candidate state the present one.
func (z *sealed) take() {
	z.pOld = z.p
	z.waterOld, z.water, z.waterNew = z.water, z.waterNew, z.waterOld
	z.p, z.full = z.pNew, z.fullNew
	filled := 0.0
	for i := range z.water {
		filled += z.water[i].Mass * z.water[i].Volume
	}
	if filled > 0 { // to rounding, or no work would be lost at borders between the regions of the equations
		z.even(z.volume / filled)
	}
}

// swap puts the start of the last step in the place of the present state, or back.
func (z *sealed) swap() { z.p, z.pOld, z.water, z.waterOld = z.pOld, z.p, z.waterOld, z.water }

// worked returns what slice i gained over the last step by the pressure of its neighbours, in J.
func (w *stream) worked(i int) float64 {
	if w.state != duty.Closed {
		return 0
	}
	x := &w.shut.waterOld[i]
	return x.Mass * x.Volume * (w.shut.p + w.shut.back - w.shut.pOld)
}

// unseal opens the valves: what the pressure held is given up as the water expands.
func (w *stream) unseal() {
	w.carried -= w.lift()
	w.shut = sealed{}
}

// lift is what Σ m h of sealed water has gained by pressure and not by heat, in J.
func (w *stream) lift() float64 { return (w.shut.p + w.shut.back - w.shut.first) * w.shut.volume }

// gauge sets the candidate state once each slice has taken its heat in J; none where heat is nil.
func (w *stream) gauge(heat func(slice int) float64) {
	z := &w.shut
	copy(z.waterNew, z.water)
	for i, si := range w.slices {
		x := &z.waterNew[i]
		x.Pull = 0
		if heat != nil && x.Mass > 0 {
			x.H += heat(si) / x.Mass
		}
	}
	p, err := water.SharedPressure(z.waterNew, z.volume, z.p)
	z.lost = err != nil
	if z.lost {
		z.stiffness, z.pNew, z.fullNew = 0, z.p, true
		if errors.Is(err, water.ErrOverPressure) || z.p > 1e6 {
			z.pNew = 1e8
		}
		lift := (z.pNew - z.p) // books close all the same
		for i := range z.waterNew {
			z.waterNew[i].H += z.waterNew[i].Volume * lift
		}
		return
	}
	z.pNew, z.fullNew = p, true
	for i := range z.waterNew {
		z.fullNew = z.fullNew && (z.waterNew[i].Mass == 0 || z.waterNew[i].Quality <= 0)
	}
	z.stiffness = z.stiffen(z.waterNew, p)
}

// warmed is the heat in J/kg by which gauge and grade look how pressure and temperature rise.
const warmed = 200.0

// stiffen returns by how much saturation rises, in K kg/J, with the heat of each kilogram that boils.
func (z *sealed) stiffen(from []water.Slice, p float64) float64 {
	boils := -1
	copy(z.stage, from)
	for i := range z.stage {
		if x := &z.stage[i]; x.Quality > 0 && x.Quality < 1 {
			x.H += warmed
			boils = i
		}
	}
	if boils < 0 {
		return 0
	}
	T := z.stage[boils].T
	if _, err := water.SharedPressure(z.stage, z.volume, p); err != nil {
		return 0
	}
	return math.Max(0, z.stage[boils].T-T) / warmed
}

// grade returns the content's mean temperature in K and by how much its pressure rises with it, in Pa/K; 0: not known.
func (z *sealed) grade() (T, rise float64) {
	then := 0.0
	copy(z.stage, z.water)
	for i := range z.stage {
		x := &z.stage[i]
		T += x.Mass * x.T / z.mass
		x.H += warmed
	}
	p, err := water.SharedPressure(z.stage, z.volume, z.p)
	for i := range z.stage {
		then += z.stage[i].Mass * z.stage[i].T / z.mass
	}
	if err != nil || !(then > T) {
		return T, 0
	}
	return T, (p - z.p) / (then - T)
}

// sealTo takes the heat (J) that each slice received over the step of a closed circuit and sets the candidate state.
func (w *stream) sealTo(t *tubes, heat func(slice int) float64) {
	w.gauge(heat)
	for i, si := range w.slices {
		w.hNew[i], w.massNew[i] = w.shut.waterNew[i].H, w.mass[i]
		w.pastNew[i] = t.slices[si].past()
	}
	w.outNew = 0
}

// rest is march for water that is shut in: every slice with the heat of its wall, and all at the pressure that they come
// to together, implicitly.
func (w *stream) rest(t *tubes, tau, off float64) {
	z := &w.shut
	found := false
	if tau > 0 { // at last no heat passes
		for i, si := range w.slices {
			q, x := &w.plan[i], &z.stage[i]
			T := x.T // where the last stage ended
			*x = z.water[i]
			x.T = T
			x.Pull = q.share * tau * q.u * (1 + off*q.swell) // for the mean enthalpy over the step: see sweep
			x.Wall = t.slices[si].mean
		}
		_, err := water.SharedPressure(z.stage, z.volume, z.p)
		found = err == nil
	}
	for i, si := range w.slices {
		s, q, x := &t.slices[si], &w.plan[i], &z.stage[i]
		s.heat, s.fluid = 0, s.mean
		switch {
		case q.mass == 0 || tau == 0:
		case found:
			s.fluid = x.T
			s.heat = q.u * (1 + off*q.swell) * (s.mean - x.T)
			q.guess = x.H
		default: // beyond the equations, which stops the run: the heat of the step's start
			s.fluid = z.water[i].T
			s.heat = q.u * (s.mean - s.fluid) / (1 + tau*q.u/(q.mass*w.iso.Liquid.HeatCapacity))
		}
		t.settle(si)
	}
}

// shuts tells whether the duty can shut a circuit: from the start, by an event or by a rule.
func (m *march) shuts(circuit int) bool {
	d := &m.p.Duty
	if circuit < len(d.Switches.Water) && d.Switches.Water[circuit] == duty.Closed {
		return true
	}
	is := func(a duty.Action) bool {
		return a.What == duty.SetWater && a.Index == circuit && duty.WaterState(a.Value) == duty.Closed
	}
	for i := range d.Events {
		if slices.ContainsFunc(d.Events[i].Do, is) {
			return true
		}
	}
	for i := range d.Rules {
		if slices.ContainsFunc(d.Rules[i].Do, is) || slices.ContainsFunc(d.Rules[i].Else, is) {
			return true
		}
	}
	return false
}

// pressure returns the pressure in Pa in a circuit: of what is shut in, and else at the outlet; NaN while it is drained.
func (m *march) pressure(circuit int, w *stream) float64 {
	switch w.state {
	case duty.Drained:
		return math.NaN()
	case duty.Closed:
		return w.shut.p + w.shut.back
	}
	return m.p.Duty.Water[circuit].Pressure.At(m.t)
}

// burst stops the run where the pressure of a closed circuit passes the limit.
func (m *march) burst() {
	for i, w := range m.streams {
		z := &w.shut
		if w.state != duty.Closed || z.p < sealedLimit || !z.full && z.p < steamLimit {
			continue
		}
		name, p := m.b.rec.Circuits[i].Name, z.p
		T, rise := z.grade()
		if !z.full {
			limit, density := steamLimit, z.mass/z.volume
			m.rec.stopped = fmt.Sprintf("the closed circuit %s passes %.0f bar", name, limit/1e5)
			m.rec.raise(Caution{Kind: KindFull, Place: m.rec.circuits[i], Value: p, Limit: limit, Source: "IAPWS-IF97 at constant volume"}, "",
				func(float64, string) string {
					return fmt.Sprintf("The water shut in circuit %s, %.3g kg/m³ at about %.0f °C, has reached %.0f bar, about the pressure from which liquid and steam are one; each further kelvin adds about %.1g bar. The run ends here. Never shut both ends of a tube with water in it in a hot block: leave one open, drain it, or fit a relief valve. %s",
						name, density, T-273.15, p/1e5, rise/1e5, practice)
				})
			continue
		}
		m.rec.stopped = fmt.Sprintf("liquid fills the closed circuit %s and passes %.0f bar", name, sealedLimit/1e5)
		m.rec.raise(Caution{Kind: KindFull, Place: m.rec.circuits[i], Value: p, Limit: sealedLimit, Source: "IAPWS-IF97 at constant volume"}, "",
			func(float64, string) string {
				return fmt.Sprintf("The water shut in circuit %s fills its tubes at about %.0f °C and has reached %.0f bar; each further kelvin adds about %.0f bar. No tube or valve stands that for long: the run ends here. Never shut both ends of a full tube in a warm block: leave one open, drain it, or fit a relief valve. %s",
					name, T-273.15, p/1e5, rise/1e5, practice)
			})
	}
}
