package sun

import "math"

// risen is the elevation of the sun's centre, without refraction and parallax, at which its upper limb is seen on a
// level horizon: half its breadth and the usual refraction. Source: NREL/TP-560-34302 (rev. 2008), A.2.5.
const risen = -0.8333 * degree

// Day is a day of the sun: from one lower transit to the next. Times are instants in s.
type Day struct {
	Rise    float64 // the upper limb comes up; NaN where it does not on this day
	Transit float64 // the sun passes the meridian on its upper side
	Set     float64 // the upper limb goes down; NaN
	Up      bool    // at its transit the sun is up: tells days without night from nights without day
}

// DayOf returns the day of the sun over a site to which an instant belongs; t and deltaT as for At.
//
// Reda and Andreas interpolate three positions a day apart, once; here the same conditions are met exactly, by the
// position at the instant itself. At low and middle latitudes both agree to the second.
//
// Source: NREL/TP-560-34302 (rev. 2008), appendix A.2, for the conditions.
func DayOf(t, deltaT float64, site *Site) Day {
	return dayOf(t, site, func(t float64) (sidereal, ascension, declination float64) {
		a := Appear(t, deltaT)
		return a.Sidereal, a.Ascension, a.Declination
	})
}

func dayOf(t float64, site *Site, sun func(float64) (sidereal, ascension, declination float64)) Day {
	sinP, cosP := math.Sincos(site.Latitude)
	hour := func(t float64) float64 {
		sidereal, ascension, _ := sun(t)
		return half(sidereal + site.Longitude - ascension)
	}
	above := func(t float64) float64 {
		sidereal, ascension, declination := sun(t)
		sinD, cosD := math.Sincos(declination)
		return math.Asin(max(-1, min(1, sinP*sinD+cosP*cosD*math.Cos(sidereal+site.Longitude-ascension)))) - risen
	}
	const second = 2 * math.Pi / 86400 // rad of hour angle, of the mean sun
	transit := t
	for range 20 {
		step := hour(transit) / second
		if transit -= step; math.Abs(step) < 1e-4 {
			break
		}
	}
	d := Day{Transit: transit, Rise: math.NaN(), Set: math.NaN(), Up: above(transit) > 0}
	if before := transit - 43200; (above(before) > 0) != d.Up {
		d.Rise = crossing(above, before, transit)
	}
	if after := transit + 43200; (above(after) > 0) != d.Up {
		d.Set = crossing(above, transit, after)
	}
	if !d.Up { // near a pole, where a day's course is flat, it may rise behind the transit, or set before it
		d.Rise, d.Set = d.Set, d.Rise
	}
	return d
}

// Span is a stretch of time between two instants in s.
type Span struct{ From, To float64 }

// Daylight returns the stretches between two instants in which the sun's centre is seen above a level horizon, with
// refraction, in order.
func (tr *Track) Daylight(from, to float64) []Span {
	var out []Span
	up := func(t float64) float64 { return tr.At(t).Elevation }
	open := up(from) > 0
	begin := from
	// The sun turns at its transits, so that between two of them it crosses the horizon once at the most. They drift by up to
	// half an hour from the first one's time over a year, so that near a pole a day or a night that is shorter may be passed over.
	a := from
	for t := tr.Day(from).Transit - 43200; a < to; t += 43200 {
		b := min(max(t, a), to)
		if b == a {
			continue
		}
		if above := up(b) > 0; above != open {
			x := crossing(up, a, b)
			if open {
				out = append(out, Span{begin, x})
			}
			open, begin = above, x
		}
		a = b
	}
	if open && to > begin {
		out = append(out, Span{begin, to})
	}
	return out
}

// crossing returns where f, of opposite signs at a and b, is zero, to 0.1 ms, by halving and false position in turn.
func crossing(f func(float64) float64, a, b float64) float64 {
	fa, fb := f(a), f(b)
	for range 200 {
		if b-a <= 1e-4 {
			break
		}
		for _, c := range [2]float64{(a*fb - b*fa) / (fb - fa), 0} {
			if c == 0 || !(c > a && c < b) {
				c = (a + b) / 2
			}
			fc := f(c)
			if fc == 0 {
				return c
			}
			if (fc > 0) == (fa > 0) {
				a, fa = c, fc
			} else {
				b, fb = c, fc
			}
		}
	}
	return (a + b) / 2
}
