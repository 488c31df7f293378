package heat

import (
	"math"

	"emberbank/duty"
	"emberbank/receiver"
)

// This file finds by trial what it would help if one link of a chain led more heat: a share of the drop says where the
// temperature falls, but where water boils at its pressure's temperature, dries within a pass or leaves as hot as the
// block, no share says what more contact or more flow would do.

// byTrial is the factor by which a link conducts better, or more water flows, in a trial.
const byTrial = 1.1

// trialRounds is how often a trial finds films and profile in turn: each round leaves about a tenth of what the one before
// left.
const trialRounds = 4

// tried are the links that are tried; "water heating up" stands for the flow.
var tried = [...]int{inSpreading, inContact, inWall, inFilm, inHeating}

// mostTrials is about how many rows of a run are tried, spread over its rows: trials cost as much as a stage or two of a
// small grid.
const mostTrials = 12

// worth tells whether the last row is to be tried: the run's last, one of some twelve rows, one with a profile, and one in
// which a pass takes more than any did before, while no tubes fill.
func (c *chains) worth(profile bool) bool {
	if c.idle || len(c.passes) == 0 {
		return false
	}
	most := false
	for _, ch := range c.list[len(c.list)-len(c.passes):] {
		if q := math.Abs(ch.Heat); q > c.most && !ch.Filling {
			c.most, most = q, true
		}
	}
	rows := len(c.m.p.Output)
	row := len(c.list)/len(c.passes) - 1
	return most || profile || row%(1+(rows-1)/mostTrials) == 0 || row >= rows-1 || c.m.t >= c.m.p.Until || c.m.rec.stopped != ""
}

// trial is memory for trials.
type trial struct {
	was        stream
	heat, base []float64 // W, by pass
	plan       []wet
	slices     []slice
	against    []against
	h, mass    []float64
	past       []past
	held       []held
}

// keep remembers a circuit before something is tried on it.
func (v *trial) keep(t *tubes, w *stream) {
	v.was = *w
	v.plan = append(v.plan[:0], w.plan...)
	v.slices, v.against = v.slices[:0], v.against[:0]
	for _, si := range w.slices {
		v.slices, v.against = append(v.slices, t.slices[si]), append(v.against, t.against[si])
	}
	v.h, v.mass = append(v.h[:0], w.h...), append(v.mass[:0], w.mass...)
	v.past, v.held = append(v.past[:0], w.past...), append(v.held[:0], w.base...)
}

// putBack undoes what was tried since keep.
func (v *trial) putBack(t *tubes, w *stream) {
	*w = v.was
	copy(w.plan, v.plan)
	copy(w.h, v.h)
	copy(w.mass, v.mass)
	copy(w.past, v.past)
	copy(w.base, v.held)
	for k, si := range w.slices {
		t.slices[si], t.against[si] = v.slices[k], v.against[k]
		t.conductance(&t.slices[si])
	}
}

// gains sets the gain of every link in the chains of the last row: each circuit's steady flow past the cells as they
// stand, as it is and with one thing a tenth larger along all of it. It is asked last: what it overwrites is put back,
// or found anew by the next step.
func (c *chains) gains() {
	m, v := c.m, &c.trial
	if v.heat == nil {
		v.heat, v.base = make([]float64, len(c.passes)), make([]float64, len(c.passes))
	}
	chains := c.list[len(c.list)-len(c.passes):]
	tilt := WeatherAt(&m.p.Duty, m.t).Tilt
	for i, w := range m.streams {
		if w.state != duty.Flowing || !(w.flow > 0) {
			continue
		}
		more := m.tubes.more
		v.keep(m.tubes, w)
		c.try(w, tilt, v.base)
		for _, link := range tried {
			if !c.enlarge(w, link) {
				continue
			}
			c.try(w, tilt, v.heat)
			m.tubes.more = more
			w.flow = v.was.flow
			for k, si := range w.slices {
				m.tubes.slices[si].ease = v.slices[k].ease
			}
			for p := range c.passes {
				if ch := &chains[p]; c.passes[p].circuit == i && ch.Links != nil && v.base[p] != 0 {
					ch.Links[link].Gain = v.heat[p]/v.base[p] - 1
				}
			}
		}
		v.putBack(m.tubes, w)
	}
	c.fixedGains(chains)
}

// enlarge makes a link of the whole circuit conduct a tenth better, or its flow a tenth larger, and tells whether the
// circuit has any such link.
func (c *chains) enlarge(w *stream, link int) (any bool) {
	m, more := c.m, c.m.tubes.more
	switch link {
	case inHeating:
		w.flow *= byTrial
		return true
	case inContact:
		m.tubes.more.contact *= byTrial
	case inWall:
		m.tubes.more.wall *= byTrial
	case inFilm:
		m.tubes.more.film *= byTrial
	}
	for _, si := range w.slices {
		s := &m.tubes.slices[si]
		switch link {
		case inSpreading:
			any = any || s.ease > 0
			s.ease /= byTrial
		case inContact:
			any = any || s.contact > 0
		case inWall:
			any = any || s.wall > 0
		case inFilm:
			any = any || s.filmR > 0
		}
	}
	if !any {
		m.tubes.more = more
	}
	return any
}

// try sets the heat in W that each pass takes from the cells as they stand by a steady flow.
func (c *chains) try(w *stream, tilt float64, heat []float64) {
	t := c.m.tubes
	for range trialRounds {
		c.m.link(w, tilt, 0)
		w.start(t)
	}
	clear(heat)
	for _, si := range w.slices {
		if s := &t.slices[si]; s.run == receiver.RunPass {
			heat[s.pass] += s.heat
		}
	}
}

// fixedGains are those of passes with a fixed fluid temperature: only the chain counts.
func (c *chains) fixedGains(chains []Chain) {
	for p := range c.passes {
		ch := &chains[p]
		if c.passes[p].circuit >= 0 || ch.Links == nil || ch.Heat == 0 {
			continue
		}
		var more [linkCount]float64
		for _, si := range c.passes[p].slices {
			s := &c.m.tubes.slices[si]
			if s.u == 0 || s.line > 0 {
				continue
			}
			part := [linkCount]float64{inSpreading: s.ease, inContact: s.contact, inWall: s.wall, inFilm: s.filmR}
			all := s.ease + s.contact + s.wall + s.filmR
			for link, r := range part {
				if all > 0 {
					more[link] += s.heat * (all/(all-r*(1-1/byTrial)) - 1)
				}
			}
		}
		for _, link := range tried {
			if link != inHeating && math.Abs(more[link]) > 0 {
				ch.Links[link].Gain = more[link] / ch.Heat
			}
		}
	}
}
