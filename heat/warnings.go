package heat

import (
	"fmt"
	"math"
)

func (m *march) warn(text string) {
	if !m.warned[text] {
		m.warned[text] = true
		m.warnings = append(m.warnings, text)
	}
}

// warnFilms says, once each, where a film's correlation was used outside its range, as soon as it matters.
func (m *march) warnFilms() {
	if m.told.films == nil {
		m.told.films = make([]bool, len(m.skin.conds))
		m.told.boils = make([]bool, len(m.streams))
	}
	once := func(told *bool, now bool) bool {
		first := now && !*told
		*told = *told || now
		return first
	}
	for i := range m.skin.conds {
		c := &m.skin.conds[i]
		if once(&m.told.films[i], c.outside && math.Abs(m.skin.mean[i]-c.air) > mattersK) {
			m.warn(fmt.Sprintf("the film on %s lies outside the range of its correlation: take it with a factor of two of uncertainty", c.name))
		}
	}
	for i, w := range m.streams {
		if once(&m.told.boils[i], w.boiled) {
			m.warn(fmt.Sprintf("the water of circuit %s boils: films by %v, dry-out by %v, on a dry wall by %v, friction by %v (others under correlations: in the run file)",
				m.b.rec.Circuits[i].Name, m.p.Laws.Boiling, m.p.Laws.DryOut, m.p.Laws.Mist, m.p.Laws.Friction))
		}
	}
}

// mattersK is the difference between a face and the air, in K, below which its film carries so little that its
// range does not matter.
const mattersK = 10
