package web

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func revisionsOf(t *testing.T, ask func(string, string, url.Values, string) (int, string), name string) revisionsBody {
	t.Helper()
	var out revisionsBody
	code, raw := ask("GET", "run/revisions", of(name), "")
	if err := json.Unmarshal([]byte(raw), &out); code != 200 || err != nil {
		t.Fatalf("%d %v: %s", code, err, raw)
	}
	return out
}

func TestAChangeIsARevisionWithWhatItDidAndIsGoneWhenTakenBack(t *testing.T) {
	folder, ask := opened(t)
	write := func(from, to string) {
		t.Helper()
		name := filepath.Join(folder, "receiver.yaml")
		raw, err := os.ReadFile(name)
		if err != nil || strings.Count(string(raw), from) != 1 {
			t.Fatalf("%v %s", err, raw)
		}
		if err := os.WriteFile(name, []byte(strings.Replace(string(raw), from, to, 1)), 0o666); err != nil {
			t.Fatal(err)
		}
		ask("POST", "run/again", of("trial-1.yaml"), "")
		settled(t, ask, "trial-1.yaml")
	}
	settled(t, ask, "trial-1.yaml")
	first := revisionsOf(t, ask, "trial-1.yaml")
	if len(first.Revisions) != 0 || len(first.Answer) != 4 || first.Answer[0].Name != "to the water" || first.Old || first.Answered == "" {
		t.Errorf("%+v", first)
	}
	write("contact: 400 W", "contact: 200 W")
	got := revisionsOf(t, ask, "trial-1.yaml")
	if len(got.Revisions) != 1 || len(got.Revisions[0].Changes) != 1 {
		t.Fatalf("%+v", got)
	}
	r := got.Revisions[0]
	if c := r.Changes[0]; c != (changedBody{"receiver.tube.contact", "400 W/(m2 K)", "200 W/(m2 K)"}) || r.Number != 1 || r.Coarse {
		t.Errorf("%+v", r)
	}
	if len(r.Before) != 4 || len(r.After) != 4 || !(r.After[0].Value < 0.98*r.Before[0].Value) || r.Before[0].Value != first.Answer[0].Value {
		t.Errorf("half the contact gives the water %v, before %v", r.After, r.Before)
	}
	write("depth: 80 mm", "depth: 90 mm")
	if got := revisionsOf(t, ask, "trial-1.yaml"); len(got.Revisions) != 2 || got.Revisions[1].Number != 2 || got.Revisions[1].Before[0].Value != r.After[0].Value {
		t.Errorf("%+v", got)
	}
	write("depth: 90 mm", "depth: 42 mm") // too shallow for the tubes: nothing is computed, and the change is told
	if got := revisionsOf(t, ask, "trial-1.yaml"); len(got.Revisions) != 3 || !got.Old || len(got.Revisions[2].After) != 0 || got.Revisions[2].Changes[0] != (changedBody{"receiver.block.depth", "90 mm", "42 mm"}) {
		t.Errorf("%+v", got)
	}
	write("depth: 42 mm", "depth: 80 mm")
	if got := revisionsOf(t, ask, "trial-1.yaml"); len(got.Revisions) != 1 || got.Revisions[0].Number != 1 || got.Answer[0].Value != r.After[0].Value {
		t.Errorf("taken back, it is %+v", got)
	}
}
