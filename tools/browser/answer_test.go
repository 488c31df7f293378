package browser

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// watches has the page note from now on, in ms of its own clock: when Enter is pressed, when the sentence, the ledger, the title
// block and the section come to say something else, when the answer is settled, and when a canvas is painted.
const watches = `(() => {
	performance.setResourceTimingBufferSize(5000);
	performance.clearResourceTimings();
	const w = window.watched = {pressed: 0, said: {}, painted: []};
	addEventListener("keydown", (e) => { if (e.key === "Enter" && w.pressed === 0) w.pressed = performance.now(); }, true);
	const clear = CanvasRenderingContext2D.prototype.clearRect;
	CanvasRenderingContext2D.prototype.clearRect = function (...a) { w.painted.push(performance.now()); return clear.apply(this, a); };
	const what = {
		sentence: () => document.querySelector("main .sentence")?.innerText,
		ledger: () => document.querySelector(".ledger .picture svg"),
		section: () => document.querySelector(".section .picture svg"),
		changed: () => document.querySelector(".title .since + .fine")?.innerText,
		pale: () => document.querySelector(".sentence.unsettled") !== null,
		standing: () => ` + standing + `,
	};
	const were = Object.fromEntries(Object.entries(what).map(([k, of]) => [k, of()]));
	setInterval(() => {
		for (const [k, of] of Object.entries(what)) {
			const is = of();
			if (is === were[k]) continue;
			were[k] = is;
			(w.said[k] ??= []).push({at: performance.now(), is: typeof is === "object" && is !== null ? "drawn" : String(is)});
		}
	}, 5);
	return "";
})()`

// noted is what the page has noted, in ms since Enter was pressed.
type noted struct {
	Said     map[string][]moment
	Painted  []float64
	Requests []struct {
		At, Took float64
		Path     string
	}
}

type moment struct {
	At float64
	Is string
}

// first is when something first became what is wanted; -1: never.
func (n *noted) first(what string, wanted func(is string) bool) float64 {
	for _, m := range n.Said[what] {
		if wanted(m.Is) {
			return m.At
		}
	}
	return -1
}

func (n *noted) asked(path string, until float64) (count int) {
	for _, r := range n.Requests {
		if r.At <= until && r.Path == "/api/"+path {
			count++
		}
	}
	return count
}

func (d *desk) noted() (n noted) {
	d.t.Helper()
	raw := d.text(`JSON.stringify((() => { const w = window.watched, t = w.pressed; return {
		said: Object.fromEntries(Object.entries(w.said).map(([k, l]) => [k, l.map((m) => ({at: m.at - t, is: m.is}))])),
		painted: w.painted.filter((p) => p >= t).map((p) => p - t),
		requests: performance.getEntriesByType("resource").filter((r) => r.startTime >= t).map((r) => ({at: r.startTime - t, took: r.duration, path: new URL(r.name).pathname})),
	}; })())`)
	if err := json.Unmarshal([]byte(raw), &n); err != nil {
		d.t.Fatal(err)
	}
	return n
}

// spent is the processor time in s that a process and all below it have taken; 0 where the system does not tell.
func spent(pid int) float64 {
	type one struct {
		parent int
		ticks  float64
	}
	all := map[int]one{}
	stats, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, name := range stats {
		raw, err := os.ReadFile(name)
		if err != nil {
			continue
		}
		n, _ := strconv.Atoi(filepath.Base(filepath.Dir(name)))
		f := strings.Fields(string(raw[strings.LastIndexByte(string(raw), ')')+1:]))
		if len(f) < 13 {
			continue
		}
		parent, _ := strconv.Atoi(f[1])
		user, _ := strconv.ParseFloat(f[11], 64)
		system, _ := strconv.ParseFloat(f[12], 64)
		all[n] = one{parent, user + system}
	}
	sum := 0.0
	for n, p := range all {
		for up := n; up > 1; up = all[up].parent {
			if up == pid {
				sum += p.ticks
				break
			}
		}
	}
	return sum / 100 // ticks a second, on every Linux that this runs on
}

// A length of the worked bench is changed by keys: its coarse answer stands soon, and does not wait for pictures of what is still
// being computed.
func TestAChangeIsAnsweredBeforeItIsRefined(t *testing.T) {
	d := servedFrom(t, bakery(t))
	d.browse()
	d.wait("settled")
	d.inHand("depth of the block, 200 mm")
	for range 5 {
		d.do(chromedp.KeyEvent(kb.ArrowUp))
	}
	d.until("five steps up are taken", `document.querySelector(".inhand input").value === "205 mm"`)
	d.text(watches)
	browser := chromedp.FromContext(d.tab).Browser.Process().Pid
	server0, browser0 := spent(d.program.Pid), spent(browser)
	d.do(chromedp.KeyEvent("\r"))
	d.until("what the change did is told", answered)
	server1, browser1 := spent(d.program.Pid), spent(browser)
	d.until("it is settled", standing+`.includes("settled") && document.querySelectorAll(".unsettled").length === 0`)
	server2, browser2 := spent(d.program.Pid), spent(browser)
	n := d.noted()
	stands := 0.0
	for _, what := range []string{"sentence", "changed", "ledger"} {
		at := n.first(what, func(is string) bool { return what != "changed" || strings.Contains(is, ", now ") })
		if at < 0 {
			t.Errorf("the %s never tells the change: %+v", what, n.Said[what])
		}
		stands = max(stands, at)
	}
	settled := n.first("standing", func(is string) bool { return strings.Contains(is, "settled") })
	if pale := n.first("pale", func(is string) bool { return is == "true" }); pale < 0 || pale > stands || !(settled > stands) {
		t.Errorf("digits are pale from %.0f ms on, the coarse answer stands at %.0f ms, it is settled at %.0f ms", pale, stands, settled)
	}
	painted := 0
	for _, at := range n.Painted {
		if at <= stands {
			painted++
		}
	}
	t.Logf("the drawing has the new length after %.0f ms, the coarse answer stands after %.0f ms, it is settled after %.0f ms", n.first("section", func(string) bool { return true }), stands, settled)
	t.Logf("processor time until the coarse answer: program %.2f s, browser %.2f s; from there until it is settled: %.2f s, %.2f s", server1-server0, browser1-browser0, server2-server1, browser2-browser1)
	for path, most := range map[string]int{"run": 8, "run/history": 12, "run/section": 4, "run/ledger": 2, "run/chain": 4, "run/revisions": 8, "run/fields": 4, "field": 1} {
		first, all := n.asked(path, stands), n.asked(path, settled)
		t.Logf("asked for %s: %d times until the coarse answer, %d in all", path, first, all)
		if first > most {
			t.Errorf("%s is asked for %d times before the coarse answer stands, want %d at the most: the page waits for what it need not show", path, first, most)
		}
	}
	t.Logf("painted: %d canvases until the coarse answer, %d in all", painted, len(n.Painted))
	if most := 60 + 8*stands/1000; float64(painted) > most {
		t.Errorf("curves are painted %d times before the coarse answer stands, want %.0f at the most", painted, most)
	}
	d.noErrors()
}

// answered is that the title block tells what the last change did.
const answered = `/, now /.test(document.querySelector(".title .since + .fine")?.innerText ?? "")`
