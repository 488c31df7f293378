package sun

import "math"

// wobble is one term of the nutation: multiples of the five arguments, and the amplitudes in longitude and obliquity
// with their growth a Julian century, in 0.0001 seconds of arc.
type wobble struct {
	moon, sunAnomaly, moonAnomaly, latitude, node float64
	psi, psiRate, eps, epsRate                    float64
}

// nutationTerms are the 63 terms of the theory of 1980 that count here.
//
// Source: Reda & Andreas, NREL/TP-560-34302 (rev. 2008), Table A4.3, which is Meeus, Astronomical Algorithms, 2nd ed.,
// Table 22.A, from the IAU 1980 theory of nutation.
var nutationTerms = [...]wobble{
	{0, 0, 0, 0, 1, -171996, -174.2, 92025, 8.9},
	{-2, 0, 0, 2, 2, -13187, -1.6, 5736, -3.1},
	{0, 0, 0, 2, 2, -2274, -0.2, 977, -0.5},
	{0, 0, 0, 0, 2, 2062, 0.2, -895, 0.5},
	{0, 1, 0, 0, 0, 1426, -3.4, 54, -0.1},
	{0, 0, 1, 0, 0, 712, 0.1, -7, 0},
	{-2, 1, 0, 2, 2, -517, 1.2, 224, -0.6},
	{0, 0, 0, 2, 1, -386, -0.4, 200, 0},
	{0, 0, 1, 2, 2, -301, 0, 129, -0.1},
	{-2, -1, 0, 2, 2, 217, -0.5, -95, 0.3},
	{-2, 0, 1, 0, 0, -158, 0, 0, 0},
	{-2, 0, 0, 2, 1, 129, 0.1, -70, 0},
	{0, 0, -1, 2, 2, 123, 0, -53, 0},
	{2, 0, 0, 0, 0, 63, 0, 0, 0},
	{0, 0, 1, 0, 1, 63, 0.1, -33, 0},
	{2, 0, -1, 2, 2, -59, 0, 26, 0},
	{0, 0, -1, 0, 1, -58, -0.1, 32, 0},
	{0, 0, 1, 2, 1, -51, 0, 27, 0},
	{-2, 0, 2, 0, 0, 48, 0, 0, 0},
	{0, 0, -2, 2, 1, 46, 0, -24, 0},
	{2, 0, 0, 2, 2, -38, 0, 16, 0},
	{0, 0, 2, 2, 2, -31, 0, 13, 0},
	{0, 0, 2, 0, 0, 29, 0, 0, 0},
	{-2, 0, 1, 2, 2, 29, 0, -12, 0},
	{0, 0, 0, 2, 0, 26, 0, 0, 0},
	{-2, 0, 0, 2, 0, -22, 0, 0, 0},
	{0, 0, -1, 2, 1, 21, 0, -10, 0},
	{0, 2, 0, 0, 0, 17, -0.1, 0, 0},
	{2, 0, -1, 0, 1, 16, 0, -8, 0},
	{-2, 2, 0, 2, 2, -16, 0.1, 7, 0},
	{0, 1, 0, 0, 1, -15, 0, 9, 0},
	{-2, 0, 1, 0, 1, -13, 0, 7, 0},
	{0, -1, 0, 0, 1, -12, 0, 6, 0},
	{0, 0, 2, -2, 0, 11, 0, 0, 0},
	{2, 0, -1, 2, 1, -10, 0, 5, 0},
	{2, 0, 1, 2, 2, -8, 0, 3, 0},
	{0, 1, 0, 2, 2, 7, 0, -3, 0},
	{-2, 1, 1, 0, 0, -7, 0, 0, 0},
	{0, -1, 0, 2, 2, -7, 0, 3, 0},
	{2, 0, 0, 2, 1, -7, 0, 3, 0},
	{2, 0, 1, 0, 0, 6, 0, 0, 0},
	{-2, 0, 2, 2, 2, 6, 0, -3, 0},
	{-2, 0, 1, 2, 1, 6, 0, -3, 0},
	{2, 0, -2, 0, 1, -6, 0, 3, 0},
	{2, 0, 0, 0, 1, -6, 0, 3, 0},
	{0, -1, 1, 0, 0, 5, 0, 0, 0},
	{-2, -1, 0, 2, 1, -5, 0, 3, 0},
	{-2, 0, 0, 0, 1, -5, 0, 3, 0},
	{0, 0, 2, 2, 1, -5, 0, 3, 0},
	{-2, 0, 2, 0, 1, 4, 0, 0, 0},
	{-2, 1, 0, 2, 1, 4, 0, 0, 0},
	{0, 0, 1, -2, 0, 4, 0, 0, 0},
	{-1, 0, 1, 0, 0, -4, 0, 0, 0},
	{-2, 1, 0, 0, 0, -4, 0, 0, 0},
	{1, 0, 0, 0, 0, -4, 0, 0, 0},
	{0, 0, 1, 2, 0, 3, 0, 0, 0},
	{0, 0, -2, 2, 2, -3, 0, 0, 0},
	{-1, -1, 1, 0, 0, -3, 0, 0, 0},
	{0, 1, 1, 0, 0, -3, 0, 0, 0},
	{0, -1, 1, 2, 2, -3, 0, 0, 0},
	{2, -1, -1, 2, 2, -3, 0, 0, 0},
	{0, 0, 3, 2, 2, -3, 0, 0, 0},
	{2, -1, 0, 2, 2, -3, 0, 0, 0},
}

// nutation returns the earth's nutation in longitude and obliquity in rad; T counts Julian centuries of ephemeris time
// since J2000.
//
// Source: NREL/TP-560-34302, eqs. 15 to 23.
func nutation(T float64) (psi, eps float64) {
	moon := (297.85036 + T*(445267.11148+T*(-0.0019142+T/189474))) * degree
	sunAnomaly := (357.52772 + T*(35999.05034+T*(-0.0001603-T/300000))) * degree
	moonAnomaly := (134.96298 + T*(477198.867398+T*(0.0086972+T/56250))) * degree
	latitude := (93.27191 + T*(483202.017538+T*(-0.0036825+T/327270))) * degree
	node := (125.04452 + T*(-1934.136261+T*(0.0020708+T/450000))) * degree
	for i := range nutationTerms {
		w := &nutationTerms[i]
		sin, cos := math.Sincos(w.moon*moon + w.sunAnomaly*sunAnomaly + w.moonAnomaly*moonAnomaly + w.latitude*latitude + w.node*node)
		psi += (w.psi + w.psiRate*T) * sin
		eps += (w.eps + w.epsRate*T) * cos
	}
	const scale = degree / 36e6 // of 0.0001 seconds of arc
	return psi * scale, eps * scale
}

// meanObliquity returns the mean obliquity of the ecliptic in rad; T as for nutation.
//
// Source: NREL/TP-560-34302, eq. 24; Laskar, Astron. Astrophys. 157 (1986) 59: over 10 000 years on either side of J2000.
func meanObliquity(T float64) float64 {
	u := T / 100
	arc := 84381.448 + u*(-4680.93+u*(-1.55+u*(1999.25+u*(-51.38+u*(-249.67+u*(-39.05+u*(7.12+u*(27.87+u*(5.79+u*2.45)))))))))
	return arc / 3600 * degree
}
