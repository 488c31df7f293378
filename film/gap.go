package film

import "math"

// Names of what governs the layer behind a pane.
const (
	lawGapBelow = "gap heated from below: Hollands et al. 1976"
	lawGapSlope = "gap at 60 to 90°: between Hollands 1976 and ElSherbiny 1982"
	lawGapSide  = "upright gap: ElSherbiny et al. 1982"
	lawGapAbove = "gap heated from above: Arnold et al. 1974"
)

// Hollands returns the Nusselt number of an air layer heated from below, on its
// thickness, at slope t in rad from the horizontal, 0..60°:
//
//	Nu = 1 + 1.44 [1 − 1708/(Ra cos t)]⁺ (1 − 1708 (sin 1.8t)^1.6/(Ra cos t))
//	       + [(Ra cos t/5830)^⅓ − 1]⁺
//
// [ ]⁺ is zero where negative. Range: Ra cos t up to about 10⁵, layers at least
// 12 times as long as thick.
// Source: Hollands, Unny, Raithby & Konicek, J. Heat Transfer 98 (1976) 189;
// Incropera Eq. 9.54.
func Hollands(Ra, t float64) float64 {
	rc := Ra * math.Cos(t)
	if !(rc > 0) {
		return 1
	}
	nu := 1.0
	if a := 1 - 1708/rc; a > 0 {
		nu += 1.44 * a * (1 - 1708*math.Pow(math.Sin(1.8*t), 1.6)/rc)
	}
	if b := math.Cbrt(rc/5830) - 1; b > 0 {
		nu += b
	}
	return nu
}

// UprightGap returns the Nusselt number of an upright air layer, on its
// thickness; aspect is height over thickness. It is the largest of
//
//	0.0605 Ra^⅓
//	[1 + (0.104 Ra^0.293/(1 + (6310/Ra)^1.36))³]^⅓
//	0.242 (Ra/aspect)^0.272
//
// Range: 10³ ≤ Ra ≤ 2·10⁷, aspect 5..110.
// Source: ElSherbiny, Raithby & Hollands, J. Heat Transfer 104 (1982) 96;
// the three terms were found in a public script that takes them from Mills,
// Heat Transfer; the range is from memory.
func UprightGap(Ra, aspect float64) float64 {
	if !(Ra > 0) {
		return 1
	}
	core := 0.104 * math.Pow(Ra, 0.293) / (1 + math.Pow(6310/Ra, 1.36))
	nu := math.Cbrt(1 + cube(core))
	nu = math.Max(nu, 0.0605*math.Cbrt(Ra))
	return math.Max(nu, 0.242*math.Pow(Ra/aspect, 0.272))
}

// SteepGap returns the Nusselt number of an air layer at 60° heated from below,
// the larger of
//
//	[1 + (0.0936 Ra^0.314/(1 + G))⁷]^{1/7},  G = 0.5/[1 + (Ra/3160)^20.6]^0.1
//	(0.104 + 0.175/aspect) Ra^0.283
//
// It is here as a check on Hollands at its border; Gap does not use it.
// Source: ElSherbiny, Raithby & Hollands, J. Heat Transfer 104 (1982) 96; from
// memory.
func SteepGap(Ra, aspect float64) float64 {
	g := 0.5 / math.Pow(1+math.Pow(Ra/3160, 20.6), 0.1)
	nu := math.Pow(1+math.Pow(0.0936*math.Pow(Ra, 0.314)/(1+g), 7), 1.0/7)
	return math.Max(nu, (0.104+0.175/aspect)*math.Pow(Ra, 0.283))
}

// GapNusselt returns the Nusselt number of an air layer at slope t in rad:
// 0 level and heated from below, π/2 upright, π level and heated from above.
//
//	0..60°     Hollands
//	60..90°    linear in the angle between Hollands at 60° and UprightGap
//	90..180°   1 + (UprightGap − 1) sin t
//
// Sources: Hollands and UprightGap above. The straight line between 60° and 90°
// is the advice of ElSherbiny et al. (1982), who start it from their own value
// at 60° (SteepGap); starting it from Hollands leaves no jump and is ours.
// Beyond 90°: Arnold, Bonaparte, Catton & Edwards, Proc. Heat Transfer and Fluid
// Mechanics Institute (1974); Incropera Eq. 9.57 (equation number from memory).
func GapNusselt(Ra, aspect, t float64) float64 {
	const border = math.Pi / 3
	switch {
	case t <= border:
		return Hollands(Ra, t)
	case t <= math.Pi/2:
		u := (t - border) / (math.Pi/2 - border)
		a, b := Hollands(Ra, border), UprightGap(Ra, aspect)
		return a + u*(b-a)
	default:
		return 1 + (UprightGap(Ra, aspect)-1)*math.Max(math.Sin(t), 0)
	}
}

// Gap returns the film coefficient through the air layer at 1 atm between two
// parallel faces, from face to face, without radiation.
//
// elevation is the angle above the horizontal, in rad, at which the first
// face's normal points into the layer: +π/2 when the first face lies below, 0
// when the layer stands upright, −π/2 when it lies above. gap is the layer's
// thickness and height its length along the slope, both in m; T1 and T2 are the
// faces in K, either may be the hotter. Seen from the second face the elevation
// has the other sign, and the result is the same.
//
// Properties at the mean of T1 and T2. Outside is set where the slope's law is
// used beyond its range: Ra cos t > 10⁵ below 60°, Ra > 2·10⁷ from there, or a
// layer stouter than 12 (below 60°) or 5 times its thickness, while convection
// carries more than a fiftieth.
func Gap(elevation, gap, height, T1, T2 float64) Coefficient {
	gap = reach(gap, 1e-7, 1e4)
	aspect := reach(height/gap, 1e-3, 1e6)
	mean := (T1 + T2) / 2
	air := AirAt(mean)
	if T2 > T1 {
		elevation = -elevation
	}
	t := math.Acos(reach(math.Sin(elevation), -1, 1))
	ra := grashof(air, T1-T2, gap) * air.Prandtl
	nu := GapNusselt(ra, aspect, t)

	c := Coefficient{H: nu * air.Conductivity / gap}
	const near = 1e-9
	moving := nu > 1.02
	switch {
	case t <= math.Pi/3+near:
		c.Law, c.Spread = lawGapBelow, 0.15
		c.Outside = moving && (ra*math.Cos(t) > 1e5 || aspect < 12)
	case t < math.Pi/2-near:
		c.Law, c.Spread = lawGapSlope, 0.20
		c.Outside = moving && (ra > 2e7 || aspect < 5)
	case t <= math.Pi/2+near:
		c.Law, c.Spread = lawGapSide, 0.20
		c.Outside = moving && (ra > 2e7 || aspect < 5)
	default:
		c.Law, c.Spread = lawGapAbove, 0.25
		c.Outside = moving && (ra > 2e7 || aspect < 5)
	}
	if mean < airFrom || mean > airTo {
		c.Outside = true
	}
	if c.Outside {
		c.Spread = factorOfTwo
	}
	return c
}
