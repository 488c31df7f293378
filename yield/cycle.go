package yield

import (
	"math"

	"emberbank/heat"
	"emberbank/water"
)

// Cycle is what work a steam cycle might have made of the heat that was delivered: for comparison only.
type Cycle struct {
	Mean           float64 // K, at which the water took up its heat, Q/S; NaN where it carried nothing
	Reversible     float64 // J, at the most: the exergy that the water carried off
	Endoreversible float64 // J: see Endoreversible

	// Where steam was delivered, a simple steam cycle: see Rankine.
	Pressure  float64 // Pa; 0: no steam
	Condenser float64 // K
	Turbine   float64 // isentropic efficiency
	Work      float64 // J, of all vapour that left
	Share     float64 // efficiency of the cycle
}

// What the simple steam cycle assumes.
const (
	CondenserOver = 20   // K, of the condenser above the ambient
	TurbineShare  = 0.75 // isentropic efficiency of a small turbine
	PumpShare     = 0.75 // of the pump
)

// Endoreversible returns the share of heat taken at Th in K that an engine gives as work at its greatest power, with
// surroundings at T0 in K and heat transfer as its only loss:
//
//	η = 1 − √(T0/Th)
//
// Source: F. L. Curzon, B. Ahlborn, Efficiency of a Carnot engine at maximum power output, Am. J. Phys. 43 (1975) 22 (from
// memory). Th must lie above T0, else it is 0.
func Endoreversible(Th, T0 float64) float64 {
	if !(Th > T0) {
		return 0
	}
	return 1 - math.Sqrt(T0/Th)
}

// Rankine is a simple steam cycle: dry saturated steam is expanded to the condenser's pressure and its water pumped back.
type Rankine struct {
	Work float64 // J/kg, of the turbine less the pump
	Heat float64 // J/kg, taken up from the pump on
}

// Efficiency returns the share of the heat that becomes work.
func (c Rankine) Efficiency() float64 { return c.Work / c.Heat }

// SimpleRankine returns the cycle between a boiler at p in Pa and a condenser at T in K, with isentropic efficiencies of turbine and
// pump:
//
//	w = ηt (h1 − h2s) − v3 (p − pc)/ηp,   q = h1 − h3 − v3 (p − pc)/ηp
//
// with 1 dry saturated steam at p, 2s at the condenser's pressure pc with the entropy of 1, 3 saturated liquid at pc. Source: M.
// J. Moran, H. N. Shapiro, Fundamentals of Engineering Thermodynamics, 5th ed. (2006), ch. 8 (from memory). The condenser must be
// colder than the boiler.
func SimpleRankine(p, T, turbine, pump float64) (Rankine, error) {
	pc, err := water.SaturationPressure(T)
	if err != nil {
		return Rankine{}, err
	}
	steam, err := water.SaturatedVapour(p)
	if err != nil {
		return Rankine{}, err
	}
	spent, err := water.AtPS(pc, steam.Entropy)
	if err != nil {
		return Rankine{}, err
	}
	back, err := water.SaturatedLiquid(pc)
	if err != nil {
		return Rankine{}, err
	}
	lift := (p - pc) / back.Density / pump
	return Rankine{Work: turbine*(steam.H-spent.H) - lift, Heat: steam.H - back.H - lift}, nil
}

// cycle estimates the work.
func (y *Report) cycle(p *heat.Problem, a *heat.Account) {
	c := &y.Cycle
	c.Mean = math.NaN()
	c.Reversible = y.Exergy.Water
	if a.Water.Heat > 0 && a.Water.Entropy > 0 {
		c.Mean = a.Water.Heat / a.Water.Entropy
		c.Endoreversible = a.Water.Heat * Endoreversible(c.Mean, y.Air)
	}
	if y.Served == nil || !y.Served.Steam || !(y.Steam > 0) {
		return
	}
	at := p.Duty.Water[p.Duty.Load.Circuits[0]].Pressure.At(0)
	r, err := SimpleRankine(at, y.Air+CondenserOver, TurbineShare, PumpShare)
	if err != nil || !(r.Work > 0) {
		return
	}
	c.Pressure, c.Condenser, c.Turbine = at, y.Air+CondenserOver, TurbineShare
	c.Work, c.Share = y.Steam*r.Work, r.Efficiency()
}
