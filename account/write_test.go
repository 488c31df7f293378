package account

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"io/fs"
	"math"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"

	"github.com/parquet-go/parquet-go"

	"emberbank/block"
	"emberbank/receiver"
)

// memory is a sink that keeps files in memory and can run out of room.
type memory struct {
	mu    sync.Mutex
	files map[string][]byte
	order []string
	room  int // bytes left; negative: endless
}

type memoryFile struct {
	m    *memory
	name string
	b    bytes.Buffer
}

func (m *memory) Create(name string) (io.WriteCloser, error) {
	return &memoryFile{m: m, name: name}, nil
}

func (f *memoryFile) Write(p []byte) (int, error) {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	if f.m.room >= 0 {
		if len(p) > f.m.room {
			return 0, &fs.PathError{Op: "write", Path: f.name, Err: syscall.ENOSPC}
		}
		f.m.room -= len(p)
	}
	return f.b.Write(p)
}

func (f *memoryFile) Close() error {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	f.m.files[f.name] = f.b.Bytes()
	f.m.order = append(f.m.order, f.name)
	return nil
}

func written(t *testing.T, i Info) map[string][]byte {
	t.Helper()
	m := &memory{files: map[string][]byte{}, room: -1}
	if err := Write(m, made(), i); err != nil {
		t.Fatal(err)
	}
	if m.order[len(m.order)-1] != "summary.json" {
		t.Fatalf("the summary is not the last file: %q", m.order)
	}
	return m.files
}

func TestHistoryTableKeepsOrderUnitsAndTenDigits(t *testing.T) {
	rows, err := csv.NewReader(bytes.NewReader(written(t, info())["history.csv"])).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	h := made().History
	want := []string{
		"time [s]", "block mean [degC]", "stored [J]", "melted [1]", "absorbed [W]", "heat to passes [W]", "pass 1 heat [W]",
		"circuit main outlet [degC]", "circuit main flow [kg/s]", "lost back [W]", "a, \"quoted\" <probe> [degC]",
	}
	if strings.Join(rows[0], "|") != strings.Join(want, "|") {
		t.Errorf("headings %q, want %q", rows[0], want)
	}
	if len(rows) != 1+len(h.Time) {
		t.Fatalf("%d rows for %d times", len(rows)-1, len(h.Time))
	}
	if got := rows[1][1]; got != "20" {
		t.Errorf("20 degC is printed %q", got)
	}
	if got := rows[4][2]; got != "2123456.789" {
		t.Errorf("stored is printed %q, want ten digits", got)
	}
	if got := rows[1][7]; got != "" {
		t.Errorf("an absent value is printed %q, want an empty cell", got)
	}
	for i := range h.Time {
		for j, c := range h.Columns {
			v := c.Quantity.Shown(c.Values[i])
			if math.IsNaN(v) {
				continue
			}
			got, err := strconv.ParseFloat(rows[i+1][j+1], 64)
			// Half a unit in the tenth digit.
			if err != nil || math.Abs(got-v) > 5e-10*math.Abs(v) {
				t.Errorf("%s in row %d reads %q for %v", c.Name, i, rows[i+1][j+1], v)
			}
		}
	}
}

