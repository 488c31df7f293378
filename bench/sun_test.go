package bench

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"emberbank/duty"
	"emberbank/sun"
	"pgregory.net/rapid"
)

const degree = math.Pi / 180

// lit loads a run with a duty of the given lines, beside a station's file; want is a part of the message that is wanted in
// place of a run, or "".
func lit(t testing.TB, until, lines string, station []byte, want string) *Run {
	t.Helper()
	text := "schema: emberbank/1\nkind: run\nuntil: " + until + "\nreceiver:\n  block: {depth: 100 mm, width: 120 mm, height: 120 mm, medium: aluminium}\n  window: {}\nduty:\n" +
		"  " + strings.ReplaceAll(strings.TrimSpace(lines), "\n", "\n  ") + "\n"
	files := fstest.MapFS{"run.yaml": {Data: []byte(text)}}
	if station != nil {
		files["day.dat"] = &fstest.MapFile{Data: station}
	}
	run, ps := LoadRun(files, "run.yaml", Options{})
	switch {
	case want == "" && ps.Failed():
		t.Fatalf("%s\n%s", text, ps)
	case want != "" && !strings.Contains(ps.String(), want):
		t.Fatalf("nothing says %q:\n%s", want, ps)
	}
	return run
}

func TestDutyTakesSunAndStation(t *testing.T) {
	run := ability(t, "sun-and-station")
	d := &run.Problem.Duty
	near(t, "air from 04:00 to 04:10", d.Ambient.At(599), 14+zero)
	near(t, "wind from 05:00 to 06:00", d.Wind.At(3600), 3)
	near(t, "stowed at 04:00", d.Tilt.At(0), 90*degree)
	if x := d.Tilt.At(9.5*3600) / degree; math.Abs(x-65.9) > 0.3 {
		t.Errorf("at 13:30 the sun stands at %g°", x)
	}
	if x := d.Light.Power.At(9.5*3600) / 4; x < 800 || x > 950 {
		t.Errorf("a clear sky's beam of %g W/m² at noon", x)
	}
	same(t, "starts", run.Starts.Format(time.RFC3339), "2026-06-21T04:00:00+02:00")
}

