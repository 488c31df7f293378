package material

import (
	"math"
	"slices"
)

// Enthalpy is the curve of specific enthalpy over temperature of one medium as straight pieces, zero at
// ReferenceTemperature, so that temperature can be read back from enthalpy fast and without iteration. Where
// the medium melts at one temperature two knots share their T.
type Enthalpy struct {
	H, T   []float64 // knots, H strictly rising in J/kg, T not falling in K
	Hs, Hl float64   // J/kg where melting begins and ends; +Inf where it never melts
	MinCp  float64   // J/(kg K), the smallest slope dh/dT: bounds the march's stiffness
	bucket []int32   // first knot to try for each of len(bucket) equal spans of H
	scale  float64   // buckets per J/kg
}

// knotSpacing is the largest distance of knots, in K, where the heat capacity varies; the straight pieces then
// stay within (dcp/dT) · 1²/8 of the curve: under 0.5 J/kg, or 0.001 K, for every entry of the catalogue.
const knotSpacing = 1.0

// The span of temperatures, in K, that the table's curved part covers; beyond it the outermost heat capacities
// go on.
const tableLow, tableHigh = 173.15, 1773.15

// NewEnthalpy lays the curve for a medium.
func NewEnthalpy(m *Medium) *Enthalpy {
	inf := math.Inf(1)
	e := &Enthalpy{Hs: inf, Hl: inf, MinCp: inf}
	melts := m.Latent > 0
	cp := func(T float64) float64 {
		switch {
		case !melts || T <= m.Solidus:
			return m.HeatCapacity.At(T)
		case T >= m.Liquidus:
			return m.HeatCapacityMelted.At(T)
		}
		f := (T - m.Solidus) / (m.Liquidus - m.Solidus)
		return (1-f)*m.HeatCapacity.At(T) + f*m.HeatCapacityMelted.At(T)
	}
	// Knots in T, from low to high; each piece's slope is the mean of cp over it (Simpson).
	knots := temperatureKnots(m, melts)
	h := 0.0
	e.T = append(e.T, knots[0])
	e.H = append(e.H, 0)
	for i := 1; i < len(knots); i++ {
		a, b := knots[i-1], knots[i]
		d := b - a
		if d > 0 {
			ea, eb := a+1e-9*d, b-1e-9*d // one-sided values at a jump of cp
			c := (cp(ea) + 4*cp(0.5*(a+b)) + cp(eb)) / 6
			if melts && a >= m.Solidus && b <= m.Liquidus {
				c += m.Latent / (m.Liquidus - m.Solidus)
			} else if c < e.MinCp {
				e.MinCp = c
			}
			h += c * d
		} else { // melting at one temperature
			h += m.Latent
		}
		e.T = append(e.T, b)
		e.H = append(e.H, h)
	}
	// Shift so that h = 0 at the reference temperature.
	h0 := e.enthalpyBelow(ReferenceTemperature)
	for i := range e.H {
		e.H[i] -= h0
	}
	if melts {
		e.Hs, e.Hl = e.enthalpyBelow(m.Solidus), e.enthalpyAbove(m.Liquidus)
	}
	e.index()
	return e
}

// temperatureKnots lists the temperatures, in K and rising, at which the curve may bend: the points and ends of
// the heat capacities, the melting range and, where the heat capacity varies, a knot every knotSpacing.
func temperatureKnots(m *Medium, melts bool) []float64 {
	vary := !m.HeatCapacity.IsConstant() || (melts && !m.HeatCapacityMelted.IsConstant())
	at := []float64{tableLow, ReferenceTemperature, tableHigh}
	if vary {
		for T := tableLow; T < tableHigh; T += knotSpacing {
			at = append(at, T)
		}
		at = append(at, m.HeatCapacity.T...)
		at = append(at, m.HeatCapacity.Min, m.HeatCapacity.Max)
		if melts {
			at = append(at, m.HeatCapacityMelted.T...)
			at = append(at, m.HeatCapacityMelted.Min, m.HeatCapacityMelted.Max)
		}
	}
	if melts {
		// The outermost pieces have width, wherever the melting range lies: beyond them the curve goes on straight.
		at = append(at, m.Solidus-100, m.Solidus, m.Liquidus, m.Liquidus+100)
	}
	slices.Sort(at)
	out := at[:0]
	for _, T := range at {
		if T < 1 || T > 5000 {
			continue
		}
		if n := len(out); n > 0 && T-out[n-1] < 1e-9 {
			continue
		}
		out = append(out, T)
	}
	if melts && m.Liquidus-m.Solidus < 1e-9 { // two knots at the melting point
		for i, T := range out {
			if T >= m.Solidus-1e-9 {
				out = append(out[:i+1], out[i:]...)
				out[i], out[i+1] = m.Solidus, m.Solidus
				break
			}
		}
	}
	return out
}

