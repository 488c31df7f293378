package material

import "slices"

// combineStep is the distance in K of the points of a combined curve where its parts bend: the straight pieces
// then stay within 1e-4 of the mixture for every entry of the catalogue.
const combineStep = 10.0

// used returns the curve where its share is not 0, else nil: what is not there sets no range.
func used(share float64, c *Curve) *Curve {
	if share == 0 {
		return nil
	}
	return c
}

// held returns the curve as one that is held outside its range on request; nil stays nil.
func held(c *Curve) *Curve {
	if c == nil {
		return nil
	}
	h := *c
	h.Hold = true
	return &h
}

// combine lays f, a function of the given curves, out as points over the range in which all of them hold. It also
// tells whether there is such a range; where there is none, the curve spans the gap between the parts' ranges.
func combine(f func(T float64) float64, parts ...*Curve) (Curve, bool) {
	low, high, bounded, varies := 0.0, 1e9, false, false
	for _, c := range parts {
		if c == nil {
			continue
		}
		varies = varies || !c.IsConstant()
		if !c.Hold {
			bounded = true
			low, high = max(low, c.Min), min(high, c.Max)
		}
	}
	switch {
	case !varies && !bounded:
		return Constant(f(ReferenceTemperature)), true
	case !varies && low < high:
		return single(f(ReferenceTemperature), low, high), true
	}
	meet := low < high
	if !meet {
		low, high = high, low
	}
	c := Curve{Min: low, Max: high, Hold: !bounded}
	low, high = max(low, tableLow), min(high, max(tableHigh, low+1))
	if !bounded {
		c.Min, c.Max = low, high
	}
	at := []float64{low, high}
	for _, p := range parts {
		if p != nil {
			at = append(at, p.knots(low, high)...)
		}
	}
	for T := low; T < high; T += combineStep {
		at = append(at, T)
	}
	slices.Sort(at)
	for _, T := range at {
		if n := len(c.T); n > 0 && T-c.T[n-1] < 1e-9 {
			continue
		}
		c.T, c.V = append(c.T, T), append(c.V, f(T))
	}
	c.Min, c.Max = max(c.Min, c.T[0]), min(c.Max, c.T[len(c.T)-1])
	return c, meet
}

// knots returns the temperatures from low to high, both included, at which the curve may bend.
func (c *Curve) knots(low, high float64) []float64 {
	at := []float64{low, high}
	for _, T := range append([]float64{c.Min, c.Max}, c.T...) {
		if T > low && T < high {
			at = append(at, T)
		}
	}
	slices.Sort(at)
	return at
}
