package paper

import (
	"fmt"
	"html"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"
)

// sign is the triangle that warns.
const sign = `<svg viewBox="0 0 34 31" aria-hidden="true"><path d="M17 1.5L32.5 29.5H1.5Z" fill="#F6C400" stroke="#17211F" stroke-width="1.6" stroke-linejoin="round"/>` +
	`<path d="M17 10.5V20.5" stroke="#17211F" stroke-width="2.6"/><circle cx="17" cy="24.6" r="1.7" fill="#17211F"/></svg>`

func (s *setter) block(p *Piece) error {
	switch b := p.Block.(type) {
	case Paragraph:
		s.put("<p>", s.text(b.Says), "</p>\n")
	case List:
		s.list(&b)
	case Table:
		s.table(&b, p)
	case Figure:
		return s.figure(&b, p)
	case Equation:
		s.equation(&b, p)
	case Caution:
		s.put(`<div class="caution" role="note">`, sign, "<p>")
		if b.Word != "" {
			s.put("<strong>", escape(Sentence(b.Word)), "</strong> ")
		}
		s.put(s.text(b.Says), "</p>", source(b.Source), "</div>\n")
	}
	return nil
}

// Sentence makes a word stand alone: with a capital and a full stop.
func Sentence(word string) string {
	if r, n := utf8.DecodeRuneInString(word); n > 0 {
		word = string(unicode.ToUpper(r)) + word[n:]
	}
	if strings.HasSuffix(word, ".") || word == "" {
		return word
	}
	return word + "."
}

// source says where something is written.
func source(says string) string {
	if says == "" {
		return ""
	}
	return `<p class="source">Source: ` + escape(says) + "</p>"
}

func (s *setter) list(l *List) {
	tag, class := "ul", ""
	if l.Ordered {
		tag = "ol"
	}
	if l.Checked {
		class = ` class="checked"`
	}
	s.put("<", tag, class, ">\n")
	for _, t := range l.Items {
		s.put("<li>", s.text(t), "</li>\n")
	}
	s.put("</", tag, ">\n")
}

// Narrow is how many columns stand in the width of running text; a table of more takes the margin too.
const Narrow = 5

// table sets a table; its first column heads the rows where it holds words.
func (s *setter) table(t *Table, p *Piece) {
	id, class, scrolls := html.EscapeString(p.Anchor), "table", ""
	if len(t.Columns) > Narrow {
		class, scrolls = "table wide", ` tabindex="0" role="region" aria-labelledby="`+html.EscapeString(p.Anchor)+`.title"`
	}
	s.put(`<div class="`, class, `" id="`, id, `"><div`, scrolls, "><table>\n",
		`<caption id="`, id, `.title"><b>Table `, p.Label.Number, ".</b> ", s.text(t.Title), s.from(t.Origin), "</caption>\n")
	for i := range t.Columns {
		if i == 0 {
			s.put("<colgroup>")
		}
		s.put("<col" + s.share(t.Columns[i].Share) + ">")
		if i == len(t.Columns)-1 {
			s.put("</colgroup>\n")
		}
	}
	s.put("<thead><tr>")
	for i := range t.Columns {
		c := &t.Columns[i]
		s.put(`<th scope="col"`, numeric(c), ">", escape(c.Name))
		if c.Unit != "" {
			s.put(` <span class="unit">`, escape(c.Unit), "</span>")
		}
		s.put("</th>")
	}
	s.put("</tr></thead>\n<tbody>\n")
	for _, r := range t.Rows {
		s.put("<tr>")
		for i, cell := range r {
			open, end := "<td"+numeric(&t.Columns[i])+">", "</td>"
			if i == 0 && !t.Columns[0].Numbers {
				open, end = `<th scope="row">`, "</th>"
			}
			s.put(open, s.text(cell), end)
		}
		s.put("</tr>\n")
	}
	s.put("</tbody></table></div>\n")
	for _, note := range t.Notes {
		s.put(`<p class="notes">`, s.text(note), "</p>\n")
	}
	s.put("</div>\n")
}

// numeric is the class of a column of numbers.
func numeric(c *Column) string {
	if c.Numbers {
		return ` class="n"`
	}
	return ""
}

// share is the class of a column that takes a share of the width.
func (s *setter) share(of float64) string {
	percent := math.Round(of * 100)
	if !(percent >= 1 && percent <= 100) {
		return ""
	}
	s.rule(fmt.Sprintf(".share%.0f { width: %.0f%%; }", percent, percent))
	return fmt.Sprintf(` class="share%.0f"`, percent)
}

func (s *setter) equation(e *Equation, p *Piece) {
	s.put(`<div class="equation" id="`, html.EscapeString(p.Anchor), `"><p><span class="number">(`, p.Label.Number, ")</span> ", s.text(e.Says), "</p>")
	if len(e.Where) > 0 {
		s.put(`<ul class="where">`)
		for _, t := range e.Where {
			s.put("<li>", s.text(t), "</li>")
		}
		s.put("</ul>")
	}
	s.put(source(e.Source), "</div>\n")
}
