package heat

import (
	"math"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/film"
	"emberbank/receiver"
)

// skin is the free faces of the body: what each patch exchanges with, and the temperature of each face.
type skin struct {
	b     *body
	conds []condition // by patch, for the present step
	half  []float64   // W/K, by face: the half cell
	T     []float64   // K, by face
	tips  []float64   // by face: share of its cell that a front from the face has crossed; not a number without one
	mean  []float64   // K, by patch
	area  []float64   // m², by patch
	pane  *pane
	// Film coefficients by patch, W/(m² K), of the present step and the one before, and by how much, W, they moved.
	filmNow, filmBefore []float64
	stirred, stirredAt  float64
	// Mean temperatures by patch, K, when the last step began, their change over it, its length and start in s, and the
	// steps that were seen since a restart.
	seenMean, change   []float64
	drifted, seenAt    float64
	seen               int
	open               []opening // by face, of the present step; not of groups that glow in the dark
	steep              []float64 // by face, W/K: by how much its loss rises with its cell's temperature
	pulls              pulls     // the same in the stages' order
	order              []int32   // by pull: its face
	areas              []float64 // m², by pull: of its face
	glowing            glowing
	groups             []group
	planeGroups        []int
	stands             []bool      // by patch: its openings are as in the last step
	laid               []condition // by patch: with which its openings were laid
	halfMoved, coupled bool        // half cells changed since openings were laid; were ever set
	coupling           struct {
		job
		net     *network
		h, rate []float64
		ahead   float64
		fresh   []float64 // K, by cell, for these; may be nil
		fronts  bool      // only of cells that melt at one temperature
	}
	off       []float64 // K, by plane: how far the expansion of a face was off at the step's end
	expanding struct {
		job
		s            *solver
		ahead, light float64
		shines       bool
		fresh        []float64
	}
}

// condition is what a patch of faces exchanges with during one step.
type condition struct {
	fixed       bool
	temperature float64 // K
	h           float64 // W/(m² K), to air
	air         float64 // K
	eps         float64 // to radiators
	radiator    float64 // K
	radiator4   float64
	name        string
	outside     bool // the film lies outside its correlation's range
}

// Weather is the surroundings at one moment.
type Weather struct {
	Air, Sky, Ground float64 // K; sky and ground are what they radiate like
	Wind             float64 // m/s
	Tilt             float64 // rad, of the window's outward normal below the horizontal
}

// WeatherAt returns a duty's surroundings at t (s); what the duty does not state is as duty.Duty has it.
func WeatherAt(d *duty.Duty, t float64) Weather {
	at := func(s *duty.Signal, otherwise float64) float64 {
		if s.Empty() {
			return otherwise
		}
		return s.At(t)
	}
	w := Weather{Air: at(&d.Ambient, 293.15)}
	w.Sky, w.Ground = at(&d.Sky, w.Air), at(&d.Ground, w.Air)
	w.Wind, w.Tilt = at(&d.Wind, 0), at(&d.Tilt, 0)
	return w
}

// elevation returns the angle of a side's outward normal above the horizontal, in rad.
func (w Weather) elevation(s int) float64 {
	switch s {
	case 0: // front: the window's side
		return -w.Tilt
	case 1:
		return w.Tilt
	case 4:
		return -(math.Pi/2 - math.Abs(w.Tilt))
	case 5:
		return math.Pi/2 - math.Abs(w.Tilt)
	}
	return 0
}

// radiator returns the effective temperature of what a face of that elevation sees of sky and ground.
func (w Weather) radiator(elevation float64) float64 {
	share := film.SkyShare(elevation)
	return math.Pow(share*p4(w.Sky)+(1-share)*p4(w.Ground), 0.25)
}

func p4(x float64) float64 { return x * x * x * x }

func newSkin(b *body) *skin {
	s := &skin{
		b: b, conds: make([]condition, len(b.patches)), mean: make([]float64, len(b.patches)), half: make([]float64, len(b.faces)),
		T: make([]float64, len(b.faces)), tips: make([]float64, len(b.faces)), open: make([]opening, len(b.faces)), steep: make([]float64, len(b.faces)), off: make([]float64, b.nz),
		area: make([]float64, len(b.patches)), filmNow: make([]float64, len(b.patches)), filmBefore: make([]float64, len(b.patches)),
	}
	for i := range s.tips {
		s.tips[i] = math.NaN()
	}
	for i := range b.faces {
		s.area[b.faces[i].patch] += b.faces[i].area
	}
	s.seenMean, s.change = make([]float64, len(b.patches)), make([]float64, len(b.patches))
	s.stands, s.laid = make([]bool, len(b.patches)), make([]condition, len(b.patches))
	s.layGroups()
	s.expanding.plane, s.coupling.plane = s.expandPlane, s.couplePlane
	if w := b.rec.Window; w != nil && w.Glass != nil {
		s.pane = newPane(b, w)
	}
	return s
}

