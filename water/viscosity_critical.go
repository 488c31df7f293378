package water

import "math"

// CriticalViscosityFactor returns μ2, the factor by which the viscosity grows where the critical point is felt. State
// leaves it out, as the release advises for industrial use: it exceeds 1.02 only within 645.91 K to 650.77 K and 245.8
// to 405.3 kg/m³. It takes p in Pa and T in K within the range of AtPT, and its compressibility from IF97.
//
// Source: IAPWS R12-08, section 2.8 and 3.
func CriticalViscosityFactor(p, T float64) (float64, error) {
	region, err := regionPT(p, T)
	if err != nil {
		return 0, err
	}
	f := phasePT(region, p, T)
	return viscosityEnhancement(compressibilityExcess(1/f.v, T, f.drhodp)), nil
}

// viscosityEnhancement returns μ2 for Δχ, the same as the conductivity's:
//
//	μ2 = exp(0.068 Y),  ξ = 0.13 nm · (Δχ/0.06)^(0.630/1.239),  c = ξ/1.9 nm,  d = ξ/1.1 nm
//	ξ up to 0.3817016416 nm: Y = c d⁵/5 · (1 − c + c² − 765/504 d²)
//	above: Y = sin(3ψ)/12 − sin(2ψ)/(4c) + (1 − 5/4 c²) sin(ψ)/c² − ((1 − 3/2 c²) ψ − |c² − 1|^(3/2) L(w))/c³
//	ψ = arccos(1/√(1 + d²)),  w = √|(c − 1)/(c + 1)| tan(ψ/2)
//	L = ln((1 + w)/(1 − w)) for c above 1, else 2 arctan|w|
//
// Source: IAPWS R12-08, eq. 14 to 21 and Table 3.
func viscosityEnhancement(excess float64) float64 {
	if excess <= 0 {
		return 1
	}
	xi := 0.13 * math.Pow(excess/0.06, 0.630/1.239) // nm
	c, d := xi/1.9, xi/1.1
	var y float64
	if xi <= 0.3817016416 {
		y = 0.2 * c * intPower(d, 5) * (1 - c + c*c - 765.0/504*d*d)
	} else {
		psi := math.Acos(1 / math.Sqrt(1+d*d))
		w := math.Sqrt(math.Abs((c-1)/(c+1))) * math.Tan(psi/2)
		l := 2 * math.Atan(w)
		if c > 1 {
			l = math.Log((1 + w) / (1 - w))
		}
		y = math.Sin(3*psi)/12 - math.Sin(2*psi)/(4*c) + (1-1.25*c*c)*math.Sin(psi)/(c*c) -
			((1-1.5*c*c)*psi-math.Pow(math.Abs(c*c-1), 1.5)*l)/(c*c*c)
	}
	return math.Exp(0.068 * y)
}
