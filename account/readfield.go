package account

import (
	"encoding/base64"
	"encoding/binary"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"emberbank/block"
	"emberbank/heat"
)

// vtrFile is what ReadField reads of a file that WriteField wrote.
type vtrFile struct {
	Grid struct {
		Time  string `xml:"FieldData>DataArray"`
		Piece struct {
			Cells  []vtrValues `xml:"CellData>DataArray"`
			Places []vtrValues `xml:"Coordinates>DataArray"`
		}
	} `xml:"RectilinearGrid"`
}

type vtrValues struct {
	Name string `xml:"Name,attr"`
	Type string `xml:"type,attr"`
	Data string `xml:",chardata"`
}

// ReadField reads a temperature field that WriteField wrote back, with the cells over which it lies and the part of each; in K, to the
// digits that are kept.
func ReadField(r io.Reader) (*block.Grid, []int16, heat.Field, error) {
	var f heat.Field
	var file vtrFile
	fail := func(err error) (*block.Grid, []int16, heat.Field, error) {
		return nil, nil, heat.Field{}, fmt.Errorf("reading a field: %w", err)
	}
	if err := xml.NewDecoder(r).Decode(&file); err != nil {
		return fail(err)
	}
	var err error
	if f.Time, err = strconv.ParseFloat(strings.TrimSpace(file.Grid.Time), 64); err != nil {
		return fail(errors.New("it states no time"))
	}
	if len(file.Grid.Piece.Places) != 3 {
		return fail(errors.New("it has not three directions"))
	}
	g := &block.Grid{}
	for a := range g.Lines {
		if g.Lines[a], err = file.Grid.Piece.Places[a].numbers(); err != nil {
			return fail(err)
		}
		if len(g.Lines[a]) < 2 {
			return fail(fmt.Errorf("%s has no cells", file.Grid.Piece.Places[a].Name))
		}
	}
	var part []int16
	for i := range file.Grid.Piece.Cells {
		a := &file.Grid.Piece.Cells[i]
		v, err := a.numbers()
		if err != nil {
			return fail(err)
		}
		if len(v) != g.Cells() {
			return fail(fmt.Errorf("%s has %d values for %d cells", a.Name, len(v), g.Cells()))
		}
		switch a.Name {
		case "temperature [degC]":
			for k := range v {
				v[k] += zeroCelsius
			}
			f.Temperature = v
		case "melted [1]":
			f.Melted = v
		case "part [1]":
			part = make([]int16, len(v))
			for k := range v {
				part[k] = int16(v[k])
			}
		}
	}
	if f.Temperature == nil || f.Melted == nil || part == nil {
		return fail(errors.New("temperature, melted or part is missing"))
	}
	return g, part, f, nil
}

// numbers are an array's values.
func (a *vtrValues) numbers() ([]float64, error) {
	raw, err := base64.StdEncoding.DecodeString(strings.TrimSpace(a.Data))
	if err != nil || len(raw) < 8 {
		return nil, fmt.Errorf("%s is no list of numbers", a.Name)
	}
	raw = raw[8:] // how many bytes follow
	size := map[string]int{"Float64": 8, "Int16": 2}[a.Type]
	if size == 0 || len(raw)%size != 0 {
		return nil, fmt.Errorf("%s is of type %q", a.Name, a.Type)
	}
	out := make([]float64, len(raw)/size)
	for i := range out {
		if size == 8 {
			out[i] = math.Float64frombits(binary.LittleEndian.Uint64(raw[8*i:]))
		} else {
			out[i] = float64(int16(binary.LittleEndian.Uint16(raw[2*i:])))
		}
	}
	return out, nil
}

// ReadWater reads from circuits.csv how the water stood along the circuits: of each profile its time, its circuit and its state, and of
// each place where it is and the state of the water there.
func ReadWater(r io.Reader) (all []heat.Profile, err error) {
	rows, err := csv.NewReader(r).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("reading a table along circuits: %w", err)
	}
	if len(rows) == 0 {
		return nil, nil
	}
	at := map[string]int{}
	for i, head := range rows[0] {
		name, _ := headed(head)
		at[name] = i
	}
	for _, name := range []string{"time", "circuit", "circuit is", "distance", "length", "state"} {
		if _, ok := at[name]; !ok {
			return nil, fmt.Errorf("reading a table along circuits: it has no column %q", name)
		}
	}
	for _, row := range rows[1:] {
		t, circuit := numberIn(row[at["time"]]), TextOf(row[at["circuit"]])
		if n := len(all); n == 0 || all[n-1].Time != t || all[n-1].Circuit != circuit {
			all = append(all, heat.Profile{Time: t, Circuit: circuit, State: row[at["circuit is"]]})
		}
		p := &all[len(all)-1]
		p.Places = append(p.Places, heat.Place{Distance: numberIn(row[at["distance"]]), Length: numberIn(row[at["length"]]), State: row[at["state"]]})
	}
	return all, nil
}
