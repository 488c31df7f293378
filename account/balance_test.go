package account

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"emberbank/balance"
	"emberbank/history"
	"emberbank/internal/testkit"
)

// madeRecord is a lumped block of 40 kJ/K in steps of 10 s: heated, left, drained and left to cool. All is made up.
func madeRecord() balance.Input {
	h := &history.History{Columns: []history.Column{
		{Name: "core", Quantity: history.Temperature},
		{Name: "circuit main inlet", Quantity: history.Temperature},
		{Name: "circuit main outlet", Quantity: history.Temperature},
		{Name: "circuit main flow", Quantity: history.MassFlow},
		{Name: "ambient", Quantity: history.Temperature},
		{Name: "heater power", Quantity: history.HeatFlow},
	}}
	T := 293.15
	for i := range 2161 {
		t := 10 * float64(i)
		power, flow := 0.0, 0.0
		if t < 7200 {
			power = 3000
		}
		if t >= 9000 && t < 12600 {
			flow = 0.02
		}
		out := 288.15 + 0.2*(T-288.15)
		h.Time = append(h.Time, t)
		for k, v := range []float64{T, 288.15, out, flow, 293.15, power} {
			h.Columns[k].Values = append(h.Columns[k].Values, v)
		}
		T += 10 * (power - flow*4186*(out-288.15) - 6*(T-293.15)) / 40e3
	}
	const K = 273.15
	return balance.Input{
		Name: "the made-up drain", History: h,
		Channels: []balance.Channel{
			{Column: "core", Role: balance.Block, Noise: 0.2, Errors: []balance.Error{{What: "tolerance, class 1", Group: "core", Constant: 0.87, Relative: 0.0023, Zero: K, Larger: true}}},
			{Column: "circuit main inlet", Role: balance.Inlet, Of: "main", Noise: 0.02, Errors: []balance.Error{{What: "pair", Group: "pair", Constant: 0.3, Zero: K}}},
			{Column: "circuit main outlet", Role: balance.Outlet, Of: "main", Noise: 0.02, Errors: []balance.Error{{What: "pair", Group: "pair", Constant: 0.3, Zero: K}, {What: "own", Constant: 0.1, Zero: K}}},
			{Column: "circuit main flow", Role: balance.Flow, Of: "main", Noise: 1e-4, Errors: []balance.Error{{What: "meter", Relative: 0.01}}},
			{Column: "ambient", Role: balance.Ambient, Noise: 0.05},
			{Column: "heater power", Role: balance.Source, Errors: []balance.Error{{What: "wattmeter", Relative: 0.01}}},
		},
		Capacity: &balance.Capacity{Heat: func(T float64) float64 { return 40e3 * T }, Errors: []balance.Error{{What: "mass and heat capacity", Constant: 0.02}}, Placement: 0.5},
		Seed:     1,
	}
}

func TestABalanceIsToldInWordsAndTables(t *testing.T) {
	r, err := balance.Reduce(madeRecord())
	if err != nil {
		t.Fatal(err)
	}
	var text, table bytes.Buffer
	if err := WriteBalance(&text, r); err != nil {
		t.Fatal(err)
	}
	if err := budgetTable(newTable(&table), r); err != nil {
		t.Fatal(err)
	}
	testkit.Golden(t, "balance.txt", text.Bytes())
	var doc bytes.Buffer
	if err := WriteBalanceJSON(&doc, r); err != nil {
		t.Fatal(err)
	}
	var read struct {
		Phases []struct {
			Kind  string
			Water *struct {
				Value float64
				U     float64
			} `json:"heat_to_the_water"`
		}
	}
	if err := json.Unmarshal(doc.Bytes(), &read); err != nil {
		t.Fatal(err)
	}
	if len(read.Phases) != 4 || read.Phases[2].Kind != "drain" || math.Abs(read.Phases[2].Water.Value-r.Phases[2].Water.Value) > 1 {
		t.Errorf("the document says %+v", read)
	}
	lines := strings.Split(strings.TrimSpace(table.String()), "\n")
	if len(lines) < 20 {
		t.Errorf("the budgets have %d rows only", len(lines))
	}
	for _, l := range lines {
		if strings.Count(l, ",") < strings.Count(lines[0], ",") {
			t.Errorf("a row of the budgets is too short: %s", l)
		}
	}
}

// madeMap is the map of the made-up record.
func madeMap(t *testing.T) ([]balance.Yield, []balance.Map) {
	t.Helper()
	in := madeRecord()
	yields, err := balance.Yields(&in, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	maps, err := balance.FitMap(yields, balance.MapOptions{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return yields, maps
}

func TestAMapIsATable(t *testing.T) {
	_, maps := madeMap(t)
	var b bytes.Buffer
	if err := mapTable(newTable(&b), []Mapped{{Of: "trials", Maps: maps}}); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(b.String()), "\n")
	if len(lines) < 20 || !strings.HasPrefix(lines[1], "trials,the made-up drain,0.05,") {
		t.Errorf("the map has %d lines, the second is %q", len(lines), lines[1])
	}
}

func TestAMapIsWrittenInFourForms(t *testing.T) {
	yields, maps := madeMap(t)
	run := maps[0]
	run.Rows = append([]balance.MapRow(nil), run.Rows...)
	for i := range run.Rows {
		run.Rows[i].Q += 1000
	}
	s := &memory{files: map[string][]byte{}, room: -1}
	err := WriteMaps(s, "made up", []Mapped{
		{Name: "the made-up drain", Of: "trial", Maps: maps, Yields: yields},
		{Name: "model", Of: "run", Computed: true, Maps: []balance.Map{run}},
	})
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Maps []struct {
			Of   string
			Rows []struct {
				T float64 `json:"block_temperature_degC"`
				Q float64 `json:"heat_flow_W"`
			}
		}
	}
	if err := json.Unmarshal(s.files["map.json"], &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Maps) != 2 || doc.Maps[1].Of != "run" || len(doc.Maps[0].Rows) != len(maps[0].Rows) ||
		math.Abs(doc.Maps[0].Rows[3].T-(maps[0].Rows[3].T-273.15)) > 1e-6 {
		t.Errorf("the document holds %+v", doc)
	}
	if got := strings.Count(string(s.files["map.csv"]), "\n"); got != 1+2*len(maps[0].Rows) {
		t.Errorf("map.csv has %d lines", got)
	}
	// A thousand watts off everywhere is far outside any band of noiseless readings.
	for _, want := range []string{"Computed, model lies", "above what was measured", "data from"} {
		if !strings.Contains(string(s.files["map.svg"]), want) {
			t.Errorf("the picture does not say %q", want)
		}
	}
	if len(s.files["map.parquet"]) < 200 {
		t.Error("there is no map.parquet")
	}
}
