package hazard

import (
	"fmt"
	"math"

	"emberbank/material"
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

// Room is how a filler's melt fits into what a composite leaves it, as shares of the composite's volume.
type Room struct {
	Needs float64 // of the melt, just above its liquidus
	Has   float64 // filler at 20 °C and void together
}

// Left returns the share that is left empty above the melt; below zero there is too little room: it is pressed out or bursts what
// holds it.
func (r Room) Left() float64 { return r.Has - r.Needs }

// RoomOf returns how a melt fits:
//
//	needs = φ ρ(20 °C)/ρ(melt),   has = φ + void
//
// φ is the filler's share of the volume at 20 °C, void the share left empty. What the melt takes up beyond its melting point
// (some 0.01 % a kelvin) and the matrix's own growth are left out. ok is false where a density is not known.
// Source: balance of mass; densities by the catalogue (package material).
func RoomOf(filler *material.Entry, share, void float64) (r Room, ok bool) {
	if !(filler.Density > 0 && filler.LiquidDensity > 0) {
		return Room{}, false
	}
	return Room{share * filler.Density / filler.LiquidDensity, share + void}, true
}
