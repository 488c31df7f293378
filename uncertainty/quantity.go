package uncertainty

import (
	"fmt"
	"math"
)

// Shape is the distribution that a component is drawn from.
type Shape int

// The shapes. Source: JCGM 101:2008, table 1 and 6.4.
const (
	Normal      Shape = iota // with finite degrees of freedom the scaled and shifted t distribution, 6.4.9
	Rectangular              // between limits of ±√3 u
	Triangular               // between limits of ±√6 u
	ArcSine                  // a sine of unknown phase, between limits of ±√2 u
)

// Component is one cause of uncertainty of one quantity.
type Component struct {
	Name string
	// U is the standard uncertainty in the unit of the quantity. Below zero it says that the quantity falls when the
	// others of its group rise.
	U     float64
	DoF   float64 // degrees of freedom of U; 0: infinitely many, U is taken as known
	Shape Shape
	// Group names the common source. Components with the same group, of whatever quantity, move together fully
	// (correlation one). "": independent of all others.
	Group string
}

// Within is a component known by limits only: anything in ±half is equally likely, u = half/√3.
// Source: JCGM 100:2008, 4.3.7, eq. 7.
func Within(name string, half float64) Component {
	return Component{Name: name, U: half / math.Sqrt(3), Shape: Rectangular}
}

// Quantity is a value with what makes it uncertain.
type Quantity struct {
	Name       string
	Unit       string // for the reader only
	Value      float64
	Components []Component
}

// Exact is a quantity without uncertainty.
func Exact(name, unit string, value float64) Quantity {
	return Quantity{Name: name, Unit: unit, Value: value}
}

// U returns the standard uncertainty of the quantity: groups add up first, then squares.
func (q *Quantity) U() float64 {
	sum := 0.0
	for i := range q.Components {
		for j := range q.Components {
			a, b := &q.Components[i], &q.Components[j]
			if i == j || a.Group != "" && a.Group == b.Group {
				sum += a.U * b.U
			}
		}
	}
	return math.Sqrt(math.Max(0, sum))
}

// check returns an error that says what to mend.
func (q *Quantity) check() error {
	if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) {
		return fmt.Errorf("the quantity %q has no value: give a number", q.Name)
	}
	for i := range q.Components {
		c := &q.Components[i]
		if math.IsNaN(c.U) || math.IsInf(c.U, 0) || c.Group == "" && c.U < 0 {
			return fmt.Errorf("the component %q of %q has the standard uncertainty %g: give a number of at least 0", c.Name, q.Name, c.U)
		}
		if math.IsNaN(c.DoF) || c.DoF < 0 || c.DoF > 0 && c.DoF < 1 {
			return fmt.Errorf("the component %q of %q has %g degrees of freedom: give at least 1, or 0 for infinitely many", c.Name, q.Name, c.DoF)
		}
		if c.Shape < Normal || c.Shape > ArcSine {
			return fmt.Errorf("the component %q of %q has an unknown shape", c.Name, q.Name)
		}
	}
	return nil
}
