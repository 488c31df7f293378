package material

// Spread is the relative uncertainty of each property at 95 % (half-width over value), 0 where the property is
// not used. One number stands for the whole range of a property.
type Spread struct {
	Density, HeatCapacity, HeatCapacityMelted, Conductivity, ConductivityMelted, Latent float64
}

// Largest returns the largest of the spreads.
func (s Spread) Largest() float64 {
	return max(s.Density, s.HeatCapacity, s.HeatCapacityMelted, s.Conductivity, s.ConductivityMelted, s.Latent)
}
