package sun

import "math"

// Model is a published model of the beam under a clear sky.
type Model int

// The models.
const (
	IneichenPerez Model = iota
	ESRA
	Meinel
)

// ClearSky is a clear sky.
type ClearSky struct {
	Model     Model
	Turbidity float64 // Linke's turbidity factor at air mass 2, for IneichenPerez and ESRA: 2 very clear, 3 clear, 5 hazy
}

// Beam returns the direct normal irradiance in W/m²; 0 while the sun's centre is below the horizon.
func (c ClearSky) Beam(p *Position, site *Site) float64 {
	if !(p.Elevation > 0) {
		return 0
	}
	pressure, _ := site.Air()
	m := AbsoluteAirMass(p.Elevation, pressure)
	switch c.Model {
	case ESRA:
		return ESRABeam(Extraterrestrial(p.Distance), m, c.Turbidity)
	case Meinel:
		return MeinelBeam(AirMass(p.Elevation), site.Elevation) / (p.Distance * p.Distance)
	}
	return IneichenPerezBeam(Extraterrestrial(p.Distance), m, c.Turbidity, site.Elevation)
}

// IneichenPerezBeam returns the beam under a clear sky in W/m²:
//
//	I = b I₀ exp(-0.09 m (T_L - 1))   b = 0.664 + 0.163/exp(-h/8000)
//
// i0 is the beam outside the air in W/m², m the air mass corrected for pressure, turbidity Linke's factor at air mass 2
// (2 to 6), h the elevation in m (up to some 3000 m: b comes to 1 at 5800 m). The paper's further bound by its global
// irradiance, which lowers the beam of the clearest skies, is left out.
//
// Source: Ineichen & Perez, Solar Energy 73 (2002) 151, eqs. 8 and 9.
func IneichenPerezBeam(i0, m, turbidity, h float64) float64 {
	b := 0.664 + 0.163*math.Exp(h/8000)
	return min(b, 1) * i0 * math.Exp(-0.09*m*(turbidity-1))
}

// ESRABeam returns the beam under a clear sky in W/m²:
//
//	I = I₀ exp(-0.8662 T_L m δ(m))
//	1/δ = 6.6296 + 1.7513 m - 0.1202 m² + 0.0065 m³ - 0.00013 m⁴   up to m = 20
//	1/δ = 10.4 + 0.718 m                                           beyond
//
// i0 is the beam outside the air in W/m², m the air mass corrected for pressure, turbidity Linke's factor at air mass 2.
//
// Source: Rigollier, Bauer & Wald, Solar Energy 68 (2000) 33; δ: Kasten, Solar Energy 56 (1996) 239.
func ESRABeam(i0, m, turbidity float64) float64 {
	inverse := 10.4 + 0.718*m
	if m <= 20 {
		inverse = 6.6296 + m*(1.7513+m*(-0.1202+m*(0.0065-m*0.00013)))
	}
	return i0 * math.Exp(-0.8662*turbidity*m/inverse)
}

// MeinelBeam returns the beam under a clear sky at the sun's mean distance, in W/m²:
//
//	I = 1353 ((1 - 0.14 h) 0.7^(m^0.678) + 0.14 h)   h in km
//
// m is the air mass from sea level, h the elevation (given in m). It knows neither haze nor season. The second part does
// not fall with the sun: above the sea the beam ends in a jump at the horizon, so low suns are better asked of the
// other models. Up to some 3 km.
//
// Source: Meinel & Meinel, Applied Solar Energy (1976), chapter 2; part for elevation after Laue, Solar Energy 13 (1970) 43.
func MeinelBeam(m, h float64) float64 {
	up := 0.14 * max(h, 0) / 1000
	return 1353 * ((1-up)*math.Pow(0.7, math.Pow(m, 0.678)) + up)
}
