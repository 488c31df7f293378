package press

import (
	"bytes"
	"errors"
	"fmt"
	"slices"

	"emberbank/paper"

	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/math/fixed"
)

// cut is one of the four hands that a document is set in.
type cut int

const (
	upright cut = iota
	italic
	heavy
	lettering
)

// files of each cut, the first that holds a letter sets it.
var files = [...][]string{
	upright:   {"vollkorn-latin-400-normal", "vollkorn-greek-400-normal", "vollkorn-latin-ext-400-normal", "vollkorn-cyrillic-400-normal"},
	italic:    {"vollkorn-latin-400-italic", "vollkorn-greek-400-italic", "vollkorn-latin-ext-400-italic", "vollkorn-cyrillic-400-italic"},
	heavy:     {"vollkorn-latin-600-normal", "vollkorn-greek-600-normal", "vollkorn-latin-ext-600-normal", "vollkorn-cyrillic-600-normal"},
	lettering: {"b612-latin-400-normal"},
}

// spares hold what the faces above do not, and all where the program was built without those.
var spares = [...][]byte{upright: goregular.TTF, italic: goitalic.TTF, heavy: gobold.TTF, lettering: goregular.TTF}

// face is a face in use.
type face struct {
	name    string // in the pages' resources
	shapes  *font.Face
	tables  *opentype.Loader
	upem    float64
	used    map[font.GID][]rune // with the letters that each glyph stands for
	order   []font.GID          // in the order of their first use
	numbers bool                // its figures are set lined up and of one width
}

// newFace reads a face. It must have TrueType outlines.
func newFace(raw []byte) (*face, error) {
	loaders, err := opentype.NewLoaders(bytes.NewReader(raw))
	if err != nil {
		return nil, err
	}
	if len(loaders) == 0 || !loaders[0].HasTable(opentype.MustNewTag("glyf")) {
		return nil, errors.New("it has no TrueType outlines: give a .ttf file")
	}
	f, err := font.NewFont(loaders[0])
	if err != nil {
		return nil, err
	}
	if f.Upem() == 0 {
		return nil, errors.New("it states no size")
	}
	return &face{shapes: font.NewFace(f), tables: loaders[0], upem: float64(f.Upem()), used: map[font.GID][]rune{}}, nil
}

// Readable tells whether a file is a face that documents can be set in: nil, or what is wrong with it.
func Readable(face []byte) error {
	_, err := newFace(face)
	return err
}

// letters sets text in faces, and remembers what was set.
type letters struct {
	cuts    [4][]*lazy
	faces   []*face // all that were used, in the order of their first use
	shaper  shaping.HarfbuzzShaper
	known   map[string]run
	missing []rune
}

// lazy is a face that is unpacked when a letter first looks for it.
type lazy struct {
	raw     []byte
	numbers bool
	face    *face
	shut    bool // it was tried and cannot be read
}

func (z *lazy) open() *face {
	if z.face == nil && !z.shut {
		f, err := newFace(z.raw)
		if err != nil { // those that are given were read already; ours a test reads
			z.shut = true
			return nil
		}
		f.numbers = z.numbers
		z.face = f
	}
	return z.face
}

// newLetters lays the faces ready. Others come before the spares.
func newLetters(others [][]byte) (*letters, error) {
	l := &letters{known: map[string]run{}}
	var given []*lazy
	for i, raw := range others {
		f, err := newFace(raw)
		if err != nil {
			return nil, fmt.Errorf("reading face %d of those given: %w", i+1, err)
		}
		given = append(given, &lazy{face: f})
	}
	var own [len(l.cuts)][]*lazy
	for c := range l.cuts {
		for _, name := range files[c] {
			if raw, ok := paper.Face(name); ok {
				own[c] = append(own[c], &lazy{raw: raw, numbers: true})
			}
		}
		l.cuts[c] = slices.Clone(own[c])
		if c == int(lettering) { // what it lacks comes from the upright faces
			l.cuts[c] = append(l.cuts[c], own[upright]...)
		}
		l.cuts[c] = append(append(l.cuts[c], given...), &lazy{raw: spares[c]})
	}
	return l, nil
}

// run is text as glyphs, in shares of its size.
type run struct {
	pieces []piece
	wide   float64
}

// piece is a part of a run in one face.
type piece struct {
	face   *face
	glyphs []glyph
	boxed  string // instead of glyphs: the number of a letter that no face holds, in a frame
	upside bool   // stands on its head
}

type glyph struct {
	id      font.GID
	advance float64 // to the next one
	dx, dy  float64
}

// features of every text: figures on the line and of one width.
var features = []shaping.FontFeature{{Tag: opentype.MustNewTag("lnum"), Value: 1}, {Tag: opentype.MustNewTag("tnum"), Value: 1}}

// spaces that are set as the face's own space of another width, in shares of the size.
var spaces = map[rune]float64{'\u2009': 0.16, '\u202f': 0.16, '\u200a': 0.09, '\u2002': 0.5, '\u2003': 1, '\u2007': 0.5, '\u2008': 0.2, '\u2006': 1. / 6}

