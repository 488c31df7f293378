package press

import (
	"fmt"
	"strconv"
	"strings"

	"emberbank/paper"
)

// job is a document in the making.
type job struct {
	hands
	n       *paper.Numbered
	doc     *paper.Document
	letters *letters
	veils   veils
	shades  shades
	rows    []row
	places  map[string]place
	wrong   error

	wide, tall float64 // of a page, pt
}

func (j *job) add(rows ...row) {
	for i := range rows {
		rows[i].before *= j.air
	}
	j.rows = append(j.rows, rows...)
}

// lines makes rows of lines: neither the first nor the last is left alone on a page.
func lines(all []line, h hand, x, before float64) []row {
	rows := make([]row, len(all))
	for i := range all {
		l := &all[i]
		rows[i] = row{height: h.leading, draw: func(p *leaf, y float64) { l.draw(p, x, y-0.76*h.leading) }}
		rows[i].keep = i == 0 && len(all) > 1 || i == len(all)-2
	}
	if len(rows) > 0 {
		rows[0].before = before
	}
	return rows
}

// together keeps rows on one page, unless they would take too much of it.
func together(rows []row) []row {
	if height(rows, true) < 0.5*room {
		for i := range rows[:max(0, len(rows)-1)] {
			rows[i].keep = true
		}
	}
	return rows
}

// compose makes rows of the whole document.
func (j *job) compose() {
	untitled := "" // the anchor of a chapter without a title: its first block's row has it
	for i := range j.n.Pieces {
		p := &j.n.Pieces[i]
		if p.Chapter != nil {
			if untitled = ""; p.Chapter.Title == "" {
				untitled = p.Anchor
			}
			j.chapter(p)
			continue
		}
		from := len(j.rows)
		switch b := p.Block.(type) {
		case paper.Paragraph:
			j.add(lines(j.set(b.Says, j.body, textWide), j.body, textLeft, 6)...)
		case paper.List:
			j.list(&b)
		case paper.Table:
			j.table(&b, p)
		case paper.Figure:
			j.figure(&b, p)
		case paper.Equation:
			j.equation(&b, p)
		case paper.Caution:
			j.caution(&b)
		}
		if len(j.rows) > from {
			j.rows[from].anchor, j.rows[from].also = p.Anchor, untitled
			untitled = ""
		}
	}
}

// chapter sets a chapter's title, with its number in the margin; one without a title has none.
func (j *job) chapter(p *paper.Piece) {
	if p.Chapter.Title == "" {
		return
	}
	h := j.heading[min(p.Depth, len(j.heading))-1]
	before := j.above[min(p.Depth, len(j.above))-1] / j.air // as it stands
	all := j.setTitle(plainText(p.Chapter.Title), h, textWide)
	if len(all) == 0 {
		all = []line{{}}
	}
	number := j.set(plainText(p.Label.Number), hand{upright, h.size, h.leading, ink2}, 1e6)
	rows := lines(all, h, textLeft, before)
	for i := range rows {
		rows[i].keep = true
	}
	rows[len(rows)-1].height += 2
	inner := rows[0].draw
	rows[0].draw = func(l *leaf, y float64) {
		inner(l, y)
		if len(number) > 0 {
			number[0].draw(l, textLeft-4*mm-number[0].wide, y-0.76*h.leading)
		}
	}
	rows[0].anchor, rows[0].apart, rows[0].stops = p.Anchor, p.Chapter.Apart, p.Depth == 1
	rows[0].mark = &mark{p.Depth, p.Label.Number, p.Chapter.Title, p.Anchor}
	j.add(rows...)
}

// list sets a list, its marks left of its lines.
func (j *job) list(l *paper.List) {
	const in = 5 * mm
	for i, item := range l.Items {
		before := 2.5
		if i == 0 {
			before = 6
		}
		rows := lines(j.set(item, j.body, textWide-in), j.body, textLeft+in, before)
		if len(rows) == 0 {
			continue
		}
		says := "–"
		if l.Ordered {
			says = strconv.Itoa(i+1) + "."
		}
		mark := j.set(plainText(says), j.body, 1e6)
		inner := rows[0].draw
		rows[0].draw = func(p *leaf, y float64) {
			inner(p, y)
			base := y - 0.76*j.body.leading
			switch {
			case l.Checked:
				p.stroke(ink)
				p.op("0.6 w [] 0 d ", nums(textLeft, base-0.6, 7.4, 7.4), " re S")
			case l.Ordered:
				mark[0].draw(p, textLeft+in-4-mark[0].wide, base)
			default:
				mark[0].draw(p, textLeft+2, base)
			}
		}
		j.add(rows...)
	}
}

