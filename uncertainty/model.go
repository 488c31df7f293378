package uncertainty

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Model is a quantity that is computed from others: y = F(x₁ … xₙ).
type Model struct {
	Name, Unit string
	F          func(x []float64) float64 // of the values of Inputs, in their order; it keeps nothing of x
	Inputs     []Quantity
	// Correlation holds r(xᵢ, xⱼ) between the inputs as wholes; nil: none but what groups bring. An input that it
	// couples to another must have normal components without a group.
	Correlation [][]float64
}

// Row is one line of a budget.
type Row struct {
	Input, Component string
	Group            string
	Unit             string  // of the input
	Value            float64 // of the input
	U                float64 // standard uncertainty of the component, in the input's unit
	DoF              float64 // 0: infinitely many
	Sensitivity      float64 // ∂F/∂x, unit of y over the unit of the input
	Contribution     float64 // Sensitivity·U, in the unit of y, with its sign
	// Share is this row's part of u²: its contribution times the contributions of all that move with it. The shares
	// add up to one; one below zero lowers the uncertainty.
	Share float64
}

// Budget is the result of first-order propagation.
type Budget struct {
	Name, Unit string
	Value      float64
	U          float64 // combined standard uncertainty, in Unit
	DoF        float64 // effective degrees of freedom; +Inf: infinitely many
	Rows       []Row   // in the order of inputs and components
}

// part is a component of an input, where all correlations are laid out.
type part struct {
	input, component int
	group            string
}

func (m *Model) check() error {
	if m.F == nil {
		return fmt.Errorf("the model %q has no function", m.Name)
	}
	for i := range m.Inputs {
		if err := m.Inputs[i].check(); err != nil {
			return fmt.Errorf("model %q: %w", m.Name, err)
		}
	}
	if m.Correlation == nil {
		return nil
	}
	n := len(m.Inputs)
	if len(m.Correlation) != n {
		return fmt.Errorf("model %q: the correlation matrix has %d rows for %d inputs", m.Name, len(m.Correlation), n)
	}
	for i, row := range m.Correlation {
		if len(row) != n || row[i] != 1 {
			return fmt.Errorf("model %q: row %d of the correlation matrix must have %d entries with 1 on the diagonal", m.Name, i+1, n)
		}
		for j, r := range row {
			if !(math.Abs(r) <= 1) || r != m.Correlation[j][i] {
				return fmt.Errorf("model %q: the correlation of %q and %q must be within -1..1 and the same both ways", m.Name, m.Inputs[i].Name, m.Inputs[j].Name)
			}
			if i == j || r == 0 {
				continue
			}
			for _, c := range m.Inputs[i].Components {
				if c.Group != "" || c.Shape != Normal {
					return fmt.Errorf("model %q: %q is correlated by the matrix, so its components must be normal and without a group; %q is not",
						m.Name, m.Inputs[i].Name, c.Name)
				}
			}
		}
	}
	return nil
}

// correlation returns the correlation of two parts. The matrix speaks of inputs as wholes, and couples each
// component of one to each of the other in proportion.
func (m *Model) correlation(a, b part) float64 {
	switch {
	case a == b, a.group != "" && a.group == b.group:
		return 1
	case a.input == b.input || m.Correlation == nil:
		return 0
	}
	r := m.Correlation[a.input][b.input]
	if r == 0 {
		return 0
	}
	qa, qb := &m.Inputs[a.input], &m.Inputs[b.input]
	return r * qa.Components[a.component].U / qa.U() * qb.Components[b.component].U / qb.U()
}

// values returns the values of the inputs.
func (m *Model) values() []float64 {
	x := make([]float64, len(m.Inputs))
	for i := range x {
		x[i] = m.Inputs[i].Value
	}
	return x
}

// errNoValue says that a model has no value where it is needed.
var errNoValue = errors.New("the model has no value")

// slope returns ∂F/∂xᵢ by central differences with two steps joined to fourth order. The step is a tenth of the
// uncertainty, or what keeps rounding small where that is more.
func (m *Model) slope(x []float64, i int, u float64) (float64, error) {
	at := x[i]
	h := math.Max(0.1*u, 1e-5*math.Abs(at))
	f := func(d float64) float64 { x[i] = at + d; v := m.F(x); x[i] = at; return v }
	wide := (f(h) - f(-h)) / (2 * h)
	near := (f(h/2) - f(-h/2)) / h
	s := (4*near - wide) / 3
	if math.IsNaN(s) || math.IsInf(s, 0) {
		return 0, fmt.Errorf("model %q: %w beside %s = %g: the uncertainty reaches over the model's border, so give less of it or use Monte Carlo with a model that covers it",
			m.Name, errNoValue, m.Inputs[i].Name, at)
	}
	return s, nil
}

