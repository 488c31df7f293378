package press

import (
	"math"
	"strings"

	"emberbank/paper"
)

// grid is a table with the widths of its columns chosen.
type grid struct {
	x      float64
	widths []float64 // of the texts
	gap    float64
	hand   hand
	table  *paper.Table
}

func (g *grid) wide() float64 {
	sum := g.gap * float64(len(g.widths)-1)
	for _, w := range g.widths {
		sum += w
	}
	return sum
}

// table sets a table: its title above it, its head once more on each further page, rows never parted.
func (j *job) table(t *paper.Table, p *paper.Piece) {
	g := j.measure(t)
	title := append(paper.Text{{Text: "Table\u00a0" + p.Label.Number + ".", Style: paper.Strong}, {Text: " "}}, t.Title...)
	if t.Origin != "" {
		title = append(title, paper.Span{Text: " From ", Style: paper.Pale}, paper.Span{Text: t.Origin, Style: paper.Code, Origin: t.Origin}, paper.Span{Text: ".", Style: paper.Pale})
	}
	rows := lines(j.set(title, j.small, math.Max(g.wide(), textWide)), j.small, g.x, 14)
	for i := range rows {
		rows[i].keep = true
	}
	rows[len(rows)-1].height += 3
	head := j.tableHead(g)
	again := []row{lines(j.set(append(paper.Text{{Text: "Table\u00a0" + p.Label.Number, Style: paper.Strong}}, paper.Span{Text: ", continued"}), j.small, textWide), j.small, g.x, 0)[0], head}
	again[0].height += 3
	rows = append(rows, head)
	var texts []row
	for i := range t.Rows {
		texts = append(texts, j.tableRow(g, t.Rows[i], i > 0)...)
	}
	for i := range texts {
		if i > 0 {
			texts[i].again = again
		}
		texts[i].keep = i == 0 && len(texts) > 1 || i == len(texts)-2 // neither the first nor the last row stands alone
	}
	end := row{height: 1.4, draw: func(p *leaf, y float64) {
		p.op("[] 0 d")
		p.line(g.x, y-0.7, g.x+g.wide(), y-0.7, 1.4, ink)
	}}
	if len(texts) > 0 {
		texts[len(texts)-1].keep = true
	}
	rows = append(append(rows, texts...), end)
	for _, note := range t.Notes {
		all := lines(j.set(note, j.quiet, math.Max(g.wide(), textWide)), j.quiet, g.x, 3)
		if len(all) > 0 {
			rows[len(rows)-1].keep = true
		}
		rows = append(rows, all...)
	}
	rows[len(rows)-1].height += 8
	j.add(rows...)
}

// whole keeps a unit on one line: it breaks neither at a space nor behind a slash.
var whole = strings.NewReplacer(" ", "\u00a0", "/", "/\u2060")

// headed is a column's name with its unit.
func headed(c *paper.Column) paper.Text {
	t := paper.Text{{Text: c.Name, Style: paper.Symbol}}
	if c.Unit != "" {
		t = append(t, paper.Span{Text: " "}, paper.Span{Text: whole.Replace(c.Unit), Style: paper.Pale})
	}
	return t
}

// measure chooses a table's widths: in the width of running text where it fits, else over the margin too; smaller letters where
// its longest words ask for that, and words cut where even those do not fit.
func (j *job) measure(t *paper.Table) *grid {
	var g *grid
	for _, h := range j.hands.table {
		g = &grid{x: textLeft, gap: 12, hand: h, table: t}
		n := len(t.Columns)
		natural, least := make([]float64, n), make([]float64, n)
		look := func(i int, text paper.Text) {
			all := j.words(text, h)
			natural[i] = math.Max(natural[i], atOnce(all))
			least[i] = math.Max(least[i], widest(all))
		}
		for i := range t.Columns {
			look(i, headed(&t.Columns[i]))
			for _, r := range t.Rows {
				look(i, r[i])
			}
			if t.Columns[i].Numbers { // numbers stay whole; their column's name may break
				for _, r := range t.Rows {
					least[i] = math.Max(least[i], atOnce(j.words(r[i], h)))
				}
			}
		}
		gaps := g.gap * float64(max(0, n-1))
		avail := textWide - gaps
		if sum(natural) > avail && (n > paper.Narrow || sum(least) > avail || sum(natural) > 1.6*avail) {
			g.x, avail = left, fullWide-gaps
		}
		g.widths = share(t, natural, least, avail)
		if sum(least) <= avail+1e-6 {
			break
		}
	}
	return g
}

