package match

import (
	"context"
	"math"
	"slices"
)

// refine goes on from a valley with fine steps in time: it fits anew, takes central differences over about a standard
// deviation, and settles on these; where that has moved a parameter by more than its standard deviation, once
// more.
func (m *model) refine(ctx context.Context, from settled) (settled, error) {
	m.restore(from)
	known := from.Solution
	known.Differences = nil // they were computed with coarser steps
	m.sd = m.deviations(from.Solution)
	f := m.fitting(from.X, fine)
	f.Forward, f.Update, f.From = true, true, &known
	sol, err := Fit(ctx, f)
	if err != nil {
		return settled{Solution: sol}, err
	}
	now := m.stand(sol)
	for range 2 {
		m.sd = m.deviations(now.Solution)
		before := now.X
		sol, err := m.central(ctx, now.Solution)
		if err != nil {
			return now, err
		}
		if now, err = m.settle(ctx, sol, fine); err != nil {
			return now, err
		}
		moved := 0.0
		for j, sd := range m.deviations(now.Solution) {
			moved = max(moved, math.Abs(now.X[j]-before[j])/sd)
		}
		if moved < 1 {
			break
		}
	}
	return now, nil
}

// deviations are the standard deviations of the parameters in the linear picture, with the noise as it stands.
func (m *model) deviations(s Solution) []float64 {
	cov, _ := m.likelihoodAt(s).moments()
	sd := make([]float64, len(m.problem.Parameters))
	for j := range sd {
		sd[j] = math.Sqrt(cov[j][j])
	}
	return sd
}

// central takes central differences at a solution.
func (m *model) central(ctx context.Context, at Solution) (Solution, error) {
	s, err := newSearch(m.fitting(at.X, fine))
	if err != nil {
		return at, err
	}
	s.r, s.w, s.central = at.Differences, s.weighed(at.Differences, at.X), true
	if err := s.derive(ctx); err != nil {
		return at, err
	}
	at.Columns = s.raw
	return at, nil
}

// loosen has runs computed with steps in time that are ten times less exact, or as exact as fits need.
func (m *model) loosen(yes bool) {
	for i := range m.trials {
		m.trials[i].loose = yes
	}
}

// search finds the valleys from which to settle, each with the noise that stands beside it: with the noise as guessed,
// and by plain weighted least squares. others are the ends of descents elsewhere.
func (m *model) search(ctx context.Context, x []float64) (from []settled, others []Solution, err error) {
	n := len(m.problem.Parameters)
	f := m.fitting(x, rough)
	f.Forward, f.Update = true, true
	points := m.opt.Starts
	if points == 0 {
		points = 4 + 4*n
	}
	descents := m.opt.Descents
	if descents == 0 {
		descents = 2
	}
	g := Search{Points: max(points, 0), Descents: descents, Seed: m.opt.Seed, Vary: n}
	guessed, others, err := FitFrom(ctx, f, g)
	if err != nil {
		return []settled{{Solution: guessed}}, nil, err
	}
	f.Weigh, g.Descents = m.plain, 1
	plain, _, err := FitFrom(ctx, f, g)
	if err != nil {
		return []settled{{Solution: guessed}}, nil, err
	}
	return []settled{m.stand(guessed), m.stand(plain)}, others, nil
}

// elsewhere keeps of other ends of the search those that are no part of the valley of the solution: to which F would
// rise by more than 8, four standard deviations, if the run were linear. Their F is of the noise as it stands, and above
// the solution's by as much as by the coarser steps in time of the search, of whose best end from is.
func (m *model) elsewhere(s, from Solution, others []Solution) []Solution {
	cost := func(o Solution) float64 {
		w := slices.Clone(o.Differences)
		weighAll(m.groups, [][]float64{w})
		for _, p := range m.priors() {
			w = append(w, (o.X[p.Index]-p.Mean)/p.SD)
		}
		return half(w)
	}
	var out []Solution
	for _, o := range others {
		if m.apart(s, o.X) >= 8 {
			o.Cost = s.Cost + cost(o) - cost(from)
			out = append(out, o)
		}
	}
	return out
}
