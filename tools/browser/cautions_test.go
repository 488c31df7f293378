package browser

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// A sign with a word stands at the number that shows a danger, and leads to the caution; both have the reader's units, as
// temperatures in pictures have.
func TestASignStandsAtTheNumberAndLeadsToItsCaution(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	d.until("a sign stands in the row of the hottest wall", `[...document.querySelectorAll(".now tr")].some((r) => r.querySelector("th").textContent === "hottest wall" && /flashes/.test(r.querySelector(".sign-at").textContent))`)
	d.text(`(document.querySelector(".now .sign-at").click(), "")`)
	d.until("it leads to its caution", `document.activeElement.id === document.querySelector(".now .sign-at").getAttribute("href").slice(1) && document.activeElement.closest(".cautions") !== null`)
	d.text(`(document.activeElement.blur(), "")`)
	d.do(chromedp.KeyEvent("c"))
	d.until("c goes to a caution", `document.activeElement.matches(".cautions li")`)
	d.staysTrueWhileAnswersChange()
	d.text(`(document.querySelector(".strip .axis").focus(), document.querySelector(".strip .axis").dispatchEvent(new KeyboardEvent("keydown", {key: "Home", bubbles: true, cancelable: true})), "")`)
	d.until("at the start nothing has flashed yet", `![...document.querySelectorAll(".now .sign-at")].some((s) => /flashes/.test(s.textContent))`)

	degrees := func() string {
		return d.text(`[...document.querySelectorAll(".section .celsius")].map((t) => t.textContent).join(" ")`)
	}
	if !d.comes(func() bool { return strings.HasSuffix(degrees(), "20.0 20.0") }) { // the coolest and the hottest
		t.Fatalf("the section is not that of the start: %s", degrees())
	}
	before := degrees()
	d.text(`(document.querySelector('.reader button[aria-label^="°C"]').click(), "")`)
	d.until("the picture's rule is in K", `[...document.querySelectorAll(".section .captions")].some((t) => t.textContent === "K") && [...document.querySelectorAll(".section .celsius")].some((t) => t.textContent === "293.1")`)
	if degrees() == before {
		t.Errorf("temperatures of the section stay as they were: %s", before)
	}
	if said := d.text(`document.querySelector(".cautions").innerText`); strings.Contains(said, "°C") || !strings.Contains(said, "\u00a0K") && !strings.Contains(said, " K") {
		t.Errorf("cautions are told in °C: %s", said)
	}
	d.text(`(document.querySelector('.reader button[aria-label^="K"]').click(), "")`)
	d.until("and back", `[...document.querySelectorAll(".section .captions")].some((t) => t.textContent === "°C")`)
	if degrees() != before {
		t.Errorf("after a change there and back: %s, before %s", degrees(), before)
	}
	d.noErrors()
}

// staysTrueWhileAnswersChange changes what the answer hangs on, while what is known of a run comes late: a reader who is at a
// caution stays there when it is told with other numbers, and no answer is called settled before it is shown.
func (d *desk) staysTrueWhileAnswersChange() {
	d.t.Helper()
	d.text(`(() => {
		const asked = window.fetch;
		window.fetch = async (at, ...how) => {
			const got = await asked(at, ...how);
			if (String(at).startsWith("/api/run?")) await new Promise((done) => setTimeout(done, 400));
			return got;
		};
		const told = () => document.querySelector(".cautions").innerText;
		let left = false;
		window.before = told();
		setInterval(() => {
			const settled = ` + standing + `.includes("settled");
			if (!settled) left = true;
			else if (left && told() === window.before || document.querySelector("main .sentence.unsettled")) window.early = "early";
		}, 5);
		return "";
	})()`)
	d.replaced("receiver.yaml", "absorptance: 0.9,", "absorptance: 0.7,")
	d.until("cautions of another answer stand there, and it is settled", `document.querySelector(".cautions").innerText !== window.before && `+standing+`.includes("settled")`)
	d.until("the reader is still at his caution", `document.activeElement.matches(".cautions li")`)
	if d.text(`window.early ?? ""`) != "" {
		d.t.Error("an answer is called settled while another one is shown")
	}
}
