package verify

import (
	"fmt"
	"math"
)

// bar fills the gaps of cases/bar.yaml. Texts stand in the file as they are.
type bar struct {
	Name                  string
	Length                float64 // m
	Cells                 int
	Density, HeatCapacity float64
	Conductivity, Melting string
	Generation            float64 // W/m³
	Front, Back           string
	Light                 string    // W on the face, absorbed
	Until                 float64   // s; 0: steady
	At                    []float64 // s
	Every                 float64   // s; instead of At
	Initial               float64   // °C
	Probes                []float64 // m
	Follows               string    // "melted" or "frozen": a front along the bar
}

// probe returns the name under which bar.yaml records the place.
func probe(x float64) string { return fmt.Sprintf("at %v m", x) }

const section = 1e-4 // m², of the bar

const (
	wallTopic = "conduction in walls"
	seriesSrc = "Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, "
	evaluated = "; evaluated from the exact solution to 12 digits"
	// steadyTight: a steady state with constant properties has no error of the grid in one dimension; what is left
	// is the solver's own.
	steadyTight = 1e-5
	// thousandth of the largest difference of temperature is asked of transients: what a mesh of 40 or more cells
	// and the step's tolerance leave is well below.
	thousandth = 1e-3
)

func walls() []known {
	var out []known
	out = append(out, platesInFluid()...)
	out = append(out, plateWithFixedFace(), plateUnderFlux())
	out = append(out, halfSpaces()...)
	out = append(out, layered()...)
	return append(out, slopingConductivity()...)
}

// platesInFluid are plates that cool in a fluid: half of each, its mid-plane adiabatic.
func platesInFluid() []known {
	var out []known
	for _, c := range []struct{ Bi, Fo, mid, half, surface, given float64 }{
		{0.1, 1, 0.9223885716, 0.911256292807, 0.878126487609, 0.0924129205911},
		{1, 0.2, 0.950641778505, 0.879254812179, 0.643390784477, 0.148404542313},
		{10, 0.2, 0.829254730823, 0.639056887576, 0.122482238089, 0.41673796743},
	} {
		const L, k, rho, cp = 0.1, 50.0, 2000.0, 1000.0
		t := c.Fo * L * L * rho * cp / k
		b := bar{
			Name: "plate in a fluid", Length: L, Cells: 50, Density: rho, HeatCapacity: cp, Conductivity: "50 W/(m K)",
			Back: fmt.Sprintf("{film: %g W/(m2 K), ambient: 20 degC}", c.Bi*k/L), Until: t, At: []float64{t}, Initial: 120, Probes: []float64{0, 0.05, 0.1},
		}
		what := fmt.Sprintf("plate cooling in a fluid, Bi = %g, Fo = %g: ", c.Bi, c.Fo)
		out = append(out, known{topic: wallTopic, title: what, file: "bar.yaml", fill: b, rows: from(
			seriesSrc+"art. 3.11"+evaluated, "tolerance: a thousandth of the starting difference of 100 K",
			within(what+"mid-plane", "degC", 20+100*c.mid, 100*thousandth, degC(probe(0), t)),
			within(what+"face", "degC", 20+100*c.surface, 100*thousandth, degC(probe(0.1), t)),
			within(what+"heat given up", "1", c.given, thousandth, func(o *outcome) float64 {
				return (o.at("stored", 0) - o.at("stored", t)) / (section * L * rho * cp * 100)
			}))})
	}
	return out
}

