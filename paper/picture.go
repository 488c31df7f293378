package paper

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// Picture is an SVG picture of the kind that room figure draws: flat paint, lines, paths and words, hatchings, clips and straight
// gradients. It has no script, no style and nothing from elsewhere.
type Picture struct {
	Left, Top, Width, Height float64 // px, of the view box
	Root                     *Element
}

// Element is one element of a picture.
type Element struct {
	Name   string
	Pairs  []Pair // its attributes, in their order
	Text   string // between its tags
	Inside []*Element
}

// Pair is an attribute.
type Pair struct{ Name, Value string }

// Get is an attribute's value, "" where it is not given.
func (e *Element) Get(name string) string {
	for _, p := range e.Pairs {
		if p.Name == name {
			return p.Value
		}
	}
	return ""
}

// Bounds of a picture that is read: more would make a document that no reader opens in time.
const (
	MostBytes    = 8 << 20
	MostElements = 100_000
	mostDeep     = 40
)

// known are the elements of a picture. Whoever adds one here teaches room press to draw it.
var known = []string{"svg", "g", "defs", "pattern", "clipPath", "linearGradient", "stop", "rect", "line", "circle", "path", "text", "title", "desc"}

// drawn are the attributes that say how something is drawn.
var drawn = []string{
	"id", "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "d", "width", "height", "viewBox", "transform", "patternTransform", "patternUnits",
	"gradientUnits", "offset", "stop-color", "stop-opacity", "fill", "fill-opacity", "fill-rule", "stroke", "stroke-width", "stroke-opacity",
	"stroke-linejoin", "stroke-linecap", "stroke-dasharray", "opacity", "paint-order", "clip-path", "clip-rule",
	"font-family", "font-size", "font-style", "font-weight", "text-anchor",
}

// leftOut tells of an attribute whether it is for a page that a picture stands on, and nothing on paper.
func leftOut(name string) bool {
	return name == "xmlns" || name == "class" || name == "role" || name == "tabindex" || name == "pointer-events" || strings.HasPrefix(name, "aria-") || strings.HasPrefix(name, "data-")
}

// ReadPicture reads a picture. What it does not know it names, and reads nothing: a picture is drawn as it was meant or not at all.
func ReadPicture(svg []byte) (*Picture, error) {
	if len(svg) > MostBytes {
		return nil, fmt.Errorf("the picture is too large: %.1f MB; at most %d MB: draw it with fewer points", float64(len(svg))/(1<<20), MostBytes>>20)
	}
	root, err := readElements(svg)
	if err != nil {
		return nil, err
	}
	if root.Name != "svg" {
		return nil, fmt.Errorf("a picture begins with <svg>, this one with <%s>", root.Name)
	}
	p := &Picture{Root: root}
	if box := strings.FieldsFunc(root.Get("viewBox"), func(r rune) bool { return r == ' ' || r == ',' }); len(box) == 4 {
		for i, to := range []*float64{&p.Left, &p.Top, &p.Width, &p.Height} {
			*to, _ = strconv.ParseFloat(box[i], 64)
		}
	} else {
		p.Width, _ = strconv.ParseFloat(strings.TrimSuffix(root.Get("width"), "px"), 64)
		p.Height, _ = strconv.ParseFloat(strings.TrimSuffix(root.Get("height"), "px"), 64)
	}
	if !(p.Width > 0 && p.Width < 1e5 && p.Height > 0 && p.Height < 1e5) {
		return nil, errors.New("the picture has no size: its viewBox gives four numbers, the last two above 0 and below 100 000")
	}
	return p, p.resolve()
}

// readElements reads the tree.
func readElements(svg []byte) (*Element, error) {
	d := xml.NewDecoder(bytes.NewReader(svg))
	var open []*Element
	var root *Element
	n := 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("reading the picture: %w", err)
		}
		switch t := token.(type) {
		case xml.StartElement:
			if n++; n > MostElements {
				return nil, fmt.Errorf("the picture is too large: more than %d elements; draw it with fewer points", MostElements)
			}
			e, err := newElement(&t)
			if err != nil {
				return nil, err
			}
			switch {
			case len(open) >= mostDeep:
				return nil, fmt.Errorf("the picture nests more than %d deep", mostDeep)
			case len(open) > 0:
				above := open[len(open)-1]
				above.Inside = append(above.Inside, e)
			case root != nil:
				return nil, errors.New("the picture has a second root")
			default:
				root = e
			}
			open = append(open, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if n := len(open); n > 0 && slices.Contains([]string{"text", "title", "desc"}, open[n-1].Name) {
				open[n-1].Text += string(t)
			}
		}
	}
	if root == nil {
		return nil, errors.New("the picture is empty")
	}
	return root, nil
}

// newElement takes over an element and of its attributes those that say how it is drawn.
func newElement(t *xml.StartElement) (*Element, error) {
	e := &Element{Name: t.Name.Local}
	if !slices.Contains(known, e.Name) {
		return nil, fmt.Errorf("the picture has an element <%s>, which is not one of those that are drawn here: %s", e.Name, strings.Join(known, ", "))
	}
	for _, a := range t.Attr {
		name := a.Name.Local
		switch {
		case a.Name.Space != "" && a.Name.Space != "xmlns":
			return nil, fmt.Errorf("<%s> has an attribute %q of %q, which is not drawn here", e.Name, name, a.Name.Space)
		case a.Name.Space == "xmlns" || leftOut(name):
		case !slices.Contains(drawn, name):
			return nil, fmt.Errorf("<%s> has an attribute %q, which is not drawn here", e.Name, name)
		default:
			e.Pairs = append(e.Pairs, Pair{name, a.Value})
		}
	}
	return e, nil
}

// resolve looks whether what the picture refers to is in it, and once.
func (p *Picture) resolve() error {
	ids := map[string]bool{}
	var wrong error
	p.Walk(func(e *Element) {
		if id := e.Get("id"); id != "" {
			if ids[id] && wrong == nil {
				wrong = fmt.Errorf("the picture has two elements with the id %q", id)
			}
			ids[id] = true
		}
	})
	p.Walk(func(e *Element) {
		for _, a := range e.Pairs {
			if !strings.Contains(a.Value, "(") || strings.HasSuffix(a.Name, "ransform") || wrong != nil {
				continue
			}
			if id, ok := Target(a.Value); !ok || !ids[id] {
				wrong = fmt.Errorf("<%s> has %s=%q, which leads to nothing in the picture", e.Name, a.Name, a.Value)
			}
		}
	})
	return wrong
}

// Walk calls f with each element, those above before those inside.
func (p *Picture) Walk(f func(*Element)) { walk(p.Root, f) }

func walk(e *Element, f func(*Element)) {
	f(e)
	for _, in := range e.Inside {
		walk(in, f)
	}
}

// Target is the id in url(#id).
func Target(value string) (id string, ok bool) {
	id, ok = strings.CutPrefix(value, "url(#")
	if !ok {
		return "", false
	}
	return strings.CutSuffix(id, ")")
}

// Titled are the words for those who do not see the picture: its title and its description.
func (p *Picture) Titled() (title, description string) {
	for _, e := range p.Root.Inside {
		switch e.Name {
		case "title":
			title = strings.TrimSpace(e.Text)
		case "desc":
			description = strings.TrimSpace(e.Text)
		}
	}
	return title, description
}
