package film

import "math"

// ForsterZuber returns the coefficient of nucleate pool boiling in W/(m² K):
//
//	h = 0.00122 k^0.79 cp^0.45 ρ_l^0.49/(σ^0.5 μ^0.29 latent^0.24 ρ_v^0.24) ΔT^0.24 Δp^0.75
//
// superheat ΔT in K; rise Δp in Pa is by how much the saturation pressure at the
// wall's temperature exceeds that of the liquid.
// Source: Forster & Zuber, AIChE J. 1 (1955) 531, as used by Chen (1966).
func ForsterZuber(t *TwoPhase, superheat, rise float64) float64 {
	return forsterZuberFactor(t) * math.Pow(superheat, 0.24) * math.Pow(rise, 0.75)
}

func forsterZuberFactor(t *TwoPhase) float64 {
	l := t.Liquid
	return 0.00122 * math.Pow(l.Conductivity, 0.79) * math.Pow(l.HeatCapacity, 0.45) * math.Pow(l.Density, 0.49) /
		(math.Sqrt(t.SurfaceTension) * math.Pow(l.Viscosity, 0.29) * math.Pow(t.Latent*t.Vapour.Density, 0.24))
}

// Chen returns the coefficient of saturated boiling in a tube in W/(m² K) for a
// wall superheat in K and the rise in Pa of ForsterZuber:
//
//	h = F h_l + S h_FZ
//	F = (1 + X^−0.5)^1.78,  X = ((1−x)/x)^0.9 (ρ_v/ρ_l)^0.5 (μ_l/μ_v)^0.1
//	S = 0.9622 − 0.5822 arctan(Re_l F^1.25/61800)
//
// h_l and Re_l are those of the liquid's share G(1−x), as in GungorWinterton.
// Range (of Chen's data for water): upright tubes, p 0.55..35 bar, x 0.01..0.71,
// q 44..2400 kW/m², liquid velocities 0.06..4.5 m/s (from memory).
// Source: Chen, I&EC Process Des. Dev. 5 (1966) 322, with the analytic F and S
// of Edelstein, Pérez & Chen, AIChE J. 30 (1984) 840.
func Chen(t *TwoPhase, quality, G, inner, superheat, rise float64) float64 {
	F, S := chenFactors(t, quality, G, inner)
	return F*liquidShare(*t, quality, G, inner) + S*ForsterZuber(t, superheat, rise)
}

func chenFactors(t *TwoPhase, quality, G, inner float64) (F, S float64) {
	x := reach(quality, 1e-6, 1-1e-9)
	X := math.Pow((1-x)/x, 0.9) * math.Sqrt(t.Vapour.Density/t.Liquid.Density) *
		math.Pow(t.Liquid.Viscosity/t.Vapour.Viscosity, 0.1)
	F = math.Pow(1+1/math.Sqrt(X), 1.78)
	re := G * (1 - x) * inner / t.Liquid.Viscosity
	S = 0.9622 - 0.5822*math.Atan(re*math.Pow(F, 1.25)/6.18e4)
	return F, S
}

// chenAt is Chen for a flux q in W/m²; convective is h_l. The rise is taken
// along the tangent of the vapour-pressure curve (Clausius & Clapeyron), Δp =
// ΔT latent/(T (1/ρ_v − 1/ρ_l)), so that h_FZ is as ΔT^0.99 (ours; at 10 K over
// 100 °C it lies a tenth under the curve).
func chenAt(t *TwoPhase, quality, G, inner, q, convective float64) float64 {
	F, S := chenFactors(t, quality, G, inner)
	a := F * convective
	if !(q > 0) || !(t.Saturation > 0) {
		return a
	}
	slope := t.Latent / (t.Saturation * math.Max(1/t.Vapour.Density-1/t.Liquid.Density, 1e-9))
	b := math.Max(S, 0) * forsterZuberFactor(t) * math.Pow(slope, 0.75)
	// q = a ΔT + b ΔT^1.99: from the root with the exponent 2, three steps of Newton.
	dT := 2 * q / (a + math.Sqrt(a*a+4*b*q))
	for range 3 {
		p := b * math.Pow(dT, 0.99)
		dT -= (a*dT + p*dT - q) / (a + 1.99*p)
	}
	return q / dT
}
