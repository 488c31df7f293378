package heat

import (
	"math"

	"emberbank/duty"
)

// watch returns the present value of what a rule looks at.
func (m *march) watch(w duty.Watch) float64 { return m.valueOf(w, m.s.y0, false) }

// watchNew is watch for the candidate of the step.
func (m *march) watchNew(w duty.Watch) float64 { return m.valueOf(w, m.s.ya, true) }

func (m *march) valueOf(w duty.Watch, y []float64, candidate bool) float64 {
	b := m.b
	switch w.What {
	case duty.WatchBlockMean:
		return m.blockMean(y)
	case duty.WatchBlockMax:
		T := 0.0
		for _, c := range b.inBlock {
			T = math.Max(T, b.enthalpy[b.medium[c]].Temperature(y[c]))
		}
		return T
	case duty.WatchOutlet:
		s := m.streams[w.Index]
		h := s.h
		if candidate {
			h = s.hNew
		}
		T, _ := s.outlet(h)
		return T
	case duty.WatchLight:
		// What would shine in with the cover open: a rule that shuts it at dusk must see the morning.
		l := m.p.Duty.Light
		switch {
		case l == nil || !m.player.Switches.Light:
			return 0
		case candidate:
			return l.Power.Before(m.t + m.s.tau)
		}
		return l.Power.At(m.t)
	case duty.WatchMelted:
		return m.melted(y)
	case duty.WatchProbe:
		return m.rec.probe(w.Probe, y, candidate)
	}
	panic("heat: a rule watches something unknown")
}

func (m *march) blockMean(y []float64) float64 {
	sum := 0.0
	for _, c := range m.b.inBlock {
		sum += m.b.volume[c] * m.b.enthalpy[m.b.medium[c]].Temperature(y[c])
	}
	return sum / m.b.blockVol
}

// melted returns the melted share of what can melt in the block, by latent heat.
func (m *march) melted(y []float64) float64 {
	all, sum := 0.0, 0.0
	for _, c := range m.b.inBlock {
		if l := m.b.rec.Media[m.b.medium[c]].Latent; l > 0 {
			all += m.b.mass[c] * l
			sum += m.b.mass[c] * l * m.b.enthalpy[m.b.medium[c]].Melted(y[c])
		}
	}
	if all == 0 {
		return 0
	}
	return sum / all
}