func TestParquetHoldsTheSameTableWithUnits(t *testing.T) {
	data := written(t, info())["history.parquet"]
	f, err := parquet.OpenFile(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	h := made().History
	names := []string{"time [s]"}
	for _, c := range h.Columns {
		names = append(names, c.Header())
		if unit, ok := f.Lookup("unit:" + c.Header()); !ok || unit != c.Quantity.Unit() {
			t.Errorf("the unit of %q is %q in the metadata", c.Header(), unit)
		}
	}
	for i, field := range f.Schema().Fields() {
		if i >= len(names) || field.Name() != names[i] {
			t.Fatalf("column %d is %q, want the order %q", i, field.Name(), names)
		}
	}
	r := parquet.NewReader(bytes.NewReader(data))
	rows := make([]parquet.Row, 10)
	n, err := r.ReadRows(rows)
	if n != len(h.Time) || err != nil && err != io.EOF {
		t.Fatalf("%d rows, error %v; want %d", n, err, len(h.Time))
	}
	for i := range n {
		if got := rows[i][0].Double(); got != h.Time[i] {
			t.Errorf("row %d is at %v s", i, got)
		}
		for j, c := range h.Columns {
			v := c.Quantity.Shown(c.Values[i])
			switch got := rows[i][j+1]; {
			case math.IsNaN(v) && !got.IsNull():
				t.Errorf("%s in row %d is %v, want null", c.Name, i, got)
			case !math.IsNaN(v) && math.Abs(got.Double()-v) > 1e-9+1e-15*math.Abs(v): // cut at a nanokelvin
				t.Errorf("%s in row %d is %v, want %v", c.Name, i, got, v)
			}
		}
	}
}

// vtr is an independent reading of the field's form, by the XML decoder.
type vtr struct {
	Type   string `xml:"type,attr"`
	Header string `xml:"header_type,attr"`
	Order  string `xml:"byte_order,attr"`
	Grid   struct {
		Whole string `xml:"WholeExtent,attr"`
		Piece struct {
			Extent string      `xml:"Extent,attr"`
			Cells  []dataArray `xml:"CellData>DataArray"`
			Axes   []dataArray `xml:"Coordinates>DataArray"`
		}
	} `xml:"RectilinearGrid"`
}

type dataArray struct {
	Name   string `xml:"Name,attr"`
	Type   string `xml:"type,attr"`
	Format string `xml:"format,attr"`
	Text   string `xml:",chardata"`
}

func (a dataArray) values(t *testing.T) []float64 {
	t.Helper()
	raw, err := base64.StdEncoding.DecodeString(strings.TrimSpace(a.Text))
	if err != nil {
		t.Fatalf("%s: %v", a.Name, err)
	}
	size := binary.LittleEndian.Uint64(raw)
	raw = raw[8:]
	if uint64(len(raw)) != size {
		t.Fatalf("%s: %d bytes where %d are announced", a.Name, len(raw), size)
	}
	var out []float64
	switch a.Type {
	case "Float64":
		for i := 0; i < len(raw); i += 8 {
			out = append(out, math.Float64frombits(binary.LittleEndian.Uint64(raw[i:])))
		}
	case "Int16":
		for i := 0; i < len(raw); i += 2 {
			out = append(out, float64(int16(binary.LittleEndian.Uint16(raw[i:]))))
		}
	default:
		t.Fatalf("%s has the type %s", a.Name, a.Type)
	}
	return out
}

func TestFieldsReadBack(t *testing.T) {
	files := written(t, info())
	r := made()
	for _, f := range r.Fields {
		name := "fields/field-" + strconv.FormatFloat(f.Time, 'f', -1, 64) + ".vtr"
		data, ok := files[name]
		if !ok {
			t.Fatalf("no %s", name)
		}
		grid, part, again, err := ReadField(bytes.NewReader(files[name]))
		if err != nil {
			t.Fatal(err)
		}
		if again.Time != f.Time || len(part) != len(r.Part) || grid.Cells() != r.Grid.Cells() || math.Abs(again.Temperature[1]-f.Temperature[1]) > 2e-9 || !math.IsNaN(again.Temperature[0]) || part[0] != -1 || again.Melted[2] != f.Melted[2] {
			t.Errorf("%s is read back otherwise", name)
		}
		var v vtr
		if err := xml.Unmarshal(data, &v); err != nil {
			t.Fatal(err)
		}
		if v.Type != "RectilinearGrid" || v.Order != "LittleEndian" || v.Header != "UInt64" || v.Grid.Whole != "0 4 0 2 0 3" || v.Grid.Piece.Extent != v.Grid.Whole {
			t.Errorf("head %+v", v)
		}
		for a, axis := range v.Grid.Piece.Axes {
			got := axis.values(t)
			for i, x := range r.Grid.Lines[a] {
				if got[i] != x {
					t.Errorf("%s: edge %d at %v, want %v", axis.Name, i, got[i], x)
				}
			}
		}
		want := map[string]func(int) float64{
			"temperature [degC]": func(c int) float64 { return f.Temperature[c] - 273.15 },
			"melted [1]":         func(c int) float64 { return f.Melted[c] },
			"part [1]":           func(c int) float64 { return float64(r.Part[c]) },
		}
		if len(v.Grid.Piece.Cells) != len(want) {
			t.Fatalf("%d cell arrays", len(v.Grid.Piece.Cells))
		}
		for _, a := range v.Grid.Piece.Cells {
			got := a.values(t)
			if len(got) != r.Grid.Cells() {
				t.Fatalf("%s: %d values", a.Name, len(got))
			}
			for c, x := range got {
				w := want[a.Name](c)
				if math.IsNaN(w) != math.IsNaN(x) || math.Abs(w-x) > 1e-9 {
					t.Errorf("%s: cell %d is %v, want %v", a.Name, c, x, w)
				}
			}
		}
	}
}

func TestSummaryHoldsWhatScriptsNeed(t *testing.T) {
	files := written(t, info())
	var s map[string]any
	if err := json.Unmarshal(files["summary.json"], &s); err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]any{"cells": 23.0, "steps": 240.0, "wall_seconds": 1.25, "ledger_residual": 1.7e-13, "whole": true, "stopped": "", "version": "0.0.0-test", "kernel": "go"} {
		if s[key] != want {
			t.Errorf("%s is %v, want %v", key, s[key], want)
		}
	}
	if w := s["warnings"].([]any); len(w) != 1 || w[0] != made().Warnings[0] {
		t.Errorf("warnings %v", w)
	}
	c := s["cautions"].([]any)[0].(map[string]any)
	if c["value_degC"] != 230.0 || c["limit_degC"] != 100.0 || !strings.Contains(c["text"].(string), "flashes") {
		t.Errorf("caution %v", c)
	}
	if i := s["inputs"].([]any)[0].(map[string]any); i["file"] != "run.yaml" || i["sha256"] != "00ff" {
		t.Errorf("inputs %v", i)
	}
	if e := s["end"].(map[string]any); e["block mean_degC"] != 120.1 || e["circuit main flow_kg_per_s"] != 0.006 {
		t.Errorf("end %v", e)
	}
	for _, name := range s["files"].([]any) {
		if _, ok := files[name.(string)]; !ok {
			t.Errorf("the summary names %v, which was not written", name)
		}
	}
	if n := len(s["files"].([]any)); n != len(files)-1 {
		t.Errorf("the summary names %d files, %d were written beside it", n, len(files)-1)
	}
	var p map[string]any
	if err := json.Unmarshal(files["performance.json"], &p); err != nil {
		t.Fatal(err)
	}
	pace := s["pace"].(map[string]any)
	if stages := s["stages"].(float64); stages < 240 || p["cell_stages_per_s"] != 23*stages/1.25 || p["cell_steps_per_s"] != 23*240/1.25 || p["kernel"] != "go" {
		t.Errorf("performance %v", p)
	}
	for _, key := range []string{"cell_stages_per_s", "cell_steps_per_s", "peak_memory_B", "threads"} {
		if pace[key] != p[key] {
			t.Errorf("%s is %v in the summary, %v in performance.json", key, pace[key], p[key])
		}
	}
	if pace["cpu_seconds"] != p["cpu_s"] {
		t.Errorf("pace %v, performance %v", pace, p)
	}
}

