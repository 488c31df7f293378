package verify

import (
	"fmt"
	"math"

	"emberbank/film"
)

const (
	radiationTopic = "radiation"
	sigma          = 5.670374419e-8 // W/(m² K⁴), CODATA 2018; the references' own, not the program's
)

func radiations() []known {
	const howell = "Howell, A Catalog of Radiation Heat Transfer Configuration Factors; checked against a separate integration"
	rows := from(howell, "to the digits given",
		near("view factor of coaxial disks of 0.3 and 0.5 m, 0.4 m apart", "1", 0.5555555556, 1e-9, asked(func() float64 { return film.CoaxialDisks(0.3, 0.5, 0.4) })),
		near("view factor of opposed faces of the unit cube", "1", 0.1998248957, 1e-9, asked(func() float64 { return film.OpposedRectangles(1, 1, 1) })),
		near("view factor of rectangles 1.2 and 0.4 m at an edge of 0.5 m", "1", 0.08810557578, 1e-9, asked(func() float64 { return film.EdgeRectangles(0.5, 1.2, 0.4) })))
	rows = append(rows, from("Incropera et al., Fundamentals of Heat and Mass Transfer, chapter 13; evaluated to 10 digits", "to the digits given",
		near("long concentric cylinders, 700 K in 320 K: flux", "W/m2", 3905.996138, 1e-9, asked(func() float64 { return film.ConcentricCylinders(0.9, 0.2, 0.05, 0.09, 700, 320) })),
		near("concentric spheres, 650 K in 300 K: flux", "W/m2", 6248.913893, 1e-9, asked(func() float64 { return film.ConcentricSpheres(0.8, 0.6, 0.2, 0.3, 650, 300) })),
		near("cavity of emissivity 0.85, opening 0.03 of 0.4 m2: apparent emissivity", "1", 0.9869375907, 1e-9, asked(func() float64 { return film.CavityEmissivity(0.85, 0.03, 0.4) })),
		near("disks at 693 and 300 K with a re-radiating wall: heat flow", "W", 625.4794045, 1e-9, asked(func() float64 {
			a := math.Pi * 0.15 * 0.15
			return film.ReradiatingPair(0.9, 1, a, a, film.CoaxialDisks(0.15, 0.15, 0.1), 693.15, 300)
		})))...)
	rows = append(rows, from("Planck's law integrated, CODATA 2018; Incropera Table 12.2", "to the digits given",
		near("share of a black body's radiation below 4000 µm K", "1", 0.4808646436, 1e-9, asked(func() float64 { return film.BlackFraction(4000e-6) })))...)
	out := []known{{topic: radiationTopic, title: "radiation by function", rows: rows}}
	out = append(out, radiatingFaces()...)
	out = append(out, plates()...)
	return append(out, coolingSheet())
}

// p4 is the fourth power of an absolute temperature.
func p4(T float64) float64 { return T * T * T * T }

// radiatingFaces are heated inside so that the face stands at 400 °C.
func radiatingFaces() []known {
	var out []known
	const length = 0.01
	alone := 0.8 * sigma * (p4(673.15) - p4(293.15))
	for _, c := range []struct {
		what, front string
		flux        float64
	}{
		{"face that radiates to surroundings", "{film: none, emissivity: 0.8, surroundings: 20 degC}", alone},
		{"face that radiates and is cooled by air", "{film: 10 W/(m2 K), emissivity: 0.8, ambient: 20 degC}", alone + 10*380},
	} {
		out = append(out, known{
			topic: radiationTopic, title: c.what, file: "bar.yaml",
			fill: bar{
				Name: c.what, Length: length, Cells: 10, Density: 2000, HeatCapacity: 1000, Conductivity: "100 W/(m K)",
				Generation: c.flux / length, Front: c.front, Initial: 300, Probes: []float64{0},
			},
			rows: from("law of Stefan and Boltzmann (CODATA 2018), Incropera Eq. 1.7", "steady: the heat generated leaves through the face; 0.01 K for the solver",
				within(c.what+": temperature", "degC", 400, 0.01, lastDegC(probe(0)))),
		})
	}
	return out
}

