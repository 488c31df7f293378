package water

import "math"

// viscosityDilute are the coefficients H_i of the dilute gas.
// Source: IAPWS R12-08, Table 1.
var viscosityDilute = [4]float64{1.67752, 2.20462, 0.6366564, -0.241605}

// viscosityResidual are the coefficients H_ij by rows of i (powers of 1/T̄ − 1), columns of j (powers of ρ̄ − 1).
// Source: IAPWS R12-08, Table 2.
var viscosityResidual = [6][7]float64{
	{5.20094e-1, 2.22531e-1, -2.81378e-1, 1.61913e-1, -3.25372e-2, 0, 0},
	{8.50895e-2, 9.99115e-1, -9.06851e-1, 2.57399e-1, 0, 0, 0},
	{-1.08374, 1.88797, -7.72479e-1, 0, 0, 0, 0},
	{-2.89555e-1, 1.26613, -4.89837e-1, 0, 6.98452e-2, 0, -4.35673e-3},
	{0, 0, -2.57040e-1, 0, 0, 8.72102e-3, 0},
	{0, 1.20573e-1, 0, 0, 0, 0, -5.93264e-4},
}

// viscosity returns the dynamic viscosity in Pa s at rho in kg/m³ and T in K:
//
//	μ = 1 µPa s · μ0(T̄) · μ1(T̄, ρ̄),  T̄ = T/647.096 K,  ρ̄ = ρ/322 kg/m³
//	μ0 = 100 √T̄ / Σ H_i/T̄^i
//	μ1 = exp(ρ̄ Σ (1/T̄ − 1)^i Σ H_ij (ρ̄ − 1)^j)
//
// The critical enhancement μ2 is set to one, as the release advises for industrial use; it matters only close to
// the critical point.
// Source: IAPWS R12-08, eq. 10 to 12 and section 3.
func viscosity(rho, T float64) float64 {
	t, d := T/CriticalTemperature, rho/criticalDensity
	inv := 1 / t
	dilute := 0.0
	for i := len(viscosityDilute) - 1; i >= 0; i-- {
		dilute = dilute*inv + viscosityDilute[i]
	}
	x, y := inv-1, d-1
	residual := 0.0
	for i := len(viscosityResidual) - 1; i >= 0; i-- {
		residual = residual*x + horner(viscosityResidual[i][:], y)
	}
	return 1e-6 * 100 * math.Sqrt(t) / dilute * math.Exp(d*residual)
}

// horner returns Σ c[j] x^j.
func horner(c []float64, x float64) float64 {
	sum := 0.0
	for j := len(c) - 1; j >= 0; j-- {
		sum = sum*x + c[j]
	}
	return sum
}
