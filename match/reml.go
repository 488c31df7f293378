package match

import "math"

// The sizes and times φ of Noise and the parameters x have one objective, the negative logarithm of the likelihood of φ
// with the parameters integrated out after Laplace,
//
//	R(φ, x) = ½ ln|Σ| + ½ rᵀ Σ⁻¹ r + ½ Σ ((x_j − m_j)/s_j)² + ½ ln|JᵀΣ⁻¹J + B| + ½ Σ ((ln φ_k − g_k)/w_k)²
//
// with r the differences at x, J their derivatives, Σ(φ) their covariance, the priors of parameters as further rows of
// r and J. Where the run is linear in the parameters and x is best for φ, R is the restricted likelihood of Patterson and
// Thompson: the determinant of JᵀΣ⁻¹J is what keeps sizes from being found too small because parameters were fitted. B is
// diagonal, 12/(upper − lower)², the precision of an even spread over the bounds: without it R would fall without end
// where a parameter ceases to act, and such places would win. The last sum is a weak prior on each size: its logarithm is
// normal around that of a guess with a standard deviation of 1.5 (white noise: 0.5 around what is stated), and so is
// that of a time around a share of the trial's length; that keeps a size that a few rows can hardly tell from running to
// zero, which would make intervals too narrow. The guesses and B are our own practice.
//
// Source: H. D. Patterson, R. Thompson, "Recovery of inter-block information when block sizes are unequal",
// Biometrika 58 (1971) 545-554; the integral over parameters that do not act linearly: L. Tierney, J. B. Kadane, "Accurate
// approximations for posterior moments and marginal densities", J. Amer. Stat. Assoc. 81 (1986) 82-86 (both from memory).

// knob is one size or time of the noise, by its logarithm.
type knob struct {
	at             *float64
	guess, wide    float64 // of the logarithm
	lowest, highst float64 // of the logarithm
}

// knobs lists what may be turned, in a fixed order.
func knobs(groups []*group) []knob {
	var out []knob
	add := func(at *float64, guess, wide, lowest, highest float64) {
		out = append(out, knob{at, math.Log(guess), wide, math.Log(lowest), math.Log(highest)})
	}
	for _, g := range groups {
		n := &g.noise
		for i := range n.White {
			w, d := g.stated[i], g.guess(i)
			add(&n.White[i], w, 0.5, w*0.1, w*10)
			add(&n.Lasting[i], max(w, 0.3*d), 1.5, w*1e-2, w*1e2)
			add(&n.Slow[i], d, 1.5, d*1e-2, d*1e2)
		}
		add(&n.Time, max(0.03*g.length, 2*g.step), 1, g.step, g.length)
		add(&n.SlowTime, 0.4*g.length, 0.7, 0.05*g.length, 4*g.length)
		if len(n.White) > 1 {
			c := 0.0
			for i := range n.White {
				c += g.guess(i) / float64(len(n.White))
			}
			add(&n.Common, c, 1.5, c*1e-2, c*1e2)
		}
	}
	return out
}

// guess is the departure of a column before anything is known: its stated noise, but at least a three-hundredth of
// what it spans, since no model is better than that for long.
func (g *group) guess(i int) float64 { return max(g.stated[i], g.span[i]/300) }

// begin sets the noise to the guesses.
func (g *group) begin() {
	m := len(g.columns)
	g.noise = Noise{White: make([]float64, m), Lasting: make([]float64, m), Slow: make([]float64, m)}
	for _, k := range knobs([]*group{g}) {
		*k.at = math.Exp(k.guess)
	}
}
