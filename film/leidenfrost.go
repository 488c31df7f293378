package film

import "math"

// GroeneveldStewart returns the wall temperature in K below which the film of
// steam on a wall breaks down and water wets it, for water in a tube:
//
//	p ≤ 9 MPa   T = 284.7 °C + 44.11 p − 3.72 p² − 10⁴ x/(2.82 + 1.22 p),  x ≤ 0
//	beyond      (T − T_sat)/(T − T_sat at 9 MPa) = (p_c − p)/(p_c − 9)
//
// p in MPa; x is the thermodynamic quality, 0 from saturation on and held above
// −0.05, since the term grows to hundreds of kelvin (ours; its range is not at
// hand). Here pressure in Pa, saturation in K. Range: water in a tube, p 0.1..9 MPa, G 50..4000
// kg/(m² s). Source: Groeneveld & Stewart, 7th Int. Heat Transfer Conf. (1982),
// vol. 4, 393; from memory.
func GroeneveldStewart(pressure, quality, saturation float64) float64 {
	p := reach(pressure, 0, 22.064e6) / 1e6
	x := reach(quality, -0.05, 0)
	low := math.Min(p, 9)
	T := 284.7 + 44.11*low - 3.72*low*low - 1e4*x/(2.82+1.22*low) + 273.15
	if p <= 9 {
		return math.Max(T, saturation)
	}
	const at9 = 303.345 + 273.15 // K, saturation at 9 MPa
	return saturation + (T-at9)*(22.064-p)/(22.064-9)
}

// BerensonLeidenfrost returns how far in K above saturation a level wall must
// be to hold a film of steam over water at rest:
//
//	ΔT = 0.127 (ρ_v latent/k_v) [g (ρ_l−ρ_v)/(ρ_l+ρ_v)]^⅔ [σ/(g (ρ_l−ρ_v))]^½ [μ_v/(g (ρ_l−ρ_v))]^⅓
//
// Properties of the vapour at saturation (the author: at the film's mean).
// Source: Berenson, J. Heat Transfer 83 (1961) 351; from memory.
func BerensonLeidenfrost(t *TwoPhase) float64 {
	l, v := t.Liquid.Density, t.Vapour.Density
	gap := Gravity * math.Max(l-v, 1e-9)
	return 0.127 * v * t.Latent / t.Vapour.Conductivity * twoThirds(gap/(l+v)) *
		math.Sqrt(t.SurfaceTension/gap) * math.Cbrt(t.Vapour.Viscosity/gap)
}

// HenryLeidenfrost corrects BerensonLeidenfrost, given as its wall temperature
// T_B in K, for a wall that water of T_l (K) cools where it touches:
//
//	(T − T_B)/(T_B − T_l) = 0.42 {[k_l ρ_l c_l/(k_w ρ_w c_w)]^½ latent/(c_w (T_B − T_sat))}^0.6
//
// wall's conductivity, density and heat capacity in SI.
// Source: Henry, AIChE Symp. Ser. 70 (138) (1974) 81; from memory.
func HenryLeidenfrost(t *TwoPhase, berenson, liquid, saturation, conductivity, density, heatCapacity float64) float64 {
	l := t.Liquid
	effusion := math.Sqrt(l.Conductivity * l.Density * l.HeatCapacity / (conductivity * density * heatCapacity))
	over := math.Max(berenson-saturation, 1e-6)
	return berenson + 0.42*math.Pow(effusion*t.Latent/(heatCapacity*over), 0.6)*math.Max(berenson-liquid, 0)
}

// Band is an estimate with its ends.
type Band struct{ Low, Best, High float64 }

// leidenfrostFactor is how far the ends of Leidenfrost stand off at least, as a
// factor of the superheat; ours.
const leidenfrostFactor = 1.5

// Leidenfrost returns the wall temperature in K below which water wets a hot
// tube. Best is GroeneveldStewart for water at saturation, which it comes to
// before it wets. The ends are that superheat over and times 1.5, moved out to
// BerensonLeidenfrost where that is lower, and to HenryLeidenfrost of the wall
// where that is higher; Berenson's is held at the best superheat, since it grows
// as the vapour's density and is of use near 1 bar only. Clean, smooth metal;
// scale and oxide raise it. t needs Pressure and Saturation.
func Leidenfrost(t *TwoPhase, conductivity, density, heatCapacity float64) Band {
	s := t.Saturation
	best := GroeneveldStewart(t.Pressure, 0, s)
	over := best - s
	b := s + math.Min(BerensonLeidenfrost(t), over)
	h := HenryLeidenfrost(t, b, s, s, conductivity, density, heatCapacity)
	return Band{math.Min(s+over/leidenfrostFactor, b), best, math.Max(s+over*leidenfrostFactor, h)}
}
