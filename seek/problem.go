package seek

import (
	"fmt"
	"math"
)

// Kind is what values an axis takes.
type Kind int

const (
	Real   Kind = iota // every value from Low to High
	Whole              // every whole number from Low to High
	Choice             // 0, 1, ... Choices − 1, the places in a list without an order
)

// Axis is one variable.
type Axis struct {
	Kind      Kind
	Low, High float64
	Log       bool // Real or Whole: ratios count, not differences; Low is above 0
	Choices   int  // Choice: how many
}

func (a Axis) check() error {
	switch {
	case a.Kind == Choice && a.Choices < 2:
		return fmt.Errorf("a list to choose from has two or more entries, not %d", a.Choices)
	case a.Kind == Choice:
		return nil
	case a.Kind != Real && a.Kind != Whole:
		return fmt.Errorf("an axis is real, whole or a choice, not kind %d", a.Kind)
	case !finite(a.Low, a.High) || !(a.Low < a.High):
		return fmt.Errorf("an axis goes from a number to a larger one, not from %g to %g", a.Low, a.High)
	case a.Log && a.Low <= 0:
		return fmt.Errorf("an axis on which ratios count lies above 0, not from %g on", a.Low)
	case a.Kind == Whole && (a.Low != math.Floor(a.Low) || a.High != math.Floor(a.High)):
		return fmt.Errorf("an axis of whole numbers goes from one to another, not from %g to %g", a.Low, a.High)
	}
	return nil
}

// value maps the unit interval to the axis. Whole numbers and choices have equal shares of it; on a whole axis with Log,
// shares by ratio.
func (a Axis) value(u float64) float64 {
	u = min(max(u, 0), 1)
	switch {
	case a.Kind == Choice:
		return min(math.Floor(u*float64(a.Choices)), float64(a.Choices-1))
	case a.Kind == Whole && a.Log:
		return min(max(math.Round((a.Low-0.5)*math.Pow((a.High+0.5)/(a.Low-0.5), u)), a.Low), a.High)
	case a.Kind == Whole:
		return min(a.Low+math.Floor(u*(a.High-a.Low+1)), a.High)
	case a.Log:
		return min(max(a.Low*math.Pow(a.High/a.Low, u), a.Low), a.High)
	}
	return min(max(a.Low+u*(a.High-a.Low), a.Low), a.High)
}

// place maps a value to where the surrogate sees it: 0..1, choices as they are.
func (a Axis) place(x float64) float64 {
	switch {
	case a.Kind == Choice:
		return x
	case a.Log:
		return math.Log(x/a.Low) / math.Log(a.High/a.Low)
	}
	return (x - a.Low) / (a.High - a.Low)
}

// Problem is what is sought. Aims are the smaller the better (negate one that is to be large); a constraint is met where
// it is at most 0.
type Problem struct {
	Axes        []Axis
	Aims        int // 1, or 2: the front between them
	Constraints int
	Seed        uint64
	Start       int // points that fill the space before a surrogate is laid; 0: four for each axis and four more
}

// unplace returns a place of the unit interval that value maps to x.
func (a Axis) unplace(x float64) float64 {
	switch {
	case a.Kind == Choice:
		return (x + 0.5) / float64(a.Choices)
	case a.Kind == Whole && a.Log:
		return math.Log(x/(a.Low-0.5)) / math.Log((a.High+0.5)/(a.Low-0.5))
	case a.Kind == Whole:
		return (x - a.Low + 0.5) / (a.High - a.Low + 1)
	}
	return a.place(x)
}

func (p Problem) check() error {
	if len(p.Axes) == 0 || len(p.Axes) > 100 {
		return fmt.Errorf("a search has 1 to 100 axes, not %d", len(p.Axes))
	}
	for i, a := range p.Axes {
		if err := a.check(); err != nil {
			return fmt.Errorf("axis %d: %w", i+1, err)
		}
	}
	if p.Aims != 1 && p.Aims != 2 || p.Constraints < 0 || p.Start < 0 {
		return fmt.Errorf("a search has one aim or two and no negative counts, not %d aims, %d constraints and %d points to start with", p.Aims, p.Constraints, p.Start)
	}
	return nil
}

func (p Problem) point(u []float64) []float64 {
	x := make([]float64, len(u))
	for i, a := range p.Axes {
		x[i] = a.value(u[i])
	}
	return x
}

func (p Problem) place(x []float64) []float64 {
	f := make([]float64, len(x))
	for i, a := range p.Axes {
		f[i] = a.place(x[i])
	}
	return f
}

// Values is what a variant gave.
type Values struct {
	Failed      bool // the variant has no values
	Aims        []float64
	Constraints []float64
}

// Told is a variant with its values.
type Told struct {
	At []float64
	Values
}

// Asked is what a search wants to know next.
type Asked struct {
	Points [][]float64 // fewer than asked for where nothing is left to ask, or where answers must come first
	// Promise is what the surrogate expects the first point to better the aim by, in the aim's unit, or the front by, as
	// an area in the units of both aims; NaN before there is a surrogate or anything that meets the constraints.
	Promise float64
}

// Seeker is a search, by surrogate or direct.
type Seeker interface {
	Ask(n int) (Asked, error)
	Tell(at []float64, v Values) error
	Best() Best
	History() []Told
}

func finite(x ...float64) bool {
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
