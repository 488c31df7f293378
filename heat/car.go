package heat

import "emberbank/kernel"

// car is one evaluation of F: of a step, or by itself. A step of s stages has s + 1, numbered from 1: the first opens it and gives the
// first stage, each of the others up to s gives the stage of its number, the last one closes it.
type car struct {
	kind             kind
	sweep            kernel.Sweep
	t, next          []float64 // K, padded: temperatures of the evaluation and of the one after it
	y                []float64 // J/kg: the increments that an opening evaluation gives, or a closing one lands
	light            float64   // W absorbed by the block's face
	exact            bool      // faces are solved; else as expanded for the step
	last             bool      // the stage is the step's last, and its temperatures are all read from the curve
	aa, ab           []float64 // J, by slice: integrals of the stage before; of two before, then of this
	planeAA, planeAB []float64 // J, by plane, likewise
}

// kind is what an evaluation is for.
type kind uint8

const (
	asRates kind = iota // by itself: F and the rates alone
	asOpening
	asStage
	asClosing
)

// kindOf returns what the evaluation j of a step of s stages is for.
func kindOf(j, s int) kind {
	switch {
	case j == 1:
		return asOpening
	case j > s:
		return asClosing
	}
	return asStage
}

// at returns when the evaluation j is, as a share of the step.
func (k *stages) at(j int) float64 {
	switch kindOf(j, k.s) {
	case asOpening:
		return 0
	case asClosing:
		return 1
	}
	return k.c[j-1]
}

// lay lays a worker's cars of a train: so many from the given one on, of those in hand.
func (w *train) lay(of *crew, k *stages, from, cars int) {
	s, g := w.s, &w.given
	ya, yb, t, ta := g.ya, g.yb, g.t, g.ta
	aa, ab, planeAA, planeAB := g.aa, g.ab, g.planeAA, g.planeAB
	if from%2 == 1 {
		t, ta = ta, t
	}
	swap := func() { ya, yb, aa, ab, planeAA, planeAB = yb, ya, ab, aa, planeAB, planeAA }
	if max(0, g.first+from-max(g.first, 2))%2 == 1 { // stages before
		swap()
	}
	for i := range cars {
		c, j := &of.stages[i], g.first+from+i
		*c = car{kind: kindOf(j, k.s), sweep: s.sweep, t: t, next: ta, light: g.light[from+i], aa: aa, ab: ab, planeAA: planeAA, planeAB: planeAB}
		c.sweep.T = t
		switch c.kind {
		case asOpening:
			c.sweep.Y, c.sweep.Mt, c.y = s.f0, k.muT[1]*g.tau, ya
		case asClosing:
			c.sweep.Y, c.y, c.exact = s.f1, ya, true
		default:
			c.last = j == k.s && s.thin == nil
			c.sweep.Ya, c.sweep.F0, c.sweep.Y = ya, s.f0, yb
			c.sweep.Mu, c.sweep.Nu, c.sweep.Mt, c.sweep.Gt = k.mu[j], k.nu[j], k.muT[j]*g.tau, k.gammaT[j]*g.tau
			if j == 2 {
				c.sweep.Nu = 0 // what stands there is of the step before
			}
			swap()
		}
		t, ta = ta, t
	}
}

// carPlane does a car's part in plane k.
func (s *solver) carPlane(k int, c *car) {
	switch c.kind {
	case asOpening:
		s.openPlane(k, c)
	case asStage:
		s.stagePlane(k, c)
	case asClosing:
		s.closePlane(k, c)
	default:
		s.ratesPlane(k, c)
	}
}

// ratesPlane computes F in plane k at the car's temperatures into its Y, and keeps the plane's rates.
func (s *solver) ratesPlane(k int, c *car) {
	s.loops.Flow(&c.sweep, k*s.pad, (k+1)*s.pad)
	b, y, t := s.b, c.sweep.Y, c.t[s.pad:]
	r := s.planeRates[k*s.r.stride:][:s.r.slices]
	clear(r)
	if c.exact {
		s.skin.exact(k, s, t, c.light, y, r)
	} else {
		s.skin.expanded(s.loops, k, t, 1, c.light, y, r)
	}
	s.give(k, 1, y, r)
	for i := s.tubes.planeLone[k]; i < s.tubes.planeLone[k+1]; i++ {
		l := &s.tubes.lone[i]
		sl := &s.tubes.slices[l.slice]
		sl.heat = l.u * (t[l.cell] - l.fluid)
		y[l.cell] -= float64(b.minv[l.cell]) * sl.heat
	}
	s.drawn(k, t, 1, y)
}

