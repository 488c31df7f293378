package verify

import (
	"math"

	"emberbank/film"
)

const (
	tubeFlowTopic = "flow in tubes"
	airTopic      = "convection of air"
	boilingTopic  = "boiling"
	tenDigits     = 2e-9 // evaluated to ten digits
	recomputed    = "; recomputed to ten digits"
)

func tubeFlows() []known {
	at := func(f func() float64) func(*outcome) float64 { return asked(f) }
	rows := from("Gnielinski, Int. Chem. Eng. 16 (1976) 359; Incropera Eq. 8.62"+recomputed, "to the digits given",
		near("Gnielinski, Re = 100 000, Pr = 1.2, f = 0.0185: Nusselt number", "1", 254.6268275, tenDigits, at(func() float64 { return film.Gnielinski(1e5, 1.2, 0.0185) })),
		near("Gnielinski with Filonenko's friction, Re = 5000, Pr = 6: Nusselt number", "1", 38.18655353, tenDigits, at(func() float64 { return film.Gnielinski(5000, 6, film.Filonenko(5000)) })))
	rows = append(rows, from("Petukhov, Advances in Heat Transfer 6 (1970) 503"+recomputed, "to the digits given",
		near("Petukhov, Re = 20 000: friction factor", "1", 0.02615142915, tenDigits, at(func() float64 { return film.Petukhov(2e4) })))...)
	rows = append(rows, from("Dittus & Boelter (1930); Incropera Eq. 8.60"+recomputed, "to the digits given",
		near("Dittus and Boelter, heated, Re = 100 000, Pr = 1.2: Nusselt number", "1", 247.4003641, tenDigits, at(func() float64 { return film.DittusBoelter(1e5, 1.2, true) })))...)
	rows = append(rows, from("Hausen (1943); Incropera Eq. 8.57"+recomputed, "to the digits given",
		near("Hausen, Re = 1000, Pr = 5, D/L = 0.01: Nusselt number", "1", 5.8247778, 1e-8, at(func() float64 { return film.Hausen(1000, 5, 0.01) })))...)
	rows = append(rows, from("Churchill, Chem. Eng. 84 (1977) 91"+recomputed, "to the digits given",
		near("Churchill, Re = 3000, e/D = 0.0001: friction factor", "1", 0.04304899257, tenDigits, at(func() float64 { return film.Friction(3000, 1e-6, 0.01) })),
		near("Churchill, Re = 10^6, e/D = 0.01: friction factor", "1", 0.03799149951, tenDigits, at(func() float64 { return film.Friction(1e6, 1e-4, 0.01) })))...)
	rows = append(rows, from("Colebrook (1939)"+recomputed, "to the digits given",
		near("Colebrook, Re = 10 000, e/D = 0.001: friction factor", "1", 0.03238180636, tenDigits, at(func() float64 { return film.Colebrook(1e4, 0.001) })))...)
	out := []known{{topic: tubeFlowTopic, title: "correlations of tubes", rows: rows}}

	// Through runs: a tube of 10 mm through 100 mm of a block 1 K warmer than its water of 61 °C and 5 bar, whose
	// properties are those of a steam table: 982.867 kg/m³, 459.181 µPa s, 0.652173 W/(m K), Pr 2.94468.
	const why = "tube of 10 mm through 100 mm, 1 K warmer than water of 61 °C and 5 bar by a steam table; 0.5 %: the water warms by up to 0.1 K, and its properties at the wall differ by 1.6 %"
	coefficient := func(o *outcome) float64 {
		chains := o.res.Chains
		if len(chains) == 0 {
			return math.NaN()
		}
		for _, l := range chains[len(chains)-1].Links {
			if l.Name == "film" {
				return 1 / (l.Resistance * math.Pi * 0.01 * 0.1)
			}
		}
		return math.NaN()
	}
	const friction = "Churchill, Chem. Eng. 84 (1977) 91; evaluated"
	drop := func(pascal float64, flow string) wanted {
		w := near("water of "+flow+" in a tube of 10 mm: pressure drop", "Pa", pascal, 5e-3, lastValue("circuit 1 pressure drop", 1))
		w.source = friction
		return w
	}
	coating := func(h float64, flow string) wanted {
		return near("water of "+flow+" in a tube of 10 mm: film coefficient", "W/(m2 K)", h, 5e-3, coefficient)
	}
	return append(out,
		known{topic: tubeFlowTopic, title: "turbulent flow in a tube", file: "tube-flow.yaml", fill: map[string]any{"Flow": 0.1, "Along": "width"}, rows: from(
			"Gnielinski, Int. Chem. Eng. 16 (1976) 359 with Filonenko's friction and the entry factor 1 + (D/L)^(2/3) (the factor from memory); evaluated", why,
			coating(10820.6555, "0.1 kg/s"), drop(200.217942, "0.1 kg/s"))},
		known{topic: tubeFlowTopic, title: "laminar flow in a level tube", file: "tube-flow.yaml", fill: map[string]any{"Flow": 0.005, "Along": "width"}, rows: from(
			friction, why, drop(0.9517416475, "0.005 kg/s"))},
		known{topic: tubeFlowTopic, title: "laminar flow in an upright tube", file: "tube-flow.yaml", fill: map[string]any{"Flow": 0.005, "Along": "height"}, rows: from(
			"Hausen, Z. VDI Beih. Verfahrenstechnik 4 (1943) 91; Incropera Eq. 8.57; evaluated", why+"; upright, so that buoyancy does not stir across the tube",
			coating(794.272706, "0.005 kg/s, upright"))})
}

