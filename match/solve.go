package match

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// solve returns the step within the region for the free parameters, zero for the others, and the fall of F that it
// foretells. A parameter that the step would carry beyond a bound goes to the bound, and the others are solved again.
func (s *search) solve(free []int) (p []float64, foretold float64) {
	p = make([]float64, len(s.x))
	held := map[int]bool{}
	rest := append([]float64(nil), s.w...) // differences left after the moves to bounds
	for {
		var move []int
		for _, j := range free {
			if !held[j] {
				move = append(move, j)
			}
		}
		if len(move) == 0 {
			break
		}
		q := s.within(move, rest)
		hit := false
		for k, j := range move {
			lo, hi := s.bounds(j)
			to := s.x[j] + q[k]
			if to < lo || to > hi {
				p[j] = min(max(to, lo), hi) - s.x[j]
				held[j], hit = true, true
				for i := range rest {
					rest[i] += s.cols[j][i] * p[j]
				}
			}
		}
		if !hit {
			for k, j := range move {
				p[j] = q[k]
			}
			break
		}
	}
	after := append([]float64(nil), s.w...)
	for j, v := range p {
		if v == 0 {
			continue
		}
		for i := range after {
			after[i] += s.cols[j][i] * v
		}
	}
	return p, s.cost - half(after)
}

// within minimises |r + J q| over the given columns, |D q| ≤ Δ.
func (s *search) within(move []int, r []float64) []float64 {
	n := len(move)
	a := mat.NewDense(max(len(r), n), n, nil) // rows of zeros change nothing
	for k, j := range move {
		for i := range r {
			a.Set(i, k, s.cols[j][i]/s.d[j])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		return make([]float64, n)
	}
	sigma := svd.Values(nil)
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	b := make([]float64, n) // −Uᵀ r
	for k := range n {
		for i := range r {
			b[k] -= u.At(i, k) * r[i]
		}
	}
	lambda := damping(sigma, b, s.delta)
	q := make([]float64, n)
	for k := range n {
		z := 0.0
		if den := sigma[k]*sigma[k] + lambda; den > 0 && sigma[k] > 0x1p-50*sigma[0] {
			z = sigma[k] * b[k] / den
		}
		for i := range n {
			q[i] += v.At(i, k) * z
		}
	}
	for i, j := range move {
		q[i] /= s.d[j]
	}
	return q
}

// damping returns the λ ≥ 0 at which the step has the length Δ to within a tenth, 0 where the whole step is shorter.
// With φ(λ) = |z(λ)| − Δ, z_k = σ_k b_k/(σ_k² + λ), the iteration is Newton's on 1/|z|, kept within falling bounds.
func damping(sigma, b []float64, delta float64) float64 {
	length := func(lambda float64) (z, slope float64) {
		for k, s := range sigma {
			den := s*s + lambda
			if den <= 0 || s <= 0x1p-50*sigma[0] {
				continue
			}
			c := s * b[k] / den
			z += c * c
			slope -= c * c / den
		}
		z = math.Sqrt(z)
		if z > 0 {
			slope /= z
		}
		return z, slope
	}
	z, slope := length(0)
	if z <= 1.1*delta {
		return 0
	}
	g := 0.0
	for k, s := range sigma {
		g += s * b[k] * s * b[k]
	}
	lo, hi := 0.0, math.Sqrt(g)/delta
	lambda := 0.0
	for range 60 {
		if math.Abs(z-delta) <= 0.1*delta {
			break
		}
		if z > delta {
			lo = lambda
		} else {
			hi = lambda
		}
		next := lambda - (z/delta)*(z-delta)/slope
		if !(next > lo && next < hi) {
			next = max(0.001*hi, math.Sqrt(lo*hi))
		}
		lambda = next
		z, slope = length(lambda)
	}
	return lambda
}
