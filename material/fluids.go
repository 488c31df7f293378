package material

import "math"

// fluids are what may stand still in a part: air in a gap too narrow to circulate, molten salt.
func fluids() []Entry {
	air := Entry{
		Name: "air", Kind: "gas", Text: "still dry air at 1 atm; its density is that at 20 °C throughout",
		Density: 1.204,
		HeatCapacity: pointsC([2]float64{0, 1006}, [2]float64{40, 1007}, [2]float64{60, 1007}, [2]float64{100, 1009}, [2]float64{140, 1013},
			[2]float64{200, 1023}, [2]float64{300, 1044}, [2]float64{400, 1069}, [2]float64{500, 1093}),
		Conductivity: Isotropic(airConductivity()),
		Emissivity:   math.NaN(),
		Spread:       Spread{Density: 0.01, HeatCapacity: 0.01, Conductivity: 0.03},
		Sources: []string{
			"density: Cengel & Ghajar, Heat and Mass Transfer, Table A-15 (1 atm), brought to 20 °C by the ideal gas law",
			"heat capacity, conductivity: Cengel & Ghajar, Heat and Mass Transfer, Table A-15, 0 to 500 °C",
		},
	}
	salt := Entry{
		Name: "solar-salt", Kind: "salt", Metal: "salt", Text: "molten salt, 60 % NaNO3 and 40 % KNO3, as a still liquid; its freezing is left out",
		// No density at 20 °C: the liquid's at 300 °C.
		Density: 1899.2, LiquidDensity: 2090 - 0.636*260,
		HeatCapacity: Curve{Poly: []float64{1443, 0.172}, Zero: iceZero, Min: 260 + iceZero, Max: 600 + iceZero},
		Conductivity: Isotropic(Curve{Poly: []float64{0.443, 1.9e-4}, Zero: iceZero, Min: 260 + iceZero, Max: 600 + iceZero}),
		Emissivity:   math.NaN(),
		ServiceLimit: 600 + iceZero, ServiceSource: "upper end of the range in Zavoico, SAND2001-2100 (2001)",
		Spread: Spread{Density: 0.1, HeatCapacity: 0.05, Conductivity: 0.1},
		Sources: []string{"density, heat capacity, conductivity: Zavoico, Solar Power Tower Design Basis Document, SAND2001-2100 (2001), 260 to 600 °C; " +
			"density 2090 - 0.636 t kg/m³ with t in °C, taken at 300 °C and held, its course carried as 10 %"},
	}
	return []Entry{air, salt}
}

// airConductivity is the conductivity of dry air at 1 atm in W/(m K), 0 to 500 °C.
// Source: Cengel & Ghajar, Heat and Mass Transfer, Table A-15.
func airConductivity() Curve {
	return pointsC([2]float64{0, 0.02364}, [2]float64{40, 0.02662}, [2]float64{60, 0.02808}, [2]float64{100, 0.03095}, [2]float64{140, 0.03374},
		[2]float64{200, 0.03779}, [2]float64{300, 0.04418}, [2]float64{400, 0.05015}, [2]float64{500, 0.05572})
}
