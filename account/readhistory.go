package account

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"

	"emberbank/history"
)

// ReadHistory reads a table of columns over time, such as history.csv, back into SI. A column whose unit is that of no
// quantity, such as half-widths of temperatures in K, keeps its numbers.
func ReadHistory(r io.Reader) (*history.History, error) {
	rows, err := csv.NewReader(r).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("reading a table over time: %w", err)
	}
	if len(rows) < 2 || rows[0][0] != "time [s]" {
		return nil, errors.New("it has no rows over time")
	}
	h := &history.History{}
	zero, factor := make([]float64, len(rows[0])), make([]float64, len(rows[0]))
	for i, head := range rows[0] {
		name, unit := headed(head)
		c := history.Column{Name: name, Quantity: history.Fraction}
		factor[i] = 1
		for q := history.Time; q <= history.Current; q++ {
			if q.Unit() == unit {
				c.Quantity = q
			}
		}
		switch c.Quantity {
		case history.Temperature:
			zero[i] = 273.15
		case history.Angle:
			factor[i] = math.Pi / 180
		default:
		}
		if i > 0 {
			h.Columns = append(h.Columns, c)
		}
	}
	for _, row := range rows[1:] {
		for i := range row {
			v := numberIn(row[i])
			if i == 0 {
				h.Time = append(h.Time, v)
			} else {
				h.Columns[i-1].Values = append(h.Columns[i-1].Values, v*factor[i]+zero[i])
			}
		}
	}
	return h, nil
}
