package sun

import "math"

// Apparent is the sun as it appears from the earth's centre, with the steps on the way there.
type Apparent struct {
	Longitude, Latitude float64 // rad, of the earth about the sun (L and B)
	Distance            float64 // AU (R)
	NutationLongitude   float64 // rad (Δψ)
	NutationObliquity   float64 // rad (Δε)
	Obliquity           float64 // rad, true (ε)
	Ascension           float64 // rad, right ascension (α), 0 to 2π
	Declination         float64 // rad (δ)
	Sidereal            float64 // rad, apparent sidereal time at Greenwich (ν), 0 to 2π
}

// Appear returns the apparent sun at an instant; t and deltaT as for At.
//
//	Θ = L + 180°   β = -B   Δτ = -20.4898″/R   λ = Θ + Δψ + Δτ
//	α = atan2(sin λ cos ε - tan β sin ε, cos λ)   sin δ = sin β cos ε + cos β sin ε sin λ
//	ν = ν₀ + Δψ cos ε
//
// Source: NREL/TP-560-34302 (rev. 2008), eqs. 4 to 31.
func Appear(t, deltaT float64) Apparent {
	T := (t + deltaT) / (86400 * 36525) // Julian ephemeris centuries
	tau := T / 10
	a := Apparent{
		Longitude: turn(series(longitudeTerms, tau) / 1e8),
		Latitude:  series(latitudeTerms, tau) / 1e8,
		Distance:  series(distanceTerms, tau) / 1e8,
	}
	a.NutationLongitude, a.NutationObliquity = nutation(T)
	a.Obliquity = meanObliquity(T) + a.NutationObliquity
	aberration := -20.4898 / 3600 * degree / a.Distance
	lambda := a.Longitude + math.Pi + a.NutationLongitude + aberration
	beta := -a.Latitude
	sinL, cosL := math.Sincos(lambda)
	sinE, cosE := math.Sincos(a.Obliquity)
	a.Ascension = turn(math.Atan2(sinL*cosE-math.Tan(beta)*sinE, cosL))
	a.Declination = math.Asin(math.Sin(beta)*cosE + math.Cos(beta)*sinE*sinL)
	a.Sidereal = turn(meanSidereal(t) + a.NutationLongitude*cosE)
	return a
}

// meanSidereal returns Greenwich's mean sidereal time in rad, 0 to 2π. The whole turns of the days are left out before
// they cost digits.
//
// Source: NREL/TP-560-34302 (rev. 2008), eq. 28.
func meanSidereal(t float64) float64 {
	days := t / 86400
	c := days / 36525
	return turn((280.46061837 + 360*(days-math.Floor(days)) + 0.98564736629*days + c*c*(0.000387933-c/38710000)) * degree)
}

// series sums a cos(b + c τ) over the terms, each list times a rising power of τ.
func series(terms [][]term, tau float64) float64 {
	sum := 0.0
	for i := len(terms) - 1; i >= 0; i-- {
		one := 0.0
		for _, k := range terms[i] {
			one += k.a * math.Cos(k.b+k.c*tau)
		}
		sum = sum*tau + one
	}
	return sum
}

// turn brings an angle into 0 to 2π.
func turn(x float64) float64 {
	return x - 2*math.Pi*math.Floor(x/(2*math.Pi))
}

// half brings an angle into -π to π.
func half(x float64) float64 { return math.Remainder(x, 2*math.Pi) }
