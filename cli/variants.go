package cli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"emberbank/account"
	"emberbank/farm"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/shelf"
)

// variants keeps the records of a study's variants, each in a folder with its key's name:
//
//	results/STUDY/variants/KEY/record.json        from what, the ledger, cautions
//	results/STUDY/variants/KEY/history.csv        the history, as `run` writes it
//	results/STUDY/variants/KEY/performance.json   how long it took
//
// A folder appears whole, by one rename, and is never changed: the first to come stays.
type variants struct {
	dir    string
	disk   disks
	inputs string // the set of files that records are made from: see keptinputs.go
	model  string // the program that makes them, as in farm.Job
	// wanted are the columns of a history that are read back, by name; nil: all. A study reads its responses, thousands of times.
	wanted map[string]bool
}

var _ farm.Store = (*variants)(nil)

const (
	recordName      = "record.json"
	recordSchema    = "emberbank/variant/1"
	unfinishedBegin = ".part-"
)

// variantJSON is record.json.
type variantJSON struct {
	Schema   string          `json:"schema"`
	Run      string          `json:"run"`
	Inputs   string          `json:"inputs,omitempty"` // the set of files in the folder of inputs
	Model    string          `json:"model,omitempty"`
	Settings []farm.Setting  `json:"settings"`
	Failure  string          `json:"failure,omitempty"`
	Stopped  string          `json:"stopped,omitempty"`
	Cautions []string        `json:"cautions,omitempty"`
	Warnings []string        `json:"warnings,omitempty"`
	Ledger   *heat.Ledger    `json:"ledger,omitempty"`
	Columns  []variantColumn `json:"columns,omitempty"`
	SHA256   string          `json:"history_sha256,omitempty"`
}

type variantColumn struct {
	Name     string           `json:"name"`
	Quantity history.Quantity `json:"quantity"`
}

type variantTime struct {
	Wall float64 `json:"wall_s"`
}

// openVariants takes the folder of variants and clears what a killed study was writing. The lock of the study is held.
func openVariants(dir string, d disks) (*variants, error) {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, disk("making the folder "+dir, err)
	}
	left, err := filepath.Glob(filepath.Join(dir, unfinishedBegin+"*"))
	if err != nil {
		return nil, disk("reading the folder "+dir, err)
	}
	for _, l := range left {
		if err := os.RemoveAll(l); err != nil {
			return nil, disk("clearing "+l, err)
		}
	}
	return &variants{dir: dir, disk: d}, nil
}

func (v *variants) at(key string) string { return filepath.Join(v.dir, key) }

// record reads record.json of a key; nil where there is none that can be read.
func (v *variants) record(key string) (*variantJSON, error) {
	raw, err := os.ReadFile(filepath.Join(v.at(key), recordName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, disk("reading "+filepath.Join(v.at(key), recordName), err)
	}
	var j variantJSON
	if json.Unmarshal(raw, &j) != nil || j.Schema != recordSchema {
		return nil, nil
	}
	return &j, nil
}

// Load reads a record. One that is not whole counts as none.
func (v *variants) Load(key string) (*farm.Record, error) {
	j, err := v.record(key)
	if j == nil || err != nil {
		return nil, err
	}
	r := &farm.Record{Run: j.Run, Settings: j.Settings, Failure: j.Failure, Stopped: j.Stopped, Cautions: j.Cautions, Warnings: j.Warnings}
	if j.Failure != "" {
		return r, nil
	}
	table, err := os.ReadFile(filepath.Join(v.at(key), "history.csv"))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, disk("reading "+filepath.Join(v.at(key), "history.csv"), err)
	}
	if err != nil || shelf.Sum(table) != j.SHA256 || j.Ledger == nil {
		return nil, nil
	}
	h, ok := historyOf(table, j.Columns, v.wanted)
	if !ok {
		return nil, nil
	}
	r.Ledger, r.History = *j.Ledger, h
	return r, nil
}

