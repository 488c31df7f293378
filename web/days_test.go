package web

import (
	"encoding/json"
	"math"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/duty"
	"emberbank/shelf"
)

// smallDays serves a copy of a small bench with a day and a season.
func smallDays(t *testing.T) (folder string, ask func(method, path string, query url.Values, body string) (int, string)) {
	t.Helper()
	return openedOf(t, "small-days", Options{Version: "under test"})
}

// askedFor reads what a path answers.
func askedFor[T any](t *testing.T, ask func(string, string, url.Values, string) (int, string), path string, query url.Values) (out T) {
	t.Helper()
	code, raw := ask("GET", path, query, "")
	if err := json.Unmarshal([]byte(raw), &out); code != 200 || err != nil {
		t.Fatalf("%s: %d %v %.300s", path, code, err, raw)
	}
	return out
}

func TestRunsWithALoadAndSeasonsAreListed(t *testing.T) {
	folder, ask := smallDays(t)
	all := askedFor[daysBody](t, ask, "days", nil)
	if len(all.Runs) != 1 || all.Runs[0] != (dayOf{"day.yaml", "a bright day", "heat", 86400}) {
		t.Errorf("runs with a load are %+v", all.Runs) // the night wants nothing, and the season's run is computed by the season
	}
	if len(all.Seasons) != 1 || all.Seasons[0] != (seasonOf{"season.yaml", "ten days", "season-run.yaml"}) {
		t.Errorf("seasons are %+v", all.Seasons)
	}
	if err := os.WriteFile(filepath.Join(folder, "other.yaml"), []byte("schema: emberbank/1\nkind: season\nrun: 3\nname: [\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	if all := askedFor[daysBody](t, ask, "days", nil); len(all.Runs) != 1 || len(all.Seasons) > 2 {
		t.Errorf("with a broken file they are %+v", all)
	}
}

func TestADayIsToldByTheNumbersOfItsReport(t *testing.T) {
	_, ask := smallDays(t)
	first := askedFor[dayBody](t, ask, "day", of("day.yaml"))
	hasEverySign(t, settled(t, ask, "day.yaml"), "low", "right", "front")
	got := askedFor[dayBody](t, ask, "day", of("day.yaml"))
	if got.Of != "heat" || got.Unit != "W" || got.Clock != 0 || got.Starts != "2026-05-14T00:00:00+02:00" || strings.Join(got.Circuits, " ") != "low high" || got.Answer == 0 {
		t.Errorf("it is %+v", got)
	}
	if first.Answer > got.Answer {
		t.Errorf("the first was %+v", first)
	}
	if !strings.HasPrefix(got.Sentence, "Of 0.5\u00a0kWh wanted 0.") || !strings.Contains(got.Sentence, "short from 1") || got.Met == nil || !(*got.Met > 0.2 && *got.Met < 1) || got.Serves == nil || math.Abs(*got.Serves-60) > 1e-9 {
		t.Errorf("it says %q, met %v, serves %v", got.Sentence, got.Met, got.Serves)
	}
	if got.Colours != [2]float64{0, 300} {
		t.Errorf("colours run over %v", got.Colours)
	}
	told := ""
	for _, a := range got.Amounts {
		told += a.Name + ": " + a.Text + "\n"
	}
	for _, want := range []string{"wanted: 500\u00a0Wh", "hours held: ", "circuits open: none for", "efficiency, first law: "} {
		if !strings.Contains(strings.ReplaceAll(told, "\u2009", " "), want) {
			t.Errorf("%q is not among\n%s", want, told)
		}
	}
	if w := got.Wanted; w.Time[0] != 0 || w.Time[len(w.Time)-1] != 86400 || len(w.Time) != 10 {
		t.Errorf("wanted is %+v", w)
	}
	settled(t, ask, "dark.yaml")
	if dark := askedFor[dayBody](t, ask, "day", of("dark.yaml")); dark.Of != "nothing" || dark.Clock != -1 || len(dark.Wanted.Time) != 0 || dark.Met != nil {
		t.Errorf("a run without a load is %+v", dark)
	}
}

// Jumps are kept, and what lies between two knots is theirs.
func TestWhatIsWantedIsWrittenOutOverTheWholeTime(t *testing.T) {
	s := duty.Signal{T: []float64{0, 10, 20}, V: []float64{0, 5, 1}, Step: true, Every: 40}
	c := overTime(&s, 100)
	for i := 1; i < len(c.Time); i++ {
		if c.Time[i] < c.Time[i-1] {
			t.Fatalf("times fall: %v", c.Time)
		}
	}
	sum := 0.0
	for i := 1; i < len(c.Time); i++ {
		sum += 0.5 * (c.Values[i] + c.Values[i-1]) * (c.Time[i] - c.Time[i-1])
	}
	if want := 2*(10*5+20*1) + 10*5.0; sum != want { // two whole rounds, and half of a third
		t.Errorf("%v holds %g, want %g", c, sum, want)
	}
	if c := overTime(&duty.Signal{}, 100); len(c.Time) != 0 {
		t.Errorf("nothing is %v", c)
	}
}

func TestOpenCircuitsGiveMoreTheMoreAndTheHotter(t *testing.T) {
	folder, ask := smallDays(t)
	settled(t, ask, "day.yaml")
	got := askedFor[circuitsBody](t, ask, "day/circuits", of("day.yaml"))
	if got.Of != "heat" || got.Wanted != 200 || len(got.Even) != 6 || got.Held != nil || math.Abs(got.Even[0].Block-got.Hottest) > 1e-9 || math.Abs(got.Serves-60) > 1e-9 {
		t.Fatalf("it is %+v", got)
	}
	for i, e := range got.Even {
		if len(e.Most) != 2 || !(e.Most[1] > e.Most[0] && e.Least[0] <= e.Most[0]) || i > 0 && !(e.Most[0] < got.Even[i-1].Most[0]) {
			t.Errorf("at %g °C they give %v to %v", e.Block, e.Least, e.Most)
		}
	}
	if err := os.MkdirAll(filepath.Join(folder, "results/day"), 0o777); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"summary.json":  `{"circuits_open": {"of": "heat", "full_degC": 280, "asked_W": 200, "held_s": [1200, 1500]}}`,
		"manifest.json": `{"schema": "emberbank/1", "inputs": [{"name": "day.yaml", "sha256": "of another day"}], "files": [{"name": "summary.json"}]}`,
	} {
		if err := os.WriteFile(filepath.Join(folder, "results/day", name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	got = askedFor[circuitsBody](t, ask, "day/circuits", of("day.yaml"))
	if h := got.Held; h == nil || len(h.Seconds) != 2 || *h.Seconds[1] != 1500 || h.Asked != 200 || strings.Join(h.Changed, " ") != "day.yaml" {
		t.Errorf("kept results give %+v", got.Held)
	}
	settled(t, ask, "dark.yaml")
	if dark := askedFor[circuitsBody](t, ask, "day/circuits", of("dark.yaml")); dark.Of != "nothing" || len(dark.Even) != 0 {
		t.Errorf("without a load they give %+v", dark)
	}
}

func TestASeasonsResultsAreToldDayByDay(t *testing.T) {
	folder, ask := smallDays(t)
	if s := askedFor[seasonBody](t, ask, "season", of("season.yaml")); s.Title != "ten days" || s.Folder != "" || s.At != nil || len(s.Days) != 0 || len(s.Doc) != 0 {
		t.Errorf("before it was computed it is %+v", s)
	}
	put := func(files map[string]string) {
		if err := os.MkdirAll(filepath.Join(folder, "results/season"), 0o777); err != nil {
			t.Fatal(err)
		}
		for name, text := range files {
			if err := os.WriteFile(filepath.Join(folder, "results/season", name), []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
	put(map[string]string{
		"season.json":   `{"name": "ten days", "answers": false, "refused": "on day 3 it is off by 9.1 %"}`,
		"manifest.json": `{"schema": "emberbank/1", "inputs": [{"name": "season.yaml", "sha256": "old"}], "files": [{"name": "season.json"}, {"name": "days.csv"}]}`,
	})
	s := askedFor[seasonBody](t, ask, "season", of("season.yaml"))
	if s.Folder != "results/season" || strings.Join(s.Changed, " ") != "season.yaml" || !strings.Contains(string(s.Doc), "off by 9.1 %") || len(s.Days) != 0 {
		t.Errorf("refused it is %+v", s)
	}
	put(map[string]string{"days.csv": "day,wanted [J],met [J],melted most [1]\n1,7.2e5,3.6e5,\n2,7.2e5,7.2e5,0.5\n"})
	s = askedFor[seasonBody](t, ask, "season", of("season.yaml"))
	if len(s.Days) != 2 || len(s.Columns) != 4 || s.Columns[1].Name != "wanted" || s.Columns[1].Unit != "J" || string(s.Days[0][3]) != "null" || string(s.Days[1][2]) != "720000" {
		t.Errorf("its days are %+v %s", s.Columns, s.Days)
	}
	for _, name := range []string{"day.yaml", "none.yaml", "../season.yaml", "results/season/season.json"} {
		if code, raw := ask("GET", "season", of(name), ""); code < 400 {
			t.Errorf("%s is a season: %s", name, raw)
		}
	}
}

// What "emberbank run" has left is shown until the page's own answer is whole, where it was computed from the very same files.
func TestAKeptDayIsToldAtOnceWhereItIsOfTheSameFiles(t *testing.T) {
	folder, root := copiedOf(t, "small-days")
	d := Open(root, Options{})
	defer d.Close()
	loaded, problems := d.loadRun("day.yaml")
	if problems.Failed() {
		t.Fatal(problems)
	}
	if k := d.keptDay("day.yaml", loaded); k != nil {
		t.Fatalf("without results it is %+v", k)
	}
	m := shelf.Manifest{Schema: shelf.ManifestSchema}
	for _, in := range loaded.Inputs {
		m.Inputs = append(m.Inputs, shelf.Entry(in))
	}
	raw, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Join(folder, "results/day"), 0o777); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"manifest.json": string(raw),
		"summary.json":  `{"yield": {"span_s": 86400, "load": {"of": "heat", "wanted_J": 1.8e6, "met_J": 0.9e6}}}`,
		"history.csv":   "time [s],block mean [degC],stored [J],load wanted [W],load delivered [W]\n0,140,1,0,0\n61200,280,5,200,200\n64800,200,3,200,50\n68400,90,2,0,0\n",
	} {
		if err := os.WriteFile(filepath.Join(folder, "results/day", name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	k := d.keptDay("day.yaml", loaded)
	if k == nil || k.Met != 0.5 || k.Sentence != "Of 0.5\u00a0kWh wanted 0.2 are met; fullest at 17:00, short from 18:00." || len(k.Time) != 4 || len(k.Columns) != 3 || string(k.Columns[0].Values[1]) != "280" {
		t.Errorf("it is %+v", k)
	}
	loaded.Inputs[0].SHA256 = "of another file"
	if k := d.keptDay("day.yaml", loaded); k != nil {
		t.Errorf("of other files it is %+v", k)
	}
}
