package match

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
)

// bend compares the straight-line picture of each parameter with the truth and takes a profile where they differ.
//
// Where the picture holds, 2F rises by z² when a parameter is moved by z standard deviations and the others follow as
// their covariance says. It is looked at for z = ±2: a rise outside 2.6 to 6 (z from 1.6 to 2.45; F is rough, see
// roughness), a place without a
// value or a bound in between make the parameter bent, and its interval is then taken from its profile. The limits
// are our own choice.
func (out *Result) bend(ctx context.Context, m *model, sol Solution) error {
	if m.opt.Straight {
		return nil
	}
	n := len(m.problem.Parameters)
	cov, _ := m.likelihoodAt(sol).moments()
	rises := make([]float64, 2*n)
	errs := make([]error, 2*n)
	each(max(m.opt.Workers, 1), 2*n, func(i int) {
		j, z := i/2, 4*float64(i%2)-2
		x, inside := m.along(sol.X, cov, j, z*math.Sqrt(cov[j][j]))
		if !inside {
			rises[i] = math.Inf(1)
			return
		}
		f, err := m.cost(ctx, x)
		if errors.Is(err, ErrNoValue) {
			f, err = math.Inf(1), nil
		}
		rises[i], errs[i] = 2*(f-sol.Cost), err
	})
	if err := First(errs); err != nil {
		return err
	}
	for j := range n {
		e := &out.Estimates[j]
		for _, rise := range rises[2*j : 2*j+2] {
			e.Bent = e.Bent || !(rise > 2.6 && rise < 6)
		}
		if e.Bent || m.opt.Profiles {
			if err := out.profile(ctx, m, sol, cov, j); err != nil {
				return fmt.Errorf("profile of %s: %w", e.Name, err)
			}
		}
	}
	return nil
}

// along moves parameter j by a distance, the others as the covariance says; false where a bound lies between.
func (m *model) along(at []float64, cov [][]float64, j int, by float64) (x []float64, inside bool) {
	x, inside = append([]float64(nil), at...), true
	for o := range x {
		x[o] += cov[o][j] / cov[j][j] * by
		if o < len(m.problem.Parameters) {
			p := &m.problem.Parameters[o]
			if x[o] < p.Lower || x[o] > p.Upper {
				inside = false
				x[o] = min(max(x[o], p.Lower), p.Upper)
			}
		}
	}
	return x, inside
}

// cost is F at x with the noise as it stands.
func (m *model) cost(ctx context.Context, x []float64) (float64, error) {
	r, err := m.differences(ctx, x)
	if err != nil {
		return 0, err
	}
	weighAll(m.groups, [][]float64{r})
	for _, p := range m.priors() {
		r = append(r, (x[p.Index]-p.Mean)/p.SD)
	}
	return half(r), nil
}

// profile follows the least 2F over the other parameters while parameter j is held at distances from the estimate, and
// takes the interval where it has risen by t², the square of Student's factor of the straight-line interval. The sizes
// of the noise stay as found; what their uncertainty adds to the straight-line variance widens the profile alike. Each
// side begins two standard deviations off, where bend has looked; within a seventh of the limit the end is read off a
// parabola through the estimate, which it leaves with the slope of the straight-line picture.
//
// Source: D. M. Bates, D. G. Watts, "Nonlinear Regression Analysis and Its Applications", Wiley 1988, 6.1.2 (profile t).
func (out *Result) profile(ctx context.Context, m *model, sol Solution, cov [][]float64, j int) error {
	e := &out.Estimates[j]
	p := &m.problem.Parameters[j]
	sd := math.Sqrt(cov[j][j])
	limit := student(e.Freedom) * max(e.SD/sd, 1)
	e.Profiled = true
	sides := [2]side{}
	errs := [2]error{}
	each(min(max(m.opt.Workers, 1), 2), 2, func(i int) {
		if i == 0 {
			sides[0], errs[0] = m.follow(ctx, sol, cov, j, -sd, p.Lower, limit)
		} else {
			sides[1], errs[1] = m.follow(ctx, sol, cov, j, sd, p.Upper, limit)
		}
	})
	if err := First(errs[:]); err != nil {
		return err
	}
	e.Lower, e.Upper = sides[0].end, sides[1].end
	e.LowerStops, e.UpperStops = sides[0].stops, sides[1].stops
	slices.Reverse(sides[0].points)
	e.Profile = append(append(sides[0].points, OnCurve{e.Value, 0}), sides[1].points...)
	return nil
}

// side is one half of a profile.
type side struct {
	points []OnCurve
	end    float64 // where 2F has risen to the limit, or the bound
	stops  bool    // at the bound
}

