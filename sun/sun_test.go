package sun

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.12g, want %.12g to %g", what, got, want, tol)
	}
}

// golden is the site and instant of the algorithm's worked example.
func golden() (float64, *Site) {
	at := Seconds(time.Date(2003, 10, 17, 12, 30, 30, 0, time.FixedZone("", -7*3600)))
	return at, &Site{Latitude: 39.742476 * degree, Longitude: -105.1786 * degree, Elevation: 1830.14, Pressure: 82000, Temperature: 284.15}
}

// Source: Reda & Andreas, NREL/TP-560-34302 (rev. 2008), Table A5.1; further digits by the authors' own test program, as the
// read-me of maltegrosse/go-spa prints them. Tolerances are half of the last digit.
func TestWorkedExampleToItsPrintedDigits(t *testing.T) {
	at, site := golden()
	a := Appear(at, 67)
	p := At(at, 67, site)
	near(t, "Julian day", JulianDay(at), 2452930.312847, 5e-7)
	near(t, "L", a.Longitude/degree, 24.0182616917, 5e-11)
	near(t, "B", a.Latitude/degree, -0.0001011219, 5e-11)
	near(t, "R", a.Distance, 0.9965422974, 5e-11)
	near(t, "Δψ", a.NutationLongitude/degree, -0.003998404303, 5e-13)
	near(t, "Δε", a.NutationObliquity/degree, 0.001666568177, 5e-13)
	near(t, "ε", a.Obliquity/degree, 23.440465, 5e-7)
	near(t, "H", (a.Sidereal+site.Longitude-a.Ascension)/degree, 11.105902, 5e-7)
	near(t, "zenith", 90-p.Elevation/degree, 50.111622, 5e-7)
	near(t, "azimuth", p.Azimuth/degree, 194.340241, 5e-7)
	near(t, "incidence", p.Incidence(30*degree, 170*degree)/degree, 25.187000, 5e-7)

	// The example's day is that of universal time: its sunset is the one before its sunrise.
	day, before := DayOf(at, 67, site), DayOf(at-86400, 67, site)
	clock := func(h, m, s int) float64 { return Seconds(time.Date(2003, 10, 17, h, m, s, 0, time.UTC)) }
	near(t, "sunrise 06:12:43", day.Rise, clock(13, 12, 43), 0.5)
	near(t, "sunset 17:20:19", before.Set, clock(0, 20, 19), 0.5)
}

