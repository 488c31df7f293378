package film

import "math"

// airRow is one line of the table of dry air at 1 atm.
type airRow struct {
	celsius      float64
	heatCapacity float64 // J/(kg K)
	conductivity float64 // W/(m K)
}

// airRows returns the table of dry air at 1 atm (101325 Pa).
// Source: Cengel & Ghajar, Heat and Mass Transfer, Table A-15.
func airRows() [9]airRow {
	return [9]airRow{
		{0, 1006, 0.02364},
		{40, 1007, 0.02662},
		{60, 1007, 0.02808},
		{100, 1009, 0.03095},
		{140, 1013, 0.03374},
		{200, 1023, 0.03779},
		{300, 1044, 0.04418},
		{400, 1069, 0.05015},
		{500, 1093, 0.05572},
	}
}

// Limits of the table of air, K. Outside and Gap say so when they leave it.
const (
	airFrom = 273.15 - 50 // 50 K below the first row, where a straight line still holds
	airTo   = 773.15
)

// Sutherland returns the viscosity of air in Pa s at T in K:
//
//	μ = 1.716·10⁻⁵ (T/273.15)^1.5 (273.15 + 110.4)/(T + 110.4)
//
// Source: Sutherland's law with the usual constants for air, as in White,
// Viscous Fluid Flow, Table 1-2 (the source from memory); it was checked to
// lie within 1 % of Cengel & Ghajar, Table A-15.
func Sutherland(T float64) float64 {
	return 1.716e-5 * math.Pow(T/273.15, 1.5) * (273.15 + 110.4) / (T + 110.4)
}

// AirAt returns the properties of dry air at 1 atm and T in K.
//
// Heat capacity and conductivity are straight lines between the rows of Cengel
// & Ghajar, Table A-15 (0..500 °C), carried on along the first and last line
// beyond them and held within 100..2000 K. Viscosity is Sutherland's law times
// 1.0053, which brings it to the table's rows to within 0.3 %. Density is that
// of an ideal gas, p/(R T), R = 287.055 J/(kg K); expansion is 1/T.
func AirAt(T float64) Fluid {
	T = reach(T, 100, 2000)
	t := T - 273.15
	rows := airRows()
	i := 0
	for i < len(rows)-2 && t > rows[i+1].celsius {
		i++
	}
	a, b := rows[i], rows[i+1]
	u := (t - a.celsius) / (b.celsius - a.celsius)
	cp := a.heatCapacity + u*(b.heatCapacity-a.heatCapacity)
	k := a.conductivity + u*(b.conductivity-a.conductivity)
	mu := 1.0053 * Sutherland(T)
	return Fluid{
		Density:      101325 / (287.055 * T),
		Viscosity:    mu,
		Conductivity: k,
		HeatCapacity: cp,
		Prandtl:      mu * cp / k,
		Expansion:    1 / T,
	}
}
