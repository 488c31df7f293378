package web

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// copied is a copy of a small bench of the examples.
func copied(t *testing.T) (folder string, root *os.Root) {
	t.Helper()
	return copiedOf(t, "small-match")
}

// copiedOf is a copy of one of the benches of the examples.
func copiedOf(t *testing.T, example string) (folder string, root *os.Root) {
	t.Helper()
	folder = t.TempDir()
	if err := os.CopyFS(folder, os.DirFS("../examples/"+example)); err != nil {
		t.Fatal(err)
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = root.Close() })
	return folder, root
}

// opened serves a copy of a small bench of the examples; a request shows the key as a script does.
func opened(t *testing.T) (folder string, ask func(method, path string, query url.Values, body string) (int, string)) {
	t.Helper()
	return openedWith(t, Options{Version: "under test"})
}

func openedWith(t *testing.T, opt Options) (folder string, ask func(method, path string, query url.Values, body string) (int, string)) {
	t.Helper()
	return openedOf(t, "small-match", opt)
}

func openedOf(t *testing.T, example string, opt Options) (folder string, ask func(method, path string, query url.Values, body string) (int, string)) {
	t.Helper()
	folder, root := copiedOf(t, example)
	d := Open(root, opt)
	t.Cleanup(d.Close)
	s := httptest.NewUnstartedServer(nil)
	s.Config.Handler = d.Handler(Access{Address: s.Listener.Addr(), Key: "right"})
	s.Start()
	t.Cleanup(func() { s.CloseClientConnections(); s.Close() })
	return folder, func(method, path string, query url.Values, body string) (int, string) {
		r, err := http.NewRequest(method, s.URL+"/api/"+path+"?"+query.Encode(), strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Authorization", "Bearer right")
		if body != "" {
			r.Header.Set("Content-Type", "application/json")
		}
		if path == "events" {
			return 0, listenOnce(t, r)
		}
		got, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		defer got.Body.Close()
		raw, err := io.ReadAll(got.Body)
		if err != nil {
			t.Fatal(err)
		}
		return got.StatusCode, string(raw)
	}
}

// listenOnce returns the first event of a stream that tells of a run.
func listenOnce(t *testing.T, r *http.Request) string {
	t.Helper()
	got, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer got.Body.Close()
	for lines := bufio.NewScanner(got.Body); lines.Scan(); {
		if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok && strings.Contains(data, `"run"`) {
			return data
		}
	}
	return ""
}

func of(name string) url.Values { return url.Values{"name": {name}} }

// settled waits until a run is computed.
func settled(t *testing.T, ask func(string, string, url.Values, string) (int, string), name string) runBody {
	t.Helper()
	for range 600 {
		code, raw := ask("GET", "run", of(name), "")
		var r runBody
		if err := json.Unmarshal([]byte(raw), &r); code != 200 || err != nil {
			t.Fatalf("%d %v: %s", code, err, raw)
		}
		if r.State != computing {
			return r
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatal("the run does not end")
	return runBody{}
}

func TestARunIsComputedWhenItIsLookedAtAndDrawn(t *testing.T) {
	_, ask := opened(t)
	r := settled(t, ask, "trial-1.yaml")
	if r.State != done || r.Coarse || !r.Drawn || r.Cells < 400 || !strings.Contains(r.Sentence, "the block's mean goes from 20.0") || len(r.Passes) != 2 {
		t.Errorf("it is %+v", r)
	}
	if code, raw := ask("GET", "run/section", url.Values{"name": {"trial-1.yaml"}, "axis": {"width"}, "at": {"0.06"}, "time": {"3600"}}, ""); code != 200 || !strings.Contains(raw, "Section at width 60 mm, after 1") || !strings.HasPrefix(raw, "<svg") {
		t.Errorf("the section: %d %.200s", code, raw)
	}
	if code, raw := ask("GET", "run/section", url.Values{"name": {"trial-1.yaml"}, "axis": {"width"}, "at": {"9"}}, ""); code != 422 || !strings.Contains(raw, "reaches from -40 to 160 mm") && !strings.Contains(raw, "reaches from −40 to 160 mm") {
		t.Errorf("a cut beside the receiver: %d %s", code, raw)
	}
	code, raw := ask("GET", "run/history", url.Values{"name": {"trial-1.yaml"}, "columns": {"block mean,T1"}}, "")
	var h struct {
		Time    []float64 `json:"time_s"`
		Columns []struct {
			Name, Unit string
			Values     []*float64
		}
	}
	if err := json.Unmarshal([]byte(raw), &h); code != 200 || err != nil || len(h.Time) != 121 || h.Time[120] != 7200 || len(h.Columns) != 2 || h.Columns[0].Unit != "degC" || *h.Columns[0].Values[0] != 20 {
		t.Errorf("the history: %d %v %.300s", code, err, raw)
	}
}

func TestOnlyFilesOfTheBenchAreReadAndWritten(t *testing.T) {
	folder, ask := opened(t)
	outside := filepath.Join(t.TempDir(), "secret.yaml")
	if err := os.WriteFile(outside, []byte("secret"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(folder, "link.yaml")); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{
		"../secret.yaml", outside, "/etc/passwd", "a/../../secret.yaml", `..\secret.yaml`, ".hidden.yaml", ".git/config.yaml", "results/trial-1/summary.json",
		"results/x.yaml", "program", "", ".", "link.yaml", "receiver.yaml/../../x.yaml", "nul\x00.yaml",
	} {
		for _, path := range []string{"file", "check", "run"} {
			if code, raw := ask("GET", path, of(name), ""); code < 400 || strings.Contains(raw, "secret\"") {
				t.Errorf("%s of %q: %d %s", path, name, code, raw)
			}
		}
		if code, _ := ask("PUT", "file", of(name), `{"text": "x", "mark": ""}`); code < 400 {
			t.Errorf("%q was written: %d", name, code)
		}
	}
	if raw, err := os.ReadFile(outside); err != nil || string(raw) != "secret" {
		t.Errorf("the file outside is %q, %v", raw, err)
	}
}

func TestAnEditKeepsWhatSomebodyElseHasWritten(t *testing.T) {
	folder, ask := opened(t)
	var f fileBody
	if code, raw := ask("GET", "file", of("receiver.yaml"), ""); code != 200 || json.Unmarshal([]byte(raw), &f) != nil || !strings.Contains(f.Text, "# An invented receiver") {
		t.Fatalf("%d %s", code, raw)
	}
	put := func(text, mark string) (int, string) {
		raw, err := json.Marshal(map[string]string{"text": text, "mark": mark})
		if err != nil {
			t.Fatal(err)
		}
		return ask("PUT", "file", of("receiver.yaml"), string(raw))
	}
	wider := strings.Replace(f.Text, "depth: 80 mm", "depth: 90 mm", 1)
	code, raw := put(wider, f.Mark)
	if now, err := os.ReadFile(filepath.Join(folder, "receiver.yaml")); code != 200 || err != nil || string(now) != wider {
		t.Fatalf("%d %s: the file is %s", code, raw, now)
	}
	if code, raw := put("lost", f.Mark); code != 409 || !strings.Contains(raw, "has changed since it was read") {
		t.Errorf("over another's edit: %d %s", code, raw)
	}
	if now, err := os.ReadFile(filepath.Join(folder, "receiver.yaml")); err != nil || string(now) != wider {
		t.Errorf("the other's edit is lost: %s", now)
	}
	if entries, err := os.ReadDir(folder); err != nil || len(entries) != 10 {
		t.Errorf("something is left beside the files: %v", entries)
	}
}

func TestAMistakeInAFileIsToldInTheWordsOfCheck(t *testing.T) {
	folder, ask := opened(t)
	at := filepath.Join(folder, "receiver.yaml")
	raw, err := os.ReadFile(at)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(at, []byte(strings.Replace(string(raw), "depth: 80 mm", "depth: 80", 1)), 0o666); err != nil {
		t.Fatal(err)
	}
	r := settled(t, ask, "trial-1.yaml")
	if r.State != mistaken || len(r.Problems) == 0 || !strings.Contains(r.Problems[0].Message, `block.depth "80" has no unit`) && !strings.Contains(r.Problems[0].Message, `"80"`) {
		t.Errorf("it is %+v", r)
	}
	if err := os.WriteFile(at, raw, 0o666); err != nil {
		t.Fatal(err)
	}
	if code, raw := ask("POST", "run/again", of("trial-1.yaml"), ""); code != 200 {
		t.Fatalf("%d %s", code, raw)
	}
	if r := settled(t, ask, "trial-1.yaml"); r.State != done {
		t.Errorf("after mending it is %+v", r)
	}
}

func TestAStopStopsAndTheLastAnswerStays(t *testing.T) {
	folder, ask := opened(t)
	at := filepath.Join(folder, "trial-1.yaml")
	raw, err := os.ReadFile(at)
	if err != nil {
		t.Fatal(err)
	}
	settled(t, ask, "trial-1.yaml")
	long := strings.NewReplacer("until: 2 h", "until: 2000 h", "every: 60 s", "every: 10 h", "tolerance: 0.05 K", "tolerance: 0.0001 K").Replace(string(raw))
	if err := os.WriteFile(at, []byte(long), 0o666); err != nil {
		t.Fatal(err)
	}
	if code, raw := ask("POST", "run/again", of("trial-1.yaml"), ""); code != 200 {
		t.Fatalf("%d %s", code, raw)
	}
	_, event := ask("GET", "events", url.Values{}, "")
	if !strings.Contains(event, `"state":"computing"`) || !strings.Contains(event, `"run":"trial-1.yaml"`) {
		t.Errorf("the event is %s", event)
	}
	if code, raw := ask("POST", "run/stop", of("trial-1.yaml"), ""); code != 200 {
		t.Fatalf("%d %s", code, raw)
	}
	r := settled(t, ask, "trial-1.yaml")
	if r.State != stopped || !r.Drawn || r.Until != 7200 {
		t.Errorf("after the stop it is %+v", r)
	}
}

// untilState waits until a run is in a state that is wanted.
func untilState(t *testing.T, ask func(string, string, url.Values, string) (int, string), name, what string, wanted func(runBody) bool) {
	t.Helper()
	var r runBody
	for range 400 {
		code, raw := ask("GET", "run", of(name), "")
		r = runBody{}
		if err := json.Unmarshal([]byte(raw), &r); code != 200 || err != nil {
			t.Fatalf("%d %v: %s", code, err, raw)
		}
		if wanted(r) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("%s: it comes to stand at %+v", what, r)
}

// An edit with any other program shows, a mistake and its mending too.
func TestAnEditElsewhereIsSeen(t *testing.T) {
	folder, ask := opened(t)
	settled(t, ask, "trial-1.yaml")
	at := filepath.Join(folder, "receiver.yaml")
	raw, err := os.ReadFile(at)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		depth  string
		wanted func(runBody) bool
	}{
		{"90 mm", func(r runBody) bool { return r.State == done && r.Block[0] == 0.09 }},
		{"90", func(r runBody) bool { return r.State == mistaken && len(r.Problems) > 0 }},
		{"80 mm", func(r runBody) bool { return r.State == done && r.Block[0] == 0.08 && len(r.Problems) == 0 }},
	} {
		if err := os.WriteFile(at, []byte(strings.Replace(string(raw), "depth: 80 mm", "depth: "+c.depth, 1)), 0o666); err != nil {
			t.Fatal(err)
		}
		untilState(t, ask, "trial-1.yaml", "depth "+c.depth, c.wanted)
	}
}

// What an earlier turn still says, when it comes to its end, does not stop the one after it.
func TestARunBegunAnewIsNotStoppedByTheOneBefore(t *testing.T) {
	_, ask := opened(t)
	for range 12 {
		if code, raw := ask("POST", "run/again", of("trial-2.yaml"), ""); code != 200 {
			t.Fatalf("%d %s", code, raw)
		}
		time.Sleep(7 * time.Millisecond)
	}
	if r := settled(t, ask, "trial-2.yaml"); r.State != done || !r.Drawn || r.Coarse {
		t.Errorf("it is %s, coarse %v", r.State, r.Coarse)
	}
}

func TestALargeTextIsTakenAndAHugeOneRefused(t *testing.T) {
	folder, ask := opened(t)
	put := func(size int) (int, string) {
		_, raw := ask("GET", "file", of("measured-1.csv"), "")
		var f fileBody
		if err := json.Unmarshal([]byte(raw), &f); err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(map[string]string{"text": strings.Repeat("1,2\n", size/4), "mark": f.Mark})
		if err != nil {
			t.Fatal(err)
		}
		return ask("PUT", "file", of("measured-1.csv"), string(text))
	}
	if code, raw := put(3 << 20); code != 200 {
		t.Errorf("3 MB: %d %.200s", code, raw)
	}
	if code, raw := put(5 << 20); code < 400 {
		t.Errorf("5 MB: %d %.200s", code, raw)
	}
	if st, err := os.Stat(filepath.Join(folder, "measured-1.csv")); err != nil || st.Size() != 3<<20 {
		t.Errorf("the file has %d bytes, %v", st.Size(), err)
	}
}

func TestTheInterfaceDescribesItself(t *testing.T) {
	_, ask := opened(t)
	code, raw := ask("GET", "openapi.json", url.Values{}, "")
	var doc struct {
		OpenAPI string
		Paths   map[string]any
	}
	if err := json.Unmarshal([]byte(raw), &doc); code != 200 || err != nil || !strings.HasPrefix(doc.OpenAPI, "3.1") {
		t.Fatalf("%d %v %.200s", code, err, raw)
	}
	for _, path := range []string{"/api/bench", "/api/file", "/api/run", "/api/run/history", "/api/run/section", "/api/events"} {
		if doc.Paths[path] == nil {
			t.Errorf("%s is not described", path)
		}
	}
}

func TestThinnedRowsKeepPeaks(t *testing.T) {
	var x, y []float64
	for i := range 100_000 {
		x, y = append(x, float64(i)), append(y, math.Sin(float64(i)/5000))
	}
	y[31_415], y[77_777] = 40, -40
	rows := thinned(x, [][]float64{y}, 0, 0, 2000)
	seen := map[int]bool{}
	for i, r := range rows {
		seen[r] = true
		if i > 0 && r <= rows[i-1] {
			t.Fatal("the rows do not rise")
		}
	}
	if len(rows) > 2001 || !seen[31_415] || !seen[77_777] || !seen[0] || !seen[99_999] {
		t.Errorf("%d rows; peaks %v %v, ends %v %v", len(rows), seen[31_415], seen[77_777], seen[0], seen[99_999])
	}
	if part := fmt.Sprint(thinned(x, [][]float64{y}, 10, 12, 2000)); part != "[9 10 11 12 13]" {
		t.Errorf("a part with a row on either side is %s", part)
	}
	columns := [][]float64{x, x, x, x, x, x, x, x} // even curves are shown with more rows than as many peaks would leave
	if rows := thinned(x, columns, 0, 0, 2000); len(rows) < 900 || len(rows) > 2001 {
		t.Errorf("%d rows of even curves", len(rows))
	}
}

func TestTheFirstRunBeginsBeforeAnybodyAsks(t *testing.T) {
	_, root := copied(t)
	d := Open(root, Options{})
	t.Cleanup(d.Close)
	d.Begin()
	d.runs.mu.Lock()
	defer d.runs.mu.Unlock()
	if len(d.runs.all) != 1 || d.runs.all["trial-1.yaml"] == nil {
		t.Errorf("%d runs are computed", len(d.runs.all))
	}
}
