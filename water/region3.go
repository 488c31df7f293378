package water

import "math"

// Region 3 is the dense fluid around the critical point: above 350 °C and above boundary B23, to 100 MPa.

// region3Log is the factor of ln δ, region3Helmholtz the other coefficients of the Helmholtz energy of region 3.
// Source: IAPWS R7-97(2012), Table 30.
const region3Log = 0.10658070028513e1

var region3Helmholtz = [39]term{
	{0, 0, -0.15732845290239e2},
	{0, 1, 0.20944396974307e2},
	{0, 2, -0.76867707878716e1},
	{0, 7, 0.26185947787954e1},
	{0, 10, -0.28080781148620e1},
	{0, 12, 0.12053369696517e1},
	{0, 23, -0.84566812812502e-2},
	{1, 2, -0.12654315477714e1},
	{1, 6, -0.11524407806681e1},
	{1, 15, 0.88521043984318},
	{1, 17, -0.64207765181607},
	{2, 0, 0.38493460186671},
	{2, 2, -0.85214708824206},
	{2, 6, 0.48972281541877e1},
	{2, 7, -0.30502617256965e1},
	{2, 22, 0.39420536879154e-1},
	{2, 26, 0.12558408424308},
	{3, 0, -0.27999329698710},
	{3, 2, 0.13899799569460e1},
	{3, 4, -0.20189915023570e1},
	{3, 16, -0.82147637173963e-2},
	{3, 26, -0.47596035734923},
	{4, 0, 0.43984074473500e-1},
	{4, 2, -0.44476435428739},
	{4, 4, 0.90572070719733},
	{4, 26, 0.70522450087967},
	{5, 1, 0.10770512626332},
	{5, 3, -0.32913623258954},
	{5, 26, -0.50871062041158},
	{6, 0, -0.22175400873096e-1},
	{6, 2, 0.94260751665092e-1},
	{6, 26, 0.16436278447961},
	{7, 2, -0.13503372241348e-1},
	{8, 26, -0.14834345352472e-1},
	{9, 2, 0.57922953628084e-3},
	{9, 26, 0.32308904703711e-2},
	{10, 0, 0.80964802996215e-4},
	{10, 1, -0.16557679795037e-3},
	{11, 26, -0.44923899061815e-4},
}

// region3Densest is above, region3Thinnest below every density of region 3, in kg/m³: 762 at 350 °C and 100 MPa, 113
// in saturated vapour at 350 °C.
const (
	region3Densest  = 800.0
	region3Thinnest = 100.0
)

// helmholtz holds the reduced pressure p/(ρ R T) and what else follows from φ = f/(R T), with δ and τ multiplied in.
type helmholtz struct {
	phi  float64 // φ
	d    float64 // δ φδ, which is p/(ρ R T)
	dd   float64 // δ² φδδ
	t    float64 // τ φτ
	tt   float64 // τ² φττ
	dt   float64 // δ τ φδτ
	rho  float64 // kg/m³
	temp float64 // K
}

// helmholtz3 evaluates the basic equation of region 3 at rho in kg/m³ and T in K:
//
//	f/(R T) = φ(δ, τ) = n1 ln δ + Σ n δ^I τ^J,  δ = ρ/322 kg/m³,  τ = 647.096 K/T
//
// Source: IAPWS R7-97(2012), eq. 28 and Tables 30 and 32.
func helmholtz3(rho, T float64) helmholtz {
	delta, tau := rho/criticalDensity, CriticalTemperature/T
	// τ to the powers that occur more than once.
	t2 := tau * tau
	t4 := t2 * t2
	t6 := t4 * t2
	t12 := t6 * t6
	t26 := t12 * t12 * t2
	a := helmholtz{phi: region3Log * math.Log(delta), d: region3Log, dd: -region3Log, rho: rho, temp: T}
	power, at := 1.0, 0 // δ^I: the terms come in rising I
	for k := range region3Helmholtz {
		c := &region3Helmholtz[k]
		for at < c.i {
			power *= delta
			at++
		}
		v := c.n * power
		switch c.j {
		case 0:
		case 1:
			v *= tau
		case 2:
			v *= t2
		case 4:
			v *= t4
		case 6:
			v *= t6
		case 26:
			v *= t26
		default:
			v *= intPower(tau, c.j)
		}
		i, j := float64(c.i), float64(c.j)
		a.phi += v
		a.d += i * v
		a.dd += i * (i - 1) * v
		a.t += j * v
		a.tt += j * (j - 1) * v
		a.dt += i * j * v
	}
	return a
}

