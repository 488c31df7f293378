package web

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/bench"
	"emberbank/shelf"
)

// Half-widths stand beside a run only where they were computed from the very files that it was: not after an edit, and not
// where something else was put in place of a file's numbers.
func TestBandsAreThoseOfTheSameInputsOnly(t *testing.T) {
	folder, ask := opened(t)
	settled(t, ask, "trial-1.yaml")
	loaded, _ := bench.LoadRun(os.DirFS(folder), "trial-1.yaml", bench.Options{})
	results := filepath.Join(folder, "results", "trial-1")
	if err := os.MkdirAll(results, 0o777); err != nil {
		t.Fatal(err)
	}
	put := func(more ...map[string]string) curves {
		inputs := more
		for _, in := range loaded.Inputs {
			inputs = append(inputs, map[string]string{"name": in.Name, "sha256": in.SHA256})
		}
		raw, err := json.Marshal(map[string]any{"schema": shelf.ManifestSchema, "inputs": inputs, "files": []any{}})
		if err != nil {
			t.Fatal(err)
		}
		for name, text := range map[string]string{"manifest.json": string(raw), "history-half-width.csv": "time [s],block mean [K],gone [K]\n0,0.5,1\n60,0.75,1\n"} {
			if err := os.WriteFile(filepath.Join(results, name), []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		return got[curves](t, ask, "run/bands", of("trial-1.yaml"))
	}
	if b := put(); len(b.Time) != 2 || len(b.Columns) != 1 || b.Columns[0].Unit != "degC" || *b.Columns[0].Values[1] != 0.75 {
		t.Errorf("of the same inputs: %+v", b)
	}
	if b := put(map[string]string{"name": "results/match/match.json", "sha256": "00"}); len(b.Time) != 0 {
		t.Errorf("with matched numbers: %+v", b)
	}
	put()
	at := filepath.Join(folder, "receiver.yaml")
	raw, err := os.ReadFile(at)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(at, []byte(strings.Replace(string(raw), "depth: 80 mm", "depth: 85 mm", 1)), 0o666); err != nil {
		t.Fatal(err)
	}
	if code, raw := ask("POST", "run/again", of("trial-1.yaml"), ""); code != 200 {
		t.Fatalf("%d %s", code, raw)
	}
	settled(t, ask, "trial-1.yaml")
	if b := got[curves](t, ask, "run/bands", of("trial-1.yaml")); len(b.Time) != 0 {
		t.Errorf("after an edit: %+v", b)
	}
	if code, _ := ask("GET", "run/bands", url.Values{"name": {"../x.yaml"}}, ""); code != 403 {
		t.Errorf("outside: %d", code)
	}
}
