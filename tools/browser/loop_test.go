package browser

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// another is a second tab of the same browser, at the same bench.
func (d *desk) another() *desk {
	d.t.Helper()
	tab, stop := chromedp.NewContext(d.tab, chromedp.WithListener(d.hear))
	d.t.Cleanup(stop)
	two := &desk{t: d.t, folder: d.folder, link: d.link, tab: tab}
	two.do(chromedp.Navigate(d.link))
	return two
}

// replaced writes a file of the bench anew with a text in place of another.
func (d *desk) replaced(name, from, to string) {
	d.t.Helper()
	at := filepath.Join(d.folder, name)
	raw, err := os.ReadFile(at)
	if err != nil || !strings.Contains(string(raw), from) {
		d.t.Fatalf("%s does not say %q: %v", name, from, err)
	}
	if err := os.WriteFile(at, []byte(strings.Replace(string(raw), from, to, 1)), 0o666); err != nil {
		d.t.Fatal(err)
	}
}

// standing is what the title block says of the answer.
const standing = `([...document.querySelectorAll(".title > div")].map((e) => e.innerText).find((t) => t.startsWith("this answer")) ?? "")`

// A run of years, whose coarse answer takes minutes, is seen growing, outlives a reload, is the same in two tabs, and is stopped from either.
func TestALongRunIsSeenGrowingReloadedAndStopped(t *testing.T) {
	d := servedFrom(t, small(t))
	d.replaced("trial-1.yaml", "until: 2 h", "until: 200000 h")
	d.replaced("trial-1.yaml", "every: 60 s", "every: 1000 h")
	d.browse()
	d.until("it is being computed", `/coarse, at \d+:\d\d of 200000:00/.test(`+standing+`)`)
	reached := `Number(/coarse, at (\d+):/.exec(` + standing + `)?.[1] ?? -1)`
	d.until("hours go by", reached+" > 20")
	before := d.text("String(" + reached + ")")
	d.do(chromedp.Reload())
	d.until("it goes on after a reload from where it was", reached+" >= "+before)
	d.until("rows have come", `document.querySelector("main table") !== null`)
	two := d.another()
	two.until("the other tab sees it too", reached+" >= "+before)
	two.key("s")
	two.until("it is stopped", standing+`.includes("stopped")`)
	d.until("the first tab hears of it", standing+`.includes("stopped")`)
	d.noErrors()
}

// One value is changed on the sheet, another by an editor; both tabs come to show both. A wrong one is struck where it stands.
func TestTwoTabsAndAnEditorWorkAtTheSameFiles(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	two := d.another()
	two.wait("settled")
	d.text(`(document.querySelector('nav a[href="/drawn"]').click(), "")`)
	d.until("the parts are listed", `[...document.querySelectorAll(".parthead")].some((e) => e.innerText.includes("80 mm"))`)
	d.text(`([...document.querySelectorAll(".parthead")].find((e) => e.innerText.includes("80 mm")).click(), "")`)
	d.until("the depth can be changed", `document.querySelector('input[aria-label="receiver block depth"]') !== null`)
	d.typeInto("receiver block depth", "-40 mm")
	d.until("a wrong value is explained beside it", `[...document.querySelectorAll("[role=alert]")].some((e) => e.innerText.includes("1 mm to 10 m"))`)
	raw, err := os.ReadFile(filepath.Join(d.folder, "receiver.yaml"))
	if err != nil || !strings.Contains(string(raw), "depth: 80 mm") {
		t.Errorf("the file is %s, %v", raw, err)
	}
	d.typeInto("receiver block depth", "90 mm")
	block := func(size string) string {
		return fmt.Sprintf(`document.querySelector('nav a[href="/drawn"]').innerText.includes(%q)`, size)
	}
	d.until("it is redrawn", block("90 × 120 × 120 mm"))
	two.until("the other tab follows", block("90 × 120 × 120 mm"))
	d.replaced("receiver.yaml", "width: 120 mm", "width: 110 mm")
	d.until("what an editor writes is seen", block("90 × 110 × 120 mm"))
	two.until("in both tabs", block("90 × 110 × 120 mm"))
	if raw, err := os.ReadFile(filepath.Join(d.folder, "receiver.yaml")); err != nil || !strings.Contains(string(raw), "# An invented receiver") {
		t.Errorf("the comment is gone: %s, %v", raw, err)
	}
	d.noErrors()
}

// bakery is a new copy of the worked bench.
func bakery(t *testing.T) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "bakery")
	if out, err := exec.Command("../../build/emberbank", "new", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return folder
}

