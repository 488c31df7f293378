package account

import (
	"bytes"
	"encoding/csv"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/parquet-go/parquet-go"

	"emberbank/heat"
)

// madeProfile is an invented circuit of three slices: a lead, and a pass in which water boils and dries.
func madeProfile() heat.Profile {
	nan := math.NaN()
	return heat.Profile{
		Time: 7200.5, Circuit: "main, upper", State: "flowing", Flow: 0.006, Inlet: 288.15, Outlet: 393.15,
		Places: []heat.Place{
			{Distance: 0.05, Length: 0.1, Pass: "1", Run: "lead", Pressure: 3e5, Enthalpy: 1e5, Leaving: 1.5e5, Temperature: 297.15, Quality: -0.2, State: "liquid", Inside: 310, Outside: 311, Block: 320, Film: 4000, Heat: 900, Wetted: nan},
			{Distance: 0.2, Length: 0.2, Pass: "1", Run: "pass", Pressure: 2.5e5, Enthalpy: 9e5, Leaving: 1.2e6, Temperature: 400.56, Quality: 0.25, State: "stratified", Inside: 404, Outside: 406, Block: 450, Film: 9000, Heat: 20000, Wetted: 0.6},
			{Distance: 0.4, Length: 0.2, Pass: "1", Run: "pass", Pressure: nan, Enthalpy: nan, Leaving: nan, Temperature: nan, Quality: nan, State: "empty", Inside: 430, Outside: 430, Block: 430, Film: nan, Wetted: nan},
		},
	}
}

func writtenWithProfile(t *testing.T) map[string][]byte {
	t.Helper()
	r := made()
	r.Profiles = []heat.Profile{madeProfile()}
	m := &memory{files: map[string][]byte{}, room: -1}
	if err := Write(m, r, info()); err != nil {
		t.Fatal(err)
	}
	return m.files
}

