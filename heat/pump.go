package heat

import (
	"math"

	"emberbank/duty"
)

// pumped is one circuit's part in the division of a pump's flow.
type pumped struct {
	w           *stream
	share, drop float64 // kg/s, Pa
}

// pumps divides each pump's flow at time t (s) so that its circuits have the same pressure drop.
func (m *march) pumps(tilt, t float64) {
	for i := range m.p.Duty.Pumps {
		p := &m.p.Duty.Pumps[i]
		on := m.running(p, p.Flow.At(t))
		if len(on) > 1 {
			for k := range on {
				on[k].w.look(m.tubes)
			}
			if !m.divide(on, tilt) {
				m.warn("a pump's flow could not be divided to equal pressure drops in its circuits within 1e-5: buoyancy may drive water backwards in one of them; the last division stands")
			}
		}
		for k := range on {
			on[k].w.flow, on[k].w.pumped = on[k].share, on[k].share
		}
	}
}

// running lists a pump's circuits that flow, with shares of the total (kg/s) as they were last.
func (m *march) running(p *duty.Pump, total float64) []pumped {
	on := m.tubes.pumps[:0]
	sum := 0.0
	for _, i := range p.Circuits {
		w := m.streams[i]
		if w.state != duty.Flowing {
			continue
		}
		share := w.pumped
		if share <= 0 {
			share = 1
		}
		sum += share
		on = append(on, pumped{w: w, share: share})
	}
	m.tubes.pumps = on
	for k := range on {
		on[k].share *= total / sum
	}
	return on
}

// divide finds the shares at which the circuits have the same drop for the water as look saw it, and tells whether it
// could. Weight counts against a column of the inlet's density: the pipes outside that join the circuits close their
// heights.
func (m *march) divide(on []pumped, tilt float64) bool {
	total := 0.0
	for k := range on {
		total += on[k].share
	}
	for range 100 {
		mean, lo, hi := 0.0, inf, 0.0
		for k := range on {
			q := &on[k]
			q.drop = q.w.fall(m.tubes, q.share, tilt) - q.w.column(m.tubes, tilt)
			mean += q.drop / float64(len(on))
			lo, hi = math.Min(lo, q.drop), math.Max(hi, q.drop)
		}
		if lo <= 0 {
			return false
		}
		if hi-lo <= 1e-5*mean {
			return true
		}
		sum := 0.0
		for k := range on {
			on[k].share *= math.Pow(mean/on[k].drop, 1/1.9)
			sum += on[k].share
		}
		for k := range on {
			on[k].share *= total / sum
		}
	}
	return false
}

// coldShares returns how the pump's present flow would divide over its running circuits if they held water as it enters.
func (m *march) coldShares(p *duty.Pump, tilt float64) []pumped {
	total := 0.0
	for _, i := range p.Circuits {
		if w := m.streams[i]; w.state == duty.Flowing {
			total += w.flow
		}
	}
	on := m.running(p, total)
	for k := range on {
		w := on[k].w
		w.seen = w.seen[:0]
		for i := range w.slices {
			w.see(i, w.inlet, w.inlet)
		}
	}
	if len(on) > 1 && !m.divide(on, tilt) {
		return nil
	}
	return on
}
