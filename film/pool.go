package film

import "math"

// Cooper returns the coefficient of nucleate pool boiling in W/(m² K):
//
//	h = 55 q^0.67 M^−0.5 p_r^(0.12 − 0.2 log₁₀ Rp) (−log₁₀ p_r)^−0.55
//
// q is the flux in W/m², reducedPressure p_r within 0.001..0.9, molarMass M in
// g/mol and roughness_um Rp in µm, usually 1: the fit is tied to these units.
// p_r is held within 10⁻⁶..0.999 so that the formula stays finite.
// Source: Cooper, IChemE Symp. Ser. 86 (1984) 785; range from memory.
func Cooper(q, reducedPressure, molarMass, roughness_um float64) float64 {
	return math.Pow(q, 0.67) * cooperFactor(reducedPressure, molarMass, roughness_um)
}

// CooperAt is Cooper with the wall's superheat in K given instead of the flux:
// the same formula with q = h · superheat.
func CooperAt(superheat, reducedPressure, molarMass, roughness_um float64) float64 {
	return math.Pow(math.Pow(superheat, 0.67)*cooperFactor(reducedPressure, molarMass, roughness_um), 1/0.33)
}

func cooperFactor(reducedPressure, molarMass, roughness_um float64) float64 {
	pr := reach(reducedPressure, 1e-6, 0.999)
	return 55 / math.Sqrt(molarMass) *
		math.Pow(pr, 0.12-0.2*math.Log10(roughness_um)) *
		math.Pow(-math.Log10(pr), -0.55)
}

// Rohsenow returns the flux of nucleate pool boiling in W/m²:
//
//	q = μ_l latent √(g(ρ_l − ρ_v)/σ) (cp_l ΔT/(surface latent Pr_lⁿ))³
//
// superheat ΔT in K; surface is the constant C_sf of liquid and wall; n is 1
// for water and 1.7 for other liquids.
// Source: Rohsenow, Trans. ASME 74 (1952) 969; Kreith, Manglik & Bohn, Principles
// of Heat Transfer, 7th ed., chapter 10.
func Rohsenow(t TwoPhase, superheat, surface, n float64) float64 {
	l := t.Liquid
	ratio := l.HeatCapacity * superheat / (surface * t.Latent * math.Pow(l.Prandtl, n))
	return l.Viscosity * t.Latent * math.Sqrt(Gravity*(l.Density-t.Vapour.Density)/t.SurfaceTension) * cube(ratio)
}

// Zuber returns the largest flux of nucleate pool boiling in W/m²:
//
//	q = K latent √ρ_v [σ g (ρ_l − ρ_v)]^¼
//
// K is 0.131 (Zuber; π/24 in theory) or 0.149 (Lienhard & Dhir, large plates).
// Source: Zuber, Trans. ASME 80 (1958) 711; Incropera Eq. 10.6.
func Zuber(t TwoPhase, K float64) float64 {
	return K * t.Latent * math.Sqrt(t.Vapour.Density) *
		math.Pow(t.SurfaceTension*Gravity*(t.Liquid.Density-t.Vapour.Density), 0.25)
}

// Berenson returns the smallest flux of film boiling on a level face in W/m²:
//
//	q = 0.09 ρ_v latent [g σ (ρ_l − ρ_v)/(ρ_l + ρ_v)²]^¼
//
// Source: Berenson, J. Heat Transfer 83 (1961) 351; Incropera Eq. 10.7.
func Berenson(t TwoPhase) float64 {
	l, v := t.Liquid.Density, t.Vapour.Density
	return 0.09 * v * t.Latent * math.Pow(Gravity*t.SurfaceTension*(l-v)/((l+v)*(l+v)), 0.25)
}
