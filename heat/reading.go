package heat

import "emberbank/material"

// reading turns enthalpies into temperatures for one medium. The arc of the curve in which the cell before lay
// is tried first, since neighbours are often alike; within it the piece is found without a search.
type reading struct {
	arcs []arc
}

// arc is a part of the curve with pieces at equal steps of enthalpy.
type arc struct {
	from, to, inv float64 // J/kg, J/kg, pieces per J/kg
	nodes         []node
}

// node is a piece's temperature at its start and its rise over the piece, in K.
type node struct{ T, dT float64 }

func newReading(e *material.Enthalpy) reading {
	var r reading
	for _, s := range e.Stretches {
		q := arc{from: s.From, to: s.To, inv: s.Inv}
		for i := s.First; i < s.First+s.N; i++ {
			q.nodes = append(q.nodes, node{e.T[i], e.T[i+1] - e.T[i]})
		}
		r.arcs = append(r.arcs, q)
	}
	return r
}

// read fills out with the temperatures of the enthalpies in. It tries the arc hint first and returns the one that
// was read last.
func (r *reading) read(out, in []float64, hint int32) int32 {
	out = out[:len(in)]
	s := &r.arcs[hint]
	from, to, inv, nodes := s.from, s.to, s.inv, s.nodes
	for c, h := range in {
		if !(h >= from && h < to) {
			hint = r.find(h)
			s = &r.arcs[hint]
			from, to, inv, nodes = s.from, s.to, s.inv, s.nodes
		}
		x := (h - from) * inv
		i := uint(int(x))
		if i >= uint(len(nodes)) { // beyond the ends the outermost pieces go on; so does rounding at an arc's end
			if i = 0; x > 0 {
				i = uint(len(nodes) - 1)
			}
		}
		n := &nodes[i]
		out[c] = n.T + (x-float64(int(i)))*n.dT
	}
	return hint
}

func (r *reading) find(h float64) int32 {
	i := len(r.arcs) - 1
	for i > 0 && h < r.arcs[i].from {
		i--
	}
	return int32(i)
}

// readSum is read for the sums of a and b.
func (r *reading) readSum(out, a, b []float64, hint int32) int32 {
	out, b = out[:len(a)], b[:len(a)]
	s := &r.arcs[hint]
	from, to, inv, nodes := s.from, s.to, s.inv, s.nodes
	for c := range a {
		h := a[c] + b[c]
		if !(h >= from && h < to) {
			hint = r.find(h)
			s = &r.arcs[hint]
			from, to, inv, nodes = s.from, s.to, s.inv, s.nodes
		}
		x := (h - from) * inv
		i := uint(int(x))
		if i >= uint(len(nodes)) {
			if i = 0; x > 0 {
				i = uint(len(nodes) - 1)
			}
		}
		n := &nodes[i]
		out[c] = n.T + (x-float64(int(i)))*n.dT
	}
	return hint
}
