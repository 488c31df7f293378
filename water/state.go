package water

import (
	"fmt"
	"math"
)

// State is water at one pressure and enthalpy, in equilibrium.
type State struct {
	P            float64 // Pa
	T            float64 // K
	H            float64 // J/kg
	Density      float64 // kg/m³; of liquid and vapour together (homogeneous) where both are there
	HeatCapacity float64 // J/(kg K), at constant pressure; of the liquid where both are there
	Viscosity    float64 // Pa s; where both are there the mean 1/μ = x/μv + (1 − x)/μl of McAdams et al.
	Conductivity float64 // W/(m K); of the liquid where both are there
	Prandtl      float64 // of the liquid where both are there
	// Quality is (h − hl)/(hv − hl): below 0 in subcooled liquid, above 1 in superheated vapour, the mass fraction
	// of vapour between. Where the saturated states are not known, above 16.529 MPa and below 611.657 Pa, it is 0
	// in region 1 (liquid) and 1 in region 2 (vapour).
	Quality float64
	Entropy float64 // J/(kg K)
}

// singlePhase completes the state of one phase; its quality is left at 0.
func singlePhase(f phase) State {
	rho := 1 / f.v
	mu := viscosity(rho, f.T)
	k := conductivity(rho, f.T, f.cp, f.cv, f.drhodp, mu)
	return State{
		P:            f.pressure,
		T:            f.T,
		H:            f.h,
		Density:      rho,
		HeatCapacity: f.cp,
		Viscosity:    mu,
		Conductivity: k,
		Prandtl:      f.cp * mu / k,
		Entropy:      f.s,
	}
}

// mixture is saturated liquid l and vapour v together, x of it vapour by mass.
//
// Mean viscosity: 1/μ = x/μv + (1 − x)/μl. Source: McAdams, Woods and Heroman, Trans. ASME 64 (1942) 193-200
// (from memory).
func mixture(l, v *State, x float64) State {
	vl, vv := 1/l.Density, 1/v.Density
	return State{
		P:            l.P,
		T:            l.T,
		H:            l.H + x*(v.H-l.H),
		Density:      1 / (vl + x*(vv-vl)),
		HeatCapacity: l.HeatCapacity,
		Viscosity:    1 / (x/v.Viscosity + (1-x)/l.Viscosity),
		Conductivity: l.Conductivity,
		Prandtl:      l.Prandtl,
		Quality:      x,
		Entropy:      l.Entropy + x*(v.Entropy-l.Entropy),
	}
}

// hasSaturation tells whether the saturated states at p in Pa are covered.
func hasSaturation(p float64) bool { return p >= TriplePressure && p <= region3Pressure }

// quality returns the quality of a state of the given region at p in Pa and h in J/kg.
func quality(region int, p, h float64) float64 {
	if !hasSaturation(p) {
		return float64(region - 1)
	}
	T := saturationTemperature(p)
	hl, hv := region1(p, T).h, region2(p, T).h
	return (h - hl) / (hv - hl)
}

// AtPT returns the state at p in Pa and T in K, within 1 Pa <= p <= 100 MPa and 273.15 K <= T <= 1073.15 K. On the
// saturation line it is the liquid, as far as rounding tells; ask SaturatedLiquid or SaturatedVapour there. States
// in region 3 or 5 and outside the range give an error.
// Source: IAPWS R7-97(2012).
func AtPT(p, T float64) (State, error) {
	region, err := regionPT(p, T)
	if err != nil {
		return State{}, err
	}
	var f phase
	if region == 1 {
		f = region1(p, T)
	} else {
		f = region2(p, T)
	}
	s := singlePhase(f)
	s.Quality = quality(region, p, s.H)
	return s, nil
}

// SaturatedLiquid returns the liquid on the saturation line at p in Pa, within 611.657 Pa to 16.529 MPa; above, up
// to the critical pressure, it belongs to region 3 and gives an error.
func SaturatedLiquid(p float64) (State, error) {
	T, err := saturationForStates(p)
	if err != nil {
		return State{}, err
	}
	return singlePhase(region1(p, T)), nil
}

// SaturatedVapour returns the vapour on the saturation line at p in Pa, within the range of SaturatedLiquid.
func SaturatedVapour(p float64) (State, error) {
	T, err := saturationForStates(p)
	if err != nil {
		return State{}, err
	}
	s := singlePhase(region2(p, T))
	s.Quality = 1
	return s, nil
}

func saturationForStates(p float64) (float64, error) {
	T, err := SaturationTemperature(p)
	if err != nil {
		return 0, err
	}
	if p > region3Pressure {
		return 0, fmt.Errorf("saturated water at %s: %w: covered are saturated states up to 16.529 MPa", pascal(p), ErrRegion3)
	}
	return T, nil
}