// pressure returns p in Pa, and its derivative by density in Pa m³/kg.
func (a *helmholtz) pressure() (p, byDensity float64) {
	rt := gasConstant * a.temp
	return a.rho * rt * a.d, rt * (2*a.d + a.dd)
}

// byTemperature returns (∂p/∂T) at constant density, in Pa/K.
func (a *helmholtz) byTemperature() float64 { return a.rho * gasConstant * (a.d - a.dt) }

// enthalpy, entropy and cv are in J/kg and J/(kg K).
func (a *helmholtz) enthalpy() float64 { return gasConstant * a.temp * (a.t + a.d) }
func (a *helmholtz) entropy() float64  { return gasConstant * (a.t - a.phi) }
func (a *helmholtz) cv() float64       { return -gasConstant * a.tt }

// phase returns the state that follows from the Helmholtz energy. At the critical point itself cp has no bound: it is
// cut at 1e9 J/(kg K).
// Source: IAPWS R7-97(2012), Table 31.
func (a *helmholtz) phase() phase {
	rt := gasConstant * a.temp
	p, byDensity := a.pressure()
	cross := a.d - a.dt
	floor := gasConstant * cross * cross / 1e9 // of what divides in cp
	stiff := math.Max(2*a.d+a.dd, floor)
	return phase{
		pressure: p,
		T:        a.temp,
		v:        1 / a.rho,
		h:        a.enthalpy(),
		u:        rt * a.t,
		s:        a.entropy(),
		cp:       a.cv() + gasConstant*cross*cross/stiff,
		cv:       a.cv(),
		w:        math.Sqrt(rt * (math.Max(byDensity/rt, 0) - cross*cross/a.tt)),
		drhodp:   1 / (rt * stiff),
		dvdT:     cross / (stiff * a.rho * a.temp),
	}
}

// region3 evaluates the basic equation of region 3 at rho in kg/m³ and T in K.
func region3(rho, T float64) phase {
	a := helmholtz3(rho, T)
	return a.phase()
}

// fluid3 is region 3 at p in Pa and T in K, on the denser side of saturation if dense is set, below the critical
// temperature.
func fluid3(p, T float64, dense bool) phase {
	f := region3(density3(p, T, dense), T)
	f.pressure = p
	return f
}

// density3 returns the density in kg/m³ of region 3 at p in Pa and T in K: of the liquid, where p has two stable
// densities below the critical temperature, if dense is set, else of the vapour.
//
// Newton's method: from above all densities it falls towards the liquid's, for p is a convex function of ρ there; from
// below it rises towards the vapour's, for p is concave there. Each step keeps a bracket; where a step would leave it,
// or p does not rise with ρ (between the two phases), the bracket is halved.
func density3(p, T float64, dense bool) float64 {
	low, high := region3Thinnest, region3Densest
	rho := high
	if !dense {
		rho = low
	}
	for range 200 {
		a := helmholtz3(rho, T)
		at, slope := a.pressure()
		if at > p {
			high = rho
		} else {
			low = rho
		}
		next := rho - (at-p)/slope
		if !(slope > 0 && next > low && next < high) {
			if math.Abs(next-rho) <= 4e-16*rho {
				return rho
			}
			next = 0.5 * (low + high)
			if next <= low || next >= high {
				return rho
			}
		}
		if math.Abs(next-rho) <= 2e-16*rho {
			return next
		}
		rho = next
	}
	return rho
}

// saturated3 returns both phases of region 3 on the saturation line at p in Pa and T in K, between 350 °C and the
// critical point. The saturation line is an equation of its own; where it leaves region 3 with one density only, within
// some thousandths of a kelvin of the critical point, both phases are taken at the critical density at least or at most.
func saturated3(p, T float64) (liquid, vapour phase) {
	l := math.Max(density3(p, T, true), criticalDensity)
	v := math.Min(density3(p, T, false), criticalDensity)
	liquid, vapour = region3(l, T), region3(v, T)
	liquid.pressure, vapour.pressure = p, p
	return liquid, vapour
}
