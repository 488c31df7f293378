package account

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"emberbank/history"
	"emberbank/study"
)

// table prints rows of cells, separated by commas, through a buffer. Texts with a comma, a quote or a line's end in
// them, or a space before them, stand in quotes. Source of the form: RFC 4180; lines end as in Unix. A table whose cells are
// kept prints nothing.
type table struct {
	w     io.Writer
	b     []byte
	begun bool // the row in hand has a cell
	below bool // the headings are written
	err   error
	kept  cells // takes the cells as they are, for Parquet and workbooks; nil: they are printed
}

const tableRoom = 32 << 10 // bytes that are gathered before they are written

func newTable(w io.Writer) *table {
	return &table{w: w, b: make([]byte, 0, tableRoom+4096)}
}

// keptIn is a table whose cells go to k.
func keptIn(k cells) *table { return &table{kept: k} }

func (t *table) cell() {
	if t.begun {
		t.b = append(t.b, ',')
	}
	t.begun = true
}

func (t *table) number(v float64) {
	if t.kept != nil {
		t.kept.add(cell{number: v})
		return
	}
	t.cell()
	t.b = appendDecimal(t.b, v)
}

func (t *table) text(s string) {
	if t.kept != nil {
		t.kept.add(cell{text: s, isText: true})
		return
	}
	t.cell()
	if t.below || !strings.HasSuffix(s, "]") {
		s = harmless(s)
	}
	t.b = append(t.b, quoted(s)...)
}

// harmless puts an apostrophe before a text that a spreadsheet would compute as soon as the file is opened. Headings with a unit need
// none: that is no formula's end.
func harmless(s string) string {
	if computes(s) {
		return "'" + s
	}
	return s
}

// TextOf is the text that a cell of a table of results stands for: what harmless put before it is taken away.
func TextOf(cell string) string {
	if s, ok := strings.CutPrefix(cell, "'"); ok && computes(s) {
		return s
	}
	return cell
}

// computes tells whether a spreadsheet would take a text for a formula; a number with its unit ("-40 mm") is none.
//
// Source: OWASP, "CSV Injection".
func computes(s string) bool {
	if s != "" && s[0] > '@' { // most begin with a letter
		return false
	}
	s = strings.TrimLeft(s, " \t\r\n")
	switch {
	case s == "":
		return false
	case s[0] == '=' || s[0] == '@':
		return true
	case s[0] == '+' || s[0] == '-':
		next, _ := utf8.DecodeRuneInString(s[1:])
		return unicode.IsLetter(next) || strings.ContainsAny(s[1:], "+-*/^&=<>()|!,;\"'")
	}
	return false
}

// ready appends what number and text print.
func (t *table) ready(s []byte) {
	t.cell()
	t.b = append(t.b, s...)
}

func (t *table) end() {
	if t.kept != nil {
		t.kept.end()
		return
	}
	t.b = append(t.b, '\n')
	t.begun, t.below = false, true
	if len(t.b) >= tableRoom {
		_ = t.flush() // kept for the last
	}
}

func (t *table) flush() error {
	if t.err == nil && t.kept == nil {
		_, t.err = t.w.Write(t.b)
	}
	t.b = t.b[:0]
	return t.err
}

// quoted is a text as a cell.
func quoted(s string) string {
	first, _ := utf8.DecodeRuneInString(s)
	if !strings.ContainsAny(s, ",\"\r\n") && !unicode.IsSpace(first) {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}

// WriteCSV writes a history as a table: headings with units in brackets, then one row per output time. Columns
// stand in the history's order behind "time [s]". An absent value is an empty cell.
func WriteCSV(w io.Writer, h *history.History) error {
	if err := whole(h); err != nil {
		return err
	}
	t := newTable(w)
	t.text("time [s]")
	for _, c := range h.Columns {
		t.text(c.Header())
	}
	t.end()
	for i := range h.Time {
		t.number(h.Time[i])
		for j := range h.Columns {
			c := &h.Columns[j]
			t.number(shown(c.Quantity, c.Values[i]))
		}
		t.end()
	}
	return t.flush()
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

// halfWidthTable holds the uncertainty bands as a table like the history's: half-widths at 95 %, those of
// temperatures in K.
func halfWidthTable(t *table, times []float64, b *study.Bands) error {
	t.text("time [s]")
	for _, c := range b.Columns {
		unit := c.Quantity.Unit()
		if c.Quantity == history.Temperature {
			unit = "K"
		}
		t.text(c.Name + " [" + unit + "]")
	}
	t.end()
	for i := range times {
		t.number(times[i])
		for _, c := range b.Columns {
			if i < len(c.Half) {
				t.number(c.Half[i])
			} else {
				t.number(math.NaN())
			}
		}
		t.end()
	}
	return t.flush()
}
