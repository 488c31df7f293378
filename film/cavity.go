package film

import "math"

// OpenCavity returns the Nusselt number of natural convection out of an open,
// hot cavity, on the mean inner size L:
//
//	Nu = 0.088 Gr^⅓ (Tw/Ta)^0.18 (cos t)^2.47 (d/L)^s,  s = 1.12 − 0.982 d/L
//
// Gr is on L; Tw and Ta are wall and air in K; t is the tilt of the aperture in
// rad, 0 facing sideways and π/2 facing down; dOverL is the aperture's diameter
// over L. Without wind.
// Source: Siebers & Kraabel, Estimating convective energy losses from solar
// central receivers, SAND84-8717 (1984), for 0.088 Gr^⅓ (Tw/Ta)^0.18; Stine &
// McDonald, Cavity receiver heat loss measurements, ISES Solar World Congress,
// Kobe 1989, for the rest, whose exponents 2.47 and s are from memory.
func OpenCavity(Gr, Tw, Ta, tilt, dOverL float64) float64 {
	s := 1.12 - 0.982*dOverL
	return 0.088 * math.Cbrt(Gr) * math.Pow(Tw/Ta, 0.18) *
		math.Pow(math.Max(math.Cos(tilt), 0), 2.47) * math.Pow(dOverL, s)
}
