package material

import "math"

// insulations are the thermal insulations. Conductivities are apparent ones at the layer's own temperature.
// Data sheets print them over mean temperature; for curves this smooth the two differ little.
func insulations() []Entry {
	memory := []string{"density", "heat capacity", "conductivity"}
	ashrae := "ASHRAE Handbook Fundamentals; as carried by an open-source property library"
	scatter := "seven laboratories differed by 7 to 8 % (standard deviation) on one and the same board (NIST round robin, guarded hot plate, 297-773 K)"
	list := []Entry{
		{
			Name: "microporous-board", Text: "pressed fumed-silica board with opacifier, about 230 kg/m³",
			Density:      230,
			HeatCapacity: pointsC([2]float64{0, 780}, [2]float64{200, 920}, [2]float64{400, 1000}, [2]float64{800, 1080}),
			Conductivity: Isotropic(pointsC([2]float64{0, 0.020}, [2]float64{200, 0.022}, [2]float64{400, 0.026}, [2]float64{600, 0.032}, [2]float64{800, 0.042})),
			ServiceLimit: 1000 + iceZero, ServiceSource: "usual maker's limit, from memory; loses its worth for good where it gets wet",
			Memory: memory, Spread: Spread{Density: 0.2, HeatCapacity: 0.2, Conductivity: 0.25},
			Sources: []string{"density, heat capacity, conductivity: typical makers' figures, 0 to 800 °C, from memory: no public table was found; " + scatter},
		},
		{
			Name: "ceramic-fibre-blanket", Text: "alumina-silica fibre blanket, 128 kg/m³",
			Density:      128,
			HeatCapacity: pointsC([2]float64{0, 780}, [2]float64{200, 920}, [2]float64{400, 1010}, [2]float64{1000, 1130}),
			Conductivity: Isotropic(pointsC([2]float64{0, 0.032}, [2]float64{200, 0.06}, [2]float64{400, 0.10}, [2]float64{600, 0.15}, [2]float64{800, 0.22}, [2]float64{1000, 0.31})),
			ServiceLimit: 1100 + iceZero, ServiceSource: "continuous use of the 1260 °C class, from memory",
			Memory: memory, Spread: Spread{Density: 0.2, HeatCapacity: 0.2, Conductivity: 0.25},
			Sources: []string{"density, heat capacity, conductivity: typical makers' figures, 0 to 1000 °C, from memory: no public table was found; " + scatter},
		},
		{
			Name: "mineral-wool", Text: "felted mineral wool, 100 kg/m³",
			Density:      97.5,
			HeatCapacity: single(840, iceZero, 600+iceZero),
			Conductivity: Isotropic(pointsC([2]float64{0, 0.033}, [2]float64{24, 0.035}, [2]float64{100, 0.044}, [2]float64{200, 0.060}, [2]float64{300, 0.081}, [2]float64{400, 0.107}, [2]float64{500, 0.14}, [2]float64{600, 0.18})),
			ServiceLimit: 650 + iceZero, ServiceSource: "about 1200 °F for the high-temperature classes in a public guide to the ASTM insulation standards; the binder smokes off from about 200 °C, from memory",
			Memory: []string{"conductivity"}, Spread: Spread{Density: 0.1, HeatCapacity: 0.15, Conductivity: 0.25},
			Sources: []string{
				"density, heat capacity: mineral wool felted, " + ashrae,
				"conductivity: 0.035 W/(m K) at room temperature, " + ashrae + "; the rise with temperature from memory; " + scatter,
			},
		},
		{
			Name: "mineral-wool-light", Text: "felted mineral wool, 32 kg/m³, at room temperature",
			Density:      32,
			HeatCapacity: single(840, iceZero, 60+iceZero),
			Conductivity: Isotropic(single(0.04, iceZero, 60+iceZero)),
			Spread:       Spread{Density: 0.1, HeatCapacity: 0.1, Conductivity: 0.15},
			Sources:      []string{"density, heat capacity, conductivity: mineral wool felted, " + ashrae + "; a room-temperature value, used from 0 to 60 °C"},
		},
		{
			Name: "calcium-silicate", Text: "calcium silicate block, ASTM C533 type I",
			Density:      240,
			HeatCapacity: single(840, iceZero, 649+iceZero),
			Conductivity: Isotropic(stretched(pointsC([2]float64{38, 0.059}, [2]float64{93, 0.065}, [2]float64{149, 0.072}, [2]float64{204, 0.079},
				[2]float64{260, 0.087}, [2]float64{316, 0.095}, [2]float64{371, 0.102}), iceZero, 649+iceZero)),
			ServiceLimit: 649 + iceZero, ServiceSource: "ASTM C533, Table 1, type I, as quoted by a maker's public page",
			Memory: memory, Spread: Spread{Density: 0.2, HeatCapacity: 0.2, Conductivity: 0.2},
			Sources: []string{
				"density, heat capacity: typical, from memory",
				"conductivity: the standard's limit, so that a good block does better: 0.0591 W/(m K) at 38 °C, ASTM C533, Table 1, type I, as quoted by a maker's public page; the rise to 371 °C from memory and carried on straight; " + scatter,
			},
		},
		{
			Name: "calcium-silicate-ii", Text: "calcium silicate block, ASTM C533 type II, at room temperature",
			Density:      350,
			HeatCapacity: single(840, iceZero, 100+iceZero),
			Conductivity: Isotropic(single(0.07211, iceZero, 100+iceZero)),
			ServiceLimit: 927 + iceZero, ServiceSource: "ASTM C533, Table 1, type II, as quoted by a maker's public page",
			Memory: []string{"density", "heat capacity"}, Spread: Spread{Density: 0.2, HeatCapacity: 0.2, Conductivity: 0.16},
			Sources: []string{
				"density, heat capacity: typical, from memory",
				"conductivity: ASTM C533, Table 1, types IA and II, limit at 38 °C, as quoted by a maker's public page; used from 0 to 100 °C; " + scatter,
			},
		},
		{
			Name: "vermiculite-loose", Text: "exfoliated vermiculite, loose fill, 120 kg/m³",
			Density:      120,
			HeatCapacity: single(1340, iceZero, 600+iceZero),
			Conductivity: Isotropic(pointsC([2]float64{0, 0.064}, [2]float64{24, 0.068}, [2]float64{200, 0.11}, [2]float64{400, 0.16}, [2]float64{600, 0.22})),
			ServiceLimit: 1100 + iceZero, ServiceSource: "sinters above, from memory",
			Memory: []string{"conductivity"}, Spread: Spread{Density: 0.15, HeatCapacity: 0.2, Conductivity: 0.3},
			Sources: []string{
				"density, heat capacity: exfoliated vermiculite loose fill, " + ashrae,
				"conductivity: 0.068 W/(m K) at room temperature, " + ashrae + "; the rise with temperature from memory",
			},
		},
		{
			Name: "vermiculite-board", Text: "pressed vermiculite board",
			Density:      400,
			HeatCapacity: pointsC([2]float64{0, 850}, [2]float64{400, 1000}, [2]float64{800, 1080}),
			Conductivity: Isotropic(pointsC([2]float64{0, 0.10}, [2]float64{200, 0.12}, [2]float64{400, 0.145}, [2]float64{500, 0.16}, [2]float64{800, 0.21})),
			ServiceLimit: 1200 + iceZero, ServiceSource: "a supplier's public page",
			Memory: memory, Spread: Spread{Density: 0.25, HeatCapacity: 0.2, Conductivity: 0.25},
			Sources: []string{
				"density, heat capacity: typical, from memory",
				"conductivity: 0.16 W/(m K) at 500 °C, a supplier's public page; the course with temperature from memory",
			},
		},
		{
			Name: "cellular-glass", Text: "closed-cell foamed glass, 130 kg/m³",
			Density:      130,
			HeatCapacity: single(750, iceZero, 400+iceZero),
			Conductivity: Isotropic(pointsC([2]float64{0, 0.044}, [2]float64{24, 0.048}, [2]float64{100, 0.063}, [2]float64{200, 0.09}, [2]float64{300, 0.125}, [2]float64{400, 0.17})),
			ServiceLimit: 427 + iceZero, ServiceSource: "ASTM C552, 800 °F, in a public guide to the ASTM insulation standards",
			Memory: []string{"conductivity"}, Spread: Spread{Density: 0.1, HeatCapacity: 0.15, Conductivity: 0.25},
			Sources: []string{
				"density, heat capacity: cellular glass, " + ashrae,
				"conductivity: 0.048 W/(m K) at room temperature, " + ashrae + "; the rise with temperature from memory",
			},
		},
	}
	for i := range list {
		list[i].Kind = "insulation"
		list[i].Emissivity = math.NaN()
	}
	return list
}
