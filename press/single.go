package press

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/png"
	"math"
	"slices"
	"strconv"
	"strings"

	"emberbank/paper"
)

// Single is how a picture is put on paper by itself: for a slide, a poster, or a page of somebody else's.
type Single struct {
	Wide float64 // mm
	Type float64 // pt, of its numbers; other words keep their share of that. 0: as the picture has them at that width
}

// Bounds of what is made.
const (
	MostWide  = 1200.0 // mm: the long side of a poster (ISO 216: A0 is 841 × 1189 mm)
	LeastWide = 20.0   // mm
	MostDots  = 30e6   // of an image
	LeastType = 4.0    // pt: nobody reads less
	MostType  = 96.0   // pt
)

// Pixels is the width, in px of a picture, at which its numbers have the type's size when it is Wide on paper: draw it so wide, and it
// need not be scaled.
func (s Single) Pixels() float64 { return s.Wide * mm * paper.NumberSize / s.Type }

// Crowded tells that words of a picture would run into one another.
type Crowded struct {
	One, Other string  // "": the edge
	Wide, Type float64 // mm at which there is room for the type; pt for which there is room at the width
}

func (c *Crowded) Error() string {
	what := quoted(c.One) + " and " + quoted(c.Other) + " run into one another"
	if c.Other == "" {
		what = quoted(c.One) + " runs beyond the edge"
	}
	if c.Type < LeastType {
		return what + " at any type that can be read"
	}
	return what + fmt.Sprintf(": there is room from %.0f mm of width on, or for type of %.1f pt", math.Ceil(c.Wide), math.Floor(10*c.Type)/10)
}

// quoted is a word in quotation marks, the beginning of a long one.
func quoted(word string) string {
	const most = 40
	if r := []rune(word); len(r) > most {
		word = strings.TrimRight(string(r[:most]), " ,.") + "…"
	}
	return "\"" + word + "\""
}

// set is a picture with its scale.
type set struct {
	*paper.Picture
	points float64 // a px
	letter func(size float64) float64
	l      *letters
}

// fit reads a picture and looks whether its words have room.
func (s Single) fit(svg []byte) (*set, error) {
	switch {
	case !(s.Wide >= LeastWide && s.Wide <= MostWide):
		return nil, fmt.Errorf("a width of %.4g mm: it is from %.0f to %.0f mm", s.Wide, LeastWide, MostWide)
	case s.Type != 0 && !(s.Type >= LeastType && s.Type <= MostType):
		return nil, fmt.Errorf("type of %.4g pt: it is from %.0f to %.0f pt", s.Type, LeastType, MostType)
	}
	of, err := paper.ReadPicture(svg)
	if err != nil {
		return nil, err
	}
	l, err := newLetters(nil)
	if err != nil {
		return nil, err
	}
	p := &set{Picture: of, points: s.Wide * mm / of.Width, l: l}
	grow := 1.0
	if s.Type > 0 {
		grow = s.Type / (paper.NumberSize * p.points)
	}
	p.letter = grown(grow)
	if grow <= 1 {
		return p, nil
	}
	before, err := measured(of, l, p.points, grown(1))
	if err != nil {
		return nil, err
	}
	one, other, err := p.at(before, grow)
	if err != nil || one == "" {
		return p, err
	}
	low, high := 1.0, grow // there is room at low
	for range 12 {
		middle := (low + high) / 2
		if meets, _, err := p.at(before, middle); err != nil {
			return nil, err
		} else if meets == "" {
			low = middle
		} else {
			high = middle
		}
	}
	return nil, &Crowded{One: one, Other: other, Wide: s.Wide * grow / low, Type: s.Type * low / grow}
}

// at finds words that meet when letters grow.
func (p *set) at(before []extent, grow float64) (one, other string, err error) {
	after, err := measured(p.Picture, p.l, p.points, grown(grow))
	if err != nil {
		return "", "", err
	}
	one, other = crowded(p.Picture, before, after, p.points)
	return one, other, nil
}