func airs() []known {
	at := func(f func() float64) func(*outcome) float64 { return asked(f) }
	rows := from("Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975) 1323; Incropera Eqs. 9.26 and 9.27"+recomputed, "to the digits given",
		near("upright plate, Ra = 1.8147e9, Pr = 0.69: Nusselt number", "1", 147.1618522, tenDigits, at(func() float64 { return film.ChurchillChuPlate(1814700000, 0.69) })),
		near("upright plate, laminar form, Ra = 5e6, Pr = 0.69: Nusselt number", "1", 24.91900341, tenDigits, at(func() float64 { return film.ChurchillChuPlateLaminar(5e6, 0.69) })))
	rows = append(rows, from("Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975) 1049; Incropera Eq. 9.34"+recomputed, "to the digits given",
		near("level cylinder, Ra = 1.8e9, Pr = 0.69: Nusselt number", "1", 138.7773821, tenDigits, at(func() float64 { return film.ChurchillChuCylinder(1.8e9, 0.69) })))...)
	rows = append(rows, from("McAdams, Heat Transmission, 3rd ed. 1954"+recomputed, "to the digits given",
		near("level plate, hot side up, Ra = 1.8e9: Nusselt number", "1", 182.4660599, tenDigits, at(func() float64 { return film.HotFaceUp(1.8e9) })),
		near("level plate, hot side down, Ra = 1e5: Nusselt number", "1", 4.801354407, tenDigits, at(func() float64 { return film.HotFaceDown(1e5) })))...)
	rows = append(rows, from("Churchill & Bernstein, J. Heat Transfer 99 (1977) 300; Incropera Eq. 7.54, Example 7.4"+recomputed, "to the digits given",
		near("cylinder in cross flow, Re = 6071, Pr = 0.7: Nusselt number", "1", 40.63708594, tenDigits, at(func() float64 { return film.ChurchillBernstein(6071, 0.7) })))...)
	rows = append(rows, from("Hollands et al., J. Heat Transfer 98 (1976) 189; Incropera Eq. 9.54"+recomputed, "to the digits given",
		near("air layer at 45°, Ra = 1e5: Nusselt number", "1", 3.669528566, tenDigits, at(func() float64 { return film.Hollands(1e5, math.Pi/4) })),
		near("level air layer below its onset, Ra = 1500: Nusselt number", "1", 1, 0, at(func() float64 { return film.Hollands(1500, 0) })))...)
	const table = "Cengel & Ghajar, Heat and Mass Transfer, Table A-15 (air at 1 atm)"
	rows = append(rows, from(table, "density: the ideal gas keeps to the table within 0.15 %; viscosity: Sutherland's law within 0.5 %; conductivity: to the digits printed",
		near("air at 100 °C: density", "kg/m3", 0.9458, 1.5e-3, at(func() float64 { return film.AirAt(100 + zero).Density })),
		near("air at 100 °C: conductivity", "W/(m K)", 0.03095, 1e-9, at(func() float64 { return film.AirAt(100 + zero).Conductivity })),
		near("air at 100 °C: viscosity", "Pa s", 2.181e-5, 5e-3, at(func() float64 { return film.AirAt(100 + zero).Viscosity })))...)
	out := []known{{topic: airTopic, title: "correlations of air", rows: rows}}

	// Through runs: a plate of 0.3 m held at 180 °C in air of 20 °C; at their mean of 100 °C a table gives the air.
	const air = "; air at 100 °C by Cengel & Ghajar, Heat and Mass Transfer, Table A-15: 0.9458 kg/m3, 0.03095 W/(m K), 21.81 uPa s, Pr 0.7111; evaluated"
	const why = "a plate of 0.3 m × 0.3 m at 180 °C in air of 20 °C, without radiation; 1 %: the table of air prints four digits, the program's air is a fit within 0.5 %"
	plate := func(title, side, held string, depth, height float64, wind string, source string, flux float64) {
		b := windy{box{
			Name: title, Depth: depth, Width: 0.3, Height: height, Density: 1000, HeatCapacity: 1000, Conductivity: 5000,
			Surfaces: []string{side + ": {film: outside, emissivity: 0}", held + ": {temperature: 180 degC}"}, Initial: 180, Cells: [3]int{2, 2, 2},
		}, wind}
		out = append(out, known{topic: airTopic, title: title, file: "plate-in-air.yaml", fill: b, rows: from(source+air, why,
			near(title+": heat flux", "W/m2", flux, 0.01, lastValue("lost "+side, 1/0.09)))})
	}
	plate("upright plate in still air", "front", "back", 0.002, 0.3, "0 m/s", "Churchill & Chu (1975), Incropera Eq. 9.26", 1142.36076)
	plate("plate facing up in still air", "top", "bottom", 0.3, 0.002, "0 m/s", "McAdams (1954), 0.54 Ra^(1/4) on area over perimeter", 1399.274355)
	plate("plate facing down in still air", "bottom", "top", 0.3, 0.002, "0 m/s", "McAdams (1954), 0.27 Ra^(1/4) on area over perimeter", 699.6371776)
	plate("upright plate in wind of 5 m/s", "front", "back", 0.002, 0.3, "5 m/s", "Incropera Eqs. 7.30 and 9.64 (numbers from memory), exponent 3", 2572.497456)
	for _, c := range []struct {
		title, tilt, source string
		flux                float64
	}{
		{"air layer of 20 mm heated from below", "-90 deg", "Hollands et al. (1976)", 832.2776224},
		{"air layer of 20 mm heated from above", "90 deg", "conduction through still air", 247.6},
	} {
		out = append(out, known{topic: airTopic, title: c.title, file: "gap.yaml", fill: map[string]any{"Tilt": c.tilt}, rows: from(c.source+air,
			"block at 180 °C, pane held at 20 °C by its film, no radiation; 1 % as above",
			near(c.title+": heat flux", "W/m2", c.flux, 0.01, lastValue("lost window", 1/0.09)))})
	}
	return out
}

