package heat

import "emberbank/material"

// reading turns enthalpies into temperatures for one medium: the curve's knots with the slope of each piece, so
// that no division is left, and a walk from the piece of the cell before, since neighbours are alike.
type reading struct {
	h, t, s []float64 // J/kg, K, K kg/J; s[i] from knot i to i+1
}

func newReading(e *material.Enthalpy) reading {
	r := reading{h: e.H, t: e.T, s: make([]float64, len(e.H)-1)}
	for i := range r.s {
		r.s[i] = (e.T[i+1] - e.T[i]) / (e.H[i+1] - e.H[i])
	}
	return r
}

// read fills out with the temperatures of the enthalpies in; below and above the knots the outer pieces go on.
func (r *reading) read(out, in []float64) {
	h, t, s := r.h, r.t, r.s
	last := len(s) - 1
	i := last / 2
	out = out[:len(in)]
	for c, x := range in {
		for i > 0 && x < h[i] {
			if x < h[i/2] {
				i /= 2
			} else {
				i--
			}
		}
		for i < last && x >= h[i+1] {
			if j := (i + last + 1) / 2; j > i+1 && x >= h[j] {
				i = j
			} else {
				i++
			}
		}
		out[c] = t[i] + (x-h[i])*s[i]
	}
}
