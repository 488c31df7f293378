package browser

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// write puts a text into the bench.
func (d *desk) write(name, text string) {
	d.t.Helper()
	if err := os.WriteFile(filepath.Join(d.folder, name), []byte(text), 0o666); err != nil {
		d.t.Fatal(err)
	}
}

// changed is a file of the bench with other words in the place of some.
func (d *desk) changed(name string, pairs ...string) string {
	d.t.Helper()
	return strings.NewReplacer(pairs...).Replace(d.file(name))
}

// look goes to an address of the desk.
func (d *desk) look(at string) {
	d.t.Helper()
	d.do(chromedp.Navigate(d.text(`location.origin`) + at))
}

const axis = `document.querySelector(".strip .axis")`

// axisKey presses a key on the time axis.
func (d *desk) axisKey(key string, shift bool) {
	d.t.Helper()
	d.text(fmt.Sprintf(`(%s.dispatchEvent(new KeyboardEvent("keydown", {key: %q, shiftKey: %v, bubbles: true, cancelable: true})), "")`, axis, key, shift))
}

// now is where the cursor stands, s.
func (d *desk) now() float64 {
	d.t.Helper()
	x, err := strconv.ParseFloat(d.text(axis+`.getAttribute("aria-valuenow")`), 64)
	if err != nil {
		d.t.Fatal(err)
	}
	return x
}

func (d *desk) untilNow(what string, want float64) {
	d.t.Helper()
	d.until(what, fmt.Sprintf(`%s.getAttribute("aria-valuenow") === "%.0f"`, axis, want))
}

func TestTheStripIsWorkedByKeysAlone(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	d.do(chromedp.Focus(`.strip .axis`))
	d.untilNow("the cursor stands at the end", 7200)
	d.axisKey("Home", false)
	d.untilNow("Home", 0)
	d.axisKey("ArrowRight", false)
	d.untilNow("one step", 60)
	d.axisKey("ArrowRight", true)
	d.untilNow("ten steps", 660)
	d.axisKey("ArrowLeft", false)
	d.untilNow("a step back", 600)
	d.axisKey("]", false)
	d.untilNow("the next event", 2700)
	d.until("an event says what it switches", `[...document.querySelectorAll(".flags button")].some((b) => b.textContent === "hold: light off, cover on")`)
	d.until("the axis says values at the cursor", axis+`.getAttribute("aria-valuetext").startsWith("0:45. ") && /block mean \d+.\d °C/.test(`+axis+`.getAttribute("aria-valuetext"))`)
	d.axisKey("+", false)
	d.until("looking closer stands in the address", `new URLSearchParams(location.search).get("zoom") === "1350-4950"`)
	d.axisKey("]", false) // 90 min lie outside: the axis follows
	d.until("the axis follows the cursor", `(([a, b]) => a < 5400 && b > 5400)((new URLSearchParams(location.search).get("zoom") ?? "0-0").split("-").map(Number))`)
	d.axisKey("0", false)
	d.until("the whole again", `!location.search.includes("zoom")`)
	d.axisKey("Enter", false)
	d.until("the table behind the curves", `document.querySelectorAll(".strip .rows tbody tr").length === 13 && document.querySelector(".strip .rows [aria-current] th").textContent === "1:30"`)
	d.axisKey("Enter", false)
	d.until("the table is gone", `document.querySelector(".strip .rows") === null`)

	d.axisKey("/", false)
	d.until("the list of columns has the focus", `document.activeElement.type === "search"`)
	d.text(`(() => { const f = document.activeElement; f.value = "lost"; f.dispatchEvent(new Event("input", {bubbles: true})); return ""; })()`)
	d.until("a word narrows the list", `document.querySelectorAll(".choose li").length > 3 && [...document.querySelectorAll(".choose li")].every((l) => l.textContent.includes("lost"))`)
	d.text(`(document.querySelector(".choose li input").click(), "")`)
	d.until("the column is shown", `location.search.includes("curves=") && /lost /.test(`+axis+`.getAttribute("aria-valuetext"))`)

	x := d.text(`(() => { const o = document.querySelector(".u-over"), r = o.getBoundingClientRect();
		const at = (type, x) => o.dispatchEvent(new MouseEvent(type, {clientX: r.left + x * r.width, clientY: r.top + 20, button: 0, buttons: 1, movementX: 9, bubbles: true, cancelable: true}));
		at("mousemove", .25); at("mousedown", .25); at("mousemove", .4); at("mousemove", .5);
		document.dispatchEvent(new MouseEvent("mouseup", {clientX: r.left + .5 * r.width, clientY: r.top + 20, button: 0, bubbles: true})); return ""; })()`)
	d.until("a stretch drawn over is looked at"+x, `(([a, b]) => Math.abs(a - 1800) < 60 && Math.abs(b - 3600) < 60)((new URLSearchParams(location.search).get("zoom") ?? "0-0").split("-").map(Number))`)
	d.text(`(dispatchEvent(new Event("beforeprint")), "")`)
	d.until("it is set again for paper", `document.querySelector(".strip .paper svg text")?.textContent === "trial 1"`)
	d.text(`(dispatchEvent(new Event("afterprint")), "")`)
	d.noErrors()
}

