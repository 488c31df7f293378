// Package history holds time series with quantity and place: one shape for what was computed and what was
// measured, so that every chart, table and comparison takes either. Values are SI, temperatures in kelvin.
package history

import "math"

// Quantity says what a column's numbers are; it fixes the unit in which files and charts show them.
type Quantity int

// The quantities that a column may hold, with the unit of the stored values.
const (
	Time        Quantity = iota // s
	Temperature                 // stored in K, shown in degC
	Heat                        // J
	HeatFlow                    // W
	MassFlow                    // kg/s
	Pressure                    // Pa
	Fraction                    // 1
	Length                      // m
	Irradiance                  // W/m²
	Speed                       // m/s
	Angle                       // stored in rad, shown in deg
	Voltage                     // V
	Current                     // A
	Mass                        // kg
	Money                       // in a unit of the user's own
	Count                       // 1, how many
)

// Unit returns the unit in which files show the quantity, as it stands in a column's brackets.
func (q Quantity) Unit() string {
	return [...]string{"s", "degC", "J", "W", "kg/s", "Pa", "1", "m", "W/m2", "m/s", "deg", "V", "A", "kg", "1", "1"}[q]
}

// Shown converts a stored value to the unit in which files show it.
func (q Quantity) Shown(v float64) float64 {
	switch q {
	case Temperature:
		return v - 273.15
	case Angle:
		return v * 180 / math.Pi
	}
	return v
}

// Apart returns the unit in which files show a difference of the quantity.
func (q Quantity) Apart() string {
	if q == Temperature {
		return "K"
	}
	return q.Unit()
}

// ShownApart converts a difference of stored values to that unit.
func (q Quantity) ShownApart(d float64) float64 {
	if q == Angle {
		return d * 180 / math.Pi
	}
	return d
}

// Column is one quantity at one place over time. Values has the length of the history's Time.
type Column struct {
	Name     string // without unit, such as "block mean" or "pass 1 heat"
	Quantity Quantity
	Values   []float64 // SI; NaN where there is no value
}

// Header returns the column's heading with its unit, such as "block mean [degC]".
func (c Column) Header() string { return c.Name + " [" + c.Quantity.Unit() + "]" }

// History is a table of columns over a common time axis.
type History struct {
	Time    []float64 // s from the start, rising
	Columns []Column
}

// Column returns the column of that name, or nil.
func (h *History) Column(name string) *Column {
	for i := range h.Columns {
		if h.Columns[i].Name == name {
			return &h.Columns[i]
		}
	}
	return nil
}