// couple sets the half-cell conductances for the present conductivities, or, where fronts alone are asked for, those of cells
// that melt at one temperature; fresh is the temperatures at h + ahead·rate, or nil.
func (s *skin) couple(t *team, net *network, h, rate []float64, ahead float64, fresh []float64, fronts bool) {
	if net.constant && s.coupled {
		return
	}
	q := &s.coupling
	q.net, q.h, q.rate, q.ahead, q.fresh, q.fronts = net, h, rate, ahead, fresh, fronts
	t.each(&q.job)
	s.coupled, s.halfMoved = true, true
}

func (s *skin) couplePlane(k int) {
	b := s.b
	net, h, rate, ahead := s.coupling.net, s.coupling.h, s.coupling.rate, s.coupling.ahead
	for i := b.planeFaces[k]; i < b.planeFaces[k+1]; i++ {
		f := &b.faces[i]
		c := int(f.cell)
		a := int(f.side.Axis())
		way, k := f.half, net.k[a][c]
		tab := &net.tables[b.medium[c]]
		if s.coupling.fronts && !tab.sharp {
			continue
		}
		if tab.sharp && !net.steady && s.given(int(i)) { // of others expand tells where the front stands
			T := s.faceT(i)
			beyond := 0
			if T > tab.fusion {
				beyond = 1
			} else if T < tab.fusion {
				beyond = -1
			}
			x := h[c] + ahead*rate[c]
			way, k = net.front(c, a, 2*f.half, x, beyond)
			if g := s.entering(net, i, T, x, h); g > k/way {
				way, k = 1, g
			}
		}
		if !tab.fixed && way == f.half {
			Tc, Tf := net.temperature(c, h, rate, ahead, s.coupling.fresh), s.faceT(i)
			if math.Abs(Tf-Tc) > leastSpan && within(Tc) && within(Tf) {
				k = tab.mean(a, Tc, Tf)
			}
		}
		s.half[i] = k * f.area / way
		if br := net.bridge[a]; br != nil && br[c] > 0 { // a tube's wall that comes out through the face
			at := [3]int{}
			at[0], at[1], at[2] = b.g.Place(c)
			u, v := (a+1)%3, (a+2)%3
			whole := b.g.Size(block.Axis(u), at[u]) * b.g.Size(block.Axis(v), at[v])
			s.half[i] += br[c] / f.half * f.area / whole
		}
	}
}

// freeT returns the temperature of a cell's free face on a side in K, and whether it has one.
func (s *skin) freeT(cell int, side block.Side) (float64, bool) {
	i := s.b.faceOf(cell, side)
	if i < 0 {
		return 0, false
	}
	return s.faceT(i), true
}

// faceT returns the temperature of face i in K, as fixed or as last found.
func (s *skin) faceT(i int) float64 {
	f := &s.b.faces[i]
	if s.given(i) {
		return s.b.patches[f.patch].surface.Temperature
	}
	return s.T[i]
}

// entering returns the conductance, in W/(m² K), between a face at T and its cell with enthalpy x, where a front
// enters the cell from the face while the cell's mean lies on the other side of the melting point; 0 otherwise.
// The heat that crosses the face goes to the front.
func (s *skin) entering(net *network, i int, T, x float64, h []float64) float64 {
	b := s.b
	f := &b.faces[i]
	c := int(f.cell)
	m := b.medium[c]
	e, tab := b.enthalpy[m], &net.tables[m]
	if net.frontAxis[c] != int8(f.side.Axis()) {
		return 0
	}
	melts := T > tab.fusion && x <= e.Hs
	if !melts && !(T < tab.fusion && x >= e.Hl) {
		return 0
	}
	mean := e.Temperature(x)
	if math.Abs(T-mean) < 1e-6 {
		return 0
	}
	a := f.side.Axis()
	Tb, wb := mean, 0.0
	ci, cj, ck := b.g.Place(c)
	if n, inside := b.neighbour(c, ci, cj, ck, f.side^1); inside && b.medium[n] >= 0 {
		Tb = b.enthalpy[b.medium[n]].Temperature(h[n])
		at := [3]int{}
		at[0], at[1], at[2] = b.g.Place(n)
		wb = 0.5 * b.g.Size(a, at[a])
	}
	k := read(tab.solid[a], tab.fusion)
	if melts {
		k = read(tab.liquid[a], tab.fusion)
	}
	share := math.Max(shortest, net.entered(c, 2*f.half, x, Tb, wb, !melts))
	return k / (share * 2 * f.half) * (T - tab.fusion) / (T - mean)
}

