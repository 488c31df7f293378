package heat

import (
	"emberbank/duty"
	"emberbank/film"
)

// moment finds the heat flows of one moment for a row of the history. A row shows what crosses free faces, what tubes
// take and what sources give; none of these needs the conduction between cells, so no sweep over all cells computes
// it, and conductivities are brought up to date only where faces, tubes and probes are.
type moment struct {
	m       *march
	cells   []int32   // sorted, whose conductivity a row needs
	planes  []int     // cells of plane k: cells[planes[k]:planes[k+1]]
	byPlane []float64 // W, lost by path, absorbed, electric, generated
	coupled bool      // constant conductivities have reached faces and tubes
	within  bool      // within a step: conductances, films and openings are those that the step holds
	opened  bool      // what they lose has been found with the cells' temperatures
	jobs    struct{ conduct, faces, open job }
}

func newMoment(m *march) *moment {
	n := &moment{m: m, byPlane: make([]float64, m.b.nz*m.s.r.slices)}
	n.jobs.conduct.plane, n.jobs.faces.plane, n.jobs.open.plane = n.conductPlane, n.facesPlane, n.openPlane
	if !m.net.constant && !m.net.sharp {
		n.gather()
	}
	return n
}

// gather lists the cells at faces and tubes and around probes.
func (n *moment) gather() {
	b := n.m.b
	looked := n.m.looked()
	for i := range b.faces {
		looked[b.faces[i].cell] = true
	}
	for c, yes := range looked {
		if yes {
			n.cells = append(n.cells, int32(c))
		}
	}
	n.planes = make([]int, b.nz+1)
	for _, c := range n.cells {
		n.planes[int(c)/(b.nx*b.ny)+1]++
	}
	for k := range b.nz {
		n.planes[k+1] += n.planes[k]
	}
}

// conductPlane sets the conductivities of the listed cells of plane k for the enthalpies y0.
func (n *moment) conductPlane(k int) {
	net, y := n.m.net, n.m.s.y0
	for _, c := range n.cells[n.planes[k]:n.planes[k+1]] {
		medium := n.m.b.medium[c]
		tab, e := &net.tables[medium], n.m.b.enthalpy[medium]
		if !tab.fixed {
			T, f := e.Temperature(y[c]), e.Melted(y[c])
			for a := range 3 {
				net.k[a][c] = tab.at(a, T, f)
			}
			net.moved[int(c)/n.m.b.nx] = true // not those of its row's links
		}
	}
}

// supply sets what light and heaters give at the moment.
func (n *moment) supply() {
	m, s := n.m, n.m.s
	for i, on := range m.player.Switches.Heaters {
		s.heaters[i] = 0
		if on {
			s.heaters[i] = m.p.Duty.Heaters[i].At(m.t)
		}
	}
	s.light = m.perWatt * m.lightAt(m.t)
}

// find computes every heat flow of the moment, the switches as they stand after it, for the enthalpies y0 and their
// temperatures t0.
func (n *moment) find() error {
	m, s := n.m, n.m.s
	var fresh []float64
	switch {
	case n.within || m.net.constant || m.net.held:
	case m.net.sharp: // fronts look at neighbours
		m.net.h, m.net.rate, m.net.ahead = s.y0, s.f1, 0
		s.team.each(&m.net.cells)
		s.team.each(&m.net.fronts)
		fresh = m.net.fresh
	default:
		s.team.each(&n.jobs.conduct)
	}
	if !n.within && (!m.net.constant || !n.coupled) {
		m.tubes.couple(m.net)
	}
	if n.within && m.net.sharp || !n.within && (!m.net.constant || !n.coupled) { // within a step fronts go on
		m.skin.couple(m.s.team, m.net, s.y0, s.f1, 0, fresh, n.within)
		n.coupled = true
	}
	m.tubes.measure(s.t0, s.pad)
	w := WeatherAt(&m.p.Duty, m.t)
	if !n.within || m.wet() {
		if err := m.flows(w.Tilt, 0); err != nil {
			return err
		}
	}
	if !n.within {
		m.skin.meet(w, m.player.Switches.CoverShut, m.t, -1)
	}
	if !n.within { // else it has been done: see rowAt
		n.supply()
	}
	s.now = true
	s.flow()
	s.now = false
	switch {
	case n.opened:
	case n.within:
		s.team.each(&n.jobs.open)
	default:
		s.team.each(&n.jobs.faces)
	}
	n.sum()
	now := &m.rec.present
	clear(now.passes)
	for i := range m.tubes.slices {
		sl := &m.tubes.slices[i]
		now.passes[sl.pass] += sl.heat
	}
	now.passSum = 0
	for _, q := range now.passes {
		now.passSum += q
	}
	for i, st := range m.streams {
		now.drops[i] = st.pressureDrop(m.tubes, st.flow, w.Tilt)
	}
	return nil
}

