package web

import (
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// described is every path of the interface with its methods, in small letters.
func described(t *testing.T) map[string]map[string]any {
	t.Helper()
	_, ask := opened(t)
	code, raw := ask("GET", "openapi.json", url.Values{}, "")
	var doc struct {
		Paths map[string]map[string]any
	}
	if err := json.Unmarshal([]byte(raw), &doc); code != 200 || err != nil {
		t.Fatalf("%d %v %.200s", code, err, raw)
	}
	return doc.Paths
}

// The page's calls, as they stand in its sources: ask and send of sheet/ask.ts, addresses of pictures, and the stream.
var (
	pageAsks  = regexp.MustCompile(`\b(?:ask|address|askText)(?:<[^(]*>)?\(\s*["\x60]([a-z][a-z/-]*)["\x60?]`)
	pageSends = regexp.MustCompile(`\bsend(?:<[^(]*>)?\(\s*"([A-Z]+)",\s*"([a-z][a-z/-]*)"`)
	pagePaths = regexp.MustCompile(`["\x60](/api/[a-z/-]+)`)
)

func TestThePageAsksOnlyWhatTheInterfaceDescribes(t *testing.T) {
	paths := described(t)
	found := 0
	known := func(file, path, method string) {
		found++
		if paths[path] == nil || method != "" && paths[path][strings.ToLower(method)] == nil {
			t.Errorf("%s asks %s %s, which is not described", file, method, path)
		}
	}
	err := filepath.WalkDir("../page/src", func(at string, d os.DirEntry, err error) error {
		if ext := filepath.Ext(at); err != nil || ext != ".ts" && ext != ".tsx" {
			return err
		}
		raw, err := os.ReadFile(at)
		if err != nil {
			return err
		}
		text := string(raw)
		for _, m := range pageAsks.FindAllStringSubmatch(text, -1) {
			known(at, "/api/"+m[1], "")
		}
		for _, m := range pageSends.FindAllStringSubmatch(text, -1) {
			known(at, "/api/"+m[2], m[1])
		}
		for _, m := range pagePaths.FindAllStringSubmatch(text, -1) {
			if m[1] != "/api/" && m[1] != "/api/openapi" { // the first is the beginning of every address
				known(at, strings.TrimSuffix(m[1], "/"), "")
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if found < 12 {
		t.Errorf("only %d calls were found in the page's sources", found)
	}
}

// Every answer that is described says what it is, and every parameter what it means or is named by a word of the bench.
func TestEachPathSaysWhatItIsFor(t *testing.T) {
	for path, methods := range described(t) {
		for method, raw := range methods {
			o, _ := raw.(map[string]any)
			if summary, _ := o["summary"].(string); len(summary) < 15 {
				t.Errorf("%s %s says %q", method, path, summary)
			}
			if id, _ := o["operationId"].(string); id == "" || strings.ContainsAny(id, " /") {
				t.Errorf("%s %s is named %q", method, path, id)
			}
		}
	}
}

// The example of docs/api.md is run as it stands there.
func TestTheExampleForScriptsWorks(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Skip("no python3 here")
	}
	page, err := os.ReadFile("../docs/api.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(page), "```python\n")
	script, _, ok := strings.Cut(rest, "```")
	if !ok {
		t.Fatal("docs/api.md shows no script")
	}
	folder, root := copied(t)
	d := Open(root, Options{Version: "under test"})
	defer d.Close()
	s := httptest.NewUnstartedServer(http.NotFoundHandler())
	s.Config.Handler = d.Handler(Access{Address: s.Listener.Addr(), Key: "right"})
	s.Start()
	defer s.Close()
	at := filepath.Join(t.TempDir(), "example.py")
	if err := os.WriteFile(at, []byte(script), 0o666); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Minute)
	defer stop()
	out, err := exec.CommandContext(ctx, python, at, s.URL+"/?key=right").CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, want := range []string{"the block's mean goes from 20.0", " degC\n", "caution: ", "block.depth is 80 mm, allowed: 1 mm to 10 m", "\nwritten\n"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("it does not say %q: %s", want, out)
		}
	}
	if raw, err := os.ReadFile(filepath.Join(folder, "receiver.yaml")); err != nil || !strings.Contains(string(raw), "depth: 210 mm, width") || !strings.Contains(string(raw), "# An invented receiver") {
		t.Errorf("the file is %s, %v", raw, err)
	}
}
