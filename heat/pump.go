package heat

import (
	"math"

	"emberbank/duty"
)

// pumps divides each pump's flow at time t (s) so that its circuits have the same pressure drop. Weight counts
// against a column of the inlet's density: the pipes outside that join the circuits close their heights.
func (m *march) pumps(tilt, t float64) {
	for _, p := range m.p.Duty.Pumps {
		total := p.Flow.At(t)
		var on []*stream
		for _, i := range p.Circuits {
			if w := m.streams[i]; w.state == duty.Flowing {
				on = append(on, w)
			}
		}
		if len(on) == 0 {
			continue
		}
		share := make([]float64, len(on))
		sum := 0.0
		for i, w := range on {
			share[i] = w.pumped
			if share[i] <= 0 {
				share[i] = 1
			}
			sum += share[i]
		}
		for i := range share {
			share[i] *= total / sum
		}
		even := false
		for range 100 {
			mean, lo, hi := 0.0, inf, 0.0
			drops := make([]float64, len(on))
			for i, w := range on {
				drops[i] = w.pressureDrop(m.tubes, share[i], tilt) - w.column(m.tubes, tilt)
				mean += drops[i] / float64(len(on))
				lo, hi = math.Min(lo, drops[i]), math.Max(hi, drops[i])
			}
			if even = lo > 0 && hi-lo <= 1e-5*mean; even || lo <= 0 {
				break
			}
			sum = 0
			for i := range share {
				share[i] *= math.Pow(mean/drops[i], 1/1.9)
				sum += share[i]
			}
			for i := range share {
				share[i] *= total / sum
			}
		}
		if !even {
			m.warn("a pump's flow could not be divided to equal pressure drops in its circuits within 1e-5: buoyancy may drive water backwards in one of them; the last division stands")
		}
		for i, w := range on {
			w.flow, w.pumped = share[i], share[i]
		}
	}
}

// throttle sets the flow so that the steady outlet, with the films of that flow, holds the wanted temperature,
// within the control's limits.
func (m *march) throttle(w *stream, c duty.Control, tilt float64) {
	excess := func(flow float64) float64 {
		w.flow = flow
		w.links(m.tubes, tilt)
		w.sweep(m.tubes, 0)
		return m.tubes.slices[w.slices[len(w.slices)-1]].fluid - c.Outlet
	}
	w.held = ""
	hi, lo := c.Max, c.Min
	atHi := excess(hi)
	if atHi >= 0 {
		w.held = "at its largest flow the outlet is hotter than asked"
		return
	}
	atLo := excess(lo)
	if atLo <= 0 {
		w.held = "at its smallest flow the outlet is cooler than asked"
		return
	}
	// The outlet falls as the flow rises: false position, every third time a halving so that it cannot stall.
	for i := range 90 {
		mid := (lo*atHi - hi*atLo) / (atHi - atLo)
		if i%3 == 2 {
			mid = 0.5 * (lo + hi)
		}
		f := excess(mid)
		if f > 0 {
			lo, atLo = mid, f
		} else {
			hi, atHi = mid, f
		}
		if math.Abs(f) < 1e-4 || hi-lo < 1e-9*hi {
			return
		}
	}
}
