package balance

import (
	"math"
	"slices"
)

// smoother fits a curve that never falls, as values at equally spaced nodes with straight lines between, to points:
//
//	min Σ wᵢ (yᵢ − g(xᵢ))² + λ Σ (g_{j−1} − 2 g_j + g_{j+1})²   with g_{j+1} ≥ g_j
//
// The condition is held by a heavy penalty on the steps that fall, found by repetition, and what is left is put right
// by pooling neighbours. Source of the form: Eilers and Marx, Statistical Science 11 (1996) 89-121, and Eilers,
// Computational Statistics & Data Analysis 49 (2005) 317-333, for the penalty on falls (both from memory).
type smoother struct {
	low, step float64
	n         int
	cell      []int     // of each point
	f         []float64 // place of each point in its cell, 0..1
	w         []float64
	diagonal  []float64 // of BᵀWB
	beside    []float64
	falls     bool // the curve never rises instead
	room      solverRoom
}

// solverRoom is used again by each fit: a map takes hundreds.
type solverRoom struct {
	a, b, c, g []float64
	right      []float64
	wrong      []bool
	pools      []pool
}

func newSmoother(x, w []float64, low, high float64, nodes int) *smoother {
	s := &smoother{low: low, step: (high - low) / float64(nodes-1), n: nodes, w: w}
	s.diagonal, s.beside = make([]float64, nodes), make([]float64, nodes)
	s.cell, s.f = make([]int, 0, len(x)), make([]float64, 0, len(x))
	s.room = solverRoom{
		a: make([]float64, nodes), b: make([]float64, nodes), c: make([]float64, nodes), g: make([]float64, nodes),
		right: make([]float64, nodes), wrong: make([]bool, nodes), pools: make([]pool, 0, nodes),
	}
	for i, v := range x {
		p := math.Min(math.Max((v-low)/s.step, 0), float64(nodes-1))
		k := min(int(p), nodes-2)
		f := p - float64(k)
		s.cell, s.f = append(s.cell, k), append(s.f, f)
		s.diagonal[k] += w[i] * (1 - f) * (1 - f)
		s.diagonal[k+1] += w[i] * f * f
		s.beside[k] += w[i] * f * (1 - f)
	}
	return s
}

// at reads a fitted curve at point i.
func (s *smoother) at(g []float64, i int) float64 {
	k, f := s.cell[i], s.f[i]
	return (1-f)*g[k] + f*g[k+1]
}

// fit returns the values at the nodes.
func (s *smoother) fit(y []float64, lambda float64) []float64 {
	n := s.n
	right, wrong := s.room.right, s.room.wrong
	clear(right)
	clear(wrong)
	for i, v := range y {
		k, f := s.cell[i], s.f[i]
		right[k] += s.w[i] * (1 - f) * v
		right[k+1] += s.w[i] * f * v
	}
	heavy := 1e6 * (slices.Max(s.diagonal) + lambda)
	var g []float64
	for range 30 {
		g = s.solve(right, lambda, heavy, wrong)
		changed := false
		for j := 0; j+1 < n; j++ {
			d := g[j+1] - g[j]
			if s.falls {
				d = -d
			}
			if now := d < 0; now != wrong[j] {
				wrong[j], changed = now, true
			}
		}
		if !changed {
			break
		}
	}
	return pooled(g, s.falls, s.room.pools)
}

// solve solves the normal equations, five bands wide, by LDLᵀ. What it returns stands until the next call.
func (s *smoother) solve(right []float64, lambda, heavy float64, wrong []bool) []float64 {
	n := s.n
	a, b, c := s.room.a, s.room.b, s.room.c // a[j] = A[j][j], b[j] = A[j][j+1], c[j] = A[j][j+2]
	copy(a, s.diagonal)
	copy(b, s.beside)
	clear(c)
	tiny := 1e-9 * slices.Max(s.diagonal)
	for j := range n {
		a[j] += tiny * tiny / (tiny + 1) // a node without data rests on its neighbours only
	}
	for j := 1; j+1 < n; j++ {
		a[j-1] += lambda
		a[j] += 4 * lambda
		a[j+1] += lambda
		b[j-1] -= 2 * lambda
		b[j] -= 2 * lambda
		c[j-1] += lambda
	}
	for j := 0; j+1 < n; j++ {
		if wrong[j] {
			a[j] += heavy
			a[j+1] += heavy
			b[j] -= heavy
		}
	}
	g := s.room.g
	copy(g, right)
	for j := range n { // elimination downwards
		if j+1 < n {
			m := b[j] / a[j]
			a[j+1] -= m * b[j]
			if j+2 < n {
				b[j+1] -= m * c[j]
			}
			g[j+1] -= m * g[j]
		}
		if j+2 < n {
			m := c[j] / a[j]
			a[j+2] -= m * c[j]
			g[j+2] -= m * g[j]
		}
	}
	for j := n - 1; j >= 0; j-- {
		v := g[j]
		if j+1 < n {
			v -= b[j] * g[j+1]
		}
		if j+2 < n {
			v -= c[j] * g[j+2]
		}
		g[j] = v / a[j]
	}
	return g
}

// pool is neighbours that share their mean.
type pool struct{ sum, n float64 }

// pooled returns the nearest values that never fall (or never rise), by pooling adjacent violators with equal weights; pools is
// room to use.
// Source: Barlow, Bartholomew, Bremner and Brunk, Statistical Inference under Order Restrictions, 1972 (from memory).
func pooled(g []float64, falls bool, pools []pool) []float64 {
	flip := 1.0
	if falls {
		flip = -1
	}
	pools = pools[:0]
	for _, v := range g {
		pools = append(pools, pool{flip * v, 1})
		for k := len(pools) - 1; k > 0 && pools[k].sum/pools[k].n < pools[k-1].sum/pools[k-1].n; k-- {
			pools[k-1].sum += pools[k].sum
			pools[k-1].n += pools[k].n
			pools = pools[:k]
		}
	}
	out := make([]float64, 0, len(g))
	for _, p := range pools {
		for range int(p.n) {
			out = append(out, flip*p.sum/p.n)
		}
	}
	return out
}
