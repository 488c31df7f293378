package material

const stainlessEmissivity = "emissivity: stainless steel after repeated heating 0.5 to 0.7 at 230 to 900 °C, Thome, lecture table (2008)"

func steels() []Entry {
	cp316 := stretched(points([2]float64{300, 468}, [2]float64{400, 504}, [2]float64{600, 550}, [2]float64{800, 576}, [2]float64{1000, 602}), iceZero, 0)
	return []Entry{
		{
			Name: "stainless-304", Kind: "steel", Metal: "steel", Text: "austenitic stainless steel AISI 304 (1.4301)",
			Density: 8000, HeatCapacity: cp316,
			// Straight line through 16.2 W/(m K), the mean of 0 to 100 °C, at 50 °C and 21.5 at 500 °C.
			Conductivity: Isotropic(Curve{Poly: []float64{16.2, (21.5 - 16.2) / 450}, Zero: 50 + iceZero, Min: iceZero, Max: 600 + iceZero}),
			Emissivity:   0.6,
			ServiceLimit: 870 + iceZero, ServiceSource: "scaling in air under changing temperature, from memory; strength gives way far below, see the pressure code that applies",
			Spread: Spread{Density: 0.02, HeatCapacity: 0.06, Conductivity: 0.08},
			Sources: []string{
				"density: public data sheet AISI type 304, 8000 kg/m³",
				"heat capacity: the row of AISI 316 in " + incropera + ", carried on straight to 0 °C; the data sheet of 304 gives 500 J/(kg K) between 0 and 100 °C, 5 % more: carried as 6 %",
				"conductivity: public data sheet AISI type 304, 16.2 W/(m K) between 0 and 100 °C and 21.5 at 500 °C, joined by a straight line and carried on to 600 °C",
				stainlessEmissivity,
			},
		},
		{
			Name: "stainless-316", Kind: "steel", Metal: "steel", Text: "austenitic stainless steel AISI 316 (1.4401)",
			Density: 8238, HeatCapacity: cp316,
			Conductivity: Isotropic(stretched(points([2]float64{300, 13.4}, [2]float64{400, 15.2}, [2]float64{600, 18.3}, [2]float64{800, 21.3}, [2]float64{1000, 24.2}), iceZero, 0)),
			Emissivity:   0.6,
			ServiceLimit: 870 + iceZero, ServiceSource: "scaling in air under changing temperature, from memory; strength gives way far below, see the pressure code that applies",
			Spread: Spread{Density: 0.03, HeatCapacity: 0.05, Conductivity: 0.08},
			Sources: []string{
				"density, heat capacity, conductivity: " + incropera + ", AISI 316, 300 to 1000 K, carried on straight to 0 °C",
				stainlessEmissivity,
			},
		},
		{
			Name: "carbon-steel", Kind: "steel", Metal: "steel", Text: "structural carbon steel as taken for fire design",
			Density:      7850,
			HeatCapacity: Curve{Poly: []float64{425, 0.773, -1.69e-3, 2.22e-6}, Zero: iceZero, Min: iceZero, Max: 600 + iceZero},
			Conductivity: Isotropic(Curve{Poly: []float64{54, -0.0333}, Zero: iceZero, Min: iceZero, Max: 800 + iceZero}),
			Emissivity:   0.79,
			ServiceLimit: 425 + iceZero, ServiceSource: "graphitisation under long heating above about 425 °C, from memory",
			Memory: []string{"density", "conductivity"},
			Spread: Spread{Density: 0.2, HeatCapacity: 0.05, Conductivity: 0.2},
			Sources: []string{
				"density: EN 1993-1-2:2005, 7850 kg/m³, from memory",
				"heat capacity: EN 1993-1-2:2005, 3.4.1.2, 20 to 600 °C, used from 0 °C",
				"conductivity: EN 1993-1-2:2005, 3.4.1.3, 20 to 800 °C, from memory, used from 0 °C",
				"emissivity: steel oxidised at 600 °C, a pyrometer maker's public table; polished 0.07 to 0.10 (Thome, lecture table 2008)",
			},
		},
		{
			Name: "carbon-steel-1010", Kind: "steel", Metal: "steel", Text: "low-carbon steel AISI 1010, a common tube steel",
			Density:      7832,
			HeatCapacity: stretched(points([2]float64{300, 434}, [2]float64{400, 487}, [2]float64{600, 559}, [2]float64{800, 685}, [2]float64{1000, 1168}), iceZero, 0),
			Conductivity: Isotropic(stretched(points([2]float64{300, 63.9}, [2]float64{400, 58.7}, [2]float64{600, 48.8}, [2]float64{800, 39.2}, [2]float64{1000, 31.3}), iceZero, 0)),
			Emissivity:   0.79,
			ServiceLimit: 425 + iceZero, ServiceSource: "graphitisation under long heating above about 425 °C, from memory",
			Memory: []string{"density", "heat capacity", "conductivity"},
			Spread: Spread{Density: 0.2, HeatCapacity: 0.2, Conductivity: 0.2},
			Sources: []string{
				"density, heat capacity, conductivity: " + incropera + ", AISI 1010, 300 to 1000 K, quoted from memory, carried on straight to 0 °C",
				"emissivity: steel oxidised at 600 °C, a pyrometer maker's public table",
			},
		},
	}
}
