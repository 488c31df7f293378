package browser

import (
	"context"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// onPaper lays the page out as it is printed on A4 across with its margins, 277 mm wide, without printing it.
func (d *desk) onPaper() {
	d.t.Helper()
	d.do(chromedp.EmulateViewport(1047, 718), chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		return err
	}))
}

// pages is how many pages a view takes, and their size in points as the first states it.
func (d *desk) pages() (n int, size string) {
	d.t.Helper()
	pdf, err := chromedp.Run(d.tab, chromedp.PrintToPDF(func(p *page.PrintToPDFParams) { p.PrintBackground, p.PreferCSSPageSize = new(true), new(true) }))
	if err != nil {
		d.t.Fatal(err)
	}
	if m := regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+ [\d.]+)\]`).FindSubmatch(pdf); m != nil {
		size = string(m[1])
	}
	return len(regexp.MustCompile(`/Type /Page\b`).FindAll(pdf, -1)), size
}

func TestEveryViewPrintsOnPaper(t *testing.T) {
	d := opened(t)
	d.wait("settled")
	d.inMode("dark")
	for _, href := range d.views() {
		d.visit(href)
		if n, size := d.pages(); n < 1 || n > 8 || !strings.HasPrefix(size, "841.9") || !strings.Contains(size, " 594.9") {
			t.Errorf("%s takes %d pages of %s", href, n, size)
		}
	}
	d.onPaper()
	for _, href := range d.views() {
		d.visit(href)
		if wide := d.text(`[...document.querySelectorAll("main *")].filter((e) => e.getClientRects().length > 0 && !e.closest(".heard, svg") && e.getBoundingClientRect().right > 1048).map((e) => e.outerHTML.slice(0, 90)).slice(0, 5).join("\n")`); wide != "" {
			t.Errorf("%s is wider than the paper: %s", href, wide)
		}
		if small := d.text(`[...document.querySelectorAll("main *")].filter((e) => e.getClientRects().length > 0 && !e.closest(".heard, svg") && [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim() !== "") && parseFloat(getComputedStyle(e).fontSize) < 9.3).map((e) => e.outerHTML.slice(0, 90)).slice(0, 5).join("\n")`); small != "" {
			t.Errorf("%s has text below 7 pt: %s", href, small)
		}
	}
	d.visit("/will")
	for what, expression := range map[string]string{
		"the paper is white":      `getComputedStyle(document.querySelector(".sheet")).backgroundColor === "rgb(255, 255, 255)"`,
		"cautions are printed":    `document.querySelector(".cautions").getBoundingClientRect().height > 50`,
		"controls are not":        `[...document.querySelectorAll("main button")].every((b) => b.getClientRects().length === 0 || b.closest(".marks"))`,
		"the run is still named":  `document.querySelector(".title").innerText.includes("trial-1") || document.querySelector("#run").getClientRects().length > 0`,
		"no zone of the edge":     `document.querySelector(".frame").getClientRects().length === 0`,
		"the question is printed": `document.querySelector(".questions a[aria-current]").getClientRects().length > 0`,
	} {
		d.until(what, expression)
	}
	d.noErrors()
}
