package match

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Function computes the differences at x; their number does not change. It must not keep or change x, and may be
// called from several goroutines at a time. An error that wraps ErrNoValue says that there is no value at this x: the
// search then looks nearer by. Any other error ends it.
type Function func(ctx context.Context, x []float64) ([]float64, error)

// ErrNoValue marks a place at which a Function has no value, such as an absorptance above one.
var ErrNoValue = errors.New("no value here")

// Prior is what is known of a parameter beforehand: one more difference, (x − Mean)/SD.
type Prior struct {
	Index    int // of the parameter
	Mean, SD float64
}

// Fitting is a problem of least squares: find x within bounds so that
//
//	F(x) = ½ |W r(x)|² + ½ Σ ((x_j − m_j)/s_j)²
//
// is least, with r what Of computes, W what Weigh does, and m, s the priors.
type Fitting struct {
	Of           Function
	Start        []float64
	Lower, Upper []float64 // nil: none; an entry may be infinite
	Priors       []Prior
	// Weigh turns columns of differences into weighed ones in place, by the same linear map for each; nil leaves them.
	Weigh func(columns [][]float64)
	// Step is the change of each parameter by which derivatives are taken; nil: by Noise from Scale and the value.
	Step []float64
	// Scale is a typical size of each parameter, for steps near zero; nil: |start|, or 1.
	Scale []float64
	// Noise is the relative accuracy of Of; 0: that of float64.
	Noise   float64
	Forward bool // forward differences to the end: cheaper, less exact
	// Update keeps the derivatives up by corrections of rank one while steps do as foretold (see search.correct), and
	// takes differences anew only where one does not. With Forward it may end on corrected derivatives.
	Update bool
	// Linear marks parameters whose derivatives never change, such as offsets: corrections leave them alone. nil: none.
	Linear []bool
	// From is what is known beforehand: its derivatives are taken over, as approximate ones where it lies elsewhere, and
	// so are its differences where it lies at the start. nil: nothing.
	From     *Solution
	Workers  int // evaluations at a time; 0: one
	Most     int // steps; 0: 200
	Stop     Tolerances
	Progress func(Progress) // after each step, from the calling goroutine; may be nil
}

// Tolerances end a search; a zero takes the default.
type Tolerances struct {
	Reduction float64 // of F, as a share of F, both found and foretold; 1e-15
	Move      float64 // of x in the scaled norm, as a share of x; 1e-12
	Cosine    float64 // largest cosine between the differences and a column of the derivatives; 1e-12
	// Gain is a reduction of F, foretold, that is not worth a step: with differences in standard deviations 0.01
	// moves no parameter by more than about a seventh of its own. 0: not looked at.
	Gain float64
	// Rough is how much F is in error from place to place, as where runs choose their own steps. A whole step that
	// foretells less is taken without asking F, unless F rises by more than twice as much, three times at most; what it does
	// teaches nothing of the derivatives. So the end is where the differences stand square on the derivatives, which
	// wide steps have taken, and not in a dent of F. 0: F is exact.
	Rough float64
}

// Progress tells how far a search has got.
type Progress struct {
	Stage string    // what is being done
	Step  int       // steps taken
	Cost  float64   // F
	X     []float64 // best so far; shared: do not keep
}

// Solution is where a search ended.
type Solution struct {
	X           []float64
	Cost        float64     // F
	Differences []float64   // r(x), not weighed
	Columns     [][]float64 // derivatives ∂r/∂x_j as last taken, not weighed
	Steps       int
	Evaluations int
	AtBound     []int // -1 where a parameter ended at its lower bound, 1 at its upper, else 0
	Why         string
	Converged   bool
}

// Fit finds the least F by a trust-region method after Levenberg and Marquardt. The region is an ellipsoid whose axes
// follow the columns of the derivatives, D_j = the largest |∂r/∂x_j| so far; the step solves
//
//	(JᵀJ + λ DᵀD) p = −Jᵀ r,   |D p| ≤ Δ
//
// with λ found on the singular values of J D⁻¹. Bounds: a parameter at a bound towards which F falls stays there for
// the step, and one that a step would carry beyond is set on its bound, the others solved again. Derivatives are
// forward differences first; where the search has ended with them it goes on with central ones until it ends again.
//
// Source: J. J. Moré, "The Levenberg-Marquardt algorithm: implementation and theory", Lecture Notes in Mathematics 630
// (1978) 105-116: scaling, the update of Δ and the tests of convergence. Bounds and the switch are our own practice.
//
// On cancel it returns the best so far with an error that wraps ctx.Err().
func Fit(ctx context.Context, f Fitting) (Solution, error) {
	s, err := newSearch(f)
	if err != nil {
		return Solution{}, err
	}
	if err := s.begin(ctx); err != nil {
		return s.solution(), err
	}
	for s.steps < s.f.Most && s.why == "" {
		if err := s.step(ctx); err != nil {
			return s.solution(), err
		}
		s.tell()
	}
	if s.why == "" {
		s.why = fmt.Sprintf("stopped after %d steps", s.steps)
	}
	return s.solution(), nil
}

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
