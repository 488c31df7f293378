package sun

import "math"

// SolarConstant is the irradiance of the sun at its mean distance, outside the air, in W/m².
// Source: Gueymard, Solar Energy 169 (2018) 434: 1361.1 W/m².
const SolarConstant = 1361.1

// Extraterrestrial returns the beam outside the air in W/m², at a distance in AU:
//
//	I₀ = 1361.1/R²
func Extraterrestrial(distance float64) float64 { return SolarConstant / (distance * distance) }

// AirMass returns the relative optical air mass at an apparent elevation in rad, 1 at the zenith and 38 at the horizon;
// below the horizon +Inf:
//
//	m = 1/(sin e + 0.50572 (e + 6.07995)^-1.6364)   e in degrees in the bracket
//
// It is stated for 0 to 90°, from sea level.
//
// Source: Kasten & Young, Appl. Opt. 28 (1989) 4735.
func AirMass(elevation float64) float64 {
	if !(elevation >= 0) {
		return math.Inf(1)
	}
	return 1 / (math.Sin(elevation) + 0.50572*math.Pow(elevation/degree+6.07995, -1.6364))
}

// AbsoluteAirMass is AirMass times the share of the air that stands above a site, by its pressure in Pa:
//
//	m p/101325
//
// Source: Kasten & Young, as for AirMass; common practice for sites above the sea.
func AbsoluteAirMass(elevation, pressure float64) float64 {
	return AirMass(elevation) * pressure / 101325
}

// Incidence returns the angle in rad between the sun's beam and the normal of a plane that is inclined by slope from
// the horizontal and faces azimuth, from north eastwards, both in rad:
//
//	cos I = sin e cos ω + cos e sin ω cos(Φ - Φₙ)
//
// Source: NREL/TP-560-34302 (rev. 2008), eq. 47, with the azimuth counted from north.
func (p *Position) Incidence(slope, azimuth float64) float64 {
	sinE, cosE := math.Sincos(p.Elevation)
	sinS, cosS := math.Sincos(slope)
	return math.Acos(max(-1, min(1, sinE*cosS+cosE*sinS*math.Cos(p.Azimuth-azimuth))))
}
