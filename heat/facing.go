package heat

import "emberbank/kernel"

// facing is what the rows within one step that has an outline need of the free faces, by groups of openings. A face in the dark
// loses p0 + T (p1 + T p2), and the temperature of its cell runs, while it stays on one straight piece of its curve, as
//
//	T(x) = A + x B + y C,  y = 4 x (1 - x)
//
// So what a group of such faces loses is a course of six numbers, summed once for all rows. Rows read the temperatures at
// all other faces, and where something looks at the faces' own.
type facing struct {
	lit    bool     // of the step in hand: there may be light on the window
	seen   []bool   // by group: rows want the temperatures of its faces
	media  [][]span // by group: its openings by medium, in stretches
	summed []bool   // by group, of the step in hand
	course []course // by group, where it is summed
	// Of openings, in their order, side by side: enthalpies and rates of their cells at the step's start and end, and what
	// they come to in a row.
	start, end, leaving, arriving, h, temperature []float64
	zeros                                         []float64 // as many as the longest stretch has openings
}

// course is what is lost, in W, at the fraction x of a step: by the powers 1, x, y, x², x y and y².
type course [6]float64

// at returns the loss at the fraction x of the step.
func (c *course) at(x float64) float64 {
	y := 4 * x * (1 - x)
	return c[0] + x*(c[1]+x*c[3]+y*c[4]) + y*(c[2]+y*c[5])
}

// lay finds the groups' media and which of them are seen: near probes, and behind the window where its hottest face counts.
func (a *facing) lay(m *march) {
	b, skin := m.b, m.skin
	n := len(skin.groups)
	a.seen, a.summed, a.course, a.media = make([]bool, n), make([]bool, n), make([]course, n), make([][]span, n)
	for _, v := range []*[]float64{&a.start, &a.end, &a.leaving, &a.arriving, &a.h, &a.temperature} {
		*v = make([]float64, len(b.faces))
	}
	probed := make([]bool, b.n)
	m.probed(probed)
	hot, longest := m.rec.hottestCounts(), 0
	for q := range skin.groups {
		g := &skin.groups[q]
		a.seen[q] = hot && skin.behindWindow(g)
		for at := g.from; at < g.to; at++ {
			c := skin.pulls.cell[at]
			a.seen[q] = a.seen[q] || probed[c]
			all := a.media[q]
			if last := len(all) - 1; last >= 0 && all[last].medium == b.medium[c] {
				all[last].to++
				continue
			}
			a.media[q] = append(all, span{from: int32(at), to: int32(at + 1), medium: b.medium[c]})
		}
		for _, of := range a.media[q] {
			longest = max(longest, int(of.to-of.from))
		}
	}
	a.zeros = make([]float64, longest)
}

// plane gathers what is at the faces of plane k and sums the groups that can be.
func (a *facing) plane(t *tally, k int) {
	s, skin := t.s, t.s.skin
	for q := skin.planeGroups[k]; q < skin.planeGroups[k+1]; q++ {
		g := &skin.groups[q]
		for i, c := range skin.pulls.cell[g.from:g.to] {
			at := g.from + i
			a.start[at], a.end[at], a.leaving[at], a.arriving[at] = s.ya[c], s.yb[c], s.f0[c], s.f1[c]
		}
		a.summed[q] = !a.seen[q] && !(a.lit && skin.behindWindow(g)) && a.sum(t, q)
	}
}

// within sets the enthalpies of a group's cells by the weights of a moment.
func (a *facing) within(loops *kernel.Set, g *group, at kernel.Course) {
	loops.Within(a.h[g.from:g.to], a.start[g.from:g.to], a.end[g.from:g.to], a.leaving[g.from:g.to], a.arriving[g.from:g.to], at)
}

// sum makes the course of group q and tells whether there is one: whether all of its cells stay on straight pieces.
func (a *facing) sum(t *tally, q int) bool {
	loops, g, u := t.s.loops, &t.s.skin.groups[q], &t.s.skin.pulls
	a.within(loops, g, t.curve)
	var sum course
	for _, of := range a.media[q] {
		start, end, middle := a.start[of.from:of.to], a.end[of.from:of.to], a.h[of.from:of.to]
		high, low := loops.Extremes(start, -inf, inf)
		high, low = loops.Extremes(end, high, low)
		bow := loops.Apart(middle, start)
		c, slope, straight := t.b.readings[of.medium].line(low-bow, high+bow)
		if !straight {
			return false
		}
		p0, p1, p2 := u.p0[of.from:of.to], u.p1[of.from:of.to], u.p2[of.from:of.to]
		for i, h := range start {
			A, B, C := c+slope*h, slope*(end[i]-h), slope*(middle[i]-h)
			d := p1[i] + 2*A*p2[i] // of the loss over T
			sum[0] += p0[i] + A*(p1[i]+A*p2[i])
			sum[1] += d * B
			sum[2] += d * C
			sum[3] += p2[i] * B * B
			sum[4] += 2 * p2[i] * B * C
			sum[5] += p2[i] * C * C
		}
	}
	a.course[q] = sum
	return true
}

// reads returns how many faces rows read.
func (a *facing) reads() int {
	n := 0
	for q, summed := range a.summed {
		if !summed {
			for _, of := range a.media[q] {
				n += int(of.to - of.from)
			}
		}
	}
	return n
}

// row adds what the faces of plane k lose and absorb at the row's moment to r, and sets the temperatures of those that are not
// summed.
func (a *facing) row(n *moment, k int, r []float64) {
	s, skin, b := n.m.s, n.m.skin, n.m.b
	for q := skin.planeGroups[k]; q < skin.planeGroups[k+1]; q++ {
		g := &skin.groups[q]
		path := b.patches[g.patch].path
		if a.summed[q] {
			r[path] += a.course[q].at(s.tally.curve.On)
			continue
		}
		a.within(s.loops, g, s.tally.curve)
		for _, of := range a.media[q] {
			h := a.h[of.from:of.to]
			b.readings[of.medium].readSum(s.loops, a.temperature[of.from:of.to], h, a.zeros[:len(h)], 0)
		}
		T := a.temperature[g.from:g.to]
		if s.light == 0 || !skin.behindWindow(g) {
			for at, T := range T {
				r[path] += skin.darkened(g.from+at, T)
			}
			continue
		}
		for at, i := range skin.order[g.from:g.to] {
			lost, absorbed, face := skin.open[i].lit(T[at], s.light)
			skin.T[i] = face
			r[path] += lost
			r[s.r.absorbed] += absorbed
		}
	}
}
