package sun

import "math"

// place is a site with what all its instants share.
type place struct {
	longitude      float64
	sin, cos       float64 // of the latitude
	x, y           float64 // of the site from the earth's axis and equator, in radii of the equator
	refraction     float64 // pressure and temperature against those of the formula
	lowestRefracts float64 // rad, true elevation below which nothing is refracted
}

// newPlace reckons the place of a site on the earth's ellipsoid.
//
// Source: NREL/TP-560-34302 (rev. 2008), eqs. 34 to 36; for eq. 42 pressure and temperature.
func newPlace(s *Site) place {
	p := place{longitude: s.Longitude, lowestRefracts: -(SunRadius + 0.5667*degree)}
	p.sin, p.cos = math.Sincos(s.Latitude)
	const flat = 0.99664719
	sinU, cosU := math.Sincos(math.Atan2(flat*p.sin, p.cos))
	h := s.Elevation / 6378140
	p.x, p.y = cosU+h*p.cos, flat*sinU+h*p.sin
	pressure, temperature := s.Air()
	p.refraction = pressure / 101000 * 283 / (temperature - 0.15) // the formula has 273 K at 0 °C
	return p
}

// see returns the sun's position over the place, from Greenwich's sidereal time and the sun as the earth's centre has it.
//
//	H = ν + σ - α   sin ξ = 8.794″/R
//	X = cos δ cos H - x sin ξ   Y = cos δ sin H   Z = sin δ - y sin ξ
//	up = cos φ X + sin φ Z   west = Y   south = sin φ X - cos φ Z
//	e₀ = atan2(up, √(west² + south²))   e = e₀ + Δe   Φ = atan2(west, south) + 180°
//
// These are the source's angles δ′, H′ and Γ as components: neither pole nor zenith costs digits, and few sines are asked.
//
// Source: NREL/TP-560-34302 (rev. 2008), eqs. 32 to 46.
func (p *place) see(sidereal, ascension, declination, distance float64) Position {
	sinX := math.Sin(8.794 / 3600 * degree / distance)
	sinH, cosH := math.Sincos(sidereal + p.longitude - ascension)
	sinD, cosD := math.Sincos(declination)
	x, west, z := cosD*cosH-p.x*sinX, cosD*sinH, sinD-p.y*sinX
	up, south := p.cos*x+p.sin*z, p.sin*x-p.cos*z
	e := math.Atan2(up, math.Hypot(west, south))
	return Position{
		Elevation: e + p.refracted(e), True: e, Azimuth: turn(math.Atan2(west, south) + math.Pi), Distance: distance,
	}
}

// refracted returns by how much the air lifts the sun, in rad:
//
//	Δe = (P/1010) (283/(273 + T)) 1.02/(60 tan(e₀ + 10.3/(e₀ + 5.11)))   P in mbar, T in °C, e₀ and Δe in degrees
//
// and nothing where the whole sun stands below the horizon.
//
// Source: NREL/TP-560-34302 (rev. 2008), eq. 42; Meeus, Astronomical Algorithms, 2nd ed., chapter 16 (Sæmundsson).
func (p *place) refracted(e float64) float64 {
	if e < p.lowestRefracts {
		return 0
	}
	d := e / degree
	return p.refraction * 1.02 / 60 * degree / math.Tan((d+10.3/(d+5.11))*degree)
}