func plateWithFixedFace() known {
	const L, t = 0.1, 80.0 // Fo = 0.2
	return known{
		topic: wallTopic, title: "plate with faces held", file: "bar.yaml",
		fill: bar{
			Name: "plate with faces held", Length: L, Cells: 50, Density: 2000, HeatCapacity: 1000, Conductivity: "50 W/(m K)",
			Back: "{temperature: 20 degC}", Until: 400, At: []float64{t, 400}, Initial: 120, Probes: []float64{0, 0.05},
		},
		rows: from(seriesSrc+"art. 3.3"+evaluated, "half a plate; tolerance: a thousandth of the starting difference of 100 K",
			within("plate with faces held, Fo = 0.2: mid-plane", "degC", 20+77.2311606859, 100*thousandth, degC(probe(0), t)),
			within("plate with faces held, Fo = 0.2: half-way", "degC", 20+55.317589185, 100*thousandth, degC(probe(0.05), t)),
			within("plate with faces held, Fo = 1: mid-plane", "degC", 20+10.7977044444, 100*thousandth, degC(probe(0), 400))),
	}
}

func plateUnderFlux() known {
	const L, k, q = 0.1, 50.0, 50e3 // q L/k = 100 K
	return known{
		topic: wallTopic, title: "plate under constant flux", file: "bar.yaml",
		fill: bar{
			Name: "plate under constant flux", Length: L, Cells: 50, Density: 2000, HeatCapacity: 1000, Conductivity: "50 W/(m K)",
			Light: fmt.Sprintf("%g W", q*section), Until: 200, At: []float64{40, 200}, Initial: 20, Probes: []float64{0, 0.05, 0.1},
		},
		rows: from(seriesSrc+"art. 3.8"+evaluated, "light absorbed on the face, back adiabatic; tolerance: a thousandth of q L/k = 100 K",
			within("plate under constant flux, Fo = 0.1: lit face", "degC", 20+35.6826246009, 100*thousandth, degC(probe(0), 40)),
			within("plate under constant flux, Fo = 0.5: lit face", "degC", 20+83.1875952929, 100*thousandth, degC(probe(0), 200)),
			within("plate under constant flux, Fo = 0.5: back", "degC", 20+33.4790713466, 100*thousandth, degC(probe(0.1), 200))),
	}
}

// halfSpaces are bars so long that their end is not felt.
func halfSpaces() []known {
	graphite := bar{
		Name: "half-space", Length: 1.5, Cells: 300, Density: 1750, HeatCapacity: 1200, Conductivity: "100 W/(m K)", Initial: 20,
		Until: 1000, At: []float64{100, 1000}, Probes: []float64{0, 0.01, 0.05, 0.2},
	}
	board := bar{
		Name: "half-space", Length: 0.6, Cells: 300, Density: 250, HeatCapacity: 1000, Conductivity: "0.08 W/(m K)", Initial: 20,
		Until: 36000, At: []float64{3600, 36000}, Probes: []float64{0, 0.01, 0.05, 0.1},
	}
	held, lit, blown := graphite, graphite, graphite
	held.Front = "{temperature: 420 degC}"
	lit.Light = fmt.Sprintf("%g W", 5e4*section)
	blown.Front = "{film: 200 W/(m2 K), ambient: 500 degC}"
	boardHeld := board
	boardHeld.Front = "{temperature: 420 degC}"
	one := func(title, article, why string, b bar, rows ...wanted) known {
		return known{topic: wallTopic, title: title, file: "bar.yaml", fill: b, rows: from(seriesSrc+article+evaluated, why, rows...)}
	}
	return []known{
		one("half-space, face held", "art. 2.4", "tolerance: a thousandth of the step of 400 K", held,
			within("half-space like graphite, face held: 50 mm deep, 100 s", "degC", 263.363120093, 400*thousandth, degC(probe(0.05), 100)),
			within("half-space like graphite, face held: 200 mm deep, 1000 s", "degC", 226.774817706, 400*thousandth, degC(probe(0.2), 1000))),
		one("half-space under flux", "art. 2.9", "tolerance: a thousandth of the rise of the face", lit,
			within("half-space like graphite under flux: face, 1000 s", "degC", 143.116260615, 123*thousandth, degC(probe(0), 1000)),
			within("half-space like graphite under flux: 200 mm deep, 1000 s", "degC", 68.1023968508, 123*thousandth, degC(probe(0.2), 1000))),
		one("half-space in a hot fluid", "art. 2.7", "tolerance: a thousandth of the step of 480 K", blown,
			within("half-space like graphite in a hot fluid: face, 100 s", "degC", 86.4769401547, 480*thousandth, degC(probe(0), 100)),
			within("half-space like graphite in a hot fluid: 50 mm deep, 1000 s", "degC", 158.499738869, 480*thousandth, degC(probe(0.05), 1000))),
		one("half-space like insulation", "art. 2.4", "tolerance: a thousandth of the step of 400 K", boardHeld,
			within("half-space like insulation, face held: 50 mm deep, 1 h", "degC", 139.026499345, 400*thousandth, degC(probe(0.05), 3600)),
			within("half-space like insulation, face held: 100 mm deep, 10 h", "degC", 224.007667373, 400*thousandth, degC(probe(0.1), 36000))),
	}
}

