package web

import (
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/bench"
)

const contactStudy = `{"file":"contact.yaml","name":"how much the contact matters","run":"trial-1.yaml",
	"axes":[{"name":"wool","paths":["receiver.insulation.all[1].thickness"],"from":"20 mm","to":"60 mm","count":4}],
	"responses":[{"name":"at the end","read":"block mean"},{"name":"lost","read":"ledger lost"}],
	"constraints":[{"response":"at the end","above":"40 degC"}],"plateaus":[{"response":"lost","over":"wool","margin":"1 kJ"}]`

func TestAStudyIsSetUpCheckedAndWrittenOnce(t *testing.T) {
	folder, ask := opened(t)
	post := func(body string) (made studyMade, code int) {
		code, raw := ask("POST", "study", nil, body)
		if err := json.Unmarshal([]byte(raw), &made); err != nil {
			t.Fatal(err)
		}
		return made, code
	}
	if made, _ := post(contactStudy + `,"try":true}`); made.Written || made.Count != 4 || len(made.Problems) != 0 {
		t.Fatalf("tried, it is %+v", made)
	}
	if made, _ := post(strings.Replace(contactStudy, "20 mm", "20", 1) + "}"); made.Written || made.Count != 0 || len(made.Problems) != 1 || !strings.Contains(made.Problems[0].Message, `"20" has no unit`) {
		t.Errorf("without a unit it is %+v", made)
	}
	if _, err := os.Stat(filepath.Join(folder, "contact.yaml")); err == nil {
		t.Error("it is written before it is right")
	}
	made, code := post(contactStudy + "}")
	raw, err := os.ReadFile(filepath.Join(folder, "contact.yaml"))
	if code != 200 || !made.Written || made.Count != 4 || err != nil || string(raw) != made.Text {
		t.Fatalf("written, it is %d %+v, %v", code, made, err)
	}
	if _, code := post(contactStudy + "}"); code != 409 {
		t.Errorf("a second of the same name: %d", code)
	}
	var all studiesBody
	if _, got := ask("GET", "studies", nil, ""); json.Unmarshal([]byte(got), &all) != nil || len(all.Studies) != 1 || all.Studies[0].Title != "how much the contact matters" || all.Studies[0].Kind != "sweep" || all.Studies[0].Run != "trial-1.yaml" {
		t.Errorf("the list is %+v", all)
	}
	var one studyBody
	if code, got := ask("GET", "study", of("contact.yaml"), ""); code != 200 || json.Unmarshal([]byte(got), &one) != nil || len(one.Columns) != 3 || one.Columns[0].Unit != "mm" || len(one.Levels) != 1 || len(one.Levels[0]) != 4 || one.Levels[0][3] != 60 {
		t.Errorf("it tells %d %+v", code, one)
	}
}

// TestASampleAndASearchAreSetUpAsWell: with the fields that they need, and told in check's words where one is wrong.
func TestASampleAndASearchAreSetUpAsWell(t *testing.T) {
	_, ask := opened(t)
	for _, c := range []struct {
		from, to, kind, holds, says string
		count                       int64
	}{
		{`"name":"how`, `"kind":"sample","count":16,"name":"how`, "sample", "between: [\"20 mm\", \"60 mm\"]", "", 16},
		{`"from":"20 mm"`, `"about":"40 mm ± 8 mm","from":"20 mm"`, "sample", "about: \"40 mm ± 8 mm\"", "", 8},
		{`"name":"how`, `"kind":"search","count":12,"aims":[{"response":"lost","want":"least"}],"name":"how`, "search", "want: least", "", 13},
		{`"name":"how`, `"kind":"search","count":12,"aims":[{"response":"found","want":"least"}],"name":"how`, "search", "", "no response", 0},
		{`"name":"how`, `"kind":"sample","count":1,"name":"how`, "sample", "", "2 to", 0},
	} {
		body := strings.Replace(contactStudy, c.from, c.to, 1)
		if c.kind == "sample" && !strings.Contains(body, `"kind"`) {
			body = strings.Replace(body, `"name":"how`, `"kind":"sample","count":8,"name":"how`, 1)
		}
		body = strings.Replace(body, `"plateaus":[{"response":"lost","over":"wool","margin":"1 kJ"}]`, `"try":true}`, 1)
		var made studyMade
		code, raw := ask("POST", "study", nil, body)
		if err := json.Unmarshal([]byte(raw), &made); err != nil || code != 200 {
			t.Errorf("%s: %d %s", c.to, code, raw)
			continue
		}
		if made.Count != c.count || !strings.Contains(made.Text, c.holds) || !strings.Contains(fmt.Sprint(made.Problems), c.says) || c.says == "" && len(made.Problems) > 1 {
			t.Errorf("%s makes %+v", c.to, made)
		}
	}
}