// rows reads a table of testdata without its headings.
func rows(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) < 20 {
		t.Fatalf("%s: %d rows, %v", name, len(all), err)
	}
	return all[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func instant(t *testing.T, s string) float64 {
	t.Helper()
	at, err := time.Parse(time.DateTime, s)
	if err != nil {
		t.Fatal(err)
	}
	return Seconds(at)
}

// Source: testdata/README.md. The algorithm's stated accuracy is 0.0003°; the azimuth counts by the cosine of the elevation.
func TestPositionsAgreeWithAnEphemeris(t *testing.T) {
	worst := 0.0
	for _, r := range rows(t, "positions.csv") {
		at := instant(t, r[3])
		site := Site{Latitude: number(t, r[0]) * degree, Longitude: number(t, r[1]) * degree, Elevation: number(t, r[2])}
		p := At(at, DeltaT(at), &site)
		e, a := p.True/degree-number(t, r[4]), half(p.Azimuth-number(t, r[5])*degree)/degree*math.Cos(p.True)
		worst = max(worst, math.Abs(e), math.Abs(a))
		if math.Abs(e) > 3e-4 || math.Abs(a) > 3e-4 {
			t.Errorf("%v: elevation is off by %.2g°, azimuth by %.2g°", r, e, a)
		}
		near(t, "distance", p.Distance, number(t, r[6]), 4.6e-5) // the table counts from the site: the earth's radius
	}
	if worst == 0 {
		t.Error("nothing was compared")
	}
	t.Logf("at most %.2g° apart", worst)
}

// Source: python3-ephem 4.1, topocentric, without refraction; python3-astropy 5.2 agrees to better than 0.003°, most of
// which is UT1 against UTC.
func TestPositionsAtPlacesOfUse(t *testing.T) {
	for _, r := range []struct {
		latitude, longitude, elevation float64
		utc                            string
		up, azimuth, distance          float64
	}{
		{39.742476, -105.1786, 1830.14, "2003-10-17 19:30:30", 39.87205, 194.34023, 0.996542},
		{39.742476, -105.1786, 1830.14, "2021-06-21 19:00:00", 73.68332, 177.85121, 1.01627},
		{37.09, -2.36, 500, "2020-03-20 12:00:00", 52.84003, 173.04563, 0.996015},
		{37.09, -2.36, 500, "2020-12-21 09:30:00", 18.9933, 141.96082, 0.983718},
		{37.09, -2.36, 500, "2022-07-15 17:45:00", 18.59381, 283.24344, 1.016423},
		{0, 0, 0, "2019-09-23 12:00:00", 88.10887, 267.95067, 1.003552},
		{-23.7, 133.9, 545, "2018-01-10 02:15:00", 76.81744, 85.30177, 0.983428},
		{-23.7, 133.9, 545, "2018-07-01 04:00:00", 41.52731, 344.01668, 1.016629},
	} {
		at := instant(t, r.utc)
		p := At(at, DeltaT(at), &Site{Latitude: r.latitude * degree, Longitude: r.longitude * degree, Elevation: r.elevation})
		near(t, r.utc+" elevation", p.True/degree, r.up, 3e-4)
		near(t, r.utc+" azimuth", p.Azimuth/degree, r.azimuth, 3e-4/math.Cos(p.True))
		near(t, r.utc+" distance", p.Distance, r.distance, 2e-6)
	}
}

// Source: testdata/README.md.
func TestDaysAgreeWithAnEphemeris(t *testing.T) {
	dark, light := 0, 0
	for _, r := range rows(t, "days.csv") {
		at := instant(t, r[2])
		site := Site{Latitude: number(t, r[0]) * degree, Longitude: number(t, r[1]) * degree}
		d := DayOf(at, DeltaT(at), &site)
		near(t, "transit", d.Transit-at, number(t, r[4]), 0.5)
		if d.Up != (r[6] == "1") {
			t.Errorf("%v: up is %t", r, d.Up)
		}
		if r[3] == "" {
			if !math.IsNaN(d.Rise) || !math.IsNaN(d.Set) {
				t.Errorf("%v: it rises at %g and sets at %g", r, d.Rise, d.Set)
			}
			if d.Up {
				light++
			} else {
				dark++
			}
			continue
		}
		// The conditions of the algorithm leave out parallax, up to 0.0025°: the more time, the more slantwise the sun moves.
		slow := func(x float64) float64 {
			a, b := At(x-30, DeltaT(at), &site), At(x+30, DeltaT(at), &site)
			return 0.2 + 0.0025*degree/math.Abs(b.True-a.True)*60
		}
		near(t, "rise", d.Rise-at, number(t, r[3]), slow(d.Rise))
		near(t, "set", d.Set-at, number(t, r[5]), slow(d.Set))
	}
	if dark == 0 || light == 0 {
		t.Errorf("%d days without day and %d without night: want some of each", dark, light)
	}
}

func drawSite(t *rapid.T) *Site {
	return &Site{
		Latitude:  rapid.Float64Range(-90, 90).Draw(t, "latitude") * degree,
		Longitude: rapid.Float64Range(-180, 180).Draw(t, "longitude") * degree,
		Elevation: rapid.Float64Range(-400, 5000).Draw(t, "elevation"),
	}
}

func drawInstant(t *rapid.T) float64 {
	return rapid.Float64Range(-50, 50).Draw(t, "years from 2000") * 365.25 * 86400
}

// At rising and setting the sun's centre stands 0.8333° below the horizon, without refraction; parallax is at most 0.0025°.
func TestSunRisesAndSetsWhereItsLimbMeetsTheHorizon(t *testing.T) {
	met := 0
	rapid.Check(t, func(t *rapid.T) {
		site, at := drawSite(t), drawInstant(t)
		d := DayOf(at, DeltaT(at), site)
		if math.Abs(d.Transit-at) > 43300+1200 {
			t.Fatalf("the transit lies %g s from the instant", d.Transit-at)
		}
		for _, x := range []float64{d.Rise, d.Set} {
			if x != x {
				continue
			}
			met++
			p := At(x, DeltaT(at), site)
			if e := p.True / degree; math.Abs(e+0.8333) > 0.0026 {
				t.Fatalf("it stands at %g° there", e)
			}
		}
		if d.Up && !(d.Rise != d.Rise || d.Rise < d.Transit) || d.Up && !(d.Set != d.Set || d.Set > d.Transit) {
			t.Fatalf("out of order: %+v", d)
		}
	})
	if met == 0 {
		t.Error("it never rose")
	}
}

// The sun climbs as it sinks, but for the drift of its declination, at most 0.4° in a day.
func TestElevationIsSymmetricAboutTransit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site, at := drawSite(t), drawInstant(t)
		d := DayOf(at, DeltaT(at), site)
		h := rapid.Float64Range(0, 43200).Draw(t, "from transit")
		before, after := At(d.Transit-h, DeltaT(at), site), At(d.Transit+h, DeltaT(at), site)
		if x := (before.True - after.True) / degree; math.Abs(x) > 0.41*h/43200+0.005 {
			t.Fatalf("%g° apart %g h from the transit", x, h/3600)
		}
		east, west := half(before.Azimuth), half(-after.Azimuth)
		if low := math.Cos(before.True); math.Abs(half(east-west))*low/degree > 1 {
			t.Fatalf("azimuths %g and %g are no mirror images", before.Azimuth/degree, after.Azimuth/degree)
		}
	})
}

// At a pole the sun goes round level: its elevation is its declination, less parallax.
func TestAtThePolesTheSunGoesRoundLevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := drawInstant(t)
		a := Appear(at, DeltaT(at))
		for _, s := range []float64{1, -1} {
			p := At(at, DeltaT(at), &Site{Latitude: s * math.Pi / 2, Longitude: rapid.Float64Range(-3, 3).Draw(t, "longitude")})
			if x := (p.True - s*a.Declination) / degree; x > 1e-9 || x < -0.0026 {
				t.Fatalf("it stands %g° beside its declination", x)
			}
		}
	})
}

