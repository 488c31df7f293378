package film

import "math"

// StratifiedAngle returns the angle in rad that the dry wall takes above water
// that lies in a level tube, seen from the axis, for the share void of the
// cross-section above the water:
//
//	θ = 2π − 2 {π a + (3π/2)^⅓ [1 − 2a + a^⅓ − ε^⅓] − a ε (1 − 2a) [1 + 4(a² + ε²)]/200},  a = 1 − ε
//
// within 0.00011 rad of the exact a = (θw − sin θw)/(2π), θw = 2π − θ.
// Source: Biberg, Can. J. Chem. Eng. 77 (1999) 1221, as used by Wojtan,
// Ursenbacher & Thome (2005).
func StratifiedAngle(void float64) float64 {
	e := reach(void, 0, 1)
	a := 1 - e
	return 2*math.Pi - 2*(math.Pi*a+math.Cbrt(1.5*math.Pi)*(1-2*a+math.Cbrt(a)-math.Cbrt(e))-
		a*e*(1-2*a)*(1+4*(a*a+e*e))/200)
}

// StratifiedBorders returns the mass fluxes in kg/(m² s) of a level tube up to
// which the water lies still along the bottom, and from which it wets the whole
// wall; between them its waves climb the wall:
//
//	G_strat³ = 226.3² A_l A_v² ρ_v (ρ_l−ρ_v) μ_l g/(x² (1−x) π³)
//	G_wavy   = {16 A_v³ g D ρ_l ρ_v/(x² π² √(1−(2h−1)²)) [π²/(25 h²) σ/(g D² ρ_l) + 1]}^½ + 50
//
// A_l and A_v are the cross-sections over D², h the depth of the water over D.
// quality within 0..1, void as RouhaniLevel gives it. Below the quality of
// intermittent flow G_strat is held at its value there (the author's), here by
// asking for no smaller quality. G_wavy is not below G_strat.
// Range: refrigerants, bores 8 and 14 mm, G 70..700 kg/(m² s).
// Source: Wojtan, Ursenbacher & Thome, Int. J. Heat Mass Transfer 48 (2005)
// 2955, after Kattan, Thome & Favrat (1998).
func StratifiedBorders(t *TwoPhase, quality, void, inner float64) (strat, wavy float64) {
	x := reach(quality, 1e-6, 1-1e-9)
	e := reach(void, 1e-6, 1-1e-9)
	l, v := t.Liquid.Density, t.Vapour.Density
	al, av := math.Pi/4*(1-e), math.Pi/4*e
	depth := reach(0.5*(1-math.Cos(math.Pi-0.5*StratifiedAngle(e))), 1e-9, 1-1e-9)
	strat = math.Cbrt(226.3 * 226.3 * al * av * av * v * math.Max(l-v, 0) * t.Liquid.Viscosity * Gravity /
		(x * x * (1 - x) * math.Pi * math.Pi * math.Pi))
	across := 2 * math.Sqrt(depth*(1-depth)) // √(1−(2h−1)²)
	wavy = 50 + math.Sqrt(16*av*av*av*Gravity*inner*l*v/(x*x*math.Pi*math.Pi*across)*
		(math.Pi*math.Pi/(25*depth*depth)*t.SurfaceTension/(Gravity*inner*inner*l)+1))
	return strat, math.Max(wavy, strat)
}

// IntermittentTo returns the quality up to which a level tube's flow comes in
// slugs or plugs that wet the top of the wall:
//
//	x = 1/{[0.34^(1/0.875) (ρ_v/ρ_l)^(−1/1.75) (μ_l/μ_v)^(−1/7)] + 1}
//
// Source: Kattan, Thome & Favrat, J. Heat Transfer 120 (1998) 140, the Martinelli
// parameter 0.34 as used by Wojtan, Ursenbacher & Thome (2005).
func IntermittentTo(t *TwoPhase) float64 {
	return 1 / (1 + 0.2914*math.Pow(t.Liquid.Density/t.Vapour.Density, 1/1.75)*
		math.Pow(t.Liquid.Viscosity/t.Vapour.Viscosity, -1.0/7))
}

// Wetted returns the share of a tube's wall that water wets before any of it
// dries by boiling, 0..1:
//
//	θ_dry = θ_strat [(G_wavy − G)/(G_wavy − G_strat)]^0.61 between the borders,
//	all of θ_strat below them and 0 above; times x/x_IA below IntermittentTo
//
// Sources: as StratifiedBorders and IntermittentTo. Ours: x/x_IA also where the
// water lies still (a step of quality then moves the share little), and the dry
// angle fades by upright as the tube is tilted: the laws are for level tubes.
func Wetted(t *TwoPhase, quality, G, inner, tilt float64, c Choice) float64 {
	up := upright(tilt)
	if up >= 1 || quality <= 0 {
		return 1
	}
	return 1 - (1-up)*levelDry(t, math.Min(quality, 1), math.Abs(G), inner, c.Void, new(slugs))
}

// slugs is what the dry share of a level tube hangs on where its flow is intermittent: the quality up to which it is, and the mass flux in
// kg/(m² s) up to which the water lies still there. Zero stands for: not asked for yet.
type slugs struct{ to, strat float64 }

// levelDry is the dry share of a level tube's wall. What it finds of intermittent flow, which no quality changes, it keeps in s.
func levelDry(t *TwoPhase, x, G, inner float64, law VoidLaw, s *slugs) float64 {
	e := math.Min(x*slipOf(t, x, G, inner, 0, law).perQuality, 1)
	strat, wavy := StratifiedBorders(t, x, e, inner)
	if G >= wavy {
		return 0
	}
	if s.to == 0 {
		s.to = IntermittentTo(t)
		e := math.Min(s.to*slipOf(t, s.to, G, inner, 0, law).perQuality, 1)
		s.strat, _ = StratifiedBorders(t, s.to, e, inner)
	}
	from := s.to
	if x < from {
		strat = s.strat
	}
	share := 1.0
	if G > strat {
		share = math.Pow((wavy-G)/(wavy-strat), 0.61)
	}
	if x < from {
		share *= x / from
	}
	return reach(share*StratifiedAngle(e)/(2*math.Pi), 0, 1)
}
