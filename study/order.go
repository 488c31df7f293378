package study

import "math"

// Verdict tells what three values on three grids show.
type Verdict string

// What three values can show.
const (
	Monotone    Verdict = "monotone"    // each refinement moves the value less, in the same direction
	Unchanged   Verdict = "unchanged"   // the grid does not matter: no difference beyond rounding
	Oscillating Verdict = "oscillating" // the refinements move it in opposite directions
	Diverging   Verdict = "diverging"   // the second refinement moves it more than any positive order allows
	NoValue     Verdict = "no value"    // a run gave no number
)

// Estimate is what three values on three grids say about the value on an endlessly fine grid.
type Estimate struct {
	Verdict Verdict
	// Values from the coarsest (the run as asked for) to the finest grid.
	Values [3]float64
	// Spread is the largest less the smallest of Values: what can be said where convergence is not monotone.
	Spread float64
	// Order, Extrapolated and the indices hold where the verdict is Monotone; NaN elsewhere, save that all
	// differences of an Unchanged value are zero.
	Order        float64
	Extrapolated float64
	FineIndex    float64 // grid convergence index of the finest grid, as a fraction of its value
	FineBand     float64 // the same in the value's unit: FineIndex times |value|
	// BaseBand is the distance of the base run's value from the extrapolated one times the same safety factor:
	// the uncertainty, in the value's unit, of the run as it was asked for.
	BaseBand float64
}

// safety is the factor of the grid convergence index for three grids; Celik et al. (2008), eq. 7.
const safety = 1.25

// roundingOnly is the relative difference below which two values count as equal: a few hundred roundings.
const roundingOnly = 1e-13

// Converge estimates from values on three grids, coarsest first, whose cell sizes stand in the ratios
// r32 = coarse/middle and r21 = middle/fine, both above one. With ε32 = φ3 − φ2 and ε21 = φ2 − φ1 (1 is the
// finest grid), the observed order p solves
//
//	ε32/ε21 = r21^p (r32^p − 1)/(r21^p − 1)
//
// which is eq. 5 of the source for ε32/ε21 > 0 (s = +1), solved for p. The source iterates from p = ln|ε32/ε21|/ln r21;
// here the root is halved in, which finds the same p and cannot run away when the ratios differ much. Then
//
//	φext = (r21^p φ1 − φ2)/(r21^p − 1)             extrapolated value, eq. 6
//	GCI  = 1.25 |(φ1 − φ2)/φ1| / (r21^p − 1)        grid convergence index of the fine grid, eq. 7
//
// For ε32/ε21 < 0 the source's s = −1 yields an order too; a study reports the spread instead, since two
// differences of opposite sign leave the limit open.
//
// Source: Celik, Ghia, Roache, Freitas, Coleman, Raad, "Procedure for estimation and reporting of uncertainty due
// to discretization in CFD applications", J. Fluids Eng. 130 (2008) 078001.
func Converge(values [3]float64, r32, r21 float64) Estimate {
	phi3, phi2, phi1 := values[0], values[1], values[2]
	nan := math.NaN()
	e := Estimate{Values: values, Order: nan, Extrapolated: nan, FineIndex: nan, FineBand: nan, BaseBand: nan}
	if !isNumber(phi1) || !isNumber(phi2) || !isNumber(phi3) {
		e.Verdict, e.Spread = NoValue, nan
		return e
	}
	e.Spread = max(phi1, phi2, phi3) - min(phi1, phi2, phi3)
	e32, e21 := phi3-phi2, phi2-phi1
	noise := roundingOnly * max(math.Abs(phi1), math.Abs(phi2), math.Abs(phi3))
	if math.Abs(e32) <= noise && math.Abs(e21) <= noise {
		e.Verdict = Unchanged
		e.Extrapolated, e.FineIndex, e.FineBand, e.BaseBand = phi1, 0, 0, 0
		return e
	}
	if e32*e21 < 0 {
		e.Verdict = Oscillating
		return e
	}
	p, ok := observedOrder(e32/e21, r32, r21)
	if !ok {
		e.Verdict = Diverging
		return e
	}
	f := math.Pow(r21, p) - 1
	e.Verdict, e.Order = Monotone, p
	e.Extrapolated = phi1 + (phi1-phi2)/f
	e.FineBand = safety * math.Abs(e21) / f
	e.FineIndex = e.FineBand / math.Abs(phi1)
	e.BaseBand = safety * math.Abs(phi3-e.Extrapolated)
	return e
}

// largestOrder bounds the search for the observed order; a value that settles faster than h^30 is reported so.
const largestOrder = 30.0

// observedOrder solves ratio = r21^p (r32^p − 1)/(r21^p − 1) for p > 0. The right side rises with p from
// ln r32/ln r21, so that a ratio at or below this has no positive order.
func observedOrder(ratio, r32, r21 float64) (p float64, ok bool) {
	if !(ratio > math.Log(r32)/math.Log(r21)) { // an infinite ratio (e21 = 0) passes and ends at largestOrder
		return 0, false
	}
	lo, hi := 0.0, largestOrder
	for hi-lo > 1e-12*hi {
		p = 0.5 * (lo + hi)
		if p == lo || p == hi {
			break
		}
		if math.Pow(r21, p)*math.Expm1(p*math.Log(r32))/math.Expm1(p*math.Log(r21)) < ratio {
			lo = p
		} else {
			hi = p
		}
	}
	return 0.5 * (lo + hi), true
}

// SafetyOfTwo is the factor of the grid convergence index where there are two grids only, so that the order is taken on
// trust. Source: P. J. Roache, "Perspective: a method for uniform reporting of grid refinement studies", J. Fluids Eng. 116
// (1994) 405-413 (from memory).
const SafetyOfTwo = 3.0

// Remaining returns how far the value on an endlessly fine grid lies from that on the coarser of two grids, for a change of
// one from the coarser to the finer, whose cell sizes stand in the ratio r > 1 and whose error falls with their power p:
//
//	(φext − φ2)/(φ1 − φ2) = r^p/(r^p − 1)
//
// which is eq. 6 of Converge's source for the coarser grid's value φ2 and the finer one's φ1. Times SafetyOfTwo and the
// change it is the index of the coarser grid in the value's unit, as BaseBand is with three grids.
func Remaining(r, p float64) float64 {
	f := math.Pow(r, p)
	return f / (f - 1)
}
