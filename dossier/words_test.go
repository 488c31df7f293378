package dossier

import (
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/bench"
	"emberbank/paper"
	"emberbank/shelf"
)

// authored is a bench with one result and a dossier.yaml of which the last part is the author's.
func authored(text string) fstest.MapFS {
	root := fstest.MapFS{
		"bench.yaml":               {Data: []byte("schema: emberbank/1\nkind: bench\nname: small\nruns: [day.yaml]\n")},
		"day.yaml":                 {Data: []byte("schema: emberbank/1\nkind: run\n")},
		"results/day/summary.json": {Data: []byte(summaryMade)},
		"dossier.yaml":             {Data: []byte("schema: emberbank/1\nkind: dossier\nparts:\n  - title: Words\n    text: |\n" + indent(text))},
	}
	m := `{"schema":"emberbank/1","version":"1","inputs":[{"name":"day.yaml","sha256":"` + shelf.SumOf(root, "day.yaml") + `"}],"files":[{"name":"summary.json"}]}`
	root["results/day/manifest.json"] = &fstest.MapFile{Data: []byte(m)}
	return root
}

func indent(text string) string {
	return "      " + strings.ReplaceAll(strings.TrimRight(text, "\n"), "\n", "\n      ") + "\n"
}

func composed(t *testing.T, text string) (*paper.Document, bench.Problems) {
	t.Helper()
	g, err := Gather(authored(text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	d, err := Report(g)
	if err != nil {
		problems, ok := err.(bench.Problems)
		if !ok {
			t.Fatal(err)
		}
		return nil, problems
	}
	return d, nil
}

func TestPlacesInTheAuthorsWordsAreFilledFromResults(t *testing.T) {
	d, problems := composed(t, "Of {day: ledger carried} about {day: lost, MJ} are *gone*;\nthe block stands at {day: /end/block mean_degC}.\nIts name is {day: title}, \\{so\\}.")
	if problems != nil {
		t.Fatal(problems)
	}
	says := d.Chapters[0].Blocks[0].(paper.Paragraph).Says
	want := "Of 1.482 ± 0.012\u2009kWh about 1.087\u2009MJ are gone; the block stands at 207.6 ± 1.2\u2009°C. Its name is a day, {so}."
	if got := paper.Words(says); got != want {
		t.Errorf("it says\n%q, not\n%q", got, want)
	}
	origins := 0
	for _, s := range says {
		if strings.HasPrefix(s.Origin, "results/day/summary.json /") {
			origins++
		}
		if s.Text == "gone" && s.Style != paper.Symbol {
			t.Error("emphasis is not set")
		}
	}
	if origins != 4 {
		t.Errorf("%d places say where their number stands", origins)
	}
}

func TestAPlaceThatNothingFillsIsAMistakeWithItsPlace(t *testing.T) {
	for text, want := range map[string][]string{
		"all is well\nbut {day: ledger carryed} is not": {"dossier.yaml:7:11", `"ledger carryed"`, `did you mean "ledger carried"`},
		"{dya: ledger lost}":                            {"dossier.yaml:6:7", `"dya"`, `did you mean "day"`},
		"{day: ledger lost, K}":                         {"dossier.yaml:6:7", "in K, but it is in J"},
		"{day}":                                         {"dossier.yaml:6:7", "names no number", `written \{`},
		"{day: /ledger/none_J}":                         {"where no number and no sentence stands"},
		"see [there](#nowhere)":                         {"dossier.yaml:6:18", "leads to #nowhere"},
		"see [there](#part)":                            {"dossier.yaml:6:18", "leads to #part"},
		"{day: lost} and {day: x} and {day: x}":         {"dossier.yaml:6:23", "dossier.yaml:6:36"},
	} {
		_, problems := composed(t, text)
		for _, w := range want {
			if !strings.Contains(problems.Error(), w) {
				t.Errorf("%q gives no %q but\n%s", text, w, problems.Error())
			}
		}
	}
}

func TestMarkdownIsSetAndHTMLIsShown(t *testing.T) {
	d, problems := composed(t, "# Next\n\nWith **care** and <b>bold</b> and `code`, [a file](notes/plan.md), [a key](#words), [away](https://example.org/x) and [bad](javascript:alert).\n\n1. one {day: lost}\n2. two\n\n<script>alert()</script>\n")
	if problems != nil {
		t.Fatal(problems)
	}
	c := d.Chapters[0].Chapters[0]
	says := c.Blocks[0].(paper.Paragraph).Says
	got := paper.Words(says)
	for _, want := range []string{"care", "<b>bold</b>", "away (https://example.org/x)", "bad (javascript:alert)"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in %q", want, got)
		}
	}
	to := map[string]string{}
	for _, s := range says {
		if s.To != "" {
			to[s.Text] = s.To
		}
	}
	if len(to) != 2 || to["a file"] != "../../notes/plan.md" || to["a key"] != "#words" {
		t.Errorf("it leads to %v", to)
	}
	if l := c.Blocks[1].(paper.List); !l.Ordered || len(l.Items) != 2 || paper.Words(l.Items[0]) != "one 0.30\u2009kWh" {
		t.Errorf("the list is %v", l)
	}
	if got := paper.Words(c.Blocks[2].(paper.Paragraph).Says); got != "<script>alert()</script>" {
		t.Errorf("a script is set as %q", got)
	}
	var page strings.Builder
	if err := paper.Set(&page, d); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(page.String(), "<script>alert") || strings.Contains(page.String(), "javascript:alert\"") {
		t.Error("the author's HTML gets into the page")
	}
}

func TestALinkToAPartThatHasNothingToSayIsAMistakeWithItsPlace(t *testing.T) {
	root := authored("Mine.")
	root["dossier.yaml"] = &fstest.MapFile{Data: []byte("schema: emberbank/1\nkind: dossier\nparts:\n  - plan\n  - {title: Own, text: \"See [the plan](#plan) and [this](#own).\"}\n")}
	g, err := Gather(root, Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = Report(g)
	problems, ok := err.(bench.Problems)
	if !ok || len(problems) != 1 {
		t.Fatalf("it says %v", err)
	}
	if p := problems[0]; p.Line != 5 || !strings.Contains(p.Message, "#plan") || p.Allowed != "own" {
		t.Errorf("it says %+v", p)
	}
}

func TestTheAuthorsOrderIsTheReports(t *testing.T) {
	root := authored("Mine.")
	root["dossier.yaml"] = &fstest.MapFile{Data: []byte("schema: emberbank/1\nkind: dossier\ntitle: T\nsubtitle: S\nby: Me\nparts:\n  - runs\n  - {title: Own, text: Mine.}\n  - {part: question, title: Asked, before: First., after: Last.}\n")}
	g, err := Gather(root, Options{})
	if err != nil {
		t.Fatal(err)
	}
	d, err := Report(g)
	if err != nil {
		t.Fatal(err)
	}
	var titles []string
	for _, c := range d.Chapters {
		titles = append(titles, c.Title)
	}
	if got := strings.Join(titles, ", "); got != "What it will do, Own, Asked" || d.Title != "T" || d.Subtitle != "S" {
		t.Errorf("it is %s of %s", got, d.Title)
	}
	if n := len(d.Chapters[2].Blocks); n != 3 {
		t.Errorf("the part asked has %d blocks", n)
	}
}

func TestThePartsOfFilesAreThoseOfReports(t *testing.T) {
	var words []string
	for _, p := range parts() {
		words = append(words, p.word)
	}
	if got, want := strings.Join(words, ", "), strings.Join(bench.DossierParts(), ", "); got != want {
		t.Errorf("reports have %s, files %s", got, want)
	}
}
