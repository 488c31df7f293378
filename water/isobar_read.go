package water

import "math"

// find returns the panel that holds h and the place in it, within 0..1.
func (b *branch) find(h float64) (*panel, float64) {
	q := &b.panels[b.byH.find(h, b.fromH)]
	t := (h - q.low) * q.inv
	if t < 0 { // between two regions
		t = 0
	}
	if t > 1 {
		t = 1
	}
	return q, t
}

// at returns the panel that holds T in K, within the table, and the place in it, within 0..1.
func (b *branch) at(T float64) (*panel, float64) {
	q := &b.panels[b.byT.find(T, b.fromT)]
	low, high := q.T[0], q.T.at(1)
	// The polynomial is nearly straight, so that Newton's method from the chord settles at once.
	t := (T - low) / (high - low)
	for range 12 {
		step := (T - q.T.at(t)) / q.T.slope(t)
		t = math.Min(math.Max(t+step, 0), 1)
		if math.Abs(step) < 1e-14 {
			break
		}
	}
	return q, t
}

// heatCapacity, density and conductivity read what the panel holds in another shape.
func (q *panel) heatCapacity(t float64) float64 { return 1 / q.rate.at(t) }
func (q *panel) density(t float64) float64      { return 1 / q.v.at(t) }
func (q *panel) viscosity(t float64) float64    { return 1 / q.fluidity.at(t) }

func (q *panel) conductivity(t float64) float64 {
	excess := q.excess.at(t)
	if excess <= 0 {
		return q.background.at(t)
	}
	return q.background.at(t) + math.Sqrt(excess)*q.critical.at(t)
}

// side returns the table that holds h and h brought within it; nil for boiling water and for NaN. Saturated
// liquid counts as boiling, saturated vapour as vapour, so that At gives the properties of the phase that is there.
func (b *Isobar) side(h float64) (*branch, float64) {
	switch {
	case h < b.HLiquid:
		if h < b.Low {
			h = b.Low
		}
		return &b.liquid, h
	case h >= b.HVapour:
		if h > b.High {
			h = b.High
		}
		return &b.vapour, h
	default:
		return nil, h
	}
}

// Temperature returns the temperature in K at h in J/kg. It never falls as h rises, and is exactly Saturation from
// HLiquid to HVapour.
func (b *Isobar) Temperature(h float64) float64 {
	table, at := b.side(h)
	if table == nil {
		if h != h {
			return h
		}
		return b.Saturation
	}
	q, t := table.find(at)
	return q.T.at(t)
}

// Slope returns dT/dh in K kg/J at h in J/kg, the exact derivative of Temperature: zero from HLiquid up to HVapour
// and outside Low..High, above zero elsewhere. At a kink it is the slope towards higher h.
func (b *Isobar) Slope(h float64) float64 {
	_, slope := b.TemperatureSlope(h)
	return slope
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
	q, t := table.find(at)
	if at == h {
		slope = q.inv * q.T.slope(t)
	}
	return q.T.at(t), slope
}

// Density returns the density in kg/m³ at h in J/kg, that of the homogeneous mixture in boiling water.
func (b *Isobar) Density(h float64) float64 {
	table, at := b.side(h)
	if table == nil {
		return 1 / (b.liquidVolume + (h-b.HLiquid)/b.evaporation*b.evaporationVolume)
	}
	q, t := table.find(at)
	return q.density(t)
}

// At returns the state at h in J/kg. Its H is h brought within Low..High.
func (b *Isobar) At(h float64) State {
	table, at := b.side(h)
	x := (at - b.HLiquid) / b.evaporation
	if table == nil {
		s := mixture(&b.Liquid, &b.Vapour, x)
		s.H = at
		if h != h {
			s.T = h
		}
		return s
	}
	if at == b.HVapour {
		return b.Vapour
	}
	q, t := table.find(at)
	cp, mu, k := q.heatCapacity(t), q.viscosity(t), q.conductivity(t)
	return State{
		P:            b.P,
		T:            q.T.at(t),
		H:            at,
		Density:      q.density(t),
		HeatCapacity: cp,
		Viscosity:    mu,
		Conductivity: k,
		Prandtl:      cp * mu / k,
		Quality:      x,
		Entropy:      q.s.at(t),
	}
}

// Enthalpy returns the enthalpy in J/kg at T in K: of the liquid up to saturation (included), of the vapour above.
// It undoes Temperature to rounding; T outside the table is taken as the nearer end, and NaN gives NaN.
func (b *Isobar) Enthalpy(T float64) float64 {
	if T != T {
		return T
	}
	if T == b.Saturation {
		return b.HLiquid
	}
	table := &b.liquid
	if T > b.Saturation {
		table = &b.vapour
	}
	if T <= table.cold {
		return table.low
	}
	if T >= table.hot {
		return table.high
	}
	q, t := table.at(T)
	return q.low + t/q.inv
}

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
// At, boiling water's those of saturated liquid; the expansion is (dv/dh)/(dT/dh)/v of the table's own polynomials, and
// 0 where cold water contracts.
func (b *Isobar) Film(h float64) Film {
	if !(h >= b.HVapour) {
		h = math.Min(math.Max(h, b.Low), b.HLiquid)
		return b.liquid.film(h)
	}
	return b.vapour.film(math.Min(h, b.High))
}

func (b *branch) film(h float64) Film {
	q, t := b.find(h)
	v := q.v.at(t)
	f := Film{
		T:            q.T.at(t),
		Density:      1 / v,
		HeatCapacity: q.heatCapacity(t),
		Viscosity:    q.viscosity(t),
		Conductivity: q.conductivity(t),
	}
	f.Prandtl = f.HeatCapacity * f.Viscosity / f.Conductivity
	f.Expansion = math.Max(0, q.v.slope(t)/(q.T.slope(t)*v))
	return f
}

// LiquidPrandtl returns the liquid's Prandtl number at T in K, brought within its table: above saturation that of saturated liquid.
func (b *Isobar) LiquidPrandtl(T float64) float64 { return b.liquid.prandtl(T) }

// VapourPrandtl returns the vapour's Prandtl number at T in K, brought within its table: below saturation that of saturated vapour.
func (b *Isobar) VapourPrandtl(T float64) float64 { return b.vapour.prandtl(T) }

func (b *branch) prandtl(T float64) float64 {
	q, t := b.at(math.Min(math.Max(T, b.cold), b.hot))
	return q.heatCapacity(t) * q.viscosity(t) / q.conductivity(t)
}
