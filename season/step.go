package season

import "math"

// The step is the L-stable singly diagonally implicit Runge–Kutta method of second order: with γ = 1 − 1/√2,
//
//	H1 = H0 + γ τ f(H1)
//	H' = H0 + (1 − γ) τ f(H1) + γ τ f(H')
//
// Source: R. Alexander, Diagonally implicit Runge-Kutta methods for stiff O.D.E.'s, SIAM J. Numer. Anal. 14 (1977) 1006.
// The books are kept with the same weights, and H' is set by the flows that they are kept with, so that they close.
var gamma = 1 - 1/math.Sqrt2

// closeEnough is the residual in J per node at which Newton's method ends.
const closeEnough = 0.5

// step carries the state over tau (s) with what was prepared; it tells whether Newton's method found both stages. After a
// failure the state is as before.
func (w *walker) step(tau float64, H0, H1 []float64) bool {
	copy(H0, w.H)
	if !w.stage(H0, gamma*tau) {
		copy(w.H, H0)
		w.read()
		return false
	}
	w.sums.clear()
	w.sums.add(&w.now, (1-gamma)*tau)
	for n := range H1 {
		H1[n] = H0[n] + (1-gamma)*tau*w.f[n]
	}
	if !w.stage(H1, gamma*tau) {
		copy(w.H, H0)
		w.read()
		return false
	}
	w.sums.add(&w.now, gamma*tau)
	for n := range w.H {
		w.H[n] = H1[n] + gamma*tau*w.f[n]
	}
	w.read()
	return true
}

// stage solves H = from + s f(H) by Newton's method from the present H on.
func (w *walker) stage(from []float64, s float64) bool {
	for range 40 {
		w.evaluate()
		worst := 0.0
		for n := range w.H {
			w.rhs[n] = from[n] + s*w.f[n] - w.H[n]
			worst = math.Max(worst, math.Abs(w.rhs[n]))
		}
		if worst < closeEnough {
			return true
		}
		for i := range w.A {
			for j := range w.A[i] {
				w.A[i][j] = -s * w.J[i][j] * w.slope[j]
			}
			w.A[i][i]++
		}
		if !solve(w.A, w.rhs) {
			return false
		}
		for n, d := range w.rhs {
			w.H[n] += d
		}
		w.read()
	}
	return false
}

// solve replaces b by the solution of A x = b, by elimination with pivots on the diagonal: A is dominated by it. A is spent. It goes
// from the last node to the first, since pane and shells are joined to few others: little fills in.
func solve(A [][]float64, b []float64) bool {
	n := len(b)
	for k := n - 1; k >= 0; k-- {
		p := A[k][k]
		if math.Abs(p) < 1e-12 || p != p {
			return false
		}
		for i := range k {
			f := A[i][k] / p
			if f == 0 {
				continue
			}
			for j := range k {
				A[i][j] -= f * A[k][j]
			}
			b[i] -= f * b[k]
		}
	}
	for k := range n {
		x := b[k]
		for j := range k {
			x -= A[k][j] * b[j]
		}
		b[k] = x / A[k][k]
	}
	return true
}
