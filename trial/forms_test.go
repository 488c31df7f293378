package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

// TestEveryLayoutAndClockReadsTheSame writes one made-up trial in every mix of separator, decimal sign, clock and
// headings, lets the layout be found, and compares with the truth. Tolerance: half of the last digit written.
func TestEveryLayoutAndClockReadsTheSame(t *testing.T) {
	plan := usualPlan()
	plan.heatFor, plan.holdFor, plan.drainFor, plan.coolFor, plan.step = 600, 120, 300, 120, 4
	y := runToy(plan, rand.New(rand.NewPCG(1, 1)))
	for _, sep := range []string{",", ";", "\t", " ", "   "} {
		for _, decimal := range []string{".", ","} {
			if sep == "," && decimal == "," {
				continue
			}
			for _, clock := range []string{"iso", "dotted", "us", "elapsed", "doy", "split"} {
				if strings.HasPrefix(sep, " ") && clock != "elapsed" && clock != "doy" && clock != "split" {
					continue // a date and a time of day are then two columns
				}
				for _, unitsRow := range []bool{false, true} {
					name := fmt.Sprintf("%q%s/%s/units row %v", sep, decimal, clock, unitsRow)
					t.Run(name, func(t *testing.T) { oneLayout(t, y, sep, decimal, clock, unitsRow) })
				}
			}
		}
	}
}

func oneLayout(t *testing.T, y *toy, sep, decimal, clock string, unitsRow bool) {
	f := &toyFile{
		sep: sep, decimal: decimal, clock: clock, unitsRow: unitsRow, every: 60, start: time.Date(2026, 12, 31, 23, 50, 0, 0, time.UTC),
		preamble: []string{"Logger of a bakery bench, made up", "Serial: 17; channels: 3"},
		columns:  []toyColumn{{"core", "T1", "degC", 0, 3, 0}, {"circuit main flow", "Flow", "l/min", 0, 4, 0}, {"ambient", "T2", "degF", 0, 3, 0}},
	}
	text := f.write(y, rand.New(rand.NewPCG(2, 2)))
	k := 2
	src := Source{Name: "a", Layout: open}
	switch clock {
	case "doy":
		k = 4
		src.Clock = Clock{Kind: Parts, Year: Ref{Number: 1}, DayOfYear: Ref{Number: 2}, HourMinute: Ref{Number: 3}}
	case "split":
		k = 3
	case "us":
		src.Clock.Order, src.Clock.Column = MonthDayYear, Ref{Number: 1}
	}
	src.Channels = []Channel{channel(t, k, "core", Body, "degC"), channel(t, k+1, "circuit main flow", Flow, "l/min"), channel(t, k+2, "ambient", Ambient, "degF")}
	s := &Setup{Axis: -1, Sources: []Source{src}}
	r := read(t, s, text)
	n := (len(y.t) + 14) / 15
	if len(r.History.Time) != n {
		t.Fatalf("%d rows, want %d:\n%s", len(r.History.Time), n, text[:400])
	}
	for i := range n {
		near(t, "time", r.History.Time[i], y.t[15*i], 1e-6)
		near(t, "core", column(t, r, "core")[i], y.col["core"][15*i], 0.0006)
		near(t, "ambient", column(t, r, "ambient")[i], y.col["ambient"][15*i], 0.0006)
		want := y.col["circuit main flow"][15*i]
		near(t, "flow", column(t, r, "circuit main flow")[i]*1000/usualDensity, want, 3e-6) // four digits of l/min are 1.7e-6 kg/s
	}
	if clock != "elapsed" && r.Start.Format("2006-01-02 15:04") != "2026-12-31 23:50" {
		t.Errorf("it starts at %v", r.Start)
	}
}

