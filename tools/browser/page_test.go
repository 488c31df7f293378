package browser

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// desk is a bench that the built program serves, and a browser tab that looks at it.
type desk struct {
	t       *testing.T
	folder  string
	link    string
	program *os.Process // that serves it
	tab     context.Context
	mu      sync.Mutex
	errors  []string                   // that the browser's console told
	asked   map[network.RequestID]bool // what the page waits for
}

// opened serves a copy of a small bench and opens its link.
func opened(t *testing.T) *desk {
	t.Helper()
	d := served(t)
	d.browse()
	return d
}

// served serves a copy of a small bench.
func served(t *testing.T) *desk {
	t.Helper()
	return servedFrom(t, small(t))
}

// small is a copy of a small bench.
func small(t *testing.T) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "bench")
	if err := os.CopyFS(folder, os.DirFS("../../examples/small-match")); err != nil {
		t.Fatal(err)
	}
	return folder
}

// servedFrom serves a folder.
func servedFrom(t *testing.T, folder string) *desk {
	t.Helper()
	d := &desk{t: t, folder: folder, asked: map[network.RequestID]bool{}}
	program := exec.Command("../../build/emberbank", "open", d.folder, "--no-browser")
	out, err := program.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := program.Start(); err != nil {
		t.Fatalf("%v: build the program first: make build", err)
	}
	d.program = program.Process
	t.Cleanup(func() {
		_ = program.Process.Signal(os.Interrupt)
		if err := program.Wait(); err != nil {
			t.Errorf("the program ends with %v", err)
		}
	})
	for lines := bufio.NewScanner(out); d.link == "" && lines.Scan(); {
		if text := strings.TrimSpace(lines.Text()); strings.HasPrefix(text, "http://127.0.0.1:") {
			d.link = text
		}
	}
	return d
}

// browse starts a browser and opens the link.
func (d *desk) browse() {
	d.t.Helper()
	var path string
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		d.t.Fatal("no Chromium is found; install it (Debian: apt-get install chromium)")
	}
	allocator, stop := chromedp.NewExecAllocator(context.Background(),
		append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.ExecPath(path), chromedp.WindowSize(1280, 800))...)
	d.t.Cleanup(stop)
	tab, stop := chromedp.NewContext(allocator, chromedp.WithListener(d.hear))
	d.t.Cleanup(stop)
	tab, stop = context.WithTimeout(tab, 5*patience)
	d.t.Cleanup(stop)
	d.tab = tab
	d.do(chromedp.Navigate(d.link))
}

// hear keeps what the console tells as an error.
func (d *desk) hear(ev any) {
	d.mu.Lock()
	defer d.mu.Unlock()
	switch e := ev.(type) {
	case *runtime.EventExceptionThrown:
		d.errors = append(d.errors, "exception: "+e.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			d.errors = append(d.errors, fmt.Sprint(e.Args))
		}
	case *network.EventRequestWillBeSent:
		if e.Type == network.ResourceTypeFetch || e.Type == network.ResourceTypeXHR {
			d.asked[e.RequestID] = true
		}
	case *network.EventLoadingFinished:
		delete(d.asked, e.RequestID)
	case *network.EventLoadingFailed:
		delete(d.asked, e.RequestID)
	case *page.EventFrameNavigated:
		if e.Frame.ParentID == "" {
			clear(d.asked) // another page waits for none of it
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError {
			d.errors = append(d.errors, e.Entry.Text+" "+e.Entry.URL)
		}
	}
}

// quiet tells whether the page waits for nothing that it has asked for.
func (d *desk) quiet() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return len(d.asked) == 0
}

func (d *desk) do(steps ...chromedp.Action[chromedp.Void]) {
	d.t.Helper()
	if err := chromedp.Do(d.tab, steps...); err != nil {
		d.t.Fatal(err)
	}
}

// text is what an expression of the page gives.
func (d *desk) text(expression string) string {
	d.t.Helper()
	s, err := chromedp.Run(d.tab, chromedp.Evaluate[string](expression))
	if err != nil {
		d.t.Fatalf("%s: %v", expression, err)
	}
	return s
}

