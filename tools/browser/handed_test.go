package browser

import (
	"os"
	"path/filepath"
	"strings"
)

// handsOver renews a result and the dossier from the page, by the outside checks that it has computed already; then a file
// changes, and the author's words ask for what there is not.
func (d *desk) handsOver() {
	d.t.Helper()
	d.key("8")
	d.until("the question is looked at", `location.pathname === "/handed" && document.querySelector(".sentence").innerText.startsWith("No dossier was written yet; of what it would rest on, five are missing")`)
	d.until("each with its command", `[...document.querySelectorAll(".due code")].map((e) => e.textContent).join() === "emberbank run trial-1.yaml,emberbank run trial-2.yaml,emberbank run trial-3.yaml,emberbank match match.yaml,emberbank plan plan.yaml"`)
	d.pressIn(".due", "compute")
	d.until("the run is computed", `document.querySelectorAll(".due li").length === 4`)
	d.pressIn(".handedverbs", "compose the dossier")
	d.until("four documents stand there", `document.querySelectorAll(".papers td a").length === 8`)
	d.until("what it rests on is told", `document.querySelector(".sentence").innerText.startsWith("The dossier says what the results say, of which four are missing")`)
	d.until("the report is read beside", `document.querySelector(".sheets iframe").contentDocument.querySelector("h1").textContent === "small match"`)
	d.until("it is whole and runs no script", `document.querySelector(".sheets iframe").contentDocument.readyState === "complete" && document.querySelector(".sheets iframe").contentDocument.scripts.length === 0 && !document.querySelector(".sheets iframe").sandbox.contains("allow-scripts")`)
	d.text(`(document.querySelector(".sheets iframe").contentWindow.print = () => (document.title = "printed"), "")`)
	d.press("print")
	d.until("the report is printed", `document.title === "printed"`)
	d.text(`(document.querySelector(".sheets iframe").contentDocument.querySelector('a[href$="/receiver.yaml"]').click(), "")`)
	d.until("a link to a file of the bench opens it", `location.pathname === "/drawn" && document.querySelector("textarea").value.includes("# An invented receiver")`)
	d.goTo("/handed")
	d.until("the report is read again", `document.querySelector(".sheets iframe").contentDocument.querySelector("h1").textContent === "small match"`)
	d.text(`([...document.querySelectorAll(".papers th a")].find((a) => a.textContent === "the trial sheet").click(), "")`)
	d.until("another document is read beside", `location.search === "?paper=trial-sheet" && document.querySelector(".sheets iframe").title.startsWith("the trial sheet")`)
	if _, err := os.Stat(filepath.Join(d.folder, "results", "dossier", "report.pdf")); err != nil {
		d.t.Error(err)
	}
	d.grave()

	d.replaced("receiver.yaml", "depth: 80 mm", "depth: 90 mm")
	d.text(`(dispatchEvent(new Event("focus")), "")`)
	d.until("what is old is named with the file, and renewed first", `/run[\s\S]*receiver\.yaml changed since emberbank run trial-1\.yaml/.test(document.querySelector(".due li").innerText.replaceAll("\n", " "))`)
	d.until("the dossier is old by it", `document.querySelector(".papers").innerText.includes("Changed since: receiver.yaml")`)
	d.until("composed now it would say another depth", `[...document.querySelectorAll(".differs tr")].some((r) => r.innerText.includes("/block.depth") && r.innerText.includes("90"))`)
	d.until("in short", `document.querySelector('nav a[href="/handed"]').innerText.includes("1 result out of date")`)

	d.pressIn(".words", "begin dossier.yaml")
	d.until("the file is opened", `document.querySelector(".words textarea").value.includes("kind: dossier")`)
	d.text(`(() => { const t = document.querySelector(".words textarea"); t.value = t.value.replace("  - question\n", "  - {part: question, after: \"Lost: {trial-1: ledger lozt}.\"}\n"); t.dispatchEvent(new Event("input", {bubbles: true})); return ""; })()`)
	d.pressIn(".words", "write")
	d.until("the mistake is told with its place, and how to mend it", `/^dossier\.yaml:8:\d+[\s\S]*lozt[\s\S]*did you mean "ledger lost"/.test(document.querySelector(".words .findings li").innerText)`)
	d.until("in short too", `document.querySelector('nav a[href="/handed"]').innerText.includes("1 mistake in its words")`)
	if !strings.Contains(d.file("dossier.yaml"), "lozt") {
		d.t.Error("what was typed is not in the file")
	}
	d.grave()
}
