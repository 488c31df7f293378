package verify

import (
	"fmt"
	"math"
)

const (
	onePhaseTopic = "melting"
	twoPhaseTopic = "melting and freezing of two phases"
	stefanSource  = seriesSrc + "art. 11.2; Alexiades & Solomon, Mathematical Modeling of Melting and Freezing Processes, 1993, chapter 2" + evaluated
	neumannSource = seriesSrc + "arts. 11.1 and 11.2; Alexiades & Solomon (1993), chapter 2" + evaluated
	frontRule     = "largest departure of the front at every output time: a tenth of a cell before it is eight cells in, 0.5 % from there"
)

func melting() []known {
	out := stefan()
	out = append(out, freezingUnderFlux(), travellingFront())
	return append(out, neumann()...)
}

// frontRows compare a front with 2 λ √(α t) at all output times, early and late apart.
func frontRows(what string, cell float64, exact func(t float64) float64) []wanted {
	worst := func(o *outcome, late bool) float64 {
		c := o.res.History.Column("front")
		if c == nil || len(c.Values) < 2 {
			return math.NaN()
		}
		most := 0.0
		for i, t := range o.res.History.Time {
			s := exact(t)
			if t == 0 || (s >= 8*cell) != late {
				continue
			}
			d := math.Abs(c.Values[i] - s)
			if math.IsNaN(d) {
				return d
			}
			if late {
				most = math.Max(most, 100*d/s)
			} else {
				most = math.Max(most, d/cell)
			}
		}
		return most
	}
	return []wanted{
		bound(what+": front, before eight cells", "cells", AtMost, 0.1, func(o *outcome) float64 { return worst(o, false) }),
		bound(what+": front, from eight cells on", "%", AtMost, 0.5, func(o *outcome) float64 { return worst(o, true) }),
	}
}

func root(lambda, alpha float64) func(t float64) float64 {
	return func(t float64) float64 { return 2 * lambda * math.Sqrt(alpha*t) }
}

// stefan are bodies at their melting point of which one face is held above or below it.
func stefan() []known {
	var out []known
	for _, c := range []struct {
		what                    string
		k, rho, cp, L           float64
		wall                    float64 // °C
		follows                 string
		lambda                  float64
		length                  float64
		cells                   int
		until, every            float64
		frontLast, heatLast, T1 float64 // m, J/m², °C at half the front's depth at the end
	}{
		{"freezing like zinc", 110, 6900, 460, 112000, 380, "frozen", 0.27764224103, 0.2, 100, 600, 5, 0.0800726208217, 66838830.1347, 400.14310002},
		{"melting like a graphite composite", 60, 2900, 850, 45000, 450, "melted", 0.493927339233, 0.3, 120, 300, 3, 0.0844152384844, 14059946.7676, 433.844730986},
	} {
		x := math.Round(c.frontLast/2*1e7) / 1e7
		b := bar{
			Name: c.what, Length: c.length, Cells: c.cells, Density: c.rho, HeatCapacity: c.cp, Conductivity: fmt.Sprintf("%g W/(m K)", c.k),
			Melting: fmt.Sprintf("{at: %v degC, latent heat: %g J/kg}", meltingPoint, c.L), Front: fmt.Sprintf("{temperature: %g degC}", c.wall),
			Until: c.until, Every: c.every, Initial: meltingPoint, Follows: c.follows, Probes: []float64{x},
		}
		if c.follows == "frozen" {
			b.Initial = meltingPoint + 1e-6 // all melted
		}
		rows := frontRows(c.what, c.length/float64(c.cells), root(c.lambda, c.k/(c.rho*c.cp)))
		rows = append(rows,
			near(c.what+": heat through the face", "J/m2", c.heatLast, 5e-3, func(o *outcome) float64 {
				return math.Abs(o.last("stored")-o.at("stored", 0)) / section
			}),
			within(c.what+": half-way to the front", "degC", c.T1, 5e-3*math.Abs(c.wall-meltingPoint), lastDegC(probe(x))))
		out = append(out, known{topic: onePhaseTopic, title: c.what, file: "bar.yaml", fill: b, rows: from(stefanSource, frontRule, rows...)})
	}
	return out
}

const meltingPoint = 419.527 // °C, of zinc on the ITS-90

// freezingUnderFlux takes heat from the face of a melt at a constant rate. The flux is the light's, and negative
// light is not there; so the case is turned over: it melts, with the same numbers above the melting point.
func freezingUnderFlux() known {
	const what, k, rho, cp, L, q = "melting under constant flux", 108.0, 6800.0, 470.0, 112000.0, 60000.0
	const half, full = 2722.31489, 5444.62979
	return known{
		topic: onePhaseTopic, title: what, file: "bar.yaml",
		fill: bar{
			Name: what, Length: 0.5, Cells: 100, Density: rho, HeatCapacity: cp, Conductivity: fmt.Sprintf("%g W/(m K)", k),
			Melting: fmt.Sprintf("{at: %v degC, latent heat: %g J/kg}", meltingPoint, L), Light: fmt.Sprintf("%g W", q*section),
			Until: full, At: []float64{272.231489, half, full}, Initial: meltingPoint, Follows: "melted", Probes: []float64{0},
		},
		rows: from("Evans, Isaacson & MacDonald, Quart. Appl. Math. 8 (1950) 312; Alexiades & Solomon (1993); computed from a spectral solution to 9 digits",
			"the reference freezes; melting with equal numbers is its mirror image about the melting point. "+frontRule,
			within(what+": front at tau = 0.05", "m", 0.0209504005, 0.1*0.005, valueAt("front", 272.231489, 1)),
			near(what+": front at tau = 0.5", "m", 0.182227218, 5e-3, valueAt("front", half, 1)),
			near(what+": front at tau = 1", "m", 0.331329075, 5e-3, valueAt("front", full, 1)),
			near(what+": rise of the face at tau = 1", "K", meltingPoint-268.327747, 5e-3, func(o *outcome) float64 { return o.at(probe(0), full) - zero - meltingPoint })),
	}
}

