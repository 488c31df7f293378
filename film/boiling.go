package film

import "math"

// TwoPhase holds a liquid and its vapour at one saturation pressure.
type TwoPhase struct {
	Liquid, Vapour  Fluid
	Latent          float64 // J/kg, heat of vaporisation
	SurfaceTension  float64 // N/m
	Pressure        float64 // Pa
	ReducedPressure float64 // 1, pressure over critical pressure
	MolarMass       float64 // g/mol (water 18.015), the unit of Cooper's formula
	Saturation      float64 // K, saturation temperature; only Chen and Rewet ask for it

	// LiquidOnly and VapourOnly are the single-phase coefficients in W/(m² K)
	// of the whole flow as liquid and as vapour, as the caller's Tube gives
	// them; Boil then meets them without a jump where boiling begins and
	// ends. 0: Boil asks Tube itself for a long level tube.
	LiquidOnly, VapourOnly float64
}

// wetBy is the quality by which the liquid term is Dittus-Boelter's alone; ours.
const wetBy = 0.05

// Names of what governs a boiling film.
const (
	lawSaturated  = "saturated boiling: Liu & Winterton 1991"
	lawSubcooled  = "subcooled boiling: Liu & Winterton 1991"
	lawOnlyLiquid = "liquid, wall too cool to boil"
)

// subcooled solves Liu & Winterton's form for liquid below saturation by cold:
//
//	q² = (a (s + cold))² + (b s)²,  s = wall − saturation
//
// a is the liquid's coefficient, b the suppressed pool boiling, both W/(m² K).
// It returns q/(s + cold); where q < a·cold the wall stays under saturation,
// nothing boils, and that is a itself.
// Source: Liu & Winterton, Int. J. Heat Mass Transfer 34 (1991) 2759; the
// subcooled form from memory.
func subcooled(a, b, cold, q float64) (h float64, boils bool) {
	if q <= a*cold || q <= 0 {
		return a, false
	}
	// With u = s/(s + cold) between 0 and 1, q = (s + cold) √(a² + b² u²).
	A := a*a + b*b
	B := a * a * cold
	C := a*a*cold*cold - q*q
	s := -C / (B + math.Sqrt(math.Max(B*B-A*C, 0))) // the positive root, without cancellation
	u := s / (s + cold)
	return math.Hypot(a, b*u), true
}

// LiuWinterton returns the coefficient of saturated boiling in a tube, in
// W/(m² K), as published:
//
//	h = √((F h_l)² + (S h_pool)²)
//	F = [1 + x Pr_l (ρ_l/ρ_v − 1)]^0.35,  S = 1/(1 + 0.055 F^0.1 Re^0.16)
//
// h_l is DittusBoelter (heating) with the whole flow as liquid, h_pool is
// Cooper at roughness 1 µm with the total flux q in W/m², Re = G D/μ_l.
// Range (from memory): x 0..0.95, G 12..8180 kg/(m² s), q 0.35..2620 kW/m²,
// reduced pressure 0.0023..0.895, bore 3..32 mm. Level tubes only where
// Fr = G²/(ρ_l² g D) ≥ 0.05; the correction below is left out.
// Source: Liu & Winterton, Int. J. Heat Mass Transfer 34 (1991) 2759.
func LiuWinterton(t TwoPhase, quality, G, inner, q float64) float64 {
	pool := Cooper(q, t.ReducedPressure, t.MolarMass, 1)
	return liuWintertonWith(t, quality, G, inner, pool)
}

// liuWintertonWith is LiuWinterton with the pool boiling coefficient given.
func liuWintertonWith(t TwoPhase, quality, G, inner, pool float64) float64 {
	re := G * inner / t.Liquid.Viscosity
	liquid := DittusBoelter(re, t.Liquid.Prandtl, true) * t.Liquid.Conductivity / inner
	F := liuWintertonF(t, quality)
	return math.Hypot(F*liquid, liuWintertonS(F, re)*pool)
}

func liuWintertonF(t TwoPhase, quality float64) float64 {
	ratio := math.Max(t.Liquid.Density/t.Vapour.Density-1, 0)
	return math.Pow(1+quality*t.Liquid.Prandtl*ratio, 0.35)
}

func liuWintertonS(F, re float64) float64 {
	return 1 / (1 + 0.055*math.Pow(F, 0.1)*math.Pow(re, 0.16))
}

// GungorWinterton returns the coefficient of saturated boiling in an upright
// tube, in W/(m² K):
//
//	h = h_l [1 + 3000 Bo^0.86 + 1.12 (x/(1−x))^0.75 (ρ_l/ρ_v)^0.41]
//
// h_l is DittusBoelter (heating) of the liquid's share G(1−x); Bo = q/(G latent).
// Source: Gungor & Winterton, Chem. Eng. Res. Des. 65 (1987) 148; the term
// 3000 Bo^0.86 found in a public table, the rest from memory.
func GungorWinterton(t TwoPhase, quality, G, inner, q float64) float64 {
	return gungorWintertonE(&t, quality, G, q) * liquidShare(t, quality, G, inner)
}

// gungorWintertonE is what h_l is multiplied by.
func gungorWintertonE(t *TwoPhase, quality, G, q float64) float64 {
	bo := q / (G * t.Latent)
	return 1 + 3000*math.Pow(bo, 0.86) +
		1.12*math.Pow(quality/(1-quality), 0.75)*math.Pow(t.Liquid.Density/t.Vapour.Density, 0.41)
}

// Kandlikar returns the coefficient of saturated boiling of water in a tube
// (upright, or level with Fr > 0.04), in W/(m² K), the larger of
//
//	h_l (1.1360 Co^−0.9 + 667.2 Bo^0.7)
//	h_l (0.6683 Co^−0.2 + 1058.0 Bo^0.7)
//
// Co = ((1−x)/x)^0.8 (ρ_v/ρ_l)^0.5; h_l and Bo as in GungorWinterton.
// Source: Kandlikar, J. Heat Transfer 112 (1990) 219; coefficients from memory.
func Kandlikar(t TwoPhase, quality, G, inner, q float64) float64 {
	return kandlikarE(&t, quality, G, q) * liquidShare(t, quality, G, inner)
}

// kandlikarE is what h_l is multiplied by.
func kandlikarE(t *TwoPhase, quality, G, q float64) float64 {
	co := math.Pow((1-quality)/quality, 0.8) * math.Sqrt(t.Vapour.Density/t.Liquid.Density)
	bo := math.Pow(q/(G*t.Latent), 0.7)
	convective := 1.1360*math.Pow(co, -0.9) + 667.2*bo
	nucleate := 0.6683*math.Pow(co, -0.2) + 1058.0*bo
	return math.Max(convective, nucleate)
}

// liquidShare is Dittus-Boelter's coefficient of the liquid flowing alone.
func liquidShare(t TwoPhase, quality, G, inner float64) float64 {
	re := G * (1 - quality) * inner / t.Liquid.Viscosity
	return DittusBoelter(re, t.Liquid.Prandtl, true) * t.Liquid.Conductivity / inner
}
