package heat

import (
	"fmt"
	"math"
	"strings"

	"emberbank/duty"
)

// branchStep is the relative change of the flow over which the slope of a pressure–flow curve is taken.
const branchStep = 0.05

// steadyDrop returns the pressure drop in Pa of a circuit less the weight of its column, for the flow in kg/s that lasted
// with the cells as they stand. It disturbs the circuit.
func (w *stream) steadyDrop(t *tubes, flow, tilt float64) float64 {
	now := w.flow
	w.flow = flow
	w.links(t, tilt, 0)
	w.sweep(t, 0, 0.5)
	w.flow = now
	if len(w.head) != len(w.slices) {
		w.head = make([]float64, len(w.slices))
	}
	w.seen = w.seen[:0]
	h := w.inlet
	for i, si := range w.slices {
		before := h
		h += t.slices[si].heat / flow
		w.see(i, before, h)
	}
	w.laid = false
	return w.fall(t, flow, tilt) - w.column(t, tilt)
}

// branch returns d ln Δp / d ln ṁ of a boiling circuit at its present flow, for the cells as they stand, and its drop in
// Pa. Below zero more flow meets less resistance, since less of it boils: the falling branch between the curve's
// two rising ones, on which a flow that pressure alone sets leaves for another (Ledinegg, Die Wärme 61 (1938) 891; from
// memory).
func (w *stream) branch(t *tubes, tilt float64) (steepness, drop float64) {
	low := w.steadyDrop(t, w.flow*(1-branchStep), tilt)
	high := w.steadyDrop(t, w.flow*(1+branchStep), tilt)
	drop = 0.5 * (low + high)
	if drop <= 0 {
		return 0, drop
	}
	return (high - low) / (2 * branchStep * drop), drop
}

// unevenShare is the relative departure from the shares of cold water from which circuits count as sharing unequally.
const unevenShare = 0.2

// watchBranches raises what boiling does to flows that pressure sets: the falling branch, and circuits side by side that
// share unequally.
func (r *recorder) watchBranches() {
	m := r.m
	tilt := WeatherAt(&m.p.Duty, m.t).Tilt
	for i, w := range m.streams {
		if w.state != duty.Flowing || !w.boils || !(w.flow > 0) {
			continue
		}
		r.chains.trial.keep(m.tubes, w)
		steepness, drop := w.branch(m.tubes, tilt)
		r.chains.trial.putBack(m.tubes, w)
		if steepness >= 0 || r.known(KindBranch, r.circuits[i], -steepness, "") {
			continue
		}
		flow, name := w.flow, m.b.rec.Circuits[i].Name
		r.raise(Caution{Kind: KindBranch, Place: r.circuits[i], Value: -steepness, Source: "pressure drop of the run's own two-phase correlation"}, "",
			func(steepness float64, _ string) string {
				return fmt.Sprintf("Circuit %s works on the falling branch of its pressure–flow curve: near %.3g kg/s, at a drop of %.3g bar, one per cent more flow meets %.2g %% less resistance, because less of it boils. Where pressure alone sets the flow (a header, circuits side by side) it may jump or swing, and the tube with the smaller flow overheats; a throttle at the inlet steadies it. %s",
					name, flow, drop/1e5, steepness, practice)
			})
	}
	for _, p := range m.p.Duty.Pumps {
		boils := false
		for _, i := range p.Circuits {
			boils = boils || m.streams[i].state == duty.Flowing && m.streams[i].boils
		}
		if on := m.coldShares(&p, tilt); boils && len(on) > 1 {
			r.uneven(&p, on)
		}
	}
}

// uneven raises one caution for a pump whose circuits share its flow otherwise than cold water would.
func (r *recorder) uneven(p *duty.Pump, cold []pumped) {
	m := r.m
	worst, at := 0.0, 0
	for k := range cold {
		if off := math.Abs(cold[k].w.flow/cold[k].share - 1); off > worst {
			worst, at = off, k
		}
	}
	if worst < unevenShare {
		return
	}
	var names []string
	worstName := ""
	for _, i := range p.Circuits {
		names = append(names, m.b.rec.Circuits[i].Name)
		if m.streams[i] == cold[at].w {
			worstName = m.b.rec.Circuits[i].Name
		}
	}
	place := "circuits " + strings.Join(names, ", ")
	got := fmt.Sprintf("circuit %s gets %.3g kg/s where cold water would give it %.3g kg/s", worstName, cold[at].w.flow, cold[at].share)
	r.raise(Caution{Kind: KindShares, Place: place, Value: worst, Limit: unevenShare, Source: "equal pressure drop of circuits side by side"}, got,
		func(worst float64, got string) string {
			return fmt.Sprintf("Circuits side by side share their pump's flow unequally once they boil: at the worst %s, %.0f %% off. The one that boils most gets least and runs hottest; throttles at the inlets even it out. %s",
				got, 100*worst, practice)
		})
}
