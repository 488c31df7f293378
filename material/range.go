package material

import "math"

// Range returns the temperatures, in K, between which every curve of the medium holds: for a medium that melts
// the solid's curves count below the solidus and the melt's above the liquidus. Curves held on request
// (Hold) set no bound; where nothing does, the range is 0 to +Inf.
func (m *Medium) Range() (low, high float64) {
	low, high = 0, math.Inf(1)
	solid := []*Curve{&m.HeatCapacity, &m.Conductivity[0], &m.Conductivity[1], &m.Conductivity[2]}
	melt := []*Curve{&m.HeatCapacityMelted, &m.ConductivityMelted[0], &m.ConductivityMelted[1], &m.ConductivityMelted[2]}
	melts := m.Latent > 0
	for _, c := range solid {
		if c.Hold {
			continue
		}
		low = max(low, c.Min)
		if !melts || c.Max < m.Solidus-slack {
			high = min(high, c.Max)
		}
	}
	if !melts {
		return low, high
	}
	for _, c := range melt {
		switch {
		case c.Hold:
		case c.Min > m.Liquidus+slack: // a hole above the melting range: the medium is known only below it
			high = min(high, m.Liquidus)
		default:
			high = min(high, c.Max)
		}
	}
	return low, high
}

// slack is how far, in K, a table may end short of the melting range without that counting: tables print their
// melting points to a degree.
const slack = 1.0
