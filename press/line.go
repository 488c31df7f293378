package press

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"emberbank/paper"
)

// hand is how running text is set.
type hand struct {
	cut     cut
	size    float64 // pt
	leading float64 // pt, from one line to the next
	ink     colour
}

// hands are those of a document, pt.
type hands struct {
	title, subtitle    hand
	heading            [3]hand    // by depth
	above              [3]float64 // room above a heading
	body, small, quiet hand
	formula            hand
	table              [3]hand // the first in which a table's words fit
	air                float64 // share of the room between blocks
	lift               float64 // by how much the first page begins higher
}

// airy is how a report is set, dense a sheet that is to go on one page.
var (
	airy = hands{
		title: hand{heavy, 24, 29, ink}, subtitle: hand{italic, 13, 18, ink2},
		heading: [3]hand{{heavy, 16, 20, ink}, {heavy, 12.5, 16, ink}, {heavy, 10.8, 14.2, ink}}, above: [3]float64{30, 20, 14},
		body: hand{upright, 10.3, 14.2, ink}, small: hand{upright, 9, 12, ink}, quiet: hand{upright, 9, 12, ink2}, formula: hand{upright, 11.2, 16.5, ink},
		table: [3]hand{{upright, 9.2, 12, ink}, {upright, 8.2, 10.6, ink}, {upright, 7.2, 9.4, ink}}, air: 1,
	}
	dense = hands{
		title: hand{heavy, 17, 21, ink}, subtitle: hand{italic, 10.5, 14, ink2},
		heading: [3]hand{{heavy, 11.5, 14.5, ink}, {heavy, 10, 13, ink}, {heavy, 9.2, 12, ink}}, above: [3]float64{15, 12, 9},
		body: hand{upright, 9.2, 12.2, ink}, small: hand{upright, 8.2, 10.6, ink}, quiet: hand{upright, 8.2, 10.6, ink2}, formula: hand{upright, 9.8, 13.5, ink},
		table: [3]hand{{upright, 8.4, 10.6, ink}, {upright, 7.8, 10, ink}, {upright, 7.2, 9.4, ink}}, air: 0.6, lift: 9 * mm,
	}
)

// fragment is text in one style, without a break.
type fragment struct {
	run        run
	size, rise float64 // pt
	ink        colour
	to         string // where it leads: #key or an address
}

func (f *fragment) wide() float64 { return f.run.wide * f.size }

// word is what stays together, and the space behind it.
type word struct {
	parts []fragment
	wide  float64
	space float64 // 0: a line may break behind it, and nothing is set there
}

// line is a set line.
type line struct {
	words []word
	wide  float64
}

// set breaks a text into lines of a width, ragged at the right and never within a word, so that they come out as even as they can. A word that is wider than
// the line is cut where it must be.
func (j *job) set(t paper.Text, h hand, width float64) []line {
	return evenly(j.fitting(j.words(t, h), width), width, false)
}

// setTitle is set, but for the last line too: the lines of a title are of about one length.
func (j *job) setTitle(t paper.Text, h hand, width float64) []line {
	all := j.fitting(j.words(t, h), width)
	n := len(evenly(all, width, false))
	if n < 2 {
		return evenly(all, width, false)
	}
	return evenly(all, width, true)
}

// words cuts a text at its spaces, and behind hyphens and slashes.
func (j *job) words(t paper.Text, h hand) []word {
	var all []word
	var open word
	gap := j.letters.shape(h.cut, " ").wide * h.size
	shut := func(space float64) {
		if len(open.parts) > 0 {
			open.space = space
			all = append(all, open)
			open = word{}
		} else if n := len(all); n > 0 && space > 0 {
			all[n-1].space = space
		}
	}
	for i := range t {
		says := j.n.Says(&t[i])
		f := j.styled(&t[i], h)
		c := cutOf(&t[i], h)
		from := 0
		put := func(s string) {
			if s != "" {
				f.run = j.letters.shape(c, s)
				open.parts = append(open.parts, f)
				open.wide += f.wide()
			}
		}
		for k, r := range says {
			switch {
			case r == ' ' || r == '\n' || r == '\t':
				put(says[from:k])
				shut(gap)
				from = k + 1
			case cuttable(says, k, r, t[i].Style == paper.Code):
				end := k + len(string(r))
				put(says[from:end])
				shut(0)
				from = end
			}
		}
		put(says[from:])
	}
	shut(0)
	return all
}

// cuttable tells whether a line may break behind a letter of a word.
func cuttable(s string, at int, r rune, code bool) bool {
	after := s[at+len(string(r)):]
	if after == "" || at == 0 {
		return false
	}
	next, _ := utf8.DecodeRuneInString(after)
	before, _ := utf8.DecodeLastRuneInString(s[:at])
	switch r {
	case '/':
		return next != '/' && (code || unicode.IsLetter(next))
	case '-', '–':
		return unicode.IsLetter(next) && unicode.IsLetter(before)
	case '_', '.':
		return code && unicode.IsLetter(next)
	}
	return r >= 0x2e80 && r <= 0x9fff || r >= 0xac00 && r <= 0xd7af || r >= 0x3040 && r <= 0x30ff // scripts without spaces
}

func cutOf(s *paper.Span, h hand) cut {
	switch s.Style {
	case paper.Strong:
		return heavy
	case paper.Symbol:
		return italic
	case paper.Code:
		return lettering
	}
	return h.cut
}

