package film

import "math"

// Boiled is the film of water that boils, at one place of a tube.
type Boiled struct {
	Coefficient
	Wetted float64 // 1, share of the wall that water touches
	Regime Regime
}

// Laws in the order of the choices; constants, so that Boil allocates nothing.
var (
	saturatedLaws = [...]string{
		lawSaturated, "saturated boiling: Gungor & Winterton 1987",
		"saturated boiling: Kandlikar 1990", "saturated boiling: Chen 1966",
	}
	stratifiedLaws = [...]string{
		"stratified boiling: Wojtan et al. 2005 over Liu & Winterton 1991", "stratified boiling: Wojtan et al. 2005 over Gungor & Winterton 1987",
		"stratified boiling: Wojtan et al. 2005 over Kandlikar 1990", "stratified boiling: Wojtan et al. 2005 over Chen 1966",
	}
	dryingLaws = [...]string{
		"dry-out: Wojtan et al. 2005 or Kon'kov 1965", "dry-out: Wojtan et al. 2005",
		"dry-out: Kon'kov 1965", "dry-out: Bowring 1972",
	}
	mistLaws = [...]string{
		"dry wall: Dougall & Rohsenow 1963", "dry wall: Groeneveld 1973", "dry wall: Wojtan et al. 2005",
	}
)

const lawSteam = "steam"

// Widths of the joins of Boil, all ours.
const (
	spreadBefore = 0.02 // of quality, before boiling, in which the spread of boiling comes in
	dryBefore    = 0.05 // of quality, before dry-out, in which that of dry-out comes in
	steamAfter   = 0.05 // of quality, beyond 1, in which that of dry steam comes in
	growsBy      = 0.20 // of the liquid's film, over which that of subcooled boiling comes in
)

// Boil returns the film of water in a tube, from cold liquid through boiling and
// dry-out to steam, level, inclined and upright. It is referred to wall minus
// bulk temperature (saturation while 0 ≤ quality ≤ 1) and is a mean around the
// wall.
//
// quality is (h − h′)/latent, below 0 for colder liquid and above 1 for hotter
// steam; G in kg/(m² s), its sign does not matter; inner in m; tilt in rad above
// the horizontal; flux the mean from wall to water in W/m² (0 or less: no
// nucleation).
//
//	quality < 0    Liu & Winterton's subcooled form, see subcooled; called
//	               Subcooled once the wall's superheat is Onset's
//	0 .. from      w h_wet + (1−w) Mist; h_wet by choice, w by Wetted
//	from .. to     a smooth step of quality between the film at from and Mist
//	to .. 1        Mist by choice
//	over 1         VapourOnly of t
//
// h_wet goes from Liu & Winterton at quality 0 (where the subcooled form ends)
// to the chosen law at 0.05, the liquid's part of it from LiquidOnly of t to
// Dittus & Boelter's; no h_l is under the laminar 3.66. The published laws take
// the flux as the mean around the wall, and so does this.
//
// There is no jump in H and none in Spread. Subcooled boiling brings its spread
// in as it adds to the liquid's film, in full from a fifth on. Outside is set,
// and Spread at least 1, beyond the range of the law in use, in stratified flow (the wet part's law
// was not made for it), in a tube between level and upright that would stratify
// if level, at dry-out, behind it, and for a flux into the wall.
func Boil(t *TwoPhase, quality, G, inner, tilt, flux float64, c Choice) Boiled {
	from, to := 1.0, 1.0
	if quality >= 0 && quality < 1 {
		from, to = DryOut(t, G, inner, tilt, flux, c)
	}
	return BoilBetween(t, quality, G, inner, tilt, flux, from, to, c)
}

// BoilBetween is Boil for a wall that dries between the two qualities given
// (as an earlier DryOut found them), from below to.
func BoilBetween(t *TwoPhase, quality, G, inner, tilt, flux, from, to float64, c Choice) Boiled {
	if quality >= 1 {
		return steamAt(t, quality, math.Abs(G), inner)
	}
	b := NewBore(t, G, inner, tilt, c)
	return b.Boil(quality, flux, from, to)
}

// steamAt is Boil from quality 1 on.
func steamAt(t *TwoPhase, quality, G, inner float64) Boiled {
	h := t.VapourOnly
	if !(h > 0) {
		h = Tube(t.Vapour, 0, G, inner, 100*inner, 0, 0).H
	}
	spread := factorOfTwo + smooth((quality-1)/steamAfter)*(0.15-factorOfTwo)
	return Boiled{Coefficient{H: h, Law: lawSteam, Outside: spread >= factorOfTwo, Spread: spread}, 0, Steam}
}

// Bore is a place in a tube through which water flows, for many films at various
// qualities and fluxes: it holds what they share.
type Bore struct {
	t               *TwoPhase
	G, inner, tilt  float64
	flux            float64 // W/m², of the film in hand, not below 0
	choice          Choice
	liquid, full    float64 // W/(m² K), liquid only: of Tube, and of Dittus & Boelter
	levelAt, level  float64 // a quality, and the dry share of a level tube's wall there
	slugs           slugs
	perFlux, pool   float64 // of Cooper: its factor, and W/(m² K)
	re, calm, perF  float64 // Reynolds number of all as liquid; suppression at F = 1, and what F^0.1 counts by in it
	share, perShare float64 // h_l of the liquid's share at quality 0, and its laminar least
}

