package heat

import (
	"math"
	"slices"

	"emberbank/film"
	"emberbank/kernel"
)

// opening is a free face as a stage sees it; of faces that glow in the dark the pulls alone are those of the step in hand. What the face loses depends on S = g T + light alone, T the cell's
// temperature and g the half cell's conductance. Around a state foretold for the step's middle it runs as
//
//	lost = o0 + s (o1 + s o2),  s = S - s0
//
// to second order, and the cell gets in = light - lost: the books close whatever the expansion leaves out. How much
// that is enters the step's error (mismatch).
type opening struct {
	cell, path             int32
	g, s0, o0, o1, o2      float64 // W/K, W, W, 1, 1/W
	share                  float64 // of the light on the window
	fixed                  bool    // the face keeps its temperature
	x0                     float64 // K: that, or the face's at s0
	hA, air, rA, radiator4 float64 // W/K, K, W/K⁴, K⁴: film and radiation
	held                   bool    // it exchanges with a front at base, not with the cell's mean
	base                   float64 // K
	melts                  bool    // its cell's medium does, at one temperature
}

// from returns what the face exchanges with, in K: the cell, or the front behind it.
func (o *opening) from(T float64) float64 {
	if o.held {
		return o.base
	}
	return T
}

// pulls is the openings in the dark as a stage needs them: lost = p0 + T (p1 + T p2).
type pulls struct {
	cell       []int32
	minv       []float64 // 1/kg, of the cell
	p0, p1, p2 []float64 // W, W/K, W/K²
}

// lost returns what an opening in the dark loses at its cell's temperature T, in W.
func (u *pulls) lost(at int, T float64) float64 { return u.p0[at] + T*(u.p1[at]+T*u.p2[at]) }

// group is the openings of one patch in one plane: pulls from..to, in stretches of cells that lie one after the other, and
// between them of all kinds.
type group struct {
	patch     int
	from, to  int
	stretches []span
	melts     bool // some cell's medium does, at one temperature
}

// layGroups orders the openings for the stages: by plane, then by patch, so that a patch's sum stays at hand.
func (s *skin) layGroups() {
	b := s.b
	n := len(b.faces)
	s.pulls.cell = make([]int32, n)
	for _, v := range []*[]float64{&s.pulls.minv, &s.pulls.p0, &s.pulls.p1, &s.pulls.p2} {
		*v = make([]float64, n)
	}
	s.order, s.areas = make([]int32, 0, n), make([]float64, n)
	s.glowing.lay(n)
	s.planeGroups = make([]int, b.nz+1)
	for k := range b.nz {
		first := len(s.order)
		for i := b.planeFaces[k]; i < b.planeFaces[k+1]; i++ {
			s.order = append(s.order, int32(i))
		}
		slices.SortStableFunc(s.order[first:], func(p, q int32) int { return int(b.faces[p].patch - b.faces[q].patch) })
		for q := first; q < len(s.order); q++ {
			f := &b.faces[s.order[q]]
			s.pulls.cell[q], s.pulls.minv[q], s.areas[q] = f.cell, float64(b.minv[f.cell]), f.area
			if q == first || int(f.patch) != s.groups[len(s.groups)-1].patch {
				s.groups = append(s.groups, group{patch: int(f.patch), from: q})
			}
			s.groups[len(s.groups)-1].to = q + 1
		}
		s.planeGroups[k+1] = len(s.groups)
	}
	for i := range s.groups {
		s.groups[i].layStretches(s.pulls.cell)
	}
}

// layMelting notes which groups have openings that melt.
func (s *skin) layMelting() {
	for q := range s.groups {
		g := &s.groups[q]
		g.melts = slices.ContainsFunc(s.order[g.from:g.to], func(i int32) bool { return s.open[i].melts })
	}
}

// layStretches finds the group's stretches: those that are too short for the kernel are joined.
func (g *group) layStretches(cells []int32) {
	mixed := g.from // from where on cells are in no stretch yet
	take := func(from, to int) {
		if from < to {
			g.stretches = append(g.stretches, span{from: int32(from), to: int32(to)})
		}
	}
	for q := g.from; q < g.to; {
		first := q
		for q++; q < g.to && cells[q] == cells[q-1]+1; q++ {
		}
		if q-first >= few {
			take(mixed, first)
			take(first, q)
			mixed = q
		}
	}
	take(mixed, g.to)
}