func sum(all []float64) float64 {
	s := 0.0
	for _, v := range all {
		s += v
	}
	return s
}

// share shares a width among columns: as they ask where there is enough, else so that those that ask for most give most.
func share(t *paper.Table, natural, least []float64, avail float64) []float64 {
	n := len(natural)
	widths := make([]float64, n)
	asked := 0.0
	for i := range t.Columns {
		asked += t.Columns[i].Share
	}
	want, need := sum(natural), sum(least)
	switch {
	case asked > 0 && asked <= 1.0001 && need <= avail:
		free, others := avail, 0.0
		for i := range widths {
			if s := t.Columns[i].Share; s > 0 {
				widths[i] = math.Max(least[i], s*avail)
				free -= widths[i]
			} else {
				others += natural[i]
			}
		}
		for i := range widths {
			if widths[i] == 0 && others > 0 {
				widths[i] = math.Max(least[i], free*natural[i]/others)
			}
		}
		if over := sum(widths) - avail; over > 0 { // back towards what the words need
			slack := sum(widths) - need
			for i := range widths {
				if slack > 0 {
					widths[i] -= over * (widths[i] - least[i]) / slack
				}
			}
		}
	case want <= avail: // the room that is left goes to all alike
		for i := range widths {
			widths[i] = natural[i] + (avail-want)/float64(n)
		}
	case need <= avail:
		f := (avail - need) / (want - need)
		for i := range widths {
			widths[i] = least[i] + f*(natural[i]-least[i])
		}
	default:
		for i := range widths {
			widths[i] = avail * least[i] / need
		}
	}
	return widths
}

// tableHead sets the names of the columns between two rules.
func (j *job) tableHead(g *grid) row {
	texts := make([]paper.Text, len(g.table.Columns))
	for i := range texts {
		texts[i] = headed(&g.table.Columns[i])
	}
	cells, tall := j.cells(g, texts)
	tall += 6
	return row{height: tall, keep: true, draw: func(p *leaf, y float64) {
		p.op("[] 0 d")
		p.line(g.x, y-0.7, g.x+g.wide(), y-0.7, 1.4, ink)
		p.line(g.x, y-tall+0.4, g.x+g.wide(), y-tall+0.4, 0.6, ink)
		for i, c := range cells { // their last lines on one level
			g.draw(p, i, c, y-2.5-(tall-6-g.hand.leading*float64(len(c))))
		}
	}}
}

// mostLines is how many lines of a cell stay together; what is longer goes on in a further row.
const mostLines = 40

// tableRow sets a row.
func (j *job) tableRow(g *grid, texts []paper.Text, ruled bool) []row {
	cells, _ := j.cells(g, texts)
	longest := 1
	for _, c := range cells {
		longest = max(longest, len(c))
	}
	var rows []row
	for from := 0; from < longest; from += mostLines {
		part := make([][]line, len(cells))
		most := 1
		for i, c := range cells {
			part[i] = c[min(from, len(c)):min(from+mostLines, len(c))]
			most = max(most, len(part[i]))
		}
		tall, above := g.hand.leading*float64(most)+3.6, ruled && from == 0
		if blank(part) {
			tall = toWrite
		}
		rows = append(rows, row{height: tall, draw: func(p *leaf, y float64) {
			if above && y < top-1 {
				p.op("[] 0 d")
				p.line(g.x, y, g.x+g.wide(), y, 0.5, hair)
			}
			for i, c := range part {
				g.draw(p, i, c, y-1.8)
			}
		}})
	}
	return rows
}

// toWrite is how high a row without any text is: it is there to be filled in by hand.
const toWrite = 7 * mm

func blank(cells [][]line) bool {
	for _, c := range cells {
		if len(c) > 0 {
			return false
		}
	}
	return true
}

// cells sets the texts of a row and returns the height of the tallest.
func (j *job) cells(g *grid, texts []paper.Text) ([][]line, float64) {
	cells := make([][]line, len(texts))
	most := 1
	for i, t := range texts {
		cells[i] = j.set(t, g.hand, g.widths[i]+0.01)
		most = max(most, len(cells[i]))
	}
	return cells, g.hand.leading * float64(most)
}

// draw sets the lines of a cell from y down.
func (g *grid) draw(p *leaf, column int, all []line, y float64) {
	x := g.x
	for i := range column {
		x += g.widths[i] + g.gap
	}
	for i := range all {
		at := x
		if g.table.Columns[column].Numbers {
			at += g.widths[column] - all[i].wide
		}
		all[i].draw(p, at, y-0.78*g.hand.leading)
		y -= g.hand.leading
	}
}