// NewBore prepares films at the arguments of BoilBetween. It keeps t.
func NewBore(t *TwoPhase, G, inner, tilt float64, c Choice) Bore {
	p := Bore{levelAt: -1, t: t, G: math.Abs(G), inner: inner, tilt: tilt, choice: c}
	p.liquid = t.LiquidOnly
	if !(p.liquid > 0) {
		p.liquid = Tube(t.Liquid, 0, p.G, p.inner, 100*p.inner, 0, 0).H
	}
	p.re = reach(p.G*p.inner/t.Liquid.Viscosity, 0, 1e10)
	pr := reach(t.Liquid.Prandtl, 1e-6, 1e8)
	k := t.Liquid.Conductivity / p.inner
	p.share, p.perShare = DittusBoelter(p.re, pr, true)*k, NusseltSameTemperature*k
	p.full = math.Max(p.share, p.perShare)
	p.perFlux = cooperFactor(t.ReducedPressure, t.MolarMass, 1)
	p.calm = liuWintertonS(1, p.re)
	p.perF = 1/p.calm - 1
	return p
}

// DryOut is DryOut at the bore.
func (p *Bore) DryOut(flux float64) (from, to float64) {
	return DryOut(p.t, p.G, p.inner, p.tilt, flux, p.choice)
}

// Boil is BoilBetween at the bore.
func (p *Bore) Boil(quality, flux, from, to float64) Boiled {
	if quality >= 1 {
		return steamAt(p.t, quality, p.G, p.inner)
	}
	if quality < 0 {
		p.flux = math.Max(flux, 0)
		p.pool = p.perFlux * math.Pow(p.flux, 0.67) // Cooper
		return p.belowSaturation(quality, flux)
	}
	s := p.At(quality, from, to)
	return s.Boil(flux)
}

// Spot is a bore at one quality within 0..1, dry-out between two others, for
// films at various fluxes: it holds what does not hang on the flux.
type Spot struct {
	p           *Bore
	x, from, to float64
	at          float64 // the wet wall's quality: it is held once drying begins
	level, dry  float64 // share of a level tube's wall that is dry before it dries by boiling; with this tilt
	dried       float64 // how far it has dried by boiling
	wetMist     float64 // W/(m² K), of a dry wall at the wet wall's quality
	mist        float64 // W/(m² K), of a dry wall here
	liquid, sup float64 // Liu & Winterton: W/(m² K), F times the liquid's film; S
	join        float64 // 1 where the chosen law has taken over from Liu & Winterton
}

// At prepares films at a quality within 0..1 on a wall that dries between from
// and to. It keeps the bore.
func (p *Bore) At(quality, from, to float64) Spot {
	s := Spot{p: p, x: quality, from: from, to: to, at: math.Min(quality, from)}
	s.mist = Mist(p.t, quality, p.G, p.inner, p.choice)
	if s.dried = smooth((quality - from) / (to - from)); quality >= to {
		return s
	}
	s.wetMist = s.mist
	if quality > from {
		s.wetMist = Mist(p.t, s.at, p.G, p.inner, p.choice)
	}
	if up := upright(p.tilt); up < 1 {
		if s.at != p.levelAt {
			p.levelAt, p.level = s.at, levelDry(p.t, s.at, p.G, p.inner, p.choice.Void, &p.slugs)
		}
		s.level = p.level
		s.dry = (1 - up) * s.level
	}
	s.join = smooth(s.at / wetBy)
	if p.choice.Boiling == ByLiuWinterton || s.join < 1 {
		term := mix(p.liquid, p.full, s.join)
		ratio := math.Max(p.t.Liquid.Density/p.t.Vapour.Density-1, 0)
		ln := math.Log1p(s.at * p.t.Liquid.Prandtl * ratio)
		s.liquid = math.Exp(0.35*ln) * term         // F of liuWintertonF
		s.sup = 1 / (1 + p.perF*math.Exp(0.035*ln)) // as liuWintertonS has it
	}
	return s
}

// H returns the film of Boil at a flux in W/m².
func (s *Spot) H(flux float64) float64 {
	if s.x >= s.to {
		return s.mist
	}
	p := s.p
	p.flux = math.Max(flux, 0)
	h := 0.0
	if p.choice.Boiling == ByLiuWinterton || s.join < 1 {
		h = math.Hypot(s.liquid, s.sup*p.perFlux*math.Pow(p.flux, 0.67)) // Cooper
	}
	if p.choice.Boiling != ByLiuWinterton && s.join > 0 {
		h = mix(h, p.other(s.at), s.join)
	}
	return mix(mix(h, s.wetMist, s.dry), s.mist, s.dried)
}

