package bench

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/history"
	"emberbank/trial"
)

// measured returns a trial of one logger, with the given description after the first two lines.
func measured(description, logger string) fstest.MapFS {
	return fstest.MapFS{"trial.yaml": {Data: []byte("schema: emberbank/1\nkind: trial\n" + description)}, "logger.csv": {Data: []byte(logger)}}
}

func mustTrial(t *testing.T, fsys fstest.MapFS) *Trial {
	t.Helper()
	tr, ps := LoadTrial(fsys, "trial.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	return tr
}

func TestTrialTakesUnitsUncertaintiesAndPlaces(t *testing.T) {
	tr := mustTrial(t, measured(`
zone: "+01:00"
loggers:
  - file: logger.csv
    accuracy: 0.9799819922700269 K
    channels:
      - {column: T1, place: core, couple: K, class: 1, lag: 2 s}
      - {column: Zulauf, place: circuit main inlet, unit: degC, pair: water, uncertainty: 1.959963984540054 K, pair difference: 0.1 K}
      - {column: Ablauf, place: circuit main outlet, unit: degC, pair: water, uncertainty: 1.959963984540054 K, pair difference: 0.1 K}
      - {column: Durchfluss, place: circuit main flow, unit: l/min, uncertainty: [2 %, 0.1 l/min]}
      - {column: P, place: rest, quantity: power, unit: W, signal: {unit: mA, points: [[4, 0], [20, 400]]}}
`, `Datum;T1 [°C];Zulauf [°C];Ablauf [°C];Durchfluss [l/min];P [mA]
14.03.2026 09:30:00;300,5;15,0;40,0;6,0;12
14.03.2026 09:30:10;300,0;15,1;39,0;6,1;20
14.03.2026 09:30:20;299,5;15,0;38,5;6,0;2
`))
	r := tr.Record
	col := func(name string) *history.Column {
		t.Helper()
		c := r.History.Column(name)
		if c == nil {
			t.Fatalf("no column %q", name)
		}
		return c
	}
	near(t, "core", col("core").Values[0], 300.5+zero)
	near(t, "time", r.History.Time[2], 20)
	same(t, "start", r.Start.UTC().Format("2006-01-02 15:04:05"), "2026-03-14 08:30:00")
	if v := col("circuit main flow").Values[0]; math.Abs(v-1e-4*999.5) > 1e-5 {
		t.Errorf("6 l/min of water at 15 degC are %g kg/s", v)
	}
	near(t, "power", col("rest").Values[0], 200)
	if v := col("rest").Values[2]; v == v {
		t.Errorf("2 mA on a loop of 4 to 20 mA gives %g W", v)
	}
	in, out := &r.Columns[r.Index("circuit main inlet")], &r.Columns[r.Index("circuit main outlet")]
	same(t, "role", in.Role, trial.Inlet)
	// 1 K of the pair and 0.5 K of the logger are shared; 0.1 K on the difference is 0.0361 K of each.
	near(t, "covariance of the pair", trial.Covariance(in, out, 288, 313), 1+0.25)
	u := math.Sqrt(trial.Covariance(in, in, 288, 288) + trial.Covariance(out, out, 313, 313) - 2*trial.Covariance(in, out, 288, 313))
	near(t, "standard uncertainty of the difference", u, 0.1/half95)
	core := &r.Columns[r.Index("core")]
	same(t, "sensor", core.Sensor, "thermocouple K, class 1")
	near(t, "class 1 at 400 degC", core.Parts[0].At(400+zero), 1.6/math.Sqrt(3)) // IEC 60584-1: 0.004 · 400 K
	same(t, "files read", len(tr.Inputs), 2)
}

func TestTrialsMistakesComeAtOnceWithTheirPlace(t *testing.T) {
	_, ps := LoadTrial(measured(`loggers:
  - file: logger.csv
    channels:
      - {column: T1, place: core, unit: l/min}
      - {column: T2, place: circuit main outlet, unit: kW}
      - {column: T3, place: core, unit: degC}
      - {column: F, place: circuit main flow, unit: l/min, uncertainty: 2 K}
      - {column: G, place: ambient, class: 2}
      - {column: H, place: circuit main speed}
    clock: {zone: CET}
phases:
  - {kind: drain, from: 2 h, to: 1 h}
`, "time [s],T1\n1,2\n2,3\n"), "trial.yaml", Options{})
	text := ps.String()
	for _, want := range []string{
		`trial.yaml:7:56: loggers[1].channels[2].unit is "kW": it is a unit of power`,
		`place is "core": line 6 has this place already`,
		`uncertainty is "2 K": it does not fit`,
		`class is "2": a class belongs`,
		`place is "circuit main speed": what of the circuit`,
		`zone is "CET": not a zone`,
		`phases[1].to is "1 h": it is not after from`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not told:\n%s", want, text)
		}
	}
}

