package browser

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// largeLogger writes a made-up logger's file of 50 MB: three hours of a block that a lamp heats and water empties.
func largeLogger(t *testing.T) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "rig day 3.csv")
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	w := bufio.NewWriter(f)
	fmt.Fprintln(w, "Time [s],T front [°C],T core [°C],T_water_1 [°C],T_water_2 [°C],Flow [l/min],T room [°C],Lamp [kW]")
	const rows = 560_000
	const dt = 10800.0 / rows
	T := 20.0
	for i := range rows {
		at := float64(i) * dt
		lamp, flow, out := 0.0, 0.0, 20+0.3*(T-20)
		if at < 4800 {
			lamp = 3
		}
		in := 20 + 0.1*(T-20)
		if at > 6600 && at < 8700 {
			flow, in = 1.5, 15
			out = 15 + 0.55*(T-15)
		}
		// 42 kJ/K take up 90 % of the lamp; 1.5 l/min warm by 55 % of what the block stands above the inlet
		T += dt / 42e3 * (900*lamp - 1.2*(T-20) - flow/1.5*0.025*4180*0.55*(T-15))
		s := float64(i)
		fmt.Fprintf(w, "%.3f,%.8f,%.8f,%.8f,%.8f,%.8f,%.8f,%.8f\n", at, T+2+0.1*math.Sin(s), T+0.1*math.Cos(s), in+0.05*math.Sin(2*s), out+0.05*math.Sin(5*s), flow, 20+0.1*math.Sin(s/99), lamp)
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if st, err := os.Stat(name); err != nil || st.Size() < 50e6 {
		t.Fatalf("the file is %v, not 50 MB: %v", st.Size(), err)
	}
	return name
}

// choose sets a select to a value, as a hand does.
func (d *desk) choose(selector, value string) {
	d.t.Helper()
	d.until("there is "+selector, fmt.Sprintf(`document.querySelector(%q) !== null`, selector))
	d.text(fmt.Sprintf(`(() => { const s = document.querySelector(%q); s.value = %q; s.dispatchEvent(new Event("change", {bubbles: true})); return ""; })()`, selector, value))
}

// press clicks the button of that text.
func (d *desk) press(text string) {
	d.t.Helper()
	find := fmt.Sprintf(`[...document.querySelectorAll("button")].find((b) => b.textContent === %q && !b.disabled)`, text)
	d.until("there is a button "+text, find+` !== undefined`)
	d.text(`(` + find + `.click(), "")`)
}

// dropped lets a file fall on the sheet, as a hand does that has dragged it there.
func (d *desk) dropped(name string) {
	d.t.Helper()
	d.text(`(() => { const f = document.createElement("input"); f.type = "file"; f.id = "held"; document.body.append(f); return ""; })()`)
	d.do(chromedp.SetUploadFiles("#held", []string{name}))
	d.text(`(() => {
		const held = document.querySelector("#held"), t = new DataTransfer();
		t.items.add(held.files[0]);
		held.remove();
		for (const what of ["dragenter", "dragover", "drop"]) document.querySelector("main").dispatchEvent(new DragEvent(what, {bubbles: true, cancelable: true, dataTransfer: t}));
		return "";
	})()`)
}

