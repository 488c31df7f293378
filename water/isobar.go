package water

import (
	"fmt"
	"math"
)

// Isobar is water at one pressure as a table over enthalpy, for marching. Build it once; it is then only read, so
// that many goroutines may share it, and reading allocates nothing.
//
// Liquid and vapour each stand in a table with equal steps of enthalpy, between which a cubic Hermite polynomial
// runs; boiling water in between is computed from the two saturated states. Against the equations the table keeps
// within 1e-8 of temperature in K, density and entropy (relative), 1e-6 of heat capacity and viscosity, and 1e-4 of
// conductivity and Prandtl number: the conductivity's critical part sets in with a steep start of its own, at
// about 160 °C in the liquid. Tests with random states hold these bounds.
//
// An enthalpy outside Low..High is taken as the nearer end: temperature and all else then stay constant. NaN gives
// NaN.
type Isobar struct {
	P              float64 // Pa
	Saturation     float64 // K
	HLiquid        float64 // J/kg, of saturated liquid
	HVapour        float64 // J/kg, of saturated vapour
	Liquid         State   // saturated
	Vapour         State   // saturated
	SurfaceTension float64 // N/m
	Low, High      float64 // J/kg, the table's ends: 273.16 K and 1073.15 K

	liquid, vapour    branch
	evaporation       float64 // J/kg, HVapour − HLiquid
	liquidVolume      float64 // m³/kg, saturated
	evaporationVolume float64 // m³/kg, by which it grows on evaporation
}

// The pressures for which an isobar can be built, in Pa.
const (
	IsobarLowest  = 1e3
	IsobarHighest = 16.5e6
)

// Points of the tables: chosen so that the bounds above hold at every pressure and building takes some
// milliseconds.
const (
	liquidPoints = 601
	vapourPoints = 601
)

// branch is the table of one phase.
type branch struct {
	low, high float64 // J/kg
	step, inv float64 // J/kg, kg/J
	nodes     []node

	// Into the nodes by temperature: of equal steps of it, the last node at or below each step's start.
	perK   float64 // steps for each K
	byStep []int16
}

// node is one point of a table: each property with its slope, per step of the table.
type node struct {
	T, dT     float64
	rho, drho float64
	s, ds     float64
	cp, dcp   float64
	mu, dmu   float64
	k, dk     float64
}

// NewIsobar builds the table for p in Pa, within 1 kPa to 16.5 MPa: above, saturated water belongs to region 3,
// which is not covered.
func NewIsobar(p float64) (*Isobar, error) {
	if p > IsobarHighest {
		return nil, fmt.Errorf("table of water at %s: %w: pressure must be within 1 kPa to 16.5 MPa", pascal(p), ErrRange)
	}
	if !(p >= IsobarLowest) {
		return nil, fmt.Errorf("table of water at %s: %w: pressure must be within 1 kPa to 16.5 MPa", pascal(p), ErrRange)
	}
	T := saturationTemperature(p)
	b := &Isobar{
		P:              p,
		Saturation:     T,
		Liquid:         singlePhase(region1(p, T)),
		Vapour:         singlePhase(region2(p, T)),
		SurfaceTension: surfaceTension(T),
		Low:            region1(p, TripleTemperature).h,
		High:           region2(p, region2Temperature).h,
	}
	b.Vapour.Quality = 1
	b.HLiquid, b.HVapour = b.Liquid.H, b.Vapour.H
	b.evaporation = b.HVapour - b.HLiquid
	b.liquidVolume = 1 / b.Liquid.Density
	b.evaporationVolume = 1/b.Vapour.Density - b.liquidVolume
	b.liquid = newBranch(region1, p, TripleTemperature, T, b.Low, b.HLiquid, liquidPoints)
	b.vapour = newBranch(region2, p, T, region2Temperature, b.HVapour, b.High, vapourPoints)
	return b, nil
}

