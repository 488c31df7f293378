package match

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
)

// search is a Fit under way.
type search struct {
	f           Fitting
	x           []float64
	r           []float64 // not weighed
	w           []float64 // weighed, priors behind
	cost        float64
	raw, cols   [][]float64 // derivatives, not weighed and weighed
	d           []float64   // D
	delta       float64     // Δ
	central     bool
	stale       bool // x has moved since the derivatives were taken
	corrected   bool // the derivatives are not differences taken at x
	unasked     int  // steps taken within the roughness of F
	steps, runs int
	why         string
	converged   bool
}

func newSearch(f Fitting) (*search, error) {
	n := len(f.Start)
	if n == 0 {
		return nil, errors.New("fitting: there is no parameter")
	}
	if f.Linear != nil && len(f.Linear) != n {
		return nil, fmt.Errorf("fitting: linear parameters are marked for %d parameters of %d", len(f.Linear), n)
	}
	for _, l := range [][]float64{f.Lower, f.Upper, f.Step, f.Scale} {
		if l != nil && len(l) != n {
			return nil, fmt.Errorf("fitting: a list has %d entries for %d parameters", len(l), n)
		}
	}
	if f.Most == 0 {
		f.Most = 200
	}
	if f.Noise == 0 {
		f.Noise = 0x1p-52
	}
	t := &f.Stop
	for _, d := range []struct {
		at  *float64
		def float64
	}{{&t.Reduction, 1e-15}, {&t.Move, 1e-12}, {&t.Cosine, 1e-12}} {
		if *d.at == 0 {
			*d.at = d.def
		}
	}
	s := &search{f: f, x: append([]float64(nil), f.Start...), d: make([]float64, n)}
	for j := range s.x {
		lo, hi := s.bounds(j)
		if !(lo < hi) {
			return nil, fmt.Errorf("fitting: parameter %d has the bounds %g and %g: the lower must be below the upper", j+1, lo, hi)
		}
		s.x[j] = min(max(s.x[j], lo), hi)
	}
	return s, nil
}

func (s *search) bounds(j int) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	if s.f.Lower != nil {
		lo = s.f.Lower[j]
	}
	if s.f.Upper != nil {
		hi = s.f.Upper[j]
	}
	return lo, hi
}

// begin evaluates the start and its derivatives.
func (s *search) begin(ctx context.Context) error {
	known := s.f.From
	here := known != nil && slices.Equal(known.X, s.x) && known.Differences != nil
	var r []float64
	if here {
		r = known.Differences
	} else {
		var err error
		if r, err = s.evaluate(ctx, s.x); err != nil {
			return fmt.Errorf("fitting: at the start: %w", err)
		}
	}
	w := s.weighed(r, s.x)
	cost := half(w)
	if math.IsNaN(cost) || math.IsInf(cost, 0) {
		return fmt.Errorf("fitting: at the start: %w", ErrNoValue)
	}
	s.r, s.w, s.cost = r, w, cost
	if known != nil && len(known.Columns) == len(s.x) {
		s.take(known.Columns)
		s.corrected = !here
	} else if err := s.derive(ctx); err != nil {
		return err
	}
	size := 0.0
	for j := range s.x {
		size += s.d[j] * s.x[j] * s.d[j] * s.x[j]
	}
	s.delta = math.Sqrt(size)
	if s.delta == 0 {
		s.delta = 1
	}
	s.tell()
	return nil
}

func (s *search) tell() {
	if s.f.Progress != nil {
		stage := "forward differences"
		if s.central {
			stage = "central differences"
		}
		s.f.Progress(Progress{Stage: stage, Step: s.steps, Cost: s.cost, X: s.x})
	}
}

func (s *search) evaluate(ctx context.Context, x []float64) ([]float64, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.runs++
	return s.f.Of(ctx, append([]float64(nil), x...))
}

// weighed returns the weighed differences with the priors' behind.
func (s *search) weighed(r, x []float64) []float64 {
	w := append(make([]float64, 0, len(r)+len(s.f.Priors)), r...)
	if s.f.Weigh != nil {
		s.f.Weigh([][]float64{w})
	}
	for _, p := range s.f.Priors {
		w = append(w, (x[p.Index]-p.Mean)/p.SD)
	}
	return w
}

func half(r []float64) float64 {
	sum := 0.0
	for _, v := range r {
		sum += v * v
	}
	return sum / 2
}

