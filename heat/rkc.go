package heat

import "math"

// stages holds the coefficients of one step of the second-order Runge–Kutta–Chebyshev scheme: s evaluations
// reach a stability interval of about 0.54 s² along the negative real axis.
//
// Source: Sommeijer, Shampine & Verwer, "RKC: An explicit solver for parabolic PDEs", J. Comput. Appl. Math. 88
// (1998) 315-326, Eqs. 2.1-2.6, but with damping ε = 2 in place of 2/13, and b0 = 1 and b1 = 1/w0, which are free there and which
// Verwer & Sommeijer, SIAM J. Sci. Comput. 25 (2004) 1824, choose so that each stage's implicit part has the weight of
// the first (see thin).
type stages struct {
	s                   int
	mu, nu, muT, gammaT []float64 // from index 2; muT[1] for the first stage
	c                   []float64 // times of the stages as fractions of the step
	t, d, dd, b         []float64 // Chebyshev polynomials at w0, their derivatives, and the stages' scales
}

// damping is ε, and perStage the step that s stages reach, as (s² - 1)/perStage over the spectral radius. What decays fast
// is left after a step by up to 0.60 of itself; with the 2/13 of the paper by 0.95, at a step longer by 0.22. There
// what melting stirs up from cell to cell lives on for many steps, and the error's estimate, to which it looks like an
// error, shortens them: see docs/decisions/0006.
const (
	damping  = 2
	perStage = 1.87
)

// stageCount returns the number of stages that a step tau needs for the spectral radius rho in 1/s.
func stageCount(tau, rho float64) int {
	return max(2, 1+int(math.Sqrt(perStage*tau*rho+1)))
}

// longest returns the longest stable step of s stages for the spectral radius rho, in s.
func longest(s int, rho float64) float64 { return (float64(s*s) - 1) / perStage / rho }

// newStages makes room for up to mostStages stages.
func newStages() *stages {
	k := &stages{}
	for _, v := range []*[]float64{&k.mu, &k.nu, &k.muT, &k.gammaT, &k.c, &k.t, &k.d, &k.dd, &k.b} {
		*v = make([]float64, mostStages+2)
	}
	return k
}

// set computes the coefficients for s stages, 2 to mostStages.
func (k *stages) set(s int) {
	if k.s == s {
		return
	}
	k.s = s
	w0 := 1 + damping/float64(s*s)
	// Chebyshev polynomials and their first two derivatives at w0.
	t, d, dd := k.t, k.d, k.dd
	t[0], t[1], d[0], d[1], dd[0], dd[1] = 1, w0, 0, 1, 0, 0
	for j := 2; j <= s; j++ {
		t[j] = 2*w0*t[j-1] - t[j-2]
		d[j] = 2*t[j-1] + 2*w0*d[j-1] - d[j-2]
		dd[j] = 4*d[j-1] + 2*w0*dd[j-1] - dd[j-2]
	}
	w1 := d[s] / dd[s]
	b := k.b
	for j := 2; j <= s; j++ {
		b[j] = dd[j] / (d[j] * d[j])
	}
	b[0], b[1] = 1, 1/w0
	k.muT[1] = b[1] * w1
	for j := 2; j <= s; j++ {
		k.mu[j] = 2 * b[j] * w0 / b[j-1]
		k.nu[j] = -b[j] / b[j-2]
		k.muT[j] = 2 * b[j] * w1 / b[j-1]
		k.gammaT[j] = -(1 - b[j-1]*t[j-1]) * k.muT[j]
		k.c[j] = w1 * dd[j] / d[j]
	}
	k.c[1] = k.muT[1]
}
