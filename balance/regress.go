package balance

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// regression is a linear least-squares fit whose uncertainties allow for the memory of the residuals.
type regression struct {
	beta, u   []float64
	residuals []float64
	memory    float64
	scatter   float64
	dof       float64
}

// regress fits y = Σ βⱼ xⱼ by ordinary least squares. The covariance of β is
//
//	(XᵀX)⁻¹ Xᵀ Ω X (XᵀX)⁻¹
//
// with Ω of a first-order autoregression whose coefficient and size come from the residuals; degrees of freedom are
// those of the effective number of values.
// Source of the form: common for least squares with correlated errors; memory: see memory.
func regress(columns [][]float64, y []float64) (*regression, error) {
	n, p := len(y), len(columns)
	if n <= p+2 {
		return nil, fmt.Errorf("%d values cannot determine %d parameters with their uncertainty", n, p)
	}
	scale := make([]float64, p)
	x := mat.NewDense(n, p, nil)
	for j, c := range columns {
		for _, v := range c {
			scale[j] = math.Max(scale[j], math.Abs(v))
		}
		if scale[j] == 0 {
			return nil, fmt.Errorf("a regressor is zero throughout")
		}
		for i, v := range c {
			x.Set(i, j, v/scale[j])
		}
	}
	var qr mat.QR
	qr.Factorize(x)
	if qr.Cond() > 1e12 {
		return nil, fmt.Errorf("the data cannot tell the parameters apart")
	}
	var beta mat.VecDense
	if err := qr.SolveVecTo(&beta, false, mat.NewVecDense(n, y)); err != nil {
		return nil, fmt.Errorf("fitting a line: %w", err)
	}
	r := &regression{beta: make([]float64, p), u: make([]float64, p), residuals: make([]float64, n)}
	sum := 0.0
	for i := range y {
		fit := 0.0
		for j := range p {
			fit += x.At(i, j) * beta.AtVec(j)
		}
		r.residuals[i] = y[i] - fit
		sum += r.residuals[i] * r.residuals[i]
	}
	r.memory = memory(r.residuals, p)
	rho := r.memory
	worth := math.Max(effective(rho, n), float64(p)+1)
	r.dof = math.Max(1, worth-float64(p))
	s2 := sum / float64(n) * worth / r.dof
	r.scatter = math.Sqrt(s2)
	// Slow noise under fast noise: see levels.
	two := func(d float64) float64 { return t95(d, 2) }
	if sd, _, d := levels(r.residuals, p, two); sd*two(d) > math.Sqrt(s2*ofMean(rho, n))*two(r.dof) {
		s2, r.dof = sd*sd/ofMean(rho, n), d
	}
	// XᵀΩX by one recursion: z_i = x_i + ρ z_{i−1} gives Σ_j ρ^|i−j| x_j = z_i forward + z_i backward − x_i.
	omega := mat.NewDense(n, p, nil)
	for j := range p {
		z := 0.0
		for i := range n {
			z = x.At(i, j) + rho*z
			omega.Set(i, j, z-x.At(i, j))
		}
		z = 0
		for i := n - 1; i >= 0; i-- {
			z = x.At(i, j) + rho*z
			omega.Set(i, j, omega.At(i, j)+z)
		}
	}
	var middle, normal, inv, cov mat.Dense
	middle.Mul(x.T(), omega)
	normal.Mul(x.T(), x)
	if err := inv.Inverse(&normal); err != nil {
		return nil, fmt.Errorf("the data cannot tell the parameters apart: %w", err)
	}
	cov.Mul(&inv, &middle)
	cov.Mul(&cov, &inv)
	for j := range p {
		r.beta[j] = beta.AtVec(j) / scale[j]
		r.u[j] = math.Sqrt(math.Max(0, s2*cov.At(j, j))) / scale[j]
	}
	return r, nil
}
