package hazard

import "math"

// LightSource is where the limits for eye and skin come from.
const LightSource = "Directive 2006/25/EC, Annex I, Table 1.1, rows m to o (780 to 3000 nm, skin 380 to 3000 nm), after ICNIRP; numbers from memory"

// EyeLimit returns the irradiance in W/m² that cornea and lens bear for a time in s, of infrared from 780 to 3000 nm:
//
//	E = 18000 t^−¾, t ≤ 1000 s;   E = 100 W/m² beyond
//
// Visible light taken as infrared is on the safe side of this limit. Ultraviolet light, which the sun has, has lower ones for eye and
// skin over minutes and hours, and the retina has others, for who looks into the source: neither is given here. From memory.
// Source: Directive 2006/25/EC, Annex I, Table 1.1, rows m and n.
func EyeLimit(t float64) float64 {
	if t > 1000 {
		return 100
	}
	return 18000 * math.Pow(math.Max(t, 1e-3), -0.75)
}

// SkinLimit returns the irradiance in W/m², as a mean over a time in s, that skin bears, and whether there is one: for 10 s and longer
// pain is to drive a person away, and heat to the whole body counts, so none is given.
//
//	H = 20000 t^¼ J/m², t < 10 s;   E = H/t
//
// From memory. Source: Directive 2006/25/EC, Annex I, Table 1.1, row o.
func SkinLimit(t float64) (float64, bool) {
	if !(t > 0 && t < 10) {
		return 0, false
	}
	return 20000 * math.Pow(t, 0.25) / t, true
}

// Beyond returns the mean irradiance in W/m² of light of a power in W at a distance in m before or behind the focus to which it runs
// as a cone of a half angle in rad, as from the rim of a dish:
//
//	E = P/(π (d tan φ)²)
//
// A mean over the cone: within it light may be brighter several times. It holds where the cone is wider than the spot.
// Source: geometry.
func Beyond(power, half, distance float64) float64 {
	r := distance * math.Tan(half)
	return power / (math.Pi * r * r)
}

// BeyondClear returns the distance in m from the focus at which the mean of Beyond has fallen to an irradiance in W/m².
func BeyondClear(power, half, irradiance float64) float64 {
	return math.Sqrt(power/(math.Pi*irradiance)) / math.Tan(half)
}

// Thrown returns the irradiance in W/m² at a distance in m straight before a dull surface that throws a power in W back evenly:
//
//	E = P/(π d²)
//
// Polished or wet surfaces, and glass, throw it in one direction, and it reaches further.
// Source: Lambert's law for a small surface.
func Thrown(power, distance float64) float64 { return power / (math.Pi * distance * distance) }

// ThrownClear returns the distance in m at which Thrown has fallen to an irradiance in W/m².
func ThrownClear(power, irradiance float64) float64 { return math.Sqrt(power / (math.Pi * irradiance)) }
