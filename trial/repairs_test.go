package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// rows makes a file of elapsed seconds and two temperatures from a function of the row.
func rows(n int, f func(i int) (t, a, b string)) string {
	var s strings.Builder
	s.WriteString("time [s],a [degC],b [degC]\n")
	for i := range n {
		t, a, b := f(i)
		fmt.Fprintf(&s, "%s,%s,%s\n", t, a, b)
	}
	return s.String()
}

func twoTemperatures(t testing.TB) *Setup {
	return &Setup{Axis: -1, Sources: []Source{{
		Name: "a.csv", Layout: open, Channels: []Channel{channel(t, "a", "a", Body, "degC"), channel(t, "b", "b", Body, "degC")},
	}}}
}

func smooth(i int) (string, string, string) {
	x := float64(i)
	return fmt.Sprint(10 * i), fmt.Sprintf("%.1f", 50+20*math.Sin(x/40)+0.05*math.Sin(x*x)), fmt.Sprintf("%.1f", 80+0.3*x+0.05*math.Sin(3*x*x))
}

func find(t *testing.T, r *Record, key, column string) Repair {
	t.Helper()
	for _, x := range r.Repairs {
		if x.Key == key && x.Column == column {
			return x
		}
	}
	t.Fatalf("no repair %q of %q is listed: %+v", key, column, r.Repairs)
	return Repair{}
}

func TestCleanRecordIsNotMended(t *testing.T) {
	r := read(t, twoTemperatures(t), rows(500, smooth))
	if len(r.Repairs) > 0 {
		t.Errorf("a clean record is mended: %+v", r.Repairs)
	}
}

func TestMissingCodesBecomeMissingAndAreCounted(t *testing.T) {
	codes := []string{"-7999", "-9999.9", "NaN", "", "OL", "-99", "n/a"}
	text := rows(200, func(i int) (string, string, string) {
		a, b, c := smooth(i)
		if i >= 50 && i < 50+len(codes) {
			b = codes[i-50]
		}
		return a, b, c
	})
	s := twoTemperatures(t)
	s.Sources[0].Missing = []string{"-99"}
	r := read(t, s, text)
	x := find(t, r, "missing", "a")
	if x.Count != len(codes) || x.Line != 52 || !x.Mended {
		t.Errorf("listed as %+v, want %d from line 52", x, len(codes))
	}
	for i, v := range column(t, r, "a") {
		if (v != v) != (i >= 50 && i < 57) {
			t.Errorf("row %d is %v", i, v)
		}
	}
	s = twoTemperatures(t)
	s.Repairs = Repairs{Missing: Off, Spikes: Off}
	r = read(t, s, text)
	near(t, "a code that is left", column(t, r, "a")[50], -7999+273.15, 1e-9)
	if x := find(t, r, "missing", "a"); x.Mended {
		t.Error("a repair that is off says that it mended")
	}
}

func TestSpikesAreTakenOutAndStepsAreKept(t *testing.T) {
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 5))
		spiked := map[int]bool{}
		text := rows(600, func(i int) (string, string, string) {
			x := 40 + 15*math.Sin(float64(i)/70) + 0.1*rng.NormFloat64()
			if i >= 300 {
				x += 60 // a step that is real: the drain begins
			}
			if i == 100 || i == 222 || i == 223 || i == 450 {
				spiked[i] = true
				x += 25 + 100*rng.Float64()
				if i == 450 {
					x = -200
				}
			}
			return fmt.Sprint(i), fmt.Sprintf("%.2f", x), fmt.Sprintf("%.2f", 20+0.1*rng.NormFloat64())
		})
		r := read(t, twoTemperatures(t), text)
		for i, v := range column(t, r, "a") {
			if (v != v) != spiked[i] {
				t.Errorf("seed %d: row %d is %v, a spike: %v", seed, i, v, spiked[i])
			}
		}
		x := find(t, r, "spikes", "a")
		if x.Count != 4 || x.Line != 102 {
			t.Errorf("seed %d: listed as %+v, want 4 from line 102", seed, x)
		}
		s := twoTemperatures(t)
		s.Repairs.Spikes = Off
		r = read(t, s, text)
		if v := column(t, r, "a")[100]; v != v || find(t, r, "spikes", "a").Mended {
			t.Errorf("spikes are mended though that is off")
		}
	}
}

