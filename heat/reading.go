package heat

import "emberbank/material"

// reading turns enthalpies into temperatures for one medium. Each piece of the curve carries its slope, so that
// no division is left; the piece of the cell before is tried first, since neighbours are often alike, and a
// table of equal spans of enthalpy leads to the others.
type reading struct {
	pieces []piece
	bucket []int32 // first piece to try in each of equal spans of enthalpy
	low    float64 // J/kg where the first span begins
	scale  float64 // spans per J/kg
}

// piece is T = t + (h - from) s between from and to; the outer pieces go on beyond.
type piece struct{ from, to, t, s float64 }

func newReading(e *material.Enthalpy) reading {
	n := len(e.H) - 1
	r := reading{low: e.H[0], bucket: make([]int32, 4*n), pieces: make([]piece, n)}
	for i := range r.pieces {
		r.pieces[i] = piece{e.H[i], e.H[i+1], e.T[i], (e.T[i+1] - e.T[i]) / (e.H[i+1] - e.H[i])}
	}
	r.scale = float64(len(r.bucket)) / (e.H[n] - e.H[0])
	i := 0
	for b := range r.bucket {
		for h := r.low + float64(b)/r.scale; i < n-1 && e.H[i+1] <= h; {
			i++
		}
		r.bucket[b] = int32(max(0, i-1)) // one before: the division above may round either way
	}
	return r
}

// read fills out with the temperatures of the enthalpies in.
func (r *reading) read(out, in []float64) {
	out = out[:len(in)]
	p := &r.pieces[0]
	for c, x := range in {
		if x < p.from || x >= p.to {
			p = r.find(x)
		}
		out[c] = p.t + (x-p.from)*p.s
	}
}

func (r *reading) find(x float64) *piece {
	b := int((x - r.low) * r.scale)
	b = max(0, min(b, len(r.bucket)-1))
	i := int(r.bucket[b])
	for i < len(r.pieces)-1 && x >= r.pieces[i].to {
		i++
	}
	return &r.pieces[i]
}
