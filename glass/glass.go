// Package glass tells what a pane does with light: how much of it passes, is thrown back and stays, by the angle at which
// it falls, for both polarisations, with all reflections inside the pane, weighted over a spectrum; and how light that fills
// a cone spreads over angles.
//
// The pane is plane-parallel, smooth and much thicker than a wavelength, so that beams add by power. Its absorption is weak
// enough that Fresnel's formulas for a clear medium hold at its faces. Left out: coatings, scatter, and how index and
// absorption change with temperature. Lengths are in m, angles in rad.
//
//	pane := glass.ByAngle(matter, 0.004, glass.Sun(), 90)
//	straight := pane[0]
package glass

import "math"

// Light is what becomes of light that falls on a pane: shares that add up to one.
type Light struct{ Transmitted, Reflected, Absorbed float64 }

// Reflectance returns the share of light that one face between air and a clear medium of index n throws back, for the
// electric field across the plane of incidence and along it:
//
//	across: [sin(r − i)/sin(r + i)]²,  along: [tan(r − i)/tan(r + i)]²,  sin i = n sin r
//
// written with cosines so that light straight on has no exception. The angle i is that in air, 0 to π/2.
// Source: Duffie & Beckman, Solar Engineering of Thermal Processes, section 5.1, eqs. 5.1.1 to 5.1.4 (numbers from memory).
func Reflectance(n, angle float64) (across, along float64) {
	ci := math.Cos(angle)
	si := math.Sin(angle)
	cr := math.Sqrt(math.Max(0, 1-si*si/(n*n)))
	square := func(a, b float64) float64 {
		if a+b == 0 {
			return 1
		}
		q := (a - b) / (a + b)
		return q * q
	}
	return square(ci, n*cr), square(n*ci, cr)
}

// Sheet returns what a pane of one index n and one extinction K (1/m) does with unpolarised light of one wavelength:
//
//	a = exp(−K L/cos r)
//	transmitted = a (1 − ρ)²/(1 − ρ²a²),  absorbed = (1 − a)(1 − ρ)/(1 − ρ a),  reflected = the rest
//
// each the mean of the two polarisations, ρ by Reflectance, L the thickness.
// Source: Duffie & Beckman, sections 5.2 and 5.3, eqs. 5.2.1 and 5.3.1 to 5.3.3 (numbers from memory).
func Sheet(n, extinction, thickness, angle float64) Light {
	si := math.Sin(angle)
	a := math.Exp(-extinction * thickness / math.Sqrt(math.Max(1e-12, 1-si*si/(n*n))))
	var out Light
	across, along := Reflectance(n, angle)
	for _, rho := range [2]float64{across, along} {
		out.Transmitted += 0.5 * a * (1 - rho) * (1 - rho) / (1 - rho*rho*a*a)
		out.Absorbed += 0.5 * (1 - a) * (1 - rho) / (1 - rho*a)
	}
	if math.IsNaN(out.Transmitted) { // grazing light on a pane that takes nothing
		return Light{Reflected: 1}
	}
	out.Reflected = 1 - out.Transmitted - out.Absorbed
	return out
}

// At returns what a pane of that matter does with light of a spectrum that falls at one angle.
func At(m Matter, thickness float64, s Spectrum, angle float64) Light {
	var out Light
	for i, w := range s.scaled() {
		if w == 0 {
			continue
		}
		l := Sheet(m.Index(s.Wavelength[i]), m.Extinction(s.Wavelength[i]), thickness, angle)
		out.Transmitted += w * l.Transmitted
		out.Absorbed += w * l.Absorbed
	}
	out.Reflected = 1 - out.Transmitted - out.Absorbed
	return out
}

// ByAngle returns the same at the middles of n equal bins of the angle from 0 to π/2.
func ByAngle(m Matter, thickness float64, s Spectrum, n int) []Light {
	out := make([]Light, n)
	for i := range out {
		out[i] = At(m, thickness, s, (float64(i)+0.5)*math.Pi/2/float64(n))
	}
	return out
}

// Cone returns how the power of light that fills a cone evenly about the window's normal spreads over n equal bins of the
// angle from 0 to π/2: as sin θ cos θ up to the cone's half-angle. A half-angle of π/2 is diffuse light; 0 is light straight
// on.
func Cone(half float64, n int) []float64 {
	out := make([]float64, n)
	if !(half > 0) {
		out[0] = 1
		return out
	}
	step := math.Pi / 2 / float64(n)
	whole := math.Pow(math.Sin(math.Min(half, math.Pi/2)), 2)
	below := 0.0
	for i := range out {
		s := math.Sin(math.Min(float64(i+1)*step, half))
		up := math.Min(1, s*s/whole)
		out[i] = up - below
		below = up
	}
	return out
}
