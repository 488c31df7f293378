// Package paper is a document as its author means it: chapters, paragraphs, tables, figures, equations, cautions, and
// references between them, with no word yet on how it is set. Set turns one into a self-contained HTML file; room press sets the
// same one on A4 pages.
//
// It knows no receiver and no results. Numbers come in as text with the place that they were read from (Span.Origin),
// so that whoever reads a number can go and look.
package paper

// Document is one paper.
type Document struct {
	Title    string
	Subtitle string
	Language string // a BCP 47 tag such as "en"; empty: en
	Facts    []Fact // the title block: bench, version, inputs; in their order
	Contents bool   // a table of contents behind the title block
	Close    bool   // set close on paper, as a sheet that is to go on one page
	Slides   bool   // each chapter is a slide: its title asks, its first paragraph answers, its figure shows
	Bench    string // the way from the document's folder to the files that its origins name, such as "../.."; empty: origins are told, and lead nowhere
	Chapters []Chapter
}

// Fact is a line of the title block.
type Fact struct {
	Name string
	Says Text
}

// Chapter is a heading with what stands under it, and chapters of its own. Chapters are numbered by Number in their order: 1, 1.1.
type Chapter struct {
	Key      string // what refers to it; unique in the document, of letters, digits and hyphens
	Title    string // empty: it has no heading, as on a sheet of one page
	Apart    bool   // begins on a new page
	Blocks   []Block
	Chapters []Chapter
}

// Block is a piece of a chapter: Paragraph, List, Table, Figure, Equation or Caution.
type Block interface{ block() }

// Text is running text. Neighbouring spans are set without a space between them.
type Text []Span

// Span is text in one style.
type Span struct {
	Text  string
	Style Style
	// To is what the text leads to: "#key" is a chapter, figure or table of this document, all else a file beside the document or an
	// address. A span to "#key" with no Text is set as "figure 3", "table 2" or "chapter 4.1".
	To string
	// Origin is where a number was read: a file of the bench and the place in it, such as "results/day/summary.json /drained/value".
	Origin string
}

// Style is how a span is set.
type Style int

// The styles.
const (
	Plain  Style = iota
	Strong       // set in a heavier face
	Symbol       // of a quantity, in italics
	Below        // an index
	Above        // an exponent
	Code         // a command or a file's name
	Pale         // a digit that is not sure, or what is said beside
)

// Paragraph is one paragraph.
type Paragraph struct{ Says Text }

// List is a list; Ordered numbers it, Checked gives each item an empty square to tick.
type List struct {
	Items   []Text
	Ordered bool
	Checked bool
}

// Table is a table with its title above it.
type Table struct {
	Key     string // empty: nothing refers to it; it is numbered all the same
	Title   Text
	Columns []Column
	Rows    [][]Text // as many texts a row as there are columns
	Notes   []Text   // below it
	Origin  string   // the file it was read from
}

// Column is a table's column.
type Column struct {
	Name    string
	Unit    string  // once per column; empty: none
	Numbers bool    // set to the right, with figures of one width
	Share   float64 // of the table's width; 0: as its texts ask
}

// Figure is a picture with its words below it.
type Figure struct {
	Key    string
	Says   Text
	SVG    []byte  // a whole picture, as room figure draws them
	Wide   float64 // mm on paper; 0: as wide as its letters ask, at most TextWidth
	Origin string  // the results it was drawn from
}

// Equation is a formula on a line of its own, with what its symbols are and where it comes from.
type Equation struct {
	Key    string
	Says   Text // such as Q, index, =, m, ...
	Where  []Text
	Source string
}

// Caution is what may hurt somebody, at the number that shows it.
type Caution struct {
	Word   string // scalds, flashes, burns
	Says   Text
	Source string
}

func (Paragraph) block() {}
func (List) block()      {}
func (Table) block()     {}
func (Figure) block()    {}
func (Equation) block()  {}
func (Caution) block()   {}