// nothing are letters that leave no mark and take no room.
func nothing(r rune) bool {
	return r == '\u200b' || r == '\u200c' || r == '\u200d' || r == '\u2060' || r == '\ufeff' || r == '\u00ad' || r >= 0xfe00 && r <= 0xfe0f || r < 0x20 && r != '\n' && r != '\t'
}

// shape sets a text without breaks in a cut.
func (l *letters) shape(c cut, text string) run {
	key := string(rune('0'+int(c))) + text
	if r, ok := l.known[key]; ok {
		return r
	}
	var r run
	all := []rune(text)
	for i := 0; i < len(all); {
		if nothing(all[i]) {
			i++
			continue
		}
		f := l.faceOf(c, all[i])
		if f == nil && all[i] == nabla {
			if g := l.faceOf(c, delta); g != nil {
				turned := l.shape(c, string(delta)).pieces[0]
				turned.upside = true
				r.pieces = append(r.pieces, turned)
				r.wide += turned.glyphs[0].advance
				i++
				continue
			}
		}
		if f == nil {
			r.box(all[i])
			l.miss(all[i])
			i++
			continue
		}
		n := i + 1
		if _, special := spaces[all[i]]; !special {
			for n < len(all) && !nothing(all[n]) && l.faceOf(c, all[n]) == f {
				if _, special := spaces[all[n]]; special {
					break
				}
				n++
			}
		}
		l.set(&r, f, all[i:n])
		i = n
	}
	l.known[key] = r
	return r
}

// faceOf is the first face of a cut that holds a letter; nil: none does.
func (l *letters) faceOf(c cut, letter rune) *face {
	if _, special := spaces[letter]; special || letter == '\n' || letter == '\t' || letter == '\u00a0' {
		letter = ' '
	}
	for _, z := range l.cuts[c] {
		if f := z.open(); f != nil {
			if _, ok := f.shapes.NominalGlyph(letter); ok {
				return f
			}
		}
	}
	return nil
}

func (l *letters) miss(letter rune) {
	if !slices.Contains(l.missing, letter) {
		l.missing = append(l.missing, letter)
	}
}

// set adds letters of one face to a run.
func (l *letters) set(r *run, f *face, text []rune) {
	if len(text) == 1 {
		if wide, special := spaces[text[0]]; special {
			id, _ := f.shapes.NominalGlyph(' ')
			f.use(id, []rune{' '})
			r.add(f, glyph{id: id, advance: wide})
			return
		}
	}
	in := shaping.Input{
		Text: text, RunEnd: len(text), Direction: di.DirectionLTR, Face: f.shapes, Size: fixed.I(int(f.upem)),
		Script: language.Latin, Language: "en",
	}
	for _, letter := range text {
		if s := language.LookupScript(letter); s != language.Common && s != language.Inherited && s != language.Unknown {
			in.Script = s
			break
		}
	}
	switch in.Script {
	case language.Arabic, language.Hebrew, language.Syriac, language.Thaana, language.Nko:
		in.Direction = di.DirectionRTL
	}
	if f.numbers {
		in.FontFeatures = features
	}
	out := l.shaper.Shape(in)
	done := -1
	for i := range out.Glyphs {
		g := &out.Glyphs[i]
		var stands []rune
		if at := g.TextIndex(); at != done {
			done = at
			stands = text[at:min(len(text), at+max(1, g.RunesCount()))]
		}
		f.use(g.GlyphID, stands)
		r.add(f, glyph{id: g.GlyphID, advance: float64(g.Advance) / 64 / f.upem, dx: float64(g.XOffset) / 64 / f.upem, dy: float64(g.YOffset) / 64 / f.upem})
	}
}

// use remembers that a glyph is needed, and what it stands for.
func (f *face) use(id font.GID, stands []rune) {
	known, ok := f.used[id]
	if !ok {
		f.order = append(f.order, id)
	}
	if len(known) == 0 {
		f.used[id] = slices.Clone(stands)
	}
}

func (r *run) add(f *face, g glyph) {
	if n := len(r.pieces); n == 0 || r.pieces[n-1].face != f {
		r.pieces = append(r.pieces, piece{face: f})
	}
	p := &r.pieces[len(r.pieces)-1]
	p.glyphs = append(p.glyphs, g)
	r.wide += g.advance
}

// Few faces hold a nabla; it is a delta on its head.
const nabla, delta = '∇', 'Δ'

// boxShare is how large the number in the frame of a letter that is missing is set.
const boxShare = 0.6

// box adds the number of a letter that no face holds.
func (r *run) box(letter rune) {
	p := piece{boxed: fmt.Sprintf("U+%04X", letter)}
	r.pieces = append(r.pieces, p)
	r.wide += boxWide(p.boxed)
}

func boxWide(says string) float64 { return 0.55*boxShare*float64(len(says)) + 0.25 }
