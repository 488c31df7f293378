package film

import "math"

// ChurchillChuPlate returns the mean Nusselt number of natural convection at an
// upright plate, on its height:
//
//	Nu = (0.825 + 0.387 Ra^{1/6}/(1 + (0.492/Pr)^{9/16})^{8/27})²
//
// Range: all Ra up to 10¹², any Pr.
// Source: Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975) 1323; Incropera
// Eq. 9.26.
func ChurchillChuPlate(Ra, Pr float64) float64 {
	d := math.Pow(1+math.Pow(0.492/Pr, 9.0/16), 8.0/27)
	s := 0.825 + 0.387*math.Pow(Ra, 1.0/6)/d
	return s * s
}

// ChurchillChuPlateLaminar is the closer form for laminar flow:
//
//	Nu = 0.68 + 0.670 Ra^¼/(1 + (0.492/Pr)^{9/16})^{4/9},  Ra ≤ 10⁹
//
// Source: Churchill & Chu (1975); Incropera Eq. 9.27.
func ChurchillChuPlateLaminar(Ra, Pr float64) float64 {
	d := math.Pow(1+math.Pow(0.492/Pr, 9.0/16), 4.0/9)
	return 0.68 + 0.670*math.Pow(Ra, 0.25)/d
}

// ChurchillChuCylinder returns the mean Nusselt number of natural convection
// around a level cylinder, on its diameter:
//
//	Nu = (0.60 + 0.387 Ra^{1/6}/(1 + (0.559/Pr)^{9/16})^{8/27})²,  Ra ≤ 10¹²
//
// Source: Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975) 1049; Incropera
// Eq. 9.34.
func ChurchillChuCylinder(Ra, Pr float64) float64 {
	d := math.Pow(1+math.Pow(0.559/Pr, 9.0/16), 8.0/27)
	s := 0.60 + 0.387*math.Pow(Ra, 1.0/6)/d
	return s * s
}

// HotFaceUp returns the mean Nusselt number at a level hot face that looks up
// (or a cold one that looks down), on area over perimeter:
//
//	Nu = 0.54 Ra^¼   10⁴ ≤ Ra ≤ 10⁷
//	Nu = 0.15 Ra^⅓   10⁷ ≤ Ra ≤ 10¹¹
//
// The two differ by 6 % at 10⁷; between 7·10⁶ and 1.4·10⁷ the value glides from
// one to the other (our blend, in log Ra).
// Source: McAdams, Heat Transmission, 3rd ed. (1954); Incropera Eqs. 9.30, 9.31
// (the equation numbers from memory).
func HotFaceUp(Ra float64) float64 {
	low := 0.54 * math.Pow(Ra, 0.25)
	if Ra <= 7e6 {
		return low
	}
	high := 0.15 * math.Cbrt(Ra)
	return low + smooth(math.Log(Ra/7e6)/math.Ln2)*(high-low)
}

// HotFaceDown returns the mean Nusselt number at a level hot face that looks
// down (or a cold one that looks up), on area over perimeter:
//
//	Nu = 0.27 Ra^¼,  10⁵ ≤ Ra ≤ 10¹⁰
//
// Source: McAdams, Heat Transmission, 3rd ed. (1954); the range as in older
// editions of Incropera, from memory.
func HotFaceDown(Ra float64) float64 { return 0.27 * math.Pow(Ra, 0.25) }

// PlateInWind returns the mean Nusselt number of a flat plate along which air
// flows from a sharp edge, on the length of the plate:
//
//	Nu = 0.664 Re^½ Pr^⅓               Re ≤ 5·10⁵
//	Nu = (0.037 Re^0.8 − 871) Pr^⅓     5·10⁵ < Re ≤ 10⁸
//
// Range: 0.6 ≤ Pr ≤ 60. The two meet at 5·10⁵ to 0.1 %.
// Source: Incropera Eqs. 7.30 and 7.38 (equation numbers from memory).
func PlateInWind(Re, Pr float64) float64 {
	if Re <= 5e5 {
		return 0.664 * math.Sqrt(Re) * math.Cbrt(Pr)
	}
	return (0.037*math.Pow(Re, 0.8) - 871) * math.Cbrt(Pr)
}

// ChurchillBernstein returns the mean Nusselt number of a cylinder in cross
// flow, on its diameter, properties at film temperature:
//
//	Nu = 0.3 + 0.62 Re^½ Pr^⅓/(1 + (0.4/Pr)^⅔)^¼ · (1 + (Re/282000)^⅝)^⅘
//
// Range: Re Pr ≥ 0.2.
// Source: Churchill & Bernstein, J. Heat Transfer 99 (1977) 300; Incropera Eq. 7.54.
func ChurchillBernstein(Re, Pr float64) float64 {
	a := 0.62 * math.Sqrt(Re) * math.Cbrt(Pr) / math.Pow(1+math.Pow(0.4/Pr, 2.0/3), 0.25)
	return 0.3 + a*math.Pow(1+math.Pow(Re/282000, 5.0/8), 4.0/5)
}
