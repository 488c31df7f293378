package water

import "math"

// Region 5 is steam from 1073.15 K to 2273.15 K, up to 50 MPa.

// region5Ideal are exponents and coefficients of the ideal-gas part of region 5.
// Source: IAPWS R7-97(2012), Table 37.
var region5Ideal = [6]idealTerm{
	{0, -0.13179983674201e2},
	{1, 0.68540841634434e1},
	{-3, -0.24805148933466e-1},
	{-2, 0.36901534980333},
	{-1, -0.31161318213925e1},
	{2, -0.32961626538917},
}

// region5Residual are the coefficients of the residual part of region 5.
// Source: IAPWS R7-97(2012), Table 38.
var region5Residual = [6]term{
	{1, 1, 0.15736404855259e-2},
	{1, 2, 0.90153761673944e-3},
	{1, 3, -0.50270077677648e-2},
	{2, 3, 0.22440037409485e-5},
	{2, 9, -0.41163275453471e-5},
	{3, 7, 0.37919454822955e-7},
}

// region5 evaluates the basic equation of region 5 at p in Pa and T in K:
//
//	g/(R T) = γ = ln π + Σ n τ^J + Σ n π^I τ^J,  π = p/1 MPa,  τ = 1000 K/T
//
// Source: IAPWS R7-97(2012), eq. 32 to 34 and Tables 37 to 41.
func region5(p, T float64) phase {
	const pStar, tStar = 1e6, 1000.0
	x, tau := p/pStar, tStar/T
	invX, invTau := 1/x, 1/tau
	g := gibbs{g: math.Log(x), gp: invX, gpp: -invX * invX}
	for _, c := range region5Ideal {
		a := c.n * signedPower(tau, invTau, c.j)
		j := float64(c.j)
		ay := a * j * invTau
		g.g += a
		g.gt += ay
		g.gtt += ay * (j - 1) * invTau
	}
	for _, c := range region5Residual {
		a := c.n * intPower(x, c.i) * intPower(tau, c.j)
		i, j := float64(c.i), float64(c.j)
		ax, ay := a*i*invX, a*j*invTau
		g.g += a
		g.gp += ax
		g.gpp += ax * (i - 1) * invX
		g.gt += ay
		g.gtt += ay * (j - 1) * invTau
		g.gpt += ax * j * invTau
	}
	return g.phase(p, T, pStar, tStar)
}
