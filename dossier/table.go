package dossier

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"

	"emberbank/history"
	"emberbank/study"
)

// WriteCSV writes a history as a table: headings with units in brackets, then one row per output time. Columns
// stand in the history's order behind "time [s]". An absent value is an empty cell.
func WriteCSV(w io.Writer, h *history.History) error {
	if err := whole(h); err != nil {
		return err
	}
	rows := csv.NewWriter(w)
	row := make([]string, 1+len(h.Columns))
	row[0] = "time [s]"
	for i, c := range h.Columns {
		row[i+1] = c.Header()
	}
	if err := rows.Write(row); err != nil {
		return err
	}
	for t := range h.Time {
		row[0] = decimal(h.Time[t])
		for i, c := range h.Columns {
			row[i+1] = decimal(shown(c.Quantity, c.Values[t]))
		}
		if err := rows.Write(row); err != nil {
			return err
		}
	}
	rows.Flush()
	return rows.Error()
}

// whole checks that the columns fit the time axis and that no heading stands twice.
func whole(h *history.History) error {
	seen := map[string]bool{"time [s]": true}
	for _, c := range h.Columns {
		if len(c.Values) != len(h.Time) {
			return fmt.Errorf("the column %q has %d values over %d times", c.Name, len(c.Values), len(h.Time))
		}
		if seen[c.Header()] {
			return fmt.Errorf("two columns are headed %q", c.Header())
		}
		seen[c.Header()] = true
	}
	return nil
}

// writeHalfWidths writes the uncertainty bands as a table like the history's: half-widths at 95 %, those of
// temperatures in K.
func writeHalfWidths(w io.Writer, times []float64, b *study.Bands) error {
	buffered := bufio.NewWriter(w)
	rows := csv.NewWriter(buffered)
	row := []string{"time [s]"}
	for _, c := range b.Columns {
		unit := c.Quantity.Unit()
		if c.Quantity == history.Temperature {
			unit = "K"
		}
		row = append(row, c.Name+" ["+unit+"]")
	}
	if err := rows.Write(row); err != nil {
		return err
	}
	for t := range times {
		row = append(row[:0], decimal(times[t]))
		for _, c := range b.Columns {
			cell := ""
			if t < len(c.Half) {
				cell = decimal(c.Half[t])
			}
			row = append(row, cell)
		}
		if err := rows.Write(row); err != nil {
			return err
		}
	}
	rows.Flush()
	if err := rows.Error(); err != nil {
		return err
	}
	return buffered.Flush()
}
