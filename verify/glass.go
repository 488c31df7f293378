package verify

import (
	"math"

	"emberbank/aperture"
	"emberbank/block"
	"emberbank/glass"
	"emberbank/heat"
	"emberbank/material"
	"emberbank/receiver"
)

const glassTopic = "glass and window"

func glasses() []known {
	return []known{fresnel(), panes(), windowByHand(0), windowByHand(2000), rightWindow()}
}

// fresnel asks single faces and clear panes.
func fresnel() known {
	face := func(n, deg float64, which int) func(*outcome) float64 {
		return asked(func() float64 {
			across, along := glass.Reflectance(n, deg*math.Pi/180)
			return [...]float64{across, along, (across + along) / 2}[which]
		})
	}
	rows := from("Fresnel's formulas straight on, (n - 1)²/(n + 1)² and 2n/(n² + 1), for the index of ISO 3585 glass and of fused silica; evaluated to 8 digits", "to the digits given",
		near("one face of index 1.473, straight on: reflectance", "1", 0.036582556, 1e-7, face(1.473, 0, 2)),
		near("one face of index 1.4585, straight on: reflectance", "1", 0.034780695, 1e-7, face(1.4585, 0, 2)),
		near("clear pane of index 1.473, straight on: transmittance", "1", 0.92941699, 1e-7, asked(func() float64 { return glass.Sheet(1.473, 0, 0.004, 0).Transmitted })),
		near("clear pane of index 1.4585, straight on: transmittance", "1", 0.93277668, 1e-7, asked(func() float64 { return glass.Sheet(1.4585, 0, 0.004, 0).Transmitted })))
	rows = append(rows, from("Duffie & Beckman, Solar Engineering of Thermal Processes, example 5.1.1 (values from memory)", "to the digits printed",
		within("one face of index 1.526 at 60°, field across the plane: reflectance", "1", 0.185, 0.0005, face(1.526, 60, 0)),
		within("one face of index 1.526 at 60°, field along the plane: reflectance", "1", 0.001, 0.0005, face(1.526, 60, 1)),
		within("one face of index 1.526 at 60°, both together: reflectance", "1", 0.093, 0.0005, face(1.526, 60, 2)),
		within("one face of index 1.526, straight on: reflectance", "1", 0.0434, 0.00005, face(1.526, 0, 2)))...)
	brewster := math.Atan(1.5) * 180 / math.Pi
	rows = append(rows, from("Brewster's law: at tan i = n the field along the plane is not reflected, and across it ((n² - 1)/(n² + 1))²", "to rounding",
		within("one face of index 1.5 at 56.31°, field along the plane: reflectance", "1", 0, 1e-15, face(1.5, brewster, 1)),
		near("one face of index 1.5 at 56.31°, field across the plane: reflectance", "1", 25.0/169, 1e-12, face(1.5, brewster, 0)))...)
	return known{topic: glassTopic, title: "light at faces and clear panes", rows: rows}
}

// panes asks panes of known glass under the reference spectrum.
func panes() known {
	pane := func(name string, thickness, deg float64, read func(l glass.Light) float64) func(*outcome) float64 {
		return asked(func() float64 {
			m, ok := glass.Lookup(name)
			if !ok {
				return math.NaN()
			}
			return read(glass.At(m, thickness, glass.Sun(), deg*math.Pi/180))
		})
	}
	through := func(l glass.Light) float64 { return l.Transmitted }
	rows := from("ASTM G173-03, whole table of direct and circumsolar light, 280 to 4000 nm", "the program's reduced table by trapezoids; 1 % for the lines between its rows",
		near("reference spectrum of the direct beam: total", "W/m2", 900.139, 0.01, asked(func() float64 { s := glass.Sun(); return s.Total() })))
	var clear []wanted
	for _, c := range []struct {
		name      string
		deg, want float64
	}{{"straight on", 0, 0.83}, {"at 40°", 40, 0.82}, {"at 50°", 50, 0.80}, {"at 60°", 60, 0.75}, {"at 70°", 70, 0.64}, {"at 80°", 80, 0.39}} {
		clear = append(clear, within("clear window glass of 3 mm, "+c.name+": transmittance, sun", "1", c.want, 0.01, pane("soda-lime-glass", 0.003, c.deg, through)))
	}
	clear = append(clear,
		within("clear window glass of 3 mm, straight on: reflectance, sun", "1", 0.08, 0.01, pane("soda-lime-glass", 0.003, 0, func(l glass.Light) float64 { return l.Reflected })),
		diffuseGlass(pane))
	rows = append(rows, from("ASHRAE Handbook Fundamentals, solar-optical properties of glazing, clear glass of 1/8 in (values from memory)", "two digits are printed, of another piece of glass and another spectrum of the sun; 0.01", clear...)...)
	rows = append(rows, from("public table of optical properties of glazing (Engineering ToolBox)", "two digits are printed, of another piece of glass; 0.02",
		within("low-iron glass of 3 mm, straight on: transmittance, sun", "1", 0.89, 0.02, pane("low-iron-glass", 0.003, 0, through)),
		within("window glass of 4 mm, straight on: transmittance, sun", "1", 0.83, 0.02, pane("soda-lime-glass", 0.004, 0, through)))...)
	rows = append(rows, from("suppliers' public pages of ISO 3585 glass: about 0.92 of visible light through 2.2 mm", "the extinction was set by this value",
		within("borosilicate glass of 2.2 mm, straight on: transmittance", "1", 0.92, 0.005, pane("borosilicate-glass", 0.0022, 0, through)))...)
	return known{topic: glassTopic, title: "panes under the reference spectrum", rows: rows}
}