// Budget propagates to first order:
//
//	u²(y) = Σᵢ Σⱼ cᵢ cⱼ u(xᵢ) u(xⱼ) r(xᵢ, xⱼ),  cᵢ = ∂F/∂xᵢ
//
// over all components of all inputs, with the cᵢ by central differences, and gives effective degrees of freedom
//
//	ν = u⁴ / Σ (uₖ⁴/νₖ)
//
// where components that are correlated with one another count as one with the least of their degrees of freedom
// (common practice without a source: the formula itself holds for independent components).
// Source: JCGM 100:2008, eqs. 13 and 16; G.4.1, eq. G.2b.
func (m *Model) Budget() (Budget, error) {
	if err := m.check(); err != nil {
		return Budget{}, err
	}
	x := m.values()
	b := Budget{Name: m.Name, Unit: m.Unit, Value: m.F(x)}
	if math.IsNaN(b.Value) || math.IsInf(b.Value, 0) {
		return b, fmt.Errorf("model %q: %w at the values given: check the inputs", m.Name, errNoValue)
	}
	var parts []part // by row
	for i := range m.Inputs {
		q := &m.Inputs[i]
		most := 0.0
		for _, c := range q.Components {
			most = math.Max(most, math.Abs(c.U))
		}
		if most == 0 {
			continue
		}
		c, err := m.slope(x, i, most)
		if err != nil {
			return b, err
		}
		for n, k := range q.Components {
			parts = append(parts, part{i, n, k.Group})
			b.Rows = append(b.Rows, Row{
				Input: q.Name, Component: k.Name, Group: k.Group, Unit: q.Unit, Value: q.Value,
				U: k.U, DoF: k.DoF, Sensitivity: c, Contribution: c * k.U,
			})
		}
	}
	b.combine(func(i, j int) float64 { return m.correlation(parts[i], parts[j]) })
	return b, nil
}

// combine fills uncertainty, shares and degrees of freedom from the rows' contributions.
func (b *Budget) combine(r func(i, j int) float64) {
	n := len(b.Rows)
	sum := 0.0
	cluster := make([]int, n)
	for i := range cluster {
		cluster[i] = i
	}
	root := func(i int) int {
		for cluster[i] != i {
			i = cluster[i]
		}
		return i
	}
	parts := make([]float64, n) // of u², by row
	for i := range n {
		for j := range n {
			rij := r(i, j)
			if rij == 0 {
				continue
			}
			parts[i] += b.Rows[i].Contribution * b.Rows[j].Contribution * rij
			if i != j {
				cluster[max(root(i), root(j))] = min(root(i), root(j))
			}
		}
		sum += parts[i]
	}
	b.U, b.DoF = math.Sqrt(math.Max(0, sum)), math.Inf(1)
	if b.U == 0 {
		return
	}
	below := 0.0
	for c := range n {
		if root(c) != c {
			continue
		}
		v, least := 0.0, 0.0
		for i := range n {
			if root(i) != c {
				continue
			}
			v += parts[i]
			if d := b.Rows[i].DoF; d > 0 && (least == 0 || d < least) {
				least = d
			}
		}
		if least > 0 {
			below += v * v / least
		}
	}
	for i := range n {
		b.Rows[i].Share = parts[i] / sum
	}
	if below > 0 {
		b.DoF = sum * sum / below
	}
}

// CoverageFactor returns k for which ±k u covers the share p (such as 0.95) of a t distribution with dof degrees of
// freedom, cut down to a whole number; +Inf or 0: normal. Source: JCGM 100:2008, G.3 and G.4.1.
func CoverageFactor(p, dof float64) float64 {
	if !(p > 0 && p < 1) {
		return math.NaN()
	}
	if dof == 0 || dof > 1e6 {
		return distuv.UnitNormal.Quantile((1 + p) / 2)
	}
	return distuv.StudentsT{Sigma: 1, Nu: math.Max(1, math.Floor(dof+1e-9))}.Quantile((1 + p) / 2)
}

// Expanded returns U = k u that covers the share p.
func (b *Budget) Expanded(p float64) float64 {
	if b.U == 0 {
		return 0
	}
	return CoverageFactor(p, b.DoF) * b.U
}