// equation sets a formula with its number in the margin, and below it what its symbols are.
func (j *job) equation(e *paper.Equation, p *paper.Piece) {
	const in = 5 * mm
	h := j.formula
	number := j.set(plainText("("+p.Label.Number+")"), j.quiet, 1e6)
	rows := lines(j.set(e.Says, h, textWide-in), h, textLeft+in, 9)
	if len(rows) == 0 {
		rows = []row{{height: h.leading, before: 9, draw: func(*leaf, float64) {}}}
	}
	inner := rows[0].draw
	rows[0].draw = func(l *leaf, y float64) {
		inner(l, y)
		number[0].draw(l, textLeft-4*mm-number[0].wide, y-0.76*h.leading)
	}
	rows[len(rows)-1].height += 2
	for _, t := range e.Where {
		rows = append(rows, lines(j.set(t, j.small, textWide-in), j.small, textLeft+in, 0)...)
	}
	if e.Source != "" {
		rows = append(rows, lines(j.set(plainText("Source: "+e.Source), j.quiet, textWide-in), j.quiet, textLeft+in, 1)...)
	}
	rows[len(rows)-1].height += 4
	j.add(together(rows)...)
}

// caution sets what may hurt: the sign in the margin, a yellow bar along the lines.
func (j *job) caution(c *paper.Caution) {
	says := c.Says
	if c.Word != "" {
		says = append(paper.Text{{Text: paper.Sentence(c.Word) + " ", Style: paper.Strong}}, c.Says...)
	}
	const in = 4 * mm
	rows := lines(j.set(says, j.body, textWide-in), j.body, textLeft+in, 9)
	if c.Source != "" {
		rows = append(rows, lines(j.set(plainText("Source: "+c.Source), j.quiet, textWide-in), j.quiet, textLeft+in, 0)...)
	}
	if len(rows) == 0 {
		return
	}
	for i := range rows {
		inner, first, tall := rows[i].draw, i == 0, rows[i].height
		rows[i].draw = func(p *leaf, y float64) {
			p.bar(textLeft, y-tall-0.1, 3.4, tall+0.2, sign)
			inner(p, y)
			if first {
				p.triangle(textLeft-4*mm-17, y-15, 17)
			}
		}
	}
	rows[len(rows)-1].height += 3
	j.add(together(rows)...)
}

// triangle draws the sign that warns, with its lower left corner at x, y.
func (p *leaf) triangle(x, y, size float64) {
	p.save()
	p.turn(matrix{size / 34, 0, 0, size / 34, x, y})
	p.fill(sign)
	p.stroke(ink)
	p.op("1.6 w 1 j [] 0 d 17 29.5 m 32.5 1.5 l 1.5 1.5 l h B")
	p.op("2.6 w 17 20.5 m 17 10.5 l S")
	p.fill(ink)
	t := &trace{}
	t.circle(17, 6.4, 1.7)
	t.write(&p.b, 0, 0)
	p.op("f")
	p.restore()
}

// front sets the title, the title block and the table of contents.
func (j *job) front() {
	j.add(lines(j.setTitle(plainText(j.doc.Title), j.title, textWide), j.title, textLeft, 0)...)
	if j.doc.Subtitle != "" {
		j.add(lines(j.set(plainText(j.doc.Subtitle), j.subtitle, textWide), j.subtitle, textLeft, 2)...)
	}
	j.facts()
	if j.doc.Contents {
		j.contents()
	}
}

