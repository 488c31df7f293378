package paper

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html"
	"io"
	"strings"
)

//go:embed style.css
var style string

// slides are the rules by which each chapter fills a screen, or a page as wide to its height as a screen.
//
//go:embed slides.css
var slides string

// Set writes a document as one HTML file that stands alone: its faces, its pictures and its style are in it, it asks for nothing
// from anywhere, and its policy forbids that and every script. All text is escaped. Printed by a browser it is A4 with page numbers.
//
// The same document gives the same bytes. What is wrong with keys, references, links and pictures is told at once, and
// nothing is written then.
func Set(w io.Writer, d *Document) error {
	n, err := Number(d)
	if err != nil {
		return err
	}
	s := setter{Numbered: n, doc: d, rules: map[string]bool{}}
	if err := s.document(); err != nil {
		return err
	}
	sheet := faces(s.body.String()) + style + s.pages() + s.more.String()
	if d.Close {
		sheet += "@media print { html { font-size: 9pt; } h2 { margin-top: 1.2rem; } figure, .table { margin-top: 0.9rem; margin-bottom: 0.9rem; } }\n"
	}
	if d.Slides {
		sheet += slides
	}
	sum := sha256.Sum256([]byte(sheet))
	var b bytes.Buffer
	language := d.Language
	if language == "" {
		language = "en"
	}
	b.WriteString("<!doctype html>\n<html lang=\"" + html.EscapeString(language) + "\">\n<head>\n<meta charset=\"utf-8\">\n" +
		`<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'sha256-` + base64.StdEncoding.EncodeToString(sum[:]) +
		"'; font-src data:; base-uri 'none'; form-action 'none'\">\n" +
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<meta name=\"referrer\" content=\"no-referrer\">\n" +
		"<title>" + escape(d.Title) + "</title>\n<style>" + sheet + "</style>\n</head>\n<body>\n")
	b.WriteString(s.body.String())
	b.WriteString("</body>\n</html>\n")
	_, err = w.Write(b.Bytes())
	return err
}

// setter sets one document.
type setter struct {
	*Numbered
	doc   *Document
	body  strings.Builder
	more  strings.Builder // rules of the style that hang on this document
	rules map[string]bool // that stand in it
}

func (s *setter) put(parts ...string) {
	for _, p := range parts {
		s.body.WriteString(p)
	}
}

func (s *setter) rule(r string) {
	if !s.rules[r] {
		s.rules[r] = true
		s.more.WriteString(r + "\n")
	}
}

// document sets all between the body's tags.
func (s *setter) document() error {
	s.put(`<a class="skip" href="#text.0">to the text</a>`, "\n<header>\n<h1>", escape(s.doc.Title), "</h1>\n")
	if s.doc.Subtitle != "" {
		s.put(`<p class="subtitle">`, escape(s.doc.Subtitle), "</p>\n")
	}
	if len(s.doc.Facts) > 0 {
		s.put(`<dl class="facts">`, "\n")
		for _, f := range s.doc.Facts {
			s.put("<div><dt>", escape(f.Name), "</dt><dd>", s.text(f.Says), "</dd></div>\n")
		}
		s.put("</dl>\n")
	}
	s.put("</header>\n")
	if s.doc.Contents {
		s.contents()
	}
	s.put(`<main id="text.0">`, "\n")
	open := 0
	for i := range s.Pieces {
		p := &s.Pieces[i]
		if p.Chapter == nil {
			if err := s.block(p); err != nil {
				return fmt.Errorf("setting %s: %w", strings.ReplaceAll(p.Label.String(), "\u00a0", " "), err)
			}
			continue
		}
		for ; open >= p.Depth; open-- {
			s.put("</section>\n")
		}
		open++
		s.heading(p)
	}
	s.put(strings.Repeat("</section>\n", open), "</main>\n")
	return nil
}

// heading opens a chapter; one without a title has no heading.
func (s *setter) heading(p *Piece) {
	class := ""
	if p.Chapter.Apart {
		class = ` class="apart"`
	}
	if p.Chapter.Title == "" {
		s.put("<section", class, ` id="`, html.EscapeString(p.Anchor), "\">\n")
		return
	}
	id, h := html.EscapeString(p.Anchor), fmt.Sprintf("h%d", min(p.Depth+1, 6))
	s.put(`<section`, class, ` aria-labelledby="`, id, "\">\n<", h, ` id="`, id, `"><span class="number">`, p.Label.Number, "</span> ", escape(p.Chapter.Title), "</", h, ">\n")
}

// contents sets the table of contents, two levels deep.
func (s *setter) contents() {
	s.put(`<nav aria-labelledby="contents.0">`, "\n", `<h2 id="contents.0">Contents</h2>`, "\n<ol>\n")
	depth, open := 1, false
	for i := range s.Pieces {
		p := &s.Pieces[i]
		if p.Chapter == nil || p.Depth > 2 || p.Chapter.Title == "" {
			continue
		}
		at := p.Depth
		if !open {
			at = 1
		}
		switch {
		case at > depth:
			s.put("<ol>\n")
		case at < depth:
			s.put("</li>\n</ol>\n</li>\n")
		case open:
			s.put("</li>\n")
		}
		depth, open = at, true
		s.put(`<li><a href="#`, html.EscapeString(p.Anchor), `"><span class="number">`, p.Label.Number, "</span> ", escape(p.Chapter.Title), "</a>")
	}
	if !open {
		s.put("</ol>\n</nav>\n")
		return
	}
	if depth > 1 {
		s.put("</li>\n</ol>\n")
	}
	s.put("</li>\n</ol>\n</nav>\n")
}

// pages are the rules by which a browser numbers printed pages and repeats the title on them.
func (s *setter) pages() string {
	return "@page {\n  size: A4;\n  margin: 22mm 17mm 20mm 19mm;\n" +
		"  @top-left { content: \"" + quoted(s.doc.Title) + "\"; font: italic 9pt Vollkorn, Georgia, serif; vertical-align: bottom; padding-bottom: 6mm; }\n" +
		"  @bottom-right { content: counter(page) \" of \" counter(pages); font: 9pt Vollkorn, Georgia, serif; }\n}\n@page :first { @top-left { content: \"\"; } }\n"
}

// quoted is text inside quotation marks of a style sheet: all but plain letters and digits by their numbers, so that nothing ends it.
func quoted(s string) string {
	var b strings.Builder
	for _, r := range strings.ToValidUTF8(s, "\uFFFD") {
		switch {
		case r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == ' ':
			b.WriteRune(r)
		case r == 0:
			b.WriteString("\\FFFD ")
		default:
			fmt.Fprintf(&b, "\\%X ", r)
		}
	}
	return b.String()
}

// escape makes text safe between tags and in attributes; what HTML does not allow at all becomes the replacement character.
func escape(s string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		if r < 0x20 && r != '\t' && r != '\n' || r >= 0x7f && r < 0xa0 || r&0xfffe == 0xfffe || r >= 0xfdd0 && r <= 0xfdef {
			return '\uFFFD'
		}
		return r
	}, s))
}
