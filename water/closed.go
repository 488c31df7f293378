package water

import (
	"fmt"
	"math"
)

// Slice is a mass of water in a closed circuit, beside a wall if Pull is above zero.
type Slice struct {
	Mass   float64 // kg
	H      float64 // J/kg
	Volume float64 // m³/kg
	Pull   float64 // J/K, what the wall gives over the step for each kelvin between it and the water at the step's end
	Wall   float64 // K

	T       float64 // K, given back; if not 0, where the search begins
	Quality float64 // given back, as State has it
}

// SharedPressure returns the pressure in Pa that slices of water share which fill a closed volume in m³ together, and
// brings each slice to it. It is meant for a time step of a closed circuit: before the call each slice holds its
// specific volume at the step's start, when the pressure was p0, and the enthalpy h* that it would have after the
// step's heat at that pressure: h* = h + q/m. The pressure p is the one at which
//
//	Σ m v(p, h) = volume,  h = h* + Volume (p − p0) + Pull/m (Wall − T(p, h))
//
// On return H, Volume, T and Quality are those at p. The second term is the work of the slice's neighbours on it
// (dh = δq + v dp, with v of the step's start). Summed over slices that filled the volume before it is
// volume·(p − p0), so that the whole internal energy, Σ m h − p·volume, rises by the heat and nothing else, to rounding.
// A slice with Volume 0 keeps its enthalpy. The third is the heat of a wall, taken implicitly: Pull is its conductance
// times the time.
//
// The pressure is found within 611.657 Pa to 100 MPa so that the volume is filled to 1e-9 (to 1e-4 where a slice lies at
// a border between regions of the equations, whose volumes step). Above, the error wraps ErrOverPressure; it wraps
// ErrRange where the water would freeze, be thinner than vapour at the triple point, or leave the range of temperature.
// Slices are left as they were when it refuses. It allocates nothing unless it refuses. Boiling slices cost next to
// nothing, each other slice a microsecond or two, three or four times over, and as often again beside a wall.
func SharedPressure(slices []Slice, volume, p0 float64) (float64, error) {
	fail := func(err error) (float64, error) {
		return 0, fmt.Errorf("closed water of %.6g m3: %w", volume, err)
	}
	mass := 0.0
	for i := range slices {
		s := &slices[i]
		if !(s.Mass >= 0 && s.Volume >= 0 && s.Pull >= 0) || math.IsInf(s.Mass+s.Volume+s.Pull, 0) {
			return fail(fmt.Errorf("%w: slice %d has mass %g kg, volume %g m3/kg and pull %g J/K, which must be at least zero", ErrRange, i+1, s.Mass, s.Volume, s.Pull))
		}
		mass += s.Mass
	}
	if !(mass > 0 && volume > 0 && p0 >= TriplePressure && p0 <= highestPressure) {
		return fail(fmt.Errorf("%w: mass (%g kg) and volume must be above zero, pressure (%s) within 611.657 Pa to 100 MPa", ErrRange, mass, pascal(p0)))
	}
	low, high := TriplePressure, highestPressure
	p, tried := p0, p0 // tried: the last pressure at which every slice had a state
	var reason error
	for range 200 {
		excess, slope, err := fill(slices, volume, p0, p)
		if err != nil {
			// Some slice leaves the range there: less far from the last pressure that was good.
			if p == tried || math.Abs(p-tried) < 1e-9*p {
				return fail(err)
			}
			reason = err
			if p > tried {
				high = p
			} else {
				low = p
			}
			p = 0.5 * (p + tried)
			continue
		}
		tried = p
		switch {
		case excess > 0 && p == highestPressure:
			return fail(tooDense.refusal())
		case excess < 0 && p == TriplePressure:
			return fail(fmt.Errorf("%w: pressure must be at least 611.657 Pa: the water is too cold or too little for the volume", ErrRange))
		case excess > 0:
			low = p
		default:
			high = p
		}
		next := p - excess/slope
		if math.Abs(next-p) <= 4e-16*p || math.Abs(excess) <= 1e-12*volume || high-low <= 4e-16*p {
			if reason != nil && math.Abs(excess) > 1e-6*volume {
				return fail(reason)
			}
			return p, settle(slices, p0, p)
		}
		// A falling pressure at most by four at a time, for volume rises as 1/p.
		if next < 0.25*p {
			next = 0.25 * p
		}
		switch {
		case next >= high && high == highestPressure, next <= low && low == TriplePressure:
			next = clamp(next, low, high)
		case !(next > low && next < high):
			next = math.Sqrt(low * high)
		}
		p = next
	}
	return fail(fmt.Errorf("%w: no pressure found", ErrRange))
}

// fill returns by how much in m³ the slices exceed the volume at p, and its derivative by p in m³/Pa.
func fill(slices []Slice, volume, p0, p float64) (excess, slope float64, err error) {
	var q spot
	q.liquid, q.vapour, q.boils = saturated(p)
	sum := 0.0
	for i := range slices {
		s := &slices[i]
		if s.Mass == 0 {
			continue
		}
		if _, err := q.bring(s, p0, p); err != nil {
			return 0, 0, err
		}
		v, byP, byH := q.volume()
		rise := s.Volume // dh/dp
		if k := s.Pull / s.Mass; k > 0 {
			_, TbyP, TbyH := q.temperature()
			rise = (rise - k*TbyP) / (1 + k*TbyH)
		}
		sum += s.Mass * v
		slope += s.Mass * (byP + rise*byH)
	}
	return sum - volume, slope, nil
}

