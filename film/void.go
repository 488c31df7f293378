package film

import "math"

// RouhaniLevel returns the share of a level tube's cross-section that steam
// takes, for a quality within 0..1 and G in kg/(m² s), above 0:
//
//	ε = x/ρ_v {[1 + 0.12(1−x)] [x/ρ_v + (1−x)/ρ_l] + 1.18 (1−x) [g σ (ρ_l−ρ_v)]^¼/(G ρ_l^½)}⁻¹
//
// Source: Rouhani & Axelsson, Int. J. Heat Mass Transfer 13 (1970) 383, in the
// form of Steiner, VDI-Wärmeatlas (1993), for level tubes.
func RouhaniLevel(t *TwoPhase, quality, G float64) float64 {
	v := rouhani(t, quality, G, 0, 0)
	return quality * v.perQuality
}

// RouhaniUpright is RouhaniLevel for a tube in which the water rises:
//
//	[1 + 0.2 (1−x) (g D ρ_l²/G²)^¼] in place of [1 + 0.12 (1−x)]
//
// inner D in m. Source: Rouhani & Axelsson, as above, their second form.
func RouhaniUpright(t *TwoPhase, quality, G, inner float64) float64 {
	v := rouhani(t, quality, G, inner, 1)
	return quality * v.perQuality
}

// slip holds a void fraction without the quotients that lose their digits at
// quality 0 and 1: ε = quality · perQuality, 1 − ε = (1 − quality) · perRest.
type slip struct{ perQuality, perRest float64 }

// rouhani goes from the level to the upright form with up from 0 to 1.
func rouhani(t *TwoPhase, quality, G, inner, up float64) slip {
	x := reach(quality, 0, 1)
	G = reach(math.Abs(G), 1e-6, 1e12)
	l, v := t.Liquid.Density, t.Vapour.Density
	c := 0.12
	if up > 0 {
		c += up * (0.2*math.Sqrt(math.Sqrt(Gravity*inner)*l/G) - 0.12)
	}
	drift := 1.18 * math.Sqrt(math.Sqrt(Gravity*t.SurfaceTension*math.Max(l-v, 0))/l) / G
	sum := (1+c*(1-x))*(x/v+(1-x)/l) + drift*(1-x)
	// x/v taken from the sum leaves (1−x) times this:
	rest := c*x/v + (1+c*(1-x))/l + drift
	return slip{1 / (v * sum), rest / sum}
}

// slipOf returns the void fraction by choice; tilt is that of the flow.
func slipOf(t *TwoPhase, quality, G, inner, tilt float64, law VoidLaw) slip {
	if law == Homogeneous {
		x := reach(quality, 0, 1)
		volume := x/t.Vapour.Density + (1-x)/t.Liquid.Density
		return slip{1 / (t.Vapour.Density * volume), 1 / (t.Liquid.Density * volume)}
	}
	return rouhani(t, quality, G, inner, upright(tilt))
}

// Void returns the share of the cross-section that steam takes, by the law of
// choice. Between a level and an upright tube it glides with the tilt in rad,
// as upright has it; a sinking flow is taken like a rising one.
func Void(t *TwoPhase, quality, G, inner, tilt float64, c Choice) float64 {
	if quality <= 0 {
		return 0
	}
	return math.Min(math.Min(quality, 1)*slipOf(t, quality, G, inner, tilt, c.Void).perQuality, 1)
}

// Tilts in rad up to which a tube is taken as level and from which as upright.
// Ours; between them everything that depends on attitude glides.
const (
	levelTo     = 10 * math.Pi / 180
	uprightFrom = 60 * math.Pi / 180
)

// upright is 0 for a level tube and 1 for an upright one.
func upright(tilt float64) float64 {
	return smooth((math.Abs(tilt) - levelTo) / (uprightFrom - levelTo))
}