// TestSpikesOnASteepFallAreTakenOut: while a block is emptied its neighbours in time stand kelvins apart, and are the
// old level all the same.
func TestSpikesOnASteepFallAreTakenOut(t *testing.T) {
	r := read(t, twoTemperatures(t), rows(300, func(i int) (string, string, string) {
		x := 150.0
		if i > 150 {
			x = 15 + 135*math.Exp(-float64(i-150)/60) // 2 K from row to row, at first
		}
		if i == 170 {
			x += 160
		}
		return fmt.Sprint(20 * i), fmt.Sprintf("%.1f", x), fmt.Sprintf("%.1f", 20+0.05*math.Sin(3*float64(i*i)))
	}))
	if x := find(t, r, "spikes", "a"); x.Count != 1 || x.Line != 172 {
		t.Errorf("listed as %+v, want 1 in line 172", x)
	}
}

func TestStuckChannelIsFoundWhileOthersMove(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 5))
	held := ""
	text := rows(1000, func(i int) (string, string, string) {
		x := float64(i)
		a := fmt.Sprintf("%.1f", 100+0.2*x+0.1*rng.NormFloat64())
		if i == 400 {
			held = a
		}
		if i > 400 && i <= 600 {
			a = held
		}
		return fmt.Sprint(i), a, fmt.Sprintf("%.1f", 90+0.2*x+0.1*rng.NormFloat64())
	})
	r := read(t, twoTemperatures(t), text)
	if x := find(t, r, "stuck", "a"); x.Count != 200 || x.Line != 402 {
		t.Errorf("listed as %+v, want 200 from line 402", x)
	}
	for i, v := range column(t, r, "a") {
		if (v != v) != (i > 400 && i <= 600) {
			t.Fatalf("row %d is %v", i, v)
		}
	}
	if n := repairs(r, "stuck", "b"); n > 0 {
		t.Errorf("%d values of the good channel are called stuck", n)
	}
}

func TestSteadyCoarseReadingsAreNotStuck(t *testing.T) {
	// Whole degrees, a rise, a long rest at even temperature, a fall: the rest is real.
	text := rows(3000, func(i int) (string, string, string) {
		x, y := 0.0, 0.0
		switch {
		case i < 1000:
			x = float64(i) / 5
		case i < 2000:
			x = 200 - float64(i-1000)/400
		default:
			x = 197.5 - float64(i-2000)/6
		}
		y = 0.9 * x
		return fmt.Sprint(i), fmt.Sprintf("%.0f", 20+x), fmt.Sprintf("%.0f", 20+y)
	})
	r := read(t, twoTemperatures(t), text)
	if len(r.Repairs) > 0 {
		t.Errorf("a rest is mended: %+v", r.Repairs)
	}
}

func TestStampsOutOfOrderAndTwiceAreMendedOrRefused(t *testing.T) {
	text := "time [s],a [degC],b [degC]\n0,1,1\n10,2,2\n30,4,4\n20,3,3\n30,4,4\n40,5,5\n40,6,5\n50,7,7\n"
	r := read(t, twoTemperatures(t), text)
	sameTimes(t, r.History.Time, []float64{0, 10, 20, 30, 40, 50})
	near(t, "the row put in place", column(t, r, "a")[2], 276.15, 1e-9)
	if x := find(t, r, "backward", ""); x.Count != 1 || x.Line != 5 {
		t.Errorf("listed as %+v", x)
	}
	if x := find(t, r, "duplicates", ""); x.Count != 2 || !strings.Contains(x.What, "1 of them with other values") {
		t.Errorf("listed as %+v", x)
	}
	for _, off := range []Repairs{{Backward: Off}, {Duplicates: Off}} {
		s := twoTemperatures(t)
		s.Repairs = off
		rec, found := tryRead(s, text)
		if rec != nil || len(found) == 0 || found[0].Line == 0 || found[0].Fix == "" {
			t.Errorf("with %+v: %+v", off, found)
		}
	}
}

