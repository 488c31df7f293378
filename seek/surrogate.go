package seek

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sort"

	"emberbank/sample"
)

// Surrogate is a search for runs that are dear. After points that fill the space evenly (Sobol, scrambled by the seed), it
// lays a process through each aim and each constraint, and asks for the point where
//
//	expected improvement × probability that all constraints are met × probability that the variant does not fail
//
// is largest; with two aims the improvement is the growth of the area that the front dominates. While nothing meets the
// constraints it asks where that is most probable. Further points of the same asking, and those that are pending, are
// taken to give what is expected of them.
//
// The work of asking grows with the third power of the number of variants told; beyond some three hundred, a direct search
// or a narrower problem serves better.
//
// Source: Jones, Schonlau & Welch 1998 (expected improvement); M. Schonlau, W. J. Welch, D. R. Jones, IMS Lecture Notes 34
// (1998) 11-25, and J. R. Gardner et al., ICML, PMLR 32 (2014) 937-945 (constraints); D. Ginsbourger, R. Le Riche, L. Carraro, in
// Computational Intelligence in Expensive Optimization Problems, Springer (2010) 131-162 (several points at once).
type Surrogate struct {
	ledger
	fill *sample.Sobol
}

// NewSurrogate returns a search that has been told nothing.
func NewSurrogate(p Problem) (*Surrogate, error) {
	l, err := newLedger(p)
	if err != nil {
		return nil, err
	}
	if l.problem.Start == 0 {
		l.problem.Start = 4*len(p.Axes) + 4
	}
	fill, err := sample.NewSobol(len(p.Axes), p.Seed^0x5eed)
	if err != nil {
		return nil, fmt.Errorf("search: %w", err)
	}
	return &Surrogate{l, fill}, nil
}

// Ask returns up to n points to be run next.
func (s *Surrogate) Ask(n int) (Asked, error) {
	if n < 1 {
		return Asked{}, fmt.Errorf("search: at least one point is asked for, not %d", n)
	}
	out := Asked{Promise: math.NaN()}
	add := func(x []float64) {
		s.ask(x)
		out.Points = append(out.Points, x)
	}
	for _, x := range s.filling(s.problem.Start) {
		if len(out.Points) < n && !s.known(x) {
			add(x)
		}
	}
	var m *models
	for len(out.Points) < n {
		if m == nil {
			m = s.models()
		}
		if m == nil { // too little is known: fill the space further
			more := s.filling(len(s.told) + len(s.pending) + 1)
			i := slices.IndexFunc(more, func(x []float64) bool { return !s.known(x) })
			if i < 0 {
				break
			}
			add(more[i])
			continue
		}
		x, promise := s.climb(m)
		if x == nil {
			break
		}
		if len(out.Points) == 0 && m.anyMet {
			out.Promise = promise
		}
		add(x)
		m.believe(x)
	}
	return out, nil
}

// filling returns the first n different points that fill the space; fewer where it has no more.
func (s *Surrogate) filling(n int) [][]float64 {
	var out [][]float64
	seen := map[string]bool{}
	u := make([]float64, len(s.problem.Axes))
	for i := 0; len(out) < n && i < 20*n+200; i++ {
		s.fill.At(int64(i), u)
		x := s.problem.point(u)
		if k := key(x); !seen[k] {
			seen[k] = true
			out = append(out, x)
		}
	}
	return out
}

type candidate struct {
	u     []float64
	worth float64
}

// climb returns the point of the largest worth: the best of many points, spread evenly and around the best variants, and
// from the best of those by steps along the axes that halve. nil: every point is known.
func (s *Surrogate) climb(m *models) ([]float64, float64) {
	d := len(s.problem.Axes)
	round := uint64(len(s.told) + len(s.pending))
	spread, err := sample.NewSobol(d, s.problem.Seed^mixed(round))
	if err != nil {
		return nil, 0
	}
	r := rand.New(rand.NewPCG(s.problem.Seed, round))
	var list []candidate
	u := make([]float64, d)
	try := func(u []float64) {
		if x := s.problem.point(u); !s.known(x) {
			w, _ := m.worth(s.problem.place(x))
			list = append(list, candidate{slices.Clone(u), w})
		}
	}
	for i := range min(200+200*d, 1500) {
		spread.At(int64(i), u)
		try(u)
	}
	for _, t := range s.Best().Front {
		for _, width := range []float64{0.1, 0.03, 0.01} {
			for range 8 {
				for i, a := range s.problem.Axes {
					u[i] = min(max(a.unplace(t.At[i])+width*r.NormFloat64(), 0), 1)
					if a.Kind == Choice && r.Float64() < 0.2 {
						u[i] = r.Float64()
					}
				}
				try(u)
			}
		}
		if len(list) > 4000 {
			break
		}
	}
	if len(list) == 0 {
		return nil, 0
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].worth > list[j].worth })
	best := list[0]
	for _, c := range list[:min(4, len(list))] {
		if c = s.polish(m, c); c.worth > best.worth {
			best = c
		}
	}
	x := s.problem.point(best.u)
	_, promise := m.worth(s.problem.place(x))
	return x, promise
}

// polish climbs from a candidate by steps along the axes.
func (s *Surrogate) polish(m *models, c candidate) candidate {
	u := slices.Clone(c.u)
	for step := 0.08; step > 2e-4; {
		moved := false
		for i := range u {
			for _, way := range []float64{step, -step} {
				was := u[i]
				u[i] = min(max(was+way, 0), 1)
				x := s.problem.point(u)
				if !s.known(x) {
					if w, _ := m.worth(s.problem.place(x)); w > c.worth+1e-9 {
						c.worth, moved = w, true
						break
					}
				}
				u[i] = was
			}
		}
		if !moved {
			step /= 2
		}
	}
	c.u = u
	return c
}

// mixed spreads a small number over all bits.
func mixed(z uint64) uint64 { return (z + 1) * 0x9e3779b97f4a7c15 }
