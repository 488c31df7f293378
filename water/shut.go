package water

import (
	"fmt"
	"math"
)

// Water shut in a volume: its specific volume stays, and heat raises its internal energy, along saturation while there
// is vapour, then along the steep line of a full volume, some 5 bar for each kelvin when cold, 6 to 17 bar when hot.

// AtVT returns the state of water shut in at v in m³/kg and T in K, within 273.15 K <= T <= 2273.15 K: boiling where v
// lies between the saturated volumes. Its pressure must be within 1 Pa to 100 MPa (above 800 °C to 50 MPa): above
// 100 MPa the error wraps ErrOverPressure, elsewhere outside ErrRange. It allocates nothing unless it refuses.
// Source: IAPWS R7-97(2012).
func AtVT(v, T float64) (State, error) {
	if !(v > 0 && v < math.MaxFloat64 && T >= lowestTemperature && T <= region5Temperature) {
		return State{}, fmt.Errorf("water of %.6g m3/kg at %s: %w: volume must be above zero, temperature within 0 degC to 2000 degC", v, celsius(T), ErrRange)
	}
	var q spot
	if f := q.shut(v, T); f != fits {
		return State{}, fmt.Errorf("water of %.6g m3/kg at %s: %w", v, celsius(T), f.refusal())
	}
	return q.shutState(v), nil
}

// AtVU returns the state of water shut in at v in m³/kg and specific internal energy u in J/kg, over liquid, boiling
// water, steam and the dense fluid, within the range of AtVT. A sealed tube that is heated moves along one v. Heat
// capacity at constant volume is above zero in each state, so that there is one temperature only. It allocates nothing
// unless it refuses.
// Source: IAPWS R7-97(2012).
func AtVU(v, u float64) (State, error) {
	var q spot
	if err := q.shutEnergy(v, u); err != nil {
		return State{}, err
	}
	s := q.shutState(v)
	s.H = u + s.P*v // as asked for, also where energies step at a border of regions
	return s, nil
}

// shutState completes a state of given volume.
func (q *spot) shutState(v float64) State {
	if !q.both {
		q.liquid, q.vapour, q.boils = saturated(q.f.pressure)
	}
	s := q.state()
	s.Density = 1 / v
	return s
}

// fit tells how water fits its volume.
type fit int

const (
	fits     fit = iota
	tooDense     // pressure above 100 MPa, or above 50 MPa over 800 °C
	tooHot       // above 800 °C and 50 MPa, where nothing is covered
	tooThin      // pressure below 1 Pa
)

func (f fit) refusal() error {
	switch f {
	case tooDense:
		return fmt.Errorf("%w: the water fills its volume; no tube is built for that: let it stand open, or give it a relief valve", ErrOverPressure)
	case tooHot:
		return fmt.Errorf("%w: above 800 degC the pressure must be within 50 MPa: give more volume or less heat", ErrRange)
	default:
		return fmt.Errorf("%w: pressure must be within 1 Pa to 100 MPa: give less volume", ErrRange)
	}
}

// shut places the state at v in m³/kg and T in K, within its range.
func (q *spot) shut(v, T float64) fit {
	*q = spot{}
	ceiling, basic := highestPressure, region2
	seam := false // whether the ceiling is a border to another region, which was fitted apart
	var ps float64
	switch {
	case T < CriticalTemperature:
		ps = saturationPressure(T)
		// From 350 °C on the two volumes draw together, from those that bound here: none needs to be known outside.
		const tight, wide = 0.00174, 0.00881
		switch {
		case T <= region1Temperature:
			q.liquid, q.vapour = region1(ps, T), region2(ps, T)
		case v > tight && v < wide:
			q.liquid, q.vapour = saturated3(ps, T)
		}
		if v > q.liquid.v && v < q.vapour.v {
			q.both, q.boils = true, true
			q.x = (v - q.liquid.v) / (q.vapour.v - q.liquid.v)
			return fits
		}
		if T <= region1Temperature {
			if v <= q.liquid.v {
				return q.compress(region1, v, T, ps, ps, ceiling)
			}
			ceiling, seam = ps, true
		}
	case T > region2Temperature:
		ceiling, basic = region5Pressure, region5
	}
	if b23 := boundary23(T); T > region1Temperature && b23 < highestPressure {
		if v < 1/region3Densest {
			return tooDense
		}
		if v < 1/region3Thinnest {
			q.f = region3(1/v, T)
			if q.f.pressure > highestPressure {
				return tooDense
			}
			if q.f.pressure >= b23 {
				return fits
			}
		}
		ceiling, seam = b23, true
	}
	how := q.compress(basic, v, T, gasConstant*T/v, lowestPressure, ceiling)
	switch {
	case how == tooDense && seam:
		return fits
	case how == tooDense && T > region2Temperature:
		return tooHot
	}
	return how
}

