package match

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// settled is where parameters and sizes of the noise have come to together.
type settled struct {
	Solution
	noise []float64 // ln φ
	r     float64   // R, see knobs
}

// alternations is how often at most parameters and noise are found in turn, and backs how often one is drawn back.
const (
	alternations = 10
	backs        = 3
)

// settle finds parameters and sizes of the noise that make R least, from a solution and the noise as it stands: the
// sizes by R in the linear picture, which costs no run, then the parameters by least squares weighed with them. Each
// such pair of steps counts only if R itself, at the new parameters and with their derivatives, has fallen: where the
// linear picture has promised too much, the sizes go back half way (in their logarithms) and the parameters are fitted
// again; three times in vain, and the alternation ends where it was. So R never rises, and both halves go down the same
// hill. It ends where a pair gains less than 0.05. The noise of the groups is left as found.
func (m *model) settle(ctx context.Context, from Solution, stop Tolerances) (settled, error) {
	now := m.stand(from)
	for range alternations {
		l := m.likelihoodAt(now.Solution)
		l.tune()
		aim := l.settings()
		next, fell := now, false
		for range 1 + backs {
			l.set(aim)
			f := m.fitting(now.X, stop)
			f.Forward, f.Update, f.From = true, true, &now.Solution
			sol, err := Fit(ctx, f)
			if err != nil {
				return settled{Solution: sol, noise: aim}, err
			}
			next = m.stand(sol)
			if next.r < now.r {
				fell = true
				break
			}
			if next.r < now.r+stop.Rough { // nothing is to be had that F could tell
				break
			}
			for i := range aim {
				aim[i] = 0.5 * (aim[i] + now.noise[i])
			}
		}
		if !fell {
			l.set(now.noise)
			break
		}
		gained := now.r - next.r
		now = next
		if gained < 0.05 {
			break
		}
	}
	return now, nil
}

// stand is a solution with the noise as it stands.
func (m *model) stand(s Solution) settled {
	l := m.likelihoodAt(s)
	return settled{s, l.settings(), l.here()}
}

// restore puts the noise back to what it was there.
func (m *model) restore(s settled) {
	l := likelihood{knobs: knobs(m.groups)}
	l.set(s.noise)
}

// best settles from each of several solutions, from the noise that stands beside it, and returns the one with the
// least R; on cancel that of those which it has settled from, or else the one on its way. Of solutions that lie close to a better one (half of |W J Δx|² below 0.1) only that one is followed.
func (m *model) best(ctx context.Context, from []settled, stop Tolerances) (settled, error) {
	slices.SortStableFunc(from, func(a, b settled) int { return cmp.Compare(a.r, b.r) })
	var ends []settled
	for i, s := range from {
		m.restore(s)
		if slices.ContainsFunc(from[:i], func(o settled) bool { return m.apart(o.Solution, s.X) < 0.1 }) {
			continue
		}
		end, err := m.settle(ctx, s.Solution, stop)
		if err != nil {
			if len(ends) > 0 { // one that stands, and not one that was on its way
				end = leastOf(ends)
			}
			return end, err
		}
		ends = append(ends, end)
	}
	out := leastOf(ends)
	m.restore(out)
	return out, nil
}

func leastOf(ends []settled) settled {
	return slices.MinFunc(ends, func(a, b settled) int { return cmp.Compare(a.r, b.r) })
}

// apart is by how much F would rise from a solution to x in the linear picture, with the noise as it stands.
func (m *model) apart(s Solution, x []float64) float64 {
	d := make([]float64, len(s.Differences))
	for j, c := range s.Columns {
		for i, v := range c {
			d[i] += v * (x[j] - s.X[j])
		}
	}
	weighAll(m.groups, [][]float64{d})
	for _, p := range m.priors() {
		d = append(d, (x[p.Index]-s.X[p.Index])/p.SD)
	}
	return half(d)
}

// plain weighs each column by its guessed departure alone, as if all differences were independent: plain weighted
// least squares, which sees a departure that lasts over the whole trial as what it is.
func (m *model) plain(vectors [][]float64) {
	for _, g := range m.groups {
		for t := range g.trials {
			for _, at := range g.trials[t].entries {
				for _, e := range at {
					w := 1 / math.Hypot(g.stated[e.column], g.guess(e.column))
					for _, v := range vectors {
						v[e.at] *= w
					}
				}
			}
		}
	}
}
