package verify

import (
	"math"
	"strconv"
	"time"

	"emberbank/sun"
)

const sunTopic = "sun"

// suns are the sun's place, its day, the air before it and what a clear sky leaves of its beam.
func suns() []known {
	return []known{
		{topic: sunTopic, title: "the sun position algorithm's worked example", rows: sunExample()},
		{topic: sunTopic, title: "positions of the sun by an ephemeris", rows: sunPositions()},
		{topic: sunTopic, title: "air mass and clear skies", rows: skies()},
	}
}

const deg = math.Pi / 180

// utc is an instant by its clock.
func utc(text string) float64 {
	at, err := time.Parse(time.DateTime, text)
	if err != nil {
		return math.NaN()
	}
	return sun.Seconds(at)
}

// sunExample is Table A5.1 of the report.
func sunExample() []wanted {
	const source = "Reda & Andreas, Solar Energy 76 (2004) 577; NREL/TP-560-34302 (rev. 2008), worked example, Table A5.1; further digits as the authors' test program prints them (read-me of maltegrosse/go-spa)"
	at := utc("2003-10-17 19:30:30")
	site := &sun.Site{Latitude: 39.742476 * deg, Longitude: -105.1786 * deg, Elevation: 1830.14, Pressure: 82000, Temperature: 284.15}
	appear := func(get func(a *sun.Apparent) float64) func(*outcome) float64 {
		return asked(func() float64 { a := sun.Appear(at, 67); return get(&a) })
	}
	place := func(get func(p *sun.Position) float64) func(*outcome) float64 {
		return asked(func() float64 { p := sun.At(at, 67, site); return get(&p) })
	}
	rows := from(source, "to half of the last printed digit",
		within("Julian day of 2003-10-17 12:30:30, 7 h behind UTC", "d", 2452930.312847, 5e-7, asked(func() float64 { return sun.JulianDay(at) })),
		within("earth's heliocentric longitude", "deg", 24.0182616917, 5e-11, appear(func(a *sun.Apparent) float64 { return a.Longitude / deg })),
		within("earth's heliocentric latitude", "deg", -0.0001011219, 5e-11, appear(func(a *sun.Apparent) float64 { return a.Latitude / deg })),
		within("earth's distance from the sun", "AU", 0.9965422974, 5e-11, appear(func(a *sun.Apparent) float64 { return a.Distance })),
		within("nutation in longitude", "deg", -0.003998404, 5e-10, appear(func(a *sun.Apparent) float64 { return a.NutationLongitude / deg })),
		within("nutation in obliquity", "deg", 0.001666568, 5e-10, appear(func(a *sun.Apparent) float64 { return a.NutationObliquity / deg })),
		within("true obliquity", "deg", 23.440465, 5e-7, appear(func(a *sun.Apparent) float64 { return a.Obliquity / deg })),
		within("hour angle", "deg", 11.105902, 5e-7, appear(func(a *sun.Apparent) float64 { return (a.Sidereal + site.Longitude - a.Ascension) / deg })),
		within("zenith angle, with refraction", "deg", 50.111622, 5e-7, place(func(p *sun.Position) float64 { return 90 - p.Elevation/deg })),
		within("azimuth from north", "deg", 194.340241, 5e-7, place(func(p *sun.Position) float64 { return p.Azimuth / deg })),
		within("incidence on a plane of 30° slope that faces 170°", "deg", 25.187000, 5e-7, place(func(p *sun.Position) float64 { return p.Incidence(30*deg, 170*deg) / deg })))
	day := func(at float64, get func(d *sun.Day) float64, of string) func(*outcome) float64 {
		return asked(func() float64 { d := sun.DayOf(at, 67, site); return get(&d) - utc(of) })
	}
	return append(rows, from(source, "half of the last printed second; the example counts its day in universal time, so that its sunset is the evening before",
		within("sunrise after 06:12:43", "s", 0, 0.5, day(at, func(d *sun.Day) float64 { return d.Rise }, "2003-10-17 13:12:43")),
		within("sunset after 17:20:19", "s", 0, 0.5, day(at-86400, func(d *sun.Day) float64 { return d.Set }, "2003-10-17 00:20:19")))...)
}

