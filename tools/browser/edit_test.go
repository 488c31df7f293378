package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// file is a file of the bench as it is on the disk.
func (d *desk) file(name string) string {
	d.t.Helper()
	raw, err := os.ReadFile(filepath.Join(d.folder, name))
	if err != nil {
		d.t.Fatal(err)
	}
	return string(raw)
}

// goTo looks at another view without reading the page again.
func (d *desk) goTo(address string) {
	d.t.Helper()
	d.text(fmt.Sprintf(`(history.pushState(null, "", %q), dispatchEvent(new PopStateEvent("popstate")), "")`, address))
}

// typeInto puts a text into a field as a hand does, and leaves it by Enter.
func (d *desk) typeInto(label, text string) {
	d.t.Helper()
	at := fmt.Sprintf(`input[aria-label=%q]`, label)
	d.until(label+" is there", fmt.Sprintf(`document.querySelector(%q) !== null`, at))
	d.text(fmt.Sprintf(`(document.querySelector(%q).focus(), document.querySelector(%q).select(), "")`, at, at))
	d.do(chromedp.SendKeys(at, text), chromedp.SendKeys(at, kb.Enter))
}

// holds waits until a file says something.
func (d *desk) holds(name, what string) {
	d.t.Helper()
	if !d.comes(func() bool { return strings.Contains(d.file(name), what) }) {
		d.t.Fatalf("%s does not come to say %q: %s", name, what, d.file(name))
	}
}

// reached holds a view to what a screen reader needs.
func (d *desk) reached(view string) {
	d.t.Helper()
	grave, _ := d.examined()
	for _, f := range grave {
		for _, n := range f.Nodes {
			d.t.Errorf("%s: %s: %.160s %s", view, f.Help, n.HTML, n.FailureSummary)
		}
	}
}

func (d *desk) key(k string) {
	d.t.Helper()
	d.text(fmt.Sprintf(`(document.activeElement?.blur(), document.body.dispatchEvent(new KeyboardEvent("keydown", {key: %q, bubbles: true, cancelable: true})), "")`, k))
}

func TestAFieldIsChangedTakenBackAndDoneAgainOnTheSheet(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	was := d.file("receiver.yaml")
	d.goTo("/drawn?part=receiver.block")
	d.typeInto("receiver block depth", "90 mm")
	now := strings.Replace(was, "depth: 80 mm, width", "depth: 90 mm, width", 1)
	d.holds("receiver.yaml", "depth: 90 mm, width")
	if d.file("receiver.yaml") != now {
		t.Errorf("more than the depth has changed: %s", d.file("receiver.yaml"))
	}
	d.wait("90 × 120 × 120 mm")
	d.until("the row of the revision says what it did", `(() => { const r = document.querySelector(".revisions tbody tr"); return r !== null && r.innerText.includes("△1") && r.innerText.includes("80 mm") && r.innerText.includes("90 mm") && /[+−]\d/.test(r.innerText) && document.querySelector(".revisions .unsettled") === null; })()`)
	d.until("the title block tells it", `document.querySelector(".title").innerText.includes("block depth 80 mm, now 90 mm")`)
	d.until("a numbered triangle stands at the place", `document.querySelector(".part.open .leaf .triangle")?.textContent.includes("1")`)

	// Wrong: struck where it stands, in the words of check, and nothing is written.
	d.typeInto("receiver block width", "-40 mm")
	d.wait(`block.width is "-40 mm"`)
	d.wait("allowed: 1 mm to 10 m")
	d.until("it is struck", `document.querySelector("input.struck")?.value === "-40 mm"`)
	d.reached("the parts list with a wrong value")
	if d.file("receiver.yaml") != now {
		t.Errorf("the wrong width was written: %s", d.file("receiver.yaml"))
	}
	d.press("back to 120 mm")
	d.until("the field is as the file says", `document.querySelector('input[aria-label="receiver block width"]').value === "120 mm"`)

	// Undone and done again by keys; taken back, the change is no revision any more.
	d.key("u")
	d.holds("receiver.yaml", "depth: 80 mm, width")
	if d.file("receiver.yaml") != was {
		t.Errorf("taken back it is %s", d.file("receiver.yaml"))
	}
	d.wait("Nothing was changed since the bench was opened")
	d.key("U")
	d.holds("receiver.yaml", "depth: 90 mm, width")
	d.until("it is a revision again", `document.querySelector(".revisions tbody tr")?.innerText.includes("90 mm")`)

	// Somebody writes another line meanwhile: undo brings the one value back, and theirs stays.
	theirs := strings.Replace(now, "name: small block", "name: small block, ours", 1)
	if err := os.WriteFile(filepath.Join(d.folder, "receiver.yaml"), []byte(theirs), 0o666); err != nil {
		t.Fatal(err)
	}
	d.key("u")
	d.holds("receiver.yaml", "depth: 80 mm, width")
	if got := d.file("receiver.yaml"); got != strings.Replace(was, "name: small block", "name: small block, ours", 1) {
		t.Errorf("it is %s", got)
	}
	d.noErrors()
}

func TestACompositeIsWrittenIntoTheBenchAndUsed(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	d.goTo("/drawn?page=materials&material=tin")
	d.wait("Tin: 7")
	d.wait("ITS-90")
	if n := d.text(`String(document.querySelectorAll("svg.plot").length)`); n != "3" {
		t.Errorf("tin has %s pictures, want heat capacity, conductivity and heat content", n)
	}
	d.reached("materials")
	d.saved(".medium", 20000)
	d.press("filler of a composite")
	d.until("tin is the filler", `document.querySelector("#composite-filler")?.value === "tin"`)
	d.wait("the block is heated to")
	d.reached("a composite")
	d.press("write and make the block of it")
	d.holds("receiver.yaml", "composites: [{name: tin in aluminium, matrix: aluminium, filler: tin, filler fraction: 30 %, void fraction: 3 %, mixing: maxwell-eucken}]")
	d.holds("receiver.yaml", "medium: tin in aluminium}")
	d.wait("the block is made of it")
	d.goTo("/drawn")
	d.wait("A block of tin in aluminium")
	d.wait("settled")
	d.noErrors()
}
