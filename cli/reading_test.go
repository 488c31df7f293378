package cli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
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
	} `json:"fields"`
	Map struct {
		Rows    int      `json:"rows"`
		At      float64  `json:"at"`
		Heat    float64  `json:"heat flow"`
		Outside *float64 `json:"outside"`
	} `json:"map"`
	Parquet *struct {
		Rows     int      `json:"rows"`
		Metadata []string `json:"metadata"`
	} `json:"parquet"`
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

func readByPython(t *testing.T, args ...string) readBack {
	t.Helper()
	python, err := exec.LookPath("python3")
	if err != nil {
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

// The readers are those of Python: csv, xml.etree, json, hashlib; where they are installed, pandas, pyarrow and openpyxl too.
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
	if p := back.Parquet; p == nil {
		t.Log("pandas and pyarrow are not installed: the Parquet file was not read by Python")
	} else if p.Rows != len(means) || len(p.Metadata) == 0 {
		t.Errorf("the Parquet file read: %+v", p)
	}
	succeed(t, "crate", dir, "--quiet")
	made := readByPython(t, dir+"-crate", "--crate")
	if made.Files < 10 || len(made.Otherwise) > 0 || len(made.Made) != 1 || made.Made[0] != "emberbank run drain.yaml" {
		t.Errorf("the crate read: %+v", made)
	}
}
