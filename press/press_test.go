package press_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"emberbank/internal/testkit"
	"emberbank/paper"
	"emberbank/press"

	"golang.org/x/image/font/gofont/gomono"
)

func set(t testing.TB, d *paper.Document) []byte {
	t.Helper()
	var b bytes.Buffer
	if _, err := press.Set(&b, d, press.Options{}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// one is a document of one chapter.
func one(blocks ...paper.Block) *paper.Document {
	return &paper.Document{Title: "A sheet", Chapters: []paper.Chapter{{Title: "One", Blocks: blocks}}}
}

// tool runs one of poppler's programs, which read PDF and are none of ours; without them the test is left out.
func tool(t *testing.T, raw []byte, name string, args ...string) string {
	t.Helper()
	at, err := exec.LookPath(name)
	if err != nil {
		t.Skip(name + " is not here (Debian: poppler-utils)")
	}
	file := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(file, raw, 0o666); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		if a == "FILE" {
			args[i] = file
		}
	}
	var errors bytes.Buffer
	c := exec.Command(at, args...)
	c.Stderr = &errors
	out, err := c.Output()
	if err != nil || errors.Len() > 0 {
		t.Fatalf("%s: %v\n%s", name, err, errors.String())
	}
	return string(out)
}

func TestTheSameDocumentIsTheSameFile(t *testing.T) {
	a, b := set(t, sample(t)), set(t, sample(t))
	if !bytes.Equal(a, b) {
		t.Error("two files differ")
	}
	for _, s := range []string{"CreationDate", "ModDate"} {
		if bytes.Contains(a, []byte(s)) {
			t.Errorf("the file has a %s", s)
		}
	}
}

// TestEveryObjectStandsWhereTheTableSays reads the file as a reader of PDF does first.
func TestEveryObjectStandsWhereTheTableSays(t *testing.T) {
	raw := set(t, sample(t))
	var at int
	if _, err := fmt.Sscanf(string(raw[bytes.LastIndex(raw, []byte("startxref"))+10:]), "%d", &at); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(raw[at:]), "\n")
	var n int
	if _, err := fmt.Sscanf(lines[1], "0 %d", &n); err != nil || lines[0] != "xref" || n < 10 {
		t.Fatal(lines[:2], err)
	}
	for i := 1; i < n; i++ {
		var offset int
		if _, err := fmt.Sscanf(lines[i+2], "%d", &offset); err != nil {
			t.Fatal(err)
		}
		if want := fmt.Sprintf("%d 0 obj\n", i); !bytes.HasPrefix(raw[offset:], []byte(want)) {
			t.Errorf("object %d is not at %d", i, offset)
		}
	}
	for _, m := range regexp.MustCompile(`(\d+) 0 R`).FindAllSubmatch(raw, -1) {
		var id int
		if fmt.Sscan(string(m[1]), &id); id < 1 || id >= n {
			t.Errorf("an object %d is referred to, of %d", id, n)
		}
	}
}

func TestAReaderOfPDFFindsTextPagesAndFaces(t *testing.T) {
	raw := set(t, sample(t))
	info := tool(t, raw, "pdfinfo", "FILE")
	var pages int
	fmt.Sscanf(info[strings.Index(info, "Pages:")+6:], "%d", &pages)
	if pages < 10 || !strings.Contains(info, "A4") || !strings.Contains(info, "A block of tin in aluminium for a bakery") {
		t.Errorf("the file says of itself\n%s", info)
	}
	text := tool(t, raw, "pdftotext", "-layout", "FILE", "-")
	for i := range pages {
		if s := fmt.Sprintf("%d of %d", i+1, pages); !strings.Contains(text, s) {
			t.Errorf("page %d lacks %q", i+1, s)
		}
	}
	for _, s := range []string{
		"Can a block of 58.3 kg", "figure 4 shows the day", "1 551 ± 34 W", "Figure 1. The block cut", "Table 2, continued", "Flashes. Water met", "Каждый", "ρ ≤ 3",
		"U+4F60", "hottest 235.1", "where the heat went in 6 h", "Source: definition",
	} {
		if !strings.Contains(strings.ToLower(text), strings.ToLower(s)) {
			t.Errorf("the text lacks %q", s)
		}
	}
	faces := strings.Split(strings.TrimSpace(tool(t, raw, "pdffonts", "FILE")), "\n")[2:]
	for _, f := range faces {
		if !strings.Contains(f, "CID TrueType") || !strings.Contains(f, "yes yes yes") {
			t.Errorf("a face is not embedded as a part with its letters: %s", f)
		}
	}
}

