package film

import "math"

// Regime says what the water in a tube does at a place.
type Regime uint8

// The regimes in the order in which a heated flow meets them.
const (
	Liquid     Regime = iota // below saturation, nothing boils
	Subcooled                // the wall boils in water below saturation
	Saturated                // boiling, the whole wall wet
	Stratified               // boiling, the top of the wall dry above the water
	Drying                   // between the first dry patch and a dry wall
	Droplets                 // dry wall, droplets in the steam
	Steam                    // dry steam
	Pool                     // no flow, boiling in an open tube
)

var regimeNames = [...]string{
	"liquid", "subcooled boiling", "saturated boiling", "stratified boiling",
	"dry-out", "droplets behind dry-out", "steam", "standing and boiling off",
}

// String returns the regime in words.
func (r Regime) String() string {
	if int(r) < len(regimeNames) {
		return regimeNames[r]
	}
	return "unknown"
}

// Onset returns the flux in W/m² at which a wall is just hot enough for bubbles to
// grow, for the pressure in Pa and the wall's superheat ΔT in K; a larger flux
// needs more superheat:
//
//	q = 1082 p^1.156 (1.8 ΔT)^(2.16/p^0.0234),  p in bar
//
// Range: water, 1..138 bar. Source: Bergles & Rohsenow, J. Heat Transfer 86
// (1964) 365; SI form of Collier & Thome, Eq. 5.16, from memory.
func Onset(pressure, superheat float64) float64 {
	bar := reach(pressure/1e5, 1e-6, 1e6)
	return 1082 * math.Pow(bar, 1.156) * math.Pow(1.8*math.Max(superheat, 0), 2.16/math.Pow(bar, 0.0234))
}
