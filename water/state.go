package water

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
	// of vapour between. Where there are no two phases it is 0 or 1: above the critical pressure 0 below the critical
	// enthalpy of 2087.5 kJ/kg and 1 above it, below 611.657 Pa 1.
	Quality float64
	Entropy float64 // J/(kg K)
}

// InternalEnergy returns the specific internal energy u = h − p/ρ in J/kg.
func (s State) InternalEnergy() float64 { return s.H - s.P/s.Density }

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

// AtPT returns the state at p in Pa and T in K, within 1 Pa <= p <= 100 MPa and 273.15 K <= T <= 1073.15 K, up to
// 50 MPa to 2273.15 K. On the saturation line it is the liquid, as far as rounding tells; ask SaturatedLiquid or
// SaturatedVapour there. Outside the range it gives an error that wraps ErrRange.
// Source: IAPWS R7-97(2012).
func AtPT(p, T float64) (State, error) {
	region, err := regionPT(p, T)
	if err != nil {
		return State{}, err
	}
	q := spot{f: phasePT(region, p, T)}
	q.liquid, q.vapour, q.boils = saturated(p)
	return q.state(), nil
}

// SaturatedLiquid returns the liquid on the saturation line at p in Pa, within 611.657 Pa to the critical pressure,
// 22.064 MPa. At the critical point, where heat capacity and conductivity have no bound, they are large.
func SaturatedLiquid(p float64) (State, error) {
	l, _, err := saturationForStates(p)
	if err != nil {
		return State{}, err
	}
	return singlePhase(l), nil
}

// SaturatedVapour returns the vapour on the saturation line at p in Pa, within the range of SaturatedLiquid.
func SaturatedVapour(p float64) (State, error) {
	_, v, err := saturationForStates(p)
	if err != nil {
		return State{}, err
	}
	s := singlePhase(v)
	s.Quality = 1
	return s, nil
}

func saturationForStates(p float64) (liquid, vapour phase, err error) {
	if _, err := SaturationTemperature(p); err != nil {
		return phase{}, phase{}, err
	}
	liquid, vapour, ok := saturated(p)
	if !ok { // the critical point
		liquid = region3(criticalDensity, CriticalTemperature)
		vapour = liquid
	}
	return liquid, vapour, nil
}

// AtPH returns the state at p in Pa and h in J/kg, within 611.657 Pa <= p <= 100 MPa and the enthalpies of 0 °C and
// 2000 °C (above 50 MPa 800 °C) at that pressure. The backward equations give the start in regions 1 and 2, and Newton
// steps on the basic equation the rest, so that AtPH undoes AtPT to rounding (but for the steps at the borders of the
// regions, which place tells of). Outside the range it gives an error that wraps ErrRange.
// Source: IAPWS R7-97(2012), eq. 11 and 22 to 24.
func AtPH(p, h float64) (State, error) {
	q, err := place(p, h, byEnthalpy)
	if err != nil {
		return State{}, err
	}
	s := q.state()
	s.H = h
	if !q.both {
		s.Quality = q.quality(h)
	}
	return s, nil
}

// AtPS returns the state at p in Pa and s in J/(kg K), within the ranges of AtPH.
// Source: IAPWS R7-97(2012), eq. 13 and 25 to 27.
func AtPS(p, s float64) (State, error) {
	q, err := place(p, s, byEntropy)
	if err != nil {
		return State{}, err
	}
	state := q.state()
	state.Entropy = s
	return state, nil
}