// bring places the slice at p as it comes there from p0, and returns its enthalpy in J/kg.
func (q *spot) bring(s *Slice, p0, p float64) (float64, error) {
	h, k := s.H+s.Volume*(p-p0), s.Pull/s.Mass
	// h + k T(h) = goal: both terms rise with h. With two phases the temperature is known, and else on which side h lies.
	goal := h + k*s.Wall
	if q.near(p, k, goal, s.T) {
		if k > 0 {
			h = q.f.h
		}
		return h, nil
	}
	if k == 0 {
		return h, q.find(p, h, byEnthalpy)
	}
	low, high := math.Inf(-1), math.Inf(1)
	if q.boils {
		boiling := goal - k*q.liquid.T
		switch {
		case boiling <= q.liquid.h:
			high, h = q.liquid.h, math.Min(h, q.liquid.h)
		case boiling >= q.vapour.h:
			low, h = q.vapour.h, math.Max(h, q.vapour.h)
		default:
			return boiling, q.find(p, boiling, byEnthalpy)
		}
	}
	tried, step := math.NaN(), 0.0
	for range 100 {
		if err := q.find(p, h, byEnthalpy); err != nil {
			if tried != tried || math.Abs(h-tried) < 1e-6 {
				return h, err
			}
			h = 0.5 * (h + tried)
			continue
		}
		tried = h
		T, _, TbyH := q.temperature()
		f := h + k*T - goal
		if f > 0 {
			high = h
		} else {
			low = h
		}
		step = -f / (1 + k*TbyH)
		next := h + step
		if !(next > low && next < high) {
			if next = 0.5 * (low + high); math.IsInf(next, 0) {
				next = h + step
			}
		}
		if math.Abs(next-h) <= 1e-12*(math.Abs(h)+1e5) || math.Abs(f) <= 1e-13*(math.Abs(goal)+1e5) {
			break
		}
		h = next
	}
	return h, nil
}

// near places the phase of region 1 or 2 with h + k T = goal at p, from a temperature T in K nearby; it tells whether it
// found one.
func (q *spot) near(p, k, goal, T float64) bool {
	const off = 0.1 // K, from borders of regions, whose enthalpies step
	l, g := &q.liquid, &q.vapour
	basic, low, high := region1, lowestTemperature, region1Temperature-off
	if p <= region3Pressure {
		high = l.T
	}
	switch {
	case !(T > 0):
		return false
	case q.boils && goal > l.h+k*l.T && goal < g.h+k*g.T:
		return false
	case q.boils && goal >= g.h+k*g.T, !q.boils && T > high:
		basic, low, high = region2, g.T, region2Temperature-1
		if p > region3Pressure {
			low = temperature23(p) + off
		}
	}
	T = clamp(T, low, high)
	for range 8 {
		q.f = basic(p, T)
		step := (goal - q.f.h - k*T) / (q.f.cp + k)
		if math.Abs(step) <= 1e-13*T {
			q.both = false
			return true
		}
		next := T + step
		if !(next >= low && next <= high) {
			if next = clamp(next, low, high); next == T { // beyond the regions, or at saturation to rounding
				return false
			}
		}
		T = next
	}
	return false
}

// settle brings the slices from p0 to p.
func settle(slices []Slice, p0, p float64) error {
	var q spot
	q.liquid, q.vapour, q.boils = saturated(p)
	for i := range slices {
		s := &slices[i]
		if s.Mass == 0 {
			s.H += s.Volume * (p - p0)
			continue
		}
		h, err := q.bring(s, p0, p)
		if err != nil {
			return err
		}
		s.H = h
		s.Volume, _, _ = q.volume()
		s.T, _, _ = q.temperature()
		s.Quality = q.quality(h)
	}
	return nil
}

// temperature returns T in K with its derivatives by pressure at constant enthalpy and by enthalpy at constant pressure.
func (q *spot) temperature() (T, byP, byH float64) {
	if q.both {
		l, g := &q.liquid, &q.vapour
		return l.T, l.T * (g.v - l.v) / (g.h - l.h), 0
	}
	f := &q.f
	return f.T, (f.T*f.dvdT - f.v) / f.cp, 1 / f.cp
}

// volume returns v in m³/kg with its derivatives by pressure at constant enthalpy and by enthalpy at constant pressure.
func (q *spot) volume() (v, byP, byH float64) {
	if !q.both {
		f := &q.f
		byH = f.dvdT / f.cp
		return f.v, -f.v*f.v*f.drhodp - (f.v-f.T*f.dvdT)*byH, byH
	}
	l, g := &q.liquid, &q.vapour
	dv, dh := g.v-l.v, g.h-l.h
	rise := l.T * dv / dh // dT/dp (Clapeyron)
	vl, hl := l.byPressure(rise)
	vg, hg := g.byPressure(rise)
	dx := -(hl + q.x*(hg-hl)) / dh
	return l.v + q.x*dv, vl + q.x*(vg-vl) + dx*dv, dv / dh
}

// byPressure returns dv/dp and dh/dp where T rises by rise with p.
func (f *phase) byPressure(rise float64) (dv, dh float64) {
	return f.dvdT*rise - f.v*f.v*f.drhodp, f.cp*rise + f.v - f.T*f.dvdT
}