// expand lays the openings of the coming step: s.y0 and the last rate foretell the cells at ahead (s), light is what
// the block's face will absorb in W, shines whether there may be any during the step, fresh the cells' temperatures so
// foretold or nil. Faces without radiation whose patch and half cells are as they were stay as they are: their loss is
// straight in T.
func (s *skin) expand(v *solver, ahead, light float64, shines bool, fresh []float64) {
	s.expanding.s, s.expanding.ahead, s.expanding.light, s.expanding.shines, s.expanding.fresh = v, ahead, light, shines, fresh
	for i := range s.conds {
		c := &s.conds[i]
		s.stands[i] = !s.halfMoved && c.eps == 0 && c.likeIn(&s.laid[i])
		s.laid[i] = *c
	}
	v.team.each(&s.expanding.job)
	s.halfMoved = false
}

// likeIn tells whether two conditions without radiation are alike.
func (c *condition) likeIn(o *condition) bool {
	return o.eps == 0 && c.fixed == o.fixed && c.temperature == o.temperature && c.h == o.h && c.air == o.air
}

func (s *skin) expandPlane(k int) {
	b, e := s.b, &s.expanding
	for q := s.planeGroups[k]; q < s.planeGroups[k+1]; q++ {
		g := &s.groups[q]
		c := &s.conds[g.patch]
		if s.stands[g.patch] {
			continue
		}
		if s.glows(g) && !(e.shines && s.behindWindow(g)) {
			s.glow(g)
			continue
		}
		path := int32(b.patches[g.patch].path)
		for at := g.from; at < g.to; at++ {
			i := s.order[at]
			f := &b.faces[i]
			o := &s.open[i]
			o.cell, o.path, o.share, o.g = f.cell, path, f.share, s.half[i]
			o.hA, o.air = c.h*f.area, c.air
			o.rA, o.radiator4 = c.eps*film.StefanBoltzmann*f.area, c.radiator4
			o.fixed, o.held = c.fixed, false
			if !c.fixed {
				s.enter(e.s.net, int(i), o, e.light, e.s.y0, e.s.f1, e.ahead, e.fresh)
			}
			switch {
			case c.fixed:
				o.x0, o.s0, o.o0, o.o1, o.o2 = c.temperature, o.g*c.temperature, 0, 1, 0
			case o.rA == 0:
				o.x0, o.s0, o.o0, o.o1, o.o2 = o.air, o.g*o.air, 0, o.hA/(o.g+o.hA), 0
			default:
				T := o.from(e.s.net.temperature(int(f.cell), e.s.y0, e.s.f1, e.ahead, e.fresh))
				o.s0 = o.g*T + o.share*e.light
				o.x0 = o.face(o.s0, s.T[i])
				o.lay()
			}
			s.steep[i] = 0
			if o.held {
				d := o.g*o.base - o.s0
				u := &s.pulls
				u.p0[at], u.p1[at], u.p2[at] = o.o0+d*(o.o1+d*o.o2), 0, 0
				continue
			}
			s.steep[i] = o.g * o.o1
			s.pulls.set(at, o.g, o.s0, o.o0, o.o1, o.o2)
		}
	}
}

// set turns an expansion around s0 = g T into one over T.
func (u *pulls) set(at int, g, s0, o0, o1, o2 float64) {
	u.p0[at] = o0 - s0*(o1-s0*o2)
	u.p1[at] = g * (o1 - 2*s0*o2)
	u.p2[at] = g * g * o2
}

// behindWindow tells whether light falls on a group's faces, where there is any.
func (s *skin) behindWindow(g *group) bool { return s.b.patches[g.patch].surface == nil }

// face returns the temperature x in K at which g x + film + radiation = S (W), by Newton's method from a guess: half
// cell, film and radiation then carry the same heat.
func (o *opening) face(S, guess float64) float64 {
	if o.rA == 0 {
		return (S + o.hA*o.air) / (o.g + o.hA)
	}
	x := guess
	for range 50 {
		x3 := x * x * x
		d := (o.g*x + o.hA*(x-o.air) + o.rA*(x3*x-o.radiator4) - S) / (o.g + o.hA + 4*o.rA*x3)
		x = max(1, x-d)
		if math.Abs(d) < 3e-5*x { // what is left is of the order of its square: a millionth of a kelvin
			break
		}
	}
	return x
}

