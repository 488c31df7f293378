package water

import (
	"fmt"
	"math"
)

// key tells which quantity, beside the pressure, a state is looked up by.
type key int

const (
	byEnthalpy key = iota // J/kg
	byEntropy             // J/(kg K)
)

func (k key) of(f *phase) float64 {
	if k == byEntropy {
		return f.s
	}
	return f.h
}

// rate is its derivative by temperature at constant pressure.
func (k key) rate(f *phase) float64 {
	if k == byEntropy {
		return f.cp / f.T
	}
	return f.cp
}

func (k key) name() string {
	if k == byEntropy {
		return "entropy"
	}
	return "enthalpy"
}

func (k key) print(y float64) string {
	if k == byEntropy {
		return kilojoule(y, "J/(kg K)")
	}
	return kilojoule(y, "J/kg")
}

// start1 and start2 are the backward equations of regions 1 and 2.
func (k key) start1(p, y float64) float64 {
	if k == byEntropy {
		return temperature1PS(p, y)
	}
	return temperature1PH(p, y)
}

func (k key) start2(p, y float64) float64 {
	if k == byEntropy {
		return temperature2PS(p, y)
	}
	return temperature2PH(p, y)
}

// spot is where a state lies: in one phase, or between the two of saturation.
type spot struct {
	both           bool
	f              phase // unless both
	liquid, vapour phase // saturated, where there are two phases at the pressure
	boils          bool  // whether there are
	x              float64
}

// state completes the spot's state, transport properties included.
func (q *spot) state() State {
	if q.both {
		l, v := singlePhase(q.liquid), singlePhase(q.vapour)
		return mixture(&l, &v, q.x)
	}
	s := singlePhase(q.f)
	s.Quality = q.quality(s.H)
	return s
}

// quality returns (h − hl)/(hv − hl), or what State.Quality says where there are no two phases.
func (q *spot) quality(h float64) float64 {
	switch {
	case q.boils:
		return (h - q.liquid.h) / (q.vapour.h - q.liquid.h)
	case q.f.pressure >= TriplePressure && h < criticalEnthalpy:
		return 0
	default:
		return 1
	}
}

// place finds the state at p in Pa with enthalpy or entropy y.
//
// The regions were fitted apart, so that at a border between two of them enthalpy and entropy step up or down by a
// trifle. There the mean of both sides parts them: where they leave a gap the state is that of the border itself, where
// they overlap the temperature steps up by up to some hundredths of a kelvin. It never falls as y rises.
func place(p, y float64, k key) (q spot, err error) {
	if !(p >= TriplePressure && p <= highestPressure) {
		return q, refusal(p, y, k, "pressure must be within 611.657 Pa to 100 MPa")
	}
	q.liquid, q.vapour, q.boils = saturated(p)
	return q, q.find(p, y, k)
}

// find does the same at a pressure within the range whose saturated phases q holds already.
func (q *spot) find(p, y float64, k key) (err error) {
	if math.IsNaN(y) {
		return refusal(p, y, k, k.name()+" is not a number")
	}
	q.both = false
	switch {
	case !q.boils:
		err = q.above(p, y, k)
	case y <= k.of(&q.liquid):
		err = q.cool(p, y, k)
	case y < k.of(&q.vapour):
		low := k.of(&q.liquid)
		q.both = true
		q.x = (y - low) / (k.of(&q.vapour) - low)
	default:
		err = q.hot(p, y, k)
	}
	return err
}

// cool places a liquid, up to saturation.
func (q *spot) cool(p, y float64, k key) error {
	if p <= region3Pressure {
		return q.in1(p, y, k, q.liquid.T)
	}
	end := fluid3(p, region1Temperature, true)
	if y <= border(region1(p, region1Temperature), end, k) {
		return q.in1(p, y, k, region1Temperature)
	}
	q.f = invert3(p, y, k, &end, &q.liquid, true)
	return nil
}

// hot places a vapour, from saturation.
func (q *spot) hot(p, y float64, k key) error {
	if p <= region3Pressure {
		return q.in2(p, y, k, q.vapour.T)
	}
	T := math.Max(temperature23(p), q.vapour.T)
	end := fluid3(p, T, false)
	if y < border(end, region2(p, T), k) {
		q.f = invert3(p, y, k, &q.vapour, &end, false)
		return nil
	}
	return q.in2(p, y, k, T)
}

// above places a fluid above the critical pressure.
func (q *spot) above(p, y float64, k key) error {
	low := fluid3(p, region1Temperature, true)
	if y <= border(region1(p, region1Temperature), low, k) {
		return q.in1(p, y, k, region1Temperature)
	}
	T := temperature23(p)
	high := fluid3(p, T, false)
	if y >= border(high, region2(p, T), k) {
		return q.in2(p, y, k, T)
	}
	q.f = invert3(p, y, k, &low, &high, y < k.of(&low))
	return nil
}