// Temperature returns the temperature in K at specific enthalpy h in J/kg.
func (e *Enthalpy) Temperature(h float64) float64 {
	i := e.piece(h)
	return e.T[i] + (h-e.H[i])*(e.T[i+1]-e.T[i])/(e.H[i+1]-e.H[i])
}

// Slope returns dT/dh in K kg/J at specific enthalpy h: zero while it melts at one temperature.
func (e *Enthalpy) Slope(h float64) float64 {
	i := e.piece(h)
	return (e.T[i+1] - e.T[i]) / (e.H[i+1] - e.H[i])
}

// Melted returns the melted fraction at specific enthalpy h, between 0 and 1.
func (e *Enthalpy) Melted(h float64) float64 {
	switch {
	case h <= e.Hs:
		return 0
	case h >= e.Hl:
		return 1
	}
	return (h - e.Hs) / (e.Hl - e.Hs)
}

// Of returns the specific enthalpy in J/kg at temperature T in K; at a sharp melting point that of the solid.
func (e *Enthalpy) Of(T float64) float64 { return e.enthalpyBelow(T) }

// piece finds the straight piece that holds h: the bucket gives a piece at or below it.
func (e *Enthalpy) piece(h float64) int {
	n := len(e.H) - 2
	b := int((h - e.H[0]) * e.scale)
	if b < 0 {
		b = 0
	} else if b >= len(e.bucket) {
		b = len(e.bucket) - 1
	}
	i := int(e.bucket[b])
	for i < n && h >= e.H[i+1] {
		i++
	}
	return i
}

// index fills the buckets, so that piece starts within a knot or two of its goal.
func (e *Enthalpy) index() {
	n := len(e.H)
	e.bucket = make([]int32, 4*n)
	span := e.H[n-1] - e.H[0]
	e.scale = float64(len(e.bucket)) / span
	i := 0
	for b := range e.bucket {
		h := e.H[0] + float64(b)/e.scale
		for i < n-2 && e.H[i+1] <= h-1e-9*span/float64(len(e.bucket)) {
			i++
		}
		e.bucket[b] = int32(i)
	}
}

// enthalpyBelow reads h at T from the knots; at a sharp melting point it returns the solid's value.
func (e *Enthalpy) enthalpyBelow(T float64) float64 {
	n := len(e.T)
	i := 0
	for lo, hi := 0, n-1; ; { // the first piece whose upper knot reaches T
		if hi-lo <= 1 {
			i = lo
			break
		}
		if m := (lo + hi) / 2; e.T[m] < T {
			lo = m
		} else {
			hi = m
		}
	}
	if e.T[i+1] == e.T[i] {
		return e.H[i]
	}
	return e.H[i] + (T-e.T[i])*(e.H[i+1]-e.H[i])/(e.T[i+1]-e.T[i])
}

// enthalpyAbove is enthalpyBelow with the melt's value at a sharp melting point.
func (e *Enthalpy) enthalpyAbove(T float64) float64 {
	for i := len(e.T) - 2; i >= 0; i-- {
		if e.T[i] <= T && e.T[i+1] > T {
			return e.H[i] + (T-e.T[i])*(e.H[i+1]-e.H[i])/(e.T[i+1]-e.T[i])
		}
	}
	return e.enthalpyBelow(T)
}