func TestTrialOfTheBakeryReceiverRefusesSensorsOutsideIt(t *testing.T) {
	fsys := everyFile(t, WriteScenario())
	fsys["logger.csv"] = &fstest.MapFile{Data: []byte("time [s],T1 [degC],T2 [degC],out [degC]\n0,20,20,20\n1,20,20,20\n2,20,20,20\n")}
	fsys["trial.yaml"] = &fstest.MapFile{Data: []byte(`schema: emberbank/1
kind: trial
receiver: receiver.yaml
loggers:
  - file: logger.csv
    channels:
      - {column: T1, place: core, position: {depth: 100 mm, width: 150 mm, height: 170 mm}}
      - {column: T2, place: edge, position: {depth: 900 mm, width: 150 mm, height: 170 mm}}
      - {column: out, place: circuit nearr outlet}
`)}
	_, ps := LoadTrial(fsys, "trial.yaml", Options{})
	text := ps.String()
	for _, want := range []string{"it lies outside the body", `no circuit called "nearr"`, `did you mean "circuit near outlet"`} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not told:\n%s", want, text)
		}
	}
	if n := strings.Count(text, "error:"); n != 2 {
		t.Errorf("%d mistakes are told, want 2:\n%s", n, text)
	}
}

// TestDraftsAreReadAgain drafts descriptions of the real files and the made-up one, and reads them: what is written is
// understood, even where it is a guess.
func TestDraftsAreReadAgain(t *testing.T) {
	for _, name := range []string{"../trial/testdata/station-day-2016-01-01.dat", "../trial/testdata/two-heater-bench.csv", "../examples/bakery-trial/logger.csv"} {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		g, found := trial.Look(strings.NewReader(string(raw)), "logger.csv")
		if g == nil {
			t.Fatalf("%s: %+v", name, found)
		}
		fsys := fstest.MapFS{"logger.csv": {Data: raw}}
		text, refused := DraftTrial(fsys, "trial.yaml", "made up: \"a\"", []Drafted{{"logger.csv", g}})
		if refused != nil {
			t.Fatalf("%s:\n%s", name, refused)
		}
		fsys["trial.yaml"] = &fstest.MapFile{Data: []byte(text)}
		tr, ps := LoadTrial(fsys, "trial.yaml", Options{})
		if ps.Failed() {
			t.Errorf("%s:\n%s\n%s", name, ps, text)
			continue
		}
		same(t, "name", tr.Name, `made up: "a"`)
		same(t, "rows", len(tr.Record.History.Time), g.Rows)
		n := 0
		for _, c := range g.Columns {
			if c.Place != "" {
				n++
			}
		}
		same(t, "columns", len(tr.Record.Columns), n)
	}
}

func TestSuspicionIsToldWithItsPlaceAndCanBeOverruled(t *testing.T) {
	logger := "time [s],hot [degC],a [degC],b [degC],f [l/min]\n"
	for i := range 60 {
		logger += strings.Join([]string{itoa(10 * i), itoa(300 - i), "40", "15", "6"}, ",") + "\n"
	}
	text := `loggers:
  - file: logger.csv
    channels:
      - {column: hot, place: core}
      - {column: a, place: circuit main inlet}
      - {column: b, place: circuit main outlet}
      - {column: f, place: circuit main flow}
`
	_, ps := LoadTrial(measured(text, logger), "trial.yaml", Options{})
	if len(ps) != 1 || !ps.Failed() || ps[0].Place() != "trial.yaml:8:9" || !strings.Contains(ps[0].Message, "may be exchanged") || !strings.Contains(ps[0].Fix, "trust mapping: yes") {
		t.Errorf("swapped inlet and outlet:\n%s", ps)
	}
	tr, ps := LoadTrial(measured("trust mapping: yes\n"+text, logger), "trial.yaml", Options{})
	if ps.Failed() || len(tr.Warnings) != 1 || !strings.Contains(tr.Warnings[0], "may be exchanged") {
		t.Errorf("overruled: %v, %+v", ps, tr)
	}
}

func itoa(i int) string { return strconv.Itoa(i) }