// facesPlane solves the faces of plane k and adds up what they lose and what sources give.
func (n *moment) facesPlane(k int) {
	s := n.m.s
	r := n.byPlane[k*s.r.slices : (k+1)*s.r.slices]
	clear(r)
	for i := n.m.b.planeFaces[k]; i < n.m.b.planeFaces[k+1]; i++ {
		n.face(i, r)
	}
	n.sourcesPlane(k, r)
}

// face solves face i and adds what it loses and absorbs.
func (n *moment) face(i int, r []float64) {
	m, s := n.m, n.m.s
	skin, f := m.skin, &m.b.faces[i]
	c := &skin.conds[f.patch]
	light := f.share * s.light
	g, T := skin.half[i], s.t0[s.pad+int(f.cell)]
	S := g*T + light
	hA := c.h * f.area
	var x, lost float64
	switch {
	case c.fixed:
		x = c.temperature
		lost = S - g*x
	case c.eps == 0 && !m.net.sharp:
		x = (S + hA*c.air) / (g + hA)
		lost = hA * (x - c.air)
	default:
		o := opening{g: g, share: f.share, hA: hA, air: c.air, rA: c.eps * film.StefanBoltzmann * f.area, radiator4: c.radiator4}
		if m.net.sharp {
			skin.enter(m.net, i, &o, s.light, s.y0, s.f1, 0, nil)
			S = o.g*o.from(T) + light
		}
		x = o.face(S, skin.T[i])
		lost = o.loss(x)
	}
	skin.T[i] = x
	r[m.b.patches[f.patch].path] += lost
	r[s.r.absorbed] += light
}

// openPlane is facesPlane by the openings of the step; faces through which a front may have come in are solved.
func (n *moment) openPlane(k int) {
	s, skin := n.m.s, n.m.skin
	r := n.byPlane[k*s.r.slices : (k+1)*s.r.slices]
	clear(r)
	if o := &s.tally.outline; o.of {
		o.facing.row(n, k, r)
		n.sourcesPlane(k, r)
		return
	}
	cells := s.t0[s.pad:]
	for q := skin.planeGroups[k]; q < skin.planeGroups[k+1]; q++ {
		g := &skin.groups[q]
		if !g.melts && !(s.light != 0 && skin.behindWindow(g)) {
			r[n.m.b.patches[g.patch].path] += skin.dark(g, cells)
			continue
		}
		for _, i := range skin.order[g.from:g.to] {
			o := &skin.open[i]
			if o.melts {
				n.face(int(i), r)
				continue
			}
			lost, absorbed, T := o.lit(cells[o.cell], s.light)
			skin.T[i] = T
			r[o.path] += lost
			r[s.r.absorbed] += absorbed
		}
	}
	n.sourcesPlane(k, r)
}

// sourcesPlane adds what sources in plane k give.
func (n *moment) sourcesPlane(k int, r []float64) {
	s := n.m.s
	for i := s.planeSources[k]; i < s.planeSources[k+1]; i++ {
		src := &s.sources[i]
		if src.heater >= 0 {
			r[s.r.electric] += src.watts * s.heaters[src.heater]
		} else {
			r[s.r.generated] += src.watts
		}
	}
}

// wet tells whether any circuit holds water.
func (m *march) wet() bool {
	for _, w := range m.streams {
		if w.state != duty.Drained {
			return true
		}
	}
	return len(m.tubes.fixed) > 0
}

// sum adds the planes' rates in their order and the slices' heat.
func (n *moment) sum() {
	s, rates := n.m.s, n.m.rec.present.rates
	clear(rates)
	for k := range n.m.b.nz {
		for i, v := range n.byPlane[k*s.r.slices : (k+1)*s.r.slices] {
			rates[i] += v
		}
	}
	for i := range n.m.tubes.slices {
		rates[s.r.slices+i] = n.m.tubes.slices[i].heat
	}
}

// present finds what a row shows of the moment.
func (m *march) present() error {
	m.rec.tally.row()
	return m.rec.show()
}

// show is present for temperatures that have been read and cells that have been added up.
func (r *recorder) show() error {
	r.present.content = r.contentNow()
	r.present.mean, r.present.melted = r.tally.blockMean(), r.tally.melted()
	return r.moment.find()
}

// contentNow completes what the cells hold by pane and water.
func (r *recorder) contentNow() content {
	c := r.tally.content()
	if p := r.m.skin.pane; p != nil {
		c.pane = p.capacity * (p.T - 293.15)
	}
	c.water = r.m.waterHeat()
	return c
}

// content adds up the heat content of everything inside.
func (m *march) content() content {
	m.rec.tally.row()
	return m.rec.contentNow()
}
