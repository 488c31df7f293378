package heat

import "math"

// stiffness bounds the spectral radius of the present conductances, without and with the strong links.
func (m *march) stiffness() {
	s := m.s
	if s.thin == nil {
		plain := s.bound()
		if plain <= 2*m.judged {
			m.rho = math.Max(1e-12, plain)
			m.fastest = m.rho
			return
		}
		m.judged = plain
		s.gather()
		s.thin = newThin(m.net, s.extra)
		s.weigh()
		m.rho = math.Max(1e-12, plain)
		m.fastest = m.rho
		if s.thin == nil {
			return
		}
	}
	s.gather()
	whole := s.thin.weaken(s.extra)
	m.rho = math.Max(1e-12, m.net.stiffness(s.team, s.extra))
	m.fastest = math.Max(m.rho, whole)
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
		for i := s.planeTouched[k]; i < s.planeTouched[k+1]; i++ {
			s.extra[s.touched[i].cell] = s.more[i]
		}
	}
}

// gatherPlane sets what free faces and tubes add to the rows of the touched cells of plane k.
func (s *solver) gatherPlane(k int) {
	more := s.more
	clear(more[s.planeTouched[k]:s.planeTouched[k+1]])
	for i := s.b.planeFaces[k]; i < s.b.planeFaces[k+1]; i++ {
		more[s.touchedBy.faces[i]] += s.skin.steep[i]
	}
	for i := s.tubes.planeLone[k]; i < s.tubes.planeLone[k+1]; i++ {
		more[s.touchedBy.lone[i]] += s.tubes.slices[s.tubes.lone[i].slice].u
	}
	for at := s.tubes.planeLinks[k]; at < s.tubes.planeLinks[k+1]; at++ {
		l := &s.tubes.links[s.tubes.byPlane[at]]
		sl := &s.tubes.slices[l.slice]
		more[s.touchedBy.links[at]] += 2 * (l.share*math.Max(math.E*sl.u, sl.steep) + math.Abs(l.side[0])*sl.way[0] + math.Abs(l.side[1])*sl.way[1])
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
	n := s.net
	touched := s.touched[s.planeTouched[k]:s.planeTouched[k+1]]
	if n.stale[k] {
		n.rowsPlane(k)
		n.stale[k] = false
		for i := range touched {
			touched[i].row = 2 * n.row(int(touched[i].cell))
		}
	}
	s.gatherPlane(k)
	more := s.more[s.planeTouched[k]:][:len(touched)]
	most := n.most[k]
	for i := range touched {
		if v := (touched[i].row + more[i]) * touched[i].per; v > most {
			most = v
		}
	}
	s.errs[k] = most
}

// touched is a cell with a free face or a tube.
type touched struct {
	cell int32
	row  float64 // W/K, twice the sum of its links
	per  float64 // K/J, the largest change of temperature for each joule
}

// layTouched lists the cells with a free face or a tube, by plane, and for each face, link and lone slice its cell's place
// in that list.
func (s *solver) layTouched() {
	b, n := s.b, s.net
	at := make([]int32, b.n) // 1 + the cell's place
	s.planeTouched = make([]int, b.nz+1)
	s.touchedBy.faces = make([]int32, len(b.faces))
	s.touchedBy.links, s.touchedBy.lone = make([]int32, len(s.tubes.byPlane)), make([]int32, len(s.tubes.lone))
	place := func(c int32) int32 {
		if at[c] == 0 {
			s.touched = append(s.touched, touched{cell: c, per: float64(b.minv[c]) * n.ratio[b.medium[c]]})
			at[c] = int32(len(s.touched))
		}
		return at[c] - 1
	}
	for k := range b.nz {
		for i := b.planeFaces[k]; i < b.planeFaces[k+1]; i++ {
			s.touchedBy.faces[i] = place(b.faces[i].cell)
		}
		for i := s.tubes.planeLinks[k]; i < s.tubes.planeLinks[k+1]; i++ {
			s.touchedBy.links[i] = place(s.tubes.links[s.tubes.byPlane[i]].cell)
		}
		for i := s.tubes.planeLone[k]; i < s.tubes.planeLone[k+1]; i++ {
			s.touchedBy.lone[i] = place(s.tubes.lone[i].cell)
		}
		s.planeTouched[k+1] = len(s.touched)
	}
	s.more = make([]float64, len(s.touched))
}
