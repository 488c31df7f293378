package trial

import (
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"emberbank/history"
	"emberbank/unit"
)

func conv(t testing.TB, u string) (history.Quantity, unit.Conversion, bool) {
	t.Helper()
	q, c, volume, ok := Reads(u)
	if !ok {
		t.Fatalf("%q is no unit", u)
	}
	return q, c, volume
}

// channel makes a channel of a column by number or heading.
func channel(t testing.TB, ref any, name string, role Role, u string) Channel {
	c := Channel{Name: name, Role: role, Unit: u, Good: []float64{0}}
	switch r := ref.(type) {
	case int:
		c.Column.Number = r
	case string:
		c.Column.Heading = r
	}
	c.Quantity, c.Conversion, c.Volume = conv(t, u)
	if role == Inlet || role == Outlet || role == Flow {
		c.Of = "main"
	}
	return c
}

var open = Layout{Skip: -1, Headings: -1}

// read decodes and joins text files, and fails on mistakes.
func read(t testing.TB, s *Setup, texts ...string) *Record {
	t.Helper()
	rec, found := tryRead(s, texts...)
	for _, f := range found {
		if !f.Doubt {
			t.Fatalf("mistake: %s (%s)", f.Message, f.Fix)
		}
	}
	return rec
}

func tryRead(s *Setup, texts ...string) (*Record, []Finding) {
	var logs []*Log
	var all []Finding
	for i, text := range texts {
		log, found := Decode(strings.NewReader(text), &s.Sources[i], i, s.Repairs)
		all = append(all, found...)
		if log == nil {
			return nil, all
		}
		logs = append(logs, log)
	}
	rec, found := Join(s, logs)
	return rec, append(all, found...)
}

func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.10g, want %.10g", what, got, want)
	}
}

func column(t testing.TB, r *Record, name string) []float64 {
	t.Helper()
	i := r.Index(name)
	if i < 0 {
		t.Fatalf("no column %q", name)
	}
	return r.History.Columns[i].Values
}

func repairs(r *Record, key, column string) (n int) {
	for _, x := range r.Repairs {
		if x.Key == key && x.Column == column {
			n += x.Count
		}
	}
	return n
}

// TestStationDayIsRead reads a real day of one-minute weather. Source: testdata/README.md; the numbers are the file's
// own, its first and last lines, and its greatest direct-normal irradiance.
func TestStationDayIsRead(t *testing.T) {
	raw, err := os.ReadFile("testdata/station-day-2016-01-01.dat")
	if err != nil {
		t.Fatal(err)
	}
	withQuality := func(c Channel, q int) Channel { c.Quality.Number = q; return c }
	s := &Setup{Axis: -1, Sources: []Source{{
		Name: "station.dat", Layout: open,
		Clock: Clock{Kind: Parts, Year: Ref{Number: 1}, DayOfYear: Ref{Number: 2}, Hour: Ref{Number: 5}, Minute: Ref{Number: 6}, Zone: time.UTC},
		Channels: []Channel{
			withQuality(channel(t, 9, "global", Other, "W/m2"), 10),
			withQuality(channel(t, 13, "direct normal", Other, "W/m2"), 14),
			withQuality(channel(t, 29, "uv", Other, "W/m2"), 30),
			withQuality(channel(t, 39, "ambient", Ambient, "degC"), 40),
			withQuality(channel(t, 47, "pressure", Other, "mbar"), 48),
		},
	}}}
	r := read(t, s, string(raw))
	if n := len(r.History.Time); n != 1440 {
		t.Fatalf("%d rows, want the 1440 minutes of a day", n)
	}
	if got, want := r.Start, time.Date(2016, 1, 1, 0, 0, 0, 0, time.UTC); !got.Equal(want) || !r.Zoned {
		t.Errorf("it starts at %v, want %v", got, want)
	}
	near(t, "last time", r.Length(), 1439*60, 1e-6)
	near(t, "interval", r.Interval, 60, 1e-9)
	near(t, "first global", column(t, r, "global")[0], -1.8, 1e-9)
	most := 0.0
	for _, x := range column(t, r, "direct normal") {
		most = math.Max(most, x)
	}
	near(t, "greatest direct normal", most, 1076, 1)
	near(t, "last pressure", column(t, r, "pressure")[1439], 77700, 1e-6)
	near(t, "first ambient", column(t, r, "ambient")[0], 273.15-7.6, 1e-9)
	for i, x := range column(t, r, "uv") {
		if x == x {
			t.Fatalf("row %d of a channel that says -9999.9 throughout has the value %g", i, x)
		}
	}
	if n := repairs(r, "missing", "uv"); n != 1440 {
		t.Errorf("%d missing values are listed, want 1440", n)
	}
}

// TestTwoHeaterBenchIsRead reads a real bench. Source: testdata/README.md.
func TestTwoHeaterBenchIsRead(t *testing.T) {
	raw, err := os.ReadFile("testdata/two-heater-bench.csv")
	if err != nil {
		t.Fatal(err)
	}
	s := &Setup{Axis: -1, Sources: []Source{{
		Name: "bench.csv", Layout: open, Channels: []Channel{
			channel(t, "Heater 1", "heater 1", Other, "%"), channel(t, "Heater 2", "heater 2", Other, "%"),
			channel(t, "Temperature 1", "T1", Body, "degC"), channel(t, "Temperature 2", "T2", Body, "degC"),
		},
	}}}
	r := read(t, s, string(raw))
	if n := len(r.History.Time); n != 201 {
		t.Fatalf("%d rows, want 201", n)
	}
	near(t, "second time", r.History.Time[1], 3.002565622329711914, 1e-12)
	near(t, "last time", r.Length(), 600.5727128982543945, 1e-9)
	near(t, "first T1", column(t, r, "T1")[0], 273.15+21.09, 1e-9)
	near(t, "last T2", column(t, r, "T2")[200], 273.15+31.95, 1e-9)
	near(t, "first heater", column(t, r, "heater 1")[0], 0.7020457251197791, 1e-12)
	for _, x := range r.Repairs {
		t.Errorf("a clean file was mended: %+v", x)
	}
	if c := r.Columns[r.Index("T1")]; c.Noise < 0.005 || c.Noise > 0.2 {
		t.Errorf("noise of T1 is %g K, want some hundredths: the readings step by 0.03 K", c.Noise)
	}
}
