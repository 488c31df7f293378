package figure

import (
	"fmt"
	"math"
	"strings"
)

// Standing is how a variant stands against the others in two aims.
type Standing int

const (
	Beaten     Standing = iota // another one is better in both, shown
	Untold                     // another one seems better, but the uncertainty leaves it open
	Undefeated                 // on the front
)

// Front is the variants of a study in two aims.
type Front struct {
	X, Y         Studied
	MostX, MostY bool       // the most is wanted; else the least
	A, B         []float64  // of each variant; NaN: none
	UA, UB       []float64  // half-widths of each at 95 %; nil: not known
	Half         [2]float64 // of all, where they are alike; 0: not known
	Standing     []Standing
	Fate         []Fate
	Order        []int // those on the front, from one end to the other
	Chosen       []Chosen
}

// Chosen is a variant that is named in the picture: an end of the front, or the present design.
type Chosen struct {
	A, B    float64
	Says    string
	Present bool // what the user gave
}

// front is the picture as it is laid out.
type front struct {
	Front
	c                        *canvas
	x, y                     *ladder
	left, right, top, bottom float64
	room                     room
}

// Pareto draws variants in two aims: those that none beats as dots with their uncertainty, joined by the steps of what they
// reach; those that are beaten only within the uncertainty as rings, the others pale. Arrows on the axes say which way is
// better; the ends of the front and the present design carry their names.
func Pareto(title string, says []string, f Front) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("%s against %s, %d variants, %d on the front", f.X.Name, f.Y.Name, len(f.A), len(f.Order)))
	d := &front{Front: f, c: c, right: 900}
	d.top = c.head(title, says...) + 26
	d.bottom = d.top + 400
	d.layOut()
	c.drawUp(d.y, d.left, d.right)
	foot := c.drawAlong(d.x, d.top, d.bottom)
	better := func(most bool, up bool) string {
		switch {
		case up && most:
			return "  ↑ better"
		case up:
			return "  ↓ better"
		case most:
			return "better →"
		}
		return "← better"
	}
	c.text(captions, 20, d.top-12, "start", fit(captions, f.Y.named(), d.right-120)+better(f.MostY, true))
	c.text(captions, d.right, foot+6, "end", fit(captions, f.X.named(), d.right-d.left-90)+"  "+better(f.MostX, false))
	d.halves()
	d.steps()
	d.cloud()
	d.named()
	foot = d.key(foot + 10)
	if w, h := d.wide(); d.tooWide(w, h) {
		c.text(names, d.left, foot+18, "start", "each value, at 95"+thin+"%: "+d.known(), "fill", ink2)
		foot += 20
	}
	c.h = foot + 12
	return c.bytes()
}

// wide is how far the half-widths of all variants reach on the paper.
func (d *front) wide() (w, h float64) {
	x, y := d.middle(d.x), d.middle(d.y)
	return math.Abs(d.x.at(x+d.Half[0]) - d.x.at(x)), math.Abs(d.y.at(y+d.Half[1]) - d.y.at(y))
}

// tooWide tells that a cross of these half-widths would fill the picture: then they are told in words.
func (d *front) tooWide(w, h float64) bool {
	return w > (d.right-d.left)/4 || h > (d.bottom-d.top)/4
}

// known writes how well the values of each aim are known, where that is told.
func (d *front) known() string {
	var all []string
	for k, s := range [2]*Studied{&d.X, &d.Y} {
		unit := s.Unit
		if s.Degrees {
			unit = "K"
		}
		if d.Half[k] > 0 {
			all = append(all, s.Name+" ±"+thin+withUnit(sized(d.Half[k]), unit))
		}
	}
	return strings.Join(all, ", ")
}