// diffuseGlass weighs the transmittance of clear glass over all angles as coarsely as the table allows.
func diffuseGlass(pane func(name string, thickness, deg float64, read func(l glass.Light) float64) func(*outcome) float64) wanted {
	w := within("clear window glass of 3 mm, diffuse: transmittance, sun", "1", 0.75, 0.01, asked(func() float64 {
		at := []float64{0, 40, 50, 60, 70, 80, 90}
		var v []float64
		for _, deg := range at {
			v = append(v, pane("soda-lime-glass", 0.003, math.Min(deg, 90), func(l glass.Light) float64 { return l.Transmitted })(nil))
		}
		sum := 0.0
		for i, share := range glass.Cone(math.Pi/2, 900) {
			deg := (float64(i) + 0.5) / 10
			k := 1
			for deg > at[k] {
				k++
			}
			sum += share * (v[k-1] + (deg-at[k-1])/(at[k]-at[k-1])*(v[k]-v[k-1]))
		}
		return sum
	}))
	w.detail = "straight lines between the table's own angles, whose printed values give 0.754 so; every degree gives 0.762. Two digits are printed, of another piece of glass; 0.01"
	return w
}

// windowByHand is a face of 0.2 m × 0.2 m at 400 °C that looks down through a gap of 20 mm on a pane, so that the air
// between rests; the pane has a film of 10 W/(m² K) outside and takes 3 % of the light.
func windowByHand(light float64) known {
	const what = "window of 0.2 m at 400 °C"
	balance := func() heat.WindowLoss {
		e, _ := material.Lookup("borosilicate-glass")
		r := receiver.Receiver{Media: []material.Medium{e.Medium()}}
		r.Window = &receiver.Window{
			Opening: block.Box{Max: block.Point{0, 0.2, 0.2}}, Emissivity: 0.9,
			Glass: &receiver.Glass{Thickness: 0.004, Gap: 0.02, Transmittance: 0.9, Absorptance: 0.03, Emissivity: 0.88, OutsideFilm: receiver.Film{Kind: receiver.FilmFixed, Value: 10}},
		}
		return heat.LossOfWindow(&r, heat.Weather{Air: 293.15, Sky: 293.15, Ground: 293.15, Tilt: math.Pi / 2}, 400+zero, 0.03*light, false)
	}
	name, pane, lost := what, 252.812, 231.131
	if light > 0 {
		name, pane, lost = what+", light in its pane", 274.507, 206.613
	}
	return known{topic: glassTopic, title: name, rows: from(
		"balance by hand: conduction of air (Çengel & Ghajar, table A-15) and radiation across the gap (Incropera Eq. 13.30, view factor by Howell C-11), film and radiation outside; solved apart from the program",
		"0.5 % and 1 K for the air's conductivity between the table's rows",
		within(name+": pane", "degC", pane, 1, asked(func() float64 { return balance().Pane - zero })),
		near(name+": heat lost by the face", "W", lost, 0.005, asked(func() float64 { return balance().Lost })),
	)}
}

// rightWindow is a round window before a Gaussian spot of 3 m² and 50 mm, whose face loses 7500 W/m² by a film alone.
func rightWindow() known {
	const sigma, area, beam, loss = 0.05, 3.0, 900.0, 7500.0
	best := func() aperture.Best {
		q := aperture.Question{
			Receiver: &receiver.Receiver{Window: &receiver.Window{Absorptance: 0.9, Film: receiver.Film{Kind: receiver.FilmFixed, Value: 25}}},
			Round:    true, Ratio: 1, Most: 0.5, Face: 600, Beam: beam, Out: heat.Weather{Air: 300, Sky: 300, Ground: 300},
		}
		for i := range 401 {
			d := 0.5 * float64(i) / 400
			q.Catch.Size, q.Catch.Power = append(q.Catch.Size, d), append(q.Catch.Power, area*-math.Expm1(-d*d/(8*sigma*sigma)))
		}
		a, err := aperture.Find(&q)
		if err != nil {
			return aperture.Best{Size: math.NaN(), Kept: math.NaN()}
		}
		return a.Variants[0].Now.Best
	}
	r := sigma * math.Sqrt(2*math.Log(beam*area*0.9/(2*math.Pi*sigma*sigma*loss)))
	kept := beam*area*0.9*-math.Expm1(-r*r/(2*sigma*sigma)) - loss*math.Pi*r*r
	return known{topic: glassTopic, title: "right window of a Gaussian spot", rows: from(
		"derivative of B P α [1 - exp(-r²/2σ²)] - q π r² set to zero: r² = 2σ² ln[B P α/(2πσ² q)]", "sizes are looked at in steps of 4 mm; 0.5 % of the size, which is flat there",
		near("right round window of a Gaussian spot of 50 mm: diameter", "m", 2*r, 0.005, asked(func() float64 { return best().Size })),
		near("right round window of a Gaussian spot of 50 mm: heat kept", "W", kept, 0.0005, asked(func() float64 { return best().Kept })),
	)}
}
