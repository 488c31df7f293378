package browser

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// inMode shows the page as a reader sees it who has asked his system for dark or light, and for little motion.
func (d *desk) inMode(scheme string) {
	d.t.Helper()
	d.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{
			{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"},
		}})
		return err
	}))
}

// views are the addresses of all questions.
func (d *desk) views() []string {
	d.t.Helper()
	return strings.Fields(d.text(`[...document.querySelectorAll("nav.questions a")].map((a) => a.getAttribute("href")).join(" ")`))
}

// visit opens the view of a question and waits until it has what it asks for and has been still for a moment.
func (d *desk) visit(href string) {
	d.t.Helper()
	d.text(fmt.Sprintf(`(document.querySelector('nav.questions a[href=%q]').click(), "")`, href))
	d.until(href+" is looked at", fmt.Sprintf(`document.querySelector('nav.questions a[aria-current]').getAttribute("href") === %q`, href))
	last, still := "", 0
	rests := func() bool {
		now := d.text(`String(document.body.innerHTML.length)`)
		if now != last || !d.quiet() {
			last, still = now, 0
		}
		still++
		return still > 8
	}
	if !d.comes(rests) {
		d.t.Fatalf("%s does not come to rest", href)
	}
}

// finding is what axe-core has to say against a part of the page.
type finding struct {
	ID, Impact, Help string
	Nodes            []struct{ HTML, FailureSummary string }
}

// examined asks axe-core, which `make` fetches with what the page is built with, about the page as it stands.
func (d *desk) examined() (grave, slight []finding) {
	d.t.Helper()
	if d.text(`typeof axe`) != "object" {
		source, err := os.ReadFile("../../page/node_modules/axe-core/axe.min.js")
		if err != nil {
			d.t.Fatalf("%v: build the program first: make build", err)
		}
		d.text(string(source) + "; ''")
	}
	raw, err := chromedp.Run(d.tab, chromedp.Evaluate[string](`axe.run(document, {resultTypes: ["violations"]}).then((r) => JSON.stringify(r.violations))`, chromedp.EvalAwaitPromise))
	if err != nil {
		d.t.Fatal(err)
	}
	var all []finding
	if err := json.Unmarshal([]byte(raw), &all); err != nil {
		d.t.Fatal(err)
	}
	for _, f := range all {
		if f.Impact == "serious" || f.Impact == "critical" {
			grave = append(grave, f)
		} else {
			slight = append(slight, f)
		}
	}
	return grave, slight
}

// Checked by axe-core 4.14.1, whose rules follow WCAG 2.2; contrasts are those of the colours that the browser paints.
func TestEveryViewIsFreeOfSeriousFindings(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	told := map[string]bool{}
	for _, scheme := range []string{"light", "dark"} {
		d.inMode(scheme)
		for _, href := range d.views() {
			d.visit(href)
			grave, slight := d.examined()
			for _, f := range grave {
				t.Errorf("%s, %s: %s (%s)", href, scheme, f.Help, f.ID)
				for i, n := range f.Nodes {
					if i == 4 {
						t.Errorf("  and %d more", len(f.Nodes)-4)
						break
					}
					t.Errorf("  %.160s\n  %s", n.HTML, n.FailureSummary)
				}
			}
			for _, f := range slight {
				if what := href + " " + f.ID; !told[what] {
					told[what] = true
					t.Logf("%s: %s: %s (%d), %.100s", href, f.Impact, f.Help, len(f.Nodes), f.Nodes[0].HTML)
				}
			}
		}
	}
	d.text(`(document.querySelector(".allkeys").click(), "")`)
	if grave, _ := d.examined(); len(grave) > 0 {
		t.Errorf("the list of keys: %+v", grave)
	}
	d.text(`(document.querySelector("dialog[open]").close(), document.documentElement.style.setProperty("--ink2", "#24302d"), "")`)
	if grave, _ := d.examined(); len(grave) == 0 || grave[0].ID != "color-contrast" {
		t.Errorf("grey on black is not found: %+v", grave)
	}
	d.noErrors()
}

// Who has no pointer reaches all: by Tab in the order in which it is read, and by keys of their own.
func TestTheSheetIsWorkedByKeysAlone(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	press := func(keys string, opts ...chromedp.KeyOption) {
		t.Helper()
		d.do(chromedp.KeyEvent(keys, opts...))
	}
	focus := func() string {
		return d.text(`((e) => e.id || e.className || e.textContent.slice(0, 40))(document.activeElement)`)
	}
	press(kb.Tab)
	if at := focus(); at != "skip" {
		t.Errorf("the first that Tab reaches is %q", at)
	}
	press(kb.Enter)
	if at := focus(); at != "answer" {
		t.Errorf("the skip link leads to %q", at)
	}
	press("1")
	d.until("the first question is looked at", `location.pathname === "/drawn" && document.title.startsWith("What have I drawn?")`)
	press("?")
	d.until("the keys are listed", `document.querySelector("dialog[open]") !== null`)
	for _, key := range []string{"1", "2", "x", "s", "?"} {
		if d.text(fmt.Sprintf(`String([...document.querySelectorAll("dialog kbd")].some((k) => k.textContent === %q))`, key)) != "true" {
			t.Errorf("%s is not in the list of keys", key)
		}
	}
	press("2")
	d.until("keys beneath a dialog rest", `location.pathname === "/drawn"`)
	d.text(`(document.querySelector("dialog input").focus(), "")`)
	press(" ")
	press(kb.Escape)
	d.until("the list is closed", `document.querySelector("dialog[open]") === null`)
	press("2")
	press("?")
	d.until("letters are off", `location.pathname === "/drawn" && document.querySelector("dialog[open]") === null`)
	d.do(chromedp.Reload())
	d.wait("settled")
	press("2")
	d.until("and stay off", `location.pathname === "/drawn"`)
	d.text(`(localStorage.removeItem("emberbank-letters"), "")`)
	d.do(chromedp.Reload())
	d.wait("settled")
	press("2")
	d.until("on again", `location.pathname === "/will"`)
	seen := d.text(`(() => { const out = []; for (const e of document.querySelectorAll("a[href], button, input, select, textarea, [tabindex='0']")) { if (e.tabIndex > 0) out.push(e.outerHTML.slice(0, 80)); } return out.join("\n"); })()`)
	if seen != "" {
		t.Errorf("an order of its own, against that of reading: %s", seen)
	}
	marks := d.text(`["nav[aria-label]", "main[aria-labelledby]", "footer", "h1"].filter((s) => document.querySelectorAll(s).length !== 1).join(" ")`)
	if marks != "" {
		t.Errorf("not just one of each landmark: %s", marks)
	}
	d.noErrors()
}

// Units change wherever a number is shown, and stay so in this browser.
func TestUnitsAreTheReadersChoice(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	d.text(`(document.querySelector('.reader button[aria-label^="°C"]').click(), "")`)
	d.until("temperatures are in K", `/\d\u2009K/.test(document.querySelector("main table").innerText) && !/\d\u2009°C/.test(document.querySelector("main table").innerText)`)
	d.do(chromedp.Reload())
	d.wait("settled")
	d.until("and are so after a reload", `/\d\u2009K/.test(document.querySelector("main table").innerText)`)
	d.noErrors()
}
