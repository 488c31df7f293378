package paper

import (
	"fmt"
	"html"
	"io"
	"math"
	"strconv"
)

// Sizes on A4, mm and pt, the same by a browser and by room press.
const (
	TextWidth   = 174.0 // mm, between the margins of a page
	ColumnWidth = 138.0 // mm, of running text; the numbers of chapters stand beside it
	LeastLetter = 7.0   // pt, of what stands in a figure
	NumberSize  = 11.0  // px, of the numbers that room figure writes into pictures
	pointsPerMM = 72 / 25.4
)

// Scale is how a picture of a width in px comes onto paper, in mm: points a px, and by how much its letters of size px grow there so
// that none is below LeastLetter.
func Scale(width, mm float64) (points float64, letter func(size float64) float64) {
	points = mm * pointsPerMM / width
	return points, func(size float64) float64 { return math.Max(size, LeastLetter/points) }
}

// Printed is a figure's width on paper, mm: as stated, or as wide as its letters ask, at most the width between the margins. One that
// is no more than a little too tall for two on a page is set so that two go on one: its letters then stand a little closer.
func (f *Figure) Printed(p *Picture) float64 {
	if f.Wide > 0 {
		return math.Min(f.Wide, TextWidth)
	}
	wide := math.Min(p.Width*LeastLetter/NumberSize/pointsPerMM, TextWidth)
	if half := halfPage * p.Width / p.Height; half < wide && half > closest*wide {
		return half
	}
	return wide
}

const (
	halfPage = 104.0 // mm, of a figure without its words
	closest  = 0.68  // of the width that a picture's letters ask for
)

// figure sets a picture with its words. Its ids are made the document's own.
func (s *setter) figure(f *Figure, p *Piece) error {
	picture, err := ReadPicture(f.SVG)
	if err != nil {
		return err
	}
	name := "p." + p.Label.Number // with a full stop, which no key has
	class := s.printed(picture, f.Printed(picture))
	wide := ""
	if f.Printed(picture) > ColumnWidth {
		wide = ` class="wide"`
	}
	s.put(`<figure id="`, html.EscapeString(p.Anchor), `"`, wide, "><div>")
	s.svg(picture, name, class)
	s.put("</div>\n", `<figcaption id="`, name, `-words"><b>Figure `, p.Label.Number, ".</b> ", s.text(f.Says), s.from(f.Origin), "</figcaption></figure>\n")
	return nil
}

// printed gives the rules by which a picture has its width on paper and letters that can be read there, and returns their class.
func (s *setter) printed(p *Picture, mm float64) string {
	class := fmt.Sprintf("w%.0f-%.0f", p.Width, mm)
	if s.rules["."+class] {
		return class
	}
	s.rules["."+class] = true
	_, letter := Scale(p.Width, mm)
	fmt.Fprintf(&s.more, ".%s { width: %.0fpx; }\n@media print {\n  .%s { width: %.4gmm; }\n", class, p.Width, class, mm)
	const least, most = 8, 40 // px
	for half := 2 * least; half < 2*most; half++ {
		if size := float64(half) / 2; letter(size) > size {
			fmt.Fprintf(&s.more, "  .%s [font-size=\"%g\"] { font-size: %.4gpx; }\n", class, size, letter(size))
		}
	}
	s.more.WriteString("}\n")
	return class
}

// svg writes a picture with its ids behind a name, so that pictures of one document do not take each other's.
func (s *setter) svg(p *Picture, name, class string) {
	title, description := p.Titled()
	labels := ""
	for _, l := range []struct{ id, says string }{{"-t", title}, {"-d", description}} {
		if l.says != "" {
			labels += " " + name + l.id
		}
	}
	s.put(`<svg xmlns="http://www.w3.org/2000/svg" class="`, class, `" viewBox="`, number(p.Left), " ", number(p.Top), " ", number(p.Width), " ", number(p.Height),
		`" width="`, number(p.Width), `" height="`, number(p.Height), `" role="img"`)
	if labels != "" {
		s.put(` aria-labelledby="`, labels[1:], `"`)
	} else {
		s.put(` aria-labelledby="`, name, `-words"`)
	}
	s.put(">\n")
	if title != "" {
		s.put(`<title id="`, name, `-t">`, escape(title), "</title>")
	}
	if description != "" {
		s.put(`<desc id="`, name, `-d">`, escape(description), "</desc>")
	}
	for _, e := range p.Root.Inside {
		if e.Name != "title" && e.Name != "desc" {
			e.write(&s.body, name+"-")
		}
	}
	s.put("</svg>")
}

// Write writes a picture as a file of its own.
func (p *Picture) Write(w io.StringWriter) {
	root := *p.Root
	root.Pairs = append([]Pair{{"xmlns", "http://www.w3.org/2000/svg"}}, root.Pairs...)
	root.write(w, "")
}

// Write writes an element and what is inside.
func (e *Element) Write(w io.StringWriter) { e.write(w, "") }

// write writes an element and what is inside, its ids behind a name.
func (e *Element) write(w io.StringWriter, name string) {
	put := func(parts ...string) {
		for _, p := range parts {
			_, _ = w.WriteString(p) // into memory
		}
	}
	put("<", e.Name)
	for _, a := range e.Pairs {
		v := a.Value
		if a.Name == "id" {
			v = name + v
		} else if id, ok := Target(v); ok {
			v = "url(#" + name + id + ")"
		}
		put(" ", a.Name, `="`, escape(v), `"`)
	}
	if e.Text == "" && len(e.Inside) == 0 {
		put("/>\n")
		return
	}
	put(">", escape(e.Text))
	for _, in := range e.Inside {
		in.write(w, name)
	}
	put("</", e.Name, ">\n")
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