// At another longitude the same day comes later or earlier.
func TestLongitudeOnlyShiftsTheDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site, at := drawSite(t), drawInstant(t)
		east := *site
		east.Longitude = rapid.Float64Range(-180, 180).Draw(t, "other longitude") * degree
		a, b := DayOf(at, DeltaT(at), site), DayOf(at, DeltaT(at), &east)
		turned := half(east.Longitude-site.Longitude) / (2 * math.Pi) * 86400
		if x := math.Remainder(b.Transit-a.Transit+turned, 86400); math.Abs(x) > 62 { // the equation of time drifts by 30 s a day
			t.Fatalf("the transit moves by %g s more than the turn of the earth", x)
		}
	})
}

func TestTrackFollowsTheAlgorithm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site, from := drawSite(t), drawInstant(t)
		length := rapid.Float64Range(0, 400).Draw(t, "days") * 86400
		tr := NewTrack(from, from+length, site)
		at := from + rapid.Float64Range(-0.01, 1.01).Draw(t, "share")*length
		a, b := tr.At(at), At(at, DeltaT(at), site)
		if x := max(math.Abs(a.True-b.True), math.Abs(half(a.Azimuth-b.Azimuth))*math.Cos(b.True)) / degree; x > 1e-7 {
			t.Fatalf("%g° apart", x)
		}
		d, e := tr.Day(at), DayOf(at, DeltaT(at), site)
		for _, x := range [][2]float64{{d.Rise, e.Rise}, {d.Transit, e.Transit}, {d.Set, e.Set}} {
			if (x[0] != x[0]) != (x[1] != x[1]) && math.Abs(site.Latitude) < 66*degree || math.Abs(x[0]-x[1]) > 0.1 && math.Abs(site.Latitude) < 66*degree {
				t.Fatalf("days %+v and %+v", d, e)
			}
		}
	})
}

func TestPositionsAllocateNothing(t *testing.T) {
	at, site := golden()
	tr := NewTrack(at, at+86400, site)
	sum := 0.0
	sky := ClearSky{Model: ESRA, Turbidity: 3}
	if n := testing.AllocsPerRun(100, func() {
		p := At(at, 67, site)
		q := tr.At(at + 600)
		sum += p.Elevation + q.Elevation + sky.Beam(&q, site)
	}); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func TestInstantAndBack(t *testing.T) {
	for _, at := range []time.Time{
		time.Date(2024, 2, 29, 23, 59, 59, 0, time.UTC), time.Date(1950, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(1, 1, 1, 0, 0, 0, 0, time.UTC),
	} {
		if got := Instant(Seconds(at)); !got.Equal(at) {
			t.Errorf("%v comes back as %v", at, got)
		}
	}
}

// Source: Meeus, Astronomical Algorithms, 2nd ed., chapter 7, by NREL/TP-560-34302 (rev. 2008), Table A4.1.
func TestJulianDays(t *testing.T) {
	for _, r := range []struct {
		at   time.Time
		want float64
	}{
		{time.Date(2000, 1, 1, 12, 0, 0, 0, time.UTC), 2451545},
		{time.Date(1999, 1, 1, 0, 0, 0, 0, time.UTC), 2451179.5},
		{time.Date(1987, 1, 27, 0, 0, 0, 0, time.UTC), 2446822.5},
		{time.Date(1987, 6, 19, 12, 0, 0, 0, time.UTC), 2446966},
		{time.Date(1988, 1, 27, 0, 0, 0, 0, time.UTC), 2447187.5},
		{time.Date(1900, 1, 1, 0, 0, 0, 0, time.UTC), 2415020.5},
		{time.Date(1600, 1, 1, 0, 0, 0, 0, time.UTC), 2305447.5},
	} {
		near(t, r.at.String(), JulianDay(Seconds(r.at)), r.want, 0)
	}
}

// Source: observed values of ΔT, Espenak & Meeus, NASA/TP-2006-214141, Table 2 (from memory); 0.3 s for the fit.
func TestDeltaTFollowsWhatWasObserved(t *testing.T) {
	for _, r := range [][2]float64{{1955, 31.1}, {1960, 33.2}, {1970, 40.2}, {1980, 50.5}, {1990, 56.9}, {2000, 63.8}, {2005, 64.7}} {
		near(t, "ΔT of "+strconv.Itoa(int(r[0])), DeltaT((r[0]-2000)*365.25*86400), r[1], 0.3)
	}
	for _, y := range []float64{1900, 1920, 1941, 1961, 1986, 2005, 2050, 2150} {
		at := (y - 2000) * 365.25 * 86400
		if a, b := DeltaT(at-1), DeltaT(at+1); math.Abs(a-b) > 1.1 && y > 1900 {
			t.Errorf("ΔT jumps from %g to %g s in %g", a, b, y)
		}
	}
}
