// Package film gives the thin layers that heat must cross: the water's or
// steam's film inside a tube, the air at a face, the air layer behind a pane,
// and radiation between faces.
//
// Numbers in, numbers out, in SI and kelvin; no state, no files. A
// Coefficient says which law it came from, whether the case lies outside the
// range for which that law was published, and how far it may be off. Bare
// correlations (Gnielinski, Hausen, ChurchillChuPlate, …) return what their
// authors printed; Tube, Boil, Outside and Gap join them over all flows and
// attitudes without a jump. How they are joined is our choice and is said
// where it is done.
//
// Left out: flow through bends and fittings, roughness in the heat transfer of
// a tube, buoyancy in upright tubes, the shape of a body in the wind (each face
// is a flat plate), departure from nucleate boiling in cold water (Zuber and
// Bowring are there to be asked), condensation, and gases that take part in
// radiation.
//
//	c := film.Tube(water, 0, 400, 0.010, 1.5, 0, 20)
//	heat := c.H * area * (wall - bulk)
package film

import "math"

// Gravity is the standard acceleration of free fall, m/s².
// Source: 3rd CGPM (1901), exact by definition.
const Gravity = 9.80665

// Fluid holds the properties of a liquid or a gas at one state.
type Fluid struct {
	Density      float64 // kg/m³
	Viscosity    float64 // Pa s
	Conductivity float64 // W/(m K)
	HeatCapacity float64 // J/(kg K), at constant pressure
	Prandtl      float64 // 1
	Expansion    float64 // 1/K, volumetric; 0 leaves out natural convection
}

// Coefficient is a film coefficient with what should be said of it.
type Coefficient struct {
	H       float64 // W/(m² K)
	Law     string  // correlation or correlations in use, short
	Outside bool    // outside the published range
	// Spread is the relative uncertainty at 95 %: 0.1 to 0.4 inside the
	// range; 1 or more means at least a factor of two either way.
	Spread float64
}

// Within returns H at the part s of its spread, s within −1..1:
//
//	h = H (1 + Spread)^s
//
// so that 0 is the best value and ±1 the band's ends, the same factor either
// way: for a spread of 0.4 that is 1.4 up and 1/1.4 (0.71) down, for the 1 of a
// value outside its range twice and half. It never comes to 0.
func (c Coefficient) Within(s float64) float64 {
	if s == 0 {
		return c.H
	}
	return c.H * math.Pow(1+c.Spread, s)
}

// factorOfTwo is the spread given to every value outside its law's range.
const factorOfTwo = 1.0

// reach bounds a dimensionless number so that absurd but finite input cannot
// overflow. The bounds lie far outside every published range.
func reach(v, low, high float64) float64 {
	if !(v > low) { // NaN goes to the lower bound too
		return low
	}
	return math.Min(v, high)
}

// smooth rises from 0 at u = 0 to 1 at u = 1 with level ends.
func smooth(u float64) float64 {
	u = reach(u, 0, 1)
	return u * u * (3 - 2*u)
}

// mix goes from a at w = 0 to b at w = 1 and never past either.
func mix(a, b, w float64) float64 { return (1-w)*a + w*b }

func cube(v float64) float64 { return v * v * v }

// twoThirds returns v^⅔ for v of 0 and more: a march asks for it so often that the general power costs too much.
func twoThirds(v float64) float64 {
	c := math.Cbrt(v)
	return c * c
}

// pow4 returns v⁴.
func pow4(v float64) float64 { return v * v * v * v }