// TestContentsSayThePagesThatChaptersStandOn finds each chapter on the page that the table of contents tells.
func TestContentsSayThePagesThatChaptersStandOn(t *testing.T) {
	raw := set(t, sample(t))
	first := tool(t, raw, "pdftotext", "-layout", "-f", "1", "-l", "1", "FILE", "-")
	found := 0
	for _, title := range []string{"What was drawn?", "Parts and what they weigh", "What did it do?", "Every picture"} {
		m := regexp.MustCompile(regexp.QuoteMeta(title) + `\s+(\d+)`).FindStringSubmatch(first)
		if m == nil {
			t.Errorf("the contents lack %q", title)
			continue
		}
		page := tool(t, raw, "pdftotext", "-f", m[1], "-l", m[1], "FILE", "-")
		if strings.Contains(page, title) {
			found++
		} else {
			t.Errorf("%q is not on page %s", title, m[1])
		}
	}
	if found != 4 {
		t.Errorf("%d of 4 found", found)
	}
}

func TestEveryPictureOfTheFiguresRoomIsDrawn(t *testing.T) {
	names, err := filepath.Glob(filepath.Join("..", "figure", "testdata", "*.svg"))
	if err != nil || len(names) < 10 {
		t.Fatal("the pictures are not where they were", err)
	}
	for _, n := range names {
		raw := set(t, one(paper.Figure{SVG: testkit.Picture(t, filepath.Base(n))}))
		if len(raw) < 5000 {
			t.Errorf("%s: %d bytes", n, len(raw))
		}
	}
}

func TestAPictureOfAnotherKindIsNamed(t *testing.T) {
	box := func(inside string) string {
		return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">` + inside + `</svg>`
	}
	for svg, says := range map[string]string{
		box(`<ellipse/>`):                                                  "<ellipse>",
		box(`<path d="M0 0B1 1"/>`):                                        "command",
		box(`<path d="L0 0"/>`):                                            "begins with M",
		box(`<path d="M0 0L1"/>`):                                          "a number belongs",
		box(`<path d="M0 0A1 1 0 2 0 1 1"/>`):                              "a 0 or a 1",
		box(`<path d="M0 0Z1 1"/>`):                                        "a letter belongs",
		box(`<rect width="1" height="1" fill="tomato"/>`):                  "tomato",
		box(`<rect width="wide" height="1"/>`):                             "is no number",
		box(`<g transform="skewX(3)"/>`):                                   "skewX",
		box(`<line stroke-dasharray="a b"/>`):                              "are no lengths",
		box(`<g id="a"/><rect width="1" height="1" clip-path="url(#a)"/>`): "no clipPath",
		box(`<g id="a"/><rect width="1" height="1" fill="url(#a)"/>`):      "a fill of <g>",
		box(`<defs><pattern id="a" width="0.001" height="0.001" patternUnits="userSpaceOnUse"><path d="M0 0L0.001 0.0005"/></pattern></defs><rect width="90" height="90" fill="url(#a)"/>`): "would be repeated",
		box(`<defs><linearGradient id="a"><stop offset="0" stop-color="#fff"/></linearGradient></defs><rect width="1" height="1" fill="url(#a)"/>`):                                         "picture's own units",
		box(`<defs><linearGradient id="a" gradientUnits="userSpaceOnUse"></linearGradient></defs><rect width="1" height="1" fill="url(#a)"/>`):                                              "no colours",
	} {
		var b bytes.Buffer
		_, err := press.Set(&b, one(paper.Figure{SVG: []byte(svg)}), press.Options{})
		if err == nil || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), "figure 1") {
			t.Errorf("%s: %v", svg, err)
		}
		if b.Len() > 0 {
			t.Error("something was written all the same")
		}
	}
}