// travellingFront is driven by a flux that grows so that the front keeps its speed.
func travellingFront() known {
	const what, k, rho, cp, L, V = "front at constant speed", 60.0, 2800.0, 900.0, 42000.0, 2e-5
	alpha := k / (rho * cp)
	table := ""
	for t := 0.0; t <= 3000; t += 60 {
		if t > 0 {
			table += ", "
		}
		table += fmt.Sprintf("[%g s, %.12g W]", t, section*rho*L*V*math.Exp(V*V*t/alpha))
	}
	return known{
		topic: onePhaseTopic, title: what, file: "bar.yaml",
		fill: bar{
			Name: what, Length: 0.1, Cells: 90, Density: rho, HeatCapacity: cp, Conductivity: fmt.Sprintf("%g W/(m K)", k),
			Melting: fmt.Sprintf("{at: %v degC, latent heat: %g J/kg}", meltingPoint, L), Light: "{table: [" + table + "]}",
			Until: 3000, At: []float64{100, 1000, 3000}, Initial: meltingPoint, Follows: "melted", Probes: []float64{0, 0.03},
		},
		rows: from("exact travelling wave; Alexiades & Solomon (1993), chapter 2; evaluated to 10 digits", frontRule+"; the flux is a table with a row a minute",
			within(what+": front at 100 s", "m", 0.002, 0.1*0.1/90, valueAt("front", 100, 1)),
			near(what+": front at 1000 s", "m", 0.02, 5e-3, valueAt("front", 1000, 1)),
			near(what+": front at 3000 s", "m", 0.06, 5e-3, valueAt("front", 3000, 1)),
			within(what+": face at 3000 s", "degC", 421.939278817, 0.0121, degC(probe(0), 3000)), // 0.5 % of the rise of 2.41 K
			within(what+": half-way to the front at 3000 s", "degC", 420.717942856, 0.0121, degC(probe(0.03), 3000))),
	}
}

// neumann are bodies off their melting point, with other properties after melting.
func neumann() []known {
	zinc := bar{
		Name: "freezing from superheat", Length: 0.8, Cells: 320, Density: 6800, HeatCapacity: 470, Conductivity: "108 W/(m K)",
		Melting: fmt.Sprintf("{at: %v degC, latent heat: 112000 J/kg, heat capacity melted: 505 J/(kg K), conductivity melted: 50 W/(m K)}", meltingPoint),
		Front:   "{temperature: 370 degC}", Until: 1000, Every: 10, Initial: 450, Follows: "frozen", Probes: []float64{0.02, 0.05, 0.2},
	}
	composite := bar{
		Name: "melting from below", Length: 0.8, Cells: 320, Density: 2800, HeatCapacity: 900, Conductivity: "75 W/(m K)",
		Melting: fmt.Sprintf("{at: %v degC, latent heat: 42000 J/kg, heat capacity melted: 950 J/(kg K), conductivity melted: 55 W/(m K)}", meltingPoint),
		Front:   "{temperature: 460 degC}", Until: 600, Every: 6, Initial: 380, Follows: "melted", Probes: []float64{0.05, 0.15},
	}
	const deep = "temperatures: half a per cent of the full difference of temperature"
	return []known{
		{topic: twoPhaseTopic, title: "freezing from superheat", file: "bar.yaml", fill: zinc, rows: from(neumannSource, frontRule+"; "+deep,
			append(frontRows("freezing from superheat, like zinc", 0.0025, root(0.277802438073, 108/(6800*470.0))),
				within("freezing from superheat, like zinc: 20 mm deep, 1000 s", "degC", 379.938640142, 0.40, degC(probe(0.02), 1000)),
				within("freezing from superheat, like zinc: 50 mm deep, 100 s", "degC", 430.359697429, 0.40, degC(probe(0.05), 100)),
				within("freezing from superheat, like zinc: 200 mm deep, 1000 s", "degC", 436.62427876, 0.40, degC(probe(0.2), 1000)),
				near("freezing from superheat, like zinc: flux at the face, 1000 s", "W/m2", 53721.6018056, 0.01, valueAt("lost front", 1000, 1/section)))...)},
		{topic: twoPhaseTopic, title: "melting from below the melting point", file: "bar.yaml", fill: composite, rows: from(neumannSource, frontRule+"; "+deep,
			append(frontRows("melting from subcooled, like a composite", 0.0025, root(0.364629172184, 55/(2800*950.0))),
				within("melting from subcooled, like a composite: 50 mm deep, 600 s", "degC", 434.408105217, 0.40, degC(probe(0.05), 600)),
				within("melting from subcooled, like a composite: 150 mm deep, 600 s", "degC", 405.312779146, 0.40, degC(probe(0.15), 600)))...)},
	}
}
