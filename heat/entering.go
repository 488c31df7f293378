package heat

import (
	"math"

	"emberbank/receiver"
)

// enter looks for a melting front that has come in through face i, as the half cell in o has it so far, and where there
// is one, lets the face exchange with the front instead of with the cell's mean: between a face at T and a front at the
// melting point Tm, f of the cell's size d (m) behind it, flow k A (T - Tm)/(f d). The enthalpies are h + ahead·rate,
// fresh their temperatures or nil, light is what the window absorbs in W.
//
// Where the front stands follows from the cell's mean enthalpy h (J/kg), with straight lines on both sides of it:
//
//	f L + f c' (T - Tm)/2 - (1-f)² c g d/2 = h - hs,   g = (Tm - Tb)/(w + (1-f) d)
//
// for melting: c' the heat capacity behind the front and c before it in J/(kg K), Tb the next cell's temperature in K and
// w its half size in m. For freezing the same with hl - h. So a front begins to move where the face, not the mean, comes
// to the melting point, and reaches the cell's far side when what lies behind it is as hot as a half cell then has it:
// the face's temperature runs on without a jump.
func (s *skin) enter(net *network, i int, o *opening, light float64, h, rate []float64, ahead float64, fresh []float64) {
	s.tips[i] = math.NaN()
	b := s.b
	f := &b.faces[i]
	c, a := int(f.cell), f.side.Axis()
	m := b.medium[c]
	tab := &net.tables[m]
	if !tab.sharp || net.steady || int(net.frontAxis[c]) != int(a) {
		return
	}
	e, fusion := b.enthalpy[m], tab.fusion
	x := h[c] + ahead*rate[c]
	absorbed := o.share * light
	inward := absorbed - o.loss(fusion) // W, with the face at the melting point
	melts := inward > 0
	face := o.face(o.g*net.temperature(c, h, rate, ahead, fresh)+absorbed, s.T[i])
	short, after, before := x-e.Hs, 1/e.Slope(e.Hl+1), 1/e.Slope(e.Hs-1)
	k := read(tab.liquid[a], fusion)
	way := 1.0 // of rising temperature
	if !melts {
		short, after, before = e.Hl-x, before, after
		k = read(tab.solid[a], fusion)
		way = -1
	}
	latent := e.Hl - e.Hs
	if inward == 0 || short <= 0 && way*(face-fusion) <= 0 {
		return
	}
	n, w, ok := s.behind(net, i)
	if !ok { // with nothing behind it the front has nowhere to go: the cell's mean tells all
		return
	}
	size := 2 * f.half
	drop := way * (fusion - net.temperature(n, h, rate, ahead, fresh)) // K, from the front to the next cell's centre
	if short >= latent {                                               // through, unless what lies behind it still warms up
		if drop < 0 || b.medium[n] == m && way*(h[n]+ahead*rate[n]-0.5*(e.Hs+e.Hl)) >= 0.5*latent {
			return
		}
	}
	through := k * f.area / size
	slope := o.hA + 4*o.rA*fusion*fusion*fusion
	excess := func(f float64) float64 {
		lift := math.Abs(inward) * f / (through + slope*f)
		g := math.Max(0, drop) / (w + (1-f)*size)
		return f*latent + f*after*lift/2 - (1-f)*(1-f)*before*g*size/2 - short
	}
	if excess(1) <= 0 {
		return
	}
	tip := 0.0
	if excess(0) < 0 {
		lo, hi := 0.0, 1.0
		for range 40 {
			if mid := 0.5 * (lo + hi); excess(mid) < 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		tip = lo
	}
	s.tips[i] = tip
	o.held, o.base, o.g = true, fusion, through/math.Max(tip, leastTip)
}

// leastTip is the least way from a face to its front, as a share of the cell: it only keeps conductances finite.
const leastTip = 1e-3

// behind returns the solid cell on the far side of face i's cell, and its half size in m, in the conductivity of this
// cell where the media differ.
func (s *skin) behind(net *network, i int) (cell int, half float64, ok bool) {
	b := s.b
	f := &b.faces[i]
	c, a := int(f.cell), f.side.Axis()
	var at [3]int
	at[0], at[1], at[2] = b.g.Place(c)
	n, inside := b.neighbour(c, at[0], at[1], at[2], f.side^1)
	if !inside || b.medium[n] < 0 {
		return 0, 0, false
	}
	half = 0.5 * b.g.Size(a, at[a]-int(f.side.Sign()))
	if b.medium[n] != b.medium[c] {
		half *= net.k[a][c] / net.k[a][n]
	}
	return n, half, true
}

// given tells whether face i has a given temperature.
func (s *skin) given(i int) bool {
	p := s.b.patches[s.b.faces[i].patch].surface
	return p != nil && p.Kind == receiver.FixedTemperature
}

// fronted returns the temperature at the distance x (m) from face i into its cell where a front came in through it: straight
// from the face to the front, and on from there to the next cell's centre, or while the cell's mean says that the front
// has only begun, through that. T is the temperatures of cells.
func (s *skin) fronted(net *network, i int, x float64, T []float64) (float64, bool) {
	tip := s.tips[i]
	if math.IsNaN(tip) {
		return 0, false
	}
	f := &s.b.faces[i]
	c := int(f.cell)
	fusion := net.tables[s.b.medium[c]].fusion
	size := 2 * f.half
	at := tip * size
	if x < at {
		return s.T[i] + (fusion-s.T[i])*x/at, true
	}
	n, w, _ := s.behind(net, i) // there is one, or no front would have been found
	far := T[n]
	if tip > 0 {
		return fusion + (far-fusion)*(x-at)/(size+w-at), true
	}
	if x < f.half {
		return fusion + (T[c]-fusion)*x/f.half, true
	}
	return T[c] + (far-T[c])*(x-f.half)/(f.half+w), true
}
