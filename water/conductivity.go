package water

import "math"

// conductivityDilute are the coefficients L_k of the dilute gas.
// Source: IAPWS R15-11, Table 1.
var conductivityDilute = [5]float64{2.443221e-3, 1.323095e-2, 6.770357e-3, -3.454586e-3, 4.096266e-4}

// conductivityResidual are the coefficients L_ij by rows of i (powers of 1/T̄ − 1), columns of j (powers of ρ̄ − 1).
// Source: IAPWS R15-11, Table 2.
var conductivityResidual = [5][6]float64{
	{1.60397357, -0.646013523, 0.111443906, 0.102997357, -0.0504123634, 0.00609859258},
	{2.33771842, -2.78843778, 1.53616167, -0.463045512, 0.0832827019, -0.00719201245},
	{2.19650529, -4.54580785, 3.55777244, -1.40944978, 0.275418278, -0.0205938816},
	{-1.21051378, 1.60812989, -0.621178141, 0.0716373224, 0, 0},
	{-2.7203370, 4.57586331, -3.18369245, 1.1168348, -0.19268305, 0.012913842},
}

// referenceCompressibility are the coefficients A_ij of ζ at 1.5 times the critical temperature, by rows of the
// density range, columns of powers of ρ̄; compressibilityRange is the upper ρ̄ of all rows but the last.
// Source: IAPWS R15-11, Table 6 and eq. 26.
var (
	referenceCompressibility = [5][6]float64{
		{6.53786807199516, -5.61149954923348, 3.39624167361325, -2.27492629730878, 10.2631854662709, 1.97815050331519},
		{6.52717759281799, -6.30816983387575, 8.08379285492595, -9.82240510197603, 12.1358413791395, -5.54349664571295},
		{5.35500529896124, -3.96415689925446, 8.91990208918795, -12.0338729505790, 9.19494865194302, -2.16866274479712},
		{1.55225959906681, 0.464621290821181, 8.93237374861479, -11.0321960061126, 6.16780999933360, -0.965458722086812},
		{1.11999926419994, 0.595748562571649, 9.88952565078920, -10.3255051147040, 4.66861294457414, -0.503243546373828},
	}
	compressibilityRange = [4]float64{0.310559006, 0.776397516, 1.242236025, 1.863354037}
)

// conductivityBackground returns λ0 λ1 in W/(m K), the conductivity without its critical enhancement:
//
//	λ0 = √T̄ / Σ L_k/T̄^k,  λ1 = exp(ρ̄ Σ (1/T̄ − 1)^i Σ L_ij (ρ̄ − 1)^j),  T̄ = T/647.096 K,  ρ̄ = ρ/322 kg/m³
//
// Source: IAPWS R15-11, eq. 15 to 17.
func conductivityBackground(rho, T float64) float64 {
	t, d := T/CriticalTemperature, rho/criticalDensity
	inv := 1 / t
	dilute := horner(conductivityDilute[:], inv)
	x, y := inv-1, d-1
	residual := 0.0
	for i := len(conductivityResidual) - 1; i >= 0; i-- {
		residual = residual*x + horner(conductivityResidual[i][:], y)
	}
	return 1e-3 * math.Sqrt(t) / dilute * math.Exp(d*residual)
}

// conductivity returns the thermal conductivity in W/(m K) at rho in kg/m³ and T in K, with the critical
// enhancement in its industrial form; cp and cv in J/(kg K), drhodp = (∂ρ/∂p) at constant T in kg/(m³ Pa), mu in
// Pa s without its own enhancement:
//
//	λ = λ0 λ1 + λ2,  λ2 = 177.8514 · 1 mW/(m K) · ρ̄ c̄p T̄/μ̄ · Z(y),  c̄p = cp/0.46151805 kJ/(kg K)
//	Z = 2/(π y) · ( (1 − 1/κ) atan y + y/κ − (1 − exp(−1/(1/y + y²/(3 ρ̄²)))) ),  κ = cp/cv
//	y = ξ/0.40 nm,  ξ = 0.13 nm · (Δχ/0.06)^(0.630/1.239),  Δχ = ρ̄ (ζ(T̄, ρ̄) − ζ(1.5, ρ̄)·1.5/T̄)
//	ζ = ∂ρ̄/∂p̄ at constant T̄
//
// Source: IAPWS R15-11, eq. 18 to 26 and Table 3.
func conductivity(rho, T, cp, cv, drhodp, mu float64) float64 {
	background := conductivityBackground(rho, T)
	excess := compressibilityExcess(rho, T, drhodp)
	if excess <= 0 {
		return background
	}
	return background + conductivityEnhancement(excess, rho, T, cp, cv, mu)
}

// compressibilityExcess returns Δχ, which is above zero where the critical point is felt.
func compressibilityExcess(rho, T, drhodp float64) float64 {
	t, d := T/CriticalTemperature, rho/criticalDensity
	row := 0
	for row < len(compressibilityRange) && d > compressibilityRange[row] {
		row++
	}
	zetaRef := 1 / horner(referenceCompressibility[row][:], d)
	zeta := drhodp * CriticalPressure / criticalDensity
	return d * (zeta - zetaRef*1.5/t)
}

// conductivityEnhancement returns λ2 in W/(m K) for Δχ above zero.
func conductivityEnhancement(excess, rho, T, cp, cv, mu float64) float64 {
	t, d := T/CriticalTemperature, rho/criticalDensity
	y := 0.13 / 0.40 * math.Pow(excess/0.06, 0.630/1.239)
	if y < 1.2e-7 {
		return 0 // Z vanishes there, and its formula loses all digits
	}
	kinv := cv / cp
	z := 2 / (math.Pi * y) * ((1-kinv)*math.Atan(y) + kinv*y + math.Expm1(-1/(1/y+y*y/(3*d*d))))
	return 1e-3 * 177.8514 * d * (cp / 461.51805) * t / (mu * 1e6) * z
}
