package bench

import (
	"fmt"
	"math"
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
