package hazard

import (
	"fmt"
	"math"
)

// BurnsSource is where Burns comes from.
const BurnsSource = "activation energy near 163 kJ/mol (39 kcal/mol) below 800 °C: Gulbransen et al., J. Electrochem. Soc., abstract"

// Burns returns how many times as fast graphite burns away in air at T in K as at another temperature, such as the onset:
//
//	r = exp(Ea/R (1/from − 1/T)),   Ea = 163 kJ/mol
//
// while the reaction and not the air's way to it sets the pace: up to 800 °C, above which it is refused. The grade, its pores
// and what is in the air move the pace itself by orders of magnitude; a ratio says how much a rise of temperature costs.
// Source: Gulbransen et al., J. Electrochem. Soc., abstract (39 kcal/mol).
func Burns(T, from float64) (float64, error) {
	const energy, gas = 163e3, 8.314462618 // J/mol; J/(mol K), CODATA 2018
	if !(T > 0 && from > 0 && T <= 800+iceZero && from <= 800+iceZero) {
		return 0, fmt.Errorf("graphite in air at %.0f degC beside %.0f degC: allowed: up to 800 degC", T-iceZero, from-iceZero)
	}
	return math.Exp(energy / gas * (1/from - 1/T)), nil
}