func TestNewStudiesStandInTheBenchAlone(t *testing.T) {
	folder, ask := opened(t)
	outside := t.TempDir()
	if err := os.Symlink(outside, filepath.Join(folder, "away")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(outside, "x.yaml"), filepath.Join(folder, "link.yaml")); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"../x.yaml", filepath.Join(outside, "x.yaml"), "results/x.yaml", ".x.yaml", "x.md", "x", "away/x.yaml", "link.yaml", "match.yaml", "none/x.yaml", "nul\x00.yaml", `..\x.yaml`} {
		quoted, err := json.Marshal(name)
		if err != nil {
			t.Fatal(err)
		}
		code, got := ask("POST", "study", nil, strings.Replace(contactStudy, `"contact.yaml"`, string(quoted), 1)+"}")
		if code == 200 && strings.Contains(got, `"written":false`) || name == `..\x.yaml` && code == 200 { // a plain name here, within the bench
			continue
		}
		if code < 400 {
			t.Errorf("%q: %d %s", name, code, got)
		}
	}
	if left, _ := os.ReadDir(outside); len(left) > 0 {
		t.Errorf("outside stand %v", left)
	}
}

func TestWhatARunTellsCanBeReadByAStudy(t *testing.T) {
	_, ask := opened(t)
	settled(t, ask, "trial-1.yaml")
	var all readingsBody
	_, got := ask("GET", "readings", of("trial-1.yaml"), "")
	if err := json.Unmarshal([]byte(got), &all); err != nil || len(all.Readings) < 20 {
		t.Fatalf("%v %s", err, got)
	}
	for _, r := range all.Readings {
		if _, err := bench.ReadReading(r.Read); err != nil {
			t.Errorf("%q: %v", r.Read, err)
		}
	}
	if !strings.Contains(got, `"ledger lost"`) || !strings.Contains(got, `"block mean"`) {
		t.Errorf("there are %s", got)
	}
}

func TestAVariantsNameIsItsStudyAndNumber(t *testing.T) {
	for name, want := range map[string]int{"a.yaml#3": 3, "a.yaml#0": 0, "a.yaml#-1": 0, "a.yaml#03": 0, "a.yaml": 0, "a.yaml#": 0, "a.yaml#3#4": 0} {
		if _, n, ok := variantNamed(name); ok != (want > 0) || ok && n != want {
			t.Errorf("%q is variant %d, %v", name, n, ok)
		}
	}
	_, ask := opened(t)
	if r := settled(t, ask, "match.yaml#1"); r.State != mistaken || len(r.Problems) != 1 || !strings.Contains(r.Problems[0].Message, "the study has no results") {
		t.Errorf("a variant of no study is %+v", r)
	}
	for _, name := range []string{"../x.yaml#1", "results/x.yaml#1", ".x.yaml#1", "none.yaml#1"} {
		if code, raw := ask("GET", "run", url.Values{"name": {name}}, ""); code < 400 {
			t.Errorf("%q: %d %s", name, code, raw)
		}
	}
}