// step takes one step, or ends the search.
func (s *search) step(ctx context.Context) error {
	if s.stale {
		if err := s.derive(ctx); err != nil {
			return err
		}
	}
	free := s.free()
	if s.flat(free) {
		return s.end(ctx, "the gradient vanishes")
	}
	for {
		if s.f.Stop.Rough > 0 {
			if done, err := s.smooth(ctx, free); done || err != nil {
				return err
			}
		}
		p, foretold := s.solve(free)
		length, reach := 0.0, 0.0
		for j := range p {
			length += s.d[j] * p[j] * s.d[j] * p[j]
			reach += s.d[j] * s.x[j] * s.d[j] * s.x[j]
		}
		length, reach = math.Sqrt(length), math.Sqrt(reach)
		if !(foretold > 0) || length == 0 {
			return s.end(ctx, "no step is left that would lower the sum of squares")
		}
		if s.f.Stop.Gain > 0 && foretold <= s.f.Stop.Gain {
			return s.end(ctx, "a further step would gain nothing worth having")
		}
		next := s.stepped(p)
		r, err := s.evaluate(ctx, next)
		if err != nil && !errors.Is(err, ErrNoValue) {
			return err
		}
		ratio, gained := -1.0, 0.0
		var w []float64
		if err == nil {
			w = s.weighed(r, next)
			if c := half(w); !math.IsNaN(c) {
				gained = s.cost - c
				ratio = gained / foretold
			}
		}
		if s.corrected && ratio <= 1e-4 && foretold > s.f.Stop.Reduction*s.cost { // it may be for the derivatives
			return s.derive(ctx)
		}
		s.resize(ratio, length)
		if ratio > 1e-4 {
			before, was := s.r, s.w
			s.x, s.r, s.w, s.cost, s.stale = next, r, w, s.cost-gained, true
			s.steps++
			if s.f.Update && ratio > 0.25 {
				s.correct(p, before, was)
			}
		}
		switch {
		case math.Abs(gained) <= s.f.Stop.Reduction*s.cost && foretold <= s.f.Stop.Reduction*s.cost && ratio <= 2:
			return s.end(ctx, "the sum of squares no longer falls")
		case s.delta <= s.f.Stop.Move*reach || s.delta < 1e-150:
			return s.end(ctx, "the parameters no longer move")
		case s.cost == 0:
			return s.end(ctx, "nothing is left to explain")
		}
		if ratio > 1e-4 {
			return nil
		}
	}
}

// resize moves Δ by how well a step of the given length did.
func (s *search) resize(ratio, length float64) {
	switch {
	case ratio < 0.25:
		f := 0.5
		if ratio < 0 {
			f = 0.1
		}
		s.delta = f * min(s.delta, 10*length)
	case ratio >= 0.75 || s.delta > 2*length:
		s.delta = 2 * length
	}
}

// end ends the search, or goes on with central differences where only forward ones were taken.
func (s *search) end(ctx context.Context, why string) error {
	if !s.central && !s.f.Forward {
		s.central, s.stale = true, true
		size := 0.0
		for j := range s.x {
			size += s.d[j] * s.x[j] * s.d[j] * s.x[j]
		}
		s.delta = max(s.delta, 1e-3*math.Sqrt(size))
		return nil
	}
	s.why, s.converged = why, true
	if s.stale {
		return s.derive(ctx)
	}
	return nil
}

// stepped returns where the step p leads, within the bounds.
func (s *search) stepped(p []float64) []float64 {
	next := make([]float64, len(s.x))
	for j := range next {
		lo, hi := s.bounds(j)
		next[j] = min(max(s.x[j]+p[j], lo), hi)
	}
	return next
}

// free lists the parameters that may move: not those on a bound towards which F falls.
func (s *search) free() []int {
	var free []int
	for j := range s.x {
		g := dot(s.cols[j], s.w)
		lo, hi := s.bounds(j)
		if s.x[j] <= lo && g > 0 || s.x[j] >= hi && g < 0 || s.d[j] == 0 {
			continue
		}
		free = append(free, j)
	}
	return free
}

// flat tells whether the differences stand square on every column.
func (s *search) flat(free []int) bool {
	size := math.Sqrt(2 * s.cost)
	for _, j := range free {
		if c := math.Sqrt(dot(s.cols[j], s.cols[j])); c > 0 && math.Abs(dot(s.cols[j], s.w)) > s.f.Stop.Cosine*c*size {
			return false
		}
	}
	return true
}

func (s *search) solution() Solution {
	out := Solution{
		X: s.x, Cost: s.cost, Differences: s.r, Columns: s.raw, Steps: s.steps, Evaluations: s.runs,
		AtBound: make([]int, len(s.x)), Why: s.why, Converged: s.converged,
	}
	for j := range s.x {
		if lo, hi := s.bounds(j); s.x[j] <= lo {
			out.AtBound[j] = -1
		} else if s.x[j] >= hi {
			out.AtBound[j] = 1
		}
	}
	return out
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}