// plates are two opposed squares of 0.3 m: the block's face and a pane at 1 m, below the block, so that the air between
// rests. What of the one's radiation passes the other by is sent back by the sides.
func plates() []known {
	const air = "the air between rests (heated from above, 1 m) and conducts some W/m2, which the tolerance of 1 % covers; the view factor of the squares is 0.02705, checked against a separate integration"
	const source = "two grey faces with a re-radiating wall, Incropera et al., Eq. 13.30; view factor by Howell, C-11"
	one := func(what, hot, pane, surroundings, outer string, face, glass float64, rows ...wanted) known {
		return known{
			topic: radiationTopic, title: what, file: "parallel-faces.yaml",
			fill: map[string]any{"Hot": hot, "Outside": pane, "Surroundings": surroundings, "Film": outer, "Face": face, "Glass": glass},
			rows: from(source, air, rows...),
		}
	}
	flux := lastValue("lost window", 1/0.09)
	const seen = (1 + 0.02705) / 2 // share that passes over, the sides' half of the rest included: F + (1 - F)/2
	between := func(T1, T2, face, pane, beyond float64) float64 {
		return sigma * (p4(T1) - p4(T2)) / (1/face - 1 + 1/seen + 1/pane - 1 + beyond)
	}
	return []known{
		one("opposed squares, 693.15 and 293.15 K, emissivities 0.9 and 0.8", "420 degC", "20 degC", "20 degC", "1e6 W/(m2 K)", 0.9, 0.8,
			near("opposed squares, 693.15 and 293.15 K, emissivities 0.9 and 0.8: flux", "W/m2", between(693.15, 293.15, 0.9, 0.8, 0), 0.01, flux)),
		one("opposed squares, 420 and 26.85 degC, emissivities 0.85 and 0.5", "420 degC", "26.85 degC", "26.85 degC", "1e6 W/(m2 K)", 0.85, 0.5,
			near("opposed squares, 693.15 and 300 K, emissivities 0.85 and 0.5: flux", "W/m2", between(693.15, 300, 0.85, 0.5, 0), 0.01, flux)),
		// With a sheet between: the pane has no film and radiates to black surroundings at 40 °C.
		one("sheet between a face and black surroundings", "420 degC", "40 degC", "40 degC", "none", 0.9, 0.3,
			near("sheet of emissivity 0.3 before black surroundings: flux", "W/m2", between(693.15, 313.15, 0.9, 0.3, 1/0.3), 0.01, flux)),
	}
}

// coolingSheet is a thin sheet that cools by radiation alone, with its exact course in time.
func coolingSheet() known {
	const what = "thin sheet cooling by radiation from 500 °C"
	return known{
		topic: radiationTopic, title: what, file: "bar.yaml",
		fill: bar{
			Name: what, Length: 0.01, Cells: 4, Density: 2000, HeatCapacity: 1000, Conductivity: "5000 W/(m K)",
			Front: "{film: none, emissivity: 0.8, surroundings: 20 degC}", Until: 3600, At: []float64{300, 1200, 3600}, Initial: 500,
		},
		rows: from("separated and integrated: t = ρ c L/(4 ε σ Ts³) {ln|(Ts+T)/(Ts-T)| + 2 atan(T/Ts)} between the two temperatures; Incropera et al., section 5.3; evaluated to 10 digits",
			fmt.Sprintf("tolerance: a thousandth of the starting difference of %d K", 480),
			within(what+": after 300 s", "degC", 349.88633821, 0.48, degC("block mean", 300)),
			within(what+": after 1200 s", "degC", 196.515880654, 0.48, degC("block mean", 1200)),
			within(what+": after 3600 s", "degC", 88.4050374064, 0.48, degC("block mean", 3600))),
	}
}