// TestALargeLoggersFileIsReadCorrectedAndBalanced drops a file of 50 MB, corrects how a column is read, and moves a phase.
func TestALargeLoggersFileIsReadCorrectedAndBalanced(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	d.text(`(document.querySelector('nav a[href="/tried"]').click(), "")`)
	d.wait("Nothing was measured yet")
	d.dropped(largeLogger(t))
	d.wait("What did the logger write?")
	d.wait("Heat by phases")
	if at := d.text(`location.search`); !strings.Contains(at, "trial=trials%2Frig-day-3.yaml") {
		t.Errorf("the address does not name the trial: %s", at)
	}
	if st, err := os.Stat(filepath.Join(d.folder, "trials", "rig-day-3.csv")); err != nil || st.Size() < 50e6 {
		t.Errorf("the file in the bench: %v %v", st, err)
	}
	description := func() string {
		raw, err := os.ReadFile(filepath.Join(d.folder, "trials", "rig-day-3.yaml"))
		if err != nil {
			t.Fatal(err)
		}
		return string(raw)
	}
	d.reached("a trial")
	// A hand reads the column of the room as the inlet: now two columns claim one place, in the words of check.
	d.choose(`select[aria-label="T core [°C] is read as"]`, "ambient")
	d.wait("has this place already")
	if !strings.Contains(description(), `{column: "T core [°C]", place: ambient}`) {
		t.Errorf("the description is\n%s", description())
	}
	d.choose(`select[aria-label="T core [°C] is read as"]`, "T core")
	d.wait("Heat by phases")
	d.until("no mistake is left", `document.querySelectorAll(".mapping .mistake").length === 0 && document.querySelector(".heats") !== null`)
	if !strings.Contains(description(), `{column: "T core [°C]", place: T core}`) || !strings.Contains(description(), "# sure: ") {
		t.Errorf("the description has lost something:\n%s", description())
	}
	d.until("there are borders between phases", `document.querySelectorAll(".border").length >= 2`)
	d.text(`(performance.clearResourceTimings(), document.querySelector(".border").focus(), "")`)
	for range 4 {
		d.text(`(document.querySelector(".border").dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowLeft", shiftKey: true, bubbles: true, cancelable: true})), "")`)
	}
	d.text(`(document.activeElement.blur(), "")`) // what keys have moved is written when they rest, or when the focus leaves
	d.wait("The phases are set by hand")
	if n := d.text(`String(performance.getEntriesByType("resource").filter((r) => r.name.endsWith("/api/field")).length)`); n != "1" {
		t.Errorf("a border that four presses have moved is written %s times", n)
	}
	if !strings.Contains(description(), "phases: [{kind: heat-up, from: 0 s, to: ") {
		t.Errorf("no phase stands in\n%s", description())
	}
	d.press("find them again")
	d.wait("The phases are found from the readings")
	d.text(`(() => {
		const b = document.querySelectorAll(".border")[1], at = b.getBoundingClientRect(), x = at.left + at.width / 2, y = at.top + 8;
		const go = (e, dx) => new PointerEvent(e, {bubbles: true, cancelable: true, clientX: x + dx, clientY: y});
		b.dispatchEvent(go("pointerdown", 0));
		dispatchEvent(go("pointermove", 30));
		dispatchEvent(go("pointerup", 30));
		return "";
	})()`)
	d.wait("The phases are set by hand")
	d.press("find them again")
	d.wait("The phases are found from the readings")
	if strings.Contains(description(), "phases:") {
		t.Errorf("phases still stand in\n%s", description())
	}
	d.noErrors()
}

// TestAMatchAndAPlanAreStartedStoppedAndShown starts what takes long from the page and looks at what it gives.
func TestAMatchAndAPlanAreStartedStoppedAndShown(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	d.text(`(document.querySelector('nav a[href="/planned"]').click(), "")`)
	d.press("plan it")
	d.wait("The trial as planned will teach")
	d.until("the plan is drawn", `document.querySelectorAll(".planned .picture svg").length === 1`)
	d.text(`(document.querySelector('nav a[href="/believed"]').click(), "")`)
	d.press("match it")
	d.wait("half the sum of squares")
	d.press("stop")
	d.wait("stopped; what is done is kept")
	d.press("go on with it")
	d.wait("Where that was shown")
	d.wait("Set aside: predicted, then measured")
	d.until("corner and fit are drawn", `document.querySelectorAll(".believed > section .picture svg, .believed > .wide .picture svg").length >= 2`)
	d.reached("a match's result")
	if said := d.text(`document.querySelector(".sentence").textContent`); !strings.Contains(said, "The model may be used within the envelope") {
		t.Errorf("the verdict is %s", said)
	}
	if _, err := os.Stat(filepath.Join(d.folder, "results", "match", "match.json")); err != nil {
		t.Error(err)
	}
	d.do(chromedp.Navigate(d.link)) // to another question, which knows nothing yet
	d.until("what was matched and planned is told before it is looked at", `(() => {
		const says = (name) => document.querySelector('nav a[href="/' + name + '"] small').innerText;
		return / as predicted|none set aside/.test(says("believed")) && / helps most|, \d+ sensors?$/.test(says("planned"));
	})()`)
	d.noErrors()
}
