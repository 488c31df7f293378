package season

import (
	"math"

	"emberbank/duty"
	"emberbank/heat"
)

// attend decides at the step's start how many of the load's circuits are open, by the load's own rule.
func (c *course) attend() {
	l := c.d.Load
	if l == nil {
		return
	}
	wanted := l.Wanted.At(c.t)
	c.most = c.most[:0]
	for _, i := range l.Circuits {
		c.most = append(c.most, c.could(i))
	}
	before, s := c.opening.Open, c.out.Served
	c.opening = l.Next(c.opening, c.t, wanted, c.most)
	for k, i := range l.Circuits {
		state := l.Shut
		if k < c.opening.Open {
			state = duty.Flowing
		}
		c.player.Switches.Water[i] = state
	}
	s.Opened += max(0, c.opening.Open-before)
	s.Shut += max(0, before-c.opening.Open)
}

// could returns what a circuit could give the load at the most as things stand.
func (c *course) could(circuit int) float64 {
	q := &c.m.circuits[circuit]
	if q.tap == nil {
		return 0
	}
	w := &c.d.Water[circuit]
	t := &c.w.taps[circuit]
	t.feed(q, w.Inlet.At(c.t), w.Pressure.At(c.t))
	return t.could(behind(q.shares, c.m.l.layers, c.w.T))
}

// deal shares what is wanted in the step's middle out over the open circuits: all are asked for the same; what one cannot give
// the others make up for.
func (c *course) deal(tau float64) {
	l := c.d.Load
	if l == nil || c.opening.Open == 0 {
		return
	}
	left, most := l.Wanted.At(c.t+0.5*tau), c.most[:c.opening.Open]
	asked := make([]bool, len(most))
	for range most { // the weakest first
		n, weakest := 0, -1
		for k := range most {
			if asked[k] {
				continue
			}
			n++
			if weakest < 0 || most[k] < most[weakest] {
				weakest = k
			}
		}
		share := math.Max(left/float64(n), 0)
		asked[weakest] = true
		if share > most[weakest] { // what it turns out to give within the step is capped there
			left -= most[weakest]
		} else {
			left -= share
		}
		c.at.flows[l.Circuits[weakest]] = math.Max(share, 1e-12)
	}
}

// served books what a step brought the load.
func (c *course) served(tau float64) {
	l := c.d.Load
	if l == nil {
		return
	}
	wanted := 0.5 * (l.Wanted.At(c.t-tau) + l.Wanted.Before(c.t)) * tau
	given, carried := 0.0, 0.0
	for _, i := range l.Circuits {
		fills := c.w.taps[i].opening * tau // stays in its tubes, and is let out when it is shut
		c.out.Served.Let += fills
		carried += c.w.half.drawn[i] - fills
		if l.Steam {
			given += c.w.half.steam[i]
		}
	}
	if !l.Steam {
		given = carried
	}
	c.serves(tau, wanted, given, carried)
	for _, b := range []*Books{&c.day.Books, &c.out.Whole} {
		b.Wanted += wanted
		b.Met += math.Max(0, math.Min(given, wanted))
		if wanted > 0 && given < heat.HeldShare*wanted {
			b.Short += tau
		}
	}
}

// serves books what the full model does of a run.
func (c *course) serves(tau, wanted, given, carried float64) {
	s := c.out.Served
	s.Wanted += wanted
	s.Delivered += given
	s.Met += math.Max(0, math.Min(given, wanted))
	s.Heat += carried
	s.Counts[c.opening.Open] += tau
	if wanted > 0 {
		s.Asked += tau
		s.Heated += carried
		if given >= heat.HeldShare*wanted {
			s.Held += tau
		}
	}
}

// HeldShare is the share of what is wanted that counts as given: that of a run.
const HeldShare = heat.HeldShare
