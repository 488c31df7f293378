// Package press sets a document on A4 pages as PDF: page numbers, a table of contents, bookmarks, links, pictures as lines and not
// as dots, and its faces embedded. Rows are never parted, figures stay with their words, a table's head stands again on each page
// that it goes on to, and no first or last line of a paragraph stands alone.
//
// The same document gives the same bytes: there is no date in the file, and its name for itself is the sum of what it holds.
// Left out: text from right to left beyond single words, hyphens, tags for those who have pages read aloud to them (the HTML
// file of room paper has them).
package press

import (
	"fmt"
	"io"
	"strings"

	"emberbank/paper"
)

// Options say how a document is set.
type Options struct {
	Faces [][]byte // further TrueType faces, for letters that the program's own do not hold
}

// Set writes a document as PDF. Missing are letters that no face holds, each once and in their order; in their place stands
// their number in a frame, such as U+4F60.
func Set(w io.Writer, d *paper.Document, o Options) (missing []rune, err error) {
	n, err := paper.Number(d)
	if err != nil {
		return nil, err
	}
	l, err := newLetters(o.Faces)
	if err != nil {
		return nil, err
	}
	j := job{hands: airy, n: n, doc: d, letters: l, wide: pageWide, tall: pageTall}
	if d.Close {
		j.hands = dense
	}
	if d.Slides {
		return j.show(w)
	}
	j.front()
	j.compose()
	if j.wrong != nil {
		return nil, j.wrong
	}
	g := pager{lift: j.lift, places: map[string]place{}, fresh: func() *leaf { return &leaf{pen: &pen{letters: l, veils: &j.veils}} }}
	g.lay(j.rows)
	j.places = g.places
	for i, p := range g.pages {
		j.head(p, i, len(g.pages))
		for _, r := range p.rows {
			r.draw(p, r.y)
		}
	}
	if j.wrong != nil {
		return nil, j.wrong
	}
	raw, err := j.file(g.pages)
	if err != nil {
		return nil, err
	}
	_, err = w.Write(raw)
	return l.missing, err
}

// show writes the document as slides.
func (j *job) show(w io.Writer) (missing []rune, err error) {
	j.wide, j.tall = slideWide, slideTall
	pages := j.slides()
	if j.wrong != nil {
		return nil, j.wrong
	}
	raw, err := j.file(pages)
	if err != nil {
		return nil, err
	}
	_, err = w.Write(raw)
	return j.letters.missing, err
}

// file writes the pages and all that they share.
func (j *job) file(pages []*leaf) ([]byte, error) {
	f := newFile()
	root, info, tree, shared := f.reserve(), f.reserve(), f.reserve(), f.reserve()
	ids := make([]int, len(pages))
	for i := range ids {
		ids[i] = f.reserve()
	}
	var kids strings.Builder
	for i, p := range pages {
		content := f.reserve()
		f.stream(content, "", []byte(p.b.String()))
		fmt.Fprintf(&kids, "%d 0 R ", ids[i])
		f.object(ids[i], fmt.Sprintf("<< /Type /Page /Parent %d 0 R /MediaBox [0 0 %s] /Resources %d 0 R /Contents %d 0 R%s >>",
			tree, nums(j.wide, j.tall), shared, content, j.links(p, ids)))
	}
	f.object(tree, fmt.Sprintf("<< /Type /Pages /Count %d /Kids [%s] >>", len(pages), strings.TrimSpace(kids.String())))
	resources, err := j.resources(f)
	if err != nil {
		return nil, err
	}
	f.object(shared, resources)
	outlines := j.outlines(f, pages, ids)
	language := j.doc.Language
	if language == "" {
		language = "en"
	}
	f.object(root, fmt.Sprintf("<< /Type /Catalog /Pages %d 0 R%s /Lang %s /ViewerPreferences << /DisplayDocTitle true >> >>", tree, outlines, plainString(language)))
	f.object(info, fmt.Sprintf("<< /Title %s /Creator (Emberbank) /Producer (Emberbank) >>", words(j.doc.Title)))
	return f.end(root, info), nil
}

