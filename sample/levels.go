package sample

import (
	"fmt"
	"math"
)

// Levels are the values that one axis of a sweep goes through.
type Levels interface {
	Len() int64
	Value(i int64) float64
	Check() error
}

// List is levels as they are named, in their order.
type List []float64

func (l List) Len() int64 { return int64(len(l)) }

func (l List) Value(i int64) float64 { return l[i] }

func (l List) Check() error {
	if len(l) == 0 {
		return fmt.Errorf("an axis needs at least one value")
	}
	if !finite(l...) {
		return fmt.Errorf("the values of an axis are numbers: %v", []float64(l))
	}
	return nil
}

// Range is Count levels from From to To, both included, at equal steps; with Log at equal ratios, both above 0.
type Range struct {
	From, To float64
	Count    int64
	Log      bool
}

func (r Range) Len() int64 { return r.Count }

func (r Range) Value(i int64) float64 {
	switch {
	case i == 0:
		return r.From
	case i == r.Count-1:
		return r.To
	case r.Log:
		return r.From * math.Pow(r.To/r.From, float64(i)/float64(r.Count-1))
	}
	return r.From + (r.To-r.From)*float64(i)/float64(r.Count-1)
}

func (r Range) Check() error {
	switch {
	case !finite(r.From, r.To):
		return fmt.Errorf("a range goes from a number to a number, not from %g to %g", r.From, r.To)
	case r.Count < 1 || r.Count > 1 && r.From == r.To || r.Count == 1 && r.From != r.To:
		return fmt.Errorf("a range from %g to %g cannot have %d levels: two or more between two ends", r.From, r.To, r.Count)
	case r.Log && (r.From <= 0 || r.To <= 0):
		return fmt.Errorf("a range at equal ratios lies above 0, not from %g to %g", r.From, r.To)
	}
	return nil
}

// Steps returns the levels from, from + step, ... up to to, which is one of them where it is a whole number of steps
// away (to a millionth of a step).
func Steps(from, to, step float64) (Range, error) {
	n := (to - from) / step
	if !finite(from, to, step) || !finite(n) || n < 0 {
		return Range{}, fmt.Errorf("steps of %g do not lead from %g to %g", step, from, to)
	}
	if n > 1e15 {
		return Range{}, fmt.Errorf("steps of %g from %g to %g are some %.2g levels: take larger ones", step, from, to, n)
	}
	whole := math.Floor(n + 1e-6)
	end := from + whole*step
	if math.Abs(n-whole) < 1e-6 {
		end = to
	}
	return Range{From: from, To: end, Count: int64(whole) + 1}, nil
}
