package heat

import (
	"math"

	"emberbank/duty"
	"emberbank/receiver"
)

// chains records the resistances from block to water of every pass.
type chains struct {
	m      *march
	list   []Chain
	passes []passSlices
	spare  []Link // taken from by chains, so that a row does not ask for memory pass by pass
	trial  trial
	idle   bool    // no gains are asked for
	most   float64 // W, that any pass took in a row so far, without sign
}

// passSlices is what a pass's chain is read from.
type passSlices struct {
	circuit int   // -1: a pass with a fixed fluid temperature
	slices  []int // of the pass itself, not of its leads and bends
	order   []int // their places in the circuit's order of flow
}

func newChains(m *march) chains {
	c := chains{m: m, idle: m.p.Hasty, passes: make([]passSlices, len(m.b.rec.Passes))}
	c.list = make([]Chain, 0, len(m.b.rec.Passes)*(len(m.p.Output)+1))
	for i := range c.passes {
		c.passes[i].circuit = -1
	}
	for i, w := range m.streams {
		for j, si := range w.slices {
			if s := &m.tubes.slices[si]; s.run == receiver.RunPass {
				p := &c.passes[s.pass]
				p.circuit = i
				p.slices, p.order = append(p.slices, si), append(p.order, j)
			}
		}
	}
	for _, si := range m.tubes.fixed {
		p := &c.passes[m.tubes.slices[si].pass]
		p.slices = append(p.slices, si)
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

// Places of links in a chain.
const (
	inBlock = iota
	inSpreading
	inContact
	inWall
	inFilm
	inHeating
	inBoiling
	linkCount
)

var (
	linkNames  = [linkCount]string{"block", "spreading", "contact", "tube wall", "film", "water heating up", "boiling point"}
	stateNames = [...]string{"drained", "flowing", "closed", "open"}
)

// record adds the chains of the moment that the last row shows; mean is the block's mean temperature in K.
//
// The water's part of the drop, from the inlet to the mean along the pass, has two links. What liquid has been warmed
// and what steam has been superheated is "water heating up": more water would stay colder. What lies between the inlet
// and saturation where water boils or has boiled is the "boiling point": it hangs on the pressure, not on the flow.
func (c *chains) record(mean float64) {
	m := c.m
	for pi := range c.passes {
		rec, pass := &m.b.rec.Passes[pi], &c.passes[pi]
		out := Chain{Time: m.t, Pass: rec.Name, Block: mean, State: "fixed fluid"}
		inlet := rec.Fluid
		var w *stream
		if i := pass.circuit; i >= 0 {
			w = m.streams[i]
			out.State, inlet, out.Filling = stateNames[w.state], w.inletT, m.rec.fills(i)
		}
		// Means along the pass, by length: a link's drop is then its resistance times the heat, where the
		// resistance is even along the pass.
		var sum [linkCount]float64
		var q, length, fluid float64
		for k, i := range pass.slices {
			s := &m.tubes.slices[i]
			if s.u == 0 {
				continue
			}
			T, boiling := s.mean-s.heat/s.u, 0.0
			if w != nil && w.state == duty.Flowing {
				j := pass.order[k]
				T = w.mean(m.tubes, j)
				if iso := w.at[j]; w.middle(j) >= iso.HLiquid {
					boiling = math.Min(T, iso.Saturation) - inlet
				}
			}
			q += s.heat
			length += s.length
			fluid += s.length * T
			sum[inBlock] += s.length * (mean - s.mean)
			if s.line > 0 {
				sum[inSpreading] += s.length * (s.mean - T)
			} else {
				sum[inSpreading] += s.length * s.heat * s.ahead()
				sum[inContact] += s.length * s.heat * s.contact
				sum[inWall] += s.length * s.heat * s.wall
				sum[inFilm] += s.length * (s.inside() - T)
			}
			sum[inHeating] += s.length * (T - inlet - boiling)
			sum[inBoiling] += s.length * boiling
		}
		out.Heat = q
		if math.Abs(q) > 1e-9 {
			out.Water = fluid / length
			all := out.Block - inlet
			out.Links = c.links(linkCount)
			for i, d := range sum {
				d /= length
				l := Link{Name: linkNames[i], Resistance: d / q, Gain: math.NaN()}
				if all != 0 {
					l.Share = d / all
				}
				out.Links[i] = l
			}
		}
		c.list = append(c.list, out)
	}
}