// styled is a span's style without its text.
func (j *job) styled(s *paper.Span, h hand) fragment {
	f := fragment{size: h.size, ink: h.ink, to: s.To}
	if f.to == "" && s.Origin != "" {
		f.to = j.doc.Found(s.Origin)
	}
	switch s.Style {
	case paper.Below:
		f.size, f.rise = 0.7*h.size, -0.17*h.size
	case paper.Above:
		f.size, f.rise = 0.7*h.size, 0.36*h.size
	case paper.Code:
		f.size = 0.84 * h.size
	case paper.Pale:
		f.ink = ink3
	}
	return f
}

// fitting cuts words that are wider than a line, glyph by glyph.
func (j *job) fitting(all []word, width float64) []word {
	for i := 0; i < len(all); i++ {
		if all[i].wide <= width {
			continue
		}
		var cut []word
		var open word
		for _, f := range all[i].parts {
			for _, p := range f.run.pieces {
				for k := 0; k < max(1, len(p.glyphs)); k++ {
					one := f
					one.run = run{pieces: []piece{p}, wide: boxWide(p.boxed)}
					if p.boxed == "" {
						one.run = run{pieces: []piece{{face: p.face, glyphs: p.glyphs[k : k+1], upside: p.upside}}, wide: p.glyphs[k].advance}
					}
					if open.wide+one.wide() > width && len(open.parts) > 0 {
						cut = append(cut, open)
						open = word{}
					}
					open.add(one)
				}
			}
		}
		open.space = all[i].space
		cut = append(cut, open)
		all = append(all[:i:i], append(cut, all[i+1:]...)...)
		i += len(cut) - 1
	}
	return all
}

// add puts a fragment to a word, into the one before it where both are of one kind.
func (w *word) add(f fragment) {
	w.wide += f.wide()
	if n := len(w.parts); n > 0 {
		last := &w.parts[n-1]
		if lp := last.run.pieces; len(lp) == 1 && lp[0].face == f.run.pieces[0].face && lp[0].boxed == "" && f.run.pieces[0].boxed == "" && !lp[0].upside && !f.run.pieces[0].upside &&
			last.size == f.size && last.rise == f.rise && last.ink == f.ink && last.to == f.to {
			last.run = run{pieces: []piece{{face: lp[0].face, glyphs: append(lp[0].glyphs[:len(lp[0].glyphs):len(lp[0].glyphs)], f.run.pieces[0].glyphs...)}}, wide: last.run.wide + f.run.wide}
			return
		}
	}
	w.parts = append(w.parts, f)
}

// evenly chooses the breaks that leave the least squares of empty room at the ends of lines; the last one counts where it is asked for.
func evenly(all []word, width float64, last bool) []line {
	n := len(all)
	if n == 0 {
		return nil
	}
	cost := make([]float64, n+1) // of the best lines for the words from i on
	next := make([]int, n+1)
	for i := n - 1; i >= 0; i-- {
		cost[i], next[i] = math.Inf(1), i+1
		wide := 0.0
		for k := i; k < n; k++ {
			wide += all[k].wide
			if wide > width+1e-6 && k > i {
				break
			}
			room := width - wide
			c := cost[k+1] + room*room
			if k == n-1 && !last {
				c = 0
				if i > 0 && k == i && wide < 0.12*width { // no short word alone at the end
					c = 0.04 * width * width
				}
			}
			if c < cost[i] {
				cost[i], next[i] = c, k+1
			}
			wide += all[k].space
		}
	}
	var lines []line
	for i := 0; i < n; i = next[i] {
		l := line{words: all[i:next[i]]}
		for k := range l.words {
			l.wide += l.words[k].wide
			if k < len(l.words)-1 {
				l.wide += l.words[k].space
			}
		}
		lines = append(lines, l)
	}
	return lines
}

// draw sets a line with its base at y.
func (l *line) draw(p *leaf, x, y float64) {
	var open anchorage
	for i := range l.words {
		w := &l.words[i]
		for k := range w.parts {
			f := &w.parts[k]
			p.fill(f.ink)
			p.stroke(f.ink)
			p.text(f.run, x, y+f.rise, f.size)
			if f.to != open.to {
				open.shut(p)
				open = anchorage{to: f.to, x0: x, y: y, size: f.size}
			}
			x += f.wide()
			open.x1 = x
		}
		x += w.space
	}
	open.shut(p)
}

// anchorage is a stretch of a line that leads somewhere.
type anchorage struct {
	to              string
	x0, x1, y, size float64
}

func (a *anchorage) shut(p *leaf) {
	if a.to != "" {
		p.links = append(p.links, link{to: a.to, x0: a.x0, y0: a.y - 0.25*a.size, x1: a.x1, y1: a.y + 0.8*a.size})
	}
}

// widest is the width of the widest word: no narrower column holds the text without cutting.
func widest(all []word) float64 {
	w := 0.0
	for i := range all {
		w = math.Max(w, all[i].wide)
	}
	return w
}

// atOnce is the width of all words on one line.
func atOnce(all []word) float64 {
	w := 0.0
	for i := range all {
		w += all[i].wide
		if i < len(all)-1 {
			w += all[i].space
		}
	}
	return w
}

// plainText is a text of one style.
func plainText(s string) paper.Text { return paper.Text{{Text: strings.TrimSpace(s)}} }