// resources are the faces, degrees of see-through and gradients of all pages.
func (j *job) resources(f *file) (string, error) {
	var b strings.Builder
	b.WriteString("<< /Font <<")
	for i, face := range j.letters.faces {
		id, err := face.embed(f, i)
		if err != nil {
			return "", fmt.Errorf("embedding a face: %w", err)
		}
		fmt.Fprintf(&b, " /%s %d 0 R", face.name, id)
	}
	b.WriteString(" >> /ExtGState <<")
	for i, e := range j.veils.all {
		fmt.Fprintf(&b, " /V%d %s", i+1, e)
	}
	b.WriteString(" >> /Shading <<")
	for i, e := range j.shades.all {
		fmt.Fprintf(&b, " /S%d %s", i+1, e)
	}
	b.WriteString(" >> >>")
	return b.String(), nil
}

// links are a page's links: to places of the document, and out of it.
func (j *job) links(p *leaf, ids []int) string {
	var b strings.Builder
	for _, l := range p.links {
		rect := nums(l.x0, l.y0, l.x1, l.y1)
		if key, ok := strings.CutPrefix(l.to, "#"); ok {
			if at, ok := j.places[key]; ok {
				fmt.Fprintf(&b, " << /Type /Annot /Subtype /Link /Rect [%s] /Border [0 0 0] /Dest [%d 0 R /XYZ null %s null] >>", rect, ids[at.page], num(at.y+4))
			}
			continue
		}
		fmt.Fprintf(&b, " << /Type /Annot /Subtype /Link /Rect [%s] /Border [0 0 0] /A << /S /URI /URI %s >> >>", rect, plainString(l.to))
	}
	if b.Len() == 0 {
		return ""
	}
	return " /Annots [" + strings.TrimSpace(b.String()) + "]"
}

// outlines are the bookmarks: the chapters in their order, each under the one that it belongs to.
func (j *job) outlines(f *file, pages []*leaf, ids []int) string {
	type entry struct {
		*mark
		id, up, first, last, before, after int
		count                              int
	}
	var all []*entry
	root := &entry{mark: &mark{}, id: f.reserve()}
	stack := []*entry{root}
	byID := map[int]*entry{root.id: root}
	for _, p := range pages {
		for _, r := range p.rows {
			if r.mark == nil {
				continue
			}
			for len(stack) > 1 && stack[len(stack)-1].depth >= r.mark.depth {
				stack = stack[:len(stack)-1]
			}
			up := stack[len(stack)-1]
			e := &entry{mark: r.mark, id: f.reserve(), up: up.id, before: up.last}
			byID[e.id] = e
			if up.last != 0 {
				byID[up.last].after = e.id
			} else {
				up.first = e.id
			}
			up.last = e.id
			up.count++
			all = append(all, e)
			stack = append(stack, e)
		}
	}
	if len(all) == 0 {
		f.object(root.id, "null")
		return ""
	}
	ref := func(name string, id int) string {
		if id == 0 {
			return ""
		}
		return fmt.Sprintf(" /%s %d 0 R", name, id)
	}
	f.object(root.id, fmt.Sprintf("<< /Type /Outlines%s%s /Count %d >>", ref("First", root.first), ref("Last", root.last), root.count))
	for _, e := range all {
		at := j.places[e.anchor]
		count := ""
		if e.count > 0 {
			count = fmt.Sprintf(" /Count -%d", e.count) // shut
		}
		f.object(e.id, fmt.Sprintf("<< /Title %s /Parent %d 0 R%s%s%s%s%s /Dest [%d 0 R /XYZ null %s null] >>", words(e.number+" "+e.title), e.up,
			ref("Prev", e.before), ref("Next", e.after), ref("First", e.first), ref("Last", e.last), count, ids[at.page], num(at.y+4)))
	}
	return fmt.Sprintf(" /Outlines %d 0 R /PageMode /UseOutlines", root.id)
}
