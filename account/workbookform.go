package account

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf16"
)

// sheet is one table of a workbook.
type sheet struct {
	name   string
	widths []float64 // of the columns, in characters; one or more
	fill   func(t *table) error
}

// What a sheet holds at most.
//
// Source: Microsoft, "Excel specifications and limits".
const (
	mostSheetRows    = 1 << 20
	mostSheetColumns = 1 << 14
	mostCellText     = 32767 // units of UTF-16
)

// What stands about the parts of a workbook, and the names of what they are.
const (
	partHead  = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"
	packaged  = "http://schemas.openxmlformats.org/package/2006/"
	relations = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	sheetML   = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	partType  = "application/vnd.openxmlformats-"
)

// bookStyles has two styles of cells: 0 is plain, 1 bold. The two fills are those that the form reserves.
const bookStyles = `<styleSheet xmlns="` + sheetML + `">` +
	`<fonts count="2"><font><sz val="11"/><name val="Calibri"/></font><font><b/><sz val="11"/><name val="Calibri"/></font></fonts>` +
	`<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>` +
	`<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>` +
	`<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>` +
	`<cellXfs count="2"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>` +
	`<xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="1"/></cellXfs>` +
	`<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>`

// workbook writes sheets as an Office Open XML workbook. Headings are bold, stand fast and carry their units as in CSV; an absent
// value is an empty cell; a text is never a formula. Rows are written as they come, so that a long sheet takes no more memory than
// a short one, and nothing in the file is of the day: the same study gives the same bytes.
//
// It is written here since the library that writes such files well spends some milliseconds at each start of the program on tables
// that plain sheets do not need, and lighter ones write no bold headings or are some weeks old; the tests read it by that library.
//
// Source: ISO/IEC 29500-1, 12.3 (parts), 18.2 to 18.8 (workbook, sheets, styles); ISO/IEC 29500-2 (package).
func workbook(w io.Writer, sheets []sheet) error {
	z := zip.NewWriter(w)
	part := func(name string, write func(w io.Writer) error) error {
		out, err := z.Create(name)
		if err == nil {
			_, err = io.WriteString(out, partHead)
		}
		if err == nil {
			err = write(out)
		}
		return err
	}
	for _, p := range fixedParts(sheets) {
		err := part(p[0], func(w io.Writer) error { _, err := io.WriteString(w, p[1]); return err })
		if err != nil {
			return err
		}
	}
	for i := range sheets {
		if err := part(sheetPart(i), sheets[i].write); err != nil {
			return fmt.Errorf("sheet %s: %w", sheets[i].name, err)
		}
	}
	return z.Close()
}

// sheetPart is where a sheet stands in the package.
func sheetPart(i int) string { return fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1) }

// fixedParts are names and contents of all parts but the sheets.
func fixedParts(sheets []sheet) [][2]string {
	var types, listed, related strings.Builder
	typed := func(part, form string) {
		fmt.Fprintf(&types, `<Override PartName="/%s" ContentType="%s%s+xml"/>`, part, partType, form)
	}
	typed("docProps/core.xml", "package.core-properties")
	typed("xl/workbook.xml", "officedocument.spreadsheetml.sheet.main")
	typed("xl/styles.xml", "officedocument.spreadsheetml.styles")
	relation := `<Relationship Id="rId%d" Type="%s" Target="%s"/>`
	for i, s := range sheets {
		typed(sheetPart(i), "officedocument.spreadsheetml.worksheet")
		fmt.Fprintf(&listed, `<sheet name="%s" sheetId="%d" r:id="rId%d"/>`, s.name, i+1, i+1)
		fmt.Fprintf(&related, relation, i+1, relations+"/worksheet", strings.TrimPrefix(sheetPart(i), "xl/"))
	}
	fmt.Fprintf(&related, relation, len(sheets)+1, relations+"/styles", "styles.xml")
	return [][2]string{
		{"[Content_Types].xml", `<Types xmlns="` + packaged + `content-types">` +
			`<Default Extension="rels" ContentType="` + partType + `package.relationships+xml"/>` + types.String() + `</Types>`},
		{"_rels/.rels", `<Relationships xmlns="` + packaged + `relationships">` +
			fmt.Sprintf(relation, 1, relations+"/officeDocument", "xl/workbook.xml") +
			fmt.Sprintf(relation, 2, packaged+"relationships/metadata/core-properties", "docProps/core.xml") + `</Relationships>`},
		{"docProps/core.xml", `<cp:coreProperties xmlns:cp="` + packaged + `metadata/core-properties" xmlns:dc="http://purl.org/dc/elements/1.1/">` +
			`<dc:creator>emberbank</dc:creator></cp:coreProperties>`},
		{"xl/workbook.xml", `<workbook xmlns="` + sheetML + `" xmlns:r="` + relations + `"><bookViews><workbookView/></bookViews>` +
			`<sheets>` + listed.String() + `</sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="` + packaged + `relationships">` + related.String() + `</Relationships>`},
		{"xl/styles.xml", bookStyles},
	}
}

