package web

import (
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"emberbank/bench"
	"emberbank/binder"
	"emberbank/dossier"
	"emberbank/shelf"
	"emberbank/verify"
)

// hander is a small bench with a stand-in for the commands: a run leaves a summary of its inputs, and the dossier is bound by the very
// code of the command.
type hander struct {
	t      *testing.T
	folder string
	mu     sync.Mutex
	tasks  []Task
}

// put writes a folder of results with its manifest.
func (h *hander) put(folder string, files []binder.File, inputs []shelf.Entry) {
	h.t.Helper()
	m := shelf.Manifest{Schema: shelf.ManifestSchema, Version: "under test", Inputs: inputs}
	for _, f := range files {
		m.Files = append(m.Files, shelf.Entry{Name: f.Name, SHA256: shelf.Sum(f.Raw)})
	}
	var raw strings.Builder
	if err := m.Write(&raw); err != nil {
		h.t.Fatal(err)
	}
	for _, f := range append(files, binder.File{Name: shelf.ManifestName, Raw: []byte(raw.String())}) {
		h.write(folder+"/"+f.Name, string(f.Raw))
	}
}

func (h *hander) write(name, text string) {
	h.t.Helper()
	at := filepath.Join(h.folder, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(at), 0o777); err != nil {
		h.t.Fatal(err)
	}
	if err := os.WriteFile(at, []byte(text), 0o666); err != nil {
		h.t.Fatal(err)
	}
}

// ran leaves the results of a run.
func (h *hander) ran(name, absorbed string) {
	root := os.DirFS(h.folder)
	var inputs []shelf.Entry
	for _, in := range []string{name, "receiver.yaml"} {
		inputs = append(inputs, shelf.Entry{Name: in, SHA256: shelf.SumOf(root, in)})
	}
	h.put(bench.Results(name), []binder.File{{Name: "summary.json", Raw: []byte(`{"kind":"summary","title":"a stand-in","ledger":{"absorbed_J":` + absorbed + `}}`)}}, inputs)
}

func (h *hander) work(ctx context.Context, t Task, tell Listener) (string, error) {
	h.mu.Lock()
	h.tasks = append(h.tasks, t)
	h.mu.Unlock()
	if t.Verb != dossierJob {
		if t.File == "dark.yaml" {
			h.ran(t.File, "7200000")
			return bench.Results(t.File), nil
		}
		return "", &Trouble{Message: "it does not end well"}
	}
	g, err := dossier.Gather(os.DirFS(h.folder), dossier.Options{Version: "under test", Verified: t.Checked})
	if err != nil {
		return "", err
	}
	b, err := binder.Bind(ctx, g, binder.Options{})
	if err != nil {
		return "", err
	}
	h.put(binder.Folder, b.Files, b.Read)
	return binder.Folder, nil
}

func (h *hander) done() (verbs []string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, t := range h.tasks {
		verbs = append(verbs, strings.Join(append([]string{t.Verb}, t.Args...), " "))
	}
	h.tasks = nil
	return verbs
}

// handing serves a copy of a small bench with it.
func handing(t *testing.T) (*hander, asker) {
	t.Helper()
	h := &hander{t: t}
	folder, ask := openedOf(t, "small-days", Options{Version: "under test", Work: h.work})
	h.folder = folder
	return h, ask
}

func dues(d dossierBody) (names []string) {
	for _, one := range d.Due {
		names = append(names, one.Name)
	}
	return names
}