// historyOf reads a table that account.WriteCSV wrote back into SI: all its columns, or those that are wanted.
func historyOf(table []byte, columns []variantColumn, wanted map[string]bool) (h history.History, ok bool) {
	head := csv.NewReader(bytes.NewReader(table))
	headings, err := head.Read()
	if err != nil || len(headings) != len(columns)+1 {
		return h, false
	}
	body := table[head.InputOffset():]
	rows := bytes.Count(body, []byte{'\n'})
	into := make([]int, len(columns)) // its place in the history; -1: none
	for k, c := range columns {
		if into[k] = -1; wanted == nil || wanted[c.Name] {
			into[k] = len(h.Columns)
			h.Columns = append(h.Columns, history.Column{Name: c.Name, Quantity: c.Quantity, Values: make([]float64, 0, rows)})
		}
	}
	for h.Time = make([]float64, 0, rows); len(body) > 0; {
		var line []byte
		line, body, _ = bytes.Cut(body, []byte{'\n'})
		for k := -1; k < len(columns); k++ {
			cell, rest, more := bytes.Cut(line, []byte{','})
			if line = rest; more != (k+1 < len(columns)) {
				return h, false
			}
			if k >= 0 && into[k] < 0 {
				continue
			}
			x := math.NaN()
			if len(cell) > 0 {
				if x, err = strconv.ParseFloat(string(cell), 64); err != nil {
					return h, false
				}
			}
			switch {
			case k >= 0:
				c := &h.Columns[into[k]]
				c.Values = append(c.Values, inSI(c.Quantity, x))
			case len(cell) == 0:
				return h, false
			default:
				h.Time = append(h.Time, x)
			}
		}
	}
	return h, len(h.Time) > 0
}

// inSI is a number of a table in SI.
func inSI(q history.Quantity, x float64) float64 {
	switch q {
	case history.Temperature:
		return x + 273.15
	case history.Angle:
		return x * (math.Pi / 180)
	}
	return x
}

// Save writes a record to its place unless one stands there, and returns the one that stands.
func (v *variants) Save(key string, r *farm.Record, seconds float64) (*farm.Record, error) {
	j := variantJSON{
		Schema: recordSchema, Run: r.Run, Inputs: v.inputs, Model: v.model, Settings: r.Settings, Failure: r.Failure, Stopped: r.Stopped, Cautions: r.Cautions, Warnings: r.Warnings,
	}
	var table bytes.Buffer
	if r.Failure == "" {
		if err := account.WriteCSV(&table, &r.History); err != nil {
			return nil, fmt.Errorf("writing a variant's history: %w", err)
		}
		for _, c := range r.History.Columns {
			j.Columns = append(j.Columns, variantColumn{c.Name, c.Quantity})
		}
		j.Ledger, j.SHA256 = &r.Ledger, shelf.Sum(table.Bytes())
	}
	record, err := json.MarshalIndent(j, "", " ")
	if err != nil {
		return nil, fmt.Errorf("writing a variant's record: %w", err)
	}
	times, err := json.Marshal(variantTime{seconds})
	if err != nil {
		return nil, fmt.Errorf("writing a variant's time: %w", err)
	}
	part := filepath.Join(v.dir, unfinishedBegin+key)
	doing := "keeping a variant in " + v.at(key)
	if err := os.Mkdir(part, 0o777); err != nil {
		return nil, disk(doing, err)
	}
	defer func() { _ = os.RemoveAll(part) }() // nothing is there where it was moved
	for _, f := range []struct {
		name    string
		content []byte
	}{{"history.csv", table.Bytes()}, {paceName, times}, {recordName, record}} {
		if len(f.content) == 0 {
			continue
		}
		if err := writeNew(filepath.Join(part, f.name), f.content, v.disk); err != nil {
			return nil, disk(doing, err)
		}
	}
	if err := os.Rename(part, v.at(key)); err != nil {
		if had, loaded := v.Load(key); loaded == nil && had != nil {
			return had, nil
		}
		// What stands there is not whole.
		if err := os.RemoveAll(v.at(key)); err != nil {
			return nil, disk(doing, err)
		}
		if err := os.Rename(part, v.at(key)); err != nil {
			return nil, disk(doing, err)
		}
	}
	kept, err := v.Load(key)
	if err == nil && kept == nil {
		err = &failure{code: ExitDisk, message: doing + ": it does not read back", hint: "look at the disk"}
	}
	return kept, err
}

// cost is what a variant took: seconds of computing, and bytes on the disk.
func (v *variants) cost(key string) (seconds float64, size int64) {
	var t variantTime
	if raw, err := os.ReadFile(filepath.Join(v.at(key), paceName)); err == nil {
		_ = json.Unmarshal(raw, &t) // then it is not known
	}
	size, _ = sizeOf(v.at(key))
	return t.Wall, size
}

// held counts the variants that are kept.
func (v *variants) held() int {
	entries, _ := os.ReadDir(v.dir) // a folder that cannot be read holds none
	n := 0
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") {
			n++
		}
	}
	return n
}
