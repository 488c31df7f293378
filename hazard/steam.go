package hazard

import (
	"fmt"
	"math"

	"emberbank/material"
	"emberbank/water"
)

// Heat returns the heat in J that a mass in kg of a medium gives off while it cools from one temperature to another (K), melting
// included; nothing where it is the colder one already:
//
//	Q = m (h(from) − h(to))
//
// A medium that melts at one temperature counts as molten only above it. h is the medium's specific enthalpy in J/kg, as the core
// lays it (material.NewEnthalpy).
func Heat(m *material.Medium, mass, from, to float64) float64 {
	if !(from > to) {
		return 0
	}
	e := material.NewEnthalpy(m)
	return mass * (e.Of(from) - e.Of(to))
}

// Steam is what heat makes of water.
type Steam struct {
	Mass   float64 // kg, dry and saturated
	Boils  float64 // K, at its pressure
	Volume float64 // m³ at its pressure
	Open   float64 // m³ once it is let out to 101.325 kPa, without loss of enthalpy
}

// SteamOf returns the dry saturated steam that a heat in J could at most make at p in Pa from water that comes in at inlet in K:
//
//	m = Q/(h″(p) − h(p, T)),   V = m v″(p)
//
// Only heat that stands above the boiling point can do so: see Heat. p is within 611.657 Pa to below the critical pressure,
// 22.064 MPa, the water liquid. It is an upper bound: tubes let the heat out at their own pace, and some goes elsewhere.
// Source: balance of energy; h and v by IAPWS R7-97(2012).
func SteamOf(heat, p, inlet float64) (Steam, error) {
	fail := func(err error) (Steam, error) {
		return Steam{}, fmt.Errorf("steam of %.4g J at %.4g Pa from water at %.1f degC: %w", heat, p, inlet-iceZero, err)
	}
	if !(heat >= 0) || math.IsInf(heat, 0) {
		return fail(fmt.Errorf("heat must be zero or above"))
	}
	vapour, err := water.SaturatedVapour(p)
	if err != nil {
		return fail(err)
	}
	if !(p < water.CriticalPressure) || !(inlet <= vapour.T) {
		return fail(fmt.Errorf("%w: the water must come in as liquid, below the critical pressure", water.ErrRange))
	}
	in, err := water.AtPT(p, math.Min(inlet, vapour.T-1e-6))
	if err != nil {
		return fail(err)
	}
	s := Steam{Mass: heat / (vapour.H - in.H), Boils: vapour.T}
	s.Volume = s.Mass / vapour.Density
	s.Open = s.Volume
	if p > atmosphere {
		out, err := water.AtPH(atmosphere, vapour.H)
		if err != nil {
			return fail(err)
		}
		s.Open = s.Mass / out.Density
	}
	return s, nil
}

// Flashes returns the share of saturated water at p in Pa that is steam at once when it is let out to 101.325 kPa, as where a
// tube or a joint gives way; 0 where it does not boil there:
//
//	x = (h′(p) − h′(p₀))/(h″(p₀) − h′(p₀))
//
// p is within 611.657 Pa to 22.064 MPa. Source: balance of energy; h by IAPWS R7-97(2012).
func Flashes(p float64) (float64, error) {
	hot, err := water.SaturatedLiquid(p)
	if err != nil {
		return 0, fmt.Errorf("water that flashes: %w", err)
	}
	liquid, err := water.SaturatedLiquid(atmosphere)
	if err != nil {
		return 0, fmt.Errorf("water that flashes: %w", err)
	}
	vapour, err := water.SaturatedVapour(atmosphere)
	if err != nil {
		return 0, fmt.Errorf("water that flashes: %w", err)
	}
	return math.Max(0, (hot.H-liquid.H)/(vapour.H-liquid.H)), nil
}
