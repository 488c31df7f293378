package film

import "math"

// Petukhov returns the Darcy friction factor of turbulent flow in a smooth
// tube in the form printed with the natural logarithm:
//
//	f = (0.790 ln Re − 1.64)⁻²        3000 ≤ Re ≤ 5·10⁶
//
// Source: Petukhov, Advances in Heat Transfer 6 (1970) 503; Incropera et al.,
// Fundamentals of Heat and Mass Transfer, Eq. 8.21 (equation number from memory).
func Petukhov(Re float64) float64 {
	d := 0.790*math.Log(Re) - 1.64
	return 1 / (d * d)
}

// Filonenko returns the same friction factor with the decimal logarithm:
//
//	f = (1.82 log₁₀ Re − 1.64)⁻²
//
// It differs from Petukhov by about 0.1 %, since 1.82/ln 10 = 0.79042.
// Source: Filonenko (1954), as used in Gnielinski, Int. Chem. Eng. 16 (1976) 359.
func Filonenko(Re float64) float64 {
	d := 1.82*math.Log10(Re) - 1.64
	return 1 / (d * d)
}

// Gnielinski returns the Nusselt number of fully developed turbulent flow in a
// tube:
//
//	Nu = (f/8)(Re − 1000) Pr / (1 + 12.7 √(f/8) (Pr^⅔ − 1))
//
// f is the Darcy friction factor. Range: 3000 ≤ Re ≤ 5·10⁶, 0.5 ≤ Pr ≤ 2000;
// about ±10 %.
// Source: Gnielinski, Int. Chem. Eng. 16 (1976) 359; Incropera Eq. 8.62.
func Gnielinski(Re, Pr, f float64) float64 {
	return f / 8 * (Re - 1000) * Pr / (1 + 12.7*math.Sqrt(f/8)*(twoThirds(Pr)-1))
}

// DittusBoelter returns the Nusselt number of fully developed turbulent flow:
//
//	Nu = 0.023 Re^0.8 Prⁿ, n = 0.4 when the fluid is heated, 0.3 when cooled
//
// Range: Re ≥ 10⁴, 0.6 ≤ Pr ≤ 160, length over diameter ≥ 10; up to 25 % off.
// Source: Dittus & Boelter, Univ. Calif. Publ. Eng. 2 (1930) 443; Incropera Eq. 8.60.
func DittusBoelter(Re, Pr float64, heating bool) float64 {
	n := 0.3
	if heating {
		n = 0.4
	}
	return 0.023 * math.Pow(Re, 0.8) * math.Pow(Pr, n)
}

// Fully developed laminar flow in a round tube: exact Nusselt numbers for a
// wall at one temperature and for a wall of uniform flux.
// Source: Incropera section 8.4; 48/11 follows from the parabolic profile.
const (
	NusseltSameTemperature = 3.66
	NusseltSameFlux        = 48.0 / 11
)

// Hausen returns the mean Nusselt number of laminar flow over a tube of length
// L whose wall is at one temperature, the velocity profile being developed:
//
//	Nu = 3.66 + 0.0668 Gz/(1 + 0.04 Gz^⅔),  Gz = (D/L) Re Pr
//
// Range: Re < 2300. It is a mean over the length, for use with the
// logarithmic mean temperature difference.
// Source: Hausen, Z. VDI Beih. Verfahrenstechnik 4 (1943) 91; Incropera Eq. 8.57.
func Hausen(Re, Pr, dOverL float64) float64 {
	gz := dOverL * Re * Pr
	return 3.66 + 0.0668*gz/(1+0.04*twoThirds(gz))
}

// BrownThomas returns the mean Nusselt number of laminar flow in a level tube
// that natural convection aids, wall at one temperature:
//
//	Nu = 1.75 [Gz + 0.012 (Gz Gr^⅓)^{4/3}]^⅓,  Gz = Re Pr D/L
//
// Gr = g β |Tw − Tb| D³/ν² with properties of the bulk. The factor
// (μb/μw)^0.14 of the original is left to the caller.
// Source: Brown & Thomas, J. Mech. Eng. Sci. 7 (1965) 440, as Holman, Heat
// Transfer, Eq. 7-77; the form was found in a public companion to that book
// (example of free and forced convection of air in a tube). The measurements
// were with water in level tubes; the exact range is not at hand.
func BrownThomas(Gz, Gr float64) float64 {
	return math.Cbrt(cube(1.75)*Gz + buoyancyCubed(Gz, Gr))
}

// buoyancyCubed is the part of Nu³ that natural convection brings in
// BrownThomas: 1.75³ · 0.012 (Gz Gr^⅓)^{4/3}.
func buoyancyCubed(Gz, Gr float64) float64 {
	x := Gz * math.Cbrt(Gr)
	return cube(1.75) * 0.012 * x * math.Cbrt(x)
}
