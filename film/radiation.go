package film

import "math"

// StefanBoltzmann is σ in W/(m² K⁴).
// Source: CODATA 2018 (exact since the SI of 2019).
const StefanBoltzmann = 5.670374419e-8

// Grey returns the net flux in W/m² that a grey face of emissivity eps at Ts
// radiates into large surroundings at Tsur:
//
//	q = ε σ (Ts⁴ − Tsur⁴)
//
// Source: Incropera Eq. 1.7.
func Grey(eps, Ts, Tsur float64) float64 {
	return eps * StefanBoltzmann * difference4(Ts, Tsur)
}

// GreyCoefficient returns the radiative coefficient in W/(m² K) with which
// GreyCoefficient · (Ts − Tsur) is Grey:
//
//	h = ε σ (Ts + Tsur)(Ts² + Tsur²)
//
// Source: Incropera Eq. 1.9.
func GreyCoefficient(eps, Ts, Tsur float64) float64 {
	return eps * StefanBoltzmann * (Ts + Tsur) * (Ts*Ts + Tsur*Tsur)
}

// Exchange returns the net flux in W/m² from the first to the second of two
// large parallel grey faces:
//
//	q = σ (T1⁴ − T2⁴)/(1/ε1 + 1/ε2 − 1)
//
// Source: Incropera Eq. 13.24 (equation number from memory).
func Exchange(e1, e2, T1, T2 float64) float64 {
	return PlateEmissivity(e1, e2) * StefanBoltzmann * difference4(T1, T2)
}

// PlateEmissivity returns the emissivity that two large parallel grey faces
// have together: 1/(1/ε1 + 1/ε2 − 1). It is 0 if either is 0.
func PlateEmissivity(e1, e2 float64) float64 {
	return e1 * e2 / (e1 + e2 - e1*e2 + tiny)
}

// tiny keeps 0/0 away and is lost in rounding beside any real emissivity.
const tiny = 1e-300

// SkyShare returns the share of a flat face's view that is sky, the ground
// being level and far reaching:
//
//	(1 + sin elevation)/2
//
// elevation is the outward normal's angle above the horizontal in rad.
// Source: view factor of a sloping face to an unhindered half space; Duffie &
// Beckman, Solar Engineering of Thermal Processes, section 2.15 (from memory).
func SkyShare(elevation float64) float64 { return (1 + math.Sin(elevation)) / 2 }

// difference4 returns a⁴ − b⁴ without the loss of digits that near-equal a and
// b would bring.
func difference4(a, b float64) float64 {
	return (a - b) * (a + b) * (a*a + b*b)
}
