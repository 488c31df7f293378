package heat

import (
	"emberbank/kernel"
	"emberbank/material"
)

// reading turns enthalpies into temperatures for one medium. Each piece of the curve carries its slope, so that
// no division is left; the piece of the cell before is tried first, since neighbours are often alike, and a
// table of equal spans of enthalpy leads to the others.
type reading struct {
	pieces []kernel.Piece
	bucket []int32 // first piece to try in each of equal spans of enthalpy
	low    float64 // J/kg where the first span begins
	scale  float64 // spans per J/kg
}

func newReading(e *material.Enthalpy) reading {
	n := len(e.H) - 1
	r := reading{low: e.H[0], bucket: make([]int32, 4*n), pieces: make([]kernel.Piece, n)}
	for i := range r.pieces {
		r.pieces[i] = kernel.Piece{From: e.H[i], To: e.H[i+1], At: e.T[i], Slope: (e.T[i+1] - e.T[i]) / (e.H[i+1] - e.H[i])}
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

// few is the length of a stretch below which the vector loop costs more than it saves.
const few = 8

// read fills out with the temperatures of the enthalpies in. It tries the piece hint first and returns the one that
// was read last.
func (r *reading) read(loops *kernel.Set, out, in []float64, hint int32) int32 {
	out = out[:len(in)]
	p := &r.pieces[hint]
	for c := 0; c < len(in); c++ {
		x := in[c]
		if x >= p.From && x < p.To {
			if rest := len(in) - c; rest >= few {
				if c += loops.Read(out[c:], in[c:], p); c == len(in) {
					break
				}
				x = in[c]
			}
		}
		if x < p.From || x >= p.To {
			hint = r.find(x)
			p = &r.pieces[hint]
		}
		out[c] = p.At + (x-p.From)*p.Slope
	}
	return hint
}

func (r *reading) find(x float64) int32 {
	b := int((x - r.low) * r.scale)
	b = max(0, min(b, len(r.bucket)-1))
	i := int(r.bucket[b])
	for i < len(r.pieces)-1 && x >= r.pieces[i].To {
		i++
	}
	return int32(i)
}
