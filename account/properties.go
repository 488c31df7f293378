package account

import (
	"math"
	"reflect"

	"emberbank/material"
)

// Property is one curve of a medium over temperature, within the phase that it belongs to.
type Property struct {
	Name, Unit string
	Curve      *material.Curve
	Spread     float64 // relative half-width at 95 %; 0: none is known
	Low, High  float64 // K, the phase; 0 and +Inf where nothing bounds it
}

// Properties lists the curves that a medium has: before melting, then after. A conductivity that is the same in all directions
// stands once.
func Properties(m *material.Medium) []Property {
	var out []Property
	add := func(name, unit string, c *material.Curve, spread, low, high float64) {
		if len(c.T) > 0 || len(c.Poly) > 0 {
			out = append(out, Property{name, unit, c, spread, low, high})
		}
	}
	solidus, liquidus := math.Inf(1), 0.0
	if m.Latent > 0 {
		solidus, liquidus = m.Solidus, m.Liquidus
	}
	conductivity := func(name string, k *[3]material.Curve, spread, low, high float64) {
		if reflect.DeepEqual(k[0], k[1]) && reflect.DeepEqual(k[1], k[2]) {
			add(name, "W/(m K)", &k[0], spread, low, high)
			return
		}
		for a, along := range [3]string{"depth", "width", "height"} {
			add(name+" along "+along, "W/(m K)", &k[a], spread, low, high)
		}
	}
	add("heat capacity", "J/(kg K)", &m.HeatCapacity, m.Spread.HeatCapacity, 0, solidus)
	conductivity("conductivity", &m.Conductivity, m.Spread.Conductivity, 0, solidus)
	if m.Latent > 0 {
		add("heat capacity melted", "J/(kg K)", &m.HeatCapacityMelted, m.Spread.HeatCapacityMelted, liquidus, math.Inf(1))
		conductivity("conductivity melted", &m.ConductivityMelted, m.Spread.ConductivityMelted, liquidus, math.Inf(1))
	}
	return out
}
