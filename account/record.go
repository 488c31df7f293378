package account

import (
	"math"

	"emberbank/balance"
	"emberbank/figure"
	"emberbank/history"
)

// RecordPicture draws what a trial measured over time with its phases: the receiver's temperatures, those of its water,
// and every other quantity in a plot of its own. water tells which columns are of a circuit's water; heat is nil where
// there is no balance, and then there are no phases.
func RecordPicture(title string, h *history.History, water func(name string) bool, heat *balance.Report) []byte {
	var panels []figure.Panel
	add := func(caption, unit string, zero bool, r figure.Reading) {
		for i := range panels {
			if panels[i].Title == caption {
				panels[i].Readings = append(panels[i].Readings, r)
				return
			}
		}
		panels = append(panels, figure.Panel{Title: caption, Unit: unit, Zero: zero, Readings: []figure.Reading{r}})
	}
	for _, wet := range []bool{false, true} {
		for i := range h.Columns {
			if c := &h.Columns[i]; c.Quantity == history.Temperature && water(c.Name) == wet {
				add(map[bool]string{false: "Temperature", true: "Temperature of the water"}[wet], "°C", false, reading(c, wet, 1))
			}
		}
	}
	for i := range h.Columns {
		c := &h.Columns[i]
		switch c.Quantity {
		case history.Temperature:
		case history.MassFlow:
			add("Flow", "kg/h", true, reading(c, water(c.Name), 3600))
		default:
			what, known := captionOfQuantity[c.Quantity]
			if !known {
				what = c.Quantity.Unit()
			}
			add(what, c.Quantity.Unit(), c.Quantity == history.HeatFlow || c.Quantity == history.Irradiance, reading(c, water(c.Name), 1))
		}
	}
	var phases []figure.Stretch
	if heat != nil {
		for i := range heat.Phases {
			p := &heat.Phases[i]
			phases = append(phases, figure.Stretch{Name: p.Kind.String(), From: p.From, To: p.To})
		}
	}
	return figure.Record(title, nil, h.Time, panels, phases)
}

var captionOfQuantity = map[history.Quantity]string{
	history.HeatFlow: "Power", history.Irradiance: "Irradiance", history.Pressure: "Pressure", history.Speed: "Speed", history.Fraction: "Share",
	history.Heat: "Heat", history.Length: "Length", history.Angle: "Angle", history.Voltage: "Voltage", history.Current: "Current",
	history.Mass: "Mass", history.Money: "Cost", history.Count: "Number",
}

// reading is a column as it is drawn, in the unit of files times factor.
func reading(c *history.Column, water bool, factor float64) figure.Reading {
	r := figure.Reading{Name: c.Name, Water: water, Values: make([]float64, len(c.Values))}
	for i, v := range c.Values {
		r.Values[i] = factor * shown(c.Quantity, v)
		if math.IsInf(r.Values[i], 0) {
			r.Values[i] = math.NaN()
		}
	}
	return r
}

// BalancePicture draws the heats of a trial's phases.
func BalancePicture(title string, r *balance.Report) []byte {
	return figure.Balance(title, []string{"Open marks: measured, with their 95\u00a0%. Strokes: losses as the conductance of the losses makes them."}, drawnHeats(r))
}

// drawnHeats are the phases of which a heat is known.
func drawnHeats(r *balance.Report) []figure.Balanced {
	var all []figure.Balanced
	for i := range r.Phases {
		p := &r.Phases[i]
		one := figure.Balanced{Title: phaseTitle(p)}
		for _, row := range toldHeats(p) {
			if row.r.Unit == "1" {
				one.Says = "closure " + row.text()
				continue
			}
			one.Heats = append(one.Heats, figure.Amount{Name: row.name, Value: row.r.Value, Half: row.r.Half(), Text: row.text(), Computed: row.r == p.Expected})
		}
		if len(one.Heats) > 0 {
			all = append(all, one)
		}
	}
	return all
}