// newBranch tabulates a phase from the temperature from (of enthalpy low) to the temperature to (of enthalpy high).
func newBranch(basic func(p, T float64) phase, p, from, to, low, high float64, points int) branch {
	b := branch{low: low, high: high, step: (high - low) / float64(points-1), nodes: make([]node, points)}
	b.inv = 1 / b.step
	T := from
	rate := 0.0 // dT/dh at the point before
	for i := range b.nodes {
		var f phase
		switch i {
		case 0:
			f = basic(p, from)
		case points - 1:
			f = basic(p, to)
		default:
			f = invert(basic, p, low+float64(i)*b.step, byEnthalpy, T, from, to)
		}
		state := singlePhase(f)
		b.nodes[i] = node{
			T: f.T, dT: b.step / f.cp,
			rho: state.Density, drho: -b.step * state.Density * state.Density * f.dvdT / f.cp,
			s: f.s, ds: b.step / f.T, // dh = T ds at constant pressure
			cp: f.cp, mu: state.Viscosity, k: state.Conductivity,
		}
		// The next point's temperature by extrapolation with the mean slope of the interval to come.
		next := 1 / f.cp
		if i == 0 {
			rate = next
		}
		T = f.T + b.step*(1.5*next-0.5*rate)
		rate = next
	}
	n := b.nodes
	setSlopes(n, func(q *node) (float64, *float64) { return q.cp, &q.dcp })
	setSlopes(n, func(q *node) (float64, *float64) { return q.mu, &q.dmu })
	setSlopes(n, func(q *node) (float64, *float64) { return q.k, &q.dk })
	b.index()
	return b
}

// index lays the steps of temperature that at starts from: about as many as there are nodes.
func (b *branch) index() {
	last := len(b.nodes) - 1
	b.byStep = make([]int16, last)
	b.perK = float64(last) / (b.nodes[last].T - b.nodes[0].T)
	i := 0
	for q := range b.byStep {
		for i < last-1 && b.nodes[i+1].T <= b.nodes[0].T+float64(q)/b.perK {
			i++
		}
		b.byStep[q] = int16(i)
	}
}

// at returns the interval that holds T in K, within the table, and the place in it, within 0..1.
func (b *branch) at(T float64) (i int, t float64) {
	last := len(b.nodes) - 1
	q := int((T - b.nodes[0].T) * b.perK)
	i = int(b.byStep[min(max(q, 0), last-1)])
	for i > 0 && b.nodes[i].T > T { // rounding of the step
		i--
	}
	for i < last-1 && b.nodes[i+1].T <= T {
		i++
	}
	n0, n1 := &b.nodes[i], &b.nodes[i+1]
	// The cubic is nearly straight, so that Newton from the chord settles at once.
	t = (T - n0.T) / (n1.T - n0.T)
	for range 8 {
		step := (T - newHermite(t).of(n0.T, n0.dT, n1.T, n1.dT)) / slopeT(n0, n1, t)
		t += step
		if math.Abs(step) < 1e-14 {
			break
		}
	}
	return i, t
}

// setSlopes gives a property its slope per step by differences of fourth order: central inside, one-sided at the
// ends.
func setSlopes(n []node, property func(*node) (float64, *float64)) {
	value := func(i int) float64 { v, _ := property(&n[i]); return v }
	last := len(n) - 1
	for i := range n {
		_, slope := property(&n[i])
		switch {
		case i < 2:
			*slope = oneSided(value, i)
		case i > last-2:
			*slope = -oneSided(func(k int) float64 { return value(last - k) }, last-i)
		default:
			*slope = (8*(value(i+1)-value(i-1)) - (value(i+2) - value(i-2))) / 12
		}
	}
}

// oneSided returns the slope at point 0 or 1 of the quartic through points 0 to 4.
func oneSided(v func(int) float64, at int) float64 {
	if at == 0 {
		return (-25*v(0) + 48*v(1) - 36*v(2) + 16*v(3) - 3*v(4)) / 12
	}
	return (-3*v(0) - 10*v(1) + 18*v(2) - 6*v(3) + v(4)) / 12
}

// hermite are the values of the four cubic Hermite polynomials at one place of an interval.
type hermite struct{ a0, b0, a1, b1 float64 }

func newHermite(t float64) hermite {
	u := 1 - t
	return hermite{(1 + 2*t) * u * u, t * u * u, t * t * (3 - 2*t), -t * t * u}
}

func (c hermite) of(v0, d0, v1, d1 float64) float64 { return c.a0*v0 + c.b0*d0 + c.a1*v1 + c.b1*d1 }

