package paper

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Numbered is a document in reading order, with the numbers of its chapters, figures, tables and equations.
type Numbered struct {
	Pieces []Piece
	labels map[string]Label
}

// Piece is one thing of a document in reading order: the heading of a chapter, or a block.
type Piece struct {
	Chapter *Chapter // the heading of this chapter; nil: a block
	Depth   int      // of the chapter that it heads or stands in; 1: a chapter of the document itself
	Block   Block    // Paragraph, List, Table, Figure, Equation or Caution, never a pointer to one
	Label   Label    // of a heading, table, figure or equation; zero for all else
	Anchor  string   // by which links find it in a file: its key, or figure.3 where it has none
}

// Label is what a reference calls a thing.
type Label struct {
	Kind   string // chapter, table, figure or equation
	Number string // 3, or 4.1 of a chapter
}

// String is the label in running text, "figure 3", with a space that does not break.
func (l Label) String() string { return l.Kind + "\u00a0" + l.Number }

// Number numbers chapters by their place (1, 1.1), and figures, tables and equations by their order in the whole document. All
// that is wrong with keys and references is told at once: a key of other characters than letters, digits and hyphens, one
// that stands twice, a reference to a key that there is not, a row that has not as many texts as its table has columns.
func Number(d *Document) (*Numbered, error) {
	n := numberer{Numbered: Numbered{labels: map[string]Label{}}, count: map[string]int{}}
	n.chapters(d.Chapters, "", 1)
	n.references(d)
	return &n.Numbered, errors.Join(n.wrong...)
}

// Label is what a key is called; false: the document has no such key.
func (n *Numbered) Label(key string) (Label, bool) {
	l, ok := n.labels[key]
	return l, ok
}

// Says is a span's text as it is set: its own, or where it has none and leads to a key, the key's label.
func (n *Numbered) Says(s *Span) string {
	if s.Text == "" && strings.HasPrefix(s.To, "#") {
		if l, ok := n.labels[s.To[1:]]; ok {
			return l.String()
		}
	}
	return s.Text
}

type numberer struct {
	Numbered
	count map[string]int
	wrong []error
}

func (n *numberer) fault(format string, a ...any) {
	n.wrong = append(n.wrong, fmt.Errorf(format, a...))
}

func (n *numberer) chapters(all []Chapter, above string, depth int) {
	for i := range all {
		c := &all[i]
		l := Label{Kind: "chapter", Number: above + strconv.Itoa(i+1)}
		n.Pieces = append(n.Pieces, Piece{Chapter: c, Depth: depth, Label: l, Anchor: n.anchor(c.Key, l)})
		for _, b := range c.Blocks {
			n.block(b, depth)
		}
		n.chapters(c.Chapters, l.Number+".", depth+1)
	}
}

// block adds a block under its number.
func (n *numberer) block(b Block, depth int) {
	b = plain(b)
	if b == nil {
		return
	}
	p := Piece{Block: b, Depth: depth}
	kind, key := "", ""
	switch b := b.(type) {
	case Table:
		kind, key = "table", b.Key
		for i, r := range b.Rows {
			if len(r) != len(b.Columns) {
				n.fault("row %d of the table %q has %d texts for %d columns", i+1, Words(b.Title), len(r), len(b.Columns))
			}
		}
	case Figure:
		kind, key = "figure", b.Key
	case Equation:
		kind, key = "equation", b.Key
	}
	if kind != "" {
		n.count[kind]++
		p.Label = Label{Kind: kind, Number: strconv.Itoa(n.count[kind])}
		p.Anchor = n.anchor(key, p.Label)
	}
	n.Pieces = append(n.Pieces, p)
}

// plain is a block itself where it came by a pointer; nil: there is none.
func plain(b Block) Block {
	switch p := b.(type) {
	case *Paragraph:
		return through(p)
	case *List:
		return through(p)
	case *Table:
		return through(p)
	case *Figure:
		return through(p)
	case *Equation:
		return through(p)
	case *Caution:
		return through(p)
	}
	return b
}

func through[T Block](p *T) Block {
	if p == nil {
		return nil
	}
	return *p
}

// anchor registers a key and returns the anchor of what it stands for. An anchor without a key holds a full stop, which no key does.
func (n *numberer) anchor(key string, l Label) string {
	if key == "" {
		return l.Kind + "." + l.Number
	}
	if strings.Trim(key, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-") != "" {
		n.fault("the key %q of %s %s: a key is of letters, digits and hyphens", key, l.Kind, l.Number)
	}
	if other, ok := n.labels[key]; ok {
		n.fault("the key %q stands at %s %s and again at %s %s: a key stands once", key, other.Kind, other.Number, l.Kind, l.Number)
		return l.Kind + "." + l.Number
	}
	n.labels[key] = l
	return key
}

// references looks whether all that leads to a key leads somewhere, and whether what leads out of the document may.
func (n *numberer) references(d *Document) {
	where := "the title block"
	look := func(t Text) {
		for i := range t {
			to := t[i].To
			switch {
			case to == "":
			case strings.HasPrefix(to, "#"):
				if _, ok := n.labels[to[1:]]; !ok {
					n.fault("%s refers to %q, which nothing in the document has as its key", where, to[1:])
				}
			case !leadsOut(to):
				n.fault("%s links to %q: a link leads to a file beside the document or to an address with http, https or mailto", where, to)
			}
		}
	}
	for _, f := range d.Facts {
		look(f.Says)
	}
	chapter := ""
	for i := range n.Pieces {
		p := &n.Pieces[i]
		if p.Chapter != nil {
			chapter = p.Label.Kind + " " + p.Label.Number
			continue
		}
		if where = chapter; p.Label.Kind != "" {
			where = p.Label.Kind + " " + p.Label.Number
		}
		for _, t := range Texts(p.Block) {
			look(t)
		}
	}
}

// leadsOut tells whether a link may lead there: to a file beside the document, or to an address of a kind that only shows something.
func leadsOut(to string) bool {
	for _, r := range to {
		if r < 0x20 || r == 0x7f || r == '\\' {
			return false
		}
	}
	scheme, _, found := strings.Cut(to, ":")
	if !found || strings.ContainsAny(scheme, "/?#") {
		return !strings.HasPrefix(to, "/")
	}
	switch strings.ToLower(scheme) {
	case "http", "https", "mailto":
		return true
	}
	return false
}

// Texts are all texts of a block, in reading order.
func Texts(b Block) []Text {
	switch b := plain(b).(type) {
	case Paragraph:
		return []Text{b.Says}
	case List:
		return b.Items
	case Table:
		all := []Text{b.Title}
		for _, r := range b.Rows {
			all = append(all, r...)
		}
		return append(all, b.Notes...)
	case Figure:
		return []Text{b.Says}
	case Equation:
		return append([]Text{b.Says}, b.Where...)
	case Caution:
		return []Text{b.Says}
	}
	return nil
}

// Words is a text without its styles.
func Words(t Text) string {
	var b strings.Builder
	for i := range t {
		b.WriteString(t[i].Text)
	}
	return b.String()
}
