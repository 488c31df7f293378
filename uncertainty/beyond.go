package uncertainty

import (
	"fmt"
	"math"
)

// SecondOrder returns what the next terms of the series add to u, to be joined by the root of the sum of squares:
//
//	Σᵢ Σⱼ [½ (∂²F/∂xᵢ∂xⱼ)² + ∂F/∂xᵢ ∂³F/∂xᵢ∂xⱼ²] u²(xᵢ) u²(xⱼ)
//
// for inputs that are independent of one another; below zero when the terms lower u². The result is the root with
// that sign. Source: JCGM 100:2008, 5.1.2, note.
func (m *Model) SecondOrder() (float64, error) {
	if err := m.check(); err != nil {
		return 0, err
	}
	const step = 0.25 // of u: small enough for derivatives, large enough against rounding
	x := m.values()
	n := len(x)
	u := make([]float64, n)
	for i := range u {
		u[i] = m.Inputs[i].U()
	}
	at := func(i int, a float64, j int, b float64) float64 {
		xi, xj := x[i], x[j]
		x[i] += a
		x[j] += b
		v := m.F(x)
		x[i], x[j] = xi, xj
		return v
	}
	sum := 0.0
	for i := range n {
		for j := range n {
			if u[i] == 0 || u[j] == 0 {
				continue
			}
			a, b := step*u[i], step*u[j]
			var mixed, third float64 // times the uncertainties that they carry
			zero := at(i, 0, j, 0)
			if i == j {
				mixed = at(i, a, j, 0) - 2*zero + at(i, -a, j, 0)
				third = (at(i, 2*a, j, 0) - 2*at(i, a, j, 0) + 2*at(i, -a, j, 0) - at(i, -2*a, j, 0)) / 2
			} else {
				mixed = (at(i, a, j, b) - at(i, a, j, -b) - at(i, -a, j, b) + at(i, -a, j, -b)) / 4
				third = (at(i, a, j, b) - 2*at(i, a, j, 0) + at(i, a, j, -b) - at(i, -a, j, b) + 2*at(i, -a, j, 0) - at(i, -a, j, -b)) / 2
			}
			first := (at(i, a, j, 0) - at(i, -a, j, 0)) / 2
			sum += (mixed*mixed/2 + first*third) / (step * step * step * step)
		}
	}
	if math.IsNaN(sum) || math.IsInf(sum, 0) {
		return 0, fmt.Errorf("model %q: %w within half the uncertainties", m.Name, errNoValue)
	}
	return math.Copysign(math.Sqrt(math.Abs(sum)), sum), nil
}

// Correlation returns r(y₁, y₂) of two models of the same inputs, to first order. Both must have the same Inputs in
// the same order and the same Correlation. Source: JCGM 100:2008, H.2.3, eq. H.9.
func Correlation(a, b *Model) (float64, error) {
	both := *a
	sum := func(ka, kb float64) (float64, error) {
		both.F = func(x []float64) float64 { return ka*a.F(x) + kb*b.F(x) }
		t, err := both.Budget()
		return t.U, err
	}
	ua, err := sum(1, 0)
	if err != nil {
		return 0, err
	}
	ub, err := sum(0, 1)
	if err != nil || ua == 0 || ub == 0 {
		return 0, err
	}
	more, err := sum(1/ua, 1/ub)
	if err != nil {
		return 0, err
	}
	less, err := sum(1/ua, -1/ub)
	return (more*more - less*less) / 4, err
}