// other is wet by the laws that stand on the liquid's share of the flow.
func (p *Bore) other(x float64) float64 {
	x = reach(x, 1e-4, dryOutLatest+dryOutWidth-1e-3)
	share := math.Max(p.share*math.Pow(1-x, 0.8), p.perShare)
	G := reach(p.G, 1e-3, 1e9)
	switch p.choice.Boiling {
	case ByGungorWinterton:
		return gungorWintertonE(p.t, x, G, p.flux) * share
	case ByKandlikar:
		return kandlikarE(p.t, x, G, p.flux) * share
	}
	return chenAt(p.t, x, G, p.inner, p.flux, share)
}

// belowSaturation is Boil below quality 0.
func (p *Bore) belowSaturation(quality, flux float64) Boiled {
	t := p.t
	cold := -quality * t.Latent / t.Liquid.HeatCapacity // K below saturation
	h, boils := subcooled(p.liquid, p.calm*p.pool, cold, p.flux)
	b := Boiled{Coefficient{H: h, Law: lawOnlyLiquid, Spread: 0.15}, 1, Liquid}
	edge := p.edge(0)
	if boils {
		grown := smooth((h/p.liquid - 1) / growsBy)
		b.Spread += grown * (0.40 + 0.60*edge - b.Spread)
		if superheat := flux/h - cold; superheat > 0 && flux <= Onset(t.Pressure, superheat) {
			b.Law, b.Regime = lawSubcooled, Subcooled
		}
	}
	if near := 1 + quality/spreadBefore; near > 0 {
		at := spreadOfWet(1, flux, edge)
		b.Spread = math.Max(b.Spread, 0.15+smooth(near)*(at-0.15))
	}
	b.Outside = b.Spread >= factorOfTwo
	return b
}

// Boil is Boil of the bore at the spot.
func (s *Spot) Boil(flux float64) Boiled {
	p, c := s.p, s.p.choice
	b := Boiled{Coefficient{H: s.H(flux), Law: mistLaws[min(int(c.Mist), len(mistLaws)-1)], Outside: true, Spread: factorOfTwo}, 0, Droplets}
	if s.x >= s.to {
		return b
	}
	b.Wetted = (1 - s.dry) * (1 - s.dried)
	if s.x > s.from {
		b.Law, b.Regime = dryingLaws[min(int(c.DryOut), len(dryingLaws)-1)], Drying
		return b
	}
	edge := p.edge(s.x)
	b.Spread = spreadOfWet(1-math.Min(s.level, 2*s.dry), flux, edge)
	b.Spread += smooth(1-(s.from-s.x)/dryBefore) * math.Max(factorOfTwo-b.Spread, 0)
	b.Law, b.Regime = saturatedLaws[min(int(c.Boiling), len(saturatedLaws)-1)], Saturated
	if s.dry > 0.01 {
		b.Law, b.Regime = stratifiedLaws[min(int(c.Boiling), len(stratifiedLaws)-1)], Stratified
	}
	b.Outside = b.Spread >= factorOfTwo
	return b
}

// spreadOfWet is the spread on a wall of which the share wetted would be wet in
// a level tube; edge is 1 outside the law's range.
func spreadOfWet(wetted, flux, edge float64) float64 {
	edge = math.Max(edge, smooth((1-wetted)/0.10))
	if flux < 0 {
		edge = 1
	}
	return 0.40 + 0.60*edge
}

// edge is 1 beyond the range of the law of a wet wall and falls to 0 a quarter
// inside each of its borders, so that the spread has no jump.
func (p *Bore) edge(x float64) float64 {
	t := p.t
	r := ranges[min(int(p.choice.Boiling), len(ranges)-1)]
	if x < wetBy {
		r = ranges[ByLiuWinterton] // which holds the subcooled side
	}
	e := beyond(p.G, r.G[0], r.G[1])
	e = math.Max(e, beyond(p.flux, r.q[0], r.q[1]))
	e = math.Max(e, beyond(t.ReducedPressure, r.pr[0], r.pr[1]))
	return math.Max(e, beyond(p.inner, r.D[0], r.D[1]))
}

// ranges of the laws of a wet wall, in the order of BoilingLaw: mass flux,
// flux, reduced pressure and bore. Liu & Winterton from their paper, by memory;
// the others from the ranges that the textbooks quote for water, by memory.
var ranges = [...]struct{ G, q, pr, D [2]float64 }{
	{[2]float64{12, 8180}, [2]float64{350, 2.62e6}, [2]float64{0.0023, 0.895}, [2]float64{0.0029, 0.033}},
	{[2]float64{12, 8180}, [2]float64{350, 2.62e6}, [2]float64{0.0023, 0.895}, [2]float64{0.0029, 0.033}},
	{[2]float64{67, 8179}, [2]float64{4700, 2.28e6}, [2]float64{0.0045, 0.29}, [2]float64{0.0046, 0.032}},
	{[2]float64{54, 4070}, [2]float64{44000, 2.4e6}, [2]float64{0.0025, 0.16}, [2]float64{0.0029, 0.033}},
}

// beyond is 1 for v at or outside its borders and 0 for v a quarter inside.
func beyond(v, low, high float64) float64 {
	const inside = 1.25
	return math.Max(smooth((inside*low-v)/((inside-1)*low)), smooth((v*inside-high)/((inside-1)*high)))
}
