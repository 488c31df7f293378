package heat

import "emberbank/film"

// Glazing is the pane before a window as a coarser model needs it.
type Glazing struct {
	Capacity float64 // J/K
	Area     float64 // m², of the pane and of the faces behind it
	Radiates float64 // W/K⁴: Radiates (T⁴ − Tp⁴) flows from faces at T to a pane at Tp by radiation
}

// Glazing returns the pane, and whether there is one.
func (s *Still) Glazing() (g Glazing, glazed bool) {
	p, pt := s.m.skin.pane, s.m.windowPatch()
	if p == nil || pt == nil {
		return g, false
	}
	return Glazing{Capacity: p.capacity, Area: p.area, Radiates: p.area * gapEmissivity(p.win, pt) * film.StefanBoltzmann}, true
}

// windowPatch is the patch behind the window; nil where there is none.
func (m *march) windowPatch() *patch {
	for i := range m.b.patches {
		if m.b.patches[i].surface == nil {
			return &m.b.patches[i]
		}
	}
	return nil
}

// Gap returns the film coefficient in W/(m² K) of the air between the window's faces and its pane, at temperatures in K, the window
// tilted by so many rad. There must be a pane.
func (s *Still) Gap(tilt, face, pane float64) float64 {
	pt := s.m.windowPatch()
	return film.Gap(Weather{Tilt: tilt}.elevation(int(pt.side)), s.m.skin.pane.win.Glass.Gap, pt.height, face, pane).H
}

// Outward returns what a pane at T (K) gives to the outside in W. There must be a pane.
func (s *Still) Outward(w Weather, coverShut bool, T float64) float64 {
	p := s.m.skin.pane
	p.outside(w, coverShut, s.m.windowPatch(), T)
	q, _ := p.loss(T)
	return q
}

// HalfCells returns the conductance in W/K between the window's faces and the middles of the cells behind them, as these are set.
func (s *Still) HalfCells() float64 {
	sum := 0.0
	for i := range s.m.b.faces {
		if s.m.b.patches[s.m.b.faces[i].patch].surface == nil {
			sum += s.m.skin.half[i]
		}
	}
	return sum
}