// grown is how large letters are set where numbers grow so much: titles grow less, since they are large already.
func grown(by float64) func(float64) float64 {
	const most = 1.25 // of the numbers' size
	if by <= 1 {
		return func(size float64) float64 { return by * size }
	}
	return func(size float64) float64 { return math.Max(size, by*math.Min(size, most*paper.NumberSize)) }
}

// high is the picture's height on paper, mm.
func (p *set) high() float64 { return p.points * p.Height / mm }

// SVG is the picture as SVG of that size, its letters at their size.
func (s Single) SVG(svg []byte) ([]byte, error) {
	p, err := s.fit(svg)
	if err != nil {
		return nil, err
	}
	p.Walk(func(e *paper.Element) {
		for i := range e.Pairs {
			if a := &e.Pairs[i]; a.Name == "font-size" {
				if size, err := strconv.ParseFloat(a.Value, 64); err == nil {
					a.Value = num(p.letter(size))
				}
			}
		}
	})
	var b bytes.Buffer
	size := []paper.Pair{{Name: "width", Value: num(s.Wide) + "mm"}, {Name: "height", Value: num(p.high()) + "mm"}}
	keep := slices.DeleteFunc(slices.Clone(p.Root.Pairs), func(a paper.Pair) bool { return a.Name == "width" || a.Name == "height" })
	p.Root.Pairs = append(size, keep...)
	p.Write(&b)
	return b.Bytes(), nil
}

// PDF is the picture on a page of its size.
func (s Single) PDF(svg []byte) ([]byte, error) {
	p, err := s.fit(svg)
	if err != nil {
		return nil, err
	}
	title, _ := p.Titled()
	j := job{doc: &paper.Document{Title: title}, letters: p.l, wide: s.Wide * mm, tall: p.high() * mm}
	page := &leaf{pen: &pen{letters: p.l, veils: &j.veils, shades: &j.shades}}
	page.turn(matrix{1, 0, 0, 1, 0, j.tall})
	if err := newDrawing(p.Picture, page.pen, p.l, p.letter).all(p.Picture, p.points, 0); err != nil {
		return nil, err
	}
	return j.file([]*leaf{page})
}

// Dots is the picture as an image of so many dots an inch, on white.
func (s Single) Dots(svg []byte, perInch float64) (*image.RGBA, error) {
	p, err := s.fit(svg)
	if err != nil {
		return nil, err
	}
	wide, high := math.Round(s.Wide/25.4*perInch), math.Round(p.high()/25.4*perInch)
	if !(perInch > 0 && wide >= 1 && high >= 1 && wide*high <= MostDots) {
		return nil, fmt.Errorf("an image of %.0f × %.0f dots: at most %d million are drawn, so at most %.0f an inch at this size", wide, high, int(MostDots/1e6),
			math.Floor(perInch*math.Sqrt(MostDots/math.Max(1, wide*high))))
	}
	plate := newPlate(int(wide), int(high), perInch/72, p.l)
	if err := newDrawing(p.Picture, plate, p.l, p.letter).all(p.Picture, p.points, 0); err != nil {
		return nil, err
	}
	return plate.img, nil
}

// PNG is an image as a file that states how many dots are an inch.
//
// Source: W3C, Portable Network Graphics (second edition), 11.3.5.3 (pHYs) and 5.3 (chunks).
func PNG(img image.Image, perInch float64) ([]byte, error) {
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		return nil, err
	}
	raw := b.Bytes()
	const behind = 8 + 25 // the signature, and the chunk that comes first
	var chunk [21]byte
	perMetre := uint32(math.Round(perInch / 0.0254))
	binary.BigEndian.PutUint32(chunk[0:], 9)
	copy(chunk[4:], "pHYs")
	binary.BigEndian.PutUint32(chunk[8:], perMetre)
	binary.BigEndian.PutUint32(chunk[12:], perMetre)
	chunk[16] = 1 // metres
	binary.BigEndian.PutUint32(chunk[17:], crc32.ChecksumIEEE(chunk[4:17]))
	return slices.Concat(raw[:behind], chunk[:], raw[behind:]), nil
}