// follow goes from the estimate by sd, a standard deviation with the sign of the side, again and again until √(2F) has
// risen by the limit or the bound is reached.
func (m *model) follow(ctx context.Context, sol Solution, cov [][]float64, j int, sd, bound, limit float64) (s side, err error) {
	value := sol.X[j]
	near := sol
	at, z, reach := value, 0.0, 2.0 // z is √rise
	for range 8 {
		next := value + reach*sd
		held := (next-bound)*sd >= 0
		if held {
			next = bound
		}
		if next == at {
			s.end, s.stops = bound, true
			return s, nil
		}
		there, rise, err := m.least(ctx, sol, near, cov, j, next)
		if err != nil {
			return s, err
		}
		now := math.Sqrt(max(rise, 0))
		s.points = append(s.points, OnCurve{next, rise})
		off := math.Abs(now-limit) < limit/7
		switch {
		case math.IsInf(now, 1): // no value beyond: half way
			s.end = 0.5 * (at + next)
			return s, nil
		case now >= limit && (z > 0 || off) || off:
			s.end = value + sd*reached(limit, at, z, next, now, value, sd)
			if (s.end-bound)*sd >= 0 {
				s.end, s.stops = bound, true
			}
			return s, nil
		case held && now < limit:
			s.end, s.stops = bound, true
			return s, nil
		case now >= limit: // the first point lies far beyond: look nearer by
			reach *= max(limit/now, 0.2)
			continue
		case now > 0.05: // as far on as a straight line through zero asks for, but not too far
			near = there
			reach = min(max(reach*limit/now*1.05, reach*1.15), reach*2.5)
		default:
			reach *= 2
		}
		at, z, s.end = next, now, next
	}
	return s, nil
}

// reached is how many standard deviations off z comes to the limit: on the straight line between the last two points,
// where both are known, else on the parabola through the last that leaves the estimate with a slope of one.
func reached(limit, at, z, next, now, value, sd float64) float64 {
	a := (next - value) / sd
	if z > 0 {
		b := (at - value) / sd
		return b + (limit-z)/(now-z)*(a-b)
	}
	c := (now - a) / (a * a) // z = a + c a²
	if root := 1 + 4*c*limit; root > 0 {
		return 2 * limit / (1 + math.Sqrt(root))
	}
	return a * limit / now
}

// least is where 2F is least with parameter j held at a place, and by how much it lies above the estimate's; an infinite
// rise where there is no value. The search begins near a place that is known and with the derivatives of the estimate.
func (m *model) least(ctx context.Context, sol, near Solution, cov [][]float64, j int, at float64) (where Solution, rise float64, err error) {
	start, _ := m.along(near.X, cov, j, at-near.X[j])
	start[j] = at
	f := m.fitting(start, Tolerances{Gain: 0.02, Reduction: 1e-3, Move: 1e-4, Rough: roughness})
	f.Forward, f.Update, f.Most = true, true, 8
	f.Lower, f.Upper = slices.Clone(f.Lower), slices.Clone(f.Upper)
	reduced := f
	reduced.Start, reduced.Linear = without(f.Start, j), append(append([]bool(nil), f.Linear[:j]...), f.Linear[j+1:]...)
	reduced.Lower, reduced.Upper, reduced.Step = without(f.Lower, j), without(f.Upper, j), without(f.Step, j)
	whole := func(y []float64) []float64 {
		x := append([]float64(nil), y[:j]...)
		return append(append(x, at), y[j:]...)
	}
	reduced.Of = func(ctx context.Context, y []float64) ([]float64, error) { return m.differences(ctx, whole(y)) }
	reduced.Priors = nil
	extra := 0.0
	for _, p := range f.Priors {
		switch {
		case p.Index == j:
			extra = half([]float64{(at - p.Mean) / p.SD})
		case p.Index > j:
			reduced.Priors = append(reduced.Priors, Prior{p.Index - 1, p.Mean, p.SD})
		default:
			reduced.Priors = append(reduced.Priors, p)
		}
	}
	nowhere := func(err error) (Solution, float64, error) {
		if errors.Is(err, ErrNoValue) {
			return near, math.Inf(1), nil
		}
		return near, 0, err
	}
	if len(reduced.Start) == 0 {
		c, err := m.cost(ctx, []float64{at})
		if err != nil {
			return nowhere(err)
		}
		return Solution{X: []float64{at}}, 2 * (c - sol.Cost), nil
	}
	reduced.From = &Solution{Columns: slices.Delete(slices.Clone(sol.Columns), j, j+1)}
	s, err := Fit(ctx, reduced)
	if err != nil {
		return nowhere(err)
	}
	return Solution{X: whole(s.X)}, 2 * (s.Cost + extra - sol.Cost), nil
}

func without(v []float64, j int) []float64 {
	return append(append([]float64(nil), v[:j]...), v[j+1:]...)
}