// stationDay is a real day of one-minute weather, as its station wrote it. Source: trial/testdata/README.md.
func stationDay(t testing.TB) []byte {
	t.Helper()
	raw, err := os.ReadFile("../trial/testdata/station-day-2016-01-01.dat")
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

const stationPlace = `
starts: 2016-01-01 00:00 UTC
site: {latitude: 37.70 deg, longitude: -105.92 deg, elevation: 2317 m}
stations:
  hill: {file: day.dat, clock: {year: 1, month: 3, day: 4, hour: 5, minute: 6, zone: UTC}}
`

// minutes reads a column of the station's day by plain splitting.
func minutes(t *testing.T, column int) []float64 {
	t.Helper()
	var out []float64
	for i, l := range strings.Split(strings.TrimSpace(string(stationDay(t))), "\n") {
		if i < 2 {
			continue
		}
		x, err := strconv.ParseFloat(strings.Fields(l)[column-1], 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, x)
	}
	if len(out) != 1440 {
		t.Fatalf("%d minutes", len(out))
	}
	return out
}

func TestStationDayIsReadToTheMinuteWithItsEnergy(t *testing.T) {
	raw := minutes(t, 13)
	tr := sun.NewTrack(sun.Seconds(time.Date(2016, 1, 1, 0, 0, 0, 0, time.UTC)), sun.Seconds(time.Date(2016, 1, 2, 0, 0, 0, 0, time.UTC)),
		&sun.Site{Latitude: 37.70 * degree, Longitude: -105.92 * degree, Elevation: 2317})
	energy := 0.0
	for k, x := range raw { // by day as it stands, by night and below zero nothing
		p := tr.At(sun.Seconds(time.Date(2016, 1, 1, 0, k, 0, 0, time.UTC)))
		if raw[k] = max(x, 0); p.True < -1*degree {
			if x > 5 {
				t.Fatalf("%g W/m² at minute %d of the night", x, k)
			}
			raw[k] = 0
		}
		if k > 0 {
			energy += 60 * (raw[k] + raw[k-1]) / 2
		}
	}
	if energy < 25e6 || energy > 35e6 { // some 8 kWh/m² of a bright winter's day
		t.Fatalf("the day has %g J/m²", energy)
	}
	beam := "light: {area: 1 m2, beam: {station: hill, column: 13, unit: W/m2, quality: {column: 14}%s}}"
	run := lit(t, "1439 min", stationPlace+fmt.Sprintf(beam, ""), stationDay(t), "")
	s := &run.Problem.Duty.Light.Power
	for k, x := range raw {
		if got := s.At(60 * float64(k)); got != x {
			t.Fatalf("minute %d: %g, the file has %g", k, got, x)
		}
	}
	near(t, "energy", integral(s, 0, 1439*60), energy)
	if all := strings.Join(run.Warnings, "\n"); !strings.Contains(all, "up to 4.8 W/m2 while the sun is down: taken for its offset, and for zero") {
		t.Errorf("the offset by night is not told: %s", all)
	}
	for _, over := range []string{"2 min", "7 min", "1 h", "11 h"} {
		m := &lit(t, "1439 min", stationPlace+fmt.Sprintf(beam, ", mean over: "+over), stationDay(t), "").Problem.Duty.Light.Power
		if !m.Step || len(m.T) > 720 {
			t.Errorf("%d means over %s", len(m.T), over)
		}
		near(t, "energy of means over "+over, integral(m, 0, 1439*60), energy)
	}
	// Rows as means of the minute before: a minute earlier, and all that they hold.
	for rows, shift := range map[string]float64{"means before": -60, "means after": 0} {
		place := strings.Replace(stationPlace, "{file:", "{rows: "+rows+", file:", 1)
		m := &lit(t, "23 h", place+fmt.Sprintf(beam, ""), stationDay(t), "").Problem.Duty.Light.Power
		sum := 0.0
		for k, x := range raw {
			at := 60*float64(k) + shift
			sum += x * (min(max(at+60, 0), 82800) - min(max(at, 0), 82800))
		}
		if got := integral(m, 0, 82800); math.Abs(got-sum) > 1e-5*sum { // a row that reaches into the twilight keeps what it shows
			t.Errorf("energy of %s is %g, want %g", rows, got, sum)
		}
	}
}

func TestStationsColumnsAndWhatTheyLack(t *testing.T) {
	run := lit(t, "12 h", strings.Replace(stationPlace, "00:00 UTC", "06:30 -07:00", 1)+`
ambient: {station: hill, column: 39, unit: degC, quality: {column: 40}}
wind: {station: hill, column: 43, unit: m/s, mean over: 30 min}
`, append(bytes.Clone(stationDay(t)), bytes.ReplaceAll(stationDay(t), []byte(" 2016   1  1  1 "), []byte(" 2016   2  1  2 "))...), "")
	d := &run.Problem.Duty
	air := minutes(t, 39)
	near(t, "air at the start, 13:30 UTC", d.Ambient.At(0), air[13*60+30]+zero)
	near(t, "air at 23:59 UTC", d.Ambient.At(629*60), air[1439]+zero)
	near(t, "air at 01:30 UTC of the second file", d.Ambient.At(12*3600), air[90]+zero)
	if last := d.Wind.T[len(d.Wind.T)-1]; last != 11.5*3600 || !d.Wind.Step {
		t.Errorf("the last half hour of wind begins at %g s", last)
	}
	lit(t, "12 h", stationPlace+"ambient: {station: hill, column: 29, unit: degC}", stationDay(t), "no row of this column has a good value")
	lit(t, "12 h", stationPlace+"ambient: {station: hill, column: 390, unit: degC}", stationDay(t), "has 48 columns, none of number 390")
	lit(t, "12 h", stationPlace+"ambient: {station: hill, column: 39}", stationDay(t), "says its unit")
	long := lit(t, "3 d", stationPlace+"ambient: {station: hill, column: 39, unit: degC}", stationDay(t), "")
	if all := strings.Join(long.Warnings, "\n"); !strings.Contains(all, "after that the last value stays, until 2016-01-04 00:00 +00:00") {
		t.Errorf("nothing says that the record ends: %s", all)
	}
}

// Codes for missing and doubtful values leave gaps, which are joined by straight lines and told; long ones are told as such.
func TestGapsOfAStationAreJoinedAndTold(t *testing.T) {
	var file strings.Builder
	file.WriteString("time (UTC),air [degC],code\n")
	for k := range 100 {
		v, code := fmt.Sprint(10+0.1*float64(k)), 0
		switch {
		case k >= 20 && k < 25:
			v = "-9999.9"
		case k == 40:
			v, code = "77", 2
		case k >= 60 && k < 96:
			continue
		}
		fmt.Fprintf(&file, "2026-03-01 %02d:%02d,%s,%d\n", k/60, k%60, v, code)
	}
	for _, rows := range []string{"moments", "means after", "means before"} {
		run := lit(t, "90 min", `
starts: 2026-03-01 01:00 +01:00
stations: {roof: {file: day.dat, rows: `+rows+`}}
ambient: {station: roof, column: air, quality: {column: code}}`, []byte(file.String()), "")
		s := &run.Problem.Duty.Ambient
		want := 90*60*(10+zero) + 0.1/60*90*90*3600/2
		switch rows {
		case "means after": // each minute's mean stands at its beginning
			want -= 0.05 * 90 * 60
		case "means before":
			want += 0.05 * 90 * 60
		}
		near(t, "integral of "+rows, integral(s, 0, 5400), want)
		all := strings.Join(run.Warnings, "\n")
		for _, part := range []string{"3 stretches without a good value", "the longest of 37 min from 2026-03-01 01:59 +01:00 on", "1 longer than 30 min", "a guess"} {
			if !strings.Contains(all, part) {
				t.Errorf("nothing says %q: %s", part, all)
			}
		}
	}
}

// Local time with summer time: where it ends the clock goes back, which is a mistake; where it begins an hour is missing, which
// is told. A leap day is a day.
func TestSummerTimeInAStationsFile(t *testing.T) {
	file := func(day string, change func(minute int) int) []byte {
		out := "stamp,air [degC]\n"
		for k := 0; k < 360; k += 10 {
			m := change(k)
			out += fmt.Sprintf("%s %02d:%02d,9.5\n", day, m/60, m%60)
		}
		return []byte(out)
	}
	text := func(day, zone string) string {
		return "starts: " + day + " 00:30 " + zone + "\nstations: {roof: {file: day.dat, clock: {column: stamp, zone: \"" + zone + "\"}}}\nambient: {station: roof, column: air}"
	}
	lit(t, "3 h", text("2026-10-25", "+02:00"), file("2026-10-25", func(m int) int {
		if m >= 180 {
			return m - 60
		}
		return m
	}), "the clock goes back in line 20, as local time does where summer time ends")
	run := lit(t, "3 h", text("2026-03-29", "+01:00"), file("2026-03-29", func(m int) int {
		if m >= 120 {
			return m + 60
		}
		return m
	}), "")
	if all := strings.Join(run.Warnings, "\n"); !strings.Contains(all, "An hour that is missing may be summer time that begins") {
		t.Errorf("the missing hour is not told: %s", all)
	}
	lit(t, "3 h", text("2028-02-29", "UTC"), file("2028-02-29", func(m int) int { return m }), "")
	lit(t, "3 h", text("2027-02-29", "UTC"), file("2028-02-29", func(m int) int { return m }), "not a moment that the calendar has")
}

// The beam of a clear sky, laid on knots, has the integral of the curve within 0.1 %, on any day, anywhere, by any model.
func TestClearSkyOnKnotsHasItsIntegral(t *testing.T) {
	lit0 := 0
	rapid.Check(t, func(t *rapid.T) {
		latitude := rapid.Float64Range(-75, 75).Draw(t, "latitude")
		longitude := rapid.Float64Range(-180, 180).Draw(t, "longitude")
		height := rapid.Float64Range(0, 3000).Draw(t, "elevation")
		model := rapid.SampledFrom([]string{"ineichen-perez", "esra", "meinel"}).Draw(t, "model")
		turbidity := rapid.Float64Range(2, 6).Draw(t, "turbidity")
		starts := time.Date(2026, 1, 1, rapid.IntRange(0, 23).Draw(t, "hour"), 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(0, 364).Draw(t, "day"))
		days := rapid.IntRange(1, 3).Draw(t, "days")
		text := fmt.Sprintf("starts: %s UTC\nsite: {latitude: %g deg, longitude: %g deg, elevation: %g m}\nlight: {area: 2 m2, beam: {clear sky: %s, turbidity: %g}}\ntilt: {follows: sun}",
			starts.Format("2006-01-02 15:04"), latitude, longitude, height, model, turbidity)
		d := litDuty(t, fmt.Sprintf("%d d", days), text)
		site := &sun.Site{Latitude: latitude * degree, Longitude: longitude * degree, Elevation: height}
		sky := sun.ClearSky{Model: skyModels[model], Turbidity: turbidity}
		from, end := sun.Seconds(starts), float64(days)*86400
		tr := sun.NewTrack(from, from+end, site)
		const step = 15.0
		sum := 0.0
		for x := step / 2; x < end; x += step {
			p := tr.At(from + x)
			sum += step * 2 * sky.Beam(&p, site)
			if e, got := max(p.Elevation, 0), d.Tilt.At(x); math.Abs(got-e) > 0.3*degree {
				t.Fatalf("at %g s the tilt is %g°, the sun's elevation %g°", x, got/degree, e/degree)
			}
		}
		got := integral(&d.Light.Power, 0, end)
		if math.Abs(got-sum) > 1e-3*sum+2000 { // 2 kJ: a day on which the sun hardly clears the horizon
			t.Fatalf("%g J/m² on %d knots, the curve has %g", got, len(d.Light.Power.T), sum)
		}
		if n := len(d.Light.Power.T); n > 90*(days+1) {
			t.Fatalf("%d knots in %d days", n, days)
		}
		if sum > 1e6 {
			lit0++
		}
	})
	if lit0 == 0 {
		t.Error("it was always dark")
	}
}

// litDuty loads a duty of the given lines.
func litDuty(t *rapid.T, until, lines string) *duty.Duty {
	text := "schema: emberbank/1\nkind: run\nuntil: " + until + "\nreceiver:\n  block: {depth: 100 mm, width: 120 mm, height: 120 mm, medium: aluminium}\n  window: {}\nduty:\n  " +
		strings.ReplaceAll(lines, "\n", "\n  ") + "\n"
	run, ps := LoadRun(fstest.MapFS{"run.yaml": {Data: []byte(text)}}, "run.yaml", Options{})
	if ps.Failed() {
		t.Fatalf("%s\n%s", text, ps)
	}
	return &run.Problem.Duty
}

func TestDishFollowsTheSunAndIsStowedByNight(t *testing.T) {
	const place = "starts: 2026-06-21 00:00 +02:00\nsite: {latitude: 47.5 deg, longitude: 8.2 deg, elevation: 420 m}\n"
	d := &lit(t, "2 d", place+"tilt: {follows: sun}", nil, "").Problem.Duty
	near(t, "by night", d.Tilt.At(0), 0)
	near(t, "after sunset", d.Tilt.At(23*3600), 0)
	if x := d.Tilt.At(13.5*3600) / degree; math.Abs(x-65.9) > 0.3 { // 90° - 47.5° + 23.4°
		t.Errorf("at noon %g°", x)
	}
	s := &lit(t, "2 d", place+"tilt: {follows: sun, by night: 80 deg}", nil, "").Problem.Duty.Tilt
	near(t, "stowed", s.At(0), 80*degree)
	near(t, "stowed again", s.At(24*3600), 80*degree)
	rise := 0.0
	for i := 1; i < len(s.T); i++ {
		if s.T[i] == s.T[i-1] && rise == 0 {
			rise = s.T[i]
		}
	}
	if math.Abs(rise-5.6*3600) > 900 || s.At(rise) > 1*degree {
		t.Errorf("it leaves its stow at %g h for %g°", rise/3600, s.At(rise)/degree)
	}
	// A steady state takes the sun where it stands at the start.
	noon := "starts: 2026-06-21 13:30 +02:00\nsite: {latitude: 47.5 deg, longitude: 8.2 deg, elevation: 420 m}\ntilt: {follows: sun}\nlight: {area: 1 m2, beam: {clear sky: esra}}"
	d = &lit(t, "steady", noon, nil, "").Problem.Duty
	if x, y := d.Tilt.At(0)/degree, d.Light.Power.At(0); math.Abs(x-65.9) > 0.3 || y < 800 || y > 1000 {
		t.Errorf("steady: %g° and %g W", x, y)
	}
}

// A beam while the sun is down is a mistake, but a row of means that spans the sunrise is none.
func TestBeamByNightIsAMistake(t *testing.T) {
	const place = "starts: 2026-06-21 00:00 +02:00\nsite: {latitude: 47.5 deg, longitude: 8.2 deg}\n"
	for beam, told := range map[string]bool{
		"850 W/m2": true,
		"9 W/m2":   false,
		"{table: [[0 h, 0 W/m2], [5 h, 0 W/m2], [13 h, 900 W/m2], [22 h, 0 W/m2]]}":                    false,
		"{table: [[0 h, 0 W/m2], [3 h, 60 W/m2], [13 h, 900 W/m2], [22 h, 0 W/m2]]}":                   true,
		"{steps: [[0 h, 0 W/m2], [5 h, 120 W/m2], [6 h, 500 W/m2], [21 h, 100 W/m2], [22 h, 0 W/m2]]}": false,
		"{steps: [[0 h, 0 W/m2], [3 h, 120 W/m2], [4 h, 0 W/m2], [6 h, 700 W/m2], [21 h, 0 W/m2]]}":    true,
		"{every: 1 d, steps: [[0 h, 0 W/m2], [6 h, 700 W/m2], [20 h, 0 W/m2]]}":                        false,
		"{every: 1 d, table: [[0 h, 0 W/m2], [6 h, 0 W/m2], [13 h, 900 W/m2], [20 h, 0 W/m2]]}":        false,
		"{every: 12 h, table: [[0 h, 100 W/m2], [6 h, 700 W/m2], [12 h, 100 W/m2]]}":                   true,
		"{clear sky: meinel}": false,
	} {
		text := place + "light: {area: 4 m2, beam: " + beam + "}"
		want := ""
		if told {
			want = "while the sun is below the horizon"
		}
		lit(t, "2 d", text, nil, want)
	}
	lit(t, "2 d", "light: {area: 4 m2, beam: 850 W/m2}", nil, "") // where the sun is not known nothing is held against it
}

// A factor on the beam weakens the beam, not its turbidity.
func TestFactorOnAClearSkyIsOnTheBeam(t *testing.T) {
	text := "schema: emberbank/1\nkind: run\nuntil: 1 d\nreceiver:\n  block: {depth: 100 mm, width: 120 mm, height: 120 mm, medium: aluminium}\n  window: {}\nduty:\n" +
		"  starts: 2026-06-21 00:00 +02:00\n  site: {latitude: 47.5 deg, longitude: 8.2 deg}\n  light: {area: 2 m2, beam: {clear sky: esra, turbidity: 4}}\n"
	load := func(opt Options) float64 {
		run, ps := LoadRun(fstest.MapFS{"run.yaml": {Data: []byte(text)}}, "run.yaml", opt)
		if ps.Failed() {
			t.Fatal(ps)
		}
		return integral(&run.Problem.Duty.Light.Power, 0, 86400)
	}
	whole := load(Options{})
	if half := load(Options{Factor: map[string]float64{"duty.light.beam": 0.5}}); math.Abs(half/whole-0.5) > 1e-9 {
		t.Errorf("half the beam gives %g of the heat", half/whole)
	}
	if clear := load(Options{Override: map[string]float64{"duty.light.beam.turbidity": 2}}); clear < 1.2*whole {
		t.Errorf("a clearer sky gives %g of the heat", clear/whole)
	}
}

// FuzzStation reads any bytes as a station's file: a duty with finite, rising knots, or mistakes.
func FuzzStation(f *testing.F) {
	f.Add(stationDay(f)[:6000], byte(0))
	f.Add([]byte("time (UTC),beam\n2016-01-01 00:00,5\n2016-01-01 12:00,1e308\n2016-01-02 00:00,-7999\n"), byte(1))
	f.Add([]byte("stamp;beam\n01.01.2016 00:00;5\n01.01.2016 12:00;NaN\n"), byte(2))
	f.Fuzz(func(t *testing.T, raw []byte, how byte) {
		clock := []string{", clock: {year: 1, month: 3, day: 4, hour: 5, minute: 6, zone: UTC}", ", clock: {column: 1, zone: \"-07:00\"}", ""}[how%3]
		rows := []string{"", ", rows: means before", ", rows: means after"}[how/3%3]
		over := []string{"", ", mean over: 7 min"}[how/9%2]
		text := "schema: emberbank/1\nkind: run\nuntil: 1 d\nreceiver:\n  block: {depth: 100 mm, width: 120 mm, height: 120 mm, medium: aluminium}\n  window: {}\nduty:\n" +
			"  starts: 2016-01-01 00:00 UTC\n  site: {latitude: 37.7 deg, longitude: -105.92 deg}\n  stations: {hill: {file: day.dat" + clock + rows + "}}\n" +
			"  light: {area: 1 m2, beam: {station: hill, column: 2, unit: W/m2" + over + "}}\n"
		run, ps := LoadRun(fstest.MapFS{"run.yaml": {Data: []byte(text)}, "day.dat": {Data: raw}}, "run.yaml", Options{})
		if run == nil {
			if !ps.Failed() {
				t.Fatal("neither a run nor a mistake")
			}
			return
		}
		s := &run.Problem.Duty.Light.Power
		for i := range s.T {
			if !(s.V[i] >= 0 && s.V[i] <= 2000) || s.T[i] < 0 || s.T[i] > 86400 || i > 0 && s.T[i] < s.T[i-1] {
				t.Fatalf("knot %d is %g at %g s", i, s.V[i], s.T[i])
			}
		}
	})
}