// meet sets what every patch exchanges with during the coming step of tau (s) from the time t on, by the mean temperatures
// foretold for its middle; tau 0 stands for the steady state, below 0 for the moment as it stands. Behind glass, the
// pane's temperature is foretold here.
func (s *skin) meet(w Weather, coverShut bool, t, tau float64) {
	b := s.b
	s.means()
	if tau > 0 {
		s.drift(t)
	}
	for i := range b.patches {
		p := &b.patches[i]
		c := condition{name: s.name(i)}
		elevation := w.elevation(int(p.side))
		mean := s.mean[i]
		if tau > 0 {
			mean += s.change[i] * math.Min(0.5*tau/s.drifted, 1)
		}
		if p.surface == nil {
			s.conds[i] = s.windowCondition(w, coverShut, elevation, mean, tau, p)
			continue
		}
		sf := p.surface
		if sf.Kind == receiver.FixedTemperature {
			c.fixed, c.temperature = true, sf.Temperature
			s.conds[i] = c
			continue
		}
		s.conds[i] = exchange(c, w, elevation, mean, sf.Film, sf.Emissivity, sf.Ambient, sf.Surrounds, p)
	}
}

func exchange(c condition, w Weather, elevation, mean float64, f receiver.Film, eps float64, ambient, surrounds *float64, p *patch) condition {
	c.air = w.Air
	if ambient != nil {
		c.air = *ambient
	}
	switch f.Kind {
	case receiver.FilmFixed:
		c.h = f.Value
	case receiver.FilmOutside:
		k := film.Outside(elevation, p.height, p.areaOverPerimeter(), mean, c.air, w.Wind)
		c.h, c.outside = k.H, k.Outside
	}
	c.eps = eps
	switch {
	case surrounds != nil:
		c.radiator = *surrounds
	case ambient != nil:
		c.radiator = *ambient
	default:
		c.radiator = w.radiator(elevation)
	}
	c.radiator4 = p4(c.radiator)
	return c
}

// areaOverPerimeter is the characteristic length of a face that looks up or down, in m.
func (p *patch) areaOverPerimeter() float64 {
	return p.height * p.width / (2 * (p.height + p.width))
}

func (s *skin) name(patch int) string {
	if p := s.b.patches[patch].surface; p != nil {
		return p.Name
	}
	return "window"
}

// windowCondition is the block's face behind the window: open, behind glass, or behind the shut cover.
func (s *skin) windowCondition(w Weather, shut bool, elevation, mean, tau float64, p *patch) condition {
	win := s.b.rec.Window
	c := condition{name: "window"}
	switch {
	case win.Glass != nil:
		c.eps = gapEmissivity(win, p)
		s.pane.ahead = s.pane.T
		for range 6 { // the films by the mean that they lead to
			T := s.pane.ahead
			k := film.Gap(elevation, win.Glass.Gap, p.height, mean, T)
			c.h, c.outside = k.H, k.Outside
			s.pane.outside(w, shut, p, T)
			if tau < 0 {
				break
			}
			s.pane.foretell(tau, mean, &c)
			if tau == 0 || math.Abs(s.pane.ahead-T) < 1e-3 {
				break // what is steady is found by calling again
			}
		}
		c.air, c.radiator, c.radiator4 = s.pane.ahead, s.pane.ahead, p4(s.pane.ahead)
		c.outside = c.outside || s.pane.doubt
	case shut:
		c.h, c.air = win.Cover, w.Air
		if win.Ambient != nil {
			c.air = *win.Ambient
		}
		c.radiator = c.air
	default:
		c = exchange(c, w, elevation, mean, win.Film, win.Emissivity, win.Ambient, win.Surrounds, p)
	}
	return c
}

// drift notes by how much the patches' means changed over the last step, when one begins at t (s). After a restart nothing
// is known before the second step is done: over the first, faces jump.
func (s *skin) drift(t float64) {
	if s.seen > 0 && t <= s.seenAt {
		return // the step is tried again
	}
	s.drifted = t - s.seenAt
	for i, T := range s.mean {
		s.change[i] = 0
		if s.seen > 1 {
			s.change[i] = T - s.seenMean[i]
		}
	}
	copy(s.seenMean, s.mean)
	s.seen, s.seenAt = s.seen+1, t
}

// means sets the mean temperature of every patch.
func (s *skin) means() {
	clear(s.mean)
	for i := range s.groups {
		g := &s.groups[i]
		sum, other := 0.0, 0.0 // two, so that one addition need not wait for the other
		order := s.order[g.from:g.to]
		areas := s.areas[g.from:g.to][:len(order)]
		for at, i := range order {
			sum, other = other, sum+areas[at]*s.T[i]
		}
		s.mean[g.patch] += sum + other
	}
	for i := range s.mean {
		s.mean[i] /= s.area[i]
	}
}