// compress finds the pressure, within low..high and from p, at which the phase has volume v at T. Density rises with
// pressure, nearly in proportion in a vapour and nearly along a line in a liquid, which suits Newton's method.
func (q *spot) compress(basic func(p, T float64) phase, v, T, p, low, high float64) fit {
	p = clamp(p, low, high)
	last := false
	for range 50 {
		q.f = basic(p, T)
		if last {
			break
		}
		next := clamp(p+(1/v-1/q.f.v)/q.f.drhodp, low, high)
		last = math.Abs(next-p) <= 1e-7*p // the next error is the square of this one
		p = next
	}
	switch slack := 1e-9 * v; {
	case p == high && q.f.v > v+slack:
		return tooDense
	case p == low && q.f.v < v-slack:
		return tooThin
	}
	return fits
}

// energy returns u in J/kg and its derivative by temperature at constant volume, of the spot at v.
func (q *spot) energy() (u, slope float64) {
	if !q.both {
		return q.f.u, q.f.cv
	}
	l, v := &q.liquid, &q.vapour
	rise := (v.h - l.h) / (l.T * (v.v - l.v)) // dp/dT (Clapeyron)
	ul, vl := l.alongSaturation(rise)
	uv, vv := v.alongSaturation(rise)
	x := q.x
	du := v.u - l.u
	dx := -(vl + x*(vv-vl)) / (v.v - l.v)
	return l.u + x*du, ul + x*(uv-ul) + dx*du
}

// alongSaturation returns du/dT and dv/dT where p rises by rise with T.
func (f *phase) alongSaturation(rise float64) (du, dv float64) {
	vp := -f.v * f.v * f.drhodp
	dv = f.dvdT + vp*rise
	return f.cp - f.pressure*f.dvdT - (f.T*f.dvdT+f.pressure*vp)*rise, dv
}

// shutEnergy places the state at v and u: Newton's method for the temperature, in a bracket.
func (q *spot) shutEnergy(v, u float64) error {
	fail := func(err error) error {
		return fmt.Errorf("water of %.6g m3/kg with internal energy %s: %w", v, kilojoule(u, "J/kg"), err)
	}
	if !(v > 0 && v < math.MaxFloat64) || math.IsNaN(u) {
		return fail(fmt.Errorf("%w: volume must be above zero, energy a number", ErrRange))
	}
	low, high := lowestTemperature, region5Temperature
	below, above := fits, fits // why low is too low, high too high: it fits, with another energy, or not at all
	T := clamp(lowestTemperature+u/4200, 280, 600)
	if u > 2.5e6 {
		T = clamp(500+(u-2.6e6)/1700, 500, 2000)
	}
	for range 200 {
		next := math.NaN()
		how := q.shut(v, T)
		switch how {
		case fits:
			at, slope := q.energy()
			step := (u - at) / slope
			next = T + step
			switch {
			case math.Abs(step) <= 1e-13*T:
				return nil
			case step > 0 && T == region5Temperature:
				return fail(fmt.Errorf("%w: it would be above 2000 degC: give less heat", ErrRange))
			case step < 0 && T == lowestTemperature:
				return fail(fmt.Errorf("%w: it would be below 0 degC, and ice is not covered", ErrRange))
			case step > 0:
				low, below = T, fits
			default:
				high, above = T, fits
			}
		case tooThin:
			low, below = T, how
		default:
			high, above = T, how
		}
		if high-low <= 2e-13*T { // a border between regions, whose energies step, or one of the range
			switch {
			case above != fits:
				return fail(above.refusal())
			case below != fits:
				return fail(below.refusal())
			}
			return nil
		}
		switch {
		case next <= low && low == lowestTemperature, next >= high && high == region5Temperature:
			T = clamp(next, low, high) // an end of the range, not looked at yet
		case next > low && next < high:
			T = next
		default:
			T = 0.5 * (low + high)
		}
	}
	return fail(fmt.Errorf("%w: no temperature found", ErrRange))
}