// write writes the sheet after its part's head. It does not say which cells are filled: that is known too late, and need not be said.
func (s *sheet) write(w io.Writer) error {
	r := &sheetRows{w: w, row: 1}
	r.b.WriteString(`<worksheet xmlns="` + sheetML + `"><sheetViews><sheetView workbookViewId="0">` +
		`<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews><cols>`)
	for i, width := range s.widths {
		fmt.Fprintf(&r.b, `<col min="%d" max="%d" width="%g" customWidth="1"/>`, i+1, i+1, width)
	}
	r.b.WriteString(`</cols><sheetData>`)
	if err := s.fill(keptIn(r)); err != nil {
		return err
	}
	r.b.WriteString(`</sheetData></worksheet>`)
	r.pass()
	return r.err
}

// sheetRows writes cells as the rows of a sheet.
type sheetRows struct {
	w           io.Writer
	b           bytes.Buffer // what is not handed on yet
	row, column int          // of the cell in hand, from 1; column 0: the row has none yet
	err         error        // the first
}

func (r *sheetRows) add(c cell) {
	if r.column == 0 {
		fmt.Fprintf(&r.b, `<row r="%d">`, r.row)
	}
	r.column++
	if absent := !c.isText && (math.IsNaN(c.number) || math.IsInf(c.number, 0)); absent || c.isText && c.text == "" {
		return
	}
	r.b.WriteString(`<c r="`)
	r.b.Write(strconv.AppendInt(appendColumn(r.b.AvailableBuffer(), r.column), int64(r.row), 10))
	if r.row == 1 {
		r.b.WriteString(`" s="1`)
	}
	if c.isText {
		r.b.WriteString(`" t="inlineStr"><is><t xml:space="preserve">`)
		_ = xml.EscapeText(&r.b, []byte(sheetText(c.text))) // into memory: it cannot fail
		r.b.WriteString(`</t></is></c>`)
		return
	}
	r.b.WriteString(`"><v>`)
	form := byte('f')
	if size := math.Abs(c.number); size != 0 && (size < 1e-5 || size >= 1e15) {
		form = 'e'
	}
	r.b.Write(strconv.AppendFloat(r.b.AvailableBuffer(), c.number, form, -1, 64))
	r.b.WriteString(`</v></c>`)
}

func (r *sheetRows) end() {
	if r.column > 0 {
		r.b.WriteString(`</row>`)
	}
	switch {
	case r.err != nil:
	case r.row > mostSheetRows:
		r.err = fmt.Errorf("more than %d rows", mostSheetRows)
	case r.column > mostSheetColumns:
		r.err = fmt.Errorf("more than %d columns", mostSheetColumns)
	}
	if r.b.Len() > tableRoom {
		r.pass()
	}
	r.row++
	r.column = 0
}

// pass hands on what was gathered; after a mistake nothing more.
func (r *sheetRows) pass() {
	if r.err == nil {
		_, r.err = r.w.Write(r.b.Bytes())
	}
	r.b.Reset()
}

// appendColumn appends a column's letters: A to Z, AA to ZZ, AAA and so on.
func appendColumn(b []byte, column int) []byte {
	if column > 26 {
		b = appendColumn(b, (column-1)/26)
	}
	return append(b, byte('A'+(column-1)%26))
}

// sheetText is a text as a sheet's cell holds it: a character that XML does not have is written as _x001F_, and the underscore of
// what could be read as that is written so itself. What is longer than a cell ends in an ellipsis.
//
// Source: ISO/IEC 29500-1, 22.9.2.19, ST_Xstring.
func sheetText(s string) string {
	s = cellful(s)
	var b strings.Builder
	b.Grow(len(s))
	for i, c := range s {
		switch {
		case c == '_' && looksWritten(s[i:]):
			b.WriteString("_x005F_")
		case c < ' ' && c != '\t' && c != '\n' && c != '\r', c == 0xfffe, c == 0xffff:
			fmt.Fprintf(&b, "_x%04X_", c)
		default:
			b.WriteRune(c)
		}
	}
	return b.String()
}

// cellful is what a cell takes of a text.
func cellful(s string) string {
	units, last := 0, -1
	for i, c := range s {
		units += utf16.RuneLen(c)
		if last < 0 && units >= mostCellText {
			last = i
		}
		if units > mostCellText {
			return s[:last] + "…"
		}
	}
	return s
}

// looksWritten tells whether a text begins as _x001F_ does; the last underscore may be that of a character which follows.
func looksWritten(s string) bool {
	if len(s) < 6 || s[1] != 'x' {
		return false
	}
	_, err := strconv.ParseUint(s[2:6], 16, 16)
	return err == nil
}
