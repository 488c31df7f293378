package water

import (
	"fmt"
	"math"
)

// Region 4 is the saturation line, from the triple point to the critical point.

// Fixed points of water. Sources: IAPWS R7-97(2012), sections 2 and 8; triple-point pressure: IAPWS R6-95(2018).
const (
	CriticalTemperature = 647.096  // K
	CriticalPressure    = 22.064e6 // Pa
	criticalDensity     = 322.0    // kg/m³
	TripleTemperature   = 273.16   // K
	TriplePressure      = 611.657  // Pa
)

// saturationN are the coefficients n1 to n10 of the saturation line.
// Source: IAPWS R7-97(2012), Table 34.
var saturationN = [10]float64{
	0.11670521452767e4,
	-0.72421316703206e6,
	-0.17073846940092e2,
	0.12020824702470e5,
	-0.32325550322333e7,
	0.14915108613530e2,
	-0.48232657361591e4,
	0.40511340542057e6,
	-0.23855557567849,
	0.65017534844798e3,
}

// SaturationPressure returns the saturation pressure in Pa at T in K, within 273.15 K to 647.096 K. Between
// 273.15 K and the triple point at 273.16 K the liquid is metastable; the equation holds there as well.
// Source: IAPWS R7-97(2012), eq. 30.
func SaturationPressure(T float64) (float64, error) {
	if T > CriticalTemperature {
		return 0, fmt.Errorf("water at %s: %w: no saturation pressure above the critical temperature, 373.946 degC", celsius(T), ErrRange)
	}
	if !(T >= lowestTemperature) {
		return 0, fmt.Errorf("water at %s: %w: no saturation pressure below 0 degC (or not a number)", celsius(T), ErrRange)
	}
	return saturationPressure(T), nil
}

func saturationPressure(T float64) float64 {
	n := &saturationN
	theta := T + n[8]/(T-n[9])
	a := theta*(theta+n[0]) + n[1]
	b := theta*(n[2]*theta+n[3]) + n[4]
	c := theta*(n[5]*theta+n[6]) + n[7]
	x := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	x *= x
	return x * x * 1e6
}

// SaturationTemperature returns the saturation temperature in K at p in Pa, within 611.657 Pa (the triple point)
// to 22.064 MPa (the critical point).
// Source: IAPWS R7-97(2012), eq. 31.
func SaturationTemperature(p float64) (float64, error) {
	if p > CriticalPressure {
		return 0, fmt.Errorf("water at %s: %w: no saturation temperature above the critical pressure, 22.064 MPa", pascal(p), ErrRange)
	}
	if !(p >= TriplePressure) {
		return 0, fmt.Errorf("water at %s: %w: no saturation temperature below the triple point, 611.657 Pa (or not a number)", pascal(p), ErrRange)
	}
	return math.Min(saturationTemperature(p), CriticalTemperature), nil // rounding, at the critical point
}

func saturationTemperature(p float64) float64 {
	n := &saturationN
	beta := math.Sqrt(math.Sqrt(p / 1e6))
	e := beta*(beta+n[2]) + n[5]
	f := beta*(n[0]*beta+n[3]) + n[6]
	g := beta*(n[1]*beta+n[4]) + n[7]
	d := 2 * g / (-f - math.Sqrt(f*f-4*e*g))
	m := n[9] + d
	return (m - math.Sqrt(m*m-4*(n[8]+n[9]*d))) / 2
}
