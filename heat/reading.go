package heat

import (
	"math"

	"emberbank/kernel"
	"emberbank/material"
)

// reading turns enthalpies into temperatures for one medium. The arc of the curve in which the cell before lay
// is tried first, since neighbours are often alike; within it the piece is found without a search.
//
// The loops here and the kernel's compute the same, each product rounded before it is added to: cells of one enthalpy
// have one temperature, to the last bit, whichever loop reads them.
type reading struct {
	arcs  []kernel.Arc
	curve *kernel.Curve // of the arcs; nil where they are too many for it
}

// sameLine is how alike, as a share, the slopes of two straight arcs are that are read as one.
const sameLine = 1e-12

func newReading(e *material.Enthalpy) reading {
	var r reading
	for _, s := range e.Stretches {
		q := kernel.Arc{From: s.From, To: s.To, Inv: s.Inv}
		for i := s.First; i < s.First+s.N; i++ {
			q.Nodes = append(q.Nodes, kernel.Node{T: e.T[i], DT: e.T[i+1] - e.T[i]})
		}
		if n := len(r.arcs); n > 0 && len(q.Nodes) == 1 && len(r.arcs[n-1].Nodes) == 1 {
			// A corner that is none: a medium of constant heat capacity has knots at some round temperatures.
			o := &r.arcs[n-1]
			a, b := o.Nodes[0].DT*o.Inv, q.Nodes[0].DT*q.Inv
			if math.Abs(a-b) <= sameLine*a {
				o.To, o.Nodes[0].DT = q.To, q.Nodes[0].T+q.Nodes[0].DT-o.Nodes[0].T
				o.Inv = 1 / (o.To - o.From)
				continue
			}
		}
		r.arcs = append(r.arcs, q)
	}
	if len(r.arcs) <= kernel.MostArcs {
		r.curve = kernel.Join(r.arcs...)
	}
	return r
}

// along returns the temperature at h; where h is not on the arc the outermost pieces go on.
func along(from, inv float64, nodes []kernel.Node, h float64) float64 {
	x := float64((h - from) * inv)
	i := uint(int(x))
	if i >= uint(len(nodes)) { // beside the arc, or rounded so at its end
		if i = 0; x > 0 {
			i = uint(len(nodes) - 1)
		}
	}
	n := &nodes[i]
	return n.T + float64((x-float64(int(i)))*n.DT)
}

func (r *reading) find(h float64) int32 {
	i := len(r.arcs) - 1
	for i > 0 && h < r.arcs[i].From {
		i--
	}
	return int32(i)
}

// at returns the temperature at h.
func (r *reading) at(h float64) float64 {
	i := r.find(h)
	if r.lines() {
		return r.curve.C[i] + float64(r.curve.S[i]*h)
	}
	s := &r.arcs[i]
	return along(s.From, s.Inv, s.Nodes, h)
}

// few is the number of cells from which on a call of the kernel's vector loop is faster than the loop here, by
// measurement: at 8 cells by a quarter or more, at 6 by nothing.
const few = 8

// readSum fills out with the temperatures of the enthalpies a + b. It tries the arc hint first and returns the one that
// was read last. Layers are often thinner than few: their loop stands here, free of calls and of what it does not need.
func (r *reading) readSum(loops *kernel.Set, out, a, b []float64, hint int32) int32 {
	if len(a) >= few && r.curve != nil {
		return r.readLong(loops, out, a, b, hint)
	}
	if r.lines() {
		return r.readLines(out, a, b, hint)
	}
	out, b = out[:len(a)], b[:len(a)]
	s := &r.arcs[hint]
	from, to, inv, nodes := s.From, s.To, s.Inv, s.Nodes
	for c := range a {
		h := a[c] + b[c]
		if !(h >= from && h < to) {
			hint = r.find(h)
			s = &r.arcs[hint]
			from, to, inv, nodes = s.From, s.To, s.Inv, s.Nodes
		}
		out[c] = along(from, inv, nodes, h)
	}
	return hint
}

// lines tells whether every arc is straight.
func (r *reading) lines() bool { return r.curve != nil && r.curve.Straight }

// readLines is readSum where every arc is straight.
func (r *reading) readLines(out, a, b []float64, hint int32) int32 {
	out, b = out[:len(a)], b[:len(a)]
	q := r.curve
	from, to := q.From[hint], q.From[hint+1]
	start, slope := q.C[hint], q.S[hint]
	for c := range a {
		h := a[c] + b[c]
		if !(h >= from && h < to) {
			hint = r.find(h)
			from, to = q.From[hint], q.From[hint+1]
			start, slope = q.C[hint], q.S[hint]
		}
		out[c] = start + float64(slope*h)
	}
	return hint
}

// readLong is readSum by the kernel's loop. Over a cell beside the curve, and some after it, goes the loop for short
// stretches.
func (r *reading) readLong(loops *kernel.Set, out, a, b []float64, hint int32) int32 {
	for len(a) >= few {
		on := loops.Read(out, a, b, r.curve)
		if on == len(a) {
			return hint
		}
		to := min(on+few-1, len(a))
		hint = r.readSum(loops, out[on:to], a[on:to], b[on:to], hint)
		out, a, b = out[to:], a[to:], b[to:]
	}
	return r.readSum(loops, out, a, b, hint)
}

// line returns the straight line T = c + slope·h that the curve is between two enthalpies, if it is one.
func (r *reading) line(low, high float64) (c, slope float64, ok bool) {
	i := r.find(low)
	q := &r.arcs[i]
	if r.find(high) != i || len(q.Nodes) > 1 {
		return 0, 0, false
	}
	slope = q.Inv * q.Nodes[0].DT
	return q.Nodes[0].T - q.From*slope, slope, true
}

// straight tells whether the whole curve is one straight line.
func (r *reading) straight() bool { return len(r.arcs) == 1 && len(r.arcs[0].Nodes) == 1 }

// slopes sets dT/dh at the enthalpies y + ahead·rate.
func (r *reading) slopes(out []float32, y, rate []float64, ahead float64) {
	y, rate = y[:len(out)], rate[:len(out)]
	s := &r.arcs[0]
	for c := range out {
		h := y[c] + ahead*rate[c]
		if !(h >= s.From && h < s.To) {
			s = &r.arcs[r.find(h)]
		}
		i := max(0, min(len(s.Nodes)-1, int((h-s.From)*s.Inv)))
		out[c] = float32(s.Nodes[i].DT * s.Inv)
	}
}
