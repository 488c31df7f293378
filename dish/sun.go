package dish

import (
	"fmt"
	"math"
)

// Sun is how the beam's light is spread over directions about the sun's middle.
type Sun struct {
	Shape       SunShape
	HalfAngle   float64 // rad, of a pill-box; 0: that of the mean sun
	Sigma       float64 // rad, standard deviation along each of two directions, of a Gaussian sun
	Circumsolar float64 // 1, of a limb-darkened sun: share of the beam that comes from the aureole around the disc
}

// SunShape is the form of the sun.
type SunShape int

// The forms of the sun.
const (
	// PillBox is a disc of even radiance.
	PillBox SunShape = iota
	// GaussianSun has no edge: radiance exp(-θ²/(2 σ²)).
	GaussianSun
	// Limb is a disc that darkens towards its limb, with an aureole that holds a stated share of the beam. With θ in mrad
	// from the sun's middle the radiance over that of the middle is
	//
	//	cos(0.326 θ)/cos(0.308 θ)    θ ≤ 4.65
	//	e^κ θ^γ                      4.65 < θ ≤ 43.6
	//	κ = 0.9 ln(13.5 χ) χ^-0.3,   γ = 2.2 ln(0.52 χ) χ^0.43 - 0.1
	//
	// The share of the aureole that this gives is not χ itself, so χ is found from the share. Share 0 is the bare disc.
	//
	// Source: D. Buie, A. G. Monger, C. J. Dey, "Sunshape distributions for terrestrial solar simulations", Solar Energy 74
	// (2003) 113-122; range: circumsolar ratios up to 0.7 or so.
	Limb
)

// SunHalfAngle is the half-angle of the mean sun's disc as solar work takes it, rad (ibid.; Duffie & Beckman give 4.65 mrad
// as 16').
const SunHalfAngle = 4.65e-3

// aureoleEnds is where the aureole is cut off, rad: what a pyrheliometer of 2.5° half-angle still sees.
const aureoleEnds = 43.6e-3

// mostCircumsolar bounds the circumsolar ratio.
const mostCircumsolar = 0.7

func (s *Sun) check() error {
	switch s.Shape {
	case PillBox:
		if !(s.HalfAngle >= 0 && s.HalfAngle <= mostError) {
			return fmt.Errorf("the sun's half-angle is 0 to %g rad, not %g", mostError, s.HalfAngle)
		}
	case GaussianSun:
		if !(s.Sigma > 0 && s.Sigma <= mostError) {
			return fmt.Errorf("a Gaussian sun's standard deviation is above 0, up to %g rad, not %g", mostError, s.Sigma)
		}
	case Limb:
		if !(s.Circumsolar >= 0 && s.Circumsolar <= mostCircumsolar) {
			return fmt.Errorf("a circumsolar ratio is 0 to %g, not %g", mostCircumsolar, s.Circumsolar)
		}
	default:
		return fmt.Errorf("a sun of unknown shape %d", s.Shape)
	}
	return nil
}

// aureole returns e^κ and γ.
func aureole(chi float64) (scale, power float64) {
	return math.Exp(0.9 * math.Log(13.5*chi) * math.Pow(chi, -0.3)), 2.2*math.Log(0.52*chi)*math.Pow(chi, 0.43) - 0.1
}

// radiance is that of the limb-darkened sun over its middle's, θ in rad.
func radiance(theta, scale, power float64) float64 {
	t := theta * 1e3
	switch {
	case theta <= SunHalfAngle:
		return math.Cos(0.326*t) / math.Cos(0.308*t)
	case theta <= aureoleEnds && scale > 0:
		return scale * math.Pow(t, power)
	}
	return 0
}

// beamWithin is the irradiance square to the beam from directions between two angles, over the middle's radiance:
// 2π ∫ φ(θ) sinθ cosθ dθ by Simpson's rule.
func beamWithin(a, b, scale, power float64) float64 {
	const n = 512
	h := (b - a) / n
	sum := 0.0
	for i := range n + 1 {
		t := a + h*float64(i)
		w := 2.0
		if i == 0 || i == n {
			w = 1
		} else if i%2 == 1 {
			w = 4
		}
		t = math.Min(math.Max(t, a), b)
		f := radiance(t, scale, power)
		if i == 0 && a == SunHalfAngle { // the aureole's side of the limb
			f = scale * math.Pow(t*1e3, power)
		}
		sum += w * f * math.Sin(t) * math.Cos(t)
	}
	return 2 * math.Pi * sum * h / 3
}

// CircumsolarOf returns the circumsolar ratio that a value of χ gives.
func CircumsolarOf(chi float64) float64 {
	if chi <= 0 {
		return 0
	}
	scale, power := aureole(chi)
	disc, ring := beamWithin(0, SunHalfAngle, scale, power), beamWithin(SunHalfAngle, aureoleEnds, scale, power)
	return ring / (disc + ring)
}

// chiOf finds χ for a circumsolar ratio by halving: the ratio rises with χ.
func chiOf(ratio float64) float64 {
	if ratio <= 0 {
		return 0
	}
	lo, hi := 1e-6, 0.95
	for range 60 {
		mid := (lo + hi) / 2
		if CircumsolarOf(mid) < ratio {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// directions draws directions from a sun: sin²θ of the share u of its beam that comes from nearer its middle.
type directions struct {
	gauss float64   // rad; above 0: a Gaussian sun
	table []float64 // sin²θ at equal steps of the share, straight between them
}

func (s *Sun) directions() directions {
	switch s.Shape {
	case GaussianSun:
		return directions{gauss: s.Sigma}
	case Limb:
		return directions{table: s.limbTable()}
	}
	half := s.HalfAngle
	if half == 0 {
		half = SunHalfAngle
	}
	return directions{table: []float64{0, math.Sin(half) * math.Sin(half)}}
}

// limbTable inverts the share of the beam over sin²θ; the radiance over sin²θ is its density.
func (s *Sun) limbTable() []float64 {
	scale, power := 0.0, 0.0
	ends := SunHalfAngle
	if s.Circumsolar > 0 {
		scale, power = aureole(chiOf(s.Circumsolar))
		ends = aureoleEnds
	}
	const fine, steps = 40000, 4096
	edge := math.Sin(ends) * math.Sin(ends)
	at := func(i int) float64 { // finer near the middle
		q := float64(i) / fine
		return edge * q * q
	}
	share := make([]float64, fine+1)
	for i := 1; i <= fine; i++ {
		a, b := at(i-1), at(i)
		share[i] = share[i-1] + (b-a)*radiance(math.Asin(math.Sqrt((a+b)/2)), scale, power)
	}
	table := make([]float64, steps+1)
	i := 0
	for k := range table {
		want := share[fine] * float64(k) / steps
		for i < fine-1 && share[i+1] < want {
			i++
		}
		f := 0.0
		if d := share[i+1] - share[i]; d > 0 {
			f = (want - share[i]) / d
		}
		table[k] = at(i) + math.Min(1, f)*(at(i+1)-at(i))
	}
	return table
}

// draw returns the two components, square to the axis, of a direction from the sun.
func (d *directions) draw(u, v float64) (x, y float64) {
	var r float64
	if d.gauss > 0 {
		r = d.gauss * math.Sqrt(-2*math.Log(u))
	} else {
		q := u * float64(len(d.table)-1)
		i := int(q)
		a := d.table[i]
		r = math.Sqrt(a + (q-float64(i))*(d.table[i+1]-a))
	}
	s, c := math.Sincos(2 * math.Pi * v)
	return r * c, r * s
}
