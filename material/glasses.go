package material

import "math"

// floats are window glasses; they differ in what they do with light (package glass), not in the rest.
func floats() []Entry {
	one := func(name, text string) Entry {
		return Entry{
			Name: name, Kind: "glass", Text: text,
			Density:      2500,
			HeatCapacity: single(720, iceZero, 250+iceZero),
			Conductivity: Isotropic(single(1, iceZero, 250+iceZero)),
			Emissivity:   math.NaN(),
			ServiceLimit: 250 + iceZero, ServiceSource: "thermally toughened float glass, common practice, from memory; annealed panes crack at differences of some 40 K",
			Spread: Spread{Density: 0.01, HeatCapacity: 0.15, Conductivity: 0.1},
			Sources: []string{
				"density: float glass by EN 572-1, suppliers' public pages",
				"heat capacity: float glass by EN 572-1, suppliers' public pages, 720 J/(kg K); used from 0 to 250 °C, the rise within is carried as 15 %",
				"conductivity: float glass by EN 572-1, suppliers' public pages, 1 W/(m K); used from 0 to 250 °C",
			},
		}
	}
	return []Entry{
		one("soda-lime-glass", "clear soda lime float glass"),
		one("low-iron-glass", "soda lime float glass low in iron"),
	}
}

func glasses() []Entry {
	return append(floats(), []Entry{
		{
			Name: "borosilicate-glass", Kind: "glass", Text: "borosilicate glass 3.3 (ISO 3585)",
			Density:      2230,
			HeatCapacity: single(830, iceZero, 300+iceZero),
			Conductivity: Isotropic(single(1.2, iceZero, 300+iceZero)),
			Emissivity:   math.NaN(),
			ServiceLimit: 500 + iceZero, ServiceSource: "short-term limit of ISO 3585 type 3.3 glass, suppliers' public pages; transformation at 525 °C",
			Spread: Spread{Density: 0.01, HeatCapacity: 0.15, Conductivity: 0.15},
			Sources: []string{
				"density: ISO 3585 type 3.3 glass, suppliers' public pages",
				"heat capacity: ISO 3585 type 3.3 glass, suppliers' public pages, 830 J/(kg K); used from 0 to 300 °C, the rise within is carried as 15 %",
				"conductivity: ISO 3585 type 3.3 glass, suppliers' public pages, 1.2 W/(m K) at 90 °C; used from 0 to 300 °C, the rise within is carried as 15 %",
			},
		},
		{
			Name: "fused-silica", Kind: "glass", Text: "fused silica (quartz glass)",
			Density:      2200,
			HeatCapacity: single(700, iceZero, 100+iceZero),
			Conductivity: Isotropic(single(1.4, iceZero, 100+iceZero)),
			Emissivity:   math.NaN(),
			ServiceLimit: 1000 + iceZero, ServiceSource: "devitrifies under long heating above about 1000 °C, from memory",
			Spread: Spread{Density: 0.01, HeatCapacity: 0.1, Conductivity: 0.1},
			Sources: []string{
				"density: public data pages",
				"heat capacity: public data pages, 670 to 720 J/(kg K) at 20 °C by source, used from 0 to 100 °C; it rises by about half up to 500 °C",
				"conductivity: public data pages, 1.4 W/(m K) at 20 °C, used from 0 to 100 °C",
			},
		},
	}...)
}
