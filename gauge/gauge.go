// Package gauge reduces what instruments say of light to the power on a window, with its budget of uncertainty: a
// calorimeter through which water flows, a plate that heats up, and flux gauges at several places.
//
// It knows numbers only. Each input is a quantity of package uncertainty in SI; its components are what makes it
// uncertain. Left out: corrections that hang on an instrument's make, and readings over time (a trial's record has those).
package gauge

import "emberbank/uncertainty"

// Water returns the power P (W) of light on the opening of a calorimeter through which water flows, when nothing changes
// any more:
//
//	P = (ṁ c ΔT + lost)/taken
//
// flow ṁ in kg/s, rise ΔT in K, the water's specific heat capacity c in J/(kg K), what the calorimeter loses to its
// surroundings in W, and the share of the light that it takes up.
// Source: heat balance of the calorimeter.
func Water(flow, rise, capacity, lost, taken uncertainty.Quantity) (uncertainty.Budget, error) {
	m := uncertainty.Model{
		Name: "power on the window", Unit: "W",
		Inputs: []uncertainty.Quantity{flow, rise, capacity, lost, taken},
		F:      func(x []float64) float64 { return (x[0]*x[1]*x[2] + x[3]) / x[4] },
	}
	return m.Budget()
}

// Plate returns the power P (W) of light on a plate that heats up, loses little meanwhile, and is of even temperature:
//
//	P = (m c ΔT/Δt + lost)/taken
//
// mass m in kg, heat capacity c in J/(kg K), its rise ΔT in K within the time Δt in s, what it loses in W at the middle of
// that time, and the share of the light that it takes up.
// Source: heat balance of the plate.
func Plate(mass, capacity, rise, time, lost, taken uncertainty.Quantity) (uncertainty.Budget, error) {
	m := uncertainty.Model{
		Name: "power on the window", Unit: "W",
		Inputs: []uncertainty.Quantity{mass, capacity, rise, time, lost, taken},
		F:      func(x []float64) float64 { return (x[0]*x[1]*x[2]/x[3] + x[4]) / x[5] },
	}
	return m.Budget()
}

// Gauges returns the power P (W) of light whose flux (W/m²) gauges read at places that each stand for the same area (m²):
//
//	P = k A Σ qᵢ
//
// k is the calibration, about 1, which all readings share.
// Source: integral by the rule of midpoints; how far it is off between the places is not known here.
func Gauges(area, calibration uncertainty.Quantity, readings []uncertainty.Quantity) (uncertainty.Budget, error) {
	m := uncertainty.Model{
		Name: "power on the window", Unit: "W",
		Inputs: append([]uncertainty.Quantity{area, calibration}, readings...),
		F: func(x []float64) float64 {
			sum := 0.0
			for _, q := range x[2:] {
				sum += q
			}
			return x[0] * x[1] * sum
		},
	}
	return m.Budget()
}
