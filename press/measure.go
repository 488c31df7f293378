package press

import (
	"math"
	"strings"

	"emberbank/paper"
)

// measure is a surface on which nothing is drawn: it notes where words come to stand.
type measure struct {
	at    matrix
	saved []matrix
	words []extent
}

// extent is the box of a word, in points to the right and up.
type extent struct{ x0, y0, x1, y1 float64 }

func (m *measure) save() { m.saved = append(m.saved, m.at) }

func (m *measure) restore() {
	n := len(m.saved) - 1
	m.at, m.saved = m.saved[n], m.saved[:n]
}

func (m *measure) turn(by matrix)             { m.at = by.over(m.at) }
func (m *measure) veil(float64, float64)      {}
func (m *measure) fill(colour)                {}
func (m *measure) stroke(colour)              {}
func (m *measure) outline(*look)              {}
func (m *measure) show(*trace, painting)      {}
func (m *measure) clip([]*trace, bool)        {}
func (m *measure) shade(*gradient)            {}
func (m *measure) halo(run, float64, float64) {}
func (m *measure) text(r run, x, y, size float64) {
	e := extent{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, c := range [4][2]float64{{0, -0.12}, {r.wide, -0.12}, {0, 0.62}, {r.wide, 0.62}} { // a little less than letters reach: neighbours may touch
		u, v := m.at.apply(x+c[0]*size, y+c[1]*size)
		e.x0, e.y0, e.x1, e.y1 = math.Min(e.x0, u), math.Min(e.y0, v), math.Max(e.x1, u), math.Max(e.y1, v)
	}
	m.words = append(m.words, e)
}

// meet tells whether two boxes share more than their rims.
func (e extent) meet(o extent) bool {
	const rim = 0.3 // pt
	return e.x0 < o.x1-rim && o.x0 < e.x1-rim && e.y0 < o.y1-rim && o.y0 < e.y1-rim
}

// wordsOf are the words of a picture in the order in which they are drawn.
func wordsOf(of *paper.Picture) (all []string) {
	of.Walk(func(e *paper.Element) {
		if e.Name == "text" {
			all = append(all, strings.TrimSpace(e.Text))
		}
	})
	return all
}

// measured are the boxes of a picture's words, points a px.
func measured(of *paper.Picture, l *letters, points float64, letter func(float64) float64) ([]extent, error) {
	m := &measure{at: matrix{1, 0, 0, 1, 0, 0}}
	err := newDrawing(of, m, l, letter).all(of, points, 0)
	return m.words, err
}

// crowded finds words that have run into others, or out of the picture, since they grew; "": none has. Those that did so as the picture was
// drawn are left alone.
func crowded(of *paper.Picture, before, after []extent, points float64) (one, other string) {
	words := wordsOf(of)
	if len(before) != len(after) || len(words) < len(after) {
		return "", ""
	}
	wide := of.Width * points
	for i, e := range after {
		const over = 1 // pt, as far as that nobody sees it
		if e.x0 < -over && before[i].x0 >= -over || e.x1 > wide+over && before[i].x1 <= wide+over {
			return words[i], ""
		}
		for k := range i {
			if e.meet(after[k]) && !before[i].meet(before[k]) {
				return words[k], words[i]
			}
		}
	}
	return "", ""
}
