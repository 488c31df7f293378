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
	// Stretches of the curve, in rising order and together all of it.
	Stretches []Stretch
}

// Stretch is a part of the curve whose knots stand at equal steps of enthalpy, so that the piece that holds an
// enthalpy is found without a search.
type Stretch struct {
	From, To float64 // J/kg
	Inv      float64 // kg/J, pieces per J/kg
	First, N int     // index of the first knot; number of pieces
}

// knotSpacing is the largest distance of knots, in K, where the heat capacity varies; the straight pieces then
// stay within (dcp/dT) · 1²/8 of the curve: under 0.5 J/kg, or 0.001 K, for every entry of the catalogue. Laying the
// knots anew at equal steps of enthalpy, none of them wider in temperature, may add as much again.
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
	e.even(m, melts)
	// Shift so that h = 0 at the reference temperature.
	h0 := e.enthalpyBelow(ReferenceTemperature)
	for i := range e.H {
		e.H[i] -= h0
	}
	for i := range e.Stretches {
		e.Stretches[i].From -= h0
		e.Stretches[i].To -= h0
	}
	if melts {
		e.Hs, e.Hl = e.enthalpyBelow(m.Solidus), e.enthalpyAbove(m.Liquidus)
	}
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

// piece finds the straight piece that holds h; beyond the ends the outermost pieces go on.
func (e *Enthalpy) piece(h float64) int {
	i := len(e.Stretches) - 1
	for i > 0 && h < e.Stretches[i].From {
		i--
	}
	s := &e.Stretches[i]
	return s.First + max(0, min(s.N-1, int((h-s.From)*s.Inv)))
}

// even lays the knots anew at equal steps of enthalpy between the places where the curve may have a corner: its
// ends and those of melting, and every knot where the heat capacity is constant, since there are few.
func (e *Enthalpy) even(m *Medium, melts bool) {
	corner := func(T float64) bool { return melts && (T == m.Solidus || T == m.Liquidus) }
	vary := len(e.T) > 16
	H, T := e.H, e.T
	e.H, e.T = nil, nil
	for a := 0; a < len(T)-1; {
		b := a + 1
		for vary && b < len(T)-1 && !corner(T[b]) {
			b++
		}
		s := Stretch{From: H[a], To: H[b], First: len(e.H), N: 1}
		if b > a+1 {
			s.N = int(math.Ceil((H[b] - H[a]) / (knotSpacing * e.MinCp)))
		}
		s.Inv = float64(s.N) / (s.To - s.From)
		k := a
		for i := range s.N {
			h := s.From + float64(i)/s.Inv
			for k < b-1 && H[k+1] <= h {
				k++
			}
			e.H = append(e.H, h)
			e.T = append(e.T, T[k]+(h-H[k])*(T[k+1]-T[k])/(H[k+1]-H[k]))
		}
		e.Stretches = append(e.Stretches, s)
		a = b
	}
	e.H, e.T = append(e.H, H[len(H)-1]), append(e.T, T[len(T)-1])
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
