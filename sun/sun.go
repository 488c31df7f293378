// Package sun tells where the sun stands and how strong its beam is: the published algorithm of Reda and Andreas for
// its position, rising, transit and setting, the air that its beam comes through, and what a clear sky leaves of it.
//
// Instants are seconds of universal time from J2000 (see Seconds); angles are in rad. Universal time is taken as UTC,
// which differs by less than 0.9 s or 0.004° of the earth's turning. With that difference put into the instant the
// position is good to 0.0003° from the year -2000 to 6000, as its authors state; refraction near the horizon is not,
// for the air there is never the standard one.
//
// Left out: the moon, mountains and houses before the sun, clouds, diffuse light, and the sun's disc (see SunRadius).
//
//	site := sun.Site{Latitude: 0.7, Longitude: -1.8, Elevation: 1600}
//	t := sun.Seconds(time.Date(2026, 6, 21, 18, 0, 0, 0, time.UTC))
//	p := sun.At(t, sun.DeltaT(t), &site)
//	beam := sun.ClearSky{Model: sun.IneichenPerez, Turbidity: 3}.Beam(&p, &site)
package sun

import (
	"math"
	"time"
)

const degree = math.Pi / 180 // rad

// SunRadius is the mean angle of the sun's radius in rad. Source: NREL/TP-560-34302 (rev. 2008), A.2.
const SunRadius = 0.26667 * degree

// j2000 is 2000-01-01 12:00 in seconds from 1970, from which Seconds counts.
const j2000 = 946728000

// Seconds returns an instant in s from 2000-01-01 12:00 of universal time.
func Seconds(t time.Time) float64 {
	return float64(t.Unix()-j2000) + 1e-9*float64(t.Nanosecond())
}

// Instant is Seconds backwards, to the microsecond.
func Instant(t float64) time.Time {
	s := math.Floor(t)
	return time.Unix(int64(s)+j2000, 1000*int64(math.Round(1e6*(t-s)))).UTC()
}

// JulianDay returns the Julian day of an instant.
func JulianDay(t float64) float64 { return 2451545 + t/86400 }

// Site is a place on the earth.
type Site struct {
	Latitude    float64 // rad, north above 0
	Longitude   float64 // rad, east above 0
	Elevation   float64 // m above sea level
	Pressure    float64 // Pa, mean of the year; 0: that of the standard atmosphere, see Air
	Temperature float64 // K, mean of the year; 0: that of the standard atmosphere
}

// Air returns the pressure in Pa and the temperature in K that a site states, else those of the standard atmosphere at
// its elevation h in m, from -430 to 11 000 m:
//
//	T = 288.15 - 0.0065 h    p = 101325 (T / 288.15)^5.25588
//
// Source: ISO 2533:1975, standard atmosphere.
func (s *Site) Air() (pressure, temperature float64) {
	T := 288.15 - 0.0065*min(s.Elevation, 11000)
	pressure, temperature = 101325*math.Pow(T/288.15, 5.25588), T
	if s.Pressure > 0 {
		pressure = s.Pressure
	}
	if s.Temperature > 0 {
		temperature = s.Temperature
	}
	return pressure, temperature
}

// Position is where the sun stands over a site.
type Position struct {
	Elevation float64 // rad, of its centre above the horizon, as it is seen: with refraction
	True      float64 // rad, without refraction
	Azimuth   float64 // rad from north, eastwards, 0 to 2π
	Distance  float64 // AU
}

// At returns the sun's position over a site at an instant t; deltaT is the lead of terrestrial over universal time in s,
// see DeltaT: an error of 25 s in it moves the sun by 0.0003°.
//
// Source: Reda & Andreas, Solar Energy 76 (2004) 577; NREL/TP-560-34302 (rev. 2008), whole.
func At(t, deltaT float64, site *Site) Position {
	a := Appear(t, deltaT)
	p := newPlace(site)
	return p.see(a.Sidereal, a.Ascension, a.Declination, a.Distance)
}
