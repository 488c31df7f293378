package browser

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// lit serves a small bench with a dish before the window of a receiver.
func lit(t *testing.T) *desk {
	t.Helper()
	folder := small(t)
	for name, text := range map[string]string{
		"oven.yaml": `schema: emberbank/1
kind: receiver
# An invented oven.
block: {depth: 100 mm, width: 200 mm, height: 200 mm, medium: aluminium}
window: {width: 60 mm, height: 60 mm, glass: {thickness: 4 mm, gap: 15 mm}, cover: {conductance: 1 W/(m2 K)}}
`,
		"light.yaml": `schema: emberbank/1
kind: light
name: an invented dish
receiver: oven.yaml
dish: {focal length: 1 m, diameter: 1.2 m, reflectance: 0.9 ± 0.02, slope error: 6 mrad, petals: {count: 6, missing: [2]}}
right window: {at: 300 degC, day: {table: [[0 h, 0 W/m2], [6 h, 900 W/m2], [12 h, 0 W/m2]]}}
`,
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	d := servedFrom(t, folder)
	d.browse()
	return d
}

const litSettled = `document.querySelector(".lit .castnow")?.innerText.startsWith("settled") && document.querySelectorAll(".lit .picture svg").length === 4 && document.querySelector(".lit .says.unsettled") === null`

// TestTheWindowsSizeIsChangedOnItsLight: flux, what it catches, what it keeps and where the beam goes are there; the size is changed by
// keys alone where it is drawn, stands in the receiver's file, and all is told anew; undo brings the old answer back.
func TestTheWindowsSizeIsChangedOnItsLight(t *testing.T) {
	d := lit(t)
	d.until("the questions are there", `document.querySelectorAll("nav.questions a").length > 6`)
	d.do(chromedp.KeyEvent("7"))
	d.until("the light is looked at", `location.pathname === "/day" && document.querySelector(".lit .says")?.innerText.startsWith("The window of 60 mm catches ")`)
	d.until("it settles", litSettled)
	d.wait("A window of ")
	d.wait("Concentrated light burns and blinds")
	d.wait("rays leave a standard error of")
	if says := d.text(`document.querySelector(".lit .flux svg").textContent`); !strings.Contains(says, "burns and blinds") || !strings.Contains(says, "peak ") {
		t.Errorf("the caution does not stand at the peak: %s", says)
	}
	if names := d.text(`document.querySelector(".lit .beam svg").textContent`); !strings.Contains(names, "gaps and missing mirrors") || !strings.Contains(names, "in the window") || d.text(`String(document.querySelectorAll(".lit .beam svg .fill-light").length > 3)`) != "true" {
		t.Errorf("the beam goes to %s", names)
	}
	if hot := d.text(`String(document.querySelectorAll(".lit [class*='fill-t']").length)`); hot != "0" {
		t.Errorf("light has %s colours of temperature", hot)
	}
	power := d.text(`document.querySelector(".lit table td").innerText`)

	// By keys alone: to the length, into it, ten millimetres wider, written.
	d.do(chromedp.KeyEvent("d"))
	d.until("the window's width is in focus", `document.activeElement?.getAttribute("aria-label")?.startsWith("width of the window")`)
	d.do(chromedp.KeyEvent("\r"))
	d.until("its field is open", `document.activeElement === document.querySelector(".lit .inhand input") && document.querySelector(".lit .inhand .allowed") !== null`)
	for range 10 {
		d.do(chromedp.KeyEvent(kb.ArrowUp))
	}
	d.until("ten steps up are taken", `document.querySelector(".lit .inhand input").value === "70 mm"`)
	d.do(chromedp.KeyEvent("\r"))
	d.holds("oven.yaml", "width: 70 mm, height: 60 mm, glass")
	if !strings.Contains(d.file("oven.yaml"), "# An invented oven.") {
		t.Error("the file's comments are lost")
	}
	d.until("the light is told of the wider window", `document.querySelector(".lit .says").innerText.startsWith("The window of 70 by 60 mm catches ")`)
	d.until("it settles again", litSettled)
	if now := d.text(`document.querySelector(".lit table td").innerText`); now == power {
		t.Errorf("the power stays %s", now)
	}

	// A wrong size is explained and not written.
	d.point(`[...document.querySelectorAll(".lit .given")].find((g) => g.getAttribute("aria-label").startsWith("height of the window")).querySelector("text")`)
	d.until("the field opens under the pointer", `document.activeElement === document.querySelector(".lit .inhand input") && !document.querySelector(".lit .inhand button").disabled`)
	d.do(chromedp.KeyEvent("60"), chromedp.KeyEvent("\r"))
	d.wait(`"60" has no unit`)
	d.do(chromedp.KeyEvent("\x1b"))

	d.text(`(document.querySelector(".lit input[name=kept]:not(:checked)").click(), "")`)
	d.until("what is kept over the day is drawn", `document.querySelector(".lit .kept-day svg")?.textContent.includes("kWh")`)
	for _, scheme := range []string{"light", "dark"} {
		d.inMode(scheme)
		d.reached("the light in the " + scheme)
	}
	d.key("u")
	d.until("undo brings the old window back, as it was known", `document.querySelector(".lit .says").innerText.startsWith("The window of 60 mm catches ") && document.querySelector(".lit table td").innerText === "`+power+`"`)
	if at := d.text(`location.search`); !strings.Contains(at, "kept=day") {
		t.Errorf("the address is %s", at)
	}
	d.noErrors()
}
