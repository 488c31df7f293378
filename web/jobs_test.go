package web

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"emberbank/bench"
)

type asker = func(method, path string, query url.Values, body string) (int, string)

func started(t *testing.T, ask asker, verb, file string, yes bool) Job {
	t.Helper()
	raw, err := json.Marshal(Task{Verb: verb, File: file, Yes: yes})
	if err != nil {
		t.Fatal(err)
	}
	return jobIn(t, ask, "POST", "jobs", nil, string(raw))
}

func jobIn(t *testing.T, ask asker, method, path string, query url.Values, body string) (j Job) {
	t.Helper()
	code, got := ask(method, path, query, body)
	if err := json.Unmarshal([]byte(got), &j); code != 200 || err != nil {
		t.Fatalf("%s: %d %v %s", path, code, err, got)
	}
	return j
}

// inState waits until the job of a file is in a state.
func inState(t *testing.T, ask asker, file, state string) Job {
	t.Helper()
	var last Job
	for range 200 {
		_, raw := ask("GET", "jobs", nil, "")
		var all jobsBody
		if err := json.Unmarshal([]byte(raw), &all); err != nil {
			t.Fatal(err)
		}
		for _, j := range all.Jobs {
			if last = j; j.File == file && j.State == state {
				return j
			}
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("%s does not come to be %s: %+v", file, state, last)
	return last
}

func TestAJobIsStartedOnceToldOfAndStopped(t *testing.T) {
	var starts atomic.Int64
	begun := make(chan bool, 8)
	half := 0.5
	_, ask := openedWith(t, Options{Work: func(ctx context.Context, _ Task, tell Listener) (string, error) {
		starts.Add(1)
		tell.Step(Step{Text: "on the way", Done: 1, Total: 4, Left: 9})
		tell.Point(Point{Number: 1, Values: []*float64{&half, nil}, Meets: true})
		begun <- true
		<-ctx.Done()
		return "", &Trouble{Message: "stopped: 1 variant of 4 is kept", Fix: "start again to go on", Results: "results/match-stopped"}
	}})
	one := started(t, ask, "match", "match.yaml", false)
	<-begun
	if again := started(t, ask, "match", "match.yaml", false); again.Turn != one.Turn || one.Turn != 1 || starts.Load() != 1 { // the second tab
		t.Errorf("started twice: %+v, %+v, %d times", one, again, starts.Load())
	}
	if code, raw := ask("POST", "jobs", nil, `{"verb":"plan","file":"match.yaml"}`); code != 409 {
		t.Errorf("another verb on the same file: %d %s", code, raw)
	}
	if j := inState(t, ask, "match.yaml", computing); j.Text != "on the way" || j.Done != 1 || j.Total != 4 || j.Left != 9 || j.Points != 1 {
		t.Errorf("under way it is %+v", j)
	}
	code, raw := ask("GET", "jobs/points", of("match.yaml"), "")
	if want := `{"turn":1,"points":[{"number":1,"values":[0.5,null],"meets_the_constraints":true}]}`; code != 200 || strings.TrimSpace(raw) != want {
		t.Errorf("its points: %d %s, want %s", code, raw, want)
	}
	if _, raw := ask("GET", "jobs/points", url.Values{"name": {"match.yaml"}, "from": {"7"}}, ""); !strings.Contains(raw, `"points":[]`) {
		t.Errorf("points from 7: %s", raw)
	}
	jobIn(t, ask, "POST", "jobs/stop", of("match.yaml"), "")
	if j := inState(t, ask, "match.yaml", stopped); j.Message != "stopped: 1 variant of 4 is kept" || j.Fix == "" || j.Results != "results/match-stopped" || j.Left != 0 {
		t.Errorf("stopped it is %+v", j)
	}
	if j := started(t, ask, "match", "match.yaml", false); j.Turn != 2 {
		t.Errorf("started again it is %+v", j)
	}
	<-begun
}

func TestFewJobsRunAtATimeAndOneThatWaitsCanBeStopped(t *testing.T) {
	go1 := make(chan bool)
	folder, ask := openedWith(t, Options{Work: func(ctx context.Context, _ Task, _ Listener) (string, error) {
		select {
		case <-go1:
		case <-ctx.Done():
			return "", ctx.Err()
		}
		return "results/x", nil
	}})
	var files []string
	for k := range jobsAtOnce + 2 {
		name := fmt.Sprintf("study-%d.yaml", k)
		if err := os.WriteFile(filepath.Join(folder, name), []byte("kind: study"), 0o666); err != nil {
			t.Fatal(err)
		}
		files = append(files, name)
		started(t, ask, "study", name, false)
		if k < jobsAtOnce {
			inState(t, ask, name, computing)
		}
	}
	inState(t, ask, files[jobsAtOnce], waiting)
	jobIn(t, ask, "POST", "jobs/stop", of(files[jobsAtOnce]), "")
	inState(t, ask, files[jobsAtOnce], stopped)
	go1 <- true
	inState(t, ask, files[jobsAtOnce+1], computing)
}

func TestTroubleOfAJobIsToldAsTheCommandTellsIt(t *testing.T) {
	_, ask := openedWith(t, Options{Work: func(_ context.Context, task Task, _ Listener) (string, error) {
		switch {
		case task.Verb == "plan":
			return "", fmt.Errorf("around it: %w", &Trouble{Message: "1 mistake in the input", Problems: bench.Problems{{File: "plan.yaml", Line: 3, Message: "no"}}})
		case !task.Yes:
			return "", &Trouble{Message: "48 variants would take about 3 h and 2 MB on the disk", Asks: true}
		}
		return "results/match", nil
	}})
	started(t, ask, "match", "match.yaml", false)
	if j := inState(t, ask, "match.yaml", asking); !strings.Contains(j.Message, "3 h") {
		t.Errorf("it asks %+v", j)
	}
	started(t, ask, "match", "match.yaml", true)
	if j := inState(t, ask, "match.yaml", done); j.Results != "results/match" || j.Message != "" {
		t.Errorf("with the answer it is %+v", j)
	}
	started(t, ask, "plan", "plan.yaml", false)
	if j := inState(t, ask, "plan.yaml", mistaken); len(j.Problems) != 1 || j.Problems[0].Line != 3 {
		t.Errorf("a mistake makes it %+v", j)
	}
}

func TestJobsAreStartedFromFilesOfTheBenchOnly(t *testing.T) {
	var starts atomic.Int64
	folder, ask := openedWith(t, Options{Work: func(context.Context, Task, Listener) (string, error) { starts.Add(1); return "", nil }})
	outside := filepath.Join(t.TempDir(), "study.yaml")
	for name, link := range map[string]string{"link.yaml": outside, "folder.yaml": ""} {
		path := filepath.Join(folder, name)
		err := os.Mkdir(path, 0o777)
		if link != "" {
			_ = os.Remove(path)
			err = os.Symlink(link, path)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(outside, []byte("kind: study"), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{
		"", ".", "..", "../study.yaml", outside, `..\study.yaml`, "results/x/study.yaml", ".hidden.yaml", "measured-1.csv", "link.yaml", "folder.yaml",
		"none.yaml", "match.yaml/../../x.yaml", "nul\x00.yaml", "-o.yaml/../match.yaml", strings.Repeat("a", 400) + ".yaml",
	} {
		raw, err := json.Marshal(Task{Verb: "study", File: name, Yes: true})
		if err != nil {
			t.Fatal(err)
		}
		if code, got := ask("POST", "jobs", nil, string(raw)); code < 400 || code >= 500 {
			t.Errorf("%q: %d %s", name, code, got)
		}
		for _, path := range []string{"jobs/stop", "jobs/points"} {
			method := map[bool]string{true: "POST", false: "GET"}[path == "jobs/stop"]
			if code, got := ask(method, path, of(name), ""); code < 400 || code >= 500 {
				t.Errorf("%s of %q: %d %s", path, name, code, got)
			}
		}
	}
	for _, body := range []string{`{"verb":"open","file":"match.yaml"}`, `{"verb":"tidy","file":"match.yaml"}`, `{"verb":"match"}`, `{}`, `[]`} {
		if code, got := ask("POST", "jobs", nil, body); code != 422 && code != 400 {
			t.Errorf("%s: %d %s", body, code, got)
		}
	}
	if starts.Load() != 0 {
		t.Errorf("%d were started", starts.Load())
	}
}

func TestEveryPageHearsOfJobs(t *testing.T) {
	d := &Desk{}
	a, stopA := d.news.listen()
	b, stopB := d.news.listen()
	defer stopA()
	defer stopB()
	d.news.tell(Job{Task: Task{File: "x.yaml"}, State: done})
	for _, c := range []<-chan any{a, b} {
		if j, ok := (<-c).(Job); !ok || j.File != "x.yaml" {
			t.Errorf("heard %+v", j)
		}
	}
}

func TestOnlyResultsAreServedAndShutIn(t *testing.T) {
	folder, ask := opened(t)
	for name, text := range map[string]string{
		"results/match/match.json": `{"schema":"x"}`, "results/match/a.svg": `<svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>`,
		"results/match/manifest.json": `{"schema":"emberbank/1","stopped":true,"inputs":[{"name":"match.yaml","sha256":"00"},{"name":"../x","sha256":"00"}],"files":[{"name":"a.svg"},{"name":"gone.svg"},{"name":"../../match.yaml"}]}`,
		"results/match/run.html":      "<script>1</script>", "results/.match.resume": "secret", "results/.x/a.json": "secret", "trials/results/a/b.csv": "t [s]\n",
	} {
		path := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	outside := filepath.Join(t.TempDir(), "secret.json")
	if err := os.WriteFile(outside, []byte("secret"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(folder, "results", "link.json")); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(folder, "results", "folder.json"), 0o777); err != nil {
		t.Fatal(err)
	}
	shown := func(path string) (int, string) { return ask("GET", "result", url.Values{"path": {path}}, "") }
	if code, raw := shown("results/match/match.json"); code != 200 || raw != `{"schema":"x"}` {
		t.Errorf("a document: %d %s", code, raw)
	}
	if code, _ := shown("trials/results/a/b.csv"); code != 200 {
		t.Errorf("a table beside trials: %d", code)
	}
	for _, name := range []string{
		"", "results", "results/", "../secret.json", outside, "results/../match.yaml", "results/../../secret.json", `results\..\x.json`, "results/match/run.html",
		"results/.match.resume", "results/.x/a.json", "results/link.json", "results/folder.json", "match.yaml", "receiver.json", "results.json", "results/nul\x00.json", "results/none.json",
	} {
		if code, raw := shown(name); code < 400 || code >= 500 || strings.Contains(raw, "secret\"") {
			t.Errorf("%q: %d %s", name, code, raw)
		}
	}
	code, raw := ask("GET", "results", of("match.yaml"), "")
	var all resultsBody
	if err := json.Unmarshal([]byte(raw), &all); code != 200 || err != nil || len(all.Results) != 1 {
		t.Fatalf("the list: %d %v %s", code, err, raw)
	}
	if r := all.Results[0]; !r.Stopped || len(r.Files) != 1 || r.Files[0].Path != "results/match/a.svg" || len(r.Changed) != 1 || r.Changed[0] != "match.yaml" {
		t.Errorf("the list is %+v", r)
	}
}
