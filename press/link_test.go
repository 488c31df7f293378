package press_test

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"unicode/utf16"

	"emberbank/paper"
)

// pagesOf are the numbers of the objects of the pages, in their order.
func pagesOf(t *testing.T, raw []byte) []string {
	t.Helper()
	m := regexp.MustCompile(`/Type /Pages /Count \d+ /Kids \[([^\]]*)\]`).FindSubmatch(raw)
	if m == nil {
		t.Fatal("the file has no pages")
	}
	return strings.Split(strings.TrimSuffix(string(m[1]), " 0 R"), " 0 R ")
}

// texts are the texts of the pages, as a reader of PDF finds them.
func texts(t *testing.T, raw []byte) []string {
	t.Helper()
	return strings.Split(strings.TrimSuffix(tool(t, raw, "pdftotext", "-layout", "FILE", "-"), "\f"), "\f")
}

// bookmark is how the file writes a bookmark's title.
func bookmark(s string) string {
	var b strings.Builder
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", u)
	}
	return "<FEFF" + b.String() + ">"
}

// TestBookmarksLeadToTheirChapters follows each bookmark to its page, where the text of the page has the chapter's title.
func TestBookmarksLeadToTheirChapters(t *testing.T) {
	raw := set(t, sample(t))
	pages, all := pagesOf(t, raw), texts(t, raw)
	for _, title := range []string{"1 What was asked?", "2 What was drawn?", "2.1 Parts and what they weigh", "3 What did it do?", "4 Every picture"} {
		at := bytes.Index(raw, []byte(bookmark(title)))
		if at < 0 {
			t.Errorf("there is no bookmark %q", title)
			continue
		}
		m := regexp.MustCompile(`/Dest \[(\d+) 0 R /XYZ null (\S+) null\]`).FindSubmatch(raw[at:])
		page := 0
		for i, id := range pages {
			if id == string(m[1]) {
				page = i + 1
			}
		}
		if _, words, _ := strings.Cut(title, " "); page == 0 || !strings.Contains(all[page-1], words) {
			t.Errorf("the bookmark %q leads to page %d, which has it not", title, page)
		}
	}
}

func TestReferencesAndOriginsAreLinks(t *testing.T) {
	d := one(
		paper.Paragraph{Says: paper.Text{{To: "#sums"}, {Text: " and "}, {Text: "58.3\u2009kg", Origin: "results/a (1)/summary.json /mass_kg"}, {Text: " and ", To: "https://example.org/a"}}},
		paper.Table{Key: "sums", Columns: []paper.Column{{Name: "a"}}, Rows: [][]paper.Text{{said("1")}}},
	)
	d.Bench = "../.."
	raw := set(t, d)
	for _, part := range []string{
		fmt.Sprintf("/Dest [%s 0 R /XYZ null", pagesOf(t, raw)[0]), `/URI (../../results/a%20\(1\)/summary.json)`, "/URI (https://example.org/a)",
	} {
		if !bytes.Contains(raw, []byte(part)) {
			t.Errorf("the file lacks %q", part)
		}
	}
	d.Chapters = append(d.Chapters, paper.Chapter{Key: "bare", Blocks: []paper.Block{paper.Paragraph{Says: paper.Text{{Text: "itself", To: "#bare"}}}}})
	if n, m := bytes.Count(raw, []byte("/Dest")), bytes.Count(set(t, d), []byte("/Dest")); m != n+1 {
		t.Errorf("a chapter without a title takes %d links instead of one", m-n)
	}
	d.Bench = ""
	if raw = set(t, d); bytes.Contains(raw, []byte("summary.json")) {
		t.Error("an origin leads somewhere though nobody said where the bench lies")
	}
}

// TestNoLineStandsAlone sets a text of many lengths and looks for first and last lines of paragraphs at the foot and head of pages.
func TestNoLineStandsAlone(t *testing.T) {
	var blocks []paper.Block
	for i := range 60 {
		words := make([]string, 30+i%37)
		for k := range words {
			words[k] = "word"
		}
		words[0], words[len(words)-1] = fmt.Sprintf("first%d", i), fmt.Sprintf("last%d", i)
		blocks = append(blocks, paper.Paragraph{Says: said(strings.Join(words, " "))})
	}
	raw := set(t, one(blocks...))
	pages := texts(t, raw)
	if len(pages) < 4 {
		t.Fatalf("%d pages only", len(pages))
	}
	for p, text := range pages {
		var lines []string
		for l := range strings.SplitSeq(text, "\n") {
			if strings.Contains(l, "word") {
				lines = append(lines, l)
			}
		}
		if foot := lines[len(lines)-1]; strings.Contains(foot, "first") && !strings.Contains(foot, "last") {
			t.Errorf("page %d ends with a first line: %s", p+1, foot)
		}
		if head := lines[0]; strings.Contains(head, "last") && !strings.Contains(head, "first") {
			t.Errorf("page %d begins with a last line: %s", p+1, head)
		}
	}
}

// TestAFigureStaysWithItsWords: on the page of each caption stands a word of its picture.
func TestAFigureStaysWithItsWords(t *testing.T) {
	var blocks []paper.Block
	for i := range 12 {
		blocks = append(blocks, paper.Paragraph{Says: said(strings.Repeat("some words that fill a part of the page ", 12+5*i))},
			paper.Figure{Says: said(fmt.Sprintf("Caption%d.", i)), SVG: fmt.Appendf(nil, `<svg viewBox="0 0 600 %d"><text x="9" y="50" font-size="18">picture%d</text></svg>`, 200+40*i, i)})
	}
	raw := set(t, one(blocks...))
	pages := texts(t, raw)
	last := 0
	for i := range 12 {
		for p, text := range pages {
			if strings.Contains(text, fmt.Sprintf("Caption%d.", i)) {
				if !strings.Contains(text, fmt.Sprintf("picture%d\n", i)) {
					t.Errorf("figure %d is parted from its words", i+1)
				}
				if p < last {
					t.Errorf("figure %d stands on page %d, before the one that it follows", i+1, p+1)
				}
				last = p
			}
		}
	}
	if last == 0 {
		t.Error("no figure was found")
	}
}

// TestAFigureIsSetALittleSmallerToGoOnAPage: two that together are a little too high for one page share it; two that are much too high do not.
func TestAFigureIsSetALittleSmallerToGoOnAPage(t *testing.T) {
	two := func(high int) int {
		svg := fmt.Appendf(nil, `<svg viewBox="0 0 960 %d"><rect width="960" height="%d" fill="none" stroke="#000"/></svg>`, high, high)
		return len(pagesOf(t, set(t, one(paper.Figure{SVG: svg}, paper.Figure{SVG: svg}))))
	}
	// The page has 714 pt, titles take 81, words and room between 78: at 0.514 pt a px that leaves each 540 px.
	if n := two(530); n != 1 {
		t.Errorf("two that fit take %d pages", n)
	}
	if n := two(580); n != 1 {
		t.Errorf("two that nearly fit take %d pages", n)
	}
	if n := two(1100); n != 2 {
		t.Errorf("two that do not fit take %d pages", n)
	}
}