// layOut lays the axes over the front, what cannot be told from it and what is named; of what is beaten, what is near.
func (d *front) layOut() {
	var a, b []float64
	for i, s := range d.Standing {
		if s != Beaten {
			a, b = append(a, d.A[i]), append(b, d.B[i])
			if d.UA != nil && d.UB != nil {
				a, b = append(a, d.A[i]-d.UA[i], d.A[i]+d.UA[i]), append(b, d.B[i]-d.UB[i], d.B[i]+d.UB[i])
			}
		}
	}
	for _, one := range d.Chosen {
		a, b = append(a, one.A), append(b, one.B)
	}
	grow := func(span, values []float64) (lo, hi float64) {
		lo, hi = spanOf(span)
		l, h := spanOf(values)
		wide := 0.6 * (hi - lo)
		return math.Max(l, lo-wide), math.Min(h, hi+wide)
	}
	loA, hiA := grow(a, append(append([]float64(nil), a...), d.A...))
	loB, hiB := grow(b, append(append([]float64(nil), b...), d.B...))
	if !(hiA > loA) {
		loA, hiA = spanOf(a)
	}
	if !(hiB > loB) {
		loB, hiB = spanOf(b)
	}
	d.y = lay(d.Y, loB, hiB, d.bottom, d.top).widened(0.06, 0.06).upwards()
	d.left = leftOf(d.y)
	d.x = lay(d.X, loA, hiA, d.left, d.right).widened(0.04, 0.04).along()
}

// halves shows in the corner that is worst in both aims how well every value is known.
func (d *front) halves() {
	w, h := d.wide()
	if !(w+h > 0) || d.tooWide(w, h) {
		return
	}
	x, y := d.left+w+14, d.bottom-h-14
	if !d.MostX {
		x = d.right - w - 14
	}
	if !d.MostY {
		y = d.top + h + 14
	}
	cross := ""
	if w > 0 {
		cross += "M" + px(x-w) + " " + px(y) + "h" + px(2*w) + "m0 -3v6M" + px(x-w) + " " + px(y-3) + "v6"
	}
	if h > 0 {
		cross += "M" + px(x) + " " + px(y-h) + "v" + px(2*h) + "m-3 0h6M" + px(x-3) + " " + px(y-h) + "h6"
	}
	d.c.path(cross, "fill", "none", "stroke", ink2, "stroke-width", "1")
	d.room.take(patch{x - w, y - h, x + w, y + h})
	d.c.beside(&d.room, patch{d.left, d.top, d.right, d.bottom}, x, y, "each value, at 95"+thin+"%", false)
}

// middle is the value in the middle of a ladder.
func (d *front) middle(l *ladder) float64 {
	lo, hi := l.ends()
	return (lo + hi) / 2
}

// inside tells whether a place lies on the plot.
func (d *front) inside(x, y float64) bool {
	return x >= d.left && x <= d.right && y >= d.top && y <= d.bottom
}

// steps draws what the front reaches: from one of its variants to the next only what both allow is sure to be had.
func (d *front) steps() {
	var p polyline
	down := false
	var lx, ly float64
	for _, i := range d.Order {
		x, y := d.x.at(d.A[i]), d.y.at(d.B[i])
		if math.IsNaN(x + y) {
			continue
		}
		if !down {
			p.move(x, y)
		} else {
			// The corner is worse in both aims than what it lies between.
			cx, cy := x, ly
			if worse := (cx > lx) == d.MostX; worse { // going towards better X: the step stands at the earlier X
				cx, cy = lx, y
			}
			p.to(cx, cy)
			p.to(x, y)
			for _, leg := range [2]patch{{lx, ly, cx, cy}, {cx, cy, x, y}} {
				d.room.lines = append(d.room.lines, patch{math.Min(leg.x0, leg.x1) - 3, math.Min(leg.y0, leg.y1) - 3, math.Max(leg.x0, leg.x1) + 3, math.Max(leg.y0, leg.y1) + 3})
			}
		}
		down, lx, ly = true, x, y
	}
	if s := p.String(); s != "" {
		d.c.path(s, "fill", "none", "stroke", ink, "stroke-width", "0.8")
	}
}

