package water

import (
	"fmt"
	"math"
)

// Slice is a mass of water in a closed circuit.
type Slice struct {
	Mass   float64 // kg
	H      float64 // J/kg
	Volume float64 // m³/kg
}

// SharedPressure returns the pressure in Pa that slices of water share which fill a closed volume in m³ together, and
// brings each slice to it. It is meant for a time step of a closed circuit: before the call each slice holds its
// specific volume at the step's start, when the pressure was p0, and the enthalpy h* that it would have after the
// step's heat at that pressure: h* = h + q/m. The pressure p is the one at which
//
//	Σ m v(p, h) = volume,  h = h* + Volume (p − p0)
//
// On return H and Volume are those at p. The last term is the work of the slice's neighbours on it (dh = δq + v dp, with
// v of the step's start). Summed over slices that filled the volume before it is volume·(p − p0), so that the whole
// internal energy, Σ m h − p·volume, rises by the heat and nothing else, to rounding. A slice with Volume 0 keeps its
// enthalpy.
//
// The pressure is found within 611.657 Pa to 100 MPa so that the volume is filled to 1e-9 (to 1e-4 where a slice lies at
// a border between regions of the equations, whose volumes step). Above, the error wraps ErrOverPressure; it wraps
// ErrRange where the water would freeze, be thinner than vapour at the triple point, or leave the range of temperature.
// Slices are left as they were when it refuses. It allocates nothing unless it refuses. Boiling slices cost next to
// nothing, each other slice a microsecond or two, three or four times over.
func SharedPressure(slices []Slice, volume, p0 float64) (float64, error) {
	fail := func(err error) (float64, error) {
		return 0, fmt.Errorf("closed water of %.6g m3: %w", volume, err)
	}
	mass := 0.0
	for i := range slices {
		s := &slices[i]
		if !(s.Mass >= 0 && s.Volume >= 0) || math.IsInf(s.Mass+s.Volume, 0) {
			return fail(fmt.Errorf("%w: slice %d has mass %g kg and volume %g m3/kg, which must be at least zero", ErrRange, i+1, s.Mass, s.Volume))
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
		if err := q.find(p, s.H+s.Volume*(p-p0), byEnthalpy); err != nil {
			return 0, 0, err
		}
		v, byP, byH := q.volume()
		sum += s.Mass * v
		slope += s.Mass * (byP + s.Volume*byH)
	}
	return sum - volume, slope, nil
}

// settle brings the slices from p0 to p.
func settle(slices []Slice, p0, p float64) error {
	var q spot
	q.liquid, q.vapour, q.boils = saturated(p)
	for i := range slices {
		s := &slices[i]
		h := s.H + s.Volume*(p-p0)
		if s.Mass > 0 {
			if err := q.find(p, h, byEnthalpy); err != nil {
				return err
			}
			s.Volume, _, _ = q.volume()
		}
		s.H = h
	}
	return nil
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
