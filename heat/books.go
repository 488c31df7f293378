package heat

import (
	"math"

	"emberbank/duty"
	"emberbank/receiver"
)

// ledger balances the books at the moment in hand, at which the body holds now and which lies at the fraction x of the last
// step: 1 at its end.
func (r *recorder) ledger(now content, x float64) (l Ledger) {
	m, s := r.m, r.m.s
	l.Absorbed, l.Electric, l.Generated = r.passed(s.r.absorbed, x), r.passed(s.r.electric, x), r.passed(s.r.generated, x)
	l.Glass = r.paneLight
	if p := m.skin.pane; p != nil && x < 1 {
		l.Glass -= (1 - x) * p.absorbed * m.last.tau
	}
	l.Stored = now.total() - r.start.total()
	l.Latent = now.latent - r.start.latent
	for i := range now.roles {
		if r.tally.has[i] {
			l.StoredBy = append(l.StoredBy, Share{receiver.Role(i).String(), now.roles[i] - r.start.roles[i]})
		}
	}
	if m.skin.pane != nil {
		l.StoredBy = append(l.StoredBy, Share{"glass", now.pane - r.start.pane})
	}
	if len(m.streams) > 0 {
		l.StoredBy = append(l.StoredBy, Share{"water in the tubes", now.water - r.start.water})
	}
	by := make([]float64, len(m.b.rec.Passes))
	for i := range m.tubes.slices {
		by[m.tubes.slices[i].pass] += r.passed(s.r.slices+i, x)
	}
	for i := range by {
		l.ByPass = append(l.ByPass, Share{m.b.rec.Passes[i].Name, by[i]})
		l.ToPasses += by[i]
	}
	for i := range m.streams {
		carried := r.carried(i, x)
		l.ByCircuit = append(l.ByCircuit, Share{m.b.rec.Circuits[i].Name, carried})
		l.Carried += carried
	}
	toOutside := l.Carried
	for _, i := range m.tubes.fixed {
		toOutside += r.passed(s.r.slices+i, x)
	}
	for path := range s.r.absorbed {
		if m.hasPath(path) {
			lost := r.lostBy(path, x)
			l.ByPath = append(l.ByPath, Share{m.pathName(path), lost})
			l.Lost += lost
		}
	}
	l.Residual = l.Absorbed + l.Electric + l.Generated + l.Glass - l.Lost - toOutside - l.Stored
	if x < 1 {
		// Cells and rates are followed between the step's ends each by itself and meet only there. What they are apart between,
		// some hundredths of what the step moves, is counted to the block.
		apart := l.Residual - r.off
		l.Residual = r.off
		l.Stored += apart
		for i := range l.StoredBy {
			if l.StoredBy[i].Name == receiver.RoleBlock.String() {
				l.StoredBy[i].Amount += apart
			}
		}
	}
	return l
}

// passed returns the time integral of rate i since the start, in J, at the fraction x of the last step. Within the step it is a
// parabola, as the enthalpies are: its rates at the two ends lie as far from the mean as both agree on.
func (r *recorder) passed(i int, x float64) float64 {
	s, tau := r.m.s, r.m.last.tau
	if x >= 1 || !(tau > 0) {
		return r.m.total[i]
	}
	mean := s.aa[i] / tau
	bow, other := s.r0[i]-mean, mean-s.r1[i]
	switch {
	case bow*other <= 0:
		bow = 0
	case math.Abs(other) < math.Abs(bow):
		bow = other
	}
	return r.m.total[i] - (1-x)*(s.aa[i]-x*tau*bow)
}

// carried returns what circuit i has carried off, in J, at the fraction x of the last step: what its slices received and
// its water does not hold.
func (r *recorder) carried(i int, x float64) float64 {
	m, w := r.m, r.m.streams[i]
	if x >= 1 {
		return w.carried
	}
	later := w.content() - m.last.end.water[i] // J, given up by the water until the step's end
	if w.state == duty.Drained {
		later = 0
	}
	for _, si := range w.slices {
		k := m.s.r.slices + si
		later += m.total[k] - r.passed(k, x)
	}
	return w.carried - later
}
