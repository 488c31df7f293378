package dossier

import (
	"path"
	"strings"

	"emberbank/bench"
	"emberbank/paper"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
)

// Places are kept through Markdown as letters that nobody writes: begin, a number of letters, end.
const (
	placeBegin = '\uE000'
	placeMark  = '\uE001'
	placeEnd   = '\uE002'
)

// words sets the author's words: Markdown with paragraphs, emphasis, code, lists and links to files of the bench or to keys of the
// document, and places for numbers. All else, HTML too, is shown as it is written.
func (w *writer) words(words *bench.Words) (blocks []paper.Block, chapters []paper.Chapter) {
	if words.Text == "" {
		return nil, nil
	}
	clean := strings.Map(func(r rune) rune {
		if r >= placeBegin && r <= placeEnd {
			return -1
		}
		return r
	}, words.Text)
	s := &script{w: w}
	count := map[string]int{}
	marked := placeholder().ReplaceAllStringFunc(clean, func(raw string) string {
		if raw[0] == '\\' {
			s.places = append(s.places, paper.Span{Text: raw[1:]})
		} else {
			span, problem := w.fill(words, raw, count[raw])
			count[raw]++
			if problem != nil {
				w.problems = append(w.problems, *problem)
			}
			s.places = append(s.places, span)
		}
		return string(placeBegin) + strings.Repeat(string(placeMark), len(s.places)) + string(placeEnd)
	})
	s.source = []byte(marked)
	// The parser alone: Markdown is not printed as HTML here.
	root := parser.NewParser(
		parser.WithBlockParsers(parser.DefaultBlockParsers()...),
		parser.WithInlineParsers(parser.DefaultInlineParsers()...),
		parser.WithParagraphTransformers(parser.DefaultParagraphTransformers()...),
	).Parse(text.NewReader(s.source))
	return s.blocks(root)
}

// script is Markdown being set.
type script struct {
	w      *writer
	source []byte
	places []paper.Span
}

// blocks sets the blocks of a node; what stands below a heading is a chapter of its own.
func (s *script) blocks(n ast.Node) (blocks []paper.Block, chapters []paper.Chapter) {
	add := func(b ...paper.Block) {
		if k := len(chapters); k > 0 {
			chapters[k-1].Blocks = append(chapters[k-1].Blocks, b...)
			return
		}
		blocks = append(blocks, b...)
	}
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		switch c := c.(type) {
		case *ast.Heading:
			title := paper.Words(s.inline(c, paper.Plain))
			chapters = append(chapters, paper.Chapter{Key: s.w.key(title), Title: title})
		case *ast.Paragraph, *ast.TextBlock:
			add(paper.Paragraph{Says: s.inline(c, paper.Plain)})
		case *ast.List:
			add(s.list(c))
		case *ast.FencedCodeBlock, *ast.CodeBlock, *ast.HTMLBlock:
			add(paper.Paragraph{Says: s.verbatim(c)})
		case *ast.ThematicBreak:
		default: // a quotation
			b, more := s.blocks(c)
			add(b...)
			chapters = append(chapters, more...)
		}
	}
	return blocks, chapters
}

// list sets a list; an item is one text, its paragraphs one after the other.
func (s *script) list(l *ast.List) paper.List {
	out := paper.List{Ordered: l.IsOrdered()}
	for item := l.FirstChild(); item != nil; item = item.NextSibling() {
		var t paper.Text
		for c := item.FirstChild(); c != nil; c = c.NextSibling() {
			if inner, is := c.(*ast.List); is { // what stands below an item follows it
				out.Items = append(out.Items, t)
				t = nil
				out.Items = append(out.Items, s.list(inner).Items...)
				continue
			}
			if len(t) > 0 {
				t = append(t, paper.Span{Text: " "})
			}
			t = append(t, s.inline(c, paper.Plain)...)
		}
		if len(t) > 0 {
			out.Items = append(out.Items, t)
		}
	}
	return out
}

// verbatim sets lines as they are written.
func (s *script) verbatim(n ast.Node) paper.Text {
	var b strings.Builder
	lines := n.Lines()
	for i := range lines.Len() {
		line := lines.At(i)
		b.Write(line.Value(s.source))
	}
	if h, is := n.(*ast.HTMLBlock); is && h.HasClosure() {
		b.Write(h.ClosureLine.Value(s.source))
	}
	style := paper.Code
	if _, is := n.(*ast.HTMLBlock); is {
		style = paper.Plain
	}
	return s.spans(strings.TrimRight(b.String(), "\n"), style, "")
}

// inline sets what stands in a paragraph.
func (s *script) inline(n ast.Node, style paper.Style) paper.Text { return s.inlineTo(n, style, "") }

func (s *script) inlineTo(n ast.Node, style paper.Style, to string) (t paper.Text) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		switch c := c.(type) {
		case *ast.Text:
			t = append(t, s.spans(string(c.Value(s.source)), style, to)...)
			if c.SoftLineBreak() || c.HardLineBreak() {
				t = append(t, paper.Span{Text: " ", Style: style, To: to})
			}
		case *ast.String:
			t = append(t, s.spans(string(c.Value), style, to)...)
		case *ast.Emphasis:
			in := paper.Symbol
			if c.Level > 1 {
				in = paper.Strong
			}
			t = append(t, s.inlineTo(c, in, to)...)
		case *ast.CodeSpan:
			t = append(t, s.inlineTo(c, paper.Code, to)...)
		case *ast.Link:
			t = append(t, s.link(c, style)...)
		case *ast.Image:
			t = append(t, s.inlineTo(c, style, to)...)
		case *ast.AutoLink:
			t = append(t, s.spans(string(c.Label(s.source)), style, "")...)
		case *ast.RawHTML:
			for i := range c.Segments.Len() {
				part := c.Segments.At(i)
				t = append(t, s.spans(string(part.Value(s.source)), style, to)...)
			}
		default:
			t = append(t, s.inlineTo(c, style, to)...)
		}
	}
	return t
}

// link leads to a key of the document or to a file of the bench; any other address is shown behind its words and leads nowhere.
func (s *script) link(l *ast.Link, style paper.Style) paper.Text {
	to := string(l.Destination)
	switch {
	case strings.HasPrefix(to, "#"):
		s.w.links = append(s.w.links, to[1:])
		return s.inlineTo(l, style, to)
	case s.w.g.Back != "" && to != "" && !strings.Contains(to, ":") && !strings.HasPrefix(to, "/") && !strings.Contains(to, "\\") && !strings.Contains(to, "//"):
		return s.inlineTo(l, style, path.Join(s.w.g.Back, to))
	}
	return append(s.inlineTo(l, style, ""), paper.Span{Text: " (" + to + ")", Style: style})
}

// spans puts what was found back into its places.
func (s *script) spans(words string, style paper.Style, to string) (t paper.Text) {
	for words != "" {
		i := strings.IndexRune(words, placeBegin)
		if i < 0 {
			return append(t, paper.Span{Text: words, Style: style, To: to})
		}
		if i > 0 {
			t = append(t, paper.Span{Text: words[:i], Style: style, To: to})
		}
		rest := words[i:]
		end := strings.IndexRune(rest, placeEnd)
		if end < 0 {
			return t
		}
		if n := strings.Count(rest[:end], string(placeMark)); n > 0 && n <= len(s.places) {
			span := s.places[n-1]
			span.Style, span.To = style, to
			t = append(t, span)
		}
		words = rest[end+len(string(placeEnd)):]
	}
	return t
}
