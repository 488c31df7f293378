package duty

import (
	"math"
	"slices"
)

// Load is what somebody wants of the water over time. It opens circuits one by one and sets their flows, so that together
// they give what is wanted.
type Load struct {
	Wanted   Signal // W of heat carried by the water; or kg/s of vapour, where Steam is set
	Steam    bool
	Circuits []int   // opened one by one in this order as long as those that are open cannot give what is wanted, shut in reverse
	Min, Max float64 // kg/s, least and greatest flow of each circuit that is open
	// Serves is the temperature in K below which what leaves a circuit is of no use: its flow is kept so small that it leaves
	// no colder. 0: heat at any temperature counts. Where steam is wanted it does not count: steam is as hot as it is.
	Serves float64
	// Band is the share of what is wanted that the circuits that stay open must be able to give beyond it before one is shut.
	Band float64
	Rest float64    // s, least time between two changes of how many are open, but for more after more
	Shut WaterState // of a circuit that the load has shut
}

// The values of a load where it says nothing.
const (
	DefaultBand = 0.1
	DefaultRest = 300 // s
)

// Opening is how many of a load's circuits are open, counted in its order, and since when.
type Opening struct {
	Open int
	Up   float64 // s, when one was opened last
	Down float64 // s, when one was shut last for want of need
}

// NothingOpen is an opening at which a load may begin.
func NothingOpen() Opening { return Opening{Up: math.Inf(-1), Down: math.Inf(-1)} }

// Next returns how many circuits are to be open from time t (s) on. Wanted is what is asked for now, most what each circuit
// could give now, in the load's order, both in W or kg/s; at or below zero, or NaN, a circuit can give nothing.
//
// Circuits are opened until those that are open can give what is wanted, or all that can give anything are open. They are
// shut when fewer can give it and a share Band more. A change must wait until Rest has gone by since the last one; only
// more may follow at once after more. Where none can give anything all are shut at once, without a wait. Nothing wanted shuts
// all at once, and what was shut so may open at once again.
func (l *Load) Next(o Opening, t, wanted float64, most []float64) Opening {
	if !(wanted > 0) {
		return NothingOpen()
	}
	up, down := need(wanted, most), need(wanted*(1+l.Band), most)
	rest := l.Rest * (1 - 1e-12)
	switch {
	case down == 0: // none can give anything
		if o.Open > 0 {
			return Opening{Up: o.Up, Down: t}
		}
	case up > o.Open && t-o.Down >= rest:
		return Opening{Open: up, Up: t, Down: o.Down}
	case down < o.Open && t-max(o.Up, o.Down) >= rest:
		return Opening{Open: down, Up: o.Up, Down: t}
	}
	return o
}

// need returns the least number of circuits, in order, that can give so much together, or else how many there are up to the
// last that can give anything.
func need(wanted float64, most []float64) int {
	sum, last := 0.0, 0
	for i, x := range most {
		if x > 0 {
			sum += x
			last = i + 1
		}
		if sum >= wanted {
			return last
		}
	}
	return last
}

// Waits returns until when, in s, an opening must wait for its next change; before it Next changes nothing but to shut all.
func (l *Load) Waits(o Opening) float64 { return max(o.Up, o.Down) + l.Rest }

// keepCircuits renumbers a load's circuits, and leaves out those that are no more; nil where none is left.
func (l *Load) keepCircuits(to []int) *Load {
	if l == nil {
		return nil
	}
	kept := *l
	kept.Circuits = moved(slices.Clone(l.Circuits), to)
	if len(kept.Circuits) == 0 {
		return nil
	}
	return &kept
}
