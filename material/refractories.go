package material

import "math"

// refractories are the light and dense refractories of the VDI Heat Atlas. Its rows begin at 400 °C.
func refractories() []Entry {
	row := func(name, text string, density float64, k, cp [5]float64) Entry {
		t := [5]float64{400, 600, 800, 1000, 1200}
		var ks, cps [][2]float64
		for i := range t {
			ks = append(ks, [2]float64{t[i], k[i]})
			cps = append(cps, [2]float64{t[i], cp[i]})
		}
		return Entry{
			Name: name, Kind: "refractory", Text: text, Density: density,
			HeatCapacity: pointsC(cps...), Conductivity: Isotropic(pointsC(ks...)),
			Emissivity:   math.NaN(),
			ServiceLimit: 1200 + iceZero, ServiceSource: "last row of the table in the VDI Heat Atlas, not a limit of the material",
			Spread: Spread{Density: 0.05, HeatCapacity: 0.1, Conductivity: 0.16},
			Sources: []string{"density, heat capacity, conductivity: VDI Heat Atlas, 2nd ed. 2010, refractory table, 400 to 1200 °C; as carried by an open-source property library. " +
				"No row below 400 °C: the first is kept there, which overstates heat stored and lost in the cold part. Scatter between laboratories 8 % (NIST round robin), carried as twice that"},
		}
	}
	return []Entry{
		row("lightweight-refractory-1260", "lightweight refractory brick L1260", 490, [5]float64{0.14, 0.16, 0.18, 0.2, 0.22}, [5]float64{942, 979, 1002, 1017, 1033}),
		row("lightweight-refractory-1400", "lightweight refractory brick L1400", 790, [5]float64{0.27, 0.3, 0.32, 0.34, 0.36}, [5]float64{954, 994, 1018, 1034, 1050}),
		row("fused-silica-refractory", "refractory brick of fused silica", 1940, [5]float64{1.44, 1.53, 1.61, 1.67, 1.73}, [5]float64{917, 946, 963, 972, 982}),
	}
}
