package figure

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// canvas collects SVG text.
type canvas struct {
	b           strings.Builder
	w, h        float64
	title, desc string
	// interactive: some of its parts can be touched, so that it is no image as a whole.
	interactive bool
}

// newCanvas begins a picture of w by h px; both may still grow while it is drawn. The title and the description
// are what screen readers read aloud.
func newCanvas(w, h float64, title, description string) *canvas {
	return &canvas{w: w, h: h, title: title, desc: description}
}

// bytes closes the picture.
func (c *canvas) bytes() []byte {
	role := "img"
	if c.interactive {
		role = "group"
	}
	return []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="` + px(c.w) + `" height="` + px(c.h) + `" viewBox="0 0 ` + px(c.w) + " " + px(c.h) + `" role="` + role + `" aria-labelledby="t d">` + "\n" +
		`<title id="t">` + escape(c.title) + `</title><desc id="d">` + escape(c.desc) + "</desc>\n" +
		`<rect width="` + px(c.w) + `" height="` + px(c.h) + `"` + attributes([]string{"class", "paper", "fill", sheet}) + "/>\n" +
		c.b.String() + "</svg>\n")
}

// px prints a coordinate to a hundredth of a pixel.
func px(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		v = 0 // callers leave such points out; a picture with a stray point is still well formed
	}
	s := strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
	if s == "-0" {
		return "0"
	}
	return s
}

// escape makes text safe between tags and in attributes. Characters that XML does not allow at all become the
// replacement character.
func escape(s string) string {
	var b strings.Builder
	for _, r := range s { // an invalid byte comes as U+FFFD
		switch {
		case r == '&':
			b.WriteString("&amp;")
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '"':
			b.WriteString("&quot;")
		case r == '\t' || r == '\n' || r == '\r':
			b.WriteByte(' ')
		case r < 0x20 || r == 0xFFFE || r == 0xFFFF:
			b.WriteRune('\uFFFD')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// attributes prints pairs of name and value. What a colour stands for goes into the class beside it.
func attributes(pairs []string) string {
	var b strings.Builder
	class := ""
	for i := 0; i+1 < len(pairs); i += 2 {
		name, v := pairs[i], pairs[i+1]
		switch name {
		case "class":
			class += " " + v
			continue
		case "fill", "stroke", "stop-color":
			var intent string
			if v, intent = painted(v); intent != "" {
				class += " " + name + "-" + intent
			}
		}
		b.WriteString(" " + name + `="` + escape(v) + `"`)
	}
	if class != "" {
		b.WriteString(` class="` + escape(class[1:]) + `"`)
	}
	return b.String()
}

// pattern defines a hatching of w by h px that repeats, drawn by one path.
func (c *canvas) pattern(id string, w, h, turn float64, d string, pairs ...string) {
	a := []string{"id", id, "width", px(w), "height", px(h), "patternUnits", "userSpaceOnUse"}
	if turn != 0 {
		a = append(a, "patternTransform", "rotate("+px(turn)+")")
	}
	c.raw("<pattern" + attributes(a) + ">")
	c.path(d, append([]string{"fill", "none"}, pairs...)...)
	c.raw("</pattern>\n")
}

func (c *canvas) open(name string, pairs ...string) { c.raw("<" + name + attributes(pairs) + ">") }

func (c *canvas) close(name string) { c.raw("</" + name + ">\n") }

func (c *canvas) raw(s string) { c.b.WriteString(s) }

func (c *canvas) rect(x, y, w, h float64, pairs ...string) {
	c.raw(`<rect x="` + px(x) + `" y="` + px(y) + `" width="` + px(w) + `" height="` + px(h) + `"` + attributes(pairs) + "/>\n")
}

func (c *canvas) line(x1, y1, x2, y2 float64, pairs ...string) {
	c.raw(`<line x1="` + px(x1) + `" y1="` + px(y1) + `" x2="` + px(x2) + `" y2="` + px(y2) + `"` + attributes(pairs) + "/>\n")
}

func (c *canvas) circle(x, y, r float64, pairs ...string) {
	c.raw(`<circle cx="` + px(x) + `" cy="` + px(y) + `" r="` + px(r) + `"` + attributes(pairs) + "/>\n")
}

func (c *canvas) path(d string, pairs ...string) {
	c.raw(`<path d="` + d + `"` + attributes(pairs) + "/>\n")
}

// celsius is the class of a text whose numbers are temperatures in °C without saying so: a page may show them in another unit.
const celsius = "celsius"

// Styles of text. Numbers are sans, names on a drawing italic, captions bold.
const (
	numbers = iota
	names
	captions
	sentence
)

// text sets a line of text; anchor is start, middle or end.
func (c *canvas) text(style int, x, y float64, anchor, s string, pairs ...string) {
	if s == "" {
		return
	}
	a := [...][]string{
		numbers:  {"class", "numbers", "font-family", sans, "font-size", "11"},
		names:    {"class", "names", "font-family", serif, "font-size", "12.5", "font-style", "italic"},
		captions: {"class", "captions", "font-family", serif, "font-size", "13.5", "font-weight", "600"},
		sentence: {"class", "sentence", "font-family", serif, "font-size", "18"},
	}[style]
	fill := []string{"fill", ink}
	for i := 0; i+1 < len(pairs); i += 2 {
		if pairs[i] == "fill" {
			fill = nil
		}
	}
	c.raw(`<text x="` + px(x) + `" y="` + px(y) + `" text-anchor="` + anchor + `"` + attributes(slices.Concat(a, fill, pairs)) + ">" + escape(s) + "</text>\n")
}

// widthOf estimates how wide a text is set, on the wide side: the face is the reader's.
func widthOf(style int, s string) float64 {
	n := 0.0
	for _, r := range s {
		switch {
		case r == ' ' || strings.ContainsRune("ijl.,:;'|!", r):
			n += 0.4
		case r == '\u2009':
			n += 0.25
		case r >= 'A' && r <= 'Z' || r == 'm' || r == 'w' || r == '%':
			n += 0.85
		default:
			n += 0.6
		}
	}
	return n * [...]float64{11, 12.5, 14, 18}[style]
}

// fit cuts a text to a width, with an ellipsis.
func fit(style int, s string, w float64) string {
	if widthOf(style, s) <= w {
		return s
	}
	r := []rune(s)
	for len(r) > 1 && widthOf(style, string(r)+"…") > w {
		r = r[:len(r)-1]
	}
	return strings.TrimRight(string(r), " ,") + "…"
}

// wrap breaks a text into lines of a width. A word that is wider than that stands alone and is cut.
func wrap(style int, s string, w float64) []string {
	var lines []string
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }) { // other spaces hold a number to its unit
		if n := len(lines); n > 0 && widthOf(style, lines[n-1]+" "+word) <= w {
			lines[n-1] += " " + word
		} else {
			lines = append(lines, word)
		}
	}
	for i := range lines {
		lines[i] = fit(style, lines[i], w)
	}
	return lines
}

// lines sets lines of text below one another, the first at y, and returns where the next would stand.
func (c *canvas) lines(style int, x, y, step float64, anchor string, all []string, pairs ...string) float64 {
	for _, s := range all {
		c.text(style, x, y, anchor, s, pairs...)
		y += step
	}
	return y
}

// head sets a picture's title and below it what the picture says, and returns the height that they take.
func (c *canvas) head(title string, says ...string) float64 {
	y := c.lines(sentence, 20, 28, 23, "start", wrap(sentence, title, c.w-40))
	for _, s := range says {
		y = c.lines(names, 20, y-1, 16, "start", wrap(names, s, c.w-40)) + 1
	}
	return y
}

// polyline builds a path's data from points.
type polyline struct{ b strings.Builder }

func (p *polyline) move(x, y float64) { p.b.WriteString("M" + px(x) + " " + px(y)) }
func (p *polyline) to(x, y float64)   { p.b.WriteString("L" + px(x) + " " + px(y)) }
func (p *polyline) curve(x1, y1, x2, y2, x, y float64) {
	p.b.WriteString("C" + px(x1) + " " + px(y1) + " " + px(x2) + " " + px(y2) + " " + px(x) + " " + px(y))
}
func (p *polyline) close()         { p.b.WriteString("Z") }
func (p *polyline) String() string { return p.b.String() }
