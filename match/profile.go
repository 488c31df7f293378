package match

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// bend compares the straight-line picture of each parameter with the truth and takes a profile where they differ.
//
// Where the picture holds, 2F rises by z² when a parameter is moved by z standard deviations and the others follow as
// their covariance says. It is looked at for z = ±2: a rise outside 3 to 5.3 (z from 1.73 to 2.31), a place without a
// value or a bound in between make the parameter bent, and its interval is then taken from its profile. The limits
// are our own choice.
func (out *Result) bend(ctx context.Context, m *model, sol Solution) error {
	if m.opt.Straight {
		return nil
	}
	n := len(m.problem.Parameters)
	l := likelihood{groups: m.groups, r: sol.Differences, cols: sol.Columns, priors: m.priors(), x: sol.X}
	cov, _ := l.moments()
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
			e.Bent = e.Bent || !(rise > 3 && rise < 5.3)
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
// of the noise stay as found; what their uncertainty adds to the straight-line variance widens the profile alike.
//
// Source: D. M. Bates, D. G. Watts, "Nonlinear Regression Analysis and Its Applications", Wiley 1988, 6.1.2 (profile t).
func (out *Result) profile(ctx context.Context, m *model, sol Solution, cov [][]float64, j int) error {
	e := &out.Estimates[j]
	p := &m.problem.Parameters[j]
	sd := math.Sqrt(cov[j][j])
	growth := max(e.SD/sd, 1)
	limit := student(e.Freedom) * growth
	e.Profiled = true
	points := [2][]OnCurve{}
	ends := [2]float64{e.Lower, e.Upper}
	stops := [2]bool{}
	for side, sign := range [2]float64{-1, 1} {
		x := sol.X
		bound := p.Lower
		if sign > 0 {
			bound = p.Upper
		}
		at, z, reach := e.Value, 0.0, 1.0 // z is √rise
		for range 8 {
			next := e.Value + sign*reach*sd
			held := sign*(next-bound) >= 0
			if held {
				next = bound
			}
			if next == at {
				stops[side], ends[side] = true, bound
				break
			}
			rise, near, err := m.least(ctx, x, cov, j, next, sol.Cost)
			if err != nil {
				return err
			}
			now := math.Sqrt(max(rise, 0))
			points[side] = append(points[side], OnCurve{next, rise})
			if now >= limit {
				f := (limit - z) / (now - z)
				if math.IsInf(now, 1) { // no value beyond: half way
					f = 0.5
				}
				ends[side] = at + f*(next-at)
				break
			}
			if held {
				stops[side], ends[side] = true, bound
				break
			}
			if now > 0.05 && near != nil { // as far on as a straight line through zero asks for, but not too far
				x = near
				reach = min(max(reach*limit/now*1.05, reach*1.15), reach*2.5)
			} else {
				reach *= 2
			}
			at, z = next, now
			ends[side] = next
		}
	}
	e.Lower, e.Upper = ends[0], ends[1]
	e.LowerStops, e.UpperStops = stops[0], stops[1]
	for i := len(points[0]) - 1; i >= 0; i-- {
		e.Profile = append(e.Profile, points[0][i])
	}
	e.Profile = append(append(e.Profile, OnCurve{e.Value, 0}), points[1]...)
	return nil
}

// least is the rise of 2F at its least with parameter j held; an infinite one where there is no value.
func (m *model) least(ctx context.Context, x []float64, cov [][]float64, j int, at, base float64) (rise float64, where []float64, err error) {
	start, _ := m.along(x, cov, j, at-x[j])
	start[j] = at
	f := m.fitting(start, Tolerances{Gain: 0.02, Reduction: 1e-3, Move: 1e-4})
	f.Forward, f.Most = true, 8
	var reduced Fitting = f
	reduced.Start = without(f.Start, j)
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
	if len(reduced.Start) == 0 {
		c, err := m.cost(ctx, []float64{at})
		if errors.Is(err, ErrNoValue) {
			return math.Inf(1), nil, nil
		}
		return 2 * (c - base), []float64{at}, err
	}
	s, err := Fit(ctx, reduced)
	if errors.Is(err, ErrNoValue) {
		return math.Inf(1), nil, nil
	}
	if err != nil {
		return 0, nil, err
	}
	return 2 * (s.Cost + extra - base), whole(s.X), nil
}

func without(v []float64, j int) []float64 {
	return append(append([]float64(nil), v[:j]...), v[j+1:]...)
}
