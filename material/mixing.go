package material

import (
	"fmt"
	"math"
	"strings"
)

// Rules returns the names of the mixing rules that Mix knows, from the lowest conductivity to the highest where
// the order is fixed.
func Rules() []string {
	return []string{"series", "hashin-shtrikman-low", "maxwell-eucken", "bruggeman", "hashin-shtrikman-high", "parallel"}
}

// Mix returns the conductivity, in W/(m K), of a two-phase solid by a named rule. kMatrix and kFiller are the
// phases' conductivities in W/(m K), phi is the filler's volume fraction, 0 to 1. Both phases isotropic, or the
// direction looked at; no resistance between them.
//
//	series                 1/k = (1-φ)/k1 + φ/k2                          Wiener (1912), the lowest possible
//	parallel               k = (1-φ) k1 + φ k2                            Wiener (1912), the highest possible
//	maxwell-eucken         k = k1 (2 k1 + k2 - 2 φ (k1-k2)) / (2 k1 + k2 + φ (k1-k2))
//	                       filler as separate grains in the matrix        Maxwell (1873), Eucken (1932)
//	hashin-shtrikman-low   maxwell-eucken with the poorer conductor around the better one
//	hashin-shtrikman-high  the other way round      Hashin & Shtrikman, J. Appl. Phys. 33 (1962) 3125
//	bruggeman              (1-φ) (k1-k)/(k1+2k) + φ (k2-k)/(k2+2k) = 0    Bruggeman (1935)
//
// An unknown rule, a fraction outside 0 to 1 and a conductivity that is not a positive number (the filler may
// have none: 0) are errors.
func Mix(rule string, kMatrix, kFiller, phi float64) (float64, error) {
	k1, k2 := kMatrix, kFiller
	switch {
	case !(k1 > 0) || math.IsInf(k1, 0):
		return 0, fmt.Errorf("mixing conductivities: matrix has %g W/(m K), allowed: above 0", k1)
	case !(k2 >= 0) || math.IsInf(k2, 0):
		return 0, fmt.Errorf("mixing conductivities: filler has %g W/(m K), allowed: 0 or above", k2)
	case !(phi >= 0 && phi <= 1):
		return 0, fmt.Errorf("mixing conductivities: filler fraction is %g, allowed: 0 to 1", phi)
	}
	switch rule {
	case "series":
		if phi == 0 {
			return k1, nil
		}
		return 1 / ((1-phi)/k1 + phi/k2), nil
	case "parallel":
		return (1-phi)*k1 + phi*k2, nil
	case "maxwell-eucken":
		return dispersed(k1, k2, phi), nil
	case "hashin-shtrikman-low":
		if k1 <= k2 {
			return dispersed(k1, k2, phi), nil
		}
		return dispersed(k2, k1, 1-phi), nil
	case "hashin-shtrikman-high":
		if k1 >= k2 {
			return dispersed(k1, k2, phi), nil
		}
		return dispersed(k2, k1, 1-phi), nil
	case "bruggeman":
		// The implicit equation is 2k² - b k - k1 k2 = 0; its positive root, written without cancellation.
		b := (2-3*phi)*k1 + (3*phi-1)*k2
		root := math.Sqrt(b*b + 8*k1*k2)
		if b >= 0 {
			return (b + root) / 4, nil
		}
		return 2 * k1 * k2 / (root - b), nil
	}
	return 0, fmt.Errorf("mixing conductivities: rule is %q, allowed: %s", rule, strings.Join(Rules(), ", "))
}

// dispersed is the Maxwell-Eucken conductivity of grains of k2, volume fraction phi, in a matrix of k1.
func dispersed(k1, k2, phi float64) float64 {
	if k1 == 0 {
		return 0 // an insulating skin around every grain
	}
	return k1 * (2*k1 + k2 - 2*phi*(k1-k2)) / (2*k1 + k2 + phi*(k1-k2))
}
