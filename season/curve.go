package season

import (
	"math"
	"slices"

	"emberbank/material"
)

// curve is a node's temperature over its heat content as straight pieces, and how much of it is melted.
type curve struct {
	H []float64 // J above 20 °C, rising
	T []float64 // K, not falling
	M []float64 // J, latent heat of what is melted
}

// The span in K that a curve covers, and its pieces; beyond it the outermost pieces go on.
const curveLow, curveHigh, curveStep = 173.15, 1573.15, 1.0

// part is so much of one medium.
type part struct {
	mass   float64 // kg
	e      *material.Enthalpy
	medium *material.Medium
}

// layCurve lays the curve of some masses that have one temperature.
func layCurve(parts []part) curve {
	type knot struct {
		T     float64
		above bool // of two at one temperature, the one with all melted
	}
	var knots []knot
	for i := 0; ; i++ {
		T := curveLow + float64(i)*curveStep
		if T > curveHigh {
			break
		}
		knots = append(knots, knot{T: T})
	}
	for _, p := range parts {
		if p.medium.Latent > 0 {
			knots = append(knots, knot{T: p.medium.Solidus}, knot{T: p.medium.Liquidus, above: true})
		}
	}
	slices.SortFunc(knots, func(a, b knot) int {
		switch {
		case a.T < b.T || a.T == b.T && !a.above && b.above:
			return -1
		case a.T > b.T || a.above && !b.above:
			return 1
		}
		return 0
	})
	var c curve
	for _, k := range knots {
		h, m := 0.0, 0.0
		for _, p := range parts {
			T := k.T
			if md := p.medium; md.Latent > 0 && md.Liquidus-md.Solidus < 1e-6 && math.Abs(T-md.Solidus) < 1e-6 {
				T -= 1e-7
				if k.above {
					T += 2e-7
				}
			}
			x := p.e.Of(T)
			h += p.mass * x
			m += p.mass * p.medium.Latent * p.e.Melted(x)
		}
		if n := len(c.H); n > 0 && !(h > c.H[n-1]) {
			continue
		}
		c.H, c.T, c.M = append(c.H, h), append(c.T, k.T), append(c.M, m)
	}
	return c
}

// piece returns the piece that holds a heat content, looking from a guess on.
func (c *curve) piece(h float64, guess int) int {
	i := min(max(guess, 0), len(c.H)-2)
	for n := 0; n < 4; n++ {
		switch {
		case h < c.H[i] && i > 0:
			i--
		case h > c.H[i+1] && i < len(c.H)-2:
			i++
		default:
			return i
		}
	}
	j, _ := slices.BinarySearch(c.H, h)
	return min(max(j-1, 0), len(c.H)-2)
}

// at returns the temperature in K and its slope in K/J within a piece.
func (c *curve) at(h float64, i int) (T, slope float64) {
	slope = (c.T[i+1] - c.T[i]) / (c.H[i+1] - c.H[i])
	return c.T[i] + (h-c.H[i])*slope, slope
}

// temperature returns the temperature in K at a heat content.
func (c *curve) temperature(h float64) float64 {
	T, _ := c.at(h, c.piece(h, len(c.H)/2))
	return T
}

// heat returns the heat content in J at a temperature; at a melting point, that of nothing melted.
func (c *curve) heat(T float64) float64 {
	j, _ := slices.BinarySearch(c.T, T)
	i := min(max(j-1, 0), len(c.T)-2)
	for c.T[i+1] == c.T[i] && i > 0 {
		i--
	}
	return c.H[i] + (T-c.T[i])*(c.H[i+1]-c.H[i])/(c.T[i+1]-c.T[i])
}

// melted returns the latent heat in J of what is melted.
func (c *curve) melted(h float64, i int) float64 {
	f := (h - c.H[i]) / (c.H[i+1] - c.H[i])
	return c.M[i] + math.Min(math.Max(f, 0), 1)*(c.M[i+1]-c.M[i])
}
