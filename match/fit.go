package match

import (
	"context"
	"errors"
	"fmt"
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

// found tells whether a search has come to a first F: one that was stopped before has no differences.
func (s Solution) found() bool { return len(s.Differences) > 0 }

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
