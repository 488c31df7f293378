package heat

import "emberbank/duty"

// watch returns the present value of what a rule looks at.
func (m *march) watch(w duty.Watch) float64 { return m.valueOf(w, m.s.y0, false) }

// watchNew is watch for the candidate of the step.
func (m *march) watchNew(w duty.Watch) float64 { return m.valueOf(w, m.s.ya, true) }

func (m *march) valueOf(w duty.Watch, y []float64, candidate bool) float64 {
	switch w.What {
	case duty.WatchBlockMean:
		return m.rec.tally.meanOf(y)
	case duty.WatchBlockMax:
		return m.rec.tally.hottestOf(y)
	case duty.WatchOutlet, duty.WatchQuality, duty.WatchSteam:
		s := m.streams[w.Index]
		h, out := s.h, s.out
		if candidate {
			h, out = s.hNew, s.outflow(m.s.tau)
		}
		T, quality := s.outlet(h)
		switch w.What {
		case duty.WatchQuality:
			return quality
		case duty.WatchSteam:
			return s.steam(h, out)
		}
		return T
	case duty.WatchPressure:
		s := m.streams[w.Index]
		if candidate && s.state == duty.Closed {
			return s.shut.pNew
		}
		return m.pressure(w.Index, s)
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
		return m.rec.tally.meltedOf(y)
	case duty.WatchProbe:
		return m.rec.probe(w.Probe, y, candidate)
	}
	panic("heat: a rule watches something unknown")
}
