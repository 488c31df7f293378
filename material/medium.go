// Package material holds matter as functions of temperature: a catalogue of solids, melts and gases with a
// source and a range for every entry, composites of matrix and filler, and the enthalpy curve on which the
// march runs. SI throughout, temperatures in kelvin.
package material

import "sort"

// ReferenceTemperature is the temperature, in K, at which every specific enthalpy is zero: 20 °C.
const ReferenceTemperature = 293.15

// Curve is a property over temperature, given by points joined with straight lines or by a polynomial in T.
// Outside [Min, Max] it keeps the value at the nearer end; Hold says that this was asked for, so that leaving
// the range raises no warning.
type Curve struct {
	T, V     []float64 // points, T rising in K; empty for a polynomial
	Poly     []float64 // coefficients of 1, (T-Zero), (T-Zero)², …
	Zero     float64   // K, origin of the polynomial's variable: 0 for kelvin, 273.15 for °C
	Min, Max float64   // K, the range in which the curve holds
	Hold     bool      // constant outside on request
}

// Constant returns a curve with one value at every temperature.
func Constant(v float64) Curve {
	return Curve{Poly: []float64{v}, Min: 0, Max: 1e9, Hold: true}
}

// IsConstant tells whether the curve has the same value everywhere.
func (c *Curve) IsConstant() bool {
	if len(c.Poly) > 0 {
		return len(c.Poly) == 1
	}
	for _, v := range c.V {
		if v != c.V[0] {
			return false
		}
	}
	return true
}

// At returns the value at temperature T in K.
func (c *Curve) At(T float64) float64 {
	if T < c.Min {
		T = c.Min
	}
	if T > c.Max {
		T = c.Max
	}
	if n := len(c.Poly); n > 0 {
		x, s := T-c.Zero, 0.0
		for i := n - 1; i >= 0; i-- {
			s = s*x + c.Poly[i]
		}
		return s
	}
	n := len(c.T)
	if n == 1 || T <= c.T[0] {
		return c.V[0]
	}
	if T >= c.T[n-1] {
		return c.V[n-1]
	}
	i := sort.SearchFloat64s(c.T, T)
	f := (T - c.T[i-1]) / (c.T[i] - c.T[i-1])
	return c.V[i-1] + f*(c.V[i]-c.V[i-1])
}

// Medium is what fills a part of the receiver, resolved for the march: a plain material or a composite whose
// mixing has been done.
type Medium struct {
	Name    string
	Density float64 // kg/m³ at 20 °C; the part's volume is taken as fixed
	// Sensible specific heat capacity before and after melting, J/(kg K). Melted is not used when Latent is 0.
	HeatCapacity, HeatCapacityMelted Curve
	// Conductivity along depth, width and height before and after melting, W/(m K).
	Conductivity, ConductivityMelted [3]Curve
	Latent                           float64 // J/kg of the medium
	Solidus, Liquidus                float64 // K; equal where it melts at one temperature
	ServiceLimit                     float64 // K, 0 where none is known
	ServiceSource                    string
	TubeLimit                        float64 // K, of tubes under pressure, 0 where none is known
	TubeSource                       string
	OxidationOnset                   float64 // K in air, 0 where it does not matter; for graphites
	OxidationSource                  string
	FromMemory                       bool     // some value comes from memory: every run that uses it warns
	MemoryOf                         []string // the properties that come from memory, as Entry.Memory names them
	Uncertainty                      float64  // relative, 95 %, the largest of Spread; at least 0.2 where FromMemory
	Spread                           Spread   // the same property by property
	Sources                          []string // one a property or more
	Metal                            string   // the metal that melts inside, "" where none: "tin", "zinc", …
	Room                             Room     // of a composite whose filler melts
	Notes                            []string // cautions known from the mixing, such as expansion against the void
}