func TestFilesOfOneLoggerFollowEachOther(t *testing.T) {
	fsys := measured(`zone: UTC
loggers:
  - file: [a.csv, b.csv]
    channels: [{column: x, place: core, unit: degC}]
`, "")
	fsys["a.csv"] = &fstest.MapFile{Data: []byte("t,x\n2026-03-14 23:59:40,1\n2026-03-14 23:59:50,2\n")}
	fsys["b.csv"] = &fstest.MapFile{Data: []byte("t,x\n2026-03-15 00:00:00,3\n2026-03-15 00:00:10,OL\n2026-03-15 00:00:20,5\n")}
	tr := mustTrial(t, fsys)
	same(t, "times", tr.Record.History.Time, []float64{0, 10, 20, 30, 40})
	near(t, "first of the second file", tr.Record.History.Column("core").Values[2], 3+zero)
	same(t, "repairs", len(tr.Record.Repairs), 1)
	same(t, "files read", len(tr.Inputs), 3)

	fsys["a.csv"] = &fstest.MapFile{Data: []byte("time [s],x\n0,1\n10,2\n")}
	fsys["b.csv"] = &fstest.MapFile{Data: []byte("time [s],x\n0,1\n10,2\n")}
	if _, ps := LoadTrial(fsys, "trial.yaml", Options{}); !strings.Contains(ps.String(), "begins anew") {
		t.Errorf("two files that count from their own start:\n%s", ps)
	}
}

func TestRecordIsCutAndPhasesLieWithinIt(t *testing.T) {
	logger := "time [s],x [degC]\n"
	for i := range 100 {
		logger += itoa(10*i) + "," + itoa(20+i) + "\n"
	}
	head := "loggers:\n  - file: logger.csv\n    channels: [{column: x, place: core}]\n"
	tr := mustTrial(t, measured("from: 100 s\nto: 300 s\nphases: [{kind: drain, from: 0 s, to: 200 s}]\n"+head, logger))
	same(t, "rows", len(tr.Record.History.Time), 21)
	near(t, "first", tr.Record.History.Columns[0].Values[0], 30+zero)
	same(t, "phase", tr.Record.Phases[0], trial.Phase{Name: "drain", Kind: "drain", From: 0, To: 200})
	for text, says := range map[string]string{
		"phases: [{kind: drain, from: 0 s, to: 2000 s}]\n": "the record ends before",
		"from: 5000 s\n": "from 83.3 min to the end there are 0 rows",
	} {
		if _, ps := LoadTrial(measured(text+head, logger), "trial.yaml", Options{}); !strings.Contains(ps.String(), says) {
			t.Errorf("%q is not told:\n%s", says, ps)
		}
	}
}

// FuzzTrialsGiveProblemsOrValues feeds any text as a trial's description, beside a logger's file.
func FuzzTrialsGiveProblemsOrValues(f *testing.F) {
	seeds(f, "../examples/bakery-trial/*.yaml")
	f.Add([]byte("schema: emberbank/1\nkind: trial\nloggers:\n  - file: logger.csv\n    clock: {year: 1, day of year: 2, hour-minute: 3}\n    separator: fixed\n" +
		"    channels: [{column: 2, place: circuit main flow, unit: mA, signal: {points: [[4, 0], [20, 1]]}, calibration: {name: a, uncertainty: 1 K}, pair: a, pair difference: 2 %}]\n"))
	logger, err := os.ReadFile("../examples/bakery-trial/logger.csv")
	if err != nil {
		f.Fatal(err)
	}
	logger = logger[:4000]
	f.Fuzz(func(t *testing.T, data []byte) {
		fsys := fstest.MapFS{"file.yaml": {Data: data}, "logger.csv": {Data: logger}}
		ps := Check(fsys, "file.yaml")
		tr, failed := LoadTrial(fsys, "file.yaml", Options{})
		if (tr == nil) != failed.Failed() {
			t.Fatalf("a trial and mistakes at once, or neither: %v", failed)
		}
		for _, p := range append(ps, failed...) {
			if p.Message == "" || p.File == "" || strings.ContainsAny(p.Message, "\n\r") {
				t.Fatalf("a mistake without words or place: %+v", p)
			}
		}
		if tr == nil {
			return
		}
		for _, c := range tr.Record.Columns {
			if u := c.Systematic(400); math.IsNaN(u) || u < 0 || c.Noise < 0 {
				t.Fatalf("column %+v has the uncertainty %g", c, u)
			}
		}
	})
}
