package sun

// span is a stretch of years over which ΔT is a polynomial in the years from its origin.
type span struct {
	until, origin float64
	c             []float64
}

// deltaTSpans: see DeltaT.
var deltaTSpans = []span{
	{1920, 1900, []float64{-2.79, 1.494119, -0.0598939, 0.0061966, -0.000197}},
	{1941, 1920, []float64{21.20, 0.84493, -0.076100, 0.0020936}},
	{1961, 1950, []float64{29.07, 0.407, -1.0 / 233, 1.0 / 2547}},
	{1986, 1975, []float64{45.45, 1.067, -1.0 / 260, -1.0 / 718}},
	{2005, 2000, []float64{63.86, 0.3345, -0.060374, 0.0017275, 0.000651814, 0.00002373599}},
	{2050, 2000, []float64{62.92, 0.32217, 0.005589}},
}

// DeltaT returns ΔT, the lead of terrestrial over universal time in s, at an instant from 1900 to 2150: polynomials over
// the years, fitted to what was observed until 2005 and foretold from then on (2 s too much in 2020). Beyond those
// years it holds a long-term parabola, which serves for the sun's position from -500 to 3000 (minutes, some 0.01°).
//
// Source: Espenak & Meeus, Five Millennium Canon of Solar Eclipses, NASA/TP-2006-214141; polynomials as printed on
// eclipse.gsfc.nasa.gov.
func DeltaT(t float64) float64 {
	y := 2000 + t/(86400*365.25)
	u := (y - 1820) / 100
	parabola := -20 + 32*u*u
	switch {
	case y < 1900 || y >= 2150:
		return parabola
	case y >= 2050:
		return parabola - 0.5628*(2150-y)
	}
	for _, s := range deltaTSpans {
		if y < s.until {
			x, sum := y-s.origin, 0.0
			for i := len(s.c) - 1; i >= 0; i-- {
				sum = sum*x + s.c[i]
			}
			return sum
		}
	}
	return parabola
}
