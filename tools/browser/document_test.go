package browser

import (
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// TestADocumentIsFreeOfSeriousFindings sets the sample report of room press as HTML and opens it as who was sent it does: as a file, with no
// server. Its policy lets nothing in, so what is not in the file would be told in the console.
func TestADocumentIsFreeOfSeriousFindings(t *testing.T) {
	folder := t.TempDir()
	make := exec.Command("go", "test", "./press", "-count=1", "-run", "TestTheSampleIsWholeBothWays", "-args", "-press.into="+folder)
	make.Dir = filepath.Join("..", "..")
	if out, err := make.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	d := &desk{t: t, link: "file://" + filepath.ToSlash(filepath.Join(folder, "sample.html")), asked: map[network.RequestID]bool{}}
	d.browse()
	if got := d.text(`document.querySelectorAll("figure svg").length + " " + document.title`); got != "18 A block of tin in aluminium for a bakery" {
		t.Errorf("the document shows %s", got)
	}
	if got := d.text(`[...document.fonts].map((f) => f.family.replaceAll('"', "")).filter((f, i, all) => all.indexOf(f) === i).join(", ")`); got != "Vollkorn, Emberbank Lettering" {
		t.Errorf("its faces are %s", got)
	}
	for _, width := range []int64{1280, 800} {
		d.do(chromedp.EmulateViewport(width, 900))
		if got := d.text(`String(document.documentElement.scrollWidth <= innerWidth)`); got != "true" {
			t.Errorf("at %d px the page is wider than its window", width)
		}
		grave, slight := d.examined()
		for _, f := range grave {
			t.Errorf("at %d px: %s (%s): %d, %.200s %s", width, f.Help, f.ID, len(f.Nodes), f.Nodes[0].HTML, f.Nodes[0].FailureSummary)
		}
		for _, f := range slight {
			t.Logf("at %d px: %s: %s (%d), %.100s", width, f.Impact, f.Help, len(f.Nodes), f.Nodes[0].HTML)
		}
	}
	d.noErrors()
}
