package water

import "math"

// gasConstant is the specific gas constant of IF97, in J/(kg K).
// Source: IAPWS R7-97(2012), eq. 1.
const gasConstant = 461.526

// gibbs holds γ = g/(R T) and its derivatives by π = p/p* and τ = T*/T.
type gibbs struct {
	g, gp, gpp, gt, gtt, gpt float64
}

// phase is a state of one phase.
type phase struct {
	v        float64 // m³/kg
	h, u     float64 // J/kg
	s        float64 // J/(kg K)
	cp, cv   float64 // J/(kg K)
	w        float64 // m/s, speed of sound
	drhodp   float64 // kg/(m³ Pa), at constant temperature
	dvdT     float64 // m³/(kg K), at constant pressure
	pressure float64 // Pa
	T        float64 // K
}

// phase returns the state that follows from the Gibbs energy.
// Source: IAPWS R7-97(2012), Tables 3 and 12, here for the whole of γ in both regions.
func (g gibbs) phase(p, T, pStar, tStar float64) phase {
	tau := tStar / T
	rt := gasConstant * T
	cross := g.gp - tau*g.gpt
	return phase{
		pressure: p,
		T:        T,
		v:        rt * g.gp / pStar,
		h:        rt * tau * g.gt,
		u:        rt * (tau*g.gt - p/pStar*g.gp),
		s:        gasConstant * (tau*g.gt - g.g),
		cp:       -gasConstant * tau * tau * g.gtt,
		cv:       gasConstant * (-tau*tau*g.gtt + cross*cross/g.gpp),
		w:        math.Sqrt(rt * g.gp * g.gp / (cross*cross/(tau*tau*g.gtt) - g.gpp)),
		drhodp:   -g.gpp / (g.gp * g.gp * rt),
		dvdT:     gasConstant / pStar * cross,
	}
}

// intPower returns x^n for n >= 0 by repeated squaring: many times faster than math.Pow.
func intPower(x float64, n int) float64 {
	r := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			r *= x
		}
		x *= x
	}
	return r
}

// signedPower returns x^n for any whole n, given x and 1/x.
func signedPower(x, inverse float64, n int) float64 {
	if n < 0 {
		return intPower(inverse, -n)
	}
	return intPower(x, n)
}

// sumPowers returns Σ n x^i y^j.
func sumPowers(terms []term, x, y float64) float64 {
	invX, invY := 1/x, 1/y
	sum := 0.0
	for _, c := range terms {
		sum += c.n * signedPower(x, invX, c.i) * signedPower(y, invY, c.j)
	}
	return sum
}
