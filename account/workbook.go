package account

import (
	"fmt"
	"io"
	"math"

	"github.com/xuri/excelize/v2"
)

// sheet is one table of a workbook.
type sheet struct {
	name   string
	widths []float64 // of the columns, in characters
	fill   func(t *table) error
}

// mostSheetRows is how many rows a sheet of a workbook holds.
const mostSheetRows = 1 << 20

// workbookDate stands where a workbook's form demands a date: always the same, so that the same study gives the same bytes.
const workbookDate = "2000-01-01T00:00:00Z"

// workbook writes sheets as an Office Open XML workbook (ISO/IEC 29500). Headings stand fast and carry their units as in
// CSV; an absent value is an empty cell; a text is never a formula. The first sheet may be long: it is written row by row, and
// the library keeps what is beyond 16 MB of it in a temporary file. The others are held in memory, since the library writes
// several such files in no fixed order.
func workbook(w io.Writer, sheets []sheet) (err error) {
	f := excelize.NewFile()
	defer func() {
		if closed := f.Close(); err == nil {
			err = closed
		}
	}()
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	for i := range sheets {
		s := &sheets[i]
		if i == 0 {
			err = s.long(f, bold)
		} else {
			err = s.short(f, bold)
		}
		if err != nil {
			return fmt.Errorf("sheet %s: %w", s.name, err)
		}
	}
	if err := f.SetDocProps(&excelize.DocProperties{Creator: "emberbank", LastModifiedBy: "emberbank", Created: workbookDate, Modified: workbookDate}); err != nil {
		return err
	}
	if err := f.SetAppProps(&excelize.AppProperties{Application: "emberbank"}); err != nil {
		return err
	}
	return f.Write(w)
}

// standing keeps the headings in sight.
var standing = excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}

// unbounded takes out of a sheet what the library says of its size: one cell, of a new sheet, which some readers believe.
func unbounded(f *excelize.File, sheet string) error { return f.SetSheetDimension(sheet, "") }

// long writes the first sheet.
func (s *sheet) long(f *excelize.File, bold int) error {
	if err := f.SetSheetName(f.GetSheetName(0), s.name); err != nil {
		return err
	}
	if err := unbounded(f, s.name); err != nil {
		return err
	}
	out, err := f.NewStreamWriter(s.name)
	if err != nil {
		return err
	}
	for i, width := range s.widths {
		if err := out.SetColWidth(i+1, i+1, width); err != nil {
			return err
		}
	}
	if err := out.SetPanes(&standing); err != nil {
		return err
	}
	err = s.rows(func(at string, row []any) error {
		if at == "A1" {
			return out.SetRow(at, row, excelize.RowOpts{StyleID: bold})
		}
		return out.SetRow(at, row)
	})
	if err != nil {
		return err
	}
	return out.Flush()
}

// short adds a further sheet.
func (s *sheet) short(f *excelize.File, bold int) error {
	if _, err := f.NewSheet(s.name); err != nil {
		return err
	}
	if err := unbounded(f, s.name); err != nil {
		return err
	}
	for i, width := range s.widths {
		name, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		if err := f.SetColWidth(s.name, name, name, width); err != nil {
			return err
		}
	}
	if err := f.SetPanes(s.name, &standing); err != nil {
		return err
	}
	if err := s.rows(func(at string, row []any) error { return f.SetSheetRow(s.name, at, &row) }); err != nil {
		return err
	}
	return f.SetRowStyle(s.name, 1, 1, bold)
}

// rows hands the rows of the sheet on, one by one.
func (s *sheet) rows(put func(at string, row []any) error) error {
	r := &sheetRows{put: put}
	if err := s.fill(keptIn(r)); err != nil {
		return err
	}
	return r.err
}

// sheetRows gathers cells into rows of a sheet.
type sheetRows struct {
	put   func(at string, row []any) error
	cells []any
	done  int
	err   error // the first
}

func (r *sheetRows) add(c cell) {
	switch {
	case c.isText && c.text != "":
		r.cells = append(r.cells, c.text)
	case c.isText || math.IsNaN(c.number) || math.IsInf(c.number, 0):
		r.cells = append(r.cells, nil)
	default:
		r.cells = append(r.cells, c.number)
	}
}

func (r *sheetRows) end() {
	r.done++
	if r.err == nil && r.done > mostSheetRows {
		r.err = fmt.Errorf("more than %d rows", mostSheetRows)
	}
	if r.err == nil {
		at, err := excelize.CoordinatesToCellName(1, r.done)
		if err == nil {
			err = r.put(at, r.cells)
		}
		r.err = err
	}
	r.cells = r.cells[:0]
}

// workbook is a study as a workbook: its variants, its answers, and what else the report says.
func (v *Varied) workbook(w io.Writer) error {
	widths := []float64{11}
	for range len(v.Axes) + len(v.Responses) + 4 {
		widths = append(widths, 16)
	}
	return workbook(w, []sheet{
		{"variants", append(widths, 36), v.table}, // the key is the last
		{"answers", []float64{50, 18, 120}, v.answerTable},
		{"notes", []float64{16, 60, 120}, v.noteTable},
	})
}

// answerTable holds what each answer says and, from the third column on, its table and what stands below it.
func (v *Varied) answerTable(t *table) error {
	t.texts("question", "verdict", "what can be said")
	t.end()
	for _, a := range v.Answers {
		for i, s := range a.Sentences {
			if i == 0 {
				t.texts(a.Question, a.Verdict, s)
			} else {
				t.texts("", "", s)
			}
			t.end()
		}
		for _, row := range a.Table {
			t.texts(append([]string{"", ""}, row...)...)
			t.end()
		}
		if a.Below != "" {
			t.texts("", "", a.Below)
			t.end()
		}
	}
	return t.flush()
}

// noteTable holds what each column reads, the constraints, and the notes.
func (v *Varied) noteTable(t *table) error {
	t.texts("kind", "of", "text")
	t.end()
	row := func(kind, of, text string) {
		t.texts(kind, of, text)
		t.end()
	}
	row("study", v.Name, fmt.Sprintf("%d variants, %d of them without results", len(v.Variants), v.Failed()))
	for _, r := range v.Responses {
		row("response", r.Name, r.Read)
	}
	for _, c := range v.Constraints {
		row("constraint", c.Text, c.Words)
	}
	for _, s := range v.cautioned() {
		row("caution", "", s)
	}
	for _, n := range v.Notes {
		row("note", "", n)
	}
	return t.flush()
}
