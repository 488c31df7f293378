package account

import (
	"bytes"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

// readBook opens a workbook by a library that we did not write. Source of these checks: github.com/xuri/excelize.
func readBook(t interface{ Fatal(args ...any) }, raw []byte) *excelize.File {
	f, err := excelize.OpenReader(bytes.NewReader(raw), excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// asked is what a reader answers, without its error, which ends the test.
func asked[T any](t *testing.T) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func TestAnotherReaderFindsWhatTheWorkbookHolds(t *testing.T) {
	v := madeVaried()
	v.Variants[1].Failure = "=1+1 is no formula"
	var b bytes.Buffer
	if err := v.workbook(&b); err != nil {
		t.Fatal(err)
	}
	f := readBook(t, b.Bytes())
	if got := f.GetSheetList(); !slices.Equal(got, []string{"variants", "answers", "notes"}) {
		t.Errorf("the sheets are %q", got)
	}
	for at, want := range map[string]struct {
		text string
		kind excelize.CellType
	}{
		"A1": {"variant [1]", excelize.CellTypeInlineString},
		"C2": {"227", excelize.CellTypeUnset}, // a number
		"D2": {"1500000", excelize.CellTypeUnset},
		"C3": {"", excelize.CellTypeUnset},
		"H3": {"=1+1 is no formula", excelize.CellTypeInlineString},
	} {
		text := asked[string](t)(f.GetCellValue("variants", at))
		if kind := asked[excelize.CellType](t)(f.GetCellType("variants", at)); text != want.text || kind != want.kind {
			t.Errorf("%s is read as %q of kind %d, not as %q of kind %d", at, text, kind, want.text, want.kind)
		}
		if formula := asked[string](t)(f.GetCellFormula("variants", at)); formula != "" {
			t.Errorf("%s is read as the formula %q", at, formula)
		}
	}
	bold := func(sheet, at string) bool {
		style := asked[*excelize.Style](t)(f.GetStyle(asked[int](t)(f.GetCellStyle(sheet, at))))
		return style.Font != nil && style.Font.Bold
	}
	for sheet, width := range map[string]float64{"variants": 11, "answers": 50, "notes": 16} {
		if panes := asked[excelize.Panes](t)(f.GetPanes(sheet)); !panes.Freeze || panes.YSplit != 1 || panes.XSplit != 0 || panes.TopLeftCell != "A2" {
			t.Errorf("%s stands fast as %+v", sheet, panes)
		}
		if got := asked[float64](t)(f.GetColWidth(sheet, "A")); got != width {
			t.Errorf("the first column of %s is %g wide, not %g", sheet, got, width)
		}
		if !bold(sheet, "A1") || bold(sheet, "A2") {
			t.Errorf("of %s, the heading is bold: %t, the row below: %t", sheet, bold(sheet, "A1"), bold(sheet, "A2"))
		}
	}
	if got := asked[*excelize.DocProperties](t)(f.GetDocProps()); got.Creator != "emberbank" || got.Created != "" {
		t.Errorf("the workbook is said to be made by %q at %q", got.Creator, got.Created)
	}
}

// oneRow is a workbook of one sheet with headings and a row below.
func oneRow(t interface{ Fatal(args ...any) }, fill func(t *table)) []byte {
	var b bytes.Buffer
	err := workbook(&b, []sheet{{"one", []float64{10}, func(t *table) error {
		t.texts("text", "number")
		t.end()
		fill(t)
		t.end()
		return t.flush()
	}}})
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestCellsComeBackAsTheyWereFromAnotherReader(t *testing.T) {
	letters := rapid.OneOf(
		rapid.String(),
		rapid.StringOfN(rapid.RuneFrom([]rune("_x0041F \t\r\n\x00\x01\x1f\x7f\ufffe\uffff<>&\"'=+-@é😀")), 0, 30, -1),
		rapid.SampledFrom([]string{"=1+1", "  both ends  ", "_x0041_", "_x0041\x01", "_x005F_x0041_", "]]>", "&amp;", "\r\n", "'quoted'", "1e5", "TRUE"}),
	)
	rapid.Check(t, func(q *rapid.T) {
		text, number := letters.Draw(q, "text"), rapid.Float64().Draw(q, "number")
		f := readBook(q, oneRow(q, func(t *table) {
			t.text(text)
			t.number(number)
		}))
		got, err := f.GetCellValue("one", "A2")
		if want := strings.ToValidUTF8(text, "\ufffd"); err != nil || got != want {
			q.Errorf("the text %q is read as %q: %v", text, got, err)
		}
		got, err = f.GetCellValue("one", "B2")
		if err != nil {
			q.Fatal(err)
		}
		if math.IsNaN(number) || math.IsInf(number, 0) {
			if got != "" {
				q.Errorf("the number %g is read as %q", number, got)
			}
			return
		}
		if back, err := strconv.ParseFloat(got, 64); err != nil || back != number {
			q.Errorf("the number %g is read as %q: %v", number, got, err)
		}
	})
}

func TestCellsOfAWorkbookKeepToItsLimits(t *testing.T) {
	for _, c := range []struct {
		text string
		cut  int // letters before the ellipsis, or -1: the text is whole
	}{
		{strings.Repeat("a", 32767), -1},
		{strings.Repeat("a", 32768), 32766},
		{strings.Repeat("é", 32767), -1},
		{strings.Repeat("é", 40000), 32766},
		{"a" + strings.Repeat("😀", 16383), -1}, // two units of UTF-16 each
		{strings.Repeat("😀", 16384), 16383},
		{"a" + strings.Repeat("😀", 16384), 16383},
	} {
		want := c.text
		if c.cut >= 0 {
			want = string([]rune(c.text)[:c.cut]) + "…"
		}
		f := readBook(t, oneRow(t, func(t *table) { t.text(c.text) }))
		if got, err := f.GetCellValue("one", "A2"); err != nil || got != want {
			t.Errorf("of %d letters, %d are read, not %d: %v", utf8.RuneCountInString(c.text), utf8.RuneCountInString(got), utf8.RuneCountInString(want), err)
		}
	}
	wide := func(n int) error {
		return workbook(io.Discard, []sheet{{"wide", []float64{10}, func(t *table) error { t.texts(make([]string, n)...); t.end(); return nil }}})
	}
	if err := wide(mostSheetColumns); err != nil {
		t.Errorf("a sheet with all its columns: %v", err)
	}
	if err := wide(mostSheetColumns + 1); err == nil || !strings.Contains(err.Error(), "sheet wide: more than 16384 columns") {
		t.Errorf("a sheet with a column too many: %v", err)
	}
	long := func(n int) error {
		return workbook(io.Discard, []sheet{{"long", []float64{10}, func(t *table) error {
			for range n {
				t.end()
			}
			return nil
		}}})
	}
	if err := long(mostSheetRows); err != nil {
		t.Errorf("a sheet with all its rows: %v", err)
	}
	if err := long(mostSheetRows + 1); err == nil || !strings.Contains(err.Error(), "sheet long: more than 1048576 rows") {
		t.Errorf("a sheet with a row too many: %v", err)
	}
}

func TestColumnsAreLetteredAsAnotherLibraryLettersThem(t *testing.T) {
	for n := 1; n <= mostSheetColumns; n++ {
		if want := asked[string](t)(excelize.ColumnNumberToName(n)); string(appendColumn(nil, n)) != want {
			t.Fatalf("column %d is %s, not %s", n, appendColumn(nil, n), want)
		}
	}
}

// counted counts what is written into it.
type counted int

func (c *counted) Write(p []byte) (int, error) { *c += counted(len(p)); return len(p), nil }

func TestRowsOfASheetLeaveAsTheyCome(t *testing.T) {
	var out counted
	before, most := 0, 0
	err := workbook(&out, []sheet{{"long", []float64{10}, func(t *table) error {
		for i := range 100_000 {
			if int(out) > before {
				before, most = int(out), max(most, i)
			}
			t.number(math.Sin(float64(i)))
			t.end()
		}
		return nil
	}}})
	if err != nil {
		t.Fatal(err)
	}
	if rest := int(out) - before; most < 90_000 || rest > int(out)/10 {
		t.Errorf("of %d bytes, %d were written after the last row", out, rest)
	}
}

// full is a writer without room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

func TestAWorkbookThatCannotBeWrittenSaysSo(t *testing.T) {
	if err := madeVaried().workbook(full{}); err == nil {
		t.Error("nothing is said")
	}
}
