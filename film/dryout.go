package film

import "math"

// The qualities between which a wall dries are held within these, all ours.
const (
	dryOutEarliest = 0.05
	dryOutLatest   = 0.95
	dryOutWidth    = 0.05 // least width from the first dry patch to a dry wall
	uprightWidth   = 0.10 // in an upright tube, whose film breaks at one height
)

// Konkov returns the quality at which the wall of an upright tube in which
// water boils dries out:
//
//	p 4.9..29.4 bar   x = 10.795 q^−⅛ G^−⅓ (1000 D)^−0.07 e^{0.01715 p}
//	p 29.4..98 bar    x = 19.398 q^−⅛ G^−⅓ (1000 D)^−0.07 e^{−0.00255 p}
//	p 98..196 bar     x = 32.302 q^−⅛ G^−⅓ (1000 D)^−0.07 e^{−0.00795 p}
//
// q in kW/m², p in bar, G in kg/(m² s), D in m; here pressure in Pa and flux in
// W/m². The pieces meet within 3 %; they are joined by taking the least of the
// first and second, then of the second and third (ours). Not bounded by 1.
// Range: upward flow, G 200..5000 kg/(m² s), bore 4..32 mm, as above in p.
// Source: Kon'kov (1965), as VDI-Wärmeatlas gives it (from memory); the three
// pieces were found in a public routine with q in W/m² and 25.6, 46.0 and 76.6,
// which is the same: 1000^⅛ times the numbers here.
func Konkov(pressure, G, inner, flux float64) float64 {
	bar := reach(pressure, 1, 1e12) / 1e5
	piece := math.Min(19.398*math.Exp(-0.00255*bar), 32.302*math.Exp(-0.00795*bar))
	piece = math.Min(piece, 10.795*math.Exp(0.01715*math.Min(bar, 100)))
	q := reach(flux/1000, 1e-6, 1e12)
	return piece * math.Pow(q, -0.125) / math.Cbrt(reach(G, 1e-6, 1e12)) * math.Pow(reach(1000*inner, 1e-6, 1e9), -0.07)
}

// Bowring returns the quality at which the wall of an upright tube fails to
// stay wet at a local flux q:
//
//	q = (A − D G latent x/4)/C,  solved for x
//	A = 2.317 (D G latent/4) F1/(1 + 0.0143 F2 D^½ G)
//	C = 0.077 F3 D G/(1 + 0.347 F4 (G/1356)ⁿ),  n = 2 − 0.5 p_R,  p_R = p/6.895 MPa
//
// F1..F4 are functions of p_R, see bowringFactors. It is no more than a linear
// balance: at no flux the quality it gives can be over 1. Range: upward flow of
// water, p 2..190 bar, D 2..45 mm, length 0.15..3.7 m, G 136..18600 kg/(m² s);
// 7 % rms of 3800 measurements.
// Source: Bowring, AEEW-R 789 (1972); Collier & Thome, Convective Boiling and
// Condensation, 3rd ed., section 8.2; coefficients found alike in several public
// scripts, the range from memory.
func Bowring(t *TwoPhase, G, inner, flux float64) float64 {
	pr := reach(t.Pressure/6.895e6, 0.01, 3)
	f1, f2, f3, f4 := bowringFactors(pr)
	G = reach(G, 1e-6, 1e6)
	n := 2 - 0.5*pr
	atRest := 2.317 * f1 / (1 + 0.0143*f2*math.Sqrt(inner)*G)
	perFlux := 4 * 0.077 * f3 / (t.Latent * (1 + 0.347*f4*math.Pow(G/1356, n)))
	return atRest - perFlux*math.Max(flux, 0)
}

// bowringFactors returns F1..F4 for p_R ≤ 1 and beyond:
//
//	F1 = (p_R^18.942 e^{20.89(1−p_R)} + 0.917)/1.917        p_R^−0.368 e^{0.648(1−p_R)}
//	F1/F2 = (p_R^1.316 e^{2.444(1−p_R)} + 0.309)/1.309      p_R^−0.448 e^{0.245(1−p_R)}
//	F3 = (p_R^17.023 e^{16.658(1−p_R)} + 0.667)/1.667       p_R^0.219
//	F4/F3 = p_R^1.649                                       the same
func bowringFactors(pr float64) (f1, f2, f3, f4 float64) {
	ln := math.Log(pr)
	if pr <= 1 {
		f1 = (math.Exp(18.942*ln+20.89*(1-pr)) + 0.917) / 1.917
		f2 = f1 * 1.309 / (math.Exp(1.316*ln+2.444*(1-pr)) + 0.309)
		f3 = (math.Exp(17.023*ln+16.658*(1-pr)) + 0.667) / 1.667
	} else {
		f1 = math.Exp(-0.368*ln + 0.648*(1-pr))
		f2 = f1 / math.Exp(-0.448*ln+0.245*(1-pr))
		f3 = math.Exp(0.219 * ln)
	}
	return f1, f2, f3, f3 * math.Exp(1.649*ln)
}