// AtPH returns the state at p in Pa and h in J/kg, within 611.657 Pa <= p <= 100 MPa and the enthalpies of 0 °C and
// 800 °C at that pressure. The backward equations give the start and Newton steps on the basic equation the rest,
// so that AtPH undoes AtPT to rounding. States in region 3 and outside the range give an error.
// Source: IAPWS R7-97(2012), eq. 11 and 22 to 24.
func AtPH(p, h float64) (State, error) {
	fail := func(err error, why string) (State, error) {
		return State{}, fmt.Errorf("water at %s and %s: %w: %s", pascal(p), kilojoule(h, "J/kg"), err, why)
	}
	if !(p >= TriplePressure && p <= highestPressure) {
		return fail(ErrRange, "pressure must be within 611.657 Pa to 100 MPa")
	}
	if math.IsNaN(h) {
		return fail(ErrRange, "enthalpy is not a number")
	}
	low, high := region1(p, lowestTemperature).h, region2(p, region2Temperature).h
	if h < low {
		return fail(ErrRange, fmt.Sprintf("enthalpy must be at least %s, that of 0 degC", kilojoule(low, "J/kg")))
	}
	if h > high {
		return fail(ErrRange, fmt.Sprintf("enthalpy must be at most %s, that of 800 degC", kilojoule(high, "J/kg")))
	}
	// Upper end of the liquid and lower end of the vapour at this pressure.
	top, bottom := region1Temperature, 0.0
	if hasSaturation(p) {
		top = saturationTemperature(p)
		bottom = top
	} else {
		bottom = temperature23(p)
	}
	liquid, vapour := region1(p, top), region2(p, bottom)
	hl, hv := liquid.h, vapour.h
	var s State
	switch {
	case h <= hl:
		s = singlePhase(invertH(region1, p, h, temperature1PH(p, h), lowestTemperature, top))
		s.Quality = 0
	case h >= hv:
		s = singlePhase(invertH(region2, p, h, temperature2PH(p, h), bottom, region2Temperature))
		s.Quality = 1
	case !hasSaturation(p):
		return fail(ErrRegion3, fmt.Sprintf("at this pressure enthalpy must be at most %s (liquid) or at least %s (vapour)",
			kilojoule(hl, "J/kg"), kilojoule(hv, "J/kg")))
	default:
		l, v := singlePhase(liquid), singlePhase(vapour)
		s = mixture(&l, &v, (h-hl)/(hv-hl))
	}
	s.H = h
	if hasSaturation(p) {
		s.Quality = (h - hl) / (hv - hl)
	}
	return s, nil
}

// invertH returns the phase whose enthalpy is h at p, starting from T and staying within low..high. Enthalpy rises
// with temperature at constant pressure, so that Newton's method from a start within 25 mK needs two or three steps.
func invertH(basic func(p, T float64) phase, p, h, T, low, high float64) phase {
	f := basic(p, clamp(T, low, high))
	for range 20 {
		step := (h - f.h) / f.cp
		if math.Abs(step) < 1e-12*f.T {
			break
		}
		next := clamp(f.T+step, low, high)
		if next == f.T {
			break
		}
		f = basic(p, next)
	}
	return f
}

// AtPS returns the state at p in Pa and s in J/(kg K), within the ranges of AtPH.
// Source: IAPWS R7-97(2012), eq. 13 and 25 to 27.
func AtPS(p, s float64) (State, error) {
	fail := func(err error, why string) (State, error) {
		return State{}, fmt.Errorf("water at %s and %s: %w: %s", pascal(p), kilojoule(s, "J/(kg K)"), err, why)
	}
	if !(p >= TriplePressure && p <= highestPressure) {
		return fail(ErrRange, "pressure must be within 611.657 Pa to 100 MPa")
	}
	low, high := region1(p, lowestTemperature).s, region2(p, region2Temperature).s
	if !(s >= low && s <= high) {
		return fail(ErrRange, fmt.Sprintf("entropy must be within %s to %s, those of 0 degC and 800 degC",
			kilojoule(low, "J/(kg K)"), kilojoule(high, "J/(kg K)")))
	}
	top, bottom := region1Temperature, 0.0
	if hasSaturation(p) {
		top = saturationTemperature(p)
		bottom = top
	} else {
		bottom = temperature23(p)
	}
	liquid, vapour := region1(p, top), region2(p, bottom)
	switch {
	case s <= liquid.s:
		return AtPH(p, enthalpyPS(region1, p, s, temperature1PS(p, s), lowestTemperature, top))
	case s >= vapour.s:
		return AtPH(p, enthalpyPS(region2, p, s, temperature2PS(p, s), bottom, region2Temperature))
	case !hasSaturation(p):
		return fail(ErrRegion3, fmt.Sprintf("at this pressure entropy must be at most %s (liquid) or at least %s (vapour)",
			kilojoule(liquid.s, "J/(kg K)"), kilojoule(vapour.s, "J/(kg K)")))
	default:
		x := (s - liquid.s) / (vapour.s - liquid.s)
		return AtPH(p, liquid.h+x*(vapour.h-liquid.h))
	}
}

// enthalpyPS returns the enthalpy where the entropy is s at p; ds/dT = cp/T.
func enthalpyPS(basic func(p, T float64) phase, p, s, T, low, high float64) float64 {
	f := basic(p, clamp(T, low, high))
	for range 20 {
		step := (s - f.s) * f.T / f.cp
		if math.Abs(step) < 1e-12*f.T {
			break
		}
		next := clamp(f.T+step, low, high)
		if next == f.T {
			break
		}
		f = basic(p, next)
	}
	// What the last step would have added: dh = T ds at constant pressure. The ends are kept against rounding.
	return clamp(f.h+f.T*(s-f.s), basic(p, low).h, basic(p, high).h)
}

func clamp(x, low, high float64) float64 { return math.Max(low, math.Min(high, x)) }
