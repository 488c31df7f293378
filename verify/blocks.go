package verify

import "fmt"

// box fills the gaps of cases/box.yaml.
type box struct {
	Name                                string
	Depth, Width, Height                float64 // m
	Generation                          float64 // W/m³
	Density, HeatCapacity, Conductivity float64
	Surfaces                            []string // lines under "surfaces:"
	Until                               float64  // s; 0: steady
	At                                  []float64
	Initial                             float64 // °C
	Cells                               [3]int
	Probes                              []place
}

// place is a named point, in m.
type place struct {
	Name                 string
	Depth, Width, Height float64
}

const blockTopic = "conduction in blocks"

func blocks() []known {
	return []known{coolingGraphite(), coolingBrick(), generating(), generatingBar(), squareWithHotSide(), fin("adiabatic"), fin("film")}
}

// coolingGraphite and coolingBrick are an eighth of a block that cools from all sides.
func coolingGraphite() known {
	const span = 430 // K, at the start
	return known{
		topic: blockTopic, title: "block like graphite cooling from six sides", file: "box.yaml",
		fill: box{
			Name: "block cooling from six sides", Depth: 0.2, Width: 0.2, Height: 0.15, Density: 1750, HeatCapacity: 1200, Conductivity: 100,
			Surfaces: filmOnThree(20, 20), Until: 14400, At: []float64{3600, 14400}, Initial: 450, Cells: [3]int{16, 16, 12},
			Probes: []place{{"centre", 0, 0, 0}, {"corner", 0.2, 0.2, 0.15}},
		},
		rows: from("product of three plate solutions; Incropera et al. section 5.8; Carslaw & Jaeger art. 5.6"+evaluated,
			"tolerance: a thousandth of the starting difference of 430 K",
			within("block like graphite cooling from six sides: centre, 1 h", "degC", 268.934005248, span*thousandth, degC("centre", 3600)),
			within("block like graphite cooling from six sides: corner, 1 h", "degC", 255.69244736, span*thousandth, degC("corner", 3600)),
			within("block like graphite cooling from six sides: mean, 4 h", "degC", 64.9317070947, span*thousandth, degC("block mean", 14400)),
			near("block like graphite cooling from six sides: heat lost, 1 h", "J", 18702283.5396, thousandth, func(o *outcome) float64 {
				return 8 * (o.at("stored", 0) - o.at("stored", 3600))
			})),
	}
}

func coolingBrick() known {
	const span = 375
	return known{
		topic: blockTopic, title: "block of low conductivity cooling from six sides", file: "box.yaml",
		fill: box{
			Name: "block of low conductivity", Depth: 0.1, Width: 0.15, Height: 0.25, Density: 2000, HeatCapacity: 900, Conductivity: 1.5,
			Surfaces: filmOnThree(50, 25), Until: 7200, At: []float64{1800, 7200}, Initial: 400, Cells: [3]int{20, 30, 50},
			Probes: []place{{"centre", 0, 0, 0}, {"quarter", 0.05, 0.075, 0.125}},
		},
		rows: from("product of three plate solutions; Incropera et al. section 5.8; Carslaw & Jaeger art. 5.6"+evaluated,
			"tolerance: a thousandth of the starting difference of 375 K",
			within("block of low conductivity cooling from six sides: centre, 2 h", "degC", 166.734312924, span*thousandth, degC("centre", 7200)),
			within("block of low conductivity cooling from six sides: quarter point, 0.5 h", "degC", 301.553565568, span*thousandth, degC("quarter", 1800)),
			within("block of low conductivity cooling from six sides: mean, 2 h", "degC", 86.9259151536, span*thousandth, degC("block mean", 7200))),
	}
}

// filmOnThree are the outer sides of an eighth of a block; the others are its planes of symmetry.
func filmOnThree(h, ambient float64) []string {
	var out []string
	for _, side := range []string{"back", "right", "top"} {
		out = append(out, fmt.Sprintf("%s: {film: %g W/(m2 K), ambient: %g degC}", side, h, ambient))
	}
	return out
}

const boxSeries = "Fourier series; Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, chapters 5 and 6; evaluated to 10 digits"

