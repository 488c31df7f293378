package web

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// bakery lays the made-up trial of the examples into a served bench.
func bakery(t *testing.T) (folder string, ask func(method, path string, query url.Values, body string) (int, string)) {
	t.Helper()
	folder, ask = opened(t)
	for _, name := range []string{"trial.yaml", "logger.csv", "lamp-day.yaml"} {
		raw, err := os.ReadFile(filepath.Join("../examples/bakery-trial", name))
		if err == nil {
			err = os.WriteFile(filepath.Join(folder, name), raw, 0o666)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	raw, err := os.ReadFile("../examples/bakery-trial/receiver.yaml")
	if err == nil {
		err = os.WriteFile(filepath.Join(folder, "block.yaml"), raw, 0o666)
	}
	if err != nil {
		t.Fatal(err)
	}
	edit(t, filepath.Join(folder, "lamp-day.yaml"), "receiver: receiver.yaml", "receiver: block.yaml")
	return folder, ask
}

func edit(t *testing.T, file, from, to string) {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil || !strings.Contains(string(raw), from) {
		t.Fatalf("%s does not hold %q: %v", file, from, err)
	}
	if err := os.WriteFile(file, []byte(strings.Replace(string(raw), from, to, 1)), 0o666); err != nil {
		t.Fatal(err)
	}
}

// answered decodes an answer of status 200.
func answered[T any](t *testing.T, code int, raw string) (out T) {
	t.Helper()
	if err := json.Unmarshal([]byte(raw), &out); code/100 != 2 || err != nil {
		t.Fatalf("%d %v: %.600s", code, err, raw)
	}
	return out
}

type heatDocument struct {
	Phases []struct {
		Kind string  `json:"kind"`
		From float64 `json:"from_s"`
		To   float64 `json:"to_s"`
		Hand bool    `json:"by_hand"`
		Into *struct {
			Value float64 `json:"value"`
			Half  float64 `json:"half_width_95"`
		} `json:"heat_to_the_water"`
	} `json:"phases"`
}

func TestATrialTellsItsPhasesAndWhatWasMended(t *testing.T) {
	_, ask := bakery(t)
	if code, raw := ask("GET", "kinds", nil, ""); code != 200 || !strings.Contains(raw, `{"name":"trial.yaml","kind":"trial"}`) || !strings.Contains(raw, `{"name":"match.yaml","kind":"match"}`) {
		t.Errorf("%d %s", code, raw)
	}
	code, raw := ask("GET", "trial", of("trial.yaml"), "")
	r := answered[trialBody](t, code, raw)
	var h heatDocument
	if err := json.Unmarshal(r.Heat, &h); err != nil || len(h.Phases) != 4 || h.Phases[2].Kind != "drain" {
		t.Fatalf("%v: the heat is %.300s", err, r.Heat)
	}
	// The drain's heat as the balance's own tests have it.
	if w := h.Phases[2].Into; w == nil || w.Value < 13.1e6 || w.Value > 13.4e6 || w.Half < 0.15e6 || w.Half > 0.27e6 {
		t.Errorf("to the water went %+v", w)
	}
	if len(r.Record.Repairs) != 2 || r.Record.Repairs[0].Line != 983 || len(r.Budgets) != 4 || len(r.Budgets[2]) == 0 || r.Budgets[2][0].Rows[0].Share < 0.5 {
		t.Errorf("repairs %+v, budgets %+v", r.Record.Repairs, r.Budgets)
	}
	if len(r.Flows) != 1 || len(r.Flows[0].Time) < 100 || len(r.Flows[0].Half) != len(r.Flows[0].Time) {
		t.Errorf("the heat flow to the water is %+v", r.Flows)
	}
}

func TestAMappingShowsMistakesBesideTheirColumn(t *testing.T) {
	folder, ask := bakery(t)
	column := func(number int) columnMapping {
		t.Helper()
		code, raw := ask("GET", "trial/mapping", of("trial.yaml"), "")
		for _, c := range answered[mappingBody](t, code, raw).Loggers[0].Columns {
			if c.Number == number {
				return c
			}
		}
		t.Fatalf("there is no column %d in %s", number, raw)
		return columnMapping{}
	}
	c := column(5)
	if c.Heading != "T in [°C]" || c.Guess.Place != "circuit main inlet" || c.Guess.Sure != "sure" || len(c.Channels) != 1 || c.Channels[0].As != "inlet of main" || len(c.Values) < 50 {
		t.Errorf("the inlet's column is %+v", c)
	}
	edit(t, filepath.Join(folder, "trial.yaml"), "place: circuit main inlet", "place: circuit main inlett")
	if c = column(5); len(c.Wrong) == 0 || !strings.Contains(c.Wrong[0].Message, "what of the circuit is measured is not known") || c.Channels[0].As != "" {
		t.Errorf("with a mistake it is %+v", c)
	}
	// Two waters exchanged: physics speaks against it, at the channel.
	edit(t, filepath.Join(folder, "trial.yaml"), "place: circuit main inlett", "place: circuit main outlet")
	edit(t, filepath.Join(folder, "trial.yaml"), "{column: T out, place: circuit main outlet", "{column: T out, place: circuit main inlet")
	if a, b := column(5), column(6); len(a.Wrong)+len(b.Wrong) == 0 {
		t.Errorf("nothing speaks against water that cools while it takes heat: %+v", a.Wrong)
	}
}

func TestALoggersFileIsTakenAsItIsAndDescribed(t *testing.T) {
	folder, ask := opened(t)
	raw, err := os.ReadFile("../examples/bakery-trial/logger.csv")
	if err != nil {
		t.Fatal(err)
	}
	var files []string
	for range 2 {
		code, said := ask("POST", "logger", of(`C:\rig\..\Run 3 (lamp).CSV`), string(raw))
		files = append(files, answered[loggerBody](t, code, said).File)
	}
	if files[0] != "trials/Run-3--lamp.csv" || files[1] != "trials/Run-3--lamp-2.csv" {
		t.Errorf("they lie in %q", files)
	}
	if kept, err := os.ReadFile(filepath.Join(folder, files[0])); err != nil || string(kept) != string(raw) {
		t.Errorf("what was taken is not what was given: %v", err)
	}
	code, said := ask("POST", "trial/draft", nil, `{"files":["trials/Run-3--lamp.csv"]}`)
	d := answered[draftBody](t, code, said)
	text, err := os.ReadFile(filepath.Join(folder, "trials", "Run-3--lamp.yaml"))
	if d.Trial != "trials/Run-3--lamp.yaml" || err != nil || !strings.Contains(string(text), "place: circuit main inlet") {
		t.Errorf("the description: %+v %v\n%s", d, err, text)
	}
	code, said = ask("GET", "trial", of(d.Trial), "")
	if r := answered[trialBody](t, code, said); r.Record == nil || r.Record.Rows != 1021 {
		t.Errorf("the trial is %.300s", said)
	}
}

func TestWhatIsNoLoggersFileIsNotTaken(t *testing.T) {
	folder, ask := opened(t)
	for name, want := range map[string]int{
		"run.exe": 422, "receiver.yaml": 422, "../../x": 422, "empty.csv": 422, "": 422,
	} {
		body := "1,2\n"
		if name == "empty.csv" {
			body = ""
		}
		if code, raw := ask("POST", "logger", of(name), body); code != want {
			t.Errorf("%q: %d %s", name, code, raw)
		}
	}
	if entries, _ := os.ReadDir(filepath.Join(folder, "trials")); len(entries) != 0 {
		t.Errorf("there is %v", entries)
	}
	for name, want := range map[string]string{"../../etc/x.csv": "x.csv", "...csv": "logger.csv", "nul.csv": "nul-file.csv", "a b/ü\x00ber.dat": "ü-ber.dat"} {
		if clean, err := loggerName(name); err != nil || clean != want {
			t.Errorf("%q becomes %q, %v", name, clean, err)
		}
	}
	for _, files := range []string{`["../x.csv"]`, `["receiver.yaml"]`, `["results/a.csv"]`, `[".hidden.csv"]`, `["measured-1.csv","trials/b.csv"]`, `[]`} {
		if code, raw := ask("POST", "trial/draft", nil, `{"files":`+files+`}`); code/100 != 4 {
			t.Errorf("%s: %d %s", files, code, raw)
		}
	}
	if err := os.WriteFile(filepath.Join(folder, "junk.csv"), []byte("\x00\x01\x02PK\x03\x04"), 0o666); err != nil {
		t.Fatal(err)
	}
	code, raw := ask("POST", "trial/draft", nil, `{"files":["junk.csv"]}`)
	if d := answered[draftBody](t, code, raw); d.Trial != "" || len(d.Problems) != 1 || !strings.Contains(d.Problems[0].Message, "cannot be read as a logger's file") {
		t.Errorf("junk: %+v", d)
	}
	for _, name := range []string{"../x.yaml", "results/x.yaml", ".x.yaml", "measured-1.csv"} {
		for _, at := range []string{"trial", "trial/mapping"} {
			if code, raw := ask("GET", at, of(name), ""); code/100 != 4 {
				t.Errorf("%s of %s: %d %s", at, name, code, raw)
			}
		}
	}
}
