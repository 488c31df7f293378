package paper_test

import (
	"strings"
	"testing"

	"emberbank/paper"
)

func TestThingsAreNumberedInTheOrderOfReading(t *testing.T) {
	n, err := paper.Number(sample(t))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range n.Pieces {
		if p.Label.Kind != "" {
			got = append(got, strings.ReplaceAll(p.Label.String(), "\u00a0", " ")+" "+p.Anchor)
		}
	}
	want := "chapter 1 drawn, figure 1 section, equation 1 stored, chapter 1.1 chapter.1.1, table 1 parts, chapter 2 will, figure 2 figure.2"
	if s := strings.Join(got, ", "); s != want {
		t.Errorf("numbered\n%s\nwant\n%s", s, want)
	}
	if l, ok := n.Label("parts"); !ok || l.Kind != "table" || l.Number != "1" {
		t.Errorf("the key parts is called %v", l)
	}
	if s := n.Says(&paper.Span{To: "#parts"}); s != "table\u00a01" {
		t.Errorf("a reference says %q", s)
	}
	if s := n.Says(&paper.Span{To: "#parts", Text: "the parts"}); s != "the parts" {
		t.Errorf("a reference with words says %q", s)
	}
}

func TestAllThatIsWrongWithKeysIsToldAtOnce(t *testing.T) {
	d := &paper.Document{
		Facts: []paper.Fact{{Name: "bench", Says: paper.Text{{Text: "x", To: "#nowhere"}}}},
		Chapters: []paper.Chapter{
			{Key: "one", Blocks: []paper.Block{
				paper.Paragraph{Says: paper.Text{{To: "#two"}, {Text: "run", To: "javascript:alert(1)"}, {Text: "file", To: "/etc/passwd"}}},
				paper.Table{Key: "one", Title: said("Sums"), Columns: []paper.Column{{Name: "a"}, {Name: "b"}}, Rows: [][]paper.Text{{said("1")}}},
				paper.Figure{Key: "not a key", Says: paper.Text{{To: "#three"}}},
			}},
		},
	}
	_, err := paper.Number(d)
	if err == nil {
		t.Fatal("nothing is wrong")
	}
	for _, part := range []string{
		`the title block refers to "nowhere"`, `chapter 1 refers to "two"`, `links to "javascript:alert(1)"`, `links to "/etc/passwd"`,
		`the key "one" stands at chapter 1 and again at table 1`, `row 1 of the table "Sums" has 1 texts for 2 columns`,
		`the key "not a key" of figure 1`, `figure 1 refers to "three"`,
	} {
		if !strings.Contains(err.Error(), part) {
			t.Errorf("the message lacks %q:\n%v", part, err)
		}
	}
	var b strings.Builder
	if err := paper.Set(&b, d); err == nil || b.Len() > 0 {
		t.Error("a document that is wrong was written")
	}
}

func TestALinkLeadsToAFileBesideOrToAnAddressThatOnlyShows(t *testing.T) {
	for to, may := range map[string]bool{
		"results/day/summary.json": true, "../receiver.yaml": true, "https://example.org/a?b=c": true, "mailto:rig@example.org": true, "a b/c.csv": true,
		"javascript:alert(1)": false, "JaVaScRiPt:alert(1)": false, "java\nscript:alert(1)": false, "data:text/html,x": false, "file:///etc/passwd": false,
		"//example.org/x": false, "/root": false, `\\host\share`: false, "vbscript:x": false,
	} {
		d := &paper.Document{Chapters: []paper.Chapter{{Title: "a", Blocks: []paper.Block{paper.Paragraph{Says: paper.Text{{Text: "x", To: to}}}}}}}
		if _, err := paper.Number(d); (err == nil) != may {
			t.Errorf("a link to %q: %v", to, err)
		}
	}
}

func TestOriginsLeadFromTheDocumentToItsBench(t *testing.T) {
	d := &paper.Document{Bench: "../.."}
	for origin, want := range map[string]string{
		"results/day/summary.json /drained/value": "../../results/day/summary.json",
		"results/a day/ü.json /x":                 "../../results/a%20day/%C3%BC.json",
		"/etc/passwd":                             "",
		"javascript:alert(1)":                     "",
		"":                                        "",
	} {
		if got := d.Found(origin); got != want {
			t.Errorf("%q leads to %q, want %q", origin, got, want)
		}
	}
	if got := (&paper.Document{}).Found("results/day/summary.json"); got != "" {
		t.Errorf("without a bench an origin leads to %q", got)
	}
}
