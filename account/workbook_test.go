package account

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"emberbank/unit"
)

// sheetXML is an independent reading of a sheet, by the XML decoder. Source of the form: ISO/IEC 29500-1, 18.3.
type sheetXML struct {
	Size struct {
		Is string `xml:"ref,attr"`
	} `xml:"dimension"`
	Rows []struct {
		Number int `xml:"r,attr"`
		Cells  []struct {
			At     string `xml:"r,attr"`
			Type   string `xml:"t,attr"`
			Value  string `xml:"v"`
			Inline string `xml:"is>t"`
			Rule   string `xml:"f"`
		} `xml:"c"`
	} `xml:"sheetData>row"`
}

// opened reads the sheets of a workbook as texts by cell, such as "B2".
func openedWorkbook(t *testing.T, raw []byte) (sheets []map[string]string) {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	read := func(name string, into any) {
		f, err := archive.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(f)
		if err == nil {
			err = xml.Unmarshal(b, into)
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
	}
	for _, f := range archive.File {
		if !f.Modified.IsZero() && f.Modified.Year() > 1980 {
			t.Errorf("%s carries the time %v", f.Name, f.Modified)
		}
	}
	for n := 1; n <= 3; n++ {
		var s sheetXML
		read(fmt.Sprintf("xl/worksheets/sheet%d.xml", n), &s)
		if s.Size.Is != "" {
			t.Errorf("sheet %d says that it holds %s and no more: readers believe it", n, s.Size.Is)
		}
		cells := map[string]string{}
		for _, r := range s.Rows {
			for _, c := range r.Cells {
				text := c.Value + c.Inline
				if c.Rule != "" {
					t.Errorf("%s holds a formula", c.At)
				}
				if text != "" {
					cells[c.At] = text
				}
			}
		}
		sheets = append(sheets, cells)
	}
	return sheets
}

func TestTheWorkbookHoldsTheTableTheAnswersAndTheNotes(t *testing.T) {
	v := madeVaried()
	v.Variants[1].Failure = "=1+1 is no formula"
	v.Answers = []VariedAnswer{
		{Question: "Is there a plateau?", Verdict: "flattened", Sentences: []string{"Yes.", "But."}},
		{Question: "Which stand between?", Verdict: "front", Sentences: []string{"Two."}, Table: [][]string{{"variant", "kept"}, {"2", "227 °C"}}, Below: "and 6 more"},
	}
	v.Notes = []string{"a note"}
	var b bytes.Buffer
	if err := v.workbook(&b); err != nil {
		t.Fatal(err)
	}
	sheets := openedWorkbook(t, b.Bytes())
	for _, want := range []struct {
		sheet    int
		at, text string
	}{
		{0, "A1", "variant [1]"},
		{0, "B1", "wool [mm]"},
		{0, "C1", "kept [degC]"},
		{0, "D1", "lost [J]"},
		{0, "C2", "227"},
		{0, "D2", "1500000"},
		{0, "E2", "yes"},
		{0, "C3", ""},
		{0, "H3", "=1+1 is no formula"},
		{0, "C4", ""},
		{0, "I4", "c"},
		{1, "A2", "Is there a plateau?"},
		{1, "B2", "flattened"},
		{1, "C3", "But."},
		{1, "A4", "Which stand between?"},
		{1, "C5", "variant"},
		{1, "D6", "227 °C"},
		{1, "A6", ""},
		{1, "C7", "and 6 more"},
		{2, "A2", "study"},
		{2, "B3", "kept"},
		{2, "C3", "block mean"},
		{2, "B5", "kept at least 200 °C"},
		{2, "A6", "caution"},
		{2, "C7", "a note"},
	} {
		if got := sheets[want.sheet][want.at]; got != want.text {
			t.Errorf("sheet %d, %s is %q, want %q", want.sheet+1, want.at, got, want.text)
		}
	}
	var again bytes.Buffer
	if err := v.workbook(&again); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(b.Bytes(), again.Bytes()) {
		t.Error("the same study gives other bytes")
	}
}

func TestALongWorkbookIsWholeAndTheSameAgain(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	v := &Varied{Name: "long", Axes: []VariedAxis{{Name: "x", Dimension: unit.Length, Unit: "mm"}}, Responses: madeVaried().Responses}
	const rows = 60_000
	for i := range rows {
		v.Variants = append(v.Variants, Variant{Key: fmt.Sprintf("%032x", i), At: []float64{float64(i) / 7}, Values: []float64{300 + math.Sin(float64(i)), float64(i) * math.Pi}, Meets: true})
	}
	var a, b bytes.Buffer
	if err := v.workbook(&a); err != nil {
		t.Fatal(err)
	}
	if err := v.workbook(&b); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same study gives other bytes")
	}
	sheets := openedWorkbook(t, a.Bytes())
	if got := sheets[0][fmt.Sprintf("I%d", rows+1)]; got != fmt.Sprintf("%032x", rows-1) {
		t.Errorf("the last key is %q", got)
	}
	if got := sheets[0][fmt.Sprintf("D%d", rows+1)]; !strings.HasPrefix(got, "188492.4") { // 59 999 π
		t.Errorf("the last value is %q", got)
	}
}