// in1 and in2 place a state in regions 1, up to T = top, and 2, from T = bottom, or 5.
func (q *spot) in1(p, y float64, k key, top float64) error {
	q.f = invert(region1, p, y, k, k.start1(p, y), lowestTemperature, top)
	if low := k.of(&q.f); q.f.T == lowestTemperature && y < low {
		return refusal(p, y, k, fmt.Sprintf("%s must be at least %s, that of 0 degC", k.name(), k.print(low)))
	}
	return nil
}

func (q *spot) in2(p, y float64, k key, bottom float64) error {
	q.f = invert(region2, p, y, k, k.start2(p, y), bottom, region2Temperature)
	if q.f.T < region2Temperature-1 { // far below the border, whose step is below 1 K
		return nil
	}
	if p > region5Pressure {
		if high := k.of(&q.f); q.f.T == region2Temperature && y > high {
			return refusal(p, y, k, fmt.Sprintf("%s must be at most %s, that of 800 degC", k.name(), k.print(high)))
		}
		return nil
	}
	low := region5(p, region2Temperature)
	if y <= border(region2(p, region2Temperature), low, k) {
		return nil
	}
	q.f = invert(region5, p, y, k, region2Temperature+(y-k.of(&low))/k.rate(&low), region2Temperature, region5Temperature)
	if high := k.of(&q.f); q.f.T == region5Temperature && y > high {
		return refusal(p, y, k, fmt.Sprintf("%s must be at most %s, that of 2000 degC", k.name(), k.print(high)))
	}
	return nil
}

func border(a, b phase, k key) float64 { return 0.5 * (k.of(&a) + k.of(&b)) }

func refusal(p, y float64, k key, why string) error {
	return fmt.Errorf("water at %s and %s: %w: %s", pascal(p), k.print(y), ErrRange, why)
}

// invert returns the phase whose enthalpy or entropy is y at p, starting from T and staying within low..high. Both rise
// with temperature at constant pressure, so that Newton's method from a start within 25 mK needs two or three steps.
func invert(basic func(p, T float64) phase, p, y float64, k key, T, low, high float64) phase {
	if T != T { // far outside, where the backward equation has no number
		T = 0.5 * (low + high)
	}
	f := basic(p, clamp(T, low, high))
	for range 20 {
		step := (y - k.of(&f)) / k.rate(&f)
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

// invert3 returns the phase of region 3 whose enthalpy or entropy is y at p, between the states a and b (included).
// dense tells which side of saturation, as for density3.
//
// Newton's method for density and temperature together: the determinant of its matrix is ρ-wise cv (∂p/∂ρ) + T
// (∂p/∂T)²/ρ² for the enthalpy, above zero at the critical point too, where a search by temperature alone would fail.
func invert3(p, y float64, k key, a, b *phase, dense bool) phase {
	ya, yb := k.of(a), k.of(b)
	if y <= ya {
		return *a
	}
	if y >= yb {
		return *b
	}
	x := (y - ya) / (yb - ya)
	if f, ok := newton3(p, y, k, 1/(a.v+x*(b.v-a.v)), a.T+x*(b.T-a.T), a, b); ok {
		return f
	}
	low, high := a.T, b.T // halving always comes to an end
	for range 60 {
		T := 0.5 * (low + high)
		if f := fluid3(p, T, dense); k.of(&f) < y {
			low = T
		} else {
			high = T
		}
	}
	return fluid3(p, 0.5*(low+high), dense)
}

// newton3 is the search of invert3 from a start; it may fail.
func newton3(p, y float64, k key, rho, T float64, a, b *phase) (phase, bool) {
	for range 40 {
		f := helmholtz3(rho, T)
		at, pr := f.pressure()
		pt, cv := f.byTemperature(), f.cv()
		var dy, yr, yt float64
		if k == byEntropy {
			dy, yt, yr = f.entropy()-y, cv/T, -pt/(rho*rho)
		} else {
			dy, yt, yr = f.enthalpy()-y, cv+pt/rho, (pr-T*pt/rho)/rho
		}
		dp := at - p
		det := pr*yt - pt*yr
		dRho, dT := (pt*dy-yt*dp)/det, (yr*dp-pr*dy)/det
		if math.Abs(dRho) < 1e-12*rho && math.Abs(dT) < 1e-13*T {
			if T < a.T {
				return *a, true
			}
			if T > b.T {
				return *b, true
			}
			g := f.phase()
			g.pressure = p
			return g, true
		}
		// Bounded steps, within the region and a little beyond.
		limit := 0.2 * rho
		rho = clamp(rho+clamp(dRho, -limit, limit), 0.8*region3Thinnest, 1.1*region3Densest)
		T = clamp(T+clamp(dT, -20, 20), a.T-5, b.T+5)
	}
	return phase{}, false
}

func clamp(x, low, high float64) float64 { return math.Max(low, math.Min(high, x)) }
