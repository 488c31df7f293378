package material

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Composite is a solid matrix with a filler that may melt inside it, and with voids. Fractions are of the whole
// volume at 20 °C.
type Composite struct {
	Name                         string
	Matrix, Filler               Entry
	FillerFraction, VoidFraction float64
	Mixing                       string // a name from Rules; empty: maxwell-eucken
	Measured                     Measured
}

// Measured holds measured values of the composite, which take the place of mixed ones. What is nil or 0 is mixed;
// only, a curve measured before melting goes on after it where none is given for the melt, for a measured solid
// does not continue into a mixed melt.
type Measured struct {
	Density                          float64 // kg/m³
	HeatCapacity, HeatCapacityMelted *Curve  // J/(kg K) of the composite
	Conductivity, ConductivityMelted *[3]Curve
	Melting                          *Melting
}

// Melting is a melting range with its latent heat.
type Melting struct {
	Solidus, Liquidus float64 // K; equal where it melts at one temperature
	Latent            float64 // J/kg of the composite
}

// Medium mixes the composite.
//
// Density goes by volume, heat capacity and latent heat by mass. Conductivity goes by the named rule between
// matrix and filler, before and after melting and direction by direction; then the voids, filled with still air,
// are put into that solid as separate grains by Maxwell and Eucken. The order has a reason: the voids that a
// filler leaves are closed pores in a solid that conducts far better, which is the case that rule is made for; a
// void that lies as a gap around the filler lowers the conductivity much further, and then a measured value is
// needed. The fractions stay those at 20 °C: what the melt takes from the voids is not followed.
//
// The melting range is the filler's. A matrix that melts at or below it, fractions outside 0 to 1 or above 1 in
// sum, an unknown rule, and properties that are missing or not positive are errors. Notes of the result say
// where the melt has no room to expand and where the two are known to attack each other.
func (c Composite) Medium() (Medium, error) {
	if c.Mixing == "" {
		c.Mixing = "maxwell-eucken"
	}
	if o := &c.Measured; o.HeatCapacityMelted == nil {
		o.HeatCapacityMelted = o.HeatCapacity
	}
	if o := &c.Measured; o.ConductivityMelted == nil {
		o.ConductivityMelted = o.Conductivity
	}
	if err := c.check(); err != nil {
		return Medium{}, fmt.Errorf("mixing composite %s: %w", c.Name, err)
	}
	m := Medium{Name: c.Name, Metal: c.Filler.family()}
	vm, vf := c.matrixFraction(), c.FillerFraction
	mass := vm*c.Matrix.Density + vf*c.Filler.Density
	wm, wf := vm*c.Matrix.Density/mass, vf*c.Filler.Density/mass
	m.Density = mass
	melts := c.Filler.Latent > 0 && wf > 0
	if melts {
		m.Latent = wf * c.Filler.Latent
		m.Solidus, m.Liquidus = c.Filler.Solidus, c.Filler.Liquidus
	}
	if o := c.Measured.Melting; o != nil {
		m.Latent, m.Solidus, m.Liquidus = o.Latent, o.Solidus, o.Liquidus
		melts = true
	}
	if !melts {
		m.Metal = ""
	}
	if o := c.Measured.Density; o > 0 {
		m.Density = o
	}

	gap := false // some curves of matrix and filler have no temperature in common
	byMass := func(filler *Curve) Curve {
		curve, meet := combine(func(T float64) float64 { return wm*c.Matrix.HeatCapacity.At(T) + wf*filler.At(T) }, used(wm, &c.Matrix.HeatCapacity), used(wf, filler))
		gap = gap || !meet
		return curve
	}
	air := airConductivity()
	byRule := func(filler *[3]Curve) (out [3]Curve) {
		for d := range out {
			km, kf := &c.Matrix.Conductivity[d], &filler[d]
			curve, meet := combine(func(T float64) float64 {
				k, err := Mix(c.Mixing, km.At(T), kf.At(T), vf/(vm+vf))
				if err != nil {
					return math.NaN() // check has refused every way to get here; the core would show it
				}
				return dispersed(k, air.At(T), c.VoidFraction)
			}, used(vm, km), used(vf, kf), held(used(c.VoidFraction, &air)))
			gap = gap || !meet
			out[d] = curve
		}
		return out
	}
	m.HeatCapacity = byMass(&c.Filler.HeatCapacity)
	m.Conductivity = byRule(&c.Filler.Conductivity)
	if melts {
		if c.Filler.Latent > 0 {
			m.HeatCapacityMelted = byMass(&c.Filler.HeatCapacityMelted)
			m.ConductivityMelted = byRule(&c.Filler.ConductivityMelted)
		} else { // melting was measured, on a filler that the catalogue has only solid
			m.HeatCapacityMelted, m.ConductivityMelted = m.HeatCapacity, m.Conductivity
		}
	}
	if o := c.Measured.HeatCapacity; o != nil {
		m.HeatCapacity = *o
	}
	if o := c.Measured.HeatCapacityMelted; o != nil {
		m.HeatCapacityMelted = *o
	}
	if o := c.Measured.Conductivity; o != nil {
		m.Conductivity = *o
	}
	if o := c.Measured.ConductivityMelted; o != nil {
		m.ConductivityMelted = *o
	}
	c.limits(&m)
	c.origin(&m, wm, wf)
	if gap {
		m.Notes = append(m.Notes, fmt.Sprintf("%s and %s have no temperature at which both tables hold: the nearer ends are kept", c.Matrix.Name, c.Filler.Name))
	}
	c.caution(&m)
	return m, nil
}

