package heat

import (
	"math"

	"emberbank/receiver"
)

// chains records the resistances from block to water of every pass.
type chains struct {
	m      *march
	list   []Chain
	passes []passSlices
	spare  []Link // taken from by chains, so that a row does not ask for memory pass by pass
}

// passSlices is what a pass's chain is read from.
type passSlices struct {
	circuit int   // -1: a pass with a fixed fluid temperature
	slices  []int // of the pass itself, not of its leads and bends
}

func newChains(m *march) chains {
	c := chains{m: m, passes: make([]passSlices, len(m.b.rec.Passes))}
	c.list = make([]Chain, 0, len(m.b.rec.Passes)*(len(m.p.Output)+1))
	for i := range c.passes {
		c.passes[i].circuit = -1
	}
	for i := range m.streams {
		for _, run := range m.b.rec.Circuits[i].Runs {
			if run.Kind == receiver.RunPass {
				c.passes[run.Pass].circuit = i
			}
		}
	}
	for i := range m.tubes.slices {
		if s := &m.tubes.slices[i]; s.run == receiver.RunPass {
			p := &c.passes[s.pass]
			p.slices = append(p.slices, i)
		}
	}
	return c
}

// links returns memory for n links.
func (c *chains) links(n int) []Link {
	if len(c.spare) < n {
		c.spare = make([]Link, max(n, min(4096, cap(c.list)*n)))
	}
	l := c.spare[:n:n]
	c.spare = c.spare[n:]
	return l
}

var (
	linkNames  = [...]string{"block", "spreading", "contact", "tube wall", "film", "water heating up"}
	stateNames = [...]string{"drained", "flowing", "closed", "open"}
)

// record adds the chains of the moment that the last row shows; mean is the block's mean temperature in K.
func (c *chains) record(mean float64) {
	m := c.m
	for pi := range c.passes {
		rec := &m.b.rec.Passes[pi]
		out := Chain{Time: m.t, Pass: rec.Name, Block: mean, State: "fixed fluid"}
		inlet := rec.Fluid
		if i := c.passes[pi].circuit; i >= 0 {
			out.State, inlet = stateNames[m.streams[i].state], m.streams[i].inletT
		}
		// Means along the pass, by length: a link's drop is then its resistance times the heat, where the
		// resistance is even along the pass.
		var q, near, spread, contact, wall, filmR, fluid, length float64
		for _, i := range c.passes[pi].slices {
			s := &m.tubes.slices[i]
			if s.u == 0 {
				continue
			}
			q += s.heat
			length += s.length
			near += s.length * s.mean
			if s.line > 0 {
				spread += s.length * s.heat / s.u
			} else {
				if !math.IsInf(s.spread, 1) {
					spread += s.length * s.heat / s.spread
				}
				contact += s.length * s.heat * s.contact
				wall += s.length * s.heat * s.wall
				filmR += s.length * s.heat * s.filmR
			}
			fluid += s.length * (s.mean - s.heat/s.u)
		}
		out.Heat = q
		if math.Abs(q) > 1e-9 {
			out.Water = fluid / length
			drops := [len(linkNames)]float64{out.Block - near/length, spread / length, contact / length, wall / length, filmR / length, fluid/length - inlet}
			all := out.Block - inlet
			out.Links = c.links(len(drops))
			for i, d := range drops {
				l := Link{Name: linkNames[i], Resistance: d / q}
				if all != 0 {
					l.Share = d / all
				}
				out.Links[i] = l
			}
		}
		c.list = append(c.list, out)
	}
}