// find returns the interval that holds h and the place in it, within 0..1, for h within the table.
func (b *branch) find(h float64) (n0, n1 *node, t float64) {
	x := (h - b.low) * b.inv
	i := int(x)
	if i < 0 {
		i = 0
	}
	if i > len(b.nodes)-2 {
		i = len(b.nodes) - 2
	}
	return &b.nodes[i], &b.nodes[i+1], x - float64(i)
}

// side returns the table that holds h and h brought within it; nil for boiling water and for NaN. Saturated
// liquid counts as boiling, saturated vapour as vapour, so that At gives the properties of the phase that is there.
func (b *Isobar) side(h float64) (*branch, float64) {
	switch {
	case h < b.HLiquid:
		return &b.liquid, math.Max(h, b.Low)
	case h >= b.HVapour:
		return &b.vapour, math.Min(h, b.High)
	default:
		return nil, h
	}
}

// Temperature returns the temperature in K at h in J/kg. It never falls as h rises, and is exactly Saturation from
// HLiquid to HVapour.
func (b *Isobar) Temperature(h float64) float64 {
	table, at := b.side(h)
	if table == nil {
		if h != h {
			return h
		}
		return b.Saturation
	}
	n0, n1, t := table.find(at)
	return newHermite(t).of(n0.T, n0.dT, n1.T, n1.dT)
}

// Slope returns dT/dh in K kg/J at h in J/kg, the exact derivative of Temperature: zero from HLiquid up to HVapour
// and outside Low..High, above zero elsewhere. At a kink it is the slope towards higher h.
func (b *Isobar) Slope(h float64) float64 {
	if h < b.Low || h > b.High {
		return 0
	}
	table, at := b.side(h)
	if table == nil {
		if h != h {
			return h
		}
		return 0
	}
	n0, n1, t := table.find(at)
	return table.inv * slopeT(n0, n1, t)
}

// slopeT is the derivative of the temperature's cubic per step of the table.
func slopeT(n0, n1 *node, t float64) float64 {
	return 6*t*(1-t)*(n1.T-n0.T) + (1-t)*(1-3*t)*n0.dT + t*(3*t-2)*n1.dT
}

// Density returns the density in kg/m³ at h in J/kg, that of the homogeneous mixture in boiling water.
func (b *Isobar) Density(h float64) float64 {
	table, at := b.side(h)
	if table == nil {
		return 1 / (b.liquidVolume + (h-b.HLiquid)/b.evaporation*b.evaporationVolume)
	}
	n0, n1, t := table.find(at)
	return newHermite(t).of(n0.rho, n0.drho, n1.rho, n1.drho)
}

// At returns the state at h in J/kg. Its H is h brought within Low..High.
func (b *Isobar) At(h float64) State {
	table, at := b.side(h)
	x := (at - b.HLiquid) / b.evaporation
	if table == nil {
		s := mixture(&b.Liquid, &b.Vapour, x)
		s.H = at
		if h != h {
			s.T = h
		}
		return s
	}
	n0, n1, t := table.find(at)
	c := newHermite(t)
	cp := c.of(n0.cp, n0.dcp, n1.cp, n1.dcp)
	mu := c.of(n0.mu, n0.dmu, n1.mu, n1.dmu)
	k := c.of(n0.k, n0.dk, n1.k, n1.dk)
	return State{
		P:            b.P,
		T:            c.of(n0.T, n0.dT, n1.T, n1.dT),
		H:            at,
		Density:      c.of(n0.rho, n0.drho, n1.rho, n1.drho),
		HeatCapacity: cp,
		Viscosity:    mu,
		Conductivity: k,
		Prandtl:      cp * mu / k,
		Quality:      x,
		Entropy:      c.of(n0.s, n0.ds, n1.s, n1.ds),
	}
}

// Enthalpy returns the enthalpy in J/kg at T in K: of the liquid up to saturation (included), of the vapour above.
// It undoes Temperature to rounding; T outside the table is taken as the nearer end, and NaN gives NaN.
func (b *Isobar) Enthalpy(T float64) float64 {
	if T != T {
		return T
	}
	if T == b.Saturation {
		return b.HLiquid
	}
	table := &b.liquid
	if T > b.Saturation {
		table = &b.vapour
	}
	last := len(table.nodes) - 1
	if T <= table.nodes[0].T {
		return table.low
	}
	if T >= table.nodes[last].T {
		return table.high
	}
	i, t := table.at(T)
	return table.low + (float64(i)+t)*table.step
}