func TestAnotherRunAndATrialAreLaidOver(t *testing.T) {
	d := opened(t)
	d.write("made.yaml", "schema: emberbank/1\nkind: trial\nname: made up\nloggers:\n  - file: made.csv\n    channels:\n      - {column: \"T1 [degC]\", place: T1, uncertainty: 1 K}\n")
	rows := "time [s],T1 [degC]\n"
	for s := 0; s <= 7200; s += 60 {
		rows += fmt.Sprintf("%d,%.2f\n", s, 40+0.01*float64(s))
	}
	d.write("made.csv", rows)
	d.write("bench.yaml", d.changed("bench.yaml", "files: [", "files: [made.yaml, "))
	d.look("/will?run=trial-1.yaml")
	d.wait("settled")
	d.until("runs and trials can be chosen", `document.querySelectorAll(".strip .over option").length >= 4`)
	d.axisKey("r", false)
	d.wait("Broad and pale: trial 2")
	d.axisKey("Enter", false)
	d.wait("This run less trial 2")
	d.until("the mean of the block differs", `[...document.querySelectorAll(".strip .rows tr")].some((r) => r.textContent.startsWith("block mean") && /−\d+.\d/.test(r.textContent))`)
	d.axisKey("t", false)
	d.wait("Open marks: made up, measured")
	d.wait("Computed less measured, made up")
	d.until("how well it is known", `[...document.querySelectorAll(".strip .rows td")].some((c) => c.textContent === "± 1.0")`)
	d.until("the address holds it", `location.search.includes("beside=made.yaml")`)
	d.axisKey("t", false)
	d.until("nothing is laid over", `document.querySelector(".strip .said") === null`)
	d.noErrors()
}

// A hundred thousand rows of a run, and as many of a logger over it. Times are told, not judged: they depend on the machine.
func TestALongHistoryIsDrawnAndLookedAtCloser(t *testing.T) {
	d := opened(t)
	const length = 100_000
	d.write("long.yaml", d.changed("trial-1.yaml", "until: 2 h", fmt.Sprintf("until: %d s", length), "every: 60 s", "every: 1 s", "tolerance: 0.05 K", "tolerance: 1 K",
		"grid: {size: 30 mm, cells per layer: 1}", "grid: {cells: {depth: 4, width: 4, height: 4}}")) // few cells: many rows are what counts here
	var b strings.Builder
	b.WriteString("time [s],T1 [degC]\n")
	for s := range length {
		v := 40 + 20*math.Sin(float64(s)/9000)
		if s == 71_234 {
			v = 700 // one row alone
		}
		fmt.Fprintf(&b, "%d,%.3f\n", s, v)
	}
	d.write("made.csv", b.String())
	d.write("made.yaml", "schema: emberbank/1\nkind: trial\nname: made up\nrepairs: {spikes: off}\nloggers:\n  - file: made.csv\n    channels:\n      - {column: \"T1 [degC]\", place: T1, uncertainty: 1 K}\n")
	began := time.Now()
	d.look("/will?run=long.yaml&time=71234")
	d.until("rows stand while it is computed", `document.querySelectorAll(".strip canvas").length > 0`)
	t.Logf("the first curves stand after %.2f s", time.Since(began).Seconds())
	d.until("it is computed", `document.querySelector(".title").innerText.includes("settled")`)
	t.Logf("%d rows are computed after %.1f s", length, time.Since(began).Seconds())
	d.do(chromedp.Focus(`.strip .axis`))
	d.until("the end", fmt.Sprintf(`%s.getAttribute("aria-valuemax") === "%d"`, axis, length))
	took := func(what, key string) {
		d.text(fmt.Sprintf(`(window.took = "", (async () => { const t = performance.now(); for (let i = 0; i < 10; i++) { %s.dispatchEvent(new KeyboardEvent("keydown", {key: %q, bubbles: true, cancelable: true}));
			await new Promise((f) => requestAnimationFrame(f)); } window.took = ((performance.now() - t) / 10).toFixed(1); })(), "")`, axis, key))
		d.until(what, `window.took !== ""`)
		t.Logf("%s: %s ms from key to key, drawn", what, d.text(`window.took`))
	}
	took("cursor over the whole", "ArrowRight")
	took("ten times closer", "+")
	d.until("it is looked at closely", `location.search.includes("zoom=")`)
	took("cursor within a part", "ArrowLeft")
	d.axisKey("0", false)
	d.until("the whole again", `!location.search.includes("zoom")`)

	began = time.Now()
	d.look("/will?run=long.yaml&beside=made.yaml&curves=T1&time=71234")
	d.wait("Open marks: made up, measured")
	t.Logf("a logger of %d rows is read and laid over after %.1f s", length, time.Since(began).Seconds())
	d.axisKey("Enter", false)
	d.wait("Computed less measured, made up")
	// The one row that stands out is found, whatever was left out of the curve.
	d.until("the largest difference is at the one row that stands out", `[...document.querySelectorAll(".strip .rows tr")].some((r) => r.textContent.startsWith("T1") && r.textContent.includes("19:47"))`)
	for range 9 {
		d.axisKey("+", false)
	}
	d.until("looked at closely", `location.search.includes("zoom=")`)
	took("cursor over a run and a trial", "ArrowRight")
	d.noErrors()
}

func TestRowsAppearAsTheyAreComputed(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	d.write("slow.yaml", d.changed("trial-1.yaml", "until: 2 h", "until: 4000 h", "every: 60 s", "every: 60 s", "tolerance: 0.05 K", "tolerance: 0.0001 K"))
	d.look("/will?run=slow.yaml")
	d.until("the march is under way", `document.querySelectorAll(".strip canvas").length > 0 && document.body.innerText.includes("coarse")`)
	first := d.now()
	d.until("the curves grow", fmt.Sprintf(`Number(%s.getAttribute("aria-valuenow")) > %f`, axis, first))
	d.text(`([...document.querySelectorAll("button")].find((b) => b.textContent === "stop").click(), "")`)
	d.wait("stopped")
	d.noErrors()
}