// sunPositions are places of use, by a general-purpose ephemeris library.
func sunPositions() []wanted {
	const source = "PyEphem 4.1 (topocentric, without refraction); astropy 5.2 agrees to 0.003°, most of which is UT1 against UTC"
	var rows []wanted
	for _, c := range []struct {
		place                    string
		latitude, longitude, asl float64
		at                       string
		up, azimuth              float64
	}{
		{"39.7° N 105.2° W", 39.742476, -105.1786, 1830.14, "2021-06-21 19:00:00", 73.68332, 177.85121},
		{"37.1° N 2.4° W", 37.09, -2.36, 500, "2020-03-20 12:00:00", 52.84003, 173.04563},
		{"37.1° N 2.4° W", 37.09, -2.36, 500, "2020-12-21 09:30:00", 18.9933, 141.96082},
		{"37.1° N 2.4° W", 37.09, -2.36, 500, "2022-07-15 17:45:00", 18.59381, 283.24344},
		{"the equator", 0, 0, 0, "2019-09-23 12:00:00", 88.10887, 267.95067},
		{"23.7° S 133.9° E", -23.7, 133.9, 545, "2018-01-10 02:15:00", 76.81744, 85.30177},
		{"23.7° S 133.9° E", -23.7, 133.9, 545, "2018-07-01 04:00:00", 41.52731, 344.01668},
	} {
		at := utc(c.at)
		site := &sun.Site{Latitude: c.latitude * deg, Longitude: c.longitude * deg, Elevation: c.asl}
		what := "sun over " + c.place + ", " + c.at[:16] + " UTC: "
		rows = append(rows, from(source, "the algorithm's stated 0.0003°; the azimuth by the cosine of the elevation",
			within(what+"elevation", "deg", c.up, 3e-4, asked(func() float64 { p := sun.At(at, sun.DeltaT(at), site); return p.True / deg })),
			within(what+"azimuth", "deg", c.azimuth, 3e-4/math.Cos(c.up*deg), asked(func() float64 { return sun.At(at, sun.DeltaT(at), site).Azimuth / deg })))...)
	}
	site := &sun.Site{Latitude: -23.7 * deg, Longitude: 133.9 * deg}
	noon := utc("2018-07-01 03:30:00")
	return append(rows, from("PyEphem 4.1: centre of the sun at 0.8333° below the horizon, without refraction", "1 s: parallax, which the condition leaves out",
		within("sunrise over 23.7° S 133.9° E after 21:47:21 UTC of 2018-06-30", "s", 0, 1, asked(func() float64 {
			return sun.DayOf(noon, sun.DeltaT(noon), site).Rise - utc("2018-06-30 21:47:21")
		})),
		within("sunset over 23.7° S 133.9° E after 08:29:05 UTC of 2018-07-01", "s", 0, 1, asked(func() float64 {
			return sun.DayOf(noon, sun.DeltaT(noon), site).Set - utc("2018-07-01 08:29:05")
		})))...)
}

// skies are the published formulas at some heights of the sun, and the beam outside the air.
func skies() []wanted {
	const digits = "the published formula evaluated apart, to 10 digits"
	var rows []wanted
	for _, c := range []struct{ zenith, mass, meinel, meinel1km, ineichen float64 }{
		{0, 0.9997119919, 947.1659687, 1003.982733, 943.7077217},
		{60, 1.994292853, 765.5026835, 847.7523078, 789.0202189},
		{85, 10.30579133, 238.8198796, 394.8050965, 176.7475107},
	} {
		e := (90 - c.zenith) * deg
		at := " at a zenith angle of " + strconv.Itoa(int(c.zenith)) + "°"
		rows = append(rows, from("Kasten & Young, Appl. Opt. 28 (1989) 4735", digits,
			near("air mass"+at, "1", c.mass, 1e-9, asked(func() float64 { return sun.AirMass(e) })))...)
		rows = append(rows, from("Meinel & Meinel, Applied Solar Energy (1976)", digits,
			near("clear sky's beam, Meinel, sea level"+at, "W/m2", c.meinel, 1e-9, asked(func() float64 { return sun.MeinelBeam(sun.AirMass(e), 0) })),
			near("clear sky's beam, Meinel, 1 km"+at, "W/m2", c.meinel1km, 1e-9, asked(func() float64 { return sun.MeinelBeam(sun.AirMass(e), 1000) })))...)
		rows = append(rows, from("Ineichen & Perez, Solar Energy 73 (2002) 151; turbidity 3, sea level, 1366.1 W/m² outside the air", digits,
			near("clear sky's beam, Ineichen and Perez"+at, "W/m2", c.ineichen, 1e-9, asked(func() float64 { return sun.IneichenPerezBeam(1366.1, sun.AirMass(e), 3, 0) })))...)
	}
	esra := func(m float64) func(*outcome) float64 {
		return asked(func() float64 { return sun.ESRABeam(1361, m, 3) })
	}
	rows = append(rows, from("Rigollier, Bauer & Wald, Solar Energy 68 (2000) 33, δ by Kasten, Solar Energy 56 (1996) 239; turbidity 3, 1361 W/m² outside the air", digits,
		near("clear sky's beam, ESRA, air mass 2", "W/m2", 796.5214748, 1e-9, esra(2)),
		near("clear sky's beam, ESRA, air mass 30", "W/m2", 118.5353313, 1e-9, esra(30)))...)
	const orbit = 0.01670863
	outside := func(day string) func(*outcome) float64 {
		return asked(func() float64 {
			at := utc(day + " 00:00:00")
			return sun.Extraterrestrial(sun.Appear(at, sun.DeltaT(at)).Distance)
		})
	}
	return append(rows, from("Kepler's ellipse with the earth's eccentricity of 0.01670863 (Meeus, Astronomical Algorithms, 2nd ed., eq. 25.4) and 1361.1 W/m² (Gueymard, Solar Energy 169 (2018) 434)",
		"0.02 %: the moon and the planets move the earth by 0.0001 of its distance",
		near("beam outside the air at perihelion, 2000-01-03", "W/m2", 1361.1/((1-orbit)*(1-orbit)), 2e-4, outside("2000-01-03")),
		near("beam outside the air at aphelion, 2000-07-04", "W/m2", 1361.1/((1+orbit)*(1+orbit)), 2e-4, outside("2000-07-04")))...)
}