func (c Composite) matrixFraction() float64 { return 1 - c.FillerFraction - c.VoidFraction }

// check refuses what cannot be mixed.
func (c Composite) check() error {
	if !(c.FillerFraction >= 0 && c.FillerFraction < 1) {
		return fmt.Errorf("filler fraction is %g, allowed: 0 to below 1", c.FillerFraction)
	}
	if !(c.VoidFraction >= 0 && c.VoidFraction < 1) {
		return fmt.Errorf("void fraction is %g, allowed: 0 to below 1", c.VoidFraction)
	}
	if !(c.matrixFraction() > 0) {
		return fmt.Errorf("filler fraction %g and void fraction %g leave no room for the matrix, allowed: below 1 in sum", c.FillerFraction, c.VoidFraction)
	}
	if !slices.Contains(Rules(), c.Mixing) {
		return fmt.Errorf("mixing is %q, allowed: %s", c.Mixing, strings.Join(Rules(), ", "))
	}
	for _, e := range []*Entry{&c.Matrix, &c.Filler} {
		if err := e.complete(); err != nil {
			return err
		}
	}
	liquidus := c.Filler.Liquidus
	melts := c.Filler.Latent > 0 && c.FillerFraction > 0
	if o := c.Measured.Melting; o != nil {
		if !(o.Solidus > 0 && o.Liquidus >= o.Solidus && o.Latent > 0) {
			return fmt.Errorf("melting runs from %g K to %g K with %g J/kg, allowed: positive and rising", o.Solidus, o.Liquidus, o.Latent)
		}
		liquidus, melts = o.Liquidus, true
	}
	if melts && c.Matrix.Latent > 0 && c.Matrix.Solidus <= liquidus {
		return fmt.Errorf("matrix %s melts at %.1f °C, at or below the filler %s at %.1f °C: choose the one that melts first as the filler",
			c.Matrix.Name, c.Matrix.Solidus-iceZero, c.Filler.Name, liquidus-iceZero)
	}
	return nil
}

// complete tells whether an entry has what mixing needs.
func (e *Entry) complete() error {
	if !(e.Density > 0) {
		return fmt.Errorf("%s has a density of %g kg/m³, allowed: above 0", e.Name, e.Density)
	}
	curves := []*Curve{&e.HeatCapacity, &e.Conductivity[0], &e.Conductivity[1], &e.Conductivity[2]}
	if e.Latent > 0 {
		curves = append(curves, &e.HeatCapacityMelted, &e.ConductivityMelted[0], &e.ConductivityMelted[1], &e.ConductivityMelted[2])
	}
	for _, c := range curves {
		if len(c.Poly) == 0 && len(c.T) == 0 {
			return fmt.Errorf("%s lacks a heat capacity or conductivity", e.Name)
		}
		for _, T := range c.knots(max(c.Min, tableLow), min(c.Max, tableHigh)) {
			if v := c.At(T); !(v > 0) || math.IsInf(v, 0) {
				return fmt.Errorf("%s has a heat capacity or conductivity of %g at %.1f °C, allowed: above 0", e.Name, v, T-iceZero)
			}
		}
	}
	return nil
}

// limits takes the lowest limit of the two: the filler may melt, the matrix may not.
func (c Composite) limits(m *Medium) {
	lower := func(T float64, source string) {
		if T > 0 && (m.ServiceLimit == 0 || T < m.ServiceLimit) {
			m.ServiceLimit, m.ServiceSource = T, source
		}
	}
	lower(c.Matrix.ServiceLimit, "matrix "+c.Matrix.Name+": "+c.Matrix.ServiceSource)
	lower(c.Filler.ServiceLimit, "filler "+c.Filler.Name+": "+c.Filler.ServiceSource)
	if c.Matrix.Latent > 0 {
		lower(c.Matrix.Solidus, "matrix "+c.Matrix.Name+" begins to melt")
	}
	for _, e := range []Entry{c.Matrix, c.Filler} {
		if T := e.OxidationOnset; T > 0 && (m.OxidationOnset == 0 || T < m.OxidationOnset) {
			m.OxidationOnset, m.OxidationSource = T, e.OxidationSource
		}
	}
}