// openPlane evaluates the step's start in plane k and computes the first stage's increments, Mt f0, and their temperatures. Those of
// the stage before, which are none, are not laid: the next stage takes nothing of them.
func (s *solver) openPlane(k int, c *car) {
	s.ratesPlane(k, c)
	for _, q := range s.rising[s.planeRising[k]:s.planeRising[k+1]] {
		copy(s.base[q.from:q.to], c.t[s.pad+int(q.from):s.pad+int(q.to)])
	}
	from, to := k*s.pad, (k+1)*s.pad
	mt := c.sweep.Mt
	s.loops.Triad(c.y[from:to], s.zeros, c.sweep.Y[from:to], mt)
	first := k * s.r.stride
	r := s.planeRates[first:][:s.r.slices]
	r0, aa, ab := s.planeR0[first:][:len(r)], c.planeAA[first:][:len(r)], c.planeAB[first:][:len(r)]
	copy(r0, r)
	for i, q := range r {
		aa[i], ab[i] = mt*q, 0
	}
	for i := s.tubes.planeLone[k]; i < s.tubes.planeLone[k+1]; i++ {
		slice := s.tubes.lone[i].slice
		at := s.r.slices + int(slice)
		q := s.tubes.slices[slice].heat
		s.r0[at], c.aa[at], c.ab[at] = q, mt*q, 0
	}
	s.stageTemperatures(k, c.y, c.next)
	s.tubes.gather(k, c.next[s.pad:])
}

// closePlane turns the last stage's increments in plane k into the enthalpies at the step's end and evaluates these. Where no
// implicit parts change them afterwards, the step's error and the ledger's sums are taken while the plane is at hand.
func (s *solver) closePlane(k int, c *car) {
	s.ratesPlane(k, c)
	if s.thin == nil {
		s.discrepancyPlane(k, c.y, false)
	}
	y := c.y[k*s.pad : (k+1)*s.pad]
	s.loops.Triad(y, y, s.y0[k*s.pad:(k+1)*s.pad], 1)
	if s.thin == nil {
		s.tally.takePlane(k, c.y)
		s.meltsPlane(k, c.y)
	}
}

// stagePlane computes one stage in plane k: increments, integrals, and the temperatures of the next.
func (s *solver) stagePlane(k int, c *car) {
	plane := s.pad
	w := &c.sweep
	s.loops.Stage(w, k*plane, (k+1)*plane)
	n := s.r.slices
	first := k * s.r.stride
	r := s.planeRates[first:][:n]
	clear(r)
	t := c.t[plane:]
	s.skin.expanded(s.loops, k, t, w.Mt, c.light, w.Y, r)
	s.give(k, w.Mt, w.Y, r)
	if lone := s.tubes.lone[s.tubes.planeLone[k]:s.tubes.planeLone[k+1]]; len(lone) > 0 {
		s.takeAlone(lone, c, t)
	}
	s.drawn(k, t, w.Mt, w.Y)
	aa, ab, r0 := c.planeAA[first:][:n], c.planeAB[first:][:n], s.planeR0[first:][:n]
	for i, q := range r {
		ab[i] = w.Mu*aa[i] + w.Nu*ab[i] + w.Mt*q + w.Gt*r0[i]
	}
	s.stageTemperatures(k, w.Y, c.next)
	if c.last {
		s.endTemperatures(k, w.Y, c.next)
	}
	s.tubes.gather(k, c.next[s.pad:])
}

// takeAlone takes from the cells, at the temperatures t, what slices in one cell take, and adds to their integrals.
func (s *solver) takeAlone(lone []lone, c *car, t []float64) {
	mu, nu, mt, gt := c.sweep.Mu, c.sweep.Nu, c.sweep.Mt, c.sweep.Gt
	y, minv := c.sweep.Y, s.b.minv
	aa := c.aa[s.r.slices:]
	ab, r0 := c.ab[s.r.slices:][:len(aa)], s.r0[s.r.slices:][:len(aa)]
	for i := range lone {
		l := &lone[i]
		q := l.u * (t[l.cell] - l.fluid)
		y[l.cell] -= mt * float64(minv[l.cell]) * q
		ab[l.slice] = mu*aa[l.slice] + nu*ab[l.slice] + mt*q + gt*r0[l.slice]
	}
}

// joined does for the integrals of joined slices what a stage does for the enthalpies.
func (s *solver) joined(c *car) {
	w := &c.sweep
	for _, i := range s.tubes.joined {
		at := s.r.slices + int(i)
		c.ab[at] = w.Mu*c.aa[at] + w.Nu*c.ab[at] + w.Mt*s.tubes.slices[i].heat + w.Gt*s.r0[at]
	}
}

// singly does the step's evaluation that has been laid as the first worker's first car, in all planes.
func (s *solver) singly() {
	c := &s.train.crews[0].stages[0]
	switch {
	case c.kind == asClosing && s.thin != nil && len(s.rising) > 0: // others have read all temperatures in their last stage
		s.team.each(&s.jobs.read)
		fallthrough
	case c.kind == asOpening, s.thin != nil:
		s.tubes.measureJoined(s.t0, s.pad)
	default: // the threads that found the temperatures have gathered them
		s.tubes.means()
	}
	s.flow()
	s.team.each(&s.jobs.one)
	if c.kind == asStage {
		s.joined(c)
	}
}

// opened adds up what a step's opening evaluation gave by plane, and begins the integrals of joined slices: mt (s) times their heat.
func (s *solver) opened(mt float64) {
	s.sumPlanes(s.r0, s.planeR0)
	for _, i := range s.tubes.joined {
		at := s.r.slices + int(i)
		s.r0[at] = s.tubes.slices[i].heat
		s.aa[at], s.ab[at] = mt*s.r0[at], 0
	}
}

// closed adds up what a step's evaluations came to by plane.
func (s *solver) closed() {
	s.sumPlanes(s.aa, s.planeAA)
	s.sum(s.r1, s.planeRates)
	s.tally.taken = s.thin == nil
}
