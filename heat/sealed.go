package heat

import (
	"fmt"
	"math"

	"emberbank/duty"
	"emberbank/water"
)

// sealed is water between shut valves. Its volume and mass stay; its pressure is that of the whole content in
// equilibrium at the volume and the energy that it has:
//
//	p = p(V/M, U/M),   U = Σ m h − p V,   dU = dQ
//
// While there is steam that is the saturation pressure; once liquid fills the tube it rises by some 5 to 20 bar for each
// kelvin. The slices keep their masses and temperatures of their own, and their enthalpies rise by v dp besides the heat.
// The tube's own widening is left out: it makes the pressure of a full tube rise some tenths less steeply.
type sealed struct {
	volume, mass float64 // m³, kg
	first        float64 // Pa, when the valves were shut
	p, pNew      float64 // Pa
	full         bool    // liquid fills it
	fullNew      bool
	mean         float64 // K, of all that is in it, were it mixed
	stiffness    float64 // K kg/J, dT/du of the whole at its volume
	rise         float64 // Pa/K, along the same way
}

// Pressures in Pa at which a run with a closed circuit stops: full of liquid, and with steam in it. Beyond the one neither
// tubes nor correlations of this job reach, beyond the other, just below the critical one, no saturation either.
const (
	sealedLimit = 16e6
	steamLimit  = water.IsobarHighest
)

// seal shuts the valves on what stands in the circuit.
func (w *stream) seal(t *tubes) {
	z := &w.shut
	*z = sealed{first: w.iso.P, p: w.iso.P}
	for i, si := range w.slices {
		z.volume += t.slices[si].volume
		z.mass += w.mass[i]
	}
	for i := range w.at {
		w.at[i] = w.iso
	}
	w.gauge(0)
	z.p, z.full = z.pNew, z.fullNew
	w.work(z.first, z.p)
}

// work raises the slices' enthalpies by v dp.
func (w *stream) work(from, to float64) {
	z := &w.shut
	for i := range w.h {
		w.h[i] += z.volume / z.mass * (to - from)
	}
}

// unseal opens the valves: what the pressure held is given up as the water expands.
func (w *stream) unseal() {
	w.carried -= w.lift()
	w.shut = sealed{}
}

// lift is what Σ m h of sealed water has gained by pressure and not by heat, in J.
func (w *stream) lift() float64 { return (w.shut.p - w.shut.first) * w.shut.volume }

// gauge finds the pressure once the content has taken the heat Q in J.
func (w *stream) gauge(Q float64) {
	z := &w.shut
	U := Q - z.p*z.volume
	for i := range w.h {
		U += w.mass[i] * w.h[i]
	}
	v, u := z.volume/z.mass, U/z.mass
	st, err := water.AtVU(v, u)
	const du = 200.0 // J/kg
	next, err2 := water.AtVU(v, u+du)
	if err != nil || err2 != nil { // beyond the equations: far above the limit, or frozen
		if z.p > 1e6 {
			z.pNew = 1e8
		} else {
			z.pNew = z.p
		}
		z.fullNew = true
		return
	}
	z.pNew = clamp(st.P, water.IsobarLowest, 1e8)
	z.fullNew = st.Quality < 0
	z.mean = st.T
	z.stiffness = math.Max(0, next.T-st.T) / du
	if rise := next.T - st.T; rise > 0 {
		z.rise = (next.P - st.P) / rise
	}
}

// sealTo takes the heat (J) that each slice received over the step of a closed circuit and sets the candidate state.
func (w *stream) sealTo(t *tubes, heat func(slice int) float64) {
	z := &w.shut
	sum := 0.0
	for _, si := range w.slices {
		sum += heat(si)
	}
	w.gauge(sum)
	lift := z.volume / z.mass * (z.pNew - z.p)
	for i, si := range w.slices {
		w.hNew[i], w.massNew[i] = w.h[i], w.mass[i]
		if w.mass[i] > 0 {
			w.hNew[i] += heat(si)/w.mass[i] + lift
		}
		w.pastNew[i] = t.slices[si].past()
	}
	w.outNew = 0
}

// burst stops the run where the pressure of a closed circuit passes the limit.
func (m *march) burst() {
	for i, w := range m.streams {
		z := &w.shut
		if w.state != duty.Closed || z.p < sealedLimit || !z.full && z.p < steamLimit {
			continue
		}
		name, p, T, rise := m.b.rec.Circuits[i].Name, z.p, z.mean, z.rise
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
