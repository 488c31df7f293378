package water

import (
	"fmt"
	"math"
)

// SurfaceTension returns the tension of the surface between liquid and vapour in N/m at T in K, within 273.15 K to
// the critical point, where it is zero:
//
//	σ = 235.8 mN/m · τ^1.256 (1 − 0.625 τ),  τ = 1 − T/647.096 K
//
// Source: IAPWS R1-76(2014), eq. 1.
func SurfaceTension(T float64) (float64, error) {
	if !(T >= lowestTemperature && T <= CriticalTemperature) {
		return 0, fmt.Errorf("surface tension of water at %s: %w: temperature must be within 0 degC to 373.946 degC", celsius(T), ErrRange)
	}
	return surfaceTension(T), nil
}

func surfaceTension(T float64) float64 {
	tau := 1 - T/CriticalTemperature
	return 235.8e-3 * math.Pow(tau, 1.256) * (1 - 0.625*tau)
}
