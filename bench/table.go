package bench

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"emberbank/unit"
)

// table is a CSV file: a row of headings with units in brackets, then rows of numbers.
type table struct {
	name     string
	headings []string
	rows     [][]string
	lines    []int // of each row, for messages
}

func (t *table) index(heading string) int {
	for i, h := range t.headings {
		if h == heading {
			return i
		}
	}
	return -1
}

// mostTableRows bounds a table: four years at one-minute steps.
const mostTableRows = 2_000_000

// table reads a CSV file. Lines that begin with # are comments.
func (r *reader) table(name string, from *value) *table {
	if t, known := r.keptTables.take(r, name); known {
		return t
	}
	data, ok := r.bytesOf(name, mostTable, from)
	if !ok {
		return nil
	}
	head, _, _ := bytes.Cut(data, []byte("\n"))
	c := csv.NewReader(bytes.NewReader(data))
	c.Comment, c.FieldsPerRecord, c.TrimLeadingSpace = '#', -1, true
	if !bytes.Contains(head, []byte(",")) {
		if bytes.Contains(head, []byte(";")) {
			c.Comma = ';'
		} else if bytes.Contains(head, []byte("\t")) {
			c.Comma = '\t'
		}
	}
	t := &table{name: name}
	for {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			p := Problem{File: name, Line: 1, Column: 1, Message: "the table cannot be read: " + err.Error(), Fix: "mend the row shown"}
			var pe *csv.ParseError
			if errors.As(err, &pe) {
				p.Line, p.Column, p.Message = pe.Line, pe.Column, "the table cannot be read: "+pe.Err.Error()
				p.Fix = "mend the quotes in this row"
			}
			r.report(p)
			return nil
		}
		for i := range row {
			row[i] = strings.TrimSpace(row[i])
		}
		line, _ := c.FieldPos(0)
		if t.headings == nil {
			t.headings = row
			continue
		}
		if len(row) != len(t.headings) {
			r.report(Problem{
				File: name, Line: line, Column: 1, Message: fmt.Sprintf("the row has %d cells, the headings %d", len(row), len(t.headings)),
				Allowed: "as many cells as headings", Fix: "mend the row; a text with commas needs quotes",
			})
			return nil
		}
		if len(t.rows) == mostTableRows {
			r.report(Problem{
				File: name, Line: line, Column: 1, Message: fmt.Sprintf("the table has more than the %d rows that are read", mostTableRows),
				Fix: "thin the table out, or split it",
			})
			return nil
		}
		t.rows, t.lines = append(t.rows, row), append(t.lines, line)
	}
	if len(t.rows) == 0 {
		r.report(Problem{
			File: name, Line: 1, Column: 1, Message: "the table has no rows",
			Fix: `write headings in the first line, such as "time [s],ambient [degC]", and numbers below`,
		})
		return nil
	}
	r.keptTables.put(r, name, t)
	return t
}

// mostBadCells bounds the mistakes told of one column.
const mostBadCells = 5

// column reads a column of numbers in the unit of its heading. from is where the heading was asked for.
func (r *reader) column(t *table, from *value, heading string, s *shape) ([]float64, bool) {
	i := t.index(heading)
	if i < 0 {
		fix := "write the heading as it stands in the table's first line"
		if near := nearest(heading, t.headings); near != "" {
			fix = fmt.Sprintf("did you mean %q?", near)
		}
		want, wantUnit := unit.ParseHeading(heading)
		for _, h := range t.headings {
			if have, u := unit.ParseHeading(h); have == want && u != wantUnit && u != "" {
				fix = fmt.Sprintf("did you mean %q?", h)
			} else if have == want && u == "" && wantUnit != "" {
				fix = fmt.Sprintf("write the unit behind the heading in the table's first line, as %q", heading)
			}
		}
		r.problemAt(from, fmt.Sprintf("%s has no column %q", t.name, heading), quoted(t.headings), fix)
		return nil, false
	}
	_, u := unit.ParseHeading(heading)
	conv, err := unit.Between(s.dim, u)
	if err != nil {
		what, fix := unitTrouble(err, s)
		r.report(Problem{
			File: t.name, Line: 1, Column: 1, Field: heading, Typed: heading,
			Message: fmt.Sprintf("the heading %q: %s", heading, what), Allowed: s.noun + " with its unit in brackets", Fix: fix,
		})
		return nil, false
	}
	out := make([]float64, len(t.rows))
	bad := 0
	complain := func(k int, reason, allowed, fix string) {
		if bad++; bad > mostBadCells {
			return
		}
		r.report(Problem{
			File: t.name, Line: t.lines[k], Column: i + 1, Field: heading, Typed: t.rows[k][i],
			Message: fmt.Sprintf("%s is %q: %s", heading, shortened(t.rows[k][i]), reason), Allowed: allowed, Fix: fix,
		})
	}
	for k, row := range t.rows {
		cell := row[i]
		x, err := strconv.ParseFloat(cell, 64)
		switch {
		case cell == "":
			complain(k, "the cell is empty", "a number in every row", "fill the gap, or leave the row out")
		case err != nil && strings.Count(cell, ",") == 1 && strings.Trim(cell, "0123456789,-+") == "":
			complain(k, "a comma stands in the number", "", "write a point: "+strings.Replace(cell, ",", ".", 1))
		case err != nil:
			reason := "not a number"
			if _, e := unit.Parse(cell, s.dim); e == nil {
				reason = "a unit stands in the cell"
			}
			complain(k, reason, "numbers only, in the unit of the heading", "convert it to "+u+" and leave the unit out")
		case math.IsNaN(x) || math.IsInf(x, 0):
			complain(k, "not a finite number", "a number in every row", "fill the gap, or leave the row out")
		default:
			out[k] = conv.ToSI(x)
			if out[k] < s.min-slack(s.min) || out[k] > s.max+slack(s.max) {
				complain(k, "out of range", s.allowed(), "mend the value, or the unit in the heading")
			}
		}
	}
	if bad > mostBadCells {
		r.report(Problem{
			File: t.name, Line: t.lines[0], Column: i + 1, Field: heading,
			Message: fmt.Sprintf("%s: %d more cells like these", heading, bad-mostBadCells), Fix: "mend the column",
		})
	}
	return out, bad == 0
}

// number reads one cell of a table without headings.
func (r *reader) cell(t *table, text string, line, col int) (float64, bool) {
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		r.report(Problem{
			File: t.name, Line: line, Column: col, Typed: shortened(text),
			Message: fmt.Sprintf("the cell is %q, not a number", shortened(text)), Allowed: "a finite number", Fix: "mend the cell",
		})
		return 0, false
	}
	return x, true
}
