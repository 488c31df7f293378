package paper_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"strings"
	"testing"

	"emberbank/internal/testkit"
	"emberbank/paper"

	"golang.org/x/net/html"
)

// tree is a document as a browser reads it.
func tree(t *testing.T, d *paper.Document) (*html.Node, string) {
	t.Helper()
	var b bytes.Buffer
	if err := paper.Set(&b, d); err != nil {
		t.Fatal(err)
	}
	root, err := html.Parse(bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	return root, b.String()
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func inner(n *html.Node) string {
	var b strings.Builder
	for x := range n.Descendants() {
		if x.Type == html.TextNode {
			b.WriteString(x.Data)
		}
	}
	return b.String()
}

// wellFormed looks whether all tags are shut where they belong, which a parser of HTML would mend in silence.
func wellFormed(t *testing.T, page string) {
	t.Helper()
	alone := map[string]bool{"meta": true, "col": true, "link": true, "br": true}
	var open []string
	z := html.NewTokenizer(strings.NewReader(page))
	for {
		switch z.Next() {
		case html.ErrorToken:
			if len(open) > 0 {
				t.Errorf("never shut: %v", open)
			}
			return
		case html.StartTagToken:
			if name, _ := z.TagName(); !alone[string(name)] {
				open = append(open, string(name))
			}
		case html.EndTagToken:
			name, _ := z.TagName()
			if n := len(open); n == 0 || open[n-1] != string(name) {
				t.Fatalf("</%s> where %v are open", name, open)
			}
			open = open[:len(open)-1]
		}
	}
}

// idsOnce returns the ids below root and complains of those that stand more than once.
func idsOnce(t *testing.T, root *html.Node) map[string]bool {
	t.Helper()
	ids := map[string]bool{}
	for n := range root.Descendants() {
		if id := attribute(n, "id"); id != "" {
			if ids[id] {
				t.Errorf("the id %q stands more than once", id)
			}
			ids[id] = true
		}
	}
	return ids
}

func TestTheFileStandsAlone(t *testing.T) {
	root, page := tree(t, sample(t))
	wellFormed(t, page)
	ids := idsOnce(t, root)
	leads := func(n *html.Node, to string) {
		if !ids[to] {
			t.Errorf("<%s> leads to %q, which is not there", n.Data, to)
		}
	}
	for n := range root.Descendants() {
		for _, a := range n.Attr {
			switch a.Key {
			case "src", "srcset", "data", "action", "style", "background", "poster":
				t.Errorf("<%s> has %s=%q", n.Data, a.Key, a.Val)
			case "href":
				if to, ok := strings.CutPrefix(a.Val, "#"); ok {
					leads(n, to)
				} else if n.Data != "a" {
					t.Errorf("<%s> asks for %q", n.Data, a.Val)
				}
			case "aria-labelledby":
				for _, to := range strings.Fields(a.Val) {
					leads(n, to)
				}
			}
			if strings.HasPrefix(a.Key, "on") {
				t.Errorf("<%s> has a handler %s", n.Data, a.Key)
			}
			if to, ok := paper.Target(a.Val); ok {
				leads(n, to)
			}
		}
		if n.Type == html.ElementNode && (n.Data == "script" || n.Data == "link" || n.Data == "img" || n.Data == "iframe" || n.Data == "object") {
			t.Errorf("the file has a <%s>", n.Data)
		}
	}
	style := page[strings.Index(page, "<style>")+len("<style>") : strings.Index(page, "</style>")]
	for _, s := range []string{"@import", "http:", "https:"} {
		if strings.Contains(style, s) {
			t.Errorf("the style has %q", s)
		}
	}
	if n, m := strings.Count(style, "url("), strings.Count(style, "url(data:font/woff;base64,"); n != m {
		t.Errorf("of %d addresses in the style %d are faces within it", n, m)
	}
	sum := sha256.Sum256([]byte(style))
	if !strings.Contains(page, "default-src 'none'; style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"';") {
		t.Error("the policy does not allow the style as it stands, or allows more")
	}
}

// TestKeysAreNotTheFilesOwnIDs gives chapters the keys that the file might use itself.
func TestKeysAreNotTheFilesOwnIDs(t *testing.T) {
	d := sample(t)
	for _, key := range []string{"text", "contents", "p1-words", "p1-t", "p1-d"} {
		d.Chapters = append(d.Chapters, paper.Chapter{Key: key, Title: key, Blocks: []paper.Block{paper.Paragraph{Says: said("x")}}})
	}
	root, _ := tree(t, d)
	idsOnce(t, root)
}

func TestAFaceIsInTheFileOnce(t *testing.T) {
	if _, ok := paper.Face("vollkorn-latin-400-normal"); !ok {
		t.Skip("the faces are not made: make build")
	}
	d := sample(t)
	_, page := tree(t, d)
	if n := strings.Count(page, "@font-face"); n != 4 {
		t.Errorf("%d faces for Latin letters, want 4", n)
	}
	d.Chapters[0].Blocks = append(d.Chapters[0].Blocks, paper.Paragraph{Says: said("ρ, Ω and λ")})
	if _, page = tree(t, d); strings.Count(page, "@font-face") != 7 {
		t.Errorf("%d faces with Greek letters, want 7", strings.Count(page, "@font-face"))
	}
}

func TestWhatReadersNeedIsThere(t *testing.T) {
	root, page := tree(t, sample(t))
	found := map[string]int{}
	for n := range root.Descendants() {
		if n.Type == html.ElementNode {
			found[n.Data]++
		}
		switch n.Data {
		case "th":
			if s := attribute(n, "scope"); s != "col" && s != "row" {
				t.Errorf("the head %q of a table has scope %q", inner(n), s)
			}
		case "svg":
			if attribute(n, "role") == "img" && attribute(n, "aria-labelledby") == "" {
				t.Error("a picture has no words")
			}
		case "html":
			if n.Type == html.ElementNode && attribute(n, "lang") != "en" {
				t.Error("the language is not stated")
			}
		}
	}
	for _, name := range []string{"main", "header", "nav", "h1", "h2", "h3", "caption", "figcaption", "var", "sub"} {
		if found[name] == 0 {
			t.Errorf("there is no <%s>", name)
		}
	}
	if found["h1"] != 1 || found["main"] != 1 {
		t.Errorf("%d <h1> and %d <main>", found["h1"], found["main"])
	}
	for _, part := range []string{
		`<a href="../../results/day/summary.json" class="origin" title="from results/day/summary.json /mass_kg">58.3`, `<a href="#section">figure` + "\u00a0" + `1</a>`,
		"<var>Q</var><sub>s</sub>", `role="note"`, "Source: ISO 13732-1", `counter(page) " of " counter(pages)`,
	} {
		if !strings.Contains(page, part) {
			t.Errorf("the file lacks %q", part)
		}
	}
}

func TestContentsAreWholeWhateverChaptersHaveTitles(t *testing.T) {
	named := func(title string, inner ...paper.Chapter) paper.Chapter {
		return paper.Chapter{Title: title, Chapters: inner}
	}
	for _, chapters := range [][]paper.Chapter{
		nil, {named("")}, {named(""), named("a")}, {named("", named("b"), named("")), named("a", named("c"))}, {named("a", named("b", named("c")))}, {named("a", named("")), named(""), named("b")},
	} {
		root, page := tree(t, &paper.Document{Title: "x", Contents: true, Chapters: chapters})
		wellFormed(t, page)
		for n := range root.Descendants() {
			if n.Data == "ol" && n.Type == html.ElementNode {
				for c := range n.ChildNodes() {
					if c.Type == html.ElementNode && c.Data != "li" {
						t.Errorf("a list of contents holds a <%s>", c.Data)
					}
				}
			}
		}
	}
}

func TestTheSameDocumentIsTheSameFile(t *testing.T) {
	_, a := tree(t, sample(t))
	_, b := tree(t, sample(t))
	if a != b {
		t.Error("two files differ")
	}
}

func TestHostileTextIsTextAndNothingElse(t *testing.T) {
	const bad = "</title></style><script>alert(1)</script><img src=x onerror=alert(2)>\" onmouseover=\"alert(3)' }</p> &amp; \x00\x1b\xff\\"
	d := &paper.Document{
		Title: bad, Subtitle: bad, Language: `en"><script>`, Bench: "../..", Contents: true,
		Facts: []paper.Fact{{Name: bad, Says: said(bad)}},
		Chapters: []paper.Chapter{{Key: "a", Title: bad, Blocks: []paper.Block{
			paper.Paragraph{Says: paper.Text{{Text: bad, Style: paper.Code, Origin: "results/" + bad}, {Text: bad, Style: 99}, {Text: bad, To: "x\"><script>"}}},
			paper.List{Items: []paper.Text{said(bad)}},
			paper.Table{Title: said(bad), Columns: []paper.Column{{Name: bad, Unit: bad, Share: 0.5}}, Rows: [][]paper.Text{{said(bad)}}, Notes: []paper.Text{said(bad)}, Origin: bad},
			paper.Figure{Says: said(bad), Origin: bad, SVG: []byte(`<svg viewBox="0 0 10 10"><title>&lt;script&gt;</title><text x="1" y="2">&lt;/svg&gt;&lt;script&gt;alert(1)</text><text font-family="&quot;&gt;&lt;script&gt;">a</text></svg>`)},
			paper.Equation{Says: said(bad), Where: []paper.Text{said(bad)}, Source: bad},
			paper.Caution{Word: bad, Says: said(bad), Source: bad},
			paper.Caution{Word: "\xff"},
		}}},
	}
	root, page := tree(t, d)
	wellFormed(t, page)
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		if n.Data == "script" || n.Data == "img" {
			t.Errorf("text became a <%s>", n.Data)
		}
		for _, a := range n.Attr {
			if strings.HasPrefix(a.Key, "on") {
				t.Errorf("text became the attribute %s of a <%s>", a.Key, n.Data)
			}
		}
	}
	if strings.ContainsAny(page, "\x00\x1b") {
		t.Error("letters that HTML does not allow are in the file")
	}
	if n := strings.Count(page, "</style>"); n != 1 {
		t.Errorf("the style is shut %d times", n)
	}
}

func TestAPictureOfAnotherKindIsNamed(t *testing.T) {
	for svg, says := range map[string]string{
		`<svg viewBox="0 0 1 1"><script>alert(1)</script></svg>`:                                         "<script>",
		`<svg viewBox="0 0 1 1"><foreignObject/></svg>`:                                                  "<foreignObject>",
		`<svg viewBox="0 0 1 1"><image href="http://example.org/x.png"/></svg>`:                          "<image>",
		`<svg viewBox="0 0 1 1"><rect onclick="alert(1)"/></svg>`:                                        `"onclick"`,
		`<svg viewBox="0 0 1 1"><rect style="fill:url(http://example.org)"/></svg>`:                      `"style"`,
		`<svg viewBox="0 0 1 1"><g xmlns:l="http://www.w3.org/1999/xlink" l:href="http://x.org"/></svg>`: `"href"`,
		`<svg viewBox="0 0 1 1"><rect fill="url(http://example.org/#a)"/></svg>`:                         "leads to nothing",
		`<svg viewBox="0 0 1 1"><rect fill="url(#a)"/></svg>`:                                            "leads to nothing",
		`<svg viewBox="0 0 1 1"><rect id="a"/><rect id="a"/></svg>`:                                      `the id "a"`,
		`<svg viewBox="0 0 1 1"><rect>`:                                                                  "reading the picture",
		`<svg/>`:                                                                                         "has no size",
		`<svg viewBox="0 0 0 1"/>`:                                                                       "has no size",
		`<svg viewBox="0 0 NaN 1"/>`:                                                                     "has no size",
		``:                                                                                               "is empty",
		`<p/>`:                                                                                           "<p>",
		`<svg viewBox="0 0 1 1">` + strings.Repeat("<g>", 50) + strings.Repeat("</g>", 50) + `</svg>`: "deep",
		`<svg viewBox="0 0 1 1">` + strings.Repeat("<g/>", paper.MostElements) + `</svg>`:             "too large",
		`<svg viewBox="0 0 1 1"><title>` + strings.Repeat("a", paper.MostBytes) + `</title></svg>`:    "too large",
		`<!DOCTYPE svg [<!ENTITY a "b">]><svg viewBox="0 0 1 1"><text>&a;</text></svg>`:               "reading the picture",
	} {
		d := &paper.Document{Chapters: []paper.Chapter{{Title: "a", Blocks: []paper.Block{paper.Figure{SVG: []byte(svg)}}}}}
		var b bytes.Buffer
		err := paper.Set(&b, d)
		if err == nil || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), "figure 1") {
			t.Errorf("%.80s: %v", svg, err)
		}
		if b.Len() > 0 {
			t.Error("something was written all the same")
		}
	}
}

func TestLettersInFiguresCanBeReadOnPaper(t *testing.T) {
	const size = 11
	for _, width := range []float64{300, 640, 960, 2000} {
		f := paper.Figure{}
		points, letter := paper.Scale(width, f.Printed(&paper.Picture{Width: width, Height: 100}))
		if got := letter(size) * points; got < paper.LeastLetter-1e-9 {
			t.Errorf("a picture of %g px: letters of %.2f pt", width, got)
		}
		if got := letter(18) * points; letter(18) > 18 && got > paper.LeastLetter+1e-9 {
			t.Errorf("a picture of %g px: large letters grew to %.2f pt", width, got)
		}
	}
}

func FuzzPicture(f *testing.F) {
	f.Add(testkit.Picture(f, "plan.svg"))
	f.Add([]byte(`<svg viewBox="0 0 1 1"><rect fill="url(#a)"/></svg>`))
	f.Fuzz(func(t *testing.T, svg []byte) {
		p, err := paper.ReadPicture(svg)
		if (p == nil || p.Root == nil) && err == nil {
			t.Error("neither a picture nor an error")
		}
	})
}