// From the drawing to the verdict on the worked bench: a length is changed by keys where it is drawn, the run is computed
// anew with it, and the study of the insulation says how much wool still helps.
func TestALengthIsChangedAndTheStudyGivesItsVerdict(t *testing.T) {
	d := servedFrom(t, bakery(t))
	d.replaced("insulation.yaml", "count: 12", "count: 6") // fewer variants, so that it is soon done
	d.browse()
	d.wait("settled")
	d.inHand("depth of the block, 200 mm")
	for range 5 {
		d.do(chromedp.KeyEvent(kb.ArrowUp))
	}
	d.until("five steps up are taken", `document.querySelector(".inhand input").value === "205 mm"`)
	d.do(chromedp.KeyEvent("\r"))
	d.holds("receiver.yaml", "depth: 205 mm")
	d.until("the drawing shows it", `[...document.querySelectorAll(".section .given")].some((g) => g.getAttribute("aria-label") === "depth of the block, 205 mm")`)
	d.until("the title block tells it", `document.querySelector(".title").innerText.includes("block depth 200 mm, now 205 mm")`)
	d.until("the run is computed with it", standing+`.includes("settled") && document.querySelector('nav a[href="/drawn"]').innerText.includes("205 × 300 × 300 mm")`)
	d.until("its answer says what it holds", `/\d/.test(document.querySelector("main .sentence").innerText) && document.querySelector("main .sentence.unsettled") === null`)
	d.until("and what the change did", `[...document.querySelectorAll(".title .since + .fine")].some((e) => /, now /.test(e.innerText))`)

	d.do(chromedp.KeyEvent("6"))
	d.until("the study can be chosen", `[...document.querySelectorAll(".studies a")].some((a) => a.textContent.startsWith("thickness of the mineral wool"))`)
	d.text(`([...document.querySelectorAll(".studies a")].find((a) => a.textContent.startsWith("thickness of the mineral wool")).click(), "")`)
	d.pressIn(".standing", "run these 6 variants")
	asks := `(document.querySelector(".standing")?.innerText.includes("Go on?") ?? false)`
	verdict := `(document.querySelector(".studied .picture svg text") !== null && document.querySelectorAll(".variants tbody tr a").length === 6)`
	d.until("it is computed", asks+" || "+verdict)
	if d.text("String("+asks+")") == "true" { // where all are shared out, it takes long
		d.pressIn(".standing", "go on")
	}
	d.until("the verdict is drawn", verdict)
	var raw []byte
	if err := filepath.WalkDir(filepath.Join(d.folder, "results"), func(at string, e fs.DirEntry, err error) error {
		if err == nil && e.Name() == "study.json" {
			raw, err = os.ReadFile(at)
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	var study struct {
		Answers []struct{ Sentences []string }
	}
	if err := json.Unmarshal(raw, &study); err != nil || len(study.Answers) == 0 || len(study.Answers[0].Sentences) == 0 {
		t.Fatalf("the results hold no answer: %+v %v", study, err)
	}
	want := study.Answers[0].Sentences[0]
	if said := d.text(`document.querySelector(".sentence").innerText`); said != want || !strings.Contains(said, "within this range") {
		t.Errorf("the verdict is %q, in the results %q", said, want)
	}
	d.noErrors()
}

// The worked bench: how soon there is something to see, and how soon a change has its first answer. The times are printed, not
// judged: other programs may be busy beside this one.
func TestTheWorkedBenchIsSeenAtOnce(t *testing.T) {
	d := servedFrom(t, bakery(t))
	d.browse()
	picture := `(document.querySelector("main svg[width], main .picture svg") !== null || document.querySelector("main canvas")?.width > 0)`
	since := func(what, expression string) float64 {
		t.Helper()
		ms, err := chromedp.Run(d.tab, chromedp.Evaluate[float64](fmt.Sprintf(`new Promise((done) => { const look = () => (%s) ? done(performance.now()) : setTimeout(look, 10); look(); })`, expression), chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		return ms
	}
	t.Logf("the first picture stands %.0f ms after the page was asked for", since("a picture", picture))
	t.Logf("the first sentence with numbers after %.0f ms", since("a sentence", `/\d/.test(document.querySelector("main .sentence")?.innerText ?? "")`))
	coarse := `!/coarse/.test(` + standing + `)`
	t.Logf("the coarse answer is whole after %.0f ms", since("the coarse answer", coarse))
	d.replaced("receiver.yaml", "depth: 200 mm", "depth: 210 mm")
	began := time.Now()
	d.until("the change is seen", `document.querySelector('nav a[href="/drawn"]').innerText.includes("210 × 300 × 300 mm")`)
	t.Logf("a change by an editor is seen after %.0f ms", float64(time.Since(began).Milliseconds()))
	d.until("it is answered", answered)
	t.Logf("and has its coarse answer %.0f ms after it was written", float64(time.Since(began).Milliseconds()))
	d.noErrors()
}