func TestLedgerFileBalances(t *testing.T) {
	var l map[string]any
	if err := json.Unmarshal(written(t, info())["ledger.json"], &l); err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, s := range l["stored_by"].([]any) {
		sum += s.(map[string]any)["energy_J"].(float64)
	}
	// Ten digits each.
	if stored := l["stored_J"].(float64); math.Abs(sum-stored) > 1e-8*stored {
		t.Errorf("parts store %v, the whole %v", sum, stored)
	}
}

func TestOnlyTimesDifferBetweenTwoRuns(t *testing.T) {
	a := written(t, info())
	slower := info()
	slower.Performance = Performance{Wall: 99, CPU: 180, PeakMemory: 5, Threads: 1}
	b := written(t, slower)
	for name := range a {
		if Varies(name) != (name == "performance.json" || name == "summary.json") {
			t.Errorf("Varies(%q) is %v", name, Varies(name))
		}
		switch name {
		case "performance.json":
		case "summary.json":
			cut := func(s []byte) string {
				before, after, one := strings.Cut(string(s), `  "wall_seconds":`)
				_, after, two := strings.Cut(after, "\n  }")
				if !one || !two || strings.Count(string(s), `"pace": {`) != 1 {
					t.Fatal("pace does not stand behind wall_seconds")
				}
				return before + after
			}
			if cut(a[name]) != cut(b[name]) {
				t.Error("summary.json differs in more than wall_seconds and pace")
			}
		default:
			if !bytes.Equal(a[name], b[name]) {
				t.Errorf("%s differs", name)
			}
		}
	}
}

func TestFullDiskIsReportedAndLeavesNoSummary(t *testing.T) {
	total := 0
	for _, b := range written(t, info()) {
		total += len(b)
	}
	for room := 0; room < total; room += 1 + total/40 {
		m := &memory{files: map[string][]byte{}, room: room}
		err := Write(m, made(), info())
		if !errors.Is(err, syscall.ENOSPC) || !strings.HasPrefix(err.Error(), "writing ") {
			t.Fatalf("with room for %d of %d bytes: %v", room, total, err)
		}
		if b, ok := m.files["summary.json"]; ok && len(b) > 0 {
			t.Errorf("with room for %d of %d bytes a summary of %d bytes stands", room, total, len(b))
		}
	}
}

func TestTwoColumnsOfOneNameAreRefused(t *testing.T) {
	r := made()
	r.History.Columns = append(r.History.Columns, r.History.Columns[0])
	if err := WriteParquet(io.Discard, &r.History); err == nil {
		t.Error("written")
	}
	if err := WriteCSV(io.Discard, &r.History); err == nil {
		t.Error("written")
	}
}

func TestPicturesStandAmongTheFiles(t *testing.T) {
	i := info()
	box := func(d0, d1 float64) block.Box {
		return block.Box{Min: block.Point{d0, 0, 0}, Max: block.Point{d1, 0.1, 0.12}}
	}
	i.Receiver = &receiver.Receiver{Block: box(0, 0.1), Parts: []receiver.Part{{Name: "front", Role: receiver.RoleInsulation, Box: box(-0.02, 0), Medium: -1}, {Name: "block", Box: box(0, 0.1), Medium: -1}}}
	files := written(t, i)
	for _, name := range []string{"pictures/history.svg", "pictures/ledger.svg", "pictures/section-3600.svg", "pictures/section-7200.5.svg"} {
		if !bytes.HasPrefix(files[name], []byte("<svg ")) || !bytes.HasSuffix(files[name], []byte("</svg>\n")) {
			t.Errorf("%s is no picture: %d bytes", name, len(files[name]))
		}
	}
}
