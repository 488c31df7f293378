package season

import (
	"emberbank/history"
)

// layColumns lays the history's columns, named as those of a run.
func (c *course) layColumns(rows int) {
	h := &c.out.History
	h.Time = make([]float64, 0, rows)
	column := func(name string, q history.Quantity) {
		h.Columns = append(h.Columns, history.Column{Name: name, Quantity: q, Values: make([]float64, 0, rows)})
	}
	column("block mean", history.Temperature)
	column("stored", history.Heat)
	column("melted", history.Fraction)
	column("absorbed", history.HeatFlow)
	column("heat to passes", history.HeatFlow)
	for i := range c.m.circuits {
		name := "circuit " + c.m.circuits[i].name + " "
		column(name+"heat", history.HeatFlow)
		column(name+"flow", history.MassFlow)
		column(name+"steam", history.MassFlow)
	}
	for _, path := range c.m.sur.paths {
		column("lost "+path, history.HeatFlow)
	}
	column("ambient", history.Temperature)
}

// keep adds a row: temperatures and heat content of the moment, flows as means since the row before.
func (c *course) keep() {
	h := &c.out.History
	span := c.t - c.rowAt
	mean := func(x float64) float64 {
		if span <= 0 {
			return 0
		}
		return x / span
	}
	h.Time = append(h.Time, c.t)
	i := 0
	put := func(v float64) {
		h.Columns[i].Values = append(h.Columns[i].Values, v)
		i++
	}
	put(c.w.mean())
	put(c.w.stored())
	put(c.w.melted())
	put(mean(c.row.absorbed))
	all := 0.0
	for _, q := range c.row.drawn {
		all += q
	}
	put(mean(all))
	for k := range c.m.circuits {
		put(mean(c.row.drawn[k]))
		put(mean(c.row.flow[k]))
		put(mean(c.row.steam[k]))
	}
	for _, q := range c.row.lost {
		put(mean(q))
	}
	put(c.d.Ambient.At(c.t))
	c.row.clear()
	c.rowAt = c.t
}
