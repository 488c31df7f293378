package browser

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

const contactOverWool = `schema: emberbank/1
kind: study
name: wool
run: trial-1.yaml
sweep:
  axes:
    - {name: thickness, path: "receiver.insulation.all[1].thickness", from: 20 mm, to: 160 mm, count: 300, steps: ratio}
responses:
  - {name: at the end, read: block mean}
  - {name: lost, read: ledger lost}
constraints:
  - {response: at the end, above: 60 degC}
answers:
  - {plateau: lost, over: thickness, margin: 100 kJ, computing: 1 kJ}
`

// pressIn presses the first button within a part of the page whose text begins so.
func (d *desk) pressIn(part, begins string) {
	d.t.Helper()
	find := fmt.Sprintf(`[...document.querySelectorAll(%q)].find((b) => b.textContent.trim().startsWith(%q))`, part+" button", begins)
	d.until("there is a button "+begins, find+" !== undefined && !"+find+".disabled")
	d.text("(" + find + `.click(), "")`)
}

func TestAStudyIsRunStoppedAndGoneOnWithToItsVerdict(t *testing.T) {
	d := opened(t)
	d.write("wool.yaml", contactOverWool)
	d.write("wrong.yaml", strings.Replace(contactOverWool, "from: 20 mm", "from: 20", 1))
	d.wait("What will it do?")
	d.text(`(document.querySelector('nav a[href="/built"]').click(), "")`)
	d.wait("wool: not computed yet")
	d.until("300 wait as rings", `document.querySelectorAll(".dots .tocome").length === 300`)
	d.pressIn(".standing", "run these 300 variants")
	d.until("dots fill in", `document.querySelectorAll(".dots .dot").length > 5 || document.querySelector(".standing").innerText.includes("Go on?")`)
	if strings.Contains(d.text(`document.querySelector(".standing").innerText`), "Go on?") { // where all are shared out, it takes long
		d.pressIn(".standing", "go on")
		d.until("dots fill in", `document.querySelectorAll(".dots .dot").length > 5`)
	}
	d.wait("variants. The first took")
	d.pressIn(".standing", "stop")
	d.wait("What is done is kept")
	kept := d.text(`String(document.querySelectorAll(".dots .dot").length)`)
	if kept == "0" || kept == "300" {
		t.Errorf("stopped, %s of 300 dots stand", kept)
	}
	d.pressIn(".standing", "go on")
	d.until("it is gone on with", `document.querySelector(".studied .picture svg") !== null || document.querySelector(".standing").innerText.includes("Go on?")`)
	if strings.Contains(d.text(`document.querySelector(".standing").innerText`), "Go on?") {
		d.pressIn(".standing", "go on")
	}
	d.until("the verdict is drawn", `document.querySelector(".studied .picture svg text") !== null && document.querySelectorAll(".variants tbody tr").length === 200`)
	d.wait("Constraints")
	if said := d.text(`document.querySelector(".sentence").innerText`); !strings.Contains(said, "within this range") {
		t.Errorf("the sentence is %q", said)
	}
	d.text(`(document.querySelector(".variants tbody tr:nth-child(3) a").click(), "")`)
	d.wait("variant 3 of wool")
	d.wait("settled")
	if at := d.text(`location.search`); !strings.Contains(at, "wool.yaml%233") {
		t.Errorf("a variant's address is %s", at)
	}
	d.text(`(document.querySelector('nav a[href="/built"]').click(), "")`)
	d.until("the other study can be chosen", `[...document.querySelectorAll(".studies a")].some((a) => a.textContent.startsWith("wrong"))`)
	d.text(`([...document.querySelectorAll(".studies a")].find((a) => a.textContent.startsWith("wrong")).click(), "")`)
	d.wait(`"20" has no unit`)
	d.noErrors()
}

func TestAStudyIsSetUpByPointingAtADimension(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	d.text(`(document.querySelector('nav a[href="/built"]').click(), "")`)
	d.wait("What may be built in another way")
	d.until("the drawing is there", `document.querySelector('.setup [data-path="block.depth"]') !== null`)
	d.until("what can be varied is known", `document.querySelectorAll("#inputs option").length > 5`)
	d.text(`(document.querySelector('.setup [data-path="block.depth"]').dispatchEvent(new MouseEvent("click", {bubbles: true, cancelable: true})), "")`)
	d.until("it is taken", `document.querySelector(".setup .path").value === "receiver.block.depth"`)
	fill := func(label, text string) {
		d.text(fmt.Sprintf(`(() => { const l = [...document.querySelectorAll(".setup label")].find((l) => l.textContent.trim().startsWith(%q)); const i = l.querySelector("input"); i.value = %q; i.dispatchEvent(new Event("input", {bubbles: true})); return ""; })()`, label, text))
	}
	fill("from", "60")
	d.wait(`"60" has no unit`)
	fill("from", "60 mm")
	fill("to", "90 mm")
	d.wait("6 variants, as study-block-mean-over-block-depth.yaml")
	d.pressIn(".setup", "write the study")
	d.wait("not computed yet")
	raw, err := os.ReadFile(filepath.Join(d.folder, "study-block-mean-over-block-depth.yaml"))
	if err != nil || !strings.Contains(string(raw), "from: \"60 mm\"") {
		t.Errorf("it is written as %s, %v", raw, err)
	}
	d.pressIn(".standing", "run these 6 variants")
	d.until("it is computed", `document.querySelectorAll(".variants tbody tr a").length === 6`)
	d.noErrors()
}

func TestEveryOutsideCheckStandsOnItsPage(t *testing.T) {
	d := opened(t)
	d.text(`(document.querySelector('.title a[href="/verified"]').click(), "")`)
	d.pressIn("main", "check the program")
	told, err := exec.Command("../../build/emberbank", "verify", "--json").Output()
	if err != nil {
		t.Fatalf("verify: %v", err)
	}
	want := strings.Count(string(told), `"tolerance_is"`)
	d.wait(fmt.Sprintf("%d of %d rows agree with their reference, none departs", want, want))
	if rows := d.text(`String(document.querySelectorAll(".checked tbody tr").length)`); rows != fmt.Sprint(want) || want < 100 {
		t.Errorf("%s rows stand there, the command tells %d", rows, want)
	}
	d.text(`(() => { const i = document.querySelector("input[type=search]"); i.value = "radiation"; i.dispatchEvent(new Event("input", {bubbles: true})); return ""; })()`)
	d.until("fewer rows hold the word", fmt.Sprintf(`(() => { const n = document.querySelectorAll(".checked tbody tr").length; return n > 0 && n < %d; })()`, want))
	d.handsOver() // here, since it takes the checks
	d.noErrors()
}
