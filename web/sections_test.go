package web

import (
	"math"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"emberbank/bench"
	"emberbank/duty"
)

// TestTheDrawingFollowsTheFilesBeforeAnythingIsComputed: shapes are there at once, lengths tell where they are written, and a
// mistake leaves the last good drawing.
func TestTheDrawingFollowsTheFilesBeforeAnythingIsComputed(t *testing.T) {
	folder, ask := opened(t)
	section := func() string {
		t.Helper()
		code, raw := ask("GET", "run/section", url.Values{"name": {"trial-1.yaml"}, "axis": {"width"}, "at": {"0.06"}, "time": {"0"}, "wide": {"560"}, "high": {"460"}}, "")
		if code != 200 {
			return ""
		}
		return raw
	}
	comes := func(what string, ok func(s string) bool) {
		t.Helper()
		last := ""
		for range 400 {
			if last = section(); ok(last) {
				return
			}
			time.Sleep(10 * time.Millisecond)
		}
		t.Fatalf("%s does not come: %.600s", what, last)
	}
	comes("the drawing", func(s string) bool {
		return strings.Contains(s, `data-file="receiver.yaml" data-path="block.depth" data-text="80 mm"`) && strings.Contains(s, `width="560"`)
	})
	settled(t, ask, "trial-1.yaml")
	file := filepath.Join(folder, "receiver.yaml")
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	change := func(to string) {
		t.Helper()
		if err := os.WriteFile(file, []byte(strings.Replace(string(raw), "depth: 80 mm", "depth: "+to, 1)), 0o666); err != nil {
			t.Fatal(err)
		}
		if code, said := ask("POST", "run/again", of("trial-1.yaml"), ""); code != 200 {
			t.Fatalf("%d %s", code, said)
		}
	}
	change("120 mm")
	comes("the new depth", func(s string) bool { return strings.Contains(s, `data-text="120 mm"`) })
	change("-40 mm")
	for range 20 {
		if s := section(); !strings.Contains(s, `data-text="120 mm"`) {
			t.Fatalf("after a mistake the last good drawing is gone: %.300s", s)
		}
		time.Sleep(10 * time.Millisecond)
	}
}

func TestChainAndLedgerAreLaidOutForTheirPlace(t *testing.T) {
	_, ask := opened(t)
	r := settled(t, ask, "trial-1.yaml")
	if len(r.Sensors) != 2 || r.Sensors[0].Number != 1 || r.Sensors[0].Name != "T1" {
		t.Errorf("the sensors are %+v", r.Sensors)
	}
	for _, c := range []struct {
		path  string
		query url.Values
		code  int
		says  string
	}{
		{"run/ledger", url.Values{"wide": {"480"}}, 200, `width="480"`},
		{"run/ledger", url.Values{}, 200, `width="920"`},
		{"run/chain", url.Values{"pass": {"2"}, "time": {"7000"}, "wide": {"400"}, "high": {"220"}}, 200, "What limits pass 2"},
		{"run/chain", url.Values{"pass": {"none"}, "wide": {"400"}}, 404, "no such pass"},
		{"run/section", url.Values{"axis": {"width"}, "at": {"0.06"}, "wide": {"50"}}, 422, "240"},
	} {
		c.query.Set("name", "trial-1.yaml")
		if code, raw := ask("GET", c.path, c.query, ""); code != c.code || !strings.Contains(raw, c.says) {
			t.Errorf("%s %v: %d %.300s", c.path, c.query, code, raw)
		}
	}
}

// TestWhatIsHardlyWarmHasNotTheColourOfHeat: while an answer grows, its rule of temperature is as wide as that of a warm block, and
// begins at the coolest air.
func TestWhatIsHardlyWarmHasNotTheColourOfHeat(t *testing.T) {
	loaded := &bench.Run{}
	loaded.Problem.Duty.Ambient = duty.Signal{T: []float64{0, 3600}, V: []float64{273.15 + 18, 273.15 + 12}}
	for _, c := range []struct{ low, top, from, to float64 }{{17, 19, 12, 92}, {17, 300, 12, 300}, {5, 19, 5, 85}} {
		a := answer{loaded: loaded, low: c.low, top: c.top}
		if low, top := a.rule(); math.Abs(low-c.from) > 1e-9 || math.Abs(top-c.to) > 1e-9 {
			t.Errorf("over %g to %g °C the rule spans %g to %g, want %g to %g", c.low, c.top, low, top, c.from, c.to)
		}
	}
}

// Until there is an answer of a new shape the page shows the old one, and asks for its chains.
func TestTheChainOfTheOldAnswerStaysWhileAnotherShapeIsComputed(t *testing.T) {
	folder, ask := opened(t)
	settled(t, ask, "trial-1.yaml")
	at := filepath.Join(folder, "receiver.yaml")
	raw, err := os.ReadFile(at)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(at, []byte(strings.Replace(string(raw), "depth: 80 mm", "depth: 90 mm", 1)), 0o666); err != nil {
		t.Fatal(err)
	}
	untilState(t, ask, "trial-1.yaml", "the new shape", func(r runBody) bool {
		if code, said := ask("GET", "run/chain", url.Values{"name": {"trial-1.yaml"}, "pass": {"1"}, "time": {"7000"}, "wide": {"400"}}, ""); code != 200 {
			t.Fatalf("%d: %s", code, said)
		}
		return r.State == done && r.Block[0] == 0.09
	})
}
