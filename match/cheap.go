package match

import (
	"context"
	"errors"
	"math"
	"slices"
)

// What saves evaluations: derivatives that are corrected instead of taken anew, and steps that are not asked twice.

// correct changes the derivatives as little as can be so that they foretell what the step p has done:
//
//	J ← J + (r(x+p) − r(x) − J p) uᵀ/(uᵀp),   u_j = D_j² p_j
//
// u is zero for parameters whose derivatives never change; in the norm of the region no smaller change does it.
//
// Source: C. G. Broyden, "A class of methods for solving nonlinear simultaneous equations", Mathematics of Computation
// 19 (1965) 577-593; its scaling by D is our own.
func (s *search) correct(p, r, w []float64) {
	u, length := make([]float64, len(p)), 0.0
	for j := range p {
		if s.f.Linear == nil || !s.f.Linear[j] {
			u[j] = s.d[j] * s.d[j] * p[j]
			length += u[j] * p[j]
		}
	}
	s.stale, s.corrected = false, true
	if length == 0 {
		return
	}
	left := func(now, before []float64, columns [][]float64) []float64 {
		out := make([]float64, len(now))
		for i := range out {
			out[i] = now[i] - before[i]
			for j := range p {
				out[i] -= columns[j][i] * p[j]
			}
		}
		return out
	}
	raw, weighed := left(s.r, r, s.raw), left(s.w, w, s.cols)
	for j := range p {
		if u[j] == 0 {
			continue
		}
		f := u[j] / length
		s.raw[j], s.cols[j] = slices.Clone(s.raw[j]), slices.Clone(s.cols[j])
		for i, v := range raw {
			s.raw[j][i] += f * v
		}
		for i, v := range weighed {
			s.cols[j][i] += f * v
		}
		s.d[j] = max(s.d[j], math.Sqrt(dot(s.cols[j], s.cols[j])))
	}
}

// smooth takes the step to the least of the linear picture, however far it is, where that foretells less than F is
// rough by; it ends the search where that is not worth having, where F rises all the same, or after three such steps.
// It also ends it where the region has shrunk so far that nothing within it would show.
func (s *search) smooth(ctx context.Context, free []int) (done bool, err error) {
	delta := s.delta
	s.delta = math.Inf(1)
	p, foretold := s.solve(free)
	s.delta = delta
	stop := s.f.Stop
	if foretold >= stop.Rough {
		if _, within := s.solve(free); within < 0.2*stop.Rough && !s.stale && !s.corrected {
			return true, s.end(ctx, "F is too rough to tell more")
		}
		return false, nil
	}
	if foretold <= stop.Gain || s.unasked == 3 {
		return true, s.end(ctx, "a further step would gain nothing worth having")
	}
	next := s.stepped(p)
	r, err := s.evaluate(ctx, next)
	if err != nil && !errors.Is(err, ErrNoValue) {
		return true, err
	}
	if err == nil {
		if w := s.weighed(r, next); half(w) < s.cost+2*stop.Rough {
			s.x, s.r, s.w, s.cost = next, r, w, half(w)
			s.corrected = true
			s.steps++
			s.unasked++
			return true, nil
		}
	}
	return true, s.end(ctx, "F is too rough to tell more")
}