func generating() known {
	return known{
		topic: blockTopic, title: "box with uniform generation", file: "box.yaml",
		fill: box{
			Name: "box with uniform generation", Depth: 0.2, Width: 0.15, Height: 0.1, Generation: 2e5, Density: 1000, HeatCapacity: 1000, Conductivity: 50,
			Surfaces: []string{"back: {temperature: 20 degC}", "right: {temperature: 20 degC}", "top: {temperature: 20 degC}"},
			Initial:  20, Cells: [3]int{32, 24, 16}, Probes: []place{{"centre", 0, 0, 0}},
		},
		rows: from(boxSeries, "an eighth of the box; tolerance: a thousandth on 16 cells and more, second order",
			near("box with uniform generation: rise of the centre", "K", 15.2930223804, thousandth, func(o *outcome) float64 { return o.last("centre") - 293.15 }),
			near("box with uniform generation: heat through three sides", "W", 2e5*0.2*0.15*0.1, steadyTight, func(o *outcome) float64 {
				return o.last("lost back") + o.last("lost right") + o.last("lost top")
			})),
	}
}

func generatingBar() known {
	return known{
		topic: blockTopic, title: "long bar with uniform generation", file: "box.yaml",
		fill: box{
			Name: "long bar with uniform generation", Depth: 0.2, Width: 0.15, Height: 0.01, Generation: 2e5, Density: 1000, HeatCapacity: 1000, Conductivity: 50,
			Surfaces: []string{"back: {temperature: 20 degC}", "right: {temperature: 20 degC}"},
			Initial:  20, Cells: [3]int{40, 30, 1}, Probes: []place{{"centre", 0, 0, 0.005}},
		},
		rows: from(boxSeries, "a quarter of the section; tolerance: a thousandth on 30 cells and more, second order",
			near("long bar with uniform generation: rise of the centre", "K", 33.7390436245, thousandth, func(o *outcome) float64 { return o.last("centre") - 293.15 })),
	}
}

func squareWithHotSide() known {
	var points []place
	var rows []wanted
	for _, p := range []struct{ x, y, T float64 }{{0.5, 0.5, 0.25}, {0.5, 0.25, 0.0954141179666}, {0.25, 0.75, 0.432028331887}, {0.5, 0.9, 0.801689465342}} {
		name := fmt.Sprintf("x%g y%g", p.x, p.y)
		points = append(points, place{name, p.x, 0.005, p.y})
		rows = append(rows, within(fmt.Sprintf("square with one hot side: at %g, %g", p.x, p.y), "degC", 20+100*p.T, 100*thousandth, lastDegC(name)))
	}
	return known{
		topic: blockTopic, title: "square with one hot side", file: "box.yaml",
		fill: box{
			Name: "square with one hot side", Depth: 1, Width: 0.01, Height: 1, Density: 1000, HeatCapacity: 1000, Conductivity: 10,
			Surfaces: []string{"front: {temperature: 20 degC}", "back: {temperature: 20 degC}", "bottom: {temperature: 20 degC}", "top: {temperature: 120 degC}"},
			Initial:  20, Cells: [3]int{60, 1, 60}, Probes: points,
		},
		rows: from(boxSeries, "20 degC and 120 degC; 60 cells a side; tolerance: a thousandth of the difference of 100 K", rows...),
	}
}

// fin is a straight fin; the theory has one dimension, the run three.
func fin(tip string) known {
	b := box{
		Name: "straight fin", Depth: 0.06, Width: 0.05, Height: 0.004, Density: 2700, HeatCapacity: 900, Conductivity: 120,
		Surfaces: []string{"front: {temperature: 300 degC}", "around: {film: 30 W/(m2 K), ambient: 20 degC}"},
		Initial:  20, Cells: [3]int{60, 25, 4}, Probes: []place{{"tip", 0.06, 0.025, 0.002}},
	}
	q, T := 47.046503868, 243.463272782
	if tip == "film" {
		b.Surfaces = append(b.Surfaces, "back: {film: 30 W/(m2 K), ambient: 20 degC}")
		q, T = 48.1028620347, 240.603206205
	}
	return known{topic: blockTopic, title: "straight fin, tip " + tip, file: "box.yaml", fill: b, rows: from(
		"fin theory; Incropera et al., Fundamentals of Heat and Mass Transfer, section 3.6; evaluated to 12 digits",
		"tolerance: 0.2 %, for the theory takes the fin's section as of one temperature (Biot number 0.0005 across, 0.006 along)",
		near("straight fin, tip "+tip+": heat flow at the base", "W", q, 2e-3, lastValue("lost front", -1)),
		within("straight fin, tip "+tip+": tip", "degC", T, 280*2e-3, lastDegC("tip")))}
}
