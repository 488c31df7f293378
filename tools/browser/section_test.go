package browser

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// point presses the mouse where an element stands.
func (d *desk) point(element string) {
	d.t.Helper()
	at := d.text(`(() => { const e = ` + element + `; e.scrollIntoView({block: "center"}); const r = e.getBoundingClientRect(); return (r.left + r.width / 2) + " " + (r.top + r.height / 2); })()`)
	var x, y float64
	if _, err := fmt.Sscan(at, &x, &y); err != nil {
		d.t.Fatal(err)
	}
	d.do(chromedp.MouseClickXY(x, y))
}

// inHand takes a length of the drawing in hand by keys alone.
func (d *desk) inHand(what string) {
	d.t.Helper()
	d.until("the section is drawn", `document.querySelectorAll(".section .given").length > 4`)
	d.do(chromedp.KeyEvent("d"))
	for i := 0; !strings.HasPrefix(d.text(focused), what); i++ {
		if i > 60 {
			d.t.Fatalf("Tab does not come to the %s, but to %q", what, d.text(focused))
		}
		d.do(chromedp.KeyEvent("\t"))
	}
	d.do(chromedp.KeyEvent("\r"))
	d.until("the field says what is allowed", `document.querySelector(".inhand .allowed") !== null`)
}

const focused = `(document.activeElement?.getAttribute("aria-label") ?? "")`

// TestALengthIsChangedWhereItIsDrawn: by keys alone, then by the mouse; a wrong one is explained and not written.
func TestALengthIsChangedWhereItIsDrawn(t *testing.T) {
	d := opened(t)
	d.inHand("depth of the block")
	if says := d.text(`document.querySelector(".inhand").textContent`); !strings.Contains(says, "1 mm to 10 m") {
		t.Errorf("the field says %s", says)
	}
	if v := d.text(`document.querySelector(".inhand input").value`); v != "80 mm" {
		t.Errorf("the field holds %q, the file 80 mm", v)
	}
	for range 5 {
		d.do(chromedp.KeyEvent(kb.ArrowUp))
	}
	d.until("five steps up are taken", `document.querySelector(".inhand input").value === "85 mm"`)
	d.do(chromedp.KeyEvent("\r"))
	d.holds("receiver.yaml", "depth: 85 mm")
	d.until("the drawing shows the new depth", `[...document.querySelectorAll(".section .given")].some((g) => g.getAttribute("aria-label") === "depth of the block, 85 mm")`)
	d.until("the field is left", `document.querySelector(".inhand") === null`)
	if !strings.Contains(d.file("receiver.yaml"), "# An invented receiver") {
		t.Error("the file's comments are lost")
	}

	before := d.file("receiver.yaml")
	d.point(`[...document.querySelectorAll(".section .given")].find((g) => g.getAttribute("aria-label").startsWith("depth of the block")).querySelector("text")`)
	d.until("the field opens under the pointer", `document.activeElement === document.querySelector(".inhand input")`)
	d.do(chromedp.KeyEvent("-40 mm"))
	d.until("the field takes what is typed", `document.querySelector(".inhand input").value === "-40 mm"`)
	d.until("it can be written", `!document.querySelector(".inhand button").disabled`)
	d.point(`document.querySelector(".inhand button")`)
	d.wait(`block.depth is "-40 mm"`)
	d.wait("allowed: 1 mm to 10 m")
	if d.file("receiver.yaml") != before {
		t.Error("a wrong length is written")
	}
	d.text(`(document.querySelector(".inhand input").focus(), "")`)
	d.do(chromedp.KeyEvent("\x1b"))
	d.until("Esc leaves the field", `document.querySelector(".inhand") === null && document.querySelectorAll(".section .given").length > 4`)
	d.noErrors()
}

// TestTheSectionIsCutAcrossThreePlanesInBothColours, and saved as it would be printed.
func TestTheSectionIsCutAcrossThreePlanesInBothColours(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	title := `(document.querySelector(".section .picture title")?.textContent ?? "")`
	for _, c := range []struct{ key, want string }{{"x", "Section at depth 40 mm"}, {"z", "Section at height 60 mm"}, {"y", "Section at width 60 mm"}, {".", "Section at width 65 mm"}, {",", "Section at width 60 mm"}} {
		d.do(chromedp.KeyEvent(c.key))
		d.until(c.key+" cuts "+c.want, title+`.startsWith("`+c.want+`")`)
	}
	d.do(chromedp.KeyEvent("p"))
	d.until("the chain of the next pass is shown", `document.querySelector(".chain title")?.textContent === "What limits pass 2"`)

	paper := `getComputedStyle(document.querySelector(".section .picture rect.paper")).fill`
	hottest := `getComputedStyle([...document.querySelectorAll(".section [class*=fill-t]")].at(-1)).fill`
	seen := map[string]bool{}
	for _, mode := range []string{"light", "dark"} {
		if _, err := chromedp.Call(d.tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: mode}}}); err != nil {
			t.Fatal(err)
		}
		seen[d.text(paper)], seen[d.text(hottest)] = true, true
	}
	if !seen["rgb(251, 252, 250)"] || !seen["rgb(19, 26, 25)"] || len(seen) != 4 {
		t.Errorf("paper and tints in light and dark: %v", seen)
	}

	d.saved(".section", 30000)
	d.noErrors()
}

// saved has a figure saved as SVG and as PNG of so many bytes or more, and looks whether the SVG can be read and holds a picture; its
// typefaces are left out for that, which the page may not apply.
func (d *desk) saved(of string, least int) {
	d.t.Helper()
	d.text(fmt.Sprintf(`(() => { window.saved = []; const make = URL.createObjectURL; URL.createObjectURL = (b) => { void b.text().then((t) => window.saved.push([b.type, b.size, t])); return make.call(URL, b); };
		for (const b of document.querySelectorAll(%q)) b.click(); return ""; })()`, of+" .save button"))
	d.until(of+" is saved as SVG and PNG", fmt.Sprintf(`window.saved.some(([type, size]) => type === "image/png" && size > %d) && window.saved.some(([type, , t]) => type === "image/svg+xml" &&
		((r) => r.localName === "svg" && r.querySelectorAll("path, line, rect").length > 10 && !t.includes("NaN"))(new DOMParser().parseFromString(t.replace(/<style>.*?<\/style>/s, ""), "image/svg+xml").documentElement))`, least))
}
