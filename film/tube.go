package film

import "math"

// Borders of the transition in a tube.
// Source: Gnielinski, Int. J. Heat Mass Transfer 63 (2013) 134.
const (
	laminarEnd    = 2300.0
	turbulentFrom = 4000.0
)

// Names of the laws that Tube joins. They are constants so that a march that
// asks for a film a million times allocates nothing.
const (
	lawLaminar    = "laminar: Hausen 1943"
	lawMixed      = "laminar, natural convection aiding: Hausen 1943 + Brown & Thomas 1965"
	lawTransition = "transition: Gnielinski 2013"
	lawAided      = "transition or turbulent, natural convection aiding: Gnielinski 2013 + Brown & Thomas 1965"
	lawTurbulent  = "turbulent: Gnielinski 1976"
)

// Tube returns the mean film coefficient inside a round tube, from a trickle
// to a full tap, for a liquid or a gas.
//
// f holds the bulk properties; wallPrandtl is the Prandtl number at the wall's
// temperature, 0 or less to leave that correction out; G is the mass flux in
// kg/(m² s), its sign does not matter; inner is the bore and length the heated
// length of the circuit in m; tilt is the tube's angle to the horizontal in
// rad; dT is wall minus bulk in K.
//
//	Re ≤ 2300          Hausen
//	2300 < Re < 4000   linear in Re between Hausen at 2300 and Gnielinski at 4000
//	Re ≥ 4000          Gnielinski with Filonenko's friction, times 1 + (D/L)^⅔
//	then               Nu³ = Nu³(above) + the buoyancy part of Brown & Thomas
//	then               times (Pr/Prw)^0.11, the ratio held within 0.05..20
//
// The linear join and the factors 1 + (D/L)^⅔ and (Pr/Prw)^0.11 are
// Gnielinski's (1976, 2013; the factors from memory). Ours is: Hausen in place
// of Brown & Thomas' own forced part 1.75 Gz^⅓, gravity times the cosine of
// the tilt in Gr, and the buoyancy part held at its value at Re = 2300 beyond
// it, where it fades beside the growing forced part. All is continuous, and
// more flow never lowers the coefficient.
//
// Outside is set for Re > 5·10⁶, Pr outside 0.5..2000, and for buoyancy in a
// tube that is far from level.
func Tube(f Fluid, wallPrandtl, G, inner, length, tilt, dT float64) Coefficient {
	rawRe := math.Abs(G) * inner / f.Viscosity
	re := reach(rawRe, 0, 1e10)
	pr := reach(f.Prandtl, 1e-6, 1e8)
	dOverL := reach(inner/length, 0, 1) // a tube shorter than its bore counts as one bore long

	forced := Hausen(math.Min(re, laminarEnd), pr, dOverL)
	if re > laminarEnd {
		laminarTop := forced
		u := math.Min((re-laminarEnd)/(turbulentFrom-laminarEnd), 1)
		turbulent := turbulentNusselt(math.Max(re, turbulentFrom), pr, dOverL)
		// At Prandtl numbers far below the range the turbulent value can lie
		// under the laminar one; more flow must not cool the film.
		turbulent = math.Max(turbulent, laminarTop)
		forced = laminarTop + u*(turbulent-laminarTop)
	}

	gr := grashof(f, dT, inner)
	gz := math.Min(re, laminarEnd) * pr * dOverL
	lift := buoyancyCubed(gz, gr*math.Abs(math.Cos(tilt)))
	nu := math.Cbrt(cube(forced) + lift)

	if wallPrandtl > 0 {
		nu *= math.Exp(0.11 * math.Log(reach(pr/wallPrandtl, 0.05, 20)))
	}

	c := Coefficient{H: nu * f.Conductivity / inner}
	aided := lift > 0.15*cube(forced) // about 5 % of the Nusselt number
	switch {
	case re <= laminarEnd && aided:
		c.Law, c.Spread = lawMixed, 0.40
	case re <= laminarEnd:
		c.Law, c.Spread = lawLaminar, 0.15
	case aided:
		c.Law, c.Spread = lawAided, 0.40
	case re < turbulentFrom:
		c.Law, c.Spread = lawTransition, 0.25
	default:
		c.Law, c.Spread = lawTurbulent, 0.10
	}

	sin := math.Abs(math.Sin(tilt))
	steep := aided && sin > 0.5
	// Along an upright tube buoyancy bends the laminar profile once Gr/Re is
	// some tens (order of magnitude from memory).
	upright := re < turbulentFrom && gr*sin > 50*re
	if rawRe > 5e6 || !(pr >= 0.5 && pr <= 2000) || steep || upright {
		c.Outside = true
		c.Spread = factorOfTwo
	}
	return c
}

// turbulentNusselt is Gnielinski with Filonenko's friction and the correction
// for the entry, a mean over the length:
//
//	Nu = Nu∞ (1 + (D/L)^⅔)
//
// Source: Gnielinski, Int. Chem. Eng. 16 (1976) 359; the entry factor from memory.
func turbulentNusselt(re, pr, dOverL float64) float64 {
	return Gnielinski(re, pr, Filonenko(re)) * (1 + twoThirds(dOverL))
}

// grashof returns Gr = g β |ΔT| L³ ρ²/μ².
func grashof(f Fluid, dT, size float64) float64 {
	nu := f.Viscosity / f.Density
	gr := Gravity * math.Abs(f.Expansion*dT) * cube(size) / (nu * nu)
	return reach(gr, 0, 1e30)
}

// Stagnant returns the film coefficient inside a full tube without flow, from
// the wall to the mean temperature of the fluid:
//
//	Nu⁴ = 5.783⁴ + (0.55 Ra^¼)⁴,  Ra on the bore
//
// 5.783 is the square of the first zero of the Bessel function J₀: a resting
// cylinder of fluid that relaxes by conduction alone (Carslaw & Jaeger,
// Conduction of Heat in Solids, 2nd ed., art. 7.6). 0.55 Ra^¼ is for fluid
// that is heated or cooled in closed level or upright cylinders, 0.75 ≤ L/D ≤ 2:
// Evans & Stefany, Chem. Eng. Prog. Symp. Ser. 62 (64) (1966) 209, as quoted in
// Kreith's Principles of Heat Transfer; from memory. The sum of fourth powers
// is ours. A tube is far longer than those cylinders, hence always Outside and
// a factor of two.
func Stagnant(f Fluid, inner, dT float64) Coefficient {
	ra := grashof(f, dT, inner) * reach(f.Prandtl, 1e-6, 1e8)
	const rest = 5.783185962946784 // j₀₁²
	nu := math.Sqrt(math.Sqrt(pow4(rest) + pow4(0.55)*ra))
	return Coefficient{
		H:       nu * f.Conductivity / inner,
		Law:     "full tube at rest: conduction + Evans & Stefany 1966",
		Outside: true,
		Spread:  factorOfTwo,
	}
}