// layered are walls of layers in the steady state, the block being the first layer.
func layered() []known {
	const src = "Fourier's law for layers in series; Incropera et al., Fundamentals of Heat and Mass Transfer, chapter 3; evaluated to 12 digits"
	const why = "steady, constant properties: the grid makes no error in one dimension"
	q := func(o *outcome) float64 { return o.last("lost back") / section }
	return []known{
		{topic: wallTopic, title: "wall of three layers", file: "three-layers.yaml", rows: from(src, why,
			near("wall of three layers: heat flux", "W/m2", 115.66198168, steadyTight, q),
			within("wall of three layers: between the first two", "degC", 227.230030417, 400*steadyTight, lastDegC("first")),
			within("wall of three layers: before the sheet", "degC", 34.4600609497, 400*steadyTight, lastDegC("second")))},
		{topic: wallTopic, title: "wall of four layers", file: "four-layers.yaml", rows: from(src, why,
			near("wall of four layers between two films: heat flux", "W/m2", 133.646336694, steadyTight, q),
			within("wall of four layers between two films: hot face", "degC", 344.654146532, 335*steadyTight, lastDegC("face")),
			within("wall of four layers between two films: between second and third", "degC", 99.0418788745, 335*steadyTight, lastDegC("second")))},
	}
}

// slopingConductivity are plates whose conductivity goes linearly with temperature.
func slopingConductivity() []known {
	var out []known
	for _, c := range []struct{ k0, b, T1, T2, L, q, mid float64 }{
		{0.05, 0.002, 420, 60, 0.15, 172.8, 262.159012611},
		{120, -0.0008, 420, 120, 0.2, 144000, 258.812579192},
	} {
		k := fmt.Sprintf("{polynomial: [%g, %g], of: degC, unit: W/(m K), from: 20 degC, to: 500 degC}", c.k0*(1-20*c.b), c.k0*c.b)
		what := fmt.Sprintf("plate with conductivity %g (1 %+g (T - 20)) W/(m K): ", c.k0, c.b)
		out = append(out, known{
			topic: wallTopic, title: what, file: "bar.yaml",
			fill: bar{
				Name: "sloping conductivity", Length: c.L, Cells: 40, Density: 1000, HeatCapacity: 1000, Conductivity: k, Initial: 200,
				Front: fmt.Sprintf("{temperature: %g degC}", c.T1), Back: fmt.Sprintf("{temperature: %g degC}", c.T2), Probes: []float64{c.L / 2},
			},
			rows: from("Kirchhoff's transform; "+seriesSrc+"art. 1.6; evaluated to 12 digits", "40 cells; tolerance: a thousandth",
				near(what+"heat flux", "W/m2", c.q, thousandth, func(o *outcome) float64 { return math.Abs(o.last("lost back")) / section }),
				within(what+"middle", "degC", c.mid, (c.T1-c.T2)*thousandth, lastDegC(probe(c.L/2)))),
		})
	}
	return out
}
