package cli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// drainedRun is a small block that water empties, with fields and a map.
const drainedRun = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 60 mm, width: 80 mm, height: 80 mm, medium: aluminium}
  tube: {outer: 10 mm, wall: 1 mm, material: stainless-304, contact: 500 W/(m2 K)}
  passes: [{along: width, depth: [30 mm], height: [25 mm, 55 mm]}]
  circuits: [{name: one, passes: [1, 2]}]
duty:
  water: {all: {flow: 0.01 kg/s, inlet: 15 degC, pressure: 3 bar}}
initial: 90 degC
until: 10 min
output: {every: 10 s}
fields: [0 s, 10 min]
grid: {size: 20 mm}
`

// readBack is what the example in Python prints.
type readBack struct {
	History struct {
		Rows int     `json:"rows"`
		Unit string  `json:"unit of block mean"`
		Last float64 `json:"last block mean"`
	} `json:"history"`
	Fields map[string]struct {
		Cells       int
		Least, Most float64
		Mean        float64 `json:"block mean"`
	} `json:"fields"`
	Map struct {
		Rows    int      `json:"rows"`
		At      float64  `json:"at"`
		Heat    float64  `json:"heat flow"`
		Outside *float64 `json:"outside"`
	} `json:"map"`
	Parquet *struct {
		Rows  int               `json:"rows"`
		Units map[string]string `json:"units"`
	} `json:"parquet"`
	Sheets map[string]struct {
		Rows     int      `json:"rows"`
		Headings []string `json:"headings"`
	} `json:"sheets"`
	Missing   []string `json:"missing"`
	Files     int      `json:"files"`
	Otherwise []string `json:"otherwise"`
	Made      []string `json:"made by"`
}

// succeed runs a command that must succeed.
func succeed(t *testing.T, args ...string) {
	t.Helper()
	var out, err bytes.Buffer
	if code := Main(t.Context(), args, Streams{&out, &err}); code != ExitDone {
		t.Fatalf("%v ends with %d:\n%s%s", args, code, out.String(), err.String())
	}
}

// pythonWith is a Python that has a library, where there is one; else any, else "".
func pythonWith(library string) string {
	found := ""
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		at, err := exec.LookPath(name)
		if err != nil {
			continue
		}
		if exec.Command(at, "-c", "import "+library).Run() == nil {
			return at
		}
		if found == "" {
			found = at
		}
	}
	return found
}

func readByPython(t *testing.T, args ...string) readBack {
	t.Helper()
	python := pythonWith("openpyxl")
	if python == "" {
		t.Skip("python3 is not installed")
	}
	script, err := filepath.Abs(filepath.Join("..", "examples", "reading", "read_results.py"))
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(python, append([]string{script}, args...)...)
	var said bytes.Buffer
	c.Stderr = &said
	raw, err := c.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, said.String())
	}
	var back readBack
	if err := json.Unmarshal(raw, &back); err != nil {
		t.Fatalf("%v\n%s", err, raw)
	}
	return back
}

// columnOf is a column of a CSV file by the beginning of its heading.
func columnOf(t *testing.T, file, heading string) (values []float64) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, h := range rows[0] {
		if !strings.HasPrefix(h, heading) {
			continue
		}
		for _, r := range rows[1:] {
			v, err := strconv.ParseFloat(r[i], 64)
			if err != nil {
				t.Fatal(err)
			}
			values = append(values, v)
		}
		return values
	}
	t.Fatalf("%s has no column %s", file, heading)
	return nil
}

// drainedStudy is two of its variants.
const drainedStudy = `schema: emberbank/1
kind: study
run: drain.yaml
sweep: {axes: [{name: "=1+1", path: initial, values: [80 degC, 90 degC]}]}
responses: [{name: kept, read: block mean}]
`

// The readers are those of Python: csv, xml.etree, json, hashlib; where they are installed, pyarrow and openpyxl too.
func TestOtherToolsReadWhatARunAndACrateLeave(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "bench.yaml"), "schema: emberbank/1\nkind: bench\nname: small\nquestion: Does it drain?\nlicence: CC0-1.0\ndate: 2026-11-28\nauthors: [{name: nobody}]\nruns: [drain.yaml]\n")
	write(t, filepath.Join(dir, "drain.yaml"), drainedRun)
	succeed(t, "run", filepath.Join(dir, "drain.yaml"), "--quiet")
	results := filepath.Join(dir, "results", "drain")
	back := readByPython(t, results)
	means := columnOf(t, filepath.Join(results, "history.csv"), "block mean")
	if back.History.Rows != len(means) || back.History.Unit != "degC" || back.History.Last != means[len(means)-1] {
		t.Errorf("the history read: %+v; written: %d rows, at last %g", back.History, len(means), means[len(means)-1])
	}
	first, last := back.Fields["field-0.vtr"], back.Fields["field-600.vtr"]
	if first.Cells == 0 || first.Cells != last.Cells || math.Abs(first.Least-90) > 1e-6 || math.Abs(first.Most-90) > 1e-6 {
		t.Errorf("the field at the start, all at 90 °C, is read as %+v", first)
	}
	if mean := means[len(means)-1]; last.Least > mean || last.Most < mean || last.Most >= 90 {
		t.Errorf("the field at the end, with a mean of %g °C, is read as %+v", mean, last)
	}
	T, q := columnOf(t, filepath.Join(results, "map.csv"), "block temperature"), columnOf(t, filepath.Join(results, "map.csv"), "heat flow [W]")
	if back.Map.Rows != len(T) || back.Map.Outside != nil || math.Abs(back.Map.At-(T[0]+T[1])/2) > 1e-9 || math.Abs(back.Map.Heat-(q[0]+q[1])/2) > 1e-9*q[1] {
		t.Errorf("the map read: %+v; its first rows are %g, %g °C and %g, %g W", back.Map, T[0], T[1], q[0], q[1])
	}
	if last, mean := back.Fields["field-600.vtr"], means[len(means)-1]; math.Abs(last.Mean-mean) > 0.5 { // cells with tubes count whole there
		t.Errorf("the block's mean is %g of the field and %g of the history", last.Mean, mean)
	}
	if p := back.Parquet; p == nil {
		if !slices.Contains(back.Missing, "pyarrow.parquet") {
			t.Errorf("nothing was read of the Parquet file, and missing are %v", back.Missing)
		}
	} else if p.Rows != len(means) || p.Units["block mean [degC]"] != "degC" {
		t.Errorf("the Parquet file read: %+v", p)
	}
	write(t, filepath.Join(dir, "starts.yaml"), drainedStudy)
	succeed(t, "study", filepath.Join(dir, "starts.yaml"), "--quiet")
	book := readByPython(t, filepath.Join(dir, "results", "starts", "outcome", "table.xlsx"))
	if s := book.Sheets["variants"]; book.Sheets == nil {
		if !slices.Contains(book.Missing, "openpyxl") {
			t.Errorf("nothing was read of the workbook, and missing are %v", book.Missing)
		}
	} else if s.Rows != 2 || len(s.Headings) < 3 || s.Headings[1] != "=1+1 [degC]" || s.Headings[2] != "kept [degC]" {
		t.Errorf("the workbook read: %+v", book.Sheets)
	}
	succeed(t, "crate", dir, "--quiet")
	made := readByPython(t, dir+"-crate", "--crate")
	if made.Files < 10 || len(made.Otherwise) > 0 || len(made.Made) != 2 || made.Made[0] != "emberbank run drain.yaml" {
		t.Errorf("the crate read: %+v", made)
	}
}
