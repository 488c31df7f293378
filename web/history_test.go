package web

import (
	"encoding/json"
	"math"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/internal/testkit"
)

// curves is a history as it is told.
type curves struct {
	Answer  int
	Coarse  bool
	Time    []float64 `json:"time_s"`
	Columns []struct {
		Name, Unit string
		Values     []*float64
	}
}

// got asks for something and reads it.
func got[T any](t *testing.T, ask func(string, string, url.Values, string) (int, string), path string, query url.Values) (out T) {
	t.Helper()
	code, raw := ask("GET", path, query, "")
	if err := json.Unmarshal([]byte(raw), &out); code != 200 || err != nil {
		t.Fatalf("%s: %d %v %.300s", path, code, err, raw)
	}
	return out
}

func TestAPartOfAHistoryComesWithTheRowsBesideIt(t *testing.T) {
	_, ask := opened(t)
	settled(t, ask, "trial-1.yaml")
	h := got[curves](t, ask, "run/history", url.Values{"name": {"trial-1.yaml"}, "columns": {"block mean"}, "from": {"630"}, "to": {"790"}})
	if len(h.Time) != 5 || h.Time[0] != 600 || h.Time[4] != 840 || len(h.Columns) != 1 || h.Coarse {
		t.Errorf("it is %+v", h)
	}
	rows := got[curves](t, ask, "run/history", url.Values{"name": {"trial-1.yaml"}, "around": {"7200"}, "points": {"11"}})
	if len(rows.Time) != 11 || rows.Time[0] != 6600 || rows.Time[10] != 7200 || len(rows.Columns) < 10 {
		t.Errorf("the last rows are at %v, %d columns", rows.Time, len(rows.Columns))
	}
	if none := got[curves](t, ask, "run/history", url.Values{"name": {"trial-1.yaml"}, "behind": {"true"}}); len(none.Time) != 0 {
		t.Errorf("behind the whole answer stand %d rows", len(none.Time))
	}
}

type laid struct {
	Measured bool
	Title    string
	State    string
	Time     []float64 `json:"time_s"`
	Columns  []struct {
		Name   string
		Values []*float64
	}
	Only  []string
	Apart struct {
		Time    []float64 `json:"time_s"`
		Columns []struct {
			Name, Unit       string
			Values           []*float64
			Most, Mean, Half *float64
			Within           *float64
			MostAt           *float64 `json:"most_at_s"`
		}
	}
}

// The second run has more light than the first, and more water.
func TestARunIsLaidOverAnother(t *testing.T) {
	_, ask := opened(t)
	settled(t, ask, "trial-1.yaml")
	settled(t, ask, "trial-2.yaml")
	l := got[laid](t, ask, "run/beside", url.Values{"name": {"trial-1.yaml"}, "other": {"trial-2.yaml"}, "columns": {"block mean"}})
	own := got[curves](t, ask, "run/history", url.Values{"name": {"trial-1.yaml"}, "columns": {"block mean"}})
	if l.Measured || l.State != done || len(l.Columns) != 1 || len(l.Apart.Columns) != 1 || l.Apart.Columns[0].Unit != "K" || l.Apart.Columns[0].Half != nil {
		t.Fatalf("it is %+v", l)
	}
	most := 0.0
	for i, d := range l.Apart.Columns[0].Values {
		want := *own.Columns[0].Values[i] - *l.Columns[0].Values[i]
		testkit.Close(t, "this run less the other", *d, want, 2e-4, 0)
		if math.Abs(want) > math.Abs(most) {
			most = want
		}
	}
	testkit.Close(t, "largest", *l.Apart.Columns[0].Most, most, 2e-4, 0)
	if math.Abs(most) < 1 {
		t.Errorf("the two runs hardly differ: %v K", most)
	}
}

func TestATrialIsLaidOverARun(t *testing.T) {
	folder, ask := opened(t)
	description := "schema: emberbank/1\nkind: trial\nname: made up\nloggers:\n  - file: made.csv\n    channels:\n" +
		"      - {column: \"T1 [degC]\", place: T1, uncertainty: 1 K}\n      - {column: \"speed [m/s]\", place: wind}\n"
	rows := "time [s],T1 [degC],speed [m/s]\n"
	for _, s := range []string{"0,21,1", "60,22,1", "120,23,1", "180,24,1"} {
		rows += s + "\n"
	}
	for name, text := range map[string]string{"made.yaml": description, "made.csv": rows} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	settled(t, ask, "trial-1.yaml")
	l := got[laid](t, ask, "run/beside", url.Values{"name": {"trial-1.yaml"}, "other": {"made.yaml"}})
	if !l.Measured || l.Title != "made up" || len(l.Columns) != 1 || strings.Join(l.Only, " ") != "wind" || l.Apart.Columns[0].Half == nil {
		t.Fatalf("it is %+v", l)
	}
	own := got[curves](t, ask, "run/history", url.Values{"name": {"trial-1.yaml"}, "columns": {"T1"}})
	testkit.Close(t, "computed less measured", *l.Apart.Columns[0].Values[2], *own.Columns[0].Values[2]-23, 1e-4, 0)
	h := got[curves](t, ask, "trial/history", url.Values{"name": {"made.yaml"}})
	if len(h.Time) != 4 || len(h.Columns) != 2 || *h.Columns[0].Values[3] != 24 {
		t.Errorf("the trial is %+v", h)
	}
	kinds := got[struct {
		Files []struct{ Name, Kind string }
	}](t, ask, "kinds", url.Values{})
	if len(kinds.Files) == 0 || kinds.Files[0].Kind != "run" {
		t.Errorf("kinds are %+v", kinds)
	}
	if code, raw := ask("GET", "trial/history", of("receiver.yaml"), ""); code != 422 || !strings.Contains(raw, "receiver.yaml") {
		t.Errorf("a file of another kind: %d %s", code, raw)
	}
	if code, _ := ask("GET", "run/beside", url.Values{"name": {"trial-1.yaml"}, "other": {"../x.yaml"}}, ""); code != 403 {
		t.Errorf("a file outside: %d", code)
	}
}