// facts sets the title block: four to a row, between rules.
func (j *job) facts() {
	const across = 4
	all := j.doc.Facts
	wide := fullWide / across
	name := hand{lettering, 7, 10, ink2}
	says := hand{upright, 9.6, 12, ink}
	for i := 0; i < len(all); i += across {
		type cell struct{ name, says []line }
		var cells []cell
		tall := 0.0
		for _, f := range all[i:min(len(all), i+across)] {
			c := cell{j.set(plainText(f.Name), name, wide-10), j.set(f.Says, says, wide-10)}
			tall = max(tall, name.leading*float64(len(c.name))+says.leading*float64(len(c.says)))
			cells = append(cells, c)
		}
		before, first, last := 0.0, i == 0, i+across >= len(all)
		if first {
			before = 16
		}
		tall += 9
		j.add(row{before: before, height: tall, keep: !last, draw: func(p *leaf, y float64) {
			width, c := 0.5, rule
			if first {
				width, c = 1.4, ink
			}
			p.op("[] 0 d")
			p.line(left, y, right, y, width, c)
			for k, cell := range cells {
				x, at := left+float64(k)*wide, y-4-0.76*name.leading
				if k > 0 {
					p.line(x-5, y-3, x-5, y-tall+3, 0.5, rule)
				}
				for n := range cell.name {
					cell.name[n].draw(p, x, at)
					at -= name.leading
				}
				for n := range cell.says {
					cell.says[n].draw(p, x, at-2)
					at -= says.leading
				}
			}
			if last {
				p.line(left, y-tall, right, y-tall, 1.4, ink)
			}
		}})
	}
}

// contents sets the table of contents, two levels deep, with pages.
func (j *job) contents() {
	h := hand{heavy, j.body.size, j.body.leading, ink}
	j.add(row{before: 20, height: 16, keep: true, draw: func(p *leaf, y float64) {
		all := j.set(plainText("Contents"), h, 1e6)
		all[0].draw(p, textLeft, y-0.76*h.leading)
	}})
	for i := range j.n.Pieces {
		p := &j.n.Pieces[i]
		if p.Chapter == nil || p.Depth > 2 || p.Chapter.Title == "" {
			continue
		}
		j.entry(p)
	}
}

// entry sets one line of the table of contents.
func (j *job) entry(p *paper.Piece) {
	x, before := textLeft, 2.0
	if p.Depth == 2 {
		x, before = textLeft+9*mm, 0
	}
	text := paper.Text{{Text: p.Chapter.Title, To: "#" + p.Anchor}}
	number := j.set(paper.Text{{Text: p.Label.Number, To: "#" + p.Anchor}}, hand{upright, j.body.size, j.body.leading, ink2}, 1e6)
	rows := lines(j.set(text, j.body, textWide-(x-textLeft)-14*mm), j.body, x, before)
	for i := range rows {
		inner, first, last := rows[i].draw, i == 0, i == len(rows)-1
		rows[i].draw = func(l *leaf, y float64) {
			base := y - 0.76*j.body.leading
			inner(l, y)
			switch {
			case first && p.Depth == 1:
				number[0].draw(l, textLeft-4*mm-number[0].wide, base)
			case first:
				number[0].draw(l, textLeft, base)
			}
			if !last {
				return
			}
			at, ok := j.places[p.Anchor]
			if !ok {
				return
			}
			page := j.set(paper.Text{{Text: strconv.Itoa(at.page + 1), To: "#" + p.Anchor}}, j.body, 1e6)
			page[0].draw(l, right-page[0].wide, base)
		}
	}
	j.add(rows...)
}

// head sets what stands on every page: the title and the chapter above, the page's number below.
func (j *job) head(p *leaf, page, of int) {
	h := hand{italic, 9, 12, ink}
	p.op("[] 0 d")
	if page > 0 {
		y := pageTall - 15*mm
		number := ""
		if p.above != nil {
			number = p.above.number + "\u2003" + p.above.title
		}
		chapter := j.cut(number, h, fullWide*0.48)
		title := j.cut(j.doc.Title, h, fullWide*0.48)
		title.draw(p, left, y)
		chapter.draw(p, right-chapter.wide, y)
		p.line(left, y-5, right, y-5, 0.5, ink)
	}
	number := j.cut(fmt.Sprintf("%d of %d", page+1, of), hand{upright, 9, 12, ink}, fullWide)
	number.draw(p, right-number.wide, 12*mm)
}

// cut is one line of a text, cut with an ellipsis where it does not fit.
func (j *job) cut(s string, h hand, width float64) line {
	s = strings.Join(strings.Fields(strings.ReplaceAll(s, "\u2003", "\u00a0\u00a0\u00a0")), " ")
	r := []rune(s)
	for {
		all := j.words(plainText(string(r)), h)
		if len(r) < len([]rune(s)) {
			all = j.words(plainText(strings.TrimSpace(string(r))+"…"), h)
		}
		l := line{words: all, wide: atOnce(all)}
		if l.wide <= width || len(r) <= 1 {
			return l
		}
		r = r[:len(r)-1-len(r)/20]
	}
}
