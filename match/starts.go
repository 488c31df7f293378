package match

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
)

// Spread returns n points that fill the unit cube of so many dimensions evenly: Halton's sequence with a prime base
// for each dimension, shifted around the unit interval by an amount drawn from the seed (seed 0: not shifted).
//
// Source: J. H. Halton, "On the efficiency of certain quasi-random sequences of points in evaluating
// multi-dimensional integrals", Numerische Mathematik 2 (1960) 84-90; the shift: R. Cranley, T. N. L. Patterson,
// "Randomization of number theoretic methods for multiple integration", SIAM J. Numer. Anal. 13 (1976) 904-914.
func Spread(n, dimensions int, seed uint64) [][]float64 {
	shift := make([]float64, dimensions)
	if seed != 0 {
		r := rand.New(rand.NewPCG(seed, 1))
		for d := range shift {
			shift[d] = r.Float64()
		}
	}
	bases := primes(dimensions)
	points := make([][]float64, n)
	for i := range points {
		points[i] = make([]float64, dimensions)
		for d, b := range bases {
			u := mirrored(i+1, b) + shift[d]
			points[i][d] = u - math.Floor(u)
		}
	}
	return points
}

// mirrored writes i in a base and mirrors its digits at the point.
func mirrored(i, base int) float64 {
	f, out := 1.0, 0.0
	for ; i > 0; i /= base {
		f /= float64(base)
		out += f * float64(i%base)
	}
	return out
}

func primes(n int) []int {
	var out []int
	for c := 2; len(out) < n; c++ {
		prime := true
		for _, p := range out {
			prime = prime && c%p != 0
		}
		if prime {
			out = append(out, c)
		}
	}
	return out
}

// Search is a global fit: a spread of starts within the bounds, and a Fit from the best of them.
type Search struct {
	Points   int    // starts beside the given one; 0: none
	Descents int    // fits, from the best starts that lie apart; 0: one
	Seed     uint64 // shifts the spread
	Vary     int    // the spread varies so many leading parameters, the others stay as given; 0: all
	// Rough ends the descents before the last; the best of them is then fitted by Fitting.Stop. Zero values: as there.
	Rough Tolerances
}

// start is a point with its F; an infinite F where there is no value.
type start struct {
	x    []float64
	cost float64
}

// FitFrom is Fit from the best valley that a spread of starts finds. Every parameter needs finite bounds where there
// are starts. The given start always takes part. The answer holds the best solution; other lists the ends of the
// other descents that lie elsewhere, best first, with their F, so that a second valley does not go unseen. On cancel
// it returns the best so far of all descents with an error that wraps ctx.Err(), without others.
func FitFrom(ctx context.Context, f Fitting, g Search) (best Solution, other []Solution, err error) {
	if g.Points <= 0 {
		best, err = Fit(ctx, f)
		return best, nil, err
	}
	list, runs, err := starts(ctx, f, g)
	if err != nil {
		return Solution{}, nil, err
	}
	rough := f
	if g.Rough != (Tolerances{}) {
		rough.Stop = g.Rough
	}
	var ends []Solution
	for _, s := range apart(f, list, max(g.Descents, 1)) {
		rough.Start = s.x
		end, err := Fit(ctx, rough)
		runs += end.Evaluations
		if err != nil && !errors.Is(err, ErrNoValue) {
			return least(append(ends, end)), nil, err
		}
		if err == nil {
			ends = append(ends, end)
		}
	}
	if len(ends) == 0 {
		return Solution{}, nil, fmt.Errorf("fitting: none of %d starts leads anywhere: %w", len(list), ErrNoValue)
	}
	sort.SliceStable(ends, func(i, j int) bool { return ends[i].Cost < ends[j].Cost })
	best = ends[0]
	if rough.Stop != f.Stop {
		f.Start = best.X
		best, err = Fit(ctx, f)
		runs += best.Evaluations
	}
	if err != nil {
		return least(append(ends, best)), nil, err
	}
	best.Evaluations = runs
	for _, e := range ends[1:] {
		if away(f, e.X, best.X) > 0.02 {
			other = append(other, e)
		}
	}
	return best, other, nil
}

// least is the solution with the least F of those that came to one; the last where none did.
func least(ends []Solution) Solution {
	out := ends[len(ends)-1]
	for _, e := range ends {
		if e.found() && (!out.found() || e.Cost < out.Cost) {
			out = e
		}
	}
	return out
}

// starts evaluates the given start and the spread, and returns them with rising F.
func starts(ctx context.Context, f Fitting, g Search) ([]start, int, error) {
	s, err := newSearch(f)
	if err != nil {
		return nil, 0, err
	}
	vary := len(s.x)
	if g.Vary > 0 {
		vary = g.Vary
	}
	for j := range vary {
		if lo, hi := s.bounds(j); math.IsInf(lo, 0) || math.IsInf(hi, 0) {
			return nil, 0, fmt.Errorf("fitting: parameter %d has no finite bounds, which starts need", j+1)
		}
	}
	list := []start{{x: append([]float64(nil), s.x...)}}
	for _, u := range Spread(g.Points, vary, g.Seed) {
		x := append([]float64(nil), s.x...)
		for j := range u {
			lo, hi := s.bounds(j)
			x[j] = within(u[j], lo, hi)
		}
		list = append(list, start{x: x})
	}
	errs := make([]error, len(list))
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	each(max(f.Workers, 1), len(list), func(i int) {
		if errs[i] = ctx.Err(); errs[i] != nil {
			return
		}
		list[i].cost = math.Inf(1)
		r, err := f.Of(ctx, append([]float64(nil), list[i].x...))
		if err == nil {
			if c := half(s.weighed(r, list[i].x)); !math.IsNaN(c) {
				list[i].cost = c
			}
		} else if !errors.Is(err, ErrNoValue) {
			errs[i] = err
			cancel()
		}
	})
	if err := First(errs); err != nil {
		return nil, len(list), err
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].cost < list[j].cost })
	return list, len(list), nil
}

// within maps the unit interval to lo..hi: evenly in the logarithm where the bounds are above zero and a factor of ten
// or more apart.
func within(u, lo, hi float64) float64 {
	if lo > 0 && hi/lo >= 10 {
		return lo * math.Pow(hi/lo, u)
	}
	return lo + u*(hi-lo)
}

// away is the distance of two points as a share of the bounds' width, the largest over the parameters.
func away(f Fitting, a, b []float64) float64 {
	d := 0.0
	for j := range a {
		lo, hi := f.Lower[j], f.Upper[j]
		if lo > 0 && hi/lo >= 10 {
			d = max(d, math.Abs(math.Log(a[j]/b[j]))/math.Log(hi/lo))
		} else {
			d = max(d, math.Abs(a[j]-b[j])/(hi-lo))
		}
	}
	return d
}

// apart picks the n best starts that are at least a fifth of the bounds' width from each better one.
func apart(f Fitting, list []start, n int) []start {
	var out []start
	for _, s := range list {
		if math.IsInf(s.cost, 1) {
			break
		}
		near := false
		for _, o := range out {
			near = near || away(f, s.x, o.x) < 0.2
		}
		if !near {
			out = append(out, s)
		}
		if len(out) == n {
			break
		}
	}
	return out
}