// cloud draws the variants, the beaten ones first.
func (d *front) cloud() {
	x, y := d.x.places(d.A), d.y.places(d.B)
	for _, s := range []Standing{Beaten, Untold, Undefeated} {
		var u, v []float64
		var of []int
		for i := range x {
			if d.Standing[i] == s && d.Fate[i] != Failed && d.inside(x[i], y[i]) {
				u, v, of = append(u, x[i]), append(v, y[i]), append(of, i)
			}
		}
		cell := 2.5
		if s != Beaten {
			cell = 5
		}
		picked := thinned(u, v, cell)
		for _, k := range picked {
			i := of[k]
			if s == Undefeated && d.UA != nil && d.UB != nil && len(picked) <= 60 {
				d.cross(i)
			}
		}
		for _, k := range picked {
			switch i := of[k]; {
			case d.Fate[i] == Misses:
				d.c.variant(Misses, u[k], v[k], 2, line)
			case s == Beaten:
				d.c.circle(u[k], v[k], 1.7, "fill", line)
			case s == Untold:
				d.c.circle(u[k], v[k], 2.6, "fill", sheet, "stroke", ink2, "stroke-width", "1.1")
				d.c.circle(u[k], v[k], 0.9, "fill", ink2)
				d.room.lines = append(d.room.lines, patch{u[k] - 4, v[k] - 4, u[k] + 4, v[k] + 4})
			default:
				d.c.circle(u[k], v[k], 3, "fill", ink)
				d.room.take(patch{u[k] - 4, v[k] - 4, u[k] + 4, v[k] + 4})
			}
		}
	}
}

// cross draws the uncertainty of a variant in both aims.
func (d *front) cross(i int) {
	x0, x1 := d.x.within(d.A[i]-d.UA[i]), d.x.within(d.A[i]+d.UA[i])
	y0, y1 := d.y.within(d.B[i]-d.UB[i]), d.y.within(d.B[i]+d.UB[i])
	x, y := d.x.at(d.A[i]), d.y.at(d.B[i])
	if math.IsNaN(x0 + x1 + y0 + y1) {
		return
	}
	d.c.path("M"+px(x0)+" "+px(y)+"H"+px(x1)+"M"+px(x)+" "+px(y0)+"V"+px(y1), "fill", "none", "stroke", ink2, "stroke-width", "0.7")
}

// named sets the names of what was chosen.
func (d *front) named() {
	within := patch{d.left + 2, d.top + 2, d.right - 2, d.bottom - 2}
	for _, one := range d.Chosen {
		x, y := d.x.at(one.A), d.y.at(one.B)
		if !d.inside(x, y) {
			continue
		}
		if one.Present {
			d.c.rect(x-4, y-4, 8, 8, "fill", sheet, "stroke", pen, "stroke-width", "1.8")
		} else {
			d.c.circle(x, y, 6, "fill", "none", "stroke", ink, "stroke-width", "1.2")
		}
		d.room.take(patch{x - 6, y - 6, x + 6, y + 6})
	}
	for _, one := range d.Chosen {
		x, y := d.x.at(one.A), d.y.at(one.B)
		if d.inside(x, y) {
			d.c.beside(&d.room, within, x, y, one.Says, one.Present)
		}
	}
}

// key explains the marks that the picture holds.
func (d *front) key(y float64) float64 {
	var has [3]bool
	misses := false
	for i, s := range d.Standing {
		if d.Fate[i] == Misses {
			misses = true
		} else if d.Fate[i] == Meets {
			has[s] = true
		}
	}
	x := d.left
	entry := func(words string, swatch func(x, y float64)) {
		swatch(x+5, y+8)
		d.c.text(names, x+15, y+12, "start", words, "fill", ink2)
		x += widthOf(names, words) + 34
	}
	if has[Undefeated] {
		entry("not beaten", func(x, y float64) { d.c.circle(x, y, 3, "fill", ink) })
	}
	if has[Untold] {
		entry("beaten only within the uncertainty", func(x, y float64) {
			d.c.circle(x, y, 2.6, "fill", sheet, "stroke", ink2, "stroke-width", "1.1")
			d.c.circle(x, y, 0.9, "fill", ink2)
		})
	}
	if has[Beaten] {
		entry("beaten", func(x, y float64) { d.c.circle(x, y, 1.7, "fill", line) })
	}
	if misses {
		entry("misses a constraint", func(x, y float64) { d.c.variant(Misses, x, y, 2, line) })
	}
	return y + 16
}
