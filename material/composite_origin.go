package material

import (
	"fmt"
	"math"
	"strings"
)

// origin carries sources, memory and uncertainty of the parts to the composite: only of properties that are used.
func (c Composite) origin(m *Medium, wm, wf float64) {
	melts := m.Latent > 0
	take := func(role string, e Entry, share float64, melted bool) {
		if share == 0 {
			return
		}
		if e.FromMemory && len(e.Memory) == 0 {
			m.MemoryOf = append(m.MemoryOf, e.Name)
		}
		for _, property := range e.Memory {
			if c.uses(property, melted, melts) {
				m.MemoryOf = append(m.MemoryOf, e.Name+" "+property)
			}
		}
		for _, s := range e.Sources {
			if !melted && ofMelt(s) || strings.HasPrefix(s, "emissivity") {
				continue
			}
			m.Sources = append(m.Sources, role+" "+e.Name+", "+s)
		}
	}
	take("matrix", c.Matrix, wm, false)
	take("filler", c.Filler, wf, melts)
	m.Sources = append(m.Sources, fmt.Sprintf("mixing: %s; density by volume, heat capacity and latent heat by mass; voids as separate grains of air", c.Mixing))
	m.FromMemory = len(m.MemoryOf) > 0
	m.Spread = c.spread(m, wm, wf)
	m.Uncertainty = m.Spread.Largest()
	if m.FromMemory {
		m.Uncertainty = math.Max(m.Uncertainty, 0.2)
	}
}

// uses tells whether a property of one part enters the composite, or whether measured values stand in for it.
// melted says that the part itself melts, melts that the composite does.
func (c Composite) uses(property string, melted, melts bool) bool {
	o := &c.Measured
	switch property {
	case "density": // also behind the shares by mass
		return o.Density == 0 || o.HeatCapacity == nil || melts && (o.HeatCapacityMelted == nil || o.Melting == nil)
	case "heat capacity": // the solid matrix's value counts after melting, too
		return o.HeatCapacity == nil || !melted && melts && o.HeatCapacityMelted == nil
	case "conductivity":
		return o.Conductivity == nil || !melted && melts && o.ConductivityMelted == nil
	case "heat capacity melted":
		return melted && o.HeatCapacityMelted == nil
	case "conductivity melted":
		return melted && o.ConductivityMelted == nil
	case "latent heat", "melting point":
		return melted && o.Melting == nil
	}
	return true
}

// ofMelt tells whether a source line is about melting.
func ofMelt(source string) bool {
	for _, start := range []string{"latent heat", "melting point", "heat capacity melted", "conductivity melted", "density of the liquid"} {
		if strings.HasPrefix(source, start) {
			return true
		}
	}
	return false
}

// spread estimates the composite's uncertainty. Density and heat capacity: the parts' by share, as if fully
// correlated, which is on the safe side. Conductivity: the larger of the parts', and half the distance between
// the Hashin-Shtrikman bounds for not knowing how matrix and filler lie to each other, added in squares. What was
// measured has 0 here: its uncertainty is the user's to give.
func (c Composite) spread(m *Medium, wm, wf float64) Spread {
	a, b := c.Matrix.parts(), c.Filler.parts()
	if wf == 0 {
		b = Spread{}
	}
	var s Spread
	s.Density = (c.matrixFraction()*c.Matrix.Density*a.Density + c.FillerFraction*c.Filler.Density*b.Density) /
		(c.matrixFraction()*c.Matrix.Density + c.FillerFraction*c.Filler.Density)
	share := func(filler *Curve, T, spread float64) float64 {
		x, y := wm*c.Matrix.HeatCapacity.At(T), wf*filler.At(T)
		return (x*a.HeatCapacity + y*spread) / (x + y)
	}
	bounds := func(filler *[3]Curve, T, spread float64) float64 {
		widest := 0.0
		for d := range filler {
			km, kf := c.Matrix.Conductivity[d].At(T), filler[d].At(T)
			phi := c.FillerFraction / (1 - c.VoidFraction)
			low, errLow := Mix("hashin-shtrikman-low", km, kf, phi)
			high, errHigh := Mix("hashin-shtrikman-high", km, kf, phi)
			if errLow == nil && errHigh == nil {
				widest = math.Max(widest, (high-low)/(high+low))
			}
		}
		return math.Hypot(math.Max(a.Conductivity, spread), widest)
	}
	s.HeatCapacity = share(&c.Filler.HeatCapacity, ReferenceTemperature, b.HeatCapacity)
	s.Conductivity = bounds(&c.Filler.Conductivity, ReferenceTemperature, b.Conductivity)
	if m.Latent > 0 {
		s.Latent = b.Latent
		if c.Filler.Latent > 0 {
			s.HeatCapacityMelted = share(&c.Filler.HeatCapacityMelted, m.Liquidus, b.HeatCapacityMelted)
			s.ConductivityMelted = bounds(&c.Filler.ConductivityMelted, m.Liquidus, b.ConductivityMelted)
		} else {
			s.HeatCapacityMelted, s.ConductivityMelted = s.HeatCapacity, s.Conductivity
		}
	}
	o := &c.Measured
	if o.Density > 0 {
		s.Density = 0
	}
	if o.HeatCapacity != nil {
		s.HeatCapacity = 0
	}
	if o.HeatCapacityMelted != nil {
		s.HeatCapacityMelted = 0
	}
	if o.Conductivity != nil {
		s.Conductivity = 0
	}
	if o.ConductivityMelted != nil {
		s.ConductivityMelted = 0
	}
	if o.Melting != nil {
		s.Latent = 0
	}
	return s
}

// parts returns the spread by property; an entry with one figure for everything has that everywhere.
func (e *Entry) parts() Spread {
	if e.Spread == (Spread{}) && e.Uncertainty > 0 {
		u := e.Uncertainty
		return Spread{u, u, u, u, u, u}
	}
	return e.Spread
}

// caution notes what the mixing shows about the two materials together.
func (c Composite) caution(m *Medium) {
	if r, known := c.Room(); known {
		m.Room = r
		if r.Left() < 0 {
			m.Notes = append(m.Notes, fmt.Sprintf(
				"no room to expand: molten %s takes %.1f %% of the volume (%.0f kg/m³ at 20 °C, %.0f kg/m³ melted), filler and void together offer %.1f %%; leave a void of at least %.1f %%, or the melt is pressed out or bursts the block",
				c.Filler.Name, 100*r.Needs, c.Filler.Density, c.Filler.LiquidDensity, 100*r.Has, 100*(r.Needs-c.FillerFraction)))
		}
	} else if c.FillerFraction > 0 && c.Filler.Latent > 0 {
		m.Notes = append(m.Notes, fmt.Sprintf("expansion of %s on melting is not known: see that the void of %.1f %% suffices", c.Filler.Name, 100*c.VoidFraction))
	}
	if c.FillerFraction == 0 {
		return
	}
	if o := &c.Measured; m.Latent > 0 && o.Conductivity != nil && o.Conductivity == o.ConductivityMelted {
		m.Notes = append(m.Notes, "conductivity was measured before melting only; the same is taken after it")
	}
	for _, p := range Contacts(c.Filler.family(), c.Matrix.family()) {
		m.Notes = append(m.Notes, fmt.Sprintf("%s in %s: %s; from %.1f °C (%s)", c.Filler.Name, c.Matrix.Name, p.What, p.At-iceZero, p.Source))
	}
}