// clockTimes reads rows of a clock alone and returns the times.
func clockTimes(t *testing.T, c Clock, layout Layout, text string, cell int) (*Record, []float64) {
	t.Helper()
	s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: layout, Clock: c, Channels: []Channel{channel(t, cell, "x", Other, "degC")}}}}
	r := read(t, s, text)
	return r, r.History.Time
}

func sameTimes(t *testing.T, got, want []float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("times are %v, want %v", got, want)
	}
	for i := range want {
		near(t, fmt.Sprintf("time %d", i), got[i], want[i], 1e-5) // days to ten digits are 9 µs
	}
}

func TestDaysOfTheYearRunOverNewYearAndHourTwentyFour(t *testing.T) {
	// 2400 of day 365 and 0 of day 1 would be one moment; 2024 has a day 366.
	text := "365 2350 1\n365 2400 2\n1 10 3\n1 20 4\n1 30 4\n"
	r, got := clockTimes(t, Clock{Kind: Parts, DayOfYear: Ref{Number: 1}, HourMinute: Ref{Number: 2}, FixedYear: 2026}, open, text, 3)
	sameTimes(t, got, []float64{0, 600, 1200, 1800, 2400})
	if y := r.Start.Year(); y != 2026 {
		t.Errorf("it starts in %d", y)
	}
	text = "366 2340 1\n366 2350 1\n366 2400 2\n1 10 3\n"
	_, got = clockTimes(t, Clock{Kind: Parts, DayOfYear: Ref{Number: 1}, HourMinute: Ref{Number: 2}, FixedYear: 2024}, open, text, 3)
	sameTimes(t, got, []float64{0, 600, 1200, 1800})
	// A year that has no day 366: the row cannot be right.
	s := &Setup{Axis: -1, Sources: []Source{{
		Name: "a", Layout: open, Clock: Clock{Kind: Parts, DayOfYear: Ref{Number: 1}, HourMinute: Ref{Number: 2}, FixedYear: 2025},
		Channels: []Channel{channel(t, 3, "x", Other, "degC")},
	}}}
	if rec, _ := tryRead(s, "366 2340 1\n366 2350 1\n366 2400 2\n"); rec != nil {
		t.Error("day 366 of 2025 is taken")
	}
	text = "365 2350 1\n365 2400 2\n366 10 1\n366 20 3\n"
	rec, found := tryRead(s, text)
	if rec == nil {
		t.Fatal(found)
	}
	if n := repairs(rec, "garbled", ""); n != 2 {
		t.Errorf("%d rows of a day that 2025 does not have are listed, want 2: %+v", n, rec.Repairs)
	}
}