func TestCircuitsAreTablesWithUnits(t *testing.T) {
	files := writtenWithProfile(t)
	rows, err := csv.NewReader(bytes.NewReader(files["circuits.csv"])).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := [][]string{
		{
			"time [s]", "circuit", "circuit is", "distance [m]", "length [m]", "pass", "run", "pressure [Pa]", "enthalpy [J/kg]", "leaving [J/kg]", "temperature [degC]",
			"quality [1]", "state", "wall inside [degC]", "wall outside [degC]", "block [degC]", "film [W/(m2 K)]", "heat [W/m]", "wetted [1]",
		},
		{"7200.5", "main, upper", "flowing", "0.05", "0.1", "1", "lead", "300000", "100000", "150000", "24", "-0.2", "liquid", "36.85", "37.85", "46.85", "4000", "900", ""},
		{"7200.5", "main, upper", "flowing", "0.2", "0.2", "1", "pass", "250000", "900000", "1200000", "127.41", "0.25", "stratified", "130.85", "132.85", "176.85", "9000", "20000", "0.6"},
		{"7200.5", "main, upper", "flowing", "0.4", "0.2", "1", "pass", "", "", "", "", "", "empty", "156.85", "156.85", "156.85", "", "0", ""},
	}
	if len(rows) != len(want) {
		t.Fatalf("%d rows, want %d", len(rows), len(want))
	}
	for i := range want {
		if got := strings.Join(rows[i], "|"); got != strings.Join(want[i], "|") {
			t.Errorf("row %d is\n%s, want\n%s", i, got, strings.Join(want[i], "|"))
		}
	}

	data := files["circuits.parquet"]
	f, err := parquet.OpenFile(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	for i, field := range f.Schema().Fields() {
		if field.Name() != want[0][i] {
			t.Fatalf("column %d of the Parquet file is %q, want %q", i, field.Name(), want[0][i])
		}
	}
	if unit, ok := f.Lookup("unit:film [W/(m2 K)]"); !ok || unit != "W/(m2 K)" {
		t.Errorf("the film's unit is %q in the metadata", unit)
	}
	held := make([]parquet.Row, 5)
	n, err := parquet.NewReader(bytes.NewReader(data)).ReadRows(held)
	if n != 3 || err != nil && err != io.EOF {
		t.Fatalf("%d rows, error %v", n, err)
	}
	if got := string(held[1][12].ByteArray()); got != "stratified" {
		t.Errorf("the state of the second slice is %q", got)
	}
	if got := held[1][11].Double(); got != 0.25 {
		t.Errorf("its quality is %v", got)
	}
	if !held[2][10].IsNull() || held[2][13].IsNull() {
		t.Error("an empty tube has no water and has a wall")
	}
}

func TestWithoutProfilesThereIsNoTableOfCircuits(t *testing.T) {
	for name := range written(t, info()) {
		if strings.Contains(name, "circuits") {
			t.Errorf("%s is written", name)
		}
	}
}

// What limits a pass is said by what trials gave, for water of every kind.
func TestLimitsSayWhatHelpsInEveryRegime(t *testing.T) {
	chain := func(shares, gains [5]float64) *heat.Chain { // contact, film, heating, boiling point, block
		c := &heat.Chain{State: "flowing", Heat: 1000}
		for i, name := range []string{"contact", "film", "water heating up", "boiling point", "block"} {
			c.Links = append(c.Links, heat.Link{Name: name, Share: shares[i], Gain: gains[i]})
		}
		return c
	}
	nan := math.NaN()
	for _, c := range []struct {
		name          string
		chain         *heat.Chain
		says, saysNot []string
	}{
		{"liquid", chain([5]float64{0.5, 0.3, 0.1, 0, 0.1}, [5]float64{0.045, 0.026, 0.011, nan, nan}), []string{"50\u2009% of the drop is in the contact.", "a tenth better contact 4.5\u2009%\u00a0more", "a tenth better film 2.6\u2009%\u00a0more", "a tenth more flow 1.1\u2009%\u00a0more", "all along the circuit"}, []string{"So "}},
		{"boiling", chain([5]float64{0.3, 0.1, 0, 0.5, 0.1}, [5]float64{0.07, 0.02, 0.0001, nan, nan}), []string{"hangs on the pressure and not on the flow", "a tenth more flow no more", "So better contact would help, more flow would not."}, []string{"own warming"}},
		{"steam", chain([5]float64{0.05, 0.05, 0.6, 0.3, 0}, [5]float64{0.001, 0.002, 0.094, nan, nan}), []string{"60\u2009% of the drop is the water's own warming.", "a tenth more flow 9.4\u2009%\u00a0more", "So more flow would help, a better chain would not."}, nil},
		{"downstream of dry-out", chain([5]float64{0.05, 0.05, 0.6, 0.3, 0}, [5]float64{-0.25, 0.03, 0.65, nan, nan}), []string{"a tenth better contact 25\u2009%\u00a0less"}, []string{"So "}},
		{"nothing tried", chain([5]float64{0.5, 0.3, 0.1, 0, 0.1}, [5]float64{nan, nan, nan, nan, nan}), []string{"50\u2009% of the drop is in the contact."}, []string{"tenth"}},
	} {
		s := limit(c.chain)
		for _, want := range c.says {
			if !strings.Contains(s, want) {
				t.Errorf("%s: %q does not say %q", c.name, s, want)
			}
		}
		for _, not := range c.saysNot {
			if strings.Contains(s, not) {
				t.Errorf("%s: %q says %q", c.name, s, not)
			}
		}
	}
}

func TestCircuitsAreDrawnAtEightTimesAtMostAndOnlyWithWater(t *testing.T) {
	var all []heat.Profile
	for k := range 30 {
		for _, name := range []string{"main", "Ober/unter", "ober unter"} {
			p := madeProfile()
			p.Time, p.Circuit = float64(60*k), name
			if k < 3 {
				p.State = "drained"
			}
			all = append(all, p)
		}
	}
	r := made()
	r.Profiles = all
	m := &memory{files: map[string][]byte{}, room: -1}
	if err := Write(m, r, info()); err != nil {
		t.Fatal(err)
	}
	pictures := map[string]int{}
	for name := range m.files {
		if rest, ok := strings.CutPrefix(name, "pictures/circuit-"); ok {
			at := strings.LastIndex(rest, "-")
			pictures[rest[:at]]++
		}
	}
	if pictures["main"] != 8 || pictures["Ober-unter-2"] != 8 || pictures["ober-unter-3"] != 8 || len(pictures) != 3 {
		t.Errorf("pictures of circuits: %v", pictures)
	}
	for _, name := range []string{"pictures/circuit-main-180.svg", "pictures/circuit-main-1740.svg"} {
		if m.files[name] == nil {
			t.Errorf("%s is not drawn", name)
		}
	}
	if m.files["pictures/circuit-main-0.svg"] != nil {
		t.Error("an empty circuit is drawn")
	}
}

// A name that a spreadsheet would compute stands behind an apostrophe in the file, and is itself again where the program reads it.
func TestWaterIsReadBackAsItStood(t *testing.T) {
	for _, name := range []string{"main, upper", "=main", "-2+3|upper", "'main"} {
		p := madeProfile()
		p.Circuit = name
		var b bytes.Buffer
		if err := circuitTable(newTable(&b), []heat.Profile{p}); err != nil {
			t.Fatal(err)
		}
		if bare := bytes.Contains(b.Bytes(), []byte(","+name+",")); bare != (name == "'main") { // the others stand in quotes or behind an apostrophe
			t.Errorf("%s stands in\n%s", name, b.Bytes())
		}
		all, err := ReadWater(&b)
		if err != nil || len(all) != 1 || all[0].Circuit != name || all[0].Time != p.Time || all[0].State != p.State || len(all[0].Places) != len(p.Places) {
			t.Fatalf("%s is read back as %+v (%v)", name, all, err)
		}
		for i, q := range p.Places {
			if got := all[0].Places[i]; got.Distance != q.Distance || got.Length != q.Length || got.State != q.State {
				t.Errorf("place %d is read back as %+v", i, got)
			}
		}
	}
	if _, err := ReadWater(strings.NewReader("time [s],circuit\n")); err == nil || !strings.Contains(err.Error(), "circuit is") {
		t.Errorf("a table without states is read: %v", err)
	}
}
