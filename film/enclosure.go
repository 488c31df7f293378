package film

import "math"

// All forms here are networks of surface resistances (1−ε)/(ε A) and space
// resistances 1/(A F) between grey, diffuse faces of one temperature each.
// Source: Incropera section 13.3; equation numbers from memory.

// ConcentricCylinders returns the net flux in W/m² leaving the inner of two
// long concentric cylinders, per area of the inner one; radii in m:
//
//	q = σ (T1⁴ − T2⁴)/(1/ε1 + (1−ε2)/ε2 · r1/r2)
//
// Source: Incropera Eq. 13.25.
func ConcentricCylinders(e1, e2, r1, r2, T1, T2 float64) float64 {
	return nested(e1, e2, r1/r2, T1, T2)
}

// ConcentricSpheres is the same for spheres, with (r1/r2)² in place of r1/r2.
// Source: Incropera Eq. 13.26.
func ConcentricSpheres(e1, e2, r1, r2, T1, T2 float64) float64 {
	return nested(e1, e2, (r1/r2)*(r1/r2), T1, T2)
}

func nested(e1, e2, areaRatio, T1, T2 float64) float64 {
	return StefanBoltzmann * difference4(T1, T2) / (1/e1 + (1-e2)/e2*areaRatio)
}

// Shield returns the net flux in W/m² between two large parallel faces with one
// thin sheet between them, and the sheet's temperature in K. s1 and s2 are the
// sheet's emissivities on the sides of face 1 and face 2:
//
//	q = σ (T1⁴ − T2⁴)/(1/ε1 + 1/s1 − 1 + 1/s2 + 1/ε2 − 1)
//
// Source: Incropera Eq. 13.28.
func Shield(e1, e2, s1, s2, T1, T2 float64) (q, sheet float64) {
	first := 1/e1 + 1/s1 - 1
	second := 1/s2 + 1/e2 - 1
	q = StefanBoltzmann * difference4(T1, T2) / (first + second)
	sheet = math.Sqrt(math.Sqrt(pow4(T1) - q*first/StefanBoltzmann))
	return q, sheet
}

// CavityEmissivity returns the apparent emissivity of the aperture of a grey,
// diffuse cavity of one temperature:
//
//	ε = 1/(1 + (1/ε_wall − 1) A_aperture/A_wall)
//
// wall is the cavity's area without the aperture, both in m².
// Source: two-face enclosure, Incropera Eq. 13.23, the aperture taken as black
// and at 0 K.
func CavityEmissivity(eps, aperture, wall float64) float64 {
	return 1 / (1 + (1/eps-1)*aperture/wall)
}

// ReradiatingPair returns the net heat flow in W between two faces that are
// joined by a wall which passes no heat (it reflects or re-radiates all):
//
//	q = σ (T1⁴ − T2⁴)/[(1−ε1)/(ε1 A1) + 1/(A1 F12 + 1/(1/(A1 F1R) + 1/(A2 F2R))) + (1−ε2)/(ε2 A2)]
//
// Areas in m²; F12 is the view from 1 to 2; F1R = 1 − F12, F2R = 1 − F12 A1/A2
// (flat faces).
// Source: Incropera Eq. 13.30.
func ReradiatingPair(e1, e2, A1, A2, F12, T1, T2 float64) float64 {
	toWall1 := A1 * (1 - F12)
	toWall2 := A2 - A1*F12
	detour := 0.0
	if toWall1 > 0 && toWall2 > 0 {
		detour = 1 / (1/toWall1 + 1/toWall2)
	}
	space := 1 / (A1*F12 + detour)
	return StefanBoltzmann * difference4(T1, T2) / ((1-e1)/(e1*A1) + space + (1-e2)/(e2*A2))
}