func TestClocksOfManyForms(t *testing.T) {
	for _, c := range []struct {
		name  string
		clock Clock
		text  string
		cell  int
		want  []float64
		start string
	}{
		{"iso with zone", Clock{}, "t,x\n2026-03-14T09:30:00+01:00,1\n2026-03-14T09:30:10.5+01:00,2\n2026-03-14T09:30:20+01:00,2\n", 2, []float64{0, 10.5, 20}, "2026-03-14T08:30:00Z"},
		{"zone by letter", Clock{}, "t,x\n2026-03-14 09:30Z,1\n2026-03-14 09:31Z,2\n2026-03-14 09:32Z,2\n", 2, []float64{0, 60, 120}, "2026-03-14T09:30:00Z"},
		{"day first by its numbers", Clock{}, "t,x\n14/03/2026 09:30:00,1\n14/03/2026 09:30:10,2\n14/03/2026 9:30:20,2\n", 2, []float64{0, 10, 20}, "2026-03-14T09:30:00Z"},
		{"month first by its numbers", Clock{}, "t,x\n3/14/26 9:30:00 PM,1\n3/14/26 9:30:10 PM,2\n3/14/26 9:30:20 PM,2\n", 2, []float64{0, 10, 20}, "2026-03-14T21:30:00Z"},
		{"midnight in twelve hours", Clock{}, "t,x\n3/14/26 11:59:50 PM,1\n3/15/26 12:00:00 AM,2\n3/15/26 12:00:10 AM,2\n", 2, []float64{0, 10, 20}, "2026-03-14T23:59:50Z"},
		{"name of the month", Clock{}, "t;x\n14-Mar-2026 09:30:00;1\n14-Mär-2026 09:30:10;2\n14. mars 2026 09:30:20;3\n", 2, []float64{0, 10, 20}, "2026-03-14T09:30:00Z"},
		{"run together", Clock{}, "t,x\n20260314 093000,1\n20260314 093010,2\n20260314 093020,2\n", 2, []float64{0, 10, 20}, "2026-03-14T09:30:00Z"},
		{"end of the day", Clock{}, "t,x\n2026-12-31 23:59:50,1\n2026-12-31 24:00:00,2\n2027-01-01 00:00:10,2\n", 2, []float64{0, 10, 20}, "2026-12-31T23:59:50Z"},
		{"time of day over midnight", Clock{}, "Time,x\n23:59:50,1\n00:00:00,2\n00:00:10,2\n", 2, []float64{0, 10, 20}, ""},
		{"comma in the seconds", Clock{}, "t;x\n09:30:00,5;1\n09:30:01,0;2\n09:30:01,5;2\n", 2, []float64{0, 0.5, 1}, ""},
		{"minutes", Clock{}, "elapsed (min),x\n0,1\n0.5,2\n1,2\n", 2, []float64{0, 30, 60}, ""},
		{"seconds of 1970", Clock{Kind: Elapsed, Column: Ref{Number: 1}, Unit: 1, Since: moment70(), SinceZoned: true}, "t,x\n1773480600,1\n1773480610,2\n1773480620,3\n", 2, []float64{0, 10, 20}, "2026-03-14T09:30:00Z"},
		{"days of a spreadsheet", Clock{Kind: Elapsed, Column: Ref{Number: 1}, Unit: 86400, Since: moment99()}, "t,x\n46095.3958333333,1\n46095.3965277778,2\n46095.3972222222,3\n", 2, []float64{0, 60, 120}, "2026-03-14T09:30:00Z"},
		{"date parts", Clock{Kind: Parts, Year: Ref{Number: 1}, Month: Ref{Number: 2}, Day: Ref{Number: 3}, DecimalHour: Ref{Number: 4}}, "2026 3 14 9.5 1\n2026 3 14 9.75 1\n2026 3 14 10 2\n", 5, []float64{0, 900, 1800}, "2026-03-14T09:30:00Z"},
		{"hours without a day", Clock{Kind: Parts, Hour: Ref{Number: 1}, Minute: Ref{Number: 2}}, "23 59 1\n0 0 1\n0 1 2\n", 3, []float64{0, 60, 120}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, got := clockTimes(t, c.clock, open, c.text, c.cell)
			sameTimes(t, got, c.want)
			have := ""
			if !r.Start.IsZero() {
				have = r.Start.UTC().Round(time.Second).Format("2006-01-02T15:04:05Z07:00")
			}
			if have != c.start {
				t.Errorf("it starts at %q, want %q", have, c.start)
			}
		})
	}
}

func moment70() *time.Time { t := time.Unix(0, 0).UTC(); return &t }

func moment99() *time.Time { t := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC); return &t }

func TestDateThatIsReadInTwoWaysIsRefused(t *testing.T) {
	s := &Setup{Axis: -1, Sources: []Source{{Name: "a.csv", Layout: open, Channels: []Channel{channel(t, 2, "x", Other, "degC")}}}}
	rec, found := tryRead(s, "t,x\n03/04/2026 09:30:00,1\n03/04/2026 09:30:10,2\n03/04/2026 09:30:20,2\n")
	if rec != nil || len(found) != 1 || !strings.Contains(found[0].Message, "read in two ways") || found[0].Line != 2 {
		t.Errorf("got %+v", found)
	}
}

