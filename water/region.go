package water

import (
	"errors"
	"fmt"
	"math"
)

// ErrRange is wrapped, with the state and the reason, where a state lies outside the formulation, or an argument is
// not a number.
var ErrRange = errors.New("outside the range of the water properties")

// ErrOverPressure is wrapped where water shut in fills its volume as a liquid, or as a fluid as dense, and its pressure
// would pass 100 MPa. It is an ErrRange too.
var ErrOverPressure = fmt.Errorf("%w: pressure above 100 MPa", ErrRange)

// Borders of the regions.
// Source: IAPWS R7-97(2012), Fig. 1 and section 4; region3Pressure is eq. 30 at 623.15 K.
const (
	lowestTemperature  = 273.15  // K
	region1Temperature = 623.15  // K, upper border of region 1
	region2Temperature = 1073.15 // K, upper border of region 2
	region5Temperature = 2273.15 // K, upper border of region 5
	lowestPressure     = 1.0     // Pa; IF97 itself has no lower border, for vapour becomes an ideal gas
	highestPressure    = 100e6   // Pa
	region5Pressure    = 50e6    // Pa, upper border of region 5
)

// region3Pressure is the pressure in Pa above which saturated states and the gap between regions 1 and 2 belong
// to region 3; criticalEnthalpy is in J/kg.
var (
	region3Pressure  = saturationPressure(region1Temperature)
	criticalEnthalpy = region3(criticalDensity, CriticalTemperature).h
)

// boundary23 returns the pressure in Pa on the boundary between regions 2 and 3 at T in K.
// Source: IAPWS R7-97(2012), eq. 5 and Table 1.
func boundary23(T float64) float64 {
	const n1, n2, n3 = 0.34805185628969e3, -0.11671859879975e1, 0.10192970039326e-2
	return (n1 + T*(n2+T*n3)) * 1e6
}

// temperature23 returns the temperature in K on the boundary between regions 2 and 3 at p in Pa.
// Source: IAPWS R7-97(2012), eq. 6 and Table 1.
func temperature23(p float64) float64 {
	const n3, n4, n5 = 0.10192970039326e-2, 0.57254459862746e3, 0.13918839778870e2
	return n4 + math.Sqrt((p/1e6-n5)/n3)
}

// regionPT returns the region of p in Pa and T in K: 1, 2, 3 or 5, or an error. On the saturation line it is that of
// the liquid.
func regionPT(p, T float64) (int, error) {
	fail := func(why string) (int, error) {
		return 0, fmt.Errorf("water at %s and %s: %w: %s", pascal(p), celsius(T), ErrRange, why)
	}
	switch {
	case !(p >= lowestPressure && p <= highestPressure):
		return fail("pressure must be within 1 Pa to 100 MPa")
	case !(T >= lowestTemperature && T <= region5Temperature):
		return fail("temperature must be within 0 degC to 2000 degC, above 50 MPa to 800 degC")
	case T > region2Temperature:
		if p <= region5Pressure {
			return 5, nil
		}
		return fail("above 50 MPa the temperature must be within 0 degC to 800 degC")
	case T <= region1Temperature:
		if p >= saturationPressure(T) {
			return 1, nil
		}
		return 2, nil
	case p <= boundary23(T):
		return 2, nil
	default:
		return 3, nil
	}
}

// phasePT returns the phase at p in Pa and T in K in the region that regionPT gives.
func phasePT(region int, p, T float64) phase {
	switch region {
	case 1:
		return region1(p, T)
	case 2:
		return region2(p, T)
	case 5:
		return region5(p, T)
	default:
		return fluid3(p, T, T >= CriticalTemperature || p >= saturationPressure(T))
	}
}

// saturated returns both phases on the saturation line at p in Pa, and whether there are two: from 611.657 Pa to just
// below the critical pressure.
func saturated(p float64) (liquid, vapour phase, ok bool) {
	if !(p >= TriplePressure && p < CriticalPressure) {
		return phase{}, phase{}, false
	}
	T := math.Min(saturationTemperature(p), CriticalTemperature)
	if p <= region3Pressure {
		return region1(p, T), region2(p, T), true
	}
	liquid, vapour = saturated3(p, T)
	return liquid, vapour, vapour.h > liquid.h
}

// celsius prints a temperature in K for a message.
func celsius(T float64) string { return fmt.Sprintf("%.7g degC", T-lowestTemperature) }

// pascal prints a pressure in Pa for a message.
func pascal(p float64) string {
	if p >= 1e4 || p <= -1e4 {
		return fmt.Sprintf("%.6g MPa", p/1e6)
	}
	return fmt.Sprintf("%.6g Pa", p)
}

// kilojoule prints an enthalpy or entropy for a message.
func kilojoule(h float64, unit string) string { return fmt.Sprintf("%.7g k%s", h/1e3, unit) }
