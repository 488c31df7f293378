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

// pumps divides each pump's flow at time t (s) so that its circuits have the same pressure drop. Weight counts
// against a column of the inlet's density: the pipes outside that join the circuits close their heights.
func (m *march) pumps(tilt, t float64) {
	for _, p := range m.p.Duty.Pumps {
		total := p.Flow.At(t)
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
		if len(on) == 0 {
			continue
		}
		for i := range on {
			on[i].share *= total / sum
		}
		even := len(on) == 1
		for i := range on {
			if !even {
				on[i].w.look(m.tubes)
			}
		}
		for range 100 {
			if even {
				break
			}
			mean, lo, hi := 0.0, inf, 0.0
			for i := range on {
				q := &on[i]
				q.drop = q.w.fall(m.tubes, q.share, tilt) - q.w.column(m.tubes, tilt)
				mean += q.drop / float64(len(on))
				lo, hi = math.Min(lo, q.drop), math.Max(hi, q.drop)
			}
			if even = lo > 0 && hi-lo <= 1e-5*mean; even || lo <= 0 {
				break
			}
			sum = 0
			for i := range on {
				on[i].share *= math.Pow(mean/on[i].drop, 1/1.9)
				sum += on[i].share
			}
			for i := range on {
				on[i].share *= total / sum
			}
		}
		if !even {
			m.warn("a pump's flow could not be divided to equal pressure drops in its circuits within 1e-5: buoyancy may drive water backwards in one of them; the last division stands")
		}
		for i := range on {
			on[i].w.flow, on[i].w.pumped = on[i].share, on[i].share
		}
	}
}
