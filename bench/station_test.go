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

	"emberbank/sun"
)

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
