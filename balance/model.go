package balance

import (
	"fmt"
	"math"

	"emberbank/uncertainty"
)

// model gathers the uncertain inputs of a phase and the terms that depend on them. Every systematic error of every
// channel is one input: its value is the channel's mean reading in the phase, so that a budget reads well, and terms
// see by how many standard uncertainties it departs.
type model struct {
	inputs []uncertainty.Quantity
	means  []float64 // values of the inputs
	scale  []float64 // standard uncertainty of each
	of     map[[2]int]int
}

// term is one heat as a function of the inputs: base plus what each error moves, by standard uncertainty, plus
// products of two errors, times factors that are themselves uncertain.
type term struct {
	base    float64
	linear  []effect
	crossed []cross
	factors []int // inputs of relative errors (value 1)
}

type effect struct {
	input int
	by    float64 // J for one standard uncertainty
}

type cross struct {
	a, b int
	by   float64 // J for one standard uncertainty of both
}

// at evaluates the term.
func (f *term) at(m *model, x []float64) float64 {
	z := func(i int) float64 { return (x[i] - m.means[i]) / m.scale[i] }
	v := f.base
	for _, e := range f.linear {
		v += e.by * z(e.input)
	}
	for _, c := range f.crossed {
		v += c.by * z(c.a) * z(c.b)
	}
	for _, i := range f.factors {
		v *= x[i]
	}
	return v
}

// add puts an input in and returns its index.
func (m *model) add(q uncertainty.Quantity) int {
	m.inputs = append(m.inputs, q)
	m.means = append(m.means, q.Value)
	m.scale = append(m.scale, q.U())
	return len(m.inputs) - 1
}

// free adds an error in joules that only one term has; nothing where it is zero.
func (m *model) free(f *term, name string, u, dof float64) {
	if !(u > 0) {
		return
	}
	i := m.add(uncertainty.Quantity{Name: name, Unit: "J", Components: []uncertainty.Component{{Name: name, U: u, DoF: dof}}})
	f.linear = append(f.linear, effect{i, u})
}

// relative adds a factor of value one with a relative standard uncertainty.
func (m *model) relative(name string, e *Error) int {
	return m.add(uncertainty.Quantity{Name: name, Unit: "1", Value: 1, Components: []uncertainty.Component{
		{Name: e.What, U: e.Constant, DoF: finite(e.DoF), Shape: e.Shape, Group: e.Group},
	}})
}

func finite(dof float64) float64 {
	if math.IsInf(dof, 0) || math.IsNaN(dof) {
		return 0
	}
	return dof
}

// errors returns the inputs of a channel's systematic errors, put in on first use; -1 for one without size. unit is
// that of the channel, mean its mean reading.
func (m *model) errors(in *Input, channel int, unit string, mean float64) []int {
	c := &in.Channels[channel]
	out := make([]int, len(c.Errors))
	for k := range c.Errors {
		e := &c.Errors[k]
		if i, known := m.of[[2]int{channel, k}]; known {
			out[k] = i
			continue
		}
		out[k] = -1
		value, u := mean, e.At(mean)
		if u > 0 {
			shown := unit
			if unit == "K" { // budgets show temperatures in degrees Celsius
				shown, value = "degC", mean-273.15
			}
			out[k] = m.add(uncertainty.Quantity{Name: c.Column, Unit: shown, Value: value, Components: []uncertainty.Component{
				{Name: e.What, U: u, DoF: finite(e.DoF), Shape: e.Shape, Group: e.Group},
			}})
		}
		m.of[[2]int{channel, k}] = out[k]
	}
	return out
}

func newModel() *model { return &model{of: map[[2]int]int{}} }

// quantity makes a model for package uncertainty of a function of terms.
func (m *model) quantity(name, unit string, f func(x []float64) float64) *uncertainty.Model {
	return &uncertainty.Model{Name: name, Unit: unit, Inputs: m.inputs, F: f}
}

// Result is one heat, or a ratio, with its budget.
type Result struct {
	uncertainty.Budget
	// Drawn is the Monte Carlo beside it, nil where none was done.
	Drawn *uncertainty.Comparison
}

// Half returns the half-width of the 95 % interval.
func (r *Result) Half() float64 { return r.Expanded(0.95) }

// Interval returns the 95 % interval that the report says to use: that of the draws where first order is not the whole
// story, else value ± Half.
func (r *Result) Interval() (low, high float64) {
	if r.Drawn != nil && !r.Drawn.Agree {
		return r.Drawn.Distribution.Low, r.Drawn.Distribution.High
	}
	return r.Value - r.Half(), r.Value + r.Half()
}

// result evaluates a model. Rows that bring nothing are left out of the budget.
func (m *model) result(name, unit string, f func(x []float64) float64, draw *uncertainty.Draw) (*Result, error) {
	q := m.quantity(name, unit, f)
	b, err := q.Budget()
	if err != nil {
		return nil, fmt.Errorf("the uncertainty of %s: %w", name, err)
	}
	kept := b.Rows[:0]
	for _, r := range b.Rows {
		if math.Abs(r.Contribution) > 1e-9*b.U {
			kept = append(kept, r)
		}
	}
	b.Rows = kept
	out := &Result{Budget: b}
	if draw != nil && b.U > 0 {
		c, err := q.Compare(*draw)
		if err != nil {
			return nil, fmt.Errorf("drawing %s: %w", name, err)
		}
		out.Drawn = &c
	}
	return out, nil
}
