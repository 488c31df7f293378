package dossier

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"
	"sync"

	"emberbank/bench"
	"emberbank/hazard"
	"emberbank/paper"
)

// writer composes one report.
type writer struct {
	g         *Gathered
	keys      map[string]bool
	concluded []conclusion
	open      []paper.Text
	problems  bench.Problems // of the author's words
	links     []string       // keys to which the author's words lead
	asked     string         // the key of the chapter of the question
	askedAt   int            // where in it what is told in short goes
}

// confidence is that of every half-width in a document.
const confidence = "95\u2009%"

// conclusion is a sentence that follows from numbers, with the chapter, figure or table that shows them.
type conclusion struct {
	says  paper.Text
	key   string
	short bool // it goes behind the bench's question, too
}

// with is the conclusion with where it stands.
func (c *conclusion) with() paper.Text {
	return append(slices.Clone(c.says), says(" (", to(c.key), ")")...)
}

func newWriter(g *Gathered) *writer { return &writer{g: g, keys: map[string]bool{}} }

// key makes a key of words that nothing else in the document has.
func (w *writer) key(words ...string) string {
	slug := strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, strings.Join(words, "-")), "-")
	if slug == "" {
		slug = "part"
	}
	key := slug
	for n := 2; w.keys[key]; n++ {
		key = fmt.Sprintf("%s-%d", slug, n)
	}
	w.keys[key] = true
	return key
}

// concludes notes what follows from numbers that stand under a key.
func (w *writer) concludes(key string, parts ...any) {
	w.concluded = append(w.concluded, conclusion{says(parts...), key, false})
}

// answers is concludes of what a reader wants to hear first.
func (w *writer) answers(key string, parts ...any) {
	w.concluded = append(w.concluded, conclusion{says(parts...), key, true})
}

// asks notes what is not known.
func (w *writer) asks(parts ...any) { w.open = append(w.open, says(parts...)) }

// says makes a text of words (string), numbers (Number), sentences that results state (Sentence), spans and texts. A number is
// written by the rule of its quantity.
func says(parts ...any) (t paper.Text) {
	for _, p := range parts {
		switch p := p.(type) {
		case string:
			t = append(t, paper.Span{Text: p})
		case Number:
			t = append(t, p.Span("", -1))
		case Sentence:
			t = append(t, p.Span())
		case paper.Span:
			t = append(t, p)
		case paper.Text:
			t = append(t, p...)
		default:
			panic(fmt.Sprintf("dossier: a %T is no part of a text", p))
		}
	}
	return t
}

// Span is the sentence with its origin.
func (s Sentence) Span() paper.Span { return paper.Span{Text: s.Text, Origin: s.Origin} }

func paragraph(parts ...any) paper.Paragraph { return paper.Paragraph{Says: says(parts...)} }

// code sets a command or the name of a file.
func code(text string) paper.Span { return paper.Span{Text: text, Style: paper.Code} }

func below(text string) paper.Span { return paper.Span{Text: text, Style: paper.Below} }

func above(text string) paper.Span { return paper.Span{Text: text, Style: paper.Above} }

// to leads to a chapter, figure or table of the document, and is set as its name.
func to(key string) paper.Span { return paper.Span{To: "#" + key} }

// trimmed is a caution's sentence without the one that stands once below all of them.
func trimmed(s Sentence) Sentence {
	s.Text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(s.Text), hazard.Practice))
	return s
}

// inAFile tells whether a note is about a line of a file.
func inAFile(note string) bool { return place().MatchString(note) }

var place = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^\S+\.ya?ml:\d+:\d+: `) })

// sentences are the texts of a list in a result, as a list; nothing where there are none.
func sentences(r *Result, place string) []paper.Block {
	l := paper.List{}
	for i := range r.Count(place) {
		if s, ok := r.Sentence(fmt.Sprintf("%s/%d", place, i)); ok {
			l.Items = append(l.Items, says(s))
		}
	}
	if len(l.Items) == 0 {
		return nil
	}
	return []paper.Block{l}
}

// names writes the names of files one after the other.
func names(files []string) paper.Text {
	var t paper.Text
	for i, f := range files {
		switch {
		case i == 0:
		case i == len(files)-1:
			t = append(t, paper.Span{Text: " and "})
		default:
			t = append(t, paper.Span{Text: ", "})
		}
		t = append(t, code(f))
	}
	return t
}

// figure sets a picture of a result; a picture that is too large is told instead, and one that is not there is nothing.
func (w *writer) figure(r *Result, name, key string, parts ...any) []paper.Block {
	raw, err := r.picture(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		t := says("The picture ", code(r.Origin(name)), " is left out: ", paper.Span{Text: err.Error(), Origin: r.Origin(name)}, ".")
		w.asks(t)
		return []paper.Block{paper.Paragraph{Says: t}}
	}
	return []paper.Block{paper.Figure{Key: key, Says: says(parts...), SVG: raw, Origin: r.Origin(name)}}
}

// heading is how a picture of a result calls itself; nothing where it does not.
func heading(r *Result, name string) paper.Span {
	if raw, err := r.picture(name); err == nil {
		if p, err := paper.ReadPicture(raw); err == nil {
			title, _ := p.Titled()
			return paper.Span{Text: title, Origin: r.Origin(name)}
		}
	}
	return paper.Span{Text: path.Base(name)}
}

// doubts says, where numbers of a result stand, that its inputs have changed since, or that it was stopped.
func (w *writer) doubts(r *Result) (blocks []paper.Block) {
	if r.Stale() {
		t := says("These results are older than what they were computed from: ", names(r.Changed), has(len(r.Changed)), " changed since. Their numbers are those of before. Renew them: ", code(r.Renew), ".")
		blocks = append(blocks, paper.Paragraph{Says: t})
		w.asks(title(r), " is older than ", names(r.Changed), ". Renew it: ", code(r.Renew), ".")
	}
	if r.Stopped {
		blocks = append(blocks, paragraph("It was stopped before all of it was computed: the results are those that there were by then."))
		w.asks(title(r), " was stopped before all of it was computed. Compute it: ", code(r.Renew), ".")
	}
	return blocks
}

func has(n int) string {
	if n == 1 {
		return " has"
	}
	return " have"
}

// title is how a result calls itself, with its place.
func title(r *Result) Sentence {
	for _, place := range []string{"/title", "/name"} {
		if s, ok := r.Sentence(place); ok {
			return s
		}
	}
	return Sentence{r.Name(), r.Folder}
}

// table is a table under way.
type table struct{ paper.Table }

func newTable(key, origin string, titled paper.Text, columns ...paper.Column) *table {
	return &table{paper.Table{Key: key, Title: titled, Columns: columns, Origin: origin}}
}

// row adds a row; what stands in a cell is as in says.
func (t *table) row(cells ...any) {
	row := make([]paper.Text, len(t.Columns))
	for i, c := range cells {
		row[i] = says(c)
	}
	t.Rows = append(t.Rows, row)
}

// block is the table, nothing where it has no rows.
func (t *table) block() []paper.Block {
	if len(t.Rows) == 0 {
		return nil
	}
	return []paper.Block{t.Table}
}

func words(name string) paper.Column { return paper.Column{Name: name} }

func numbers(name, unit string) paper.Column {
	return paper.Column{Name: name, Unit: unit, Numbers: true}
}

// bare is a number without its unit, nothing where there is none.
func bare(n Number, ok bool, unit string) paper.Text {
	if !ok {
		return nil
	}
	return paper.Text{n.Bare(unit, -1)}
}
