package film

import "math"

// SinglePhaseDrop returns the pressure lost to friction in Pa by a liquid or a
// gas that flows through a tube:
//
//	Δp = f (L/D) G²/(2ρ)
//
// G in kg/(m² s); inner, roughness and length in m; f is Friction (Darcy). The
// sign is that of G. Entry, bends and weight are left out.
// Source: Darcy-Weisbach; f from Churchill, Chem. Eng. 84 (1977) 91.
func SinglePhaseDrop(f Fluid, G, inner, roughness, length float64) float64 {
	return frictionDrop(f.Density, f.Viscosity, G, inner, roughness, length)
}

// HomogeneousDrop returns the pressure lost to friction in Pa by liquid and
// vapour that move at one speed, as one fluid of
//
//	1/ρ = x/ρ_v + (1−x)/ρ_l,  1/μ = x/μ_v + (1−x)/μ_l
//
// with Friction for f. quality is held within 0..1; other arguments as in
// SinglePhaseDrop. Against measurements a factor of two is usual at low
// pressure (common practice).
// Source: homogeneous model with the mean viscosity of McAdams, Woods & Heroman,
// Trans. ASME 64 (1942) 193.
func HomogeneousDrop(t TwoPhase, quality, G, inner, roughness, length float64) float64 {
	x := reach(quality, 0, 1)
	rho := 1 / (x/t.Vapour.Density + (1-x)/t.Liquid.Density)
	mu := 1 / (x/t.Vapour.Viscosity + (1-x)/t.Liquid.Viscosity)
	return frictionDrop(rho, mu, G, inner, roughness, length)
}

// AccelerationDrop returns the pressure in Pa that a flow of steady mass flux G
// spends on its own speed when its density falls from first to last, kg/m³:
//
//	Δp = G² (1/ρ_last − 1/ρ_first)
//
// Source: momentum balance of a straight tube.
func AccelerationDrop(G, first, last float64) float64 {
	return G * G * (1/last - 1/first)
}

func frictionDrop(rho, mu, G, inner, roughness, length float64) float64 {
	re := math.Abs(G) * inner / mu
	if re < 1 {
		// f = 64/Re put in, so that no flow gives no drop instead of 0 · ∞.
		return 32 * mu * G * length / (rho * inner * inner)
	}
	return Friction(re, roughness, inner) * length / inner * G * math.Abs(G) / (2 * rho)
}
