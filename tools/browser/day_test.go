package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// days is a copy of a small bench with a day and a season of ten.
func days(t *testing.T) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "bench")
	if err := os.CopyFS(folder, os.DirFS("../../examples/small-days")); err != nil {
		t.Fatal(err)
	}
	return folder
}

// grave tells what axe-core has against the page in light and dark.
func (d *desk) grave() {
	d.t.Helper()
	for _, scheme := range []string{"light", "dark"} {
		d.inMode(scheme)
		grave, _ := d.examined()
		for _, f := range grave {
			d.t.Errorf("%s: %s (%s) %+v", scheme, f.Help, f.ID, f.Nodes[0])
		}
	}
}

// A day shows where its load is met and missed, and what open circuits can give; the season is started, stopped, computed, and
// read day by day. The bench's first run wants nothing: the question looks at the day by itself, and leaves the others theirs.
func TestADayAndASeasonAreSeenAndComputed(t *testing.T) {
	d := servedFrom(t, days(t))
	d.browse()
	d.wait("settled")
	d.text(`(document.querySelector('nav a[href="/day"]').click(), "")`)
	d.until("the run with a load is looked at", `document.querySelector("#run").value === "day.yaml" && location.search === ""`)
	d.until("what is wanted is drawn", `document.querySelector(".course .asked").getAttribute("d").length > 40`)
	d.until("its sentence says what is met and when", `/^Of 0\.5.kWh wanted 0\.\d are met; fullest at 1\d:\d\d, short from 1\d:\d\d\.$/.test(document.querySelector(".sentence").innerText) && document.querySelector(".sentence.unsettled") === null`)
	d.until("met is inked, missed hatched", `document.querySelector(".course .met").getBoundingClientRect().width > 20 && document.querySelector(".course .missed").getAttribute("fill").includes("missed")`)
	d.until("circuits are seen open", `document.querySelectorAll(".course .opened .open").length >= 3`)
	d.until("the axis has the clock's hours", `[...document.querySelectorAll(".course .tick")].some((e) => e.textContent === "12:00")`)
	d.until("what it amounts to stands beside", `/hours held/.test(document.querySelector(".amounts").innerText)`)

	d.text(`(document.querySelector(".course .axis").focus(), "")`)
	d.do(chromedp.KeyEvent(kb.Home))
	d.until("the cursor goes to the beginning", `document.querySelector(".course .at").innerText.startsWith("0:00: block 140.0")`)
	d.do(chromedp.KeyEvent(kb.ArrowRight))
	d.until("and a row on", `document.querySelector(".course .at").innerText.startsWith("0:10")`)

	d.until("the ranges of one and two open circuits", `[...document.querySelectorAll(".able .over")].filter((e) => /^[12] open$/.test(e.textContent)).length === 2`)
	d.until("and down to where they give what is wanted", `/1 down to 2\d\d\.\d/.test(document.querySelector(".able svg").textContent)`)
	d.pressIn(".held", "compute how long")
	d.until("how long it is held is told", `document.querySelectorAll(".held svg .value").length === 2 && /min/.test(document.querySelector(".held svg").textContent)`)
	if _, err := os.Stat(filepath.Join(d.folder, "results", "day", "summary.json")); err != nil {
		t.Errorf("it is not kept: %v", err)
	}

	d.pressIn(".seasonpart .standing", "compute the season")
	d.until("it says how far it has got", `/\d of \d+: /.test(document.querySelector(".seasonpart .standing").innerText)`)
	d.pressIn(".seasonpart .standing", "stop")
	d.wait("A season has no results before its end")
	d.pressIn(".seasonpart .standing", "begin again")
	d.until("the calendar has a mark for each day", `document.querySelectorAll(".calendar .day").length === 10 && document.querySelectorAll(".calendar .met").length >= 8 && document.querySelectorAll(".calendar .missed").length === 10`)
	d.until("by months", `[...document.querySelectorAll(".calendar .name")].map((e) => e.textContent).join(" ") === "May June"`)
	d.until("the error against days apart stands beside", `document.querySelectorAll(".apart tbody tr").length === 4 && /\d\.\d.%/.test(document.querySelector(".apart tbody").innerText)`)
	d.until("the dangers of the days in full stand there, each kind once, and what is in doubt", `(() => { const signs = [...document.querySelectorAll(".seasonpart .known .caution")].map((e) => e.innerText); return signs.filter((s) => /holds molten tin at up to \d+/.test(s)).length === 1 && signs.filter((s) => /burns the skin/.test(s)).length === 1 && signs.some((s) => s.includes("Likewise: surface ")) && signs.at(-1).endsWith("Local codes and licensed practice decide.") && signs.filter((s) => s.includes("Local codes")).length === 1 && /from memory/.test(document.querySelector(".known").innerText); })()`)
	if said := d.text(`document.querySelector(".known").innerText`); regexp.MustCompile(`\de-[0-9 \x{2009}]+ ?kg/h`).MatchString(said) {
		t.Errorf("a power of ten is taken for a flow: %s", said)
	}
	d.text(`(document.querySelector(".calendar .axis").focus(), "")`)
	d.do(chromedp.KeyEvent(kb.ArrowRight))
	d.until("an arrow goes a day on", `document.querySelector(".daybooks caption").innerText === "27 May" && location.search.includes("date=2")`)
	d.do(chromedp.KeyEvent(kb.End))
	d.until("and to the end", `document.querySelector(".daybooks caption").innerText === "4 June"`)
	d.text(`(document.querySelectorAll(".calendar .day")[5].dispatchEvent(new MouseEvent("click", {bubbles: true})), "")`)
	d.until("a click chooses the dark day, on which nothing is met", `document.querySelector(".daybooks caption").innerText === "31 May" && /met\s*0\.00.kWh, 0/.test(document.querySelector(".daybooks").innerText)`)
	d.grave()
	if n, _ := d.pages(); n < 1 || n > 8 {
		t.Errorf("it prints on %d pages", n)
	}

	d.replaced("season-duty.yaml", "back by: 5 K", "back by: 15 K")
	d.do(chromedp.Reload())
	d.wait("Changed since: season-duty.yaml")
	d.pressIn(".seasonpart .standing", "compute again")
	d.until("a refusal is told in full", `/The fast model refuses to answer: on day \d+ it is off by/.test(document.querySelector(".seasonsays").innerText) && document.querySelector(".seasonpart .mistake[role=alert]").innerText.includes("build from more or other days")`)
	d.until("with the errors that are too large", `document.querySelectorAll(".apart tr.beyond").length > 0 && document.querySelectorAll(".calendar").length === 0`)
	d.do(chromedp.KeyEvent("2"))
	d.until("the other questions keep the bench's first run", `document.querySelector("#run").value === "dark.yaml"`)
	d.noErrors()
}

// On a run that wants nothing the question says so, and offers those that do.
func TestARunWithoutALoadSaysSo(t *testing.T) {
	d := servedFrom(t, days(t))
	d.browse()
	d.do(chromedp.Navigate(fmt.Sprintf("%s/day?run=dark.yaml", d.text("location.origin"))))
	d.wait("This run wants nothing of the water. Choose a day that does.")
	d.text(`([...document.querySelectorAll(".days a")].find((a) => a.textContent.startsWith("a bright day")).click(), "")`)
	d.until("the day is looked at", `location.search.includes("run=day.yaml") && document.querySelector(".course") !== null`)
	d.noErrors()
}
