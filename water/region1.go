package water

// Region 1 is the liquid: 273.15 K to 623.15 K from the saturation pressure to 100 MPa.

// term is one addend n x^i y^j of a sum of powers.
type term struct {
	i, j int
	n    float64
}

// region1Gibbs are the coefficients of the Gibbs energy of region 1.
// Source: IAPWS R7-97(2012), Table 2.
var region1Gibbs = [34]term{
	{0, -2, 0.14632971213167},
	{0, -1, -0.84548187169114},
	{0, 0, -0.37563603672040e1},
	{0, 1, 0.33855169168385e1},
	{0, 2, -0.95791963387872},
	{0, 3, 0.15772038513228},
	{0, 4, -0.16616417199501e-1},
	{0, 5, 0.81214629983568e-3},
	{1, -9, 0.28319080123804e-3},
	{1, -7, -0.60706301565874e-3},
	{1, -1, -0.18990068218419e-1},
	{1, 0, -0.32529748770505e-1},
	{1, 1, -0.21841717175414e-1},
	{1, 3, -0.52838357969930e-4},
	{2, -3, -0.47184321073267e-3},
	{2, 0, -0.30001780793026e-3},
	{2, 1, 0.47661393906987e-4},
	{2, 3, -0.44141845330846e-5},
	{2, 17, -0.72694996297594e-15},
	{3, -4, -0.31679644845054e-4},
	{3, 0, -0.28270797985312e-5},
	{3, 6, -0.85205128120103e-9},
	{4, -5, -0.22425281908000e-5},
	{4, -2, -0.65171222895601e-6},
	{4, 10, -0.14341729937924e-12},
	{5, -8, -0.40516996860117e-6},
	{8, -11, -0.12734301741641e-8},
	{8, -6, -0.17424871230634e-9},
	{21, -29, -0.68762131295531e-18},
	{23, -31, 0.14478307828521e-19},
	{29, -38, 0.26335781662795e-22},
	{30, -39, -0.11947622640071e-22},
	{31, -40, 0.18228094581404e-23},
	{32, -41, -0.93537087292458e-25},
}

// region1 evaluates the basic equation of region 1 at p in Pa and T in K:
//
//	g/(R T) = γ(π, τ) = Σ n (7.1 − π)^I (τ − 1.222)^J,  π = p/16.53 MPa,  τ = 1386 K/T
//
// Source: IAPWS R7-97(2012), eq. 7 and Tables 2 to 4.
func region1(p, T float64) phase {
	const pStar, tStar = 16.53e6, 1386.0
	x := 7.1 - p/pStar
	y := tStar/T - 1.222
	invX, invY := 1/x, 1/y
	var g gibbs
	power, at := 1.0, 0 // x^I: the terms come in rising I
	for _, c := range region1Gibbs {
		if c.i != at {
			power, at = intPower(x, c.i), c.i
		}
		a := c.n * power * signedPower(y, invY, c.j)
		i, j := float64(c.i), float64(c.j)
		ax, ay := a*i*invX, a*j*invY
		g.g += a
		g.gp -= ax
		g.gpp += ax * (i - 1) * invX
		g.gt += ay
		g.gtt += ay * (j - 1) * invY
		g.gpt -= ax * j * invY
	}
	return g.phase(p, T, pStar, tStar)
}

// region1PH are the coefficients of T(p,h) in region 1.
// Source: IAPWS R7-97(2012), Table 6.
var region1PH = [20]term{
	{0, 0, -0.23872489924521e3},
	{0, 1, 0.40421188637945e3},
	{0, 2, 0.11349746881718e3},
	{0, 6, -0.58457616048039e1},
	{0, 22, -0.15285482413140e-3},
	{0, 32, -0.10866707695377e-5},
	{1, 0, -0.13391744872602e2},
	{1, 1, 0.43211039183559e2},
	{1, 2, -0.54010067170506e2},
	{1, 3, 0.30535892203916e2},
	{1, 4, -0.65964749423638e1},
	{1, 10, 0.93965400878363e-2},
	{1, 32, 0.11573647505340e-6},
	{2, 10, -0.25858641282073e-4},
	{2, 32, -0.40644363084799e-8},
	{3, 10, 0.66456186191635e-7},
	{3, 32, 0.80670734103027e-10},
	{4, 32, -0.93477771213947e-12},
	{5, 32, 0.58265442020601e-14},
	{6, 32, -0.15020185953503e-16},
}

// temperature1PH is the backward equation T(p,h) of region 1, in K, of p in Pa and h in J/kg. It agrees with
// region1 within 25 mK.
//
//	T/K = Σ n π^I (η + 1)^J,  π = p/1 MPa,  η = h/2500 kJ/kg
//
// Source: IAPWS R7-97(2012), eq. 11.
func temperature1PH(p, h float64) float64 {
	return sumPowers(region1PH[:], p/1e6, h/2500e3+1)
}

// region1PS are the coefficients of T(p,s) in region 1.
// Source: IAPWS R7-97(2012), Table 8.
var region1PS = [20]term{
	{0, 0, 0.17478268058307e3},
	{0, 1, 0.34806930892873e2},
	{0, 2, 0.65292584978455e1},
	{0, 3, 0.33039981775489},
	{0, 11, -0.19281382923196e-6},
	{0, 31, -0.24909197244573e-22},
	{1, 0, -0.26107636489332},
	{1, 1, 0.22592965981586},
	{1, 2, -0.64256463395226e-1},
	{1, 3, 0.78876289270526e-2},
	{1, 12, 0.35672110607366e-9},
	{1, 31, 0.17332496994895e-23},
	{2, 0, 0.56608900654837e-3},
	{2, 1, -0.32635483139717e-3},
	{2, 2, 0.44778286690632e-4},
	{2, 9, -0.51322156908507e-9},
	{2, 31, -0.42522657042207e-25},
	{3, 10, 0.26400441360689e-12},
	{3, 32, 0.78124600459723e-28},
	{4, 32, -0.30732199903668e-30},
}

// temperature1PS is the backward equation T(p,s) of region 1, in K, of p in Pa and s in J/(kg K). It agrees with
// region1 within 25 mK.
//
//	T/K = Σ n π^I (σ + 2)^J,  π = p/1 MPa,  σ = s/1 kJ/(kg K)
//
// Source: IAPWS R7-97(2012), eq. 13.
func temperature1PS(p, s float64) float64 {
	return sumPowers(region1PS[:], p/1e6, s/1e3+2)
}
