package hazard

// TouchSource is where Touch comes from.
const TouchSource = "ISO 13732-1:2006, smooth surfaces of solids, bare skin; numbers from memory, those of 1 s and 10 s read from its diagrams and less certain"

// Touch is the temperature from which a surface burns bare skin that stays on it for a time.
type Touch struct {
	Surface   string  // what it is of: "metal", "ceramic, glass or stone", "plastic"
	Contact   float64 // s
	Low, High float64 // K: below Low it does not burn, above High it does; equal where one number is known
}

// Touches returns the thresholds, by surface and rising time. All are from memory. Paint or a thin coat counts as metal. A surface
// that is none of these is to be taken as metal, which is on the safe side: it burns first. The standard gives thresholds of burns
// for healthy adults, not limits: those are for a product standard or an authority to set, and are lower for children.
// Source: ISO 13732-1:2006; the values for metal from 1 min on agree with the damage integral of Henriques & Moritz (1947) for a first-degree
// burn.
func Touches() []Touch {
	c := func(low, high float64) (float64, float64) { return low + iceZero, high + iceZero }
	row := func(surface string, contact, low, high float64) Touch {
		l, h := c(low, high)
		return Touch{surface, contact, l, h}
	}
	return []Touch{
		row(Metal, 1, 65, 70),
		row(Metal, 10, 55, 60),
		row(Metal, 60, 51, 51),
		row(Metal, 600, 48, 48),
		row(Metal, 8*3600, 43, 43),
		row(Ceramic, 1, 80, 86),
		row(Ceramic, 60, 56, 56),
		row(Ceramic, 600, 48, 48),
		row(Ceramic, 8*3600, 43, 43),
		row(Plastic, 1, 85, 93),
		row(Plastic, 60, 60, 60),
		row(Plastic, 600, 48, 48),
		row(Plastic, 8*3600, 43, 43),
	}
}

// Surfaces that Touches tells apart.
const (
	Metal   = "metal"
	Ceramic = "ceramic, glass or stone"
	Plastic = "plastic"
)

// Bears returns the longest of the times in s for which a surface at T in K is known not to burn, 0 where it burns within the shortest
// of them. An unknown surface counts as metal.
func Bears(surface string, T float64) float64 {
	longest, known := 0.0, false
	for _, t := range Touches() {
		if t.Surface != surface {
			continue
		}
		known = true
		if T < t.Low && t.Contact > longest {
			longest = t.Contact
		}
	}
	if !known {
		return Bears(Metal, T)
	}
	return longest
}