func TestLettersThatNoFaceHoldsAreToldOnce(t *testing.T) {
	d := one(paper.Paragraph{Says: said("你好 — 你 ρ Ω é ∇ ½ \U0001F525 a\u200bb")}, paper.Figure{SVG: []byte(`<svg viewBox="0 0 10 10"><text y="5" font-size="3">火</text></svg>`)})
	var b bytes.Buffer
	missing, err := press.Set(&b, d, press.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if string(missing) != "你好\U0001F525火" {
		t.Errorf("missing are %q", string(missing))
	}
	text := tool(t, b.Bytes(), "pdftotext", "FILE", "-")
	for _, s := range []string{"U+4F60", "U+1F525", "U+706B"} {
		if !strings.Contains(text, s) {
			t.Errorf("%s stands nowhere", s)
		}
	}
}

func TestAFaceThatIsGivenSetsWhatOthersDoNot(t *testing.T) {
	// U+2502 is a line for boxes, which a face for programs has and one for reading has not.
	d := one(paper.Paragraph{Says: said("a \u2502 b")})
	bare, err := press.Set(&bytes.Buffer{}, d, press.Options{})
	if err != nil {
		t.Fatal(err)
	}
	given, err := press.Set(&bytes.Buffer{}, d, press.Options{Faces: [][]byte{gomono.TTF}})
	if err != nil {
		t.Fatal(err)
	}
	if len(given) != 0 || len(bare) > 1 {
		t.Errorf("without the face %q are missing, with it %q", string(bare), string(given))
	}
	for _, bad := range [][]byte{nil, []byte("no face"), gomono.TTF[:200]} {
		if _, err := press.Set(&bytes.Buffer{}, d, press.Options{Faces: [][]byte{bad}}); err == nil || !strings.Contains(err.Error(), "face 1") {
			t.Errorf("a broken face: %v", err)
		}
	}
}

func TestSixtyFiguresAreSetInUnderASecond(t *testing.T) {
	names := []string{"section-width.svg", "history.svg", "ledger.svg", "study-curve.svg", "study-map.svg", "circuit.svg"}
	var blocks []paper.Block
	for i := range 60 {
		blocks = append(blocks, paper.Figure{Says: said("A figure."), SVG: testkit.Picture(t, names[i%len(names)])})
	}
	d := one(blocks...)
	best := time.Hour
	for range 3 { // of a machine that others use too, the best tells
		begun := worked()
		set(t, d)
		best = min(best, worked()-begun)
	}
	t.Log(best)
	if best > time.Second {
		t.Errorf("it took %v", best)
	}
}

// TestASheetThatIsSetCloseGoesOnOnePage: what takes two pages as a report.
func TestASheetThatIsSetCloseGoesOnOnePage(t *testing.T) {
	d := trialSheet(t)
	if n := len(pagesOf(t, set(t, d))); n != 1 {
		t.Errorf("set close it takes %d pages", n)
	}
	d.Close = false
	if n := len(pagesOf(t, set(t, d))); n != 2 {
		t.Errorf("set as a report it takes %d pages", n)
	}
}

func TestAnythingIsSet(t *testing.T) {
	for name, d := range map[string]*paper.Document{
		"nothing":        {},
		"a title":        {Title: "A"},
		"empty blocks":   one(paper.Paragraph{}, paper.List{Items: []paper.Text{{}}}, paper.Table{}, paper.Equation{}, paper.Caution{}, (*paper.Table)(nil)),
		"no rows":        one(paper.Table{Title: said("t"), Columns: []paper.Column{{Name: "a"}}}),
		"a long word":    one(paper.Paragraph{Says: said(strings.Repeat("abc", 400))}),
		"a long cell":    one(paper.Table{Columns: []paper.Column{{Name: "a"}, {Name: "b"}}, Rows: [][]paper.Text{{said(strings.Repeat("long words ", 3000)), said("x")}}}),
		"wide":           one(paper.Table{Columns: make([]paper.Column, 40), Rows: [][]paper.Text{make([]paper.Text, 40)}}),
		"a tall picture": one(paper.Figure{SVG: []byte(`<svg viewBox="0 0 10 4000"><rect width="10" height="4000"/></svg>`)}),
		"a long caption": one(paper.Figure{Says: said(strings.Repeat("word ", 3000)), SVG: []byte(`<svg viewBox="0 0 10 10"/>`)}),
		"a long title":   {Title: strings.Repeat("long ", 200), Chapters: []paper.Chapter{{Title: strings.Repeat("long ", 900), Chapters: []paper.Chapter{{Chapters: []paper.Chapter{{Chapters: []paper.Chapter{{}}}}}}}}},
		"broken text":    one(paper.Paragraph{Says: said("a\xff\x00\x01\u2028\ufeff\u202e\n\n\t b")}),
	} {
		if raw := set(t, d); len(raw) < 500 {
			t.Errorf("%s: %d bytes", name, len(raw))
		}
	}
}