func TestClockThatWasSetBackLosesRowsOrRunsOn(t *testing.T) {
	text := rows(300, func(i int) (string, string, string) {
		_, a, b := smooth(i)
		x := 10 * i
		if i >= 200 {
			x -= 600 // an hour's little sister
		}
		return fmt.Sprint(x), a, b
	})
	r := read(t, twoTemperatures(t), text)
	if x := find(t, r, "backward", ""); x.Count != 60 || x.Line != 202 {
		t.Errorf("listed as %+v, want 60 rows from line 202", x)
	}
	if n := len(r.History.Time); n != 240 {
		t.Errorf("%d rows are left, want 240", n)
	}
	s := twoTemperatures(t)
	s.Repairs.Shift = true
	r = read(t, s, text)
	if n := len(r.History.Time); n != 300 {
		t.Errorf("%d rows are left, want all 300", n)
	}
	near(t, "last time", r.Length(), 2990, 1e-9)
}

func TestCoarseStampsAreSpread(t *testing.T) {
	text := rows(120, func(i int) (string, string, string) {
		_, a, b := smooth(i)
		return fmt.Sprint(i / 6 * 60), a, b
	})
	r := read(t, twoTemperatures(t), text)
	if n := len(r.History.Time); n != 120 {
		t.Fatalf("%d rows, want 120", n)
	}
	for i, x := range r.History.Time {
		near(t, "time", x, 10*float64(i), 1e-9)
	}
	if x := find(t, r, "duplicates", ""); x.Count != 100 {
		t.Errorf("listed as %+v", x)
	}
}

func TestGapsAreListedAndNothingIsDrawnAcrossThem(t *testing.T) {
	text := rows(300, func(i int) (string, string, string) {
		_, a, b := smooth(i)
		x := 10 * i
		if i >= 100 {
			x += 500
		}
		return fmt.Sprint(x), a, b
	})
	second := "time [s],c [degC]\n"
	for i := range 700 {
		second += fmt.Sprintf("%d,%d\n", 5*i, i)
	}
	s := twoTemperatures(t)
	s.Sources = append(s.Sources, Source{Name: "b.csv", Layout: open, Channels: []Channel{channel(t, "c", "c", Other, "degC")}})
	r := read(t, s, text, second)
	if len(r.History.Time) != 700 || r.Index("a") < 0 {
		t.Fatalf("%d rows", len(r.History.Time))
	}
	x := find(t, r, "gap", "")
	if x.Count != 1 || x.Mended || x.File != "a.csv" {
		t.Errorf("listed as %+v", x)
	}
	for i, v := range column(t, r, "a") {
		at := r.History.Time[i]
		if inside := at > 990 && at < 1500 || at > 3490; (v != v) != inside {
			t.Fatalf("at %g s the value is %v", at, v)
		}
	}
	s.Axis = 0
	r = read(t, s, text, second)
	if len(r.Gaps) != 1 || r.Gaps[0] != (Span{990, 1500}) {
		t.Errorf("gaps are %+v", r.Gaps)
	}
	near(t, "c at 20 s", column(t, r, "c")[2], 273.15+4, 1e-9)
}

func TestMeterThatDribblesAtRestReadsZero(t *testing.T) {
	text := "time [s],flow [l/min]\n"
	for i := range 200 {
		f := 0.02 + 0.01*math.Sin(float64(i))
		if i%7 == 0 {
			f = 0
		}
		if i >= 100 {
			f += 6
		}
		text += fmt.Sprintf("%d,%.3f\n", i, f)
	}
	s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{channel(t, "flow", "circuit main flow", Flow, "l/min")}}}}
	r := read(t, s, text)
	x := find(t, r, "dribble", "circuit main flow")
	if x.Count != 85 {
		t.Errorf("listed as %+v, want 85", x)
	}
	for i, v := range column(t, r, "circuit main flow") {
		if (v == 0) != (i < 100) {
			t.Fatalf("row %d is %v", i, v)
		}
	}
	s.Repairs.Dribble = Off
	r = read(t, s, text)
	if v := column(t, r, "circuit main flow")[1]; v == 0 || find(t, r, "dribble", "circuit main flow").Mended {
		t.Error("dribble is mended though that is off")
	}
	s = &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{channel(t, "flow", "circuit main flow", Flow, "l/min")}}}}
	s.Sources[0].Channels[0].Least = 0.015 / 60 // kg/s: 0.015 l/min
	r = read(t, s, text)
	if x := find(t, r, "dribble", "circuit main flow"); x.Count < 10 || x.Count >= 50 {
		t.Errorf("with a least flow of 0.015 l/min: %+v", x)
	}
}

