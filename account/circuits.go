package account

import (
	"fmt"
	"io"
	"math"

	"github.com/parquet-go/parquet-go"

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

// writeCircuits writes the profiles along the circuits as a table: one row for each slice, in the order of flow.
func writeCircuits(w io.Writer, profiles []heat.Profile) error {
	t := newTable(w)
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

// writeCircuitsParquet writes the same table in Parquet, as WriteParquet does with a history.
func writeCircuitsParquet(w io.Writer, profiles []heat.Profile) error {
	var headings []string
	options := []parquet.WriterOption{parquet.CreatedBy("emberbank", "1", ""), parquet.KeyValueMetadata("schema", "emberbank/1")}
	group := parquet.Group{}
	for i := range placeColumns {
		c := &placeColumns[i]
		h := c.heading()
		headings = append(headings, h)
		if c.text != nil {
			group[h] = parquet.String()
			continue
		}
		group[h] = parquet.Optional(parquet.Leaf(parquet.DoubleType))
		options = append(options, parquet.KeyValueMetadata("unit:"+h, c.unit))
	}
	options = append(options, parquet.NewSchema("circuits", inOrder(group, headings)))
	out := parquet.NewWriter(w, options...)
	row := make(parquet.Row, len(headings))
	for i := range profiles {
		p := &profiles[i]
		for j := range p.Places {
			for k := range placeColumns {
				c := &placeColumns[k]
				if c.text != nil {
					row[k] = parquet.ByteArrayValue([]byte(c.text(p, &p.Places[j]))).Level(0, 0, k)
					continue
				}
				if v := c.number(p, &p.Places[j]); math.IsNaN(v) || math.IsInf(v, 0) {
					row[k] = parquet.NullValue().Level(0, 0, k)
				} else {
					row[k] = parquet.DoubleValue(v).Level(0, 1, k)
				}
			}
			if _, err := out.WriteRows([]parquet.Row{row}); err != nil {
				return fmt.Errorf("circuit %s at %s s, %s m: %w", p.Circuit, decimal(p.Time), decimal(p.Places[j].Distance), err)
			}
		}
	}
	return out.Close()
}
