package browser

import (
	"fmt"
	"strings"
	"testing"
)

// TestTheLedgerFollowsTheCursor: watts at its moment with what has flowed so far; over the whole run when that is asked for. The
// sentence has the reader's units, and other questions have their answers before they are looked at.
func TestTheLedgerFollowsTheCursor(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	title := `(document.querySelector(".ledger .picture desc")?.textContent ?? "")`
	d.text(`(document.querySelector(".strip .axis").focus(), document.querySelector(".strip .axis").dispatchEvent(new KeyboardEvent("keydown", {key: "Home", bubbles: true, cancelable: true})), "")`)
	d.until("at the start nothing has flowed", title+`.includes("The run begins here")`)
	d.text(`(document.querySelector(".strip .axis").dispatchEvent(new KeyboardEvent("keydown", {key: "]", bubbles: true, cancelable: true})), "")`)
	d.until("at the hold it has", `/^Where the heat goes after 45\smin.* Books close: 0(\.0)?\sW left over/.test(`+title+`)`)
	d.text(`([...document.querySelectorAll(".ledger label")].find((l) => l.textContent.includes("over the whole run")).querySelector("input").click(), "")`)
	d.until("the whole run is drawn", title+`.startsWith("Where the heat went in 2")`)
	if at := d.text(`location.search`); !strings.Contains(at, "heat=whole") {
		t.Errorf("the address is %s", at)
	}

	d.until("other questions answer", `["not planned", "not matched", "no study yet"].every((s) => document.querySelector(".questions").innerText.includes(s))`)
	if s := d.text(`document.querySelector(".sentence").innerText`); !strings.Contains(s, "goes from 20.0") {
		t.Errorf("the sentence is %q", s)
	}
	d.text(`([...document.querySelectorAll(".reader button")].find((b) => b.textContent.startsWith("°C")).click(), "")`)
	d.until("the sentence is in kelvins", `/goes from 293\.[12].K to \d+\.\d.K/.test(document.querySelector(".sentence").innerText)`)
	d.noErrors()
}

// TestASensorsPlaceIsPointedAtForAPlan, and stands in the plan's file; after it was taken back another can be written.
func TestASensorsPlaceIsPointedAtForAPlan(t *testing.T) {
	d := opened(t)
	typed := func(field int, text string) {
		t.Helper()
		d.text(fmt.Sprintf(`(() => { const i = document.querySelectorAll(".placed .fields input")[%d]; i.value = %q; i.dispatchEvent(new Event("input", {bubbles: true})); return ""; })()`, field, text))
	}
	d.wait("settled")
	d.text(`(document.querySelector('nav a[href="/planned"]').click(), "")`)
	d.pressIn(".planned", "point at a place")
	d.until("keys go on where it has opened", `document.activeElement?.matches(".placed") === true`)
	d.until("the drawing is there", `document.querySelector(".placed rect.place") !== null`)
	d.point(`document.querySelector(".placed rect.place")`)
	// a click meets whole pixels, of 0.7 mm here
	d.until("the place is taken", `/^(59|60|61) mm,(59|60|61) mm,(59|60|61) mm$/.test([...document.querySelectorAll(".placed .fields input")].slice(1).map((i) => i.value).join())`)
	for i := 1; i <= 3; i++ {
		typed(i, "60 mm")
	}
	d.pressIn(".placed", "write it into plan.yaml")
	d.wait("written into plan.yaml")
	d.holds("plan.yaml", "candidates: {sensors: [{depth: 60 mm, width: 60 mm, height: 60 mm}]}")
	typed(1, "30")
	d.pressIn(".placed", "write it into plan.yaml")
	d.wait(`"30" has no unit`)
	d.key("u")
	if !d.comes(func() bool { return !strings.Contains(d.file("plan.yaml"), "candidates") }) {
		t.Fatalf("undo leaves the place in the file: %s", d.file("plan.yaml"))
	}
	typed(1, "30 mm")
	d.pressIn(".placed", "write it into plan.yaml")
	d.holds("plan.yaml", "candidates: {sensors: [{depth: 30 mm, width: 60 mm, height: 60 mm}]}")
	d.noErrors()
}
