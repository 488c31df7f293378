package match

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
)

// derive takes the derivatives of the differences at x, each column by an evaluation of its own (two where they are
// central), several at a time. With h the step of a parameter
//
//	forward:  ∂r/∂x ≈ (r(x+h) − r(x))/h            h = √ε |x|, error of order h
//	central:  ∂r/∂x ≈ (r(x+h) − r(x−h))/(2h)       h = ∛ε |x|, error of order h²
//
// where ε is the relative accuracy of the function. At a bound, or where there is no value on one side, the other side
// alone is taken, by two steps into it where the differences are central: (−3 r(x) + 4 r(x+h) − r(x+2h))/(2h).
//
// Source: P. E. Gill, W. Murray, M. H. Wright, "Practical Optimization", Academic Press 1981, 4.6.1 and 8.6.
func (s *search) derive(ctx context.Context) error {
	n := len(s.x)
	raw := make([][]float64, n)
	errs := make([]error, n)
	runs := make([]int, n)
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	each(max(s.f.Workers, 1), n, func(j int) {
		raw[j], runs[j], errs[j] = s.column(ctx, j)
		if errs[j] != nil {
			cancel()
		}
	})
	for _, k := range runs {
		s.runs += k
	}
	if err := First(errs); err != nil {
		return err
	}
	s.take(raw)
	return nil
}

// take makes derivatives, not weighed, those of the search.
func (s *search) take(raw [][]float64) {
	cols := make([][]float64, len(raw))
	for j := range cols {
		cols[j] = append(make([]float64, 0, len(s.w)), raw[j]...)
	}
	if s.f.Weigh != nil {
		s.f.Weigh(cols)
	}
	for j := range cols {
		for _, p := range s.f.Priors {
			g := 0.0
			if p.Index == j {
				g = 1 / p.SD
			}
			cols[j] = append(cols[j], g)
		}
		s.d[j] = max(s.d[j], math.Sqrt(dot(cols[j], cols[j])))
	}
	s.raw, s.cols, s.stale, s.corrected = slices.Clone(raw), cols, false, false
}

// each does f for 0..n−1, so many at a time.
func each(workers, n int, f func(int)) {
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(workers, n) {
		wg.Go(func() {
			for j := range next {
				f(j)
			}
		})
	}
	for j := range n {
		next <- j
	}
	close(next)
	wg.Wait()
}

// First returns the first error that is more than a neighbour's cancellation, else the first.
func First(errs []error) error {
	var cancelled error
	for _, err := range errs {
		if err != nil && !errors.Is(err, context.Canceled) {
			return err
		}
		if cancelled == nil {
			cancelled = err
		}
	}
	return cancelled
}

// size is the step by which parameter j is moved.
func (s *search) size(j int) float64 {
	if s.f.Step != nil {
		return s.f.Step[j]
	}
	scale := math.Abs(s.x[j])
	if s.f.Scale != nil {
		scale = max(scale, 0.01*s.f.Scale[j])
	} else if scale == 0 {
		scale = max(math.Abs(s.f.Start[j]), 1)
	}
	if s.central {
		return math.Cbrt(s.f.Noise) * scale
	}
	return math.Sqrt(s.f.Noise) * scale
}

// column takes one column of the derivatives and says how many evaluations that took.
func (s *search) column(ctx context.Context, j int) (column []float64, runs int, err error) {
	at := func(h float64) ([]float64, error) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		x := append([]float64(nil), s.x...)
		x[j] += h
		runs++
		r, err := s.f.Of(ctx, x)
		if err == nil && !finite(r) {
			err = ErrNoValue
		}
		return r, err
	}
	h := s.size(j)
	lo, hi := s.bounds(j)
	room := func(h float64) bool { return s.x[j]+h <= hi && s.x[j]+h >= lo }
	up, down := room(h), room(-h)
	if s.central && up && down {
		above, errA := at(h)
		below, errB := at(-h)
		if errA == nil && errB == nil {
			x := s.x[j]
			return combine((x+h)-(x-h), above, below), runs, nil
		}
		for _, err := range []error{errA, errB} {
			if err != nil && !errors.Is(err, ErrNoValue) {
				return nil, runs, err
			}
		}
		up, down = errA == nil, errB == nil
	}
	for _, side := range []struct {
		open bool
		h    float64
	}{{up, h}, {down, -h}} {
		if !side.open {
			continue
		}
		one, err := at(side.h)
		if errors.Is(err, ErrNoValue) {
			continue
		}
		if err != nil {
			return nil, runs, err
		}
		true1 := (s.x[j] + side.h) - s.x[j]
		if s.central && room(2*side.h) {
			two, err := at(2 * side.h)
			if err == nil {
				for i := range one {
					one[i] = (4*one[i] - two[i] - 3*s.r[i]) / (2 * true1)
				}
				return one, runs, nil
			}
			if !errors.Is(err, ErrNoValue) {
				return nil, runs, err
			}
		}
		return combine(true1, one, s.r), runs, nil
	}
	return nil, runs, fmt.Errorf("taking derivatives: parameter %d can be moved to neither side of %g by %g: %w", j+1, s.x[j], h, ErrNoValue)
}

// combine returns (a − b)/h in a.
func combine(h float64, a, b []float64) []float64 {
	out := make([]float64, len(a))
	for i := range a {
		out[i] = (a[i] - b[i]) / h
	}
	return out
}

func finite(r []float64) bool {
	for _, v := range r {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
