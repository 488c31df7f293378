package optics

import (
	"math"

	"emberbank/receiver"
)

// Uptake returns which shares of the light on a window's opening the block's face and the pane absorb, the light falling by
// the shares of angles, in equal bins from 0 to π/2; nil: straight on.
//
// Where glass and face have values for every angle alike these hold: transmittance times absorptance, and the pane's
// absorptance. Where the pane's follow from what it is made of, light that the face throws back meets the pane again, as
// diffuse light, and so on without end:
//
//	face = Σ share τ α/(1 − (1 − α) ρ_d),  pane = Σ share [a + τ (1 − α) a_d/(1 − (1 − α) ρ_d)]
//
// with τ and a the pane's transmittance and absorptance and α the face's absorptance at the bin's angle; ρ_d and a_d are the
// pane's reflectance and absorptance for diffuse light. The gap is taken as narrow: none of that light leaves by its sides.
// Source: Duffie & Beckman, Solar Engineering of Thermal Processes, section 5.5, eq. 5.5.1 (number from memory).
func Uptake(w *receiver.Window, angles []float64) (face, pane float64) {
	if len(angles) == 0 {
		angles = straight
	}
	g := w.Glass
	var rho, again float64 // of the pane for diffuse light
	if g != nil && len(g.Transmittances) > 0 {
		var t float64
		t, again = diffuse(g.Transmittances), diffuse(g.Absorptances)
		rho = math.Max(0, 1-t-again)
	}
	sum := 0.0
	for i, share := range angles {
		x := (float64(i) + 0.5) / float64(len(angles))
		if len(angles) == 1 {
			x = 0
		}
		a := w.Absorptance
		if len(w.Absorptances) > 0 {
			a = between(w.Absorptances, x)
		}
		sum += share
		switch {
		case g == nil:
			face += share * a
		case len(g.Transmittances) == 0:
			face += share * g.Transmittance * a
			pane += share * g.Absorptance
		default:
			t := between(g.Transmittances, x)
			round := 1 / (1 - (1-a)*rho)
			face += share * t * a * round
			pane += share * (between(g.Absorptances, x) + t*(1-a)*again*round)
		}
	}
	return face / sum, pane / sum
}

// straight is one bin, read at its angle 0.
var straight = []float64{1}

// between draws straight lines between the middles of equal bins; x runs from 0 to 1 over all of them.
func between(v []float64, x float64) float64 {
	at := math.Max(0, math.Min(float64(len(v)-1), x*float64(len(v))-0.5))
	i := min(int(at), len(v)-1)
	k := min(i+1, len(v)-1)
	return v[i] + (at-float64(i))*(v[k]-v[i])
}

// diffuse weighs values at the middles of equal bins of the angle by how diffuse light spreads over them: sin 2θ.
func diffuse(v []float64) float64 {
	out, below := 0.0, 0.0
	for i, x := range v {
		s := math.Sin(float64(i+1) / float64(len(v)) * math.Pi / 2)
		out += (s*s - below) * x
		below = s * s
	}
	return out
}
