package block

import (
	"math"
)

// steady is a test's own steady conduction on a grid: unit conductivity along each direction as given, bores at
// temperature 1, the chosen outer sides at 0 through the half cell, all else adiabatic.
type steady struct {
	g     *Grid
	k     [3]float64
	bores []*Bore
	cold  [6]bool
}

// flows solves by conjugate gradients and returns each bore's heat flow in W.
func (s *steady) flows() []float64 {
	g := s.g
	n := g.Cells()
	gone := make([]bool, n)
	for _, b := range s.bores {
		for _, c := range b.Removed {
			gone[c] = true
		}
	}
	type pair struct {
		p, q int
		g    float64
	}
	var pairs []pair
	diag, rhs := make([]float64, n), make([]float64, n)
	for c := 0; c < n; c++ {
		if gone[c] {
			diag[c] = 1
			continue
		}
		var at [3]int
		at[0], at[1], at[2] = g.Place(c)
		for a := Depth; a <= Height; a++ {
			u, v := across(a)
			area := g.Size(u, at[u]) * g.Size(v, at[v]) * s.k[a]
			w := g.Size(a, at[a])
			if at[a]+1 < g.N(a) {
				to := at
				to[a]++
				q := g.Index(to[0], to[1], to[2])
				if !gone[q] {
					pairs = append(pairs, pair{c, q, area / (g.Centre(a, at[a]+1) - g.Centre(a, at[a]))})
				}
			} else if s.cold[2*a+1] {
				diag[c] += 2 * area / w
			}
			if at[a] == 0 && s.cold[2*a] {
				diag[c] += 2 * area / w
			}
		}
	}
	for _, p := range pairs {
		diag[p.p] += p.g
		diag[p.q] += p.g
	}
	mean := func(a Axis) float64 { u, v := across(a); return math.Sqrt(s.k[u] * s.k[v]) }
	for _, b := range s.bores {
		for _, y := range b.Slices {
			for _, k := range y.Links {
				diag[k.Cell] += k.Shape * mean(b.Axis)
				rhs[k.Cell] += k.Shape * mean(b.Axis)
			}
		}
	}
	apply := func(x, y []float64) {
		for c := range y {
			y[c] = diag[c] * x[c]
		}
		for _, p := range pairs {
			y[p.p] -= p.g * x[p.q]
			y[p.q] -= p.g * x[p.p]
		}
	}
	dot := func(a, b []float64) (d float64) {
		for i := range a {
			d += a[i] * b[i]
		}
		return d
	}
	x, r, z, d, q := make([]float64, n), append([]float64(nil), rhs...), make([]float64, n), make([]float64, n), make([]float64, n)
	old := 0.0
	start := dot(r, r)
	for it := 0; it < 20000 && dot(r, r) > 1e-22*start; it++ {
		for c := range z {
			z[c] = r[c] / diag[c]
		}
		now := dot(r, z)
		beta := 0.0
		if it > 0 {
			beta = now / old
		}
		for c := range d {
			d[c] = z[c] + beta*d[c]
		}
		apply(d, q)
		alpha := now / dot(d, q)
		for c := range x {
			x[c] += alpha * d[c]
			r[c] -= alpha * q[c]
		}
		old = now
	}
	out := make([]float64, len(s.bores))
	for n, b := range s.bores {
		for _, y := range b.Slices {
			for _, k := range y.Links {
				out[n] += k.Shape * mean(b.Axis) * (1 - x[k.Cell])
			}
		}
	}
	return out
}
