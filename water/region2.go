package water

import "math"

// Region 2 is the vapour: 273.15 K to 1073.15 K, up to the saturation pressure or boundary B23, at most 100 MPa.

// idealTerm is one addend n τ^j of an ideal-gas part.
type idealTerm struct {
	j int
	n float64
}

// region2Ideal are exponents and coefficients of the ideal-gas part of region 2.
// Source: IAPWS R7-97(2012), Table 10.
var region2Ideal = [9]idealTerm{
	{0, -0.96927686500217e1},
	{1, 0.10086655968018e2},
	{-5, -0.56087911283020e-2},
	{-4, 0.71452738081455e-1},
	{-3, -0.40710498223928},
	{-2, 0.14240819171444e1},
	{-1, -0.43839511319450e1},
	{2, -0.28408632460772},
	{3, 0.21268463753307e-1},
}

// region2Residual are the coefficients of the residual part of region 2.
// Source: IAPWS R7-97(2012), Table 11.
var region2Residual = [43]term{
	{1, 0, -0.17731742473213e-2},
	{1, 1, -0.17834862292358e-1},
	{1, 2, -0.45996013696365e-1},
	{1, 3, -0.57581259083432e-1},
	{1, 6, -0.50325278727930e-1},
	{2, 1, -0.33032641670203e-4},
	{2, 2, -0.18948987516315e-3},
	{2, 4, -0.39392777243355e-2},
	{2, 7, -0.43797295650573e-1},
	{2, 36, -0.26674547914087e-4},
	{3, 0, 0.20481737692309e-7},
	{3, 1, 0.43870667284435e-6},
	{3, 3, -0.32277677238570e-4},
	{3, 6, -0.15033924542148e-2},
	{3, 35, -0.40668253562649e-1},
	{4, 1, -0.78847309559367e-9},
	{4, 2, 0.12790717852285e-7},
	{4, 3, 0.48225372718507e-6},
	{5, 7, 0.22922076337661e-5},
	{6, 3, -0.16714766451061e-10},
	{6, 16, -0.21171472321355e-2},
	{6, 35, -0.23895741934104e2},
	{7, 0, -0.59059564324270e-17},
	{7, 11, -0.12621808899101e-5},
	{7, 25, -0.38946842435739e-1},
	{8, 8, 0.11256211360459e-10},
	{8, 36, -0.82311340897998e1},
	{9, 13, 0.19809712802088e-7},
	{10, 4, 0.10406965210174e-18},
	{10, 10, -0.10234747095929e-12},
	{10, 14, -0.10018179379511e-8},
	{16, 29, -0.80882908646985e-10},
	{16, 50, 0.10693031879409},
	{18, 57, -0.33662250574171},
	{20, 20, 0.89185845355421e-24},
	{20, 35, 0.30629316876232e-12},
	{20, 48, -0.42002467698208e-5},
	{21, 21, -0.59056029685639e-25},
	{22, 53, 0.37826947613457e-5},
	{23, 39, -0.12768608934681e-14},
	{24, 26, 0.73087610595061e-28},
	{24, 40, 0.55414715350778e-16},
	{24, 58, -0.94369707241210e-6},
}

// region2 evaluates the basic equation of region 2 at p in Pa and T in K:
//
//	g/(R T) = γ = ln π + Σ n τ^J + Σ n π^I (τ − 0.5)^J,  π = p/1 MPa,  τ = 540 K/T
//
// Source: IAPWS R7-97(2012), eq. 15 to 17 and Tables 10 to 14.
func region2(p, T float64) phase {
	return vapourEquation(&region2Ideal, region2Residual[:], p, T)
}

// vapourEquation is eq. 15 to 17 with the coefficients given: stable and metastable vapour differ in those alone.
func vapourEquation(ideal *[9]idealTerm, residual []term, p, T float64) phase {
	const pStar, tStar = 1e6, 540.0
	x, tau := p/pStar, tStar/T
	y := tau - 0.5
	invX, invTau, invY := 1/x, 1/tau, 1/y
	g := gibbs{g: math.Log(x), gp: invX, gpp: -invX * invX}
	for _, c := range ideal {
		a := c.n * signedPower(tau, invTau, c.j)
		j := float64(c.j)
		ay := a * j * invTau
		g.g += a
		g.gt += ay
		g.gtt += ay * (j - 1) * invTau
	}
	power, at := 1.0, 0 // x^I: the terms come in rising I
	for _, c := range residual {
		if c.i != at {
			power, at = intPower(x, c.i), c.i
		}
		a := c.n * power * intPower(y, c.j)
		i, j := float64(c.i), float64(c.j)
		ax, ay := a*i*invX, a*j*invY
		g.g += a
		g.gp += ax
		g.gpp += ax * (i - 1) * invX
		g.gt += ay
		g.gtt += ay * (j - 1) * invY
		g.gpt += ax * j * invY
	}
	return g.phase(p, T, pStar, tStar)
}