// windy is a box in wind.
type windy struct {
	box
	Wind string
}

func boilings() []known {
	at := func(f func() float64) func(*outcome) float64 { return asked(f) }
	// Saturated water at 10 bar and 40 bar by IF97.
	ten := film.TwoPhase{
		Liquid: film.Fluid{Density: 887.1274517, Viscosity: 0.0001504849265, Conductivity: 0.6713377269, HeatCapacity: 4405.11205, Prandtl: 0.9874358859},
		Vapour: film.Fluid{Density: 5.145385853}, Latent: 2014436.693, SurfaceTension: 0.04221574667, ReducedPressure: 0.04532269761, MolarMass: waterMolarMass,
	}
	forty := film.TwoPhase{
		Liquid: film.Fluid{Density: 798.3582064, Viscosity: 0.0001061177552, Conductivity: 0.6164973768, HeatCapacity: 4868.788823, Prandtl: 0.8380651075},
		Vapour: film.Fluid{Density: 20.08976068}, Latent: 1713471.298, SurfaceTension: 0.02595886684, ReducedPressure: 0.1812907904, MolarMass: waterMolarMass,
	}
	const w = "W/(m2 K)"
	rows := from("Cooper, IChemE Symp. Ser. 86 (1984) 785"+recomputed, "to the digits given",
		near("Cooper, superheat 4.3 K at 1 atm: coefficient", w, 1558.143544, tenDigits, at(func() float64 { return film.CooperAt(4.3, 101325/22048321.0, 18.02, 1) })))
	rows = append(rows, from("Liu & Winterton, Int. J. Heat Mass Transfer 34 (1991) 2759"+recomputed, "1e-6: the molar mass used is that of water to four digits",
		near("Liu and Winterton, 10 bar, 200 kg/(m2 s), quality 0.2: coefficient", w, 16959.63754, 1e-6, at(func() float64 { return film.LiuWinterton(ten, 0.2, 200, 0.01, 1e5) })),
		near("Liu and Winterton, 40 bar, 400 kg/(m2 s), quality 0.5: coefficient", w, 37781.89868, 1e-6, at(func() float64 { return film.LiuWinterton(forty, 0.5, 400, 0.008, 2e5) })))...)
	rows = append(rows, from("Gungor & Winterton, Chem. Eng. Res. Des. 65 (1987) 148 (form partly from memory)"+recomputed, "to the digits given",
		near("Gungor and Winterton, 10 bar, 200 kg/(m2 s), quality 0.2: coefficient", w, 17009.23249, 5e-9, at(func() float64 { return film.GungorWinterton(ten, 0.2, 200, 0.01, 1e5) })))...)
	rows = append(rows, from("Kandlikar, J. Heat Transfer 112 (1990) 219 (coefficients from memory)"+recomputed, "to the digits given",
		near("Kandlikar, 40 bar, 400 kg/(m2 s), quality 0.5: coefficient", w, 29790.98616, 5e-9, at(func() float64 { return film.Kandlikar(forty, 0.5, 400, 0.008, 2e5) })))...)
	rows = append(rows, from("Zuber (1958); Incropera Eq. 10.6"+recomputed, "to the digits given",
		near("Zuber, 10 bar: largest flux of nucleate boiling", "W/m2", 2616661.952, 5e-9, at(func() float64 { return film.Zuber(ten, 0.131) })))...)
	rows = append(rows, from("Berenson, J. Heat Transfer 83 (1961) 351; Incropera Eq. 10.7"+recomputed, "to the digits given",
		near("Berenson, 10 bar: smallest flux of film boiling", "W/m2", 136514.5592, 5e-9, at(func() float64 { return film.Berenson(ten) })))...)
	return []known{{topic: boilingTopic, title: "correlations of boiling", rows: rows}}
}

const waterMolarMass = 18.015268 // g/mol
