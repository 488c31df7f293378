package account

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// TableColumn is the heading of a column in a table of results.
type TableColumn struct {
	Name string `json:"name"`
	Unit string `json:"unit" doc:"as in the file; none: a number or a text by itself"`
}

// ReadTable reads a table of numbers, such as days.csv of a season, as it stands: in the units of its headings. What is no number is
// NaN.
func ReadTable(r io.Reader) (columns []TableColumn, rows [][]float64, err error) {
	all, err := csv.NewReader(r).ReadAll()
	if err != nil {
		return nil, nil, fmt.Errorf("reading a table: %w", err)
	}
	if len(all) == 0 {
		return nil, nil, errors.New("the table is empty")
	}
	for _, head := range all[0] {
		name, unit := headed(head)
		columns = append(columns, TableColumn{name, unit})
	}
	for _, row := range all[1:] {
		numbers := make([]float64, len(row))
		for i, text := range row {
			numbers[i] = numberIn(text)
		}
		rows = append(rows, numbers)
	}
	return columns, rows, nil
}

// headed parts a heading "name [unit]".
func headed(head string) (name, unit string) {
	name, unit, _ = strings.Cut(strings.TrimSuffix(head, "]"), " [")
	return name, unit
}

// numberIn is the number in a cell; not a number where there is none.
func numberIn(cell string) float64 {
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}
