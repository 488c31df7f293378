package heat

import (
	"fmt"
	"math"

	"emberbank/duty"
)

// miss is how far and how long a control was from what it holds, for one reason.
type miss struct {
	why     string
	seconds float64
	most    float64 // K, 1 or kg/s, the largest departure
	at      float64 // s, when that was
	quality float64 // of the outlet then, where a superheat is asked for: wet, all departures are alike in K
}

// look is how a control stood at one moment: why it could not hold what it is asked, if so, and how far off it was.
type look struct {
	why string
	t   float64 // s
	off float64 // K, 1 or kg/s

	quality float64 // of the outlet, where a superheat is asked for
}

// misses notes where a control could not hold what it is asked over an accepted step that began at t (s). The reading at
// the step's start ends the step before.
func (m *march) misses(t float64) {
	for _, c := range m.p.Duty.Throttle {
		w := m.streams[c.Circuit]
		if w.state != duty.Flowing {
			continue
		}
		p, now := &w.steer, look{w.held, t, w.steer.off, w.steer.quality}
		if p.open {
			p.between(p.last, now)
		}
		p.last, p.open = now, true
	}
}

// endMisses reads controls at the end of the last step, before something is switched or the run ends: no step begins there
// that would tell. It leaves no trace in the water.
func (m *march) endMisses() {
	read := false
	for _, c := range m.p.Duty.Throttle {
		w := m.streams[c.Circuit]
		if w.state != duty.Flowing || !w.steer.open || !(m.t > w.steer.last.t) {
			continue
		}
		if !read {
			read = true
			if !m.s.fresh {
				m.readTemperatures()
			}
			m.tubes.measure(m.s.t0, m.s.pad)
		}
		v := &m.rec.chains.trial
		v.keep(m.tubes, w)
		w.inletT = m.p.Duty.Water[c.Circuit].Inlet.Before(m.t)
		w.inlet = w.iso.Enthalpy(w.inletT)
		w.steady(m.tubes, c, WeatherAt(&m.p.Duty, m.t).Tilt, w.flow, w.held == "")
		end := look{w.held, m.t, w.steer.off, w.steer.quality}
		v.putBack(m.tubes, w)
		w.steer.between(w.steer.last, end)
		w.steer.open = false
	}
}

// between books the time between two readings: half of it to each.
func (p *steer) between(a, b look) {
	half := 0.5 * (b.t - a.t)
	p.miss(a, half)
	p.miss(b, half)
}

func (p *steer) miss(r look, seconds float64) {
	if r.why == "" {
		return
	}
	for i := range p.missed {
		if x := &p.missed[i]; x.why == r.why {
			x.seconds += seconds
			if a, b := math.Abs(r.off), math.Abs(x.most); a > b || a == b && r.quality < x.quality {
				x.most, x.at, x.quality = r.off, r.t, r.quality
			}
			return
		}
	}
	p.missed = append(p.missed, miss{r.why, seconds, r.off, r.t, r.quality})
}

// warnMisses says at the run's end what a control could not hold.
func (m *march) warnMisses() {
	m.endMisses()
	for _, c := range m.p.Duty.Throttle {
		w, name := m.streams[c.Circuit], m.b.rec.Circuits[c.Circuit].Name
		if m.p.Steady && w.held != "" {
			m.warn(fmt.Sprintf("%s could not be held: %s, %s", asked(c, name), w.held, departure(c, "by", w.steer.off, w.steer.quality)))
		}
		for _, x := range w.steer.missed {
			m.warn(fmt.Sprintf("%s could not be held for %s: %s, %s (after %s)",
				asked(c, name), clock(x.seconds), x.why, departure(c, "by up to", x.most, x.quality), clock(x.at)))
		}
	}
}

// warnTrials says at the run's end where it was decided by trials that had not settled how many of a load's circuits are open.
func (m *march) warnTrials() {
	if v := m.load; v != nil {
		if said := v.trials.says("what the load's circuits could give, which decides how many of them are open,", percents); said != "" {
			m.warn(said)
		}
	}
}

// clock says a time in s, or in h where it is long.
func clock(t float64) string {
	if t < 2*3600 {
		return fmt.Sprintf("%.0f s", t)
	}
	return fmt.Sprintf("%.2f h", t/3600)
}

// asked says what a control holds.
func asked(c duty.Control, circuit string) string {
	of := "the outlet of circuit " + circuit
	switch c.Holds {
	case duty.HoldQuality:
		return fmt.Sprintf("a quality of %.3g at %s", c.Value, of)
	case duty.HoldSuperheat:
		return fmt.Sprintf("%.4g K of superheat at %s", c.Value, of)
	case duty.HoldSteam:
		return fmt.Sprintf("%.4g kg/h of steam from circuit %s", 3600*c.Value, circuit)
	case duty.HoldHeat:
		return fmt.Sprintf("%.4g W carried by circuit %s", c.Value, circuit)
	}
	return fmt.Sprintf("%.4g °C at %s", c.Value-273.15, of)
}

// departure says how far off an outlet was: by an amount, or where steam was to be superheated and was not, by how wet it was.
func departure(c duty.Control, by string, off, quality float64) string {
	if c.Holds != duty.HoldSuperheat || quality >= 1 {
		return by + " " + amount(c, off)
	}
	if quality <= 0 {
		return "and liquid, below its boiling point"
	}
	if by != "by" {
		return fmt.Sprintf("and wet, with a quality down to %.3g", quality)
	}
	return fmt.Sprintf("and wet, with a quality of %.3g", quality)
}

// amount says a departure from what a control holds.
func amount(c duty.Control, off float64) string {
	off = math.Abs(off)
	switch c.Holds {
	case duty.HoldQuality:
		return fmt.Sprintf("%.3g", off)
	case duty.HoldSteam:
		return fmt.Sprintf("%.3g kg/h", 3600*off)
	case duty.HoldHeat:
		return fmt.Sprintf("%.3g W", off)
	}
	return fmt.Sprintf("%.3g K", off)
}
