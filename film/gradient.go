package film

import "math"

// Gradient is what a flow loses in pressure along a tube, part by part.
type Gradient struct {
	Friction float64 // Pa/m, of the sign of G
	Gravity  float64 // Pa/m, positive where the tube rises the way G counts
	Momentum float64 // Pa, the flow's momentum flux: its rise along the tube is lost as acceleration
	Void     float64 // 1, share of the cross-section that is steam
	Density  float64 // kg/m³, of what fills the tube at the place
	// Outside is set where friction or void left the range of their laws;
	// Spread, as of a Coefficient, is that of Friction and of 1 − Void.
	Outside bool
	Spread  float64
}

// Within returns the gradient with its friction at the part s of its spread, s
// within −1..1, as Coefficient.Within does.
func (d Gradient) Within(s float64) Gradient {
	if s != 0 {
		d.Friction *= math.Pow(1+d.Spread, s)
	}
	return d
}

// Drop returns the pressure gradients of water that boils in a straight tube.
//
// quality is held within 0..1: beyond them it is t's liquid or vapour alone,
// whose state the caller sets. G in kg/(m² s), inner and roughness in m, tilt in
// rad above the horizontal.
//
//	Friction   by choice: MullerSteinhagenHeck, Friedel, or HomogeneousDrop
//	Gravity    ρ g sin(tilt),  ρ = ε ρ_v + (1−ε) ρ_l,  ε by Void
//	Momentum   G² [x²/(ε ρ_v) + (1−x)²/((1−ε) ρ_l)]
//
// Acceleration over a stretch is the momentum flux at its end less that at its
// beginning. All parts come to the single phase's at quality 0 and 1 without a
// jump. Entry, bends and valves are left out.
// Source: momentum balance of separated flow, e.g. Collier & Thome, Eq. 2.33.
func Drop(t *TwoPhase, quality, G, inner, roughness, tilt float64, c Choice) Gradient {
	x := reach(quality, 0, 1)
	l, v := t.Liquid.Density, t.Vapour.Density
	var s slip
	d := Gradient{Spread: 0.10}
	switch x {
	case 0:
		d.Density, d.Momentum = l, G*G/l
	case 1:
		d.Density, d.Momentum, d.Void = v, G*G/v, 1
	default:
		s = slipOf(t, x, G, inner, tilt, c.Void)
		d.Void = math.Min(x*s.perQuality, 1)
		d.Density = d.Void*v + (1-x)*s.perRest*l
		d.Momentum = G * G * (x/(s.perQuality*v) + (1-x)/(s.perRest*l))
	}
	d.Gravity = d.Density * Gravity * math.Sin(tilt)
	switch c.Friction {
	case ByFriedel:
		d.Friction = Friedel(t, x, G, inner, roughness)
	case ByMcAdams:
		d.Friction = HomogeneousDrop(*t, x, G, inner, roughness, 1)
	default:
		d.Friction = MullerSteinhagenHeck(t, x, G, inner, roughness)
	}
	if x > 0 && x < 1 {
		// From the few per cent of one phase to the two-phase laws' own within a
		// hundredth of quality.
		mixed := math.Min(smooth(x/0.01), smooth((1-x)/0.01))
		edge := math.Max(beyond(math.Abs(G), 50, 2490), beyond(inner, 0.004, 0.392))
		if c.Friction == ByFriedel {
			edge = beyond(math.Abs(G), 20, 10000)
		}
		d.Spread += mixed * (0.50 + 0.50*edge - d.Spread)
		d.Outside = edge >= 1
		if d.Outside {
			d.Spread = factorOfTwo
		}
	}
	return d
}

// MullerSteinhagenHeck returns the friction of two phases in Pa/m, of the sign
// of G:
//
//	dp/dz = [A + 2 (B − A) x] (1−x)^⅓ + B x³
//
// A and B are those of the whole flow as liquid and as vapour, here by Friction
// (the authors' 0.3164 Re^−¼ for a smooth tube), so that both ends are exact.
// The form falls upright to B at quality 1; from 0.98 on it is replaced by the
// straight line to B (ours). quality within 0..1.
// Range: 9300 measurements, air and water, steam and water, hydrocarbons,
// refrigerants; D 4..392 mm, G 50..2490 kg/(m² s) (range from memory). About 40 % of
// error on average.
// Source: Müller-Steinhagen & Heck, Chem. Eng. Process. 20 (1986) 297.
func MullerSteinhagenHeck(t *TwoPhase, quality, G, inner, roughness float64) float64 {
	A := SinglePhaseDrop(t.Liquid, G, inner, roughness, 1)
	B := SinglePhaseDrop(t.Vapour, G, inner, roughness, 1)
	at := func(x float64) float64 { return (A+2*(B-A)*x)*math.Cbrt(1-x) + B*cube(x) }
	return straightEnd(at, quality, B)
}

// straightFrom is the quality from which the two laws of friction run straight
// to the vapour's; ours.
const straightFrom = 0.98

func straightEnd(at func(float64) float64, x, end float64) float64 {
	if x <= straightFrom {
		return at(x)
	}
	from := at(straightFrom)
	return from + (x-straightFrom)/(1-straightFrom)*(end-from)
}

// Friedel returns the friction of two phases in Pa/m, of the sign of G:
//
//	dp/dz = A {E + 3.24 F H/(Fr^0.0454 We^0.035)}
//	E = (1−x)² + x² B/A,  F = x^0.78 (1−x)^0.224
//	H = (ρ_l/ρ_v)^0.91 (μ_v/μ_l)^0.19 (1 − μ_v/μ_l)^0.7
//	Fr = G²/(g D ρ²),  We = G² D/(ρ σ),  1/ρ = x/ρ_v + (1−x)/ρ_l
//
// A and B as in MullerSteinhagenHeck. The form has an upright slope at quality
// 1; from 0.98 on it is replaced by the straight line to B (ours). For level and
// rising flow, μ_l/μ_v under 1000; about 40 % of error on average.
// Source: Friedel, European Two-Phase Flow Group Meeting, Ispra (1979), paper
// E2; the exponent 0.0454 is printed as 0.045 in some books.
func Friedel(t *TwoPhase, quality, G, inner, roughness float64) float64 {
	A := SinglePhaseDrop(t.Liquid, G, inner, roughness, 1)
	B := SinglePhaseDrop(t.Vapour, G, inner, roughness, 1)
	if A == 0 {
		return 0
	}
	l, v := t.Liquid, t.Vapour
	thin := reach(v.Viscosity/l.Viscosity, 0, 1)
	H := math.Pow(l.Density/v.Density, 0.91) * math.Pow(thin, 0.19) * math.Pow(1-thin, 0.7)
	at := func(x float64) float64 {
		rho := 1 / (x/v.Density + (1-x)/l.Density)
		fr := reach(G*G/(Gravity*inner*rho*rho), 1e-12, 1e18)
		we := reach(G*G*inner/(rho*t.SurfaceTension), 1e-12, 1e18)
		F := math.Pow(x, 0.78) * math.Pow(1-x, 0.224)
		return A*((1-x)*(1-x)+3.24*F*H/(math.Pow(fr, 0.0454)*math.Pow(we, 0.035))) + x*x*B
	}
	return straightEnd(at, quality, B)
}
