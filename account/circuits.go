package account

import (
	"emberbank/heat"
	"emberbank/history"
)

// placeColumn is a column of circuits.csv and circuits.parquet: a text, or a number in the unit of its heading.
type placeColumn struct {
	name, unit string
	text       func(p *heat.Profile, q *heat.Place) string
	number     func(p *heat.Profile, q *heat.Place) float64
}

func (c *placeColumn) heading() string {
	if c.unit == "" {
		return c.name
	}
	return c.name + " [" + c.unit + "]"
}

func celsiusOf(K float64) float64 { return shown(history.Temperature, K) }

// placeColumns are the columns in the order in which they stand.
var placeColumns = []placeColumn{
	{name: "time", unit: "s", number: func(p *heat.Profile, _ *heat.Place) float64 { return p.Time }},
	{name: "circuit", text: func(p *heat.Profile, _ *heat.Place) string { return p.Circuit }},
	{name: "circuit is", text: func(p *heat.Profile, _ *heat.Place) string { return p.State }},
	{name: "distance", unit: "m", number: func(_ *heat.Profile, q *heat.Place) float64 { return q.Distance }},
	{name: "length", unit: "m", number: func(_ *heat.Profile, q *heat.Place) float64 { return q.Length }},
	{name: "pass", text: func(_ *heat.Profile, q *heat.Place) string { return q.Pass }},
	{name: "run", text: func(_ *heat.Profile, q *heat.Place) string { return q.Run }},
	{name: "pressure", unit: "Pa", number: func(_ *heat.Profile, q *heat.Place) float64 { return q.Pressure }},
	{name: "enthalpy", unit: "J/kg", number: func(_ *heat.Profile, q *heat.Place) float64 { return q.Enthalpy }},
	{name: "leaving", unit: "J/kg", number: func(_ *heat.Profile, q *heat.Place) float64 { return q.Leaving }},
	{name: "temperature", unit: "degC", number: func(_ *heat.Profile, q *heat.Place) float64 { return celsiusOf(q.Temperature) }},
	{name: "quality", unit: "1", number: func(_ *heat.Profile, q *heat.Place) float64 { return q.Quality }},
	{name: "state", text: func(_ *heat.Profile, q *heat.Place) string { return q.State }},
	{name: "wall inside", unit: "degC", number: func(_ *heat.Profile, q *heat.Place) float64 { return celsiusOf(q.Inside) }},
	{name: "wall outside", unit: "degC", number: func(_ *heat.Profile, q *heat.Place) float64 { return celsiusOf(q.Outside) }},
	{name: "block", unit: "degC", number: func(_ *heat.Profile, q *heat.Place) float64 { return celsiusOf(q.Block) }},
	{name: "film", unit: "W/(m2 K)", number: func(_ *heat.Profile, q *heat.Place) float64 { return q.Film }},
	{name: "heat", unit: "W/m", number: func(_ *heat.Profile, q *heat.Place) float64 { return q.Heat }},
	{name: "wetted", unit: "1", number: func(_ *heat.Profile, q *heat.Place) float64 { return q.Wetted }},
}

// circuitTable holds the profiles along the circuits: one row for each slice, in the order of flow.
func circuitTable(t *table, profiles []heat.Profile) error {
	for i := range placeColumns {
		t.text(placeColumns[i].heading())
	}
	t.end()
	for i := range profiles {
		p := &profiles[i]
		for j := range p.Places {
			for k := range placeColumns {
				if c := &placeColumns[k]; c.text != nil {
					t.text(c.text(p, &p.Places[j]))
				} else {
					t.number(c.number(p, &p.Places[j]))
				}
			}
			t.end()
		}
	}
	return t.flush()
}