func TestRowsCutOffAndHeadingsAgainAreLeftOut(t *testing.T) {
	text := "time [s],a [degC],b [degC]\n0,1,1\n10,2,2\ntime [s],a [degC],b [degC]\n20,3,3\n30,x4,4\n40,5,5\nbroken\n50,6,6\n60,7"
	r := read(t, twoTemperatures(t), text)
	sameTimes(t, r.History.Time, []float64{0, 10, 20, 30, 40, 50})
	if n := repairs(r, "garbled", ""); n != 3 {
		t.Errorf("%d rows are listed, want 3: %+v", n, r.Repairs)
	}
	if n := repairs(r, "garbled", "a"); n != 1 {
		t.Errorf("%d cells are listed, want 1: %+v", n, r.Repairs)
	}
}

func TestLoopOfMilliamperesAndItsTable(t *testing.T) {
	c := channel(t, "p", "p", Other, "bar")
	c.Signal = &Signal{Unit: "mA", Table: &Table{X: []float64{4, 12, 20}, Y: []float64{0, 6, 10}}}
	d := channel(t, "q", "q", Other, "degC")
	d.Signal = &Signal{Unit: "V", Factor: 25, Shift: -50}
	s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{c, d}}}}
	text := "time [s],p [mA],q [V]\n0,4,2\n1,8,4\n2,16,10\n3,20.3,0\n4,3.5,0\n5,22,0\n"
	r := read(t, s, text)
	for i, want := range []float64{0, 3e5, 8e5, 10.15e5, math.NaN(), math.NaN()} {
		if v := column(t, r, "p")[i]; !(math.Abs(v-want) < 1e-6 || v != v && want != want) {
			t.Errorf("row %d is %v Pa, want %v", i, v, want)
		}
	}
	near(t, "10 V", column(t, r, "q")[2], 273.15+200, 1e-9)
	if x := find(t, r, "range", "p"); x.Count != 2 || x.Line != 6 {
		t.Errorf("listed as %+v", x)
	}
}

// TestThermocoupleVoltagesGiveTheReferenceTemperatures. Source of the cases: the reference functions of IEC 60584-1:2013
// (ITS-90), evaluated independently; table points to 0.001 mV.
func TestThermocoupleVoltagesGiveTheReferenceTemperatures(t *testing.T) {
	for _, c := range []struct {
		couple string
		t, mV  float64
	}{
		{"K", -50, -1.889383},
		{"K", 25, 1.000242},
		{"K", 150, 6.138344},
		{"K", 419.527, 17.223056},
		{"K", 700, 29.128974},
		{"K", 1100, 45.118736},
		{"N", -50, -1.268598},
		{"N", 25, 0.658646},
		{"N", 150, 4.301844},
		{"N", 419.527, 13.701244},
		{"N", 700, 24.526652},
		{"N", 1100, 40.086606},
	} {
		near(t, fmt.Sprintf("type %s at %g degC", c.couple, c.t), couples[c.couple].emf(c.t), c.mV, 1e-6)
		near(t, fmt.Sprintf("type %s at %g mV", c.couple, c.mV), couples[c.couple].temperature(c.mV), c.t, 2e-5)
	}
	for _, c := range []struct {
		couple        string
		mV, cold, hot float64
	}{{"K", 16.397, 0, 399.99664}, {"K", 15, 23, 388.678}, {"N", 12.5, 25, 404.9774}, {"K", 0.5, 60, 72.05222}} {
		ch := channel(t, "e", "core", Body, "degC")
		ch.Signal = &Signal{Unit: "mV", Couple: c.couple, Junction: "cold junction"}
		s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{ch, channel(t, "j", "cold junction", Other, "degC")}}}}
		r := read(t, s, fmt.Sprintf("time [s],e [mV],j [degC]\n0,%g,%g\n1,%g,%g\n2,%g,%g\n", c.mV, c.cold, c.mV, c.cold, c.mV, c.cold))
		near(t, fmt.Sprintf("%g mV of type %s with %g degC", c.mV, c.couple, c.cold), column(t, r, "core")[1]-273.15, c.hot, 5e-4)
	}
}