// lay expands the loss around x0.
func (o *opening) lay() {
	o.o0 = o.loss(o.x0)
	o.o1, o.o2 = bend(o.x0, o.g, o.hA, o.rA)
}

// bend returns the first and half the second derivative of what a face loses over S, at its temperature x.
func bend(x, g, hA, rA float64) (first, second float64) {
	x2 := x * x
	slope := hA + 4*rA*x2*x // of the loss over x
	d := 1 / (g + slope)    // of x over S
	return slope * d, 6 * rA * x2 * d * d * d * g
}

// loss returns what the face loses at x (K), in W.
func (o *opening) loss(x float64) float64 {
	return o.hA*(x-o.air) + o.rA*(x*x*x*x-o.radiator4)
}

// expanded adds the heat over the faces of plane k by the expansion, at the cells' temperatures t and with the light (W)
// on the block's face: to y, weighted, and to the rates.
func (s *skin) expanded(loops *kernel.Set, k int, t []float64, weight, light float64, y, r []float64) {
	b := s.b
	for q := s.planeGroups[k]; q < s.planeGroups[k+1]; q++ {
		g := &s.groups[q]
		path := b.patches[g.patch].path
		sum := 0.0
		if light != 0 && s.behindWindow(g) {
			absorbed := 0.0
			for _, i := range s.order[g.from:g.to] {
				o := &s.open[i]
				T := o.from(t[o.cell])
				l := o.share * light
				d := o.g*T + l - o.s0
				lost := o.o0 + d*(o.o1+d*o.o2)
				y[o.cell] += weight * float64(b.minv[o.cell]) * (l - lost)
				sum += lost
				absorbed += l
			}
			r[1+len(b.rec.Surfaces)] += absorbed
		} else {
			for _, q := range g.stretches {
				sum += s.pull(loops, q, t, weight, y)
			}
		}
		r[path] += sum
	}
}

// pull takes what a stretch of pulls loses from y and returns its sum.
func (s *skin) pull(loops *kernel.Set, q span, t []float64, weight float64, y []float64) float64 {
	u := &s.pulls
	cells := u.cell[q.from:q.to]
	p0, p1, p2 := u.p0[q.from:q.to], u.p1[q.from:q.to], u.p2[q.from:q.to]
	if n := len(cells); n >= few && int(cells[n-1]-cells[0]) == n-1 {
		from, to := int(cells[0]), int(cells[0])+n
		return loops.Pull(y[from:to], t[from:to], s.b.minv[from:to], p0, p1, p2, weight)
	}
	return pullEach(y, t, cells, u.minv[q.from:q.to], p0, p1, p2, weight)
}

// pullEach is pull for cells that lie anywhere. Four sums run side by side: one alone would wait for each of its additions.
func pullEach(y, t []float64, cells []int32, minv, p0, p1, p2 []float64, weight float64) float64 {
	minv, p0, p1, p2 = minv[:len(cells)], p0[:len(cells)], p1[:len(cells)], p2[:len(cells)]
	var a, b, c, d float64
	i := 0
	for ; i+3 < len(cells); i += 4 {
		w, x, z, v := cells[i], cells[i+1], cells[i+2], cells[i+3]
		lw := p0[i] + t[w]*(p1[i]+t[w]*p2[i])
		lx := p0[i+1] + t[x]*(p1[i+1]+t[x]*p2[i+1])
		lz := p0[i+2] + t[z]*(p1[i+2]+t[z]*p2[i+2])
		lv := p0[i+3] + t[v]*(p1[i+3]+t[v]*p2[i+3])
		y[w] -= weight * minv[i] * lw
		y[x] -= weight * minv[i+1] * lx
		y[z] -= weight * minv[i+2] * lz
		y[v] -= weight * minv[i+3] * lv
		a, b, c, d = a+lw, b+lx, c+lz, d+lv
	}
	for ; i < len(cells); i++ {
		w := cells[i]
		lost := p0[i] + t[w]*(p1[i]+t[w]*p2[i])
		y[w] -= weight * minv[i] * lost
		a += lost
	}
	return (a + b) + (c + d)
}