func TestNumbersAreTheNearestFloat(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 200000 {
		x := (rng.Float64() - 0.5) * math.Pow(10, float64(rng.IntN(40)-20))
		var text string
		switch rng.IntN(3) {
		case 0:
			text = fmt.Sprintf("%.*f", rng.IntN(9), x)
		case 1:
			text = fmt.Sprintf("%.*e", rng.IntN(19), x)
		default:
			text = fmt.Sprintf("%.*g", 1+rng.IntN(18), x)
		}
		var want float64
		if _, err := fmt.Sscan(text, &want); err != nil {
			t.Fatal(err)
		}
		got, ok := number([]byte(text), '.')
		if !ok || got != want {
			t.Fatalf("%q is read as %v, %v; want %v", text, got, ok, want)
		}
		if got, ok = number([]byte(strings.Replace(text, ".", ",", 1)), ','); !ok || got != want {
			t.Fatalf("%q with a comma is read as %v, %v; want %v", text, got, ok, want)
		}
	}
	for text, want := range map[string]float64{"1.234,5": 1234.5, "-1.234.567,25": -1234567.25, "+12": 12, ",5": 0.5, "5,": 5, "1'234": 1234} {
		if got, ok := number([]byte(text), ','); !ok || got != want {
			t.Errorf("%q is read as %v, %v; want %v", text, got, ok, want)
		}
	}
	for _, text := range []string{"", "-", ".", "e5", "1e", "1e+", "0x10", "1_0", "1.2.3", "12,34", "1,2345", "NaN", "Inf", "1 2", "--1", "1,23.4"} {
		if got, ok := number([]byte(text), '.'); ok {
			t.Errorf("%q is read as %v", text, got)
		}
	}
}

func TestFixedWidthsHoldEmptyAndTouchingCells(t *testing.T) {
	text := "     0   20.50 -9999.9\n    10   20.60   21.00\n    20           21.10\n    30   20.80   21.20\n    40   20.90   21.20\n"
	s := &Setup{Axis: -1, Sources: []Source{{
		Name: "a", Layout: Layout{Separator: Fixed, Widths: []int{6, 8, 8}, Skip: -1, Headings: -1}, Clock: Clock{Kind: Elapsed, Column: Ref{Number: 1}, Unit: 1},
		Channels: []Channel{channel(t, 2, "a", Other, "degC"), channel(t, 3, "b", Other, "degC")},
	}}}
	r := read(t, s, text)
	a, b := column(t, r, "a"), column(t, r, "b")
	if a[2] == a[2] || b[0] == b[0] {
		t.Errorf("empty and missing cells give %v and %v", a[2], b[0])
	}
	near(t, "b", b[2], 294.25, 1e-9)
	near(t, "a", a[3], 293.95, 1e-9)
	s.Sources[0].Layout.Widths, s.Sources[0].Layout.Separator = nil, FoundSeparator
	r = read(t, s, text)
	near(t, "b with found widths", column(t, r, "b")[2], 294.25, 1e-9)
}

func TestOldCodingsOfTextAreRead(t *testing.T) {
	plain := "Zeit [s];Temperatur [°C]\n0;1,5\n1;2,5\n2;3,5\n"
	wideLow, wideHigh := []byte{0xFF, 0xFE}, []byte{0xFE, 0xFF}
	latin := []byte{}
	for _, c := range plain {
		wideLow = append(wideLow, byte(c), byte(c>>8))
		wideHigh = append(wideHigh, byte(c>>8), byte(c))
		latin = append(latin, byte(c))
	}
	for name, text := range map[string]string{
		"UTF-8": plain, "mark": "\ufeff" + plain, "one byte": string(latin), "two bytes, low first": string(wideLow), "two bytes, high first": string(wideHigh),
		"carriage returns": strings.ReplaceAll(plain, "\n", "\r"), "both": strings.ReplaceAll(plain, "\n", "\r\n"), "quotes": "\"Zeit [s]\";\"Temperatur [°C]\"\n0;\"1,5\"\n1;\"2,5\"\n2;\"3,5\"\n",
	} {
		c := Channel{Column: Ref{Heading: "Temperatur"}, Name: "x"}
		c.Quantity = 1
		s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{c}}}}
		rec, found := tryRead(s, text)
		if rec == nil {
			t.Errorf("%s: %+v", name, found)
			continue
		}
		near(t, name, column(t, rec, "x")[2], 276.65, 1e-9)
	}
}

