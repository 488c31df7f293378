package web

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/bench"
)

// field returns a field of a file, with the mark to change it by.
func field(t *testing.T, ask func(string, string, url.Values, string) (int, string), name, path string) (f bench.Field, mark string) {
	t.Helper()
	var all fieldsBody
	code, raw := ask("GET", "fields", of(name), "")
	if err := json.Unmarshal([]byte(raw), &all); code != 200 || err != nil {
		t.Fatalf("%d %v: %s", code, err, raw)
	}
	for _, f := range all.Fields {
		if f.Path == path {
			return f, all.Mark
		}
	}
	t.Fatalf("%s has no field %s", name, path)
	return f, ""
}

func TestAFieldIsChangedInItsFileAndAWrongValueIsNot(t *testing.T) {
	folder, ask := opened(t)
	change := func(body map[string]any) (done fieldDone, code int) {
		t.Helper()
		raw, err := json.Marshal(body)
		if err != nil {
			t.Fatal(err)
		}
		code, answer := ask("PUT", "field", nil, string(raw))
		if err := json.Unmarshal([]byte(answer), &done); err != nil {
			t.Fatalf("%v: %s", err, answer)
		}
		return done, code
	}
	text := func() string {
		raw, err := os.ReadFile(filepath.Join(folder, "receiver.yaml"))
		if err != nil {
			t.Fatal(err)
		}
		return string(raw)
	}
	was := text()
	f, mark := field(t, ask, "receiver.yaml", "block.depth")
	if f.Text != "80 mm" || f.Allowed != "1 mm to 10 m" {
		t.Errorf("it is %+v", f)
	}
	done, code := change(map[string]any{"name": "receiver.yaml", "path": "block.depth", "text": "90 mm", "mark": mark})
	if code != 200 || !done.Written || len(done.Problems) != 0 || done.Before != was || done.After != text() || text() != strings.Replace(was, "80 mm, width: 120", "90 mm, width: 120", 1) {
		t.Errorf("%d %+v", code, done)
	}
	if _, code = change(map[string]any{"name": "receiver.yaml", "path": "block.depth", "text": "91 mm", "mark": mark}); code != 409 {
		t.Errorf("an older text is written over: %d", code)
	}
	now := text()
	wrong, code := change(map[string]any{"name": "receiver.yaml", "path": "block.depth", "text": "-40 mm", "mark": done.Mark})
	if code != 200 || wrong.Written || len(wrong.Problems) != 1 || wrong.Problems[0].Allowed != "1 mm to 10 m" || wrong.Problems[0].Typed != "-40 mm" || text() != now {
		t.Errorf("%d %+v", code, wrong)
	}
	wrong, _ = change(map[string]any{"name": "receiver.yaml", "path": "block.depth", "remove": true, "mark": done.Mark})
	if wrong.Written || len(wrong.Problems) != 1 || wrong.Problems[0].Message != "block.depth is missing" || text() != now {
		t.Errorf("%+v", wrong)
	}
	// Too shallow for the passes: that is a mistake of the passes, so the value is written and the mistake told.
	small, _ := change(map[string]any{"name": "receiver.yaml", "path": "block.depth", "text": "42 mm", "mark": done.Mark})
	if !small.Written || len(small.Problems) == 0 {
		t.Errorf("%+v", small)
	}
	if _, code = change(map[string]any{"name": "../x.yaml", "path": "block.depth", "text": "1 m", "mark": mark}); code != 403 {
		t.Errorf("a path outside: %d", code)
	}
}

func TestTheFieldsOfARunAreThoseOfItsReceiverAndDuty(t *testing.T) {
	_, ask := opened(t)
	var all runFieldsBody
	code, raw := ask("GET", "run/fields", of("trial-1.yaml"), "")
	if err := json.Unmarshal([]byte(raw), &all); code != 200 || err != nil {
		t.Fatalf("%d %v: %s", code, err, raw)
	}
	found := map[string]string{}
	for _, f := range all.Files {
		for _, x := range f.Fields {
			if x.Given {
				found[x.Input] = f.Name + " " + x.Text
			}
		}
	}
	if found["receiver.block.depth"] != "receiver.yaml 80 mm" || !strings.HasPrefix(found["receiver"], "trial-1.yaml ") {
		t.Errorf("they are %v", found)
	}
}