// WojtanDryOut returns the qualities at which the top of a level tube's wall
// begins to dry and at which its bottom has dried:
//
//	x_di = 0.58 exp[0.52 − 0.235 We^0.17 Fr^0.37 (ρ_v/ρ_l)^0.25 (q/q_c)^0.70]
//	x_de = 0.61 exp[0.57 − 5.8·10⁻³ We^0.38 Fr^0.15 (ρ_v/ρ_l)^−0.09 (q/q_c)^0.27]
//	We = G² D/(ρ_v σ),  Fr = G²/(ρ_v (ρ_l−ρ_v) g D),  q_c = Zuber with K = 0.131
//
// Not bounded by 1. Range: R-22 and R-410A at 5 °C, D 8 and 13.84 mm, G
// 70..700 kg/(m² s), q 2..57.5 kW/m²: q/q_c to about 0.13.
// Source: Wojtan, Ursenbacher & Thome, Int. J. Heat Mass Transfer 48 (2005)
// 2955 and 2970; coefficients found in a public script that follows the paper.
func WojtanDryOut(t *TwoPhase, G, inner, flux float64) (inception, completion float64) {
	l, v := t.Liquid.Density, t.Vapour.Density
	G = reach(G, 1e-6, 1e6)
	we := reach(G*G*inner/(v*t.SurfaceTension), 1e-12, 1e18)
	fr := reach(G*G/(v*math.Max(l-v, 1e-9)*Gravity*inner), 1e-12, 1e18)
	share := reach(math.Max(flux, 0)/poolLimit(t), 1e-9, 1e6)
	ratio := reach(v/l, 1e-9, 1)
	lnWe, lnFr, lnShare, lnRatio := math.Log(we), math.Log(fr), math.Log(share), math.Log(ratio)
	inception = 0.58 * math.Exp(0.52-0.235*math.Exp(0.17*lnWe+0.37*lnFr+0.25*lnRatio+0.70*lnShare))
	completion = 0.61 * math.Exp(0.57-5.8e-3*math.Exp(0.38*lnWe+0.15*lnFr-0.09*lnRatio+0.27*lnShare))
	return inception, completion
}

// Level tubes beyond the fastest flow of WojtanDryOut go over to the law of
// upright ones, which lies within the flow's range; ours.
const (
	wojtanTo    = 700.0  // kg/(m² s)
	wojtanUntil = 1400.0 // kg/(m² s)
)

// DryOut returns the qualities between which the wall of a tube dries, for G in
// kg/(m² s), inner in m, tilt in rad and the flux from wall to water in W/m².
//
// With ByAttitude, from level to upright as upright has it: WojtanDryOut, and
// the lesser of Konkov and Bowring, from which the wall takes another 0.10 of
// quality to dry (ours). In level tubes the upright law takes over between 700
// and 1400 kg/(m² s). from lies within 0.05..0.95, to within from + 0.05 .. 1
// (ours): a slow film is taken to break just before the last water is gone.
// Neither makes a jump with any of its arguments.
//
// What it does not know: a wall that is too hot to be wetted at all (see
// Leidenfrost and Rewet), and departure from nucleate boiling below 0.05.
func DryOut(t *TwoPhase, G, inner, tilt, flux float64, c Choice) (from, to float64) {
	G = math.Abs(G)
	flux = math.Max(flux, 0)
	up := 0.0
	switch c.DryOut {
	case ByKonkov, ByBowring:
		up = 1
	case ByAttitude:
		w := upright(tilt)
		up = w + (1-w)*smooth((G-wojtanTo)/(wojtanUntil-wojtanTo))
	}
	if up < 1 {
		from, to = WojtanDryOut(t, G, inner, flux)
		from = reach(from, dryOutEarliest, dryOutLatest)
		to = reach(to, from+dryOutWidth, 1)
	}
	if up > 0 {
		x := dryOutLatest
		if c.DryOut != ByBowring {
			x = Konkov(t.Pressure, G, inner, flux)
		}
		if c.DryOut != ByKonkov {
			x = math.Min(x, Bowring(t, G, inner, flux))
		}
		x = reach(x, dryOutEarliest, dryOutLatest)
		from += up * (x - from)
		to += up * (math.Min(x+uprightWidth, 1) - to)
	}
	return from, math.Max(to, from+dryOutWidth)
}