// TestOddFilesOfLoggersAreRead holds habits of loggers that one meets: three lines of headings in quotes, a line that
// names the separator, times with thousandths behind a colon, units between remarks, the zone in the heading, a word for a
// broken sensor, plus signs. The files are made up.
func TestOddFilesOfLoggersAreRead(t *testing.T) {
	for _, c := range []struct {
		name, text string
		column     string
		last       float64 // degC, of the last row
		start      string
		step       float64
	}{
		{"three lines of headings", "\"made up\",\"x\",\"1\"\n\"STAMP\",\"RECORD\",\"T_core\"\n\"TS\",\"RN\",\"Deg C\"\n\"\",\"\",\"Avg\"\n" +
			"\"2026-03-14 09:30:00\",0,\"NAN\"\n\"2026-03-14 09:31:00\",1,300.1\n\"2026-03-14 09:32:00\",2,290.1\n", "T_core", 290.1, "2026-03-14T09:30:00Z", 60},
		{"separator named, empty last column", "sep=;\nDatum;Zeit;Temp 1 (°C);\n14.03.2026;09:30:00;20,5;\n14.03.2026;09:30:01;20,6;\n14.03.2026;09:30:02;20,7;\n", "Temp 1", 20.7, "2026-03-14T09:30:00Z", 1},
		{"thousandths behind a colon", "Scan,Time,101 <core> (C)\n1,03/14/2026 09:30:00:500,20.5\n2,03/14/2026 09:30:10:500,20.6\n3,03/14/2026 09:30:20:500,20.7\n", "101 <core>", 20.7, "2026-03-14T09:30:01Z", 10},
		{"zone and unit in the headings", "\"#\",\"Date Time, GMT+01:00\",\"Temp, °C (sensor 7)\"\n1,03/14/26 09:30:00 AM,20.5\n2,03/14/26 09:31:00 AM,20.6\n3,03/14/26 09:32:00 AM,20.7\n", "Temp, °C (sensor 7)", 20.7, "2026-03-14T08:30:00Z", 60},
		{"plus signs and a broken sensor", "NO.\tTime\tCH1\n\t\tdegC\n1\t2026/03/14 09:30:00\tBURNOUT\n2\t2026/03/14 09:30:02\t+20.6\n3\t2026/03/14 09:30:04\t+20.7\n", "CH1", 20.7, "2026-03-14T09:30:00Z", 2},
		{"units in brackets below", "Zeit  Kanal1\n[s]   [K]\n0,0   293,15\n0,5   293,16\n1,0   293,85\n", "Kanal1", 20.7, "", 0.5},
		{"a unit behind a stroke", "time / min;core / °C\n0;20,5\n1;20,6\n2;20,7\n", "core", 20.7, "", 60},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{{Column: Ref{Heading: c.column}, Name: "x", Quantity: 1}}}}}
			r := read(t, s, c.text)
			v := column(t, r, "x")
			near(t, "last value", v[len(v)-1], c.last+273.15, 1e-9)
			near(t, "interval", r.Interval, c.step, 1e-9)
			if got := r.Start.UTC().Round(time.Second).Format("2006-01-02T15:04:05Z07:00"); c.start != "" && got != c.start {
				t.Errorf("it starts at %s, want %s", got, c.start)
			}
		})
	}
}