// exact adds the heat over the faces of plane k with every face solved, at the cells' temperatures t and with the light (W) on the
// block's face, to y and to the rates, keeps the faces' temperatures, and notes how far the expansion was off.
func (s *skin) exact(k int, v *solver, t []float64, light float64, y, r []float64) {
	b := s.b
	s.off[k] = 0
	for q := s.planeGroups[k]; q < s.planeGroups[k+1]; q++ {
		g := &s.groups[q]
		if g.melts || light != 0 && s.behindWindow(g) {
			s.off[k] = math.Max(s.off[k], s.solve(g, v, t, light, y, r))
			continue
		}
		if s.glows(g) {
			s.off[k] = math.Max(s.off[k], s.solveGlowing(g, v.loops, t, y, &r[b.patches[g.patch].path]))
			continue
		}
		// A loss that is straight in T is no expansion.
		sum := 0.0
		for _, q := range g.stretches {
			sum += s.pull(v.loops, q, t, 1, y)
		}
		r[b.patches[g.patch].path] += sum
		s.dark(g, t)
	}
}

// dark sets the temperatures of a group's faces in the dark by their openings, at the cells' temperatures t, and returns what they
// lose, in W.
func (s *skin) dark(g *group, t []float64) float64 {
	sum := 0.0
	for at, c := range s.pulls.cell[g.from:g.to] {
		sum += s.darkened(g.from+at, t[c])
	}
	return sum
}

// darkened is dark for one opening, at its cell's temperature.
func (s *skin) darkened(at int, T float64) float64 {
	lost := s.pulls.lost(at, T)
	i := s.order[at]
	s.T[i] = T - lost/s.half[i]
	return lost
}

// lit returns what an opening loses and absorbs by its expansion, in W, at its cell's temperature T and with the light (W) on the
// block's face, and the face's temperature.
func (o *opening) lit(T, light float64) (lost, absorbed, face float64) {
	absorbed = o.share * light
	S := o.g*T + absorbed
	d := S - o.s0
	lost = o.o0 + d*(o.o1+d*o.o2)
	return lost, absorbed, (S - lost) / o.g
}

// solve is exact for a group, each face by itself, and returns how far an expansion was off.
func (s *skin) solve(g *group, v *solver, t []float64, light float64, y, r []float64) float64 {
	most := 0.0
	for _, i := range s.order[g.from:g.to] {
		o := &s.open[i]
		l := o.share * light
		S := o.g*o.from(t[o.cell]) + l
		x, lost := o.x0, S-o.s0
		if o.rA == 0 {
			lost = o.o0 + lost*o.o1
			if !o.fixed {
				x = (S - lost) / o.g
			}
		} else {
			d := S - o.s0
			expanded := o.o0 + d*(o.o1+d*o.o2)
			x = o.face(S, (S-expanded)/o.g)
			lost = o.loss(x)
			if off := math.Abs(expanded-lost) / o.g; off > most {
				most = off
			}
		}
		s.T[i] = x
		y[o.cell] += float64(s.b.minv[o.cell]) * (l - lost)
		r[o.path] += lost
		r[v.r.absorbed] += l
	}
	return most
}

// mismatch returns by how much, in K, the expansion of any face was off at the step's end.
func (s *skin) mismatch() float64 {
	most := 0.0
	for _, v := range s.off {
		most = math.Max(most, v)
	}
	return most
}

// stir notes by how much, in W, the films moved since the last step began: half the change of each, for the middle of
// a step, over the difference that it works on. A step that is tried again does not count twice.
func (s *skin) stir(t float64) {
	if t > s.stirredAt {
		s.stirredAt = t
		copy(s.filmBefore, s.filmNow)
	}
	s.stirred = 0
	for i := range s.conds {
		c := &s.conds[i]
		s.filmNow[i] = c.h
		if h := s.filmBefore[i]; h > 0 && !c.fixed {
			s.stirred += 0.5 * math.Abs(c.h-h) * s.area[i] * math.Abs(s.mean[i]-c.air)
		}
	}
}
