package water

import "math"

// Film is what a film correlation asks of water of one phase: the liquid's in boiling water.
type Film struct {
	T            float64 // K
	Density      float64 // kg/m³
	Viscosity    float64 // Pa s
	Conductivity float64 // W/(m K)
	HeatCapacity float64 // J/(kg K)
	Prandtl      float64
	Expansion    float64 // 1/K, volumetric, at constant pressure; never below zero
}

// Film returns the properties at h in J/kg, brought within Low..High, from one look into the table. They are those of
// At, boiling water's those of saturated liquid; the expansion is −(dρ/dh)/(dT/dh)/ρ of the table's own cubics, and 0
// where cold water contracts.
func (b *Isobar) Film(h float64) Film {
	if !(h >= b.HVapour) {
		h = math.Min(math.Max(h, b.Low), b.HLiquid)
		return b.liquid.film(h)
	}
	return b.vapour.film(math.Min(h, b.High))
}

func (b *branch) film(h float64) Film {
	n0, n1, t := b.find(h)
	c := newHermite(t)
	f := Film{
		T:            c.of(n0.T, n0.dT, n1.T, n1.dT),
		Density:      c.of(n0.rho, n0.drho, n1.rho, n1.drho),
		HeatCapacity: c.of(n0.cp, n0.dcp, n1.cp, n1.dcp),
		Viscosity:    c.of(n0.mu, n0.dmu, n1.mu, n1.dmu),
		Conductivity: c.of(n0.k, n0.dk, n1.k, n1.dk),
	}
	f.Prandtl = f.HeatCapacity * f.Viscosity / f.Conductivity
	f.Expansion = math.Max(0, -slopeOf(n0.rho, n0.drho, n1.rho, n1.drho, t)/(slopeT(n0, n1, t)*f.Density))
	return f
}

// slopeOf is the derivative of a cubic per step of the table.
func slopeOf(v0, d0, v1, d1, t float64) float64 {
	return 6*t*(1-t)*(v1-v0) + (1-t)*(1-3*t)*d0 + t*(3*t-2)*d1
}

// Prandtl returns the Prandtl number at T in K, brought within the table: of the liquid up to saturation, of the
// vapour above.
func (b *Isobar) Prandtl(T float64) float64 {
	table := &b.liquid
	if T > b.Saturation {
		table = &b.vapour
	}
	last := len(table.nodes) - 1
	i, t := table.at(math.Min(math.Max(T, table.nodes[0].T), table.nodes[last].T))
	n0, n1 := &table.nodes[i], &table.nodes[i+1]
	c := newHermite(t)
	return c.of(n0.cp, n0.dcp, n1.cp, n1.dcp) * c.of(n0.mu, n0.dmu, n1.mu, n1.dmu) / c.of(n0.k, n0.dk, n1.k, n1.dk)
}

// TemperatureSlope returns Temperature and Slope at h in J/kg from one look into the table.
func (b *Isobar) TemperatureSlope(h float64) (T, slope float64) {
	table, at := b.side(h)
	if table == nil {
		if h != h {
			return h, h
		}
		return b.Saturation, 0
	}
	n0, n1, t := table.find(at)
	T = newHermite(t).of(n0.T, n0.dT, n1.T, n1.dT)
	if at == h {
		slope = table.inv * slopeT(n0, n1, t)
	}
	return T, slope
}