// patience is how long anything may take to come. It is long, since other programs may be busy beside this one; what
// comes soon is not waited for.
const patience = 3 * time.Minute

// comes waits until something is so, and tells whether it came to be.
func (d *desk) comes(so func() bool) bool {
	d.t.Helper()
	for end := time.Now().Add(patience); ; time.Sleep(50 * time.Millisecond) {
		if so() {
			return true
		}
		if time.Now().After(end) {
			return false
		}
	}
}

// wait waits until the page's text holds something.
func (d *desk) wait(what string) {
	d.t.Helper()
	text := ""
	if !d.comes(func() bool { text = d.text(`document.body.innerText`); return strings.Contains(text, what) }) {
		d.t.Fatalf("the page does not come to say %q: %s", what, text)
	}
}

// until waits until an expression of the page is true; one that fails, since what it looks at is not there yet, is not.
func (d *desk) until(what, expression string) {
	d.t.Helper()
	is := ""
	if !d.comes(func() bool {
		is = d.text("(() => { try { return String(" + expression + "); } catch (e) { return String(e); } })()")
		return is == "true"
	}) {
		d.t.Fatalf("not so: %s, but %s", what, is)
	}
}

func (d *desk) noErrors() {
	d.t.Helper()
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.errors) > 0 {
		d.t.Errorf("the console tells %q", d.errors)
	}
}

func TestTheSheetSaysWhatTheRunWillDo(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	d.wait("the block's mean goes from 20")
	d.wait("Before anything is lit or filled")
	if at := d.text(`location.search`); strings.Contains(at, "key") {
		t.Errorf("the key stands in the address: %s", at)
	}
	if n := d.text(`String(document.querySelectorAll("canvas").length)`); n != "2" {
		t.Errorf("%s canvases of curves, want 2", n)
	}
	d.until("both pictures are there", `document.querySelectorAll(".picture svg").length === 3`)
	d.do(chromedp.Focus(`.strip .axis`))
	d.text(`(document.querySelector(".strip .axis").dispatchEvent(new KeyboardEvent("keydown", {key: "Home", bubbles: true, cancelable: true})), "")`)
	d.wait("At 0:00")
	d.text(`(document.querySelector(".strip .axis").dispatchEvent(new KeyboardEvent("keydown", {key: "]", bubbles: true, cancelable: true})), "")`)
	d.wait("At 0:45") // the hold begins
	if at := d.text(`location.search`); !strings.Contains(at, "time=2700") {
		t.Errorf("the address does not hold the cursor: %s", at)
	}
	d.noErrors()
}

func TestAMistakeIsToldAndMendedOnTheSheet(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	d.text(`(document.querySelector('nav a[href="/drawn"]').click(), "")`)
	d.wait("receiver.yaml")
	d.text(`(([...document.querySelectorAll(".files a")].find((a) => a.textContent === "receiver.yaml")).click(), "")`)
	d.wait("as on the disk")
	edit := func(from, to string) {
		d.text(fmt.Sprintf(`(() => { const t = document.querySelector("textarea"); t.value = t.value.replace(%q, %q); t.dispatchEvent(new Event("input", {bubbles: true})); return ""; })()`, from, to))
		d.wait("not written yet")
		d.text(`(([...document.querySelectorAll("button")].find((b) => b.textContent === "write")).click(), "")`)
		d.wait("as on the disk")
	}
	edit("depth: 80 mm", "depth: 80")
	d.wait(`"80" has no unit`)
	d.wait("one mistake")
	raw, err := os.ReadFile(filepath.Join(d.folder, "receiver.yaml"))
	if err != nil || !strings.Contains(string(raw), "depth: 80, width") || !strings.Contains(string(raw), "# An invented receiver") {
		t.Errorf("the file is %s, %v", raw, err)
	}
	edit("depth: 80,", "depth: 90 mm,")
	d.wait("90 × 120 × 120 mm")
	d.wait("settled")
	d.noErrors()
}