func TestOffsetOfTwoClocksIsAppliedAndFound(t *testing.T) {
	const late = 137.0 // s by which the second clock is slow
	shape := func(x float64) float64 { return 60 + 30*math.Sin(x/150) + 10*math.Sin(x/37) }
	a, b := "time [s],a [degC],b [degC]\n", "time [s],c [degC]\n"
	for i := range 600 {
		x := 5 * float64(i)
		a += fmt.Sprintf("%g,%.2f,20\n", x, shape(x))
	}
	for i := range 400 {
		x := 7 * float64(i)
		b += fmt.Sprintf("%g,%.2f\n", x, 0.9*shape(x+late)+3)
	}
	s := twoTemperatures(t)
	s.Sources = append(s.Sources, Source{Name: "b.csv", Layout: open, Channels: []Channel{channel(t, "c", "c", Body, "degC")}})
	s.Sources[1].Clock.Offset = late
	r := read(t, s, a, b)
	for i, v := range column(t, r, "c") {
		if x := r.History.Time[i]; v == v {
			near(t, fmt.Sprintf("c at %g s", x), v-273.15, 0.9*shape(x)+3, 0.4) // straight lines over 7 s
		}
	}
	s.Sources[1].Clock.Offset = 0
	s.Sources[1].Clock.Align = &Align{Channel: "c", With: "a", Within: 300}
	r = read(t, s, a, b)
	worst := 0.0
	for i, v := range column(t, r, "c") {
		if x := r.History.Time[i]; v == v {
			worst = math.Max(worst, math.Abs(v-273.15-0.9*shape(x)-3))
		}
	}
	if worst > 0.8 {
		t.Errorf("after aligning the clocks the columns differ by up to %g K", worst)
	}
	if x := find(t, r, "offset", ""); !strings.Contains(x.What, "correlation") {
		t.Errorf("listed as %+v", x)
	}
	s.Sources[1].Clock.Align.With = "b" // constant: nothing to align by
	if rec, found := tryRead(s, a, b); rec != nil || len(found) == 0 {
		t.Error("a constant column is taken to align by")
	}
}

func TestLoggersWithoutCommonTimeOrZoneAreRefused(t *testing.T) {
	file := func(start string) string {
		return "t,x\n" + start + ":00,1\n" + start + ":10,2\n" + start + ":20,3\n"
	}
	setup := func() *Setup {
		s := &Setup{Axis: -1}
		for i, n := range []string{"a", "b"} {
			s.Sources = append(s.Sources, Source{Name: n + ".csv", Layout: open, Channels: []Channel{channel(t, 2, "x"+fmt.Sprint(i), Other, "degC")}})
		}
		return s
	}
	rec, found := tryRead(setup(), file("2026-03-14 09:30"), file("2026-03-14 10:30"))
	if rec != nil || !strings.Contains(found[len(found)-1].Message, "no time in common") || !strings.Contains(found[len(found)-1].Fix, "1 h") {
		t.Errorf("no overlap: %+v", found)
	}
	zoned := strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(file("2026-03-14T09:30"), ",1", "Z,1"), ",2", "Z,2"), ",3", "Z,3")
	rec, found = tryRead(setup(), zoned, file("2026-03-14 10:30"))
	if rec != nil || !strings.Contains(found[0].Message, "without their time zone") || !strings.Contains(found[0].Fix, "zone: UTC") {
		t.Errorf("missing zone: %+v", found)
	}
	s := setup()
	s.Sources[1].Clock.Zone, _ = Zone("+01:00")
	rec, found = tryRead(s, zoned, file("2026-03-14 10:30"))
	if rec == nil {
		t.Fatalf("with its zone: %+v", found)
	}
	near(t, "the second logger's value", column(t, rec, "x1")[1], 275.15, 1e-9)
	rec, found = tryRead(setup(), file("2026-03-14 09:30"), "time [s],x [degC]\n0,1\n1,2\n2,3\n")
	if rec != nil || !strings.Contains(found[len(found)-1].Message, "from its own start") {
		t.Errorf("dates beside elapsed time: %+v", found)
	}
}
