package water

import "fmt"

// Metastable vapour is vapour colder than saturation, before drops form. It is reached in fast expansion alone; a march
// in equilibrium never sees it.

// metastableIdeal is region2Ideal with the two first coefficients of the metastable vapour.
// Source: IAPWS R7-97(2012), section 6.2, note to Table 10.
var metastableIdeal = func() [9]idealTerm {
	terms := region2Ideal
	terms[0].n, terms[1].n = -0.96937268393049e1, 0.10087275970006e2
	return terms
}()

// metastableResidual are the coefficients of the residual part.
// Source: IAPWS R7-97(2012), Table 16.
var metastableResidual = [13]term{
	{1, 0, -0.73362260186506e-2},
	{1, 2, -0.88223831943146e-1},
	{1, 5, -0.72334555213245e-1},
	{1, 11, -0.40813178534455e-2},
	{2, 1, 0.20097803380207e-2},
	{2, 7, -0.53045921898642e-1},
	{2, 16, -0.76190409086970e-2},
	{3, 4, -0.63498037657313e-2},
	{3, 16, -0.86043093028588e-1},
	{4, 7, 0.75321581522770e-2},
	{4, 10, -0.79238375446139e-2},
	{5, 9, -0.22888160778447e-3},
	{5, 10, -0.26456501482810e-2},
}

func metastable(p, T float64) phase {
	return vapourEquation(&metastableIdeal, metastableResidual[:], p, T)
}

// MetastableVapour returns vapour at p in Pa and T in K that is colder than saturation, from the saturation line to
// where water in equilibrium would be 5 % liquid, within 611.657 Pa to 10 MPa. Its Quality is (h − hl)/(hv − hl), below
// one. Outside it gives an error that wraps ErrRange.
// Source: IAPWS R7-97(2012), eq. 18 and 19 and section 6.2.
func MetastableVapour(p, T float64) (State, error) {
	fail := func(why string) (State, error) {
		return State{}, fmt.Errorf("metastable vapour at %s and %s: %w: %s", pascal(p), celsius(T), ErrRange, why)
	}
	if !(p >= TriplePressure && p <= 10e6) {
		return fail("pressure must be within 611.657 Pa to 10 MPa")
	}
	l, v, _ := saturated(p)
	if !(T >= lowestTemperature && T <= v.T) {
		return fail(fmt.Sprintf("temperature must be within 0 degC to saturation, %s", celsius(v.T)))
	}
	f := metastable(p, T)
	x := (f.h - l.h) / (v.h - l.h)
	if !(x >= 0.95) {
		return fail("it is colder than where water in equilibrium would be 5 % liquid")
	}
	s := singlePhase(f)
	s.Quality = x
	return s, nil
}
