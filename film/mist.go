package film

import "math"

// DougallRohsenow returns the Nusselt number of the steam on a dry wall past
// which it carries droplets, referred to wall minus saturation:
//
//	Nu = 0.023 {Re_v [x + (1−x) ρ_v/ρ_l]}^0.8 Pr_v^0.4,  Re_v = G D/μ_v
//
// Droplets and steam at saturation; where droplets are few at high pressure it
// is known to lie high. Range: refrigerant 113 at low quality, G 450..1110
// kg/(m² s), bores 4.6 and 10 mm.
// Source: Dougall & Rohsenow, MIT report 9079-26 (1963); Collier & Thome,
// section 7.6; range from memory.
func DougallRohsenow(t *TwoPhase, quality, G, inner float64) float64 {
	return 0.023 * math.Pow(mistReynolds(t, quality, G, inner), 0.8) * math.Pow(t.Vapour.Prandtl, 0.4)
}

// Groeneveld returns the same Nusselt number by
//
//	Nu = 3.27·10⁻³ {Re_v [x + (1−x) ρ_v/ρ_l]}^0.901 Pr_v^1.32 Y^−1.50
//	Y  = 1 − 0.1 (ρ_l/ρ_v − 1)^0.4 (1−x)^0.4
//
// Pr_v is the author's at the wall's temperature, here what t holds; Y is held
// at or above 0.706, the least of the measurements (ours; low pressure leaves it).
// Range: water in tubes and annuli, level and upright, p 34..215 bar, G 700..5300
// kg/(m² s), x 0.1..0.9, q 120..2250 kW/m², bore 1.5..25 mm.
// Source: Groeneveld, AECL-4513 (1973), Eq. 5.9; Collier & Thome, Table 7.2;
// from memory.
func Groeneveld(t *TwoPhase, quality, G, inner float64) float64 {
	return 3.27e-3 * math.Pow(mistReynolds(t, quality, G, inner), 0.901) *
		math.Pow(t.Vapour.Prandtl, 1.32) * math.Pow(mistY(t, quality), -1.5)
}

// WojtanMist returns the same Nusselt number for mist in level tubes:
//
//	Nu = 0.0117 {Re_v [x + (1−x) ρ_v/ρ_l]}^0.79 Pr_v^1.06 Y^−1.83,  Y as in Groeneveld
//
// Range: R-22 and R-410A, bore 13.84 mm, G 300..600 kg/(m² s).
// Source: Wojtan, Ursenbacher & Thome, Int. J. Heat Mass Transfer 48 (2005)
// 2970; coefficients from memory.
func WojtanMist(t *TwoPhase, quality, G, inner float64) float64 {
	return 0.0117 * math.Pow(mistReynolds(t, quality, G, inner), 0.79) *
		math.Pow(t.Vapour.Prandtl, 1.06) * math.Pow(mistY(t, quality), -1.83)
}

// mistShare is [x + (1−x) ρ_v/ρ_l].
func mistShare(t *TwoPhase, quality float64) float64 {
	x := reach(quality, 0, 1)
	return x + (1-x)*reach(t.Vapour.Density/t.Liquid.Density, 0, 1)
}

func mistReynolds(t *TwoPhase, quality, G, inner float64) float64 {
	return reach(math.Abs(G)*inner/t.Vapour.Viscosity, 0, 1e10) * mistShare(t, quality)
}

func mistY(t *TwoPhase, quality float64) float64 {
	x := reach(quality, 0, 1)
	ratio := reach(t.Liquid.Density/t.Vapour.Density-1, 0, 1e9)
	return math.Max(0.706, 1-0.1*math.Pow(ratio*(1-x), 0.4))
}

// Quality from which the fitted forms of a dry wall go over to dry steam; ours.
const mistFades = 0.9

// Mist returns the film in W/(m² K) of a dry wall at a quality within 0..1,
// referred to wall minus saturation; it is what covers the dry part of a wall
// before, in and behind dry-out.
//
// By DougallRohsenow: VapourOnly of t times [x + (1−x) ρ_v/ρ_l]^0.8, so that
// Dittus & Boelter's film of the steam is replaced by that of Tube and dry steam
// is met without a jump (ours); not under the 3.66 of a laminar tube. By the
// others: as published to quality 0.9, from there gliding to VapourOnly.
// Radiation, and steam that is hotter than its drops, are left out: a factor of
// two at least.
func Mist(t *TwoPhase, quality, G, inner float64, c Choice) float64 {
	steam := t.VapourOnly
	if !(steam > 0) {
		steam = Tube(t.Vapour, 0, G, inner, 100*inner, 0, 0).H
	}
	if quality >= 1 {
		return steam
	}
	k := t.Vapour.Conductivity / inner
	floor := math.Min(NusseltSameTemperature*k, steam)
	if c.Mist == ByDougallRohsenow {
		return math.Max(floor, steam*math.Pow(mistShare(t, quality), 0.8))
	}
	var nu float64
	if c.Mist == ByWojtanMist {
		nu = WojtanMist(t, quality, G, inner)
	} else {
		nu = Groeneveld(t, quality, G, inner)
	}
	h := math.Max(floor, nu*k)
	return mix(h, steam, smooth((quality-mistFades)/(1-mistFades)))
}
