package heat

import "math"

// stiffness bounds the spectral radius of the present conductances.
func (m *march) stiffness() {
	s := m.s
	if s.thin == nil {
		plain := s.bound()
		if plain <= 2*m.judged {
			m.rho = math.Max(1e-12, plain)
			return
		}
		m.judged = plain
		s.gather()
		s.thin = newThin(m.net, s.extra)
		s.weigh()
		m.rho = math.Max(1e-12, plain)
		if s.thin == nil {
			return
		}
	}
	s.gather()
	s.thin.weaken(s.extra)
	m.rho = math.Max(1e-12, m.net.stiffness(s.team, s.extra))
	if m.rho > 2*m.judged { // other links grew: choose anew
		s.thin, m.judged = nil, 0
		m.stiffness()
		return
	}
	m.judged = math.Max(m.judged, m.rho)
}

// gather sets what free faces and tubes add to every cell's row.
func (s *solver) gather() {
	clear(s.extra)
	for k := range s.b.nz {
		s.gatherPlane(k)
	}
}

// gatherPlane adds what free faces and tubes add to the rows of cells of plane k.
func (s *solver) gatherPlane(k int) {
	for i := s.b.planeFaces[k]; i < s.b.planeFaces[k+1]; i++ {
		s.extra[s.b.faces[i].cell] += s.skin.steep[i]
	}
	for i := s.tubes.planeLone[k]; i < s.tubes.planeLone[k+1]; i++ {
		l := &s.tubes.lone[i]
		s.extra[l.cell] += s.tubes.slices[l.slice].u
	}
	for _, i := range s.tubes.byPlane[s.tubes.planeLinks[k]:s.tubes.planeLinks[k+1]] {
		l := &s.tubes.links[i]
		sl := &s.tubes.slices[l.slice]
		s.extra[l.cell] += 2 * (l.share*math.Max(math.E*sl.u, sl.steep) + math.Abs(l.side[0])*sl.way[0] + math.Abs(l.side[1])*sl.way[1])
	}
}

// bound is network.stiffness with what gather gives: links count anew only in planes that moved, and cells with a free
// face or a tube in every step.
func (s *solver) bound() float64 {
	s.team.each(&s.jobs.bound)
	rho := 0.0
	for _, v := range s.errs {
		rho = math.Max(rho, v)
	}
	return rho
}

func (s *solver) boundPlane(k int) {
	b, n := s.b, s.net
	stale := n.stale[k]
	if stale {
		n.rowsPlane(k)
		n.stale[k] = false
	}
	from, to := s.planeTouched[k], s.planeTouched[k+1]
	touched := s.touched[from:to]
	rows := s.rows[from:to][:len(touched)]
	if stale {
		for i, c := range touched {
			rows[i] = 2 * n.row(int(c))
		}
	}
	for _, c := range touched {
		s.extra[c] = 0
	}
	s.gatherPlane(k)
	most := n.most[k]
	for i, c := range touched {
		if v := (rows[i] + s.extra[c]) * float64(b.minv[c]) * n.ratio[b.medium[c]]; v > most {
			most = v
		}
	}
	s.errs[k] = most
}

// layTouched lists the cells with a free face or a tube, by plane.
func (s *solver) layTouched() {
	b := s.b
	seen := make([]bool, b.n)
	s.planeTouched = make([]int, b.nz+1)
	add := func(c int32) {
		if !seen[c] {
			seen[c] = true
			s.touched = append(s.touched, c)
		}
	}
	for k := range b.nz {
		for i := b.planeFaces[k]; i < b.planeFaces[k+1]; i++ {
			add(b.faces[i].cell)
		}
		for _, i := range s.tubes.byPlane[s.tubes.planeLinks[k]:s.tubes.planeLinks[k+1]] {
			add(s.tubes.links[i].cell)
		}
		for _, l := range s.tubes.lone[s.tubes.planeLone[k]:s.tubes.planeLone[k+1]] {
			add(l.cell)
		}
		s.planeTouched[k+1] = len(s.touched)
	}
	s.rows = make([]float64, len(s.touched))
}
