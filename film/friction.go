package film

import "math"

// Friction returns the Darcy friction factor in a round tube for all flows,
// laminar to rough turbulent:
//
//	f = 8 [(8/Re)¹² + (A + B)^−1.5]^{1/12}
//	A = [2.457 ln(1/((7/Re)^0.9 + 0.27 e/D))]¹⁶,  B = (37530/Re)¹⁶
//
// roughness e and inner D in m. Below Re = 1 it is 64/Re, to which the formula
// has long come by then.
// Source: Churchill, Chem. Eng. 84 (1977) 91.
func Friction(Re, roughness, inner float64) float64 {
	if Re < 1 {
		return 64 / Re
	}
	a := math.Pow(2.457*math.Log(1/(math.Pow(7/Re, 0.9)+0.27*roughness/inner)), 16)
	b := math.Pow(37530/Re, 16)
	return 8 * math.Pow(math.Pow(8/Re, 12)+math.Pow(a+b, -1.5), 1.0/12)
}

// Colebrook returns the Darcy friction factor of turbulent flow in a rough
// tube, from
//
//	1/√f = −2 log₁₀(rr/3.7 + 2.51/(Re √f))
//
// rr is roughness over diameter. Range: Re ≥ 4000, rr up to 0.05. Solved by
// Newton's method to rounding.
// Source: Colebrook, J. Inst. Civil Eng. 11 (1939) 133; Incropera section 8.1.
func Colebrook(Re, rr float64) float64 {
	x := 1 / math.Sqrt(0.02) // x = 1/√f
	for i := 0; i < 50; i++ {
		arg := rr/3.7 + 2.51*x/Re
		step := (x + 2*math.Log10(arg)) / (1 + 2/math.Ln10*(2.51/Re)/arg)
		x -= step
		if math.Abs(step) < 1e-14*math.Abs(x) {
			break
		}
	}
	return 1 / (x * x)
}