func TestTheDossierIsToldRenewedAndComparedWithTheOneBefore(t *testing.T) {
	h, ask := handing(t)
	first := askedFor[dossierBody](t, ask, "dossier", nil)
	if first.At != nil || len(first.Papers) != 4 || first.Papers[0].HTML != nil || first.Worded || !slices.Equal(dues(first), []string{"dark.yaml", "day.yaml", "season.yaml"}) || !first.Due[0].Missing || first.Due[0].Renew != "emberbank run dark.yaml" {
		t.Errorf("at first it is %+v", first)
	}
	h.ran("dark.yaml", "3600000")
	jobIn(t, ask, "POST", "dossier", nil, `{}`)
	inState(t, ask, dossierJob, done)
	now := askedFor[dossierBody](t, ask, "dossier", nil)
	if now.At == nil || now.Version != "under test" || now.Papers[0].HTML == nil || now.Papers[2].PDF == nil || len(now.Changed)+len(now.Damaged)+len(now.New) != 0 || now.Since != nil || slices.Contains(dues(now), "dark.yaml") {
		t.Errorf("composed it is %+v", now)
	}
	if a := askedFor[aheadBody](t, ask, "dossier/ahead", nil); a.Count != 0 || len(a.Problems) != 0 {
		t.Errorf("composed now it would say %+v", a)
	}

	raw, err := os.ReadFile(filepath.Join(h.folder, "receiver.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	h.write("receiver.yaml", string(raw)+"# another\n")
	h.write(binder.Folder+"/safety.html", "scribbled")
	old := askedFor[dossierBody](t, ask, "dossier", nil)
	i := slices.IndexFunc(old.Due, func(d dueOf) bool { return d.Name == "dark.yaml" })
	if i < 0 || old.Due[i].Missing || !slices.Equal(old.Due[i].Changed, []string{"receiver.yaml"}) || !slices.Contains(old.Changed, "receiver.yaml") || !slices.Equal(old.Damaged, []string{"safety.html"}) {
		t.Errorf("with another receiver it is %+v", old)
	}
	h.done()
	jobIn(t, ask, "POST", "dossier", nil, `{"renew": true}`)
	end := inState(t, ask, dossierJob, failed) // what could not be renewed is told when all else is done
	if !strings.Contains(end.Message, "2 results could not be renewed") || !strings.Contains(end.Message, "emberbank run day.yaml: it does not end well") || end.Results != binder.Folder {
		t.Errorf("renewed, it says %+v", end)
	}
	if got := h.done(); !slices.Equal(got, []string{"run run dark.yaml", "run run day.yaml", "run run season.yaml", dossierJob}) {
		t.Errorf("it did %q", got)
	}
	last := askedFor[dossierBody](t, ask, "dossier", nil)
	says := func(c dossier.Changed) bool {
		return c.From == "results/dark/summary.json /ledger/absorbed_J" && strings.Contains(c.First, "1") && strings.Contains(c.Second, "2")
	}
	if last.Since == nil || last.Since.Count == 0 || !slices.ContainsFunc(last.Since.Differ, says) || len(last.Changed)+len(last.Damaged) != 0 {
		t.Errorf("since the one before: %+v", last)
	}

	jobIn(t, ask, "POST", "dossier", nil, `{}`)
	inState(t, ask, dossierJob, done)
	if now := askedFor[dossierBody](t, ask, "dossier", nil); now.Since == nil || !now.Since.At.Equal(last.Since.At) {
		t.Errorf("composed again of the same results, since the one before: %+v", now.Since)
	}

	h.ran("dark.yaml", "10800000")
	if a := askedFor[aheadBody](t, ask, "dossier/ahead", nil); a.Count == 0 || !slices.ContainsFunc(a.Differ, func(c dossier.Changed) bool {
		return strings.HasSuffix(c.From, "/absorbed_J") && strings.Contains(c.Second, "3")
	}) {
		t.Errorf("with other results it would say %+v", a)
	}
	if now := askedFor[dossierBody](t, ask, "dossier", nil); !slices.Contains(now.Changed, "results/dark/summary.json") {
		t.Errorf("with other results it is %+v", now)
	}
}

func TestMistakesInTheAuthorsWordsAreToldWithTheirPlace(t *testing.T) {
	h, ask := handing(t)
	h.ran("dark.yaml", "3600000")
	if code, raw := ask("POST", "dossier/words", nil, ""); code != 200 {
		t.Fatalf("beginning them: %d %s", code, raw)
	}
	if code, _ := ask("POST", "dossier/words", nil, ""); code != 409 {
		t.Errorf("beginning them again: %d", code)
	}
	if p := askedFor[problemsBody](t, ask, "check", of("dossier.yaml")); len(p.Problems) != 0 {
		t.Errorf("what it begins with is wrong: %+v", p)
	}
	h.write("dossier.yaml", "schema: emberbank/1\nkind: dossier\nparts:\n  - {title: Own, text: \"{dark: ledger absorbed, kWh} and {dark: ledger absorved}\"}\n")
	for _, all := range [][]bench.Problem{askedFor[problemsBody](t, ask, "check", of("dossier.yaml")).Problems, askedFor[aheadBody](t, ask, "dossier/ahead", nil).Problems} {
		if len(all) != 1 || all[0].File != "dossier.yaml" || all[0].Line != 4 || all[0].Column != 58 || !strings.Contains(all[0].Fix, "ledger absorbed") {
			t.Errorf("a place that nothing fills is told as %+v", all)
		}
	}
	h.write("dossier.yaml", "schema: emberbank/1\nkind: dossier\nparts: [question, everything]\n")
	d := askedFor[dossierBody](t, ask, "dossier", nil)
	if len(d.Problems) != 1 || d.Problems[0].Line != 3 || !d.Worded || len(d.Due) == 0 {
		t.Errorf("a part that there is not is told as %+v", d)
	}
}

func TestAResultIsRenewedByItsOwnCommandOnly(t *testing.T) {
	h, ask := handing(t)
	h.put("results/two", []binder.File{{Name: "beside.json", Raw: []byte(`{"title":"two"}`)}}, []shelf.Entry{
		{Name: "results/a/history.csv", SHA256: "00"}, {Name: "../elsewhere/history.csv", SHA256: "00"},
	})
	h.put("results/other", []binder.File{{Name: "summary.json", Raw: []byte(`{"kind":"summary","title":"other"}`)}}, []shelf.Entry{{Name: "dark.yaml", SHA256: "00"}})
	d := askedFor[dossierBody](t, ask, "dossier", nil)
	here := map[string]bool{}
	for _, one := range d.Due {
		here[one.Name] = one.Here
	}
	if outside, is := here["results/two"]; !is || outside || !here["results/other"] || !here["dark.yaml"] {
		t.Errorf("due are %+v", d.Due)
	}
	post := func(body string) int {
		code, _ := ask("POST", "dossier/renew", nil, body)
		return code
	}
	if code := post(`{"name": "results/other"}`); code != 200 {
		t.Errorf("a run of its own folder: %d", code)
	}
	inState(t, ask, "results/other", failed)
	if got := h.done(); !slices.Equal(got, []string{"run run dark.yaml -o results/other"}) {
		t.Errorf("it did %q", got)
	}
	for _, body := range []string{`{"name": "results/two"}`, `{"name": "receiver.yaml"}`, `{"name": "../x.yaml"}`, `{"name": "dossier"}`} {
		if code := post(body); code != 404 {
			t.Errorf("%s: %d", body, code)
		}
	}
	if code := post(`{"name": "dark.yaml", "args": ["tidy", "--free"]}`); code != 422 {
		t.Errorf("a command of the asker's: %d", code)
	}
	if code, _ := ask("POST", "jobs", nil, `{"verb": "run", "file": "dark.yaml", "Args": ["tidy"]}`); code != 422 {
		t.Errorf("a command of the asker's, as a job: %d", code)
	}
	if got := h.done(); len(got) != 0 {
		t.Errorf("it did %q", got)
	}
}

func TestDocumentsAreShownShutInAndNothingElseIsAPageOfThisServer(t *testing.T) {
	folder, root := copiedOf(t, "small-days")
	h := &hander{t: t, folder: folder}
	h.write("results/dossier/report.html", "<script>1</script><a href=\"../../receiver.yaml\">x</a>")
	h.write("results/dossier/report.pdf", "%PDF-1.7")
	h.write("results/dossier/receiver.json", "{}")
	h.write("results/x/evil.html", "<script>1</script>")
	h.write("results/x/evil.pdf", "%PDF-1.7")
	h.write("results/dossier/in/evil.html", "<script>1</script>")
	h.write("evil.html", "<script>1</script>")
	d := Open(root, Options{Version: "under test"})
	t.Cleanup(d.Close)
	s := httptest.NewUnstartedServer(nil)
	s.Config.Handler = d.Handler(Access{Address: s.Listener.Addr(), Key: "right"})
	s.Start()
	t.Cleanup(s.Close)
	get := func(name string) (int, http.Header) {
		t.Helper()
		r, err := http.NewRequest(http.MethodGet, s.URL+"/bench/"+name, nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Authorization", "Bearer right")
		got, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		_ = got.Body.Close()
		return got.StatusCode, got.Header
	}
	code, head := get("results/dossier/report.html")
	policy := head.Get("Content-Security-Policy")
	if code != 200 || head.Get("Content-Type") != "text/html; charset=utf-8" || !strings.Contains(policy, "default-src 'none'") || !strings.Contains(policy, "sandbox") || strings.Contains(policy, "allow-scripts") || !strings.HasSuffix(policy, "frame-ancestors 'self'") {
		t.Errorf("the report: %d %v", code, head)
	}
	for name, kind := range map[string]string{"results/dossier/report.pdf": "application/pdf", "results/dossier/receiver.json": "application/json", "receiver.yaml": "text/plain; charset=utf-8"} {
		if code, head := get(name); code != 200 || head.Get("Content-Type") != kind || !strings.Contains(head.Get("Content-Security-Policy"), "frame-ancestors 'none'") {
			t.Errorf("%s: %d %v", name, code, head)
		}
	}
	for _, name := range []string{"results/x/evil.html", "results/x/evil.pdf", "results/dossier/in/evil.html", "evil.html", "results/dossier/.report.html", `results/dossier/..\..\evil.html`, "results", "results/dossier", url.PathEscape("../receiver.yaml"), "results/dossier/" + url.PathEscape("../../evil.html"), "%2e%2e/receiver.yaml"} {
		if code, head := get(name); isDocument(name) || code < 400 || strings.Contains(head.Get("Content-Type"), "html") && code == 200 {
			t.Errorf("%s: %d %v", name, code, head)
		}
	}
}

func TestWhatIsCheckedOnThePageIsNotComputedAgainForTheDossier(t *testing.T) {
	var v verified
	if v.printed() != nil {
		t.Error("nothing was computed")
	}
	v.rows = append(v.rows, verify.Row{Name: "x", Seconds: 3})
	var rows []map[string]any
	if err := json.Unmarshal(v.printed(), &rows); err != nil || len(rows) != 1 || rows[0]["seconds"] != nil && rows[0]["seconds"] != 0.0 {
		t.Errorf("they are %v (%v)", rows, err)
	}
	if v.rows[0].Seconds != 3 {
		t.Error("what the page shows has changed")
	}

	_, root := copiedOf(t, "small-days")
	var taken []byte
	d := Open(root, Options{Version: "under test", Work: func(_ context.Context, task Task, _ Listener) (string, error) {
		taken = task.Checked
		return "", nil
	}})
	t.Cleanup(d.Close)
	d.verified.rows = v.rows
	if _, err := d.compose(context.Background(), Task{Verb: dossierJob, File: dossierJob}, false, Listener{}); err != nil || !slices.Equal(taken, v.printed()) {
		t.Errorf("the dossier takes %q (%v)", taken, err)
	}
}
