package figure

import (
	"fmt"
	"math"
)

// StudyLine is a response over one axis, with the others held.
type StudyLine struct {
	Name      string    // what is held
	X, Y      []float64 // X rising; Y is NaN where the variant has none
	Low, High []float64 // the band at 95 %; nil: not known
	Fate      []Fate
	Verdict   *StudyVerdict // nil: none was asked for
}

// StudyVerdict is whether a line comes to a plateau.
type StudyVerdict struct {
	Plateau bool    // it is shown to
	From    float64 // where the plateau begins at the latest
	Margin  float64 // by how much it may still change
	Above   float64 // a plateau begins above this, if there is one; NaN: not known
	Says    string  // in a few words
	Margins string  // the margin in words: "100 kJ"
	Trends  []StudyTrend
}

// StudyTrend is what a fitted curve suggests beyond the range; it is a suggestion, not a result.
type StudyTrend struct {
	Name  string
	X, Y  []float64
	Limit string // its limit in words; "": none
}

// mostLines is how many lines carry a dash of their own, marks and bands.
const mostLines = 6

// curves is the picture of lines over an axis as it is laid out.
type curves struct {
	c           *canvas
	x, y        *ladder
	left, right float64
	top, bottom float64
	lines       []StudyLine
	from, to    float64 // the studied range
}

// StudyCurves draws a response over an axis: each line with its band, the variants as dots on it, the limits of
// constraints as fences, and the verdict. Where a plateau is shown, its margin lies as a tint from where it begins at the
// latest; where none is, a dimension line says above which place one may begin, and the trends go on, dashed, into the
// hatched ground that was not studied.
func StudyCurves(title string, says []string, x, y Studied, lines []StudyLine, limits []Limit) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("%s over %s, %d lines", y.Name, x.Name, len(lines)))
	p := &curves{c: c, right: 736, lines: lines}
	p.top = c.head(title, says...) + 26
	p.bottom = p.top + 330
	c.hatchBeyond()
	p.layOut(x, y, limits)
	p.beyond()
	c.drawUp(p.y, p.left, p.right)
	foot := c.drawAlong(p.x, p.top, p.bottom)
	c.text(captions, 20, p.top-12, "start", fit(captions, y.named(), p.right-20))
	p.margin()
	p.bands()
	p.limits(limits)
	p.strokes()
	p.trends()
	p.marks()
	p.names(limits)
	c.nameAlong(x.Name, p.x, p.right, p.bottom)
	foot = p.ranges(foot)
	foot = p.key(foot)
	c.h = foot + 8
	return c.bytes()
}

// layOut lays both axes over the lines, what they suggest beyond the range, and limits that are not far off.
func (p *curves) layOut(x, y Studied, limits []Limit) {
	var xs, ys, beyond [][]float64
	for i := range p.lines {
		l := &p.lines[i]
		xs, ys = append(xs, l.X), append(ys, l.Y, l.Low, l.High)
		if l.Verdict != nil {
			for _, t := range l.Verdict.Trends {
				beyond, ys = append(beyond, t.X), append(ys, t.Y)
			}
		}
	}
	p.from, p.to = spanOf(xs...)
	lo, hi := y.atLeast(spanOf(ys...))
	for _, l := range limits {
		if math.Abs(l.At-(lo+hi)/2) < 1.2*(hi-lo) {
			lo, hi = math.Min(lo, l.At), math.Max(hi, l.At)
		}
	}
	p.y = lay(y, lo, hi, p.bottom, p.top).upwards()
	p.left = leftOf(p.y)
	p.right = math.Min(math.Max(p.right, p.left+15*float64(len(x.Words))), p.left+1040)
	p.c.w = math.Max(p.c.w, p.right+224)
	end := p.to
	for _, b := range beyond {
		for _, v := range b {
			end = math.Max(end, v)
		}
	}
	p.x = lay(x, p.from, end, p.left, p.right).widened(0.03, 0.05).along()
}

// beyond hatches what was not studied.
func (p *curves) beyond() {
	if p.x.of.Words != nil {
		return
	}
	for _, s := range [][2]float64{{p.left, p.x.at(p.from)}, {p.x.at(p.to), p.right}} {
		p.c.rect(s[0], p.top, math.Max(0, s[1]-s[0]), p.bottom-p.top, "fill", "url(#beyond)")
	}
}

// margin lays the margin of a single line's plateau over its stretch.
func (p *curves) margin() {
	if len(p.lines) != 1 || p.lines[0].Verdict == nil || !p.lines[0].Verdict.Plateau {
		return
	}
	l, v := &p.lines[0], p.lines[0].Verdict
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, x := range l.X {
		if x >= v.From && !math.IsNaN(l.Y[i]) {
			lo, hi = math.Min(lo, l.Y[i]), math.Max(hi, l.Y[i])
		}
	}
	if lo > hi {
		return
	}
	x0, x1 := p.x.at(v.From), p.x.at(p.to)
	y0, y1 := p.y.at((lo+hi)/2+v.Margin/2), p.y.at((lo+hi)/2-v.Margin/2)
	if math.IsNaN(y0 + y1) {
		return
	}
	y0, y1 = math.Max(y0, p.top), math.Min(y1, p.bottom)
	p.c.rect(x0, y0, x1-x0, y1-y0, "fill", hair)
	for _, y := range []float64{y0, y1} {
		p.c.line(x0, y, x1+26, y, "stroke", ink, "stroke-width", "0.6")
	}
	p.c.upSpan(x1+20, y0, y1)
	p.c.line(x0, y1, x0, p.bottom, "stroke", ink, "stroke-width", "0.6", "stroke-dasharray", "2 2")
}

// bands draws what is known of each line: between numbers as a tint, at words as a bar with ends.
func (p *curves) bands() {
	for i := range p.lines {
		l := &p.lines[i]
		if l.Low == nil || l.High == nil || p.many() {
			continue
		}
		if p.x.of.Words == nil {
			p.band(l)
			continue
		}
		for k, x := range l.X {
			p.c.whisker(p.x.at(x)+p.aside(i), p.y.at(l.Low[k]), p.y.at(l.High[k]), ink2)
		}
	}
}

// band tints what is known of a line; points that lie on the same half of a pixel are drawn as one, as wide as they all.
func (p *curves) band(l *StudyLine) {
	var u, lo, hi []float64
	for k, x := range l.X {
		at, low, high := p.x.at(x), p.y.at(l.Low[k]), p.y.at(l.High[k])
		if n := len(u) - 1; n > 0 && at-u[n] < 0.5 && k+1 < len(l.X) && !math.IsNaN(low+high+lo[n]+hi[n]) {
			lo[n], hi[n] = math.Max(lo[n], low), math.Min(hi[n], high) // downwards on the paper
			continue
		}
		u, lo, hi = append(u, at), append(lo, low), append(hi, high)
	}
	band(p.c, u, lo, hi, &onPaperFrame)
}

// onPaperFrame takes places on the paper as they are.
var onPaperFrame = frame{left: 0, right: 1, top: 0, bottom: 1, x: axis{0, 1, 1}, y: axis{1, 0, 1}}

// aside keeps the marks of several lines at one word apart.
func (p *curves) aside(i int) float64 {
	if p.x.of.Words == nil || len(p.lines) < 2 {
		return 0
	}
	each := math.Min(10, 0.6*math.Abs(p.x.at(1)-p.x.at(0))/float64(len(p.lines)))
	return each * (float64(i) - float64(len(p.lines)-1)/2)
}

// limits draws the fences of the response that the picture reaches.
func (p *curves) limits(limits []Limit) {
	for _, l := range limits {
		if y := p.y.at(l.At); y >= p.top-0.01 && y <= p.bottom+0.01 {
			p.c.fence([]vertex{{p.left, y}, {p.right, y}}, l.Most)
		}
	}
}

// strokes draws the lines; the stretch of a plateau is heavy where several lines share the picture. Words are not joined.
func (p *curves) strokes() {
	if p.x.of.Words != nil {
		return
	}
	for i := range p.lines {
		l := &p.lines[i]
		one := p.stroke(i)
		if p.many() { // pale first, ink where the constraints are met
			whole := *one
			whole.colour = line
			if d := p.trace(l.X, l.Y, p.from); d != "" {
				p.c.path(d, whole.stroke()...)
			}
		}
		if d := p.trace(l.X, p.meeting(l), p.from); d != "" {
			p.c.path(d, one.stroke()...)
		}
		if v := l.Verdict; v != nil && v.Plateau && len(p.lines) > 1 {
			if d := p.trace(l.X, l.Y, v.From); d != "" {
				p.c.path(d, "fill", "none", "stroke", ink, "stroke-width", p.heavy(), "stroke-linejoin", "round")
			}
		}
	}
}

// many tells that the lines are too many for marks, bands and dashes of their own.
func (p *curves) many() bool { return len(p.lines) > mostLines }

// meeting is a line without what misses the constraints, where that is told by the line itself.
func (p *curves) meeting(l *StudyLine) []float64 {
	if !p.many() {
		return l.Y
	}
	y := append([]float64(nil), l.Y...)
	for k, f := range l.Fate {
		if f != Meets {
			y[k] = math.NaN()
		}
	}
	return y
}

// heavy is the width of a plateau's stretch.
func (p *curves) heavy() string {
	if p.many() {
		return "1.8"
	}
	return "3"
}

func (p *curves) stroke(i int) *curve {
	one := &curve{colour: ink, width: 1.3}
	if p.many() {
		one.width = 0.7
	} else if len(p.lines) > 1 {
		one.dash = dashes[i%len(dashes)]
	}
	return one
}

// trace is a line's way on the paper from a place on.
func (p *curves) trace(x, y []float64, from float64) string {
	var u, v []float64
	for k := range x {
		if x[k] >= from*(1-1e-12) || x[k] >= from {
			u, v = append(u, p.x.at(x[k])), append(v, p.y.at(y[k]))
		}
	}
	d, _ := trace(u, v, &onPaperFrame)
	return d
}

// trendStroke is how what fitted curves suggest is drawn.
var trendStroke = []string{"stroke", ink2, "stroke-width", "1", "stroke-dasharray", "7 3 1.5 3"}

// trends draws what fitted curves suggest, with their names at their ends.
func (p *curves) trends() {
	for i := range p.lines {
		if v := p.lines[i].Verdict; v != nil {
			for _, t := range v.Trends {
				if d := p.trace(t.X, t.Y, math.Inf(-1)); d != "" {
					p.c.path(d, append([]string{"fill", "none"}, trendStroke...)...)
				}
			}
		}
	}
}

// marks draws the variants: dots on the lines, crosses at the foot for those that failed.
func (p *curves) marks() {
	size := 2.6
	if len(p.lines) > 1 {
		size = 2.1
	}
	for i := range p.lines {
		l := &p.lines[i]
		x, y := p.x.places(l.X), p.y.places(l.Y)
		for k := range x {
			x[k] += p.aside(i)
			if l.Fate[k] == Failed {
				y[k] = p.bottom - 7
			}
		}
		for _, k := range thinned(x, y, 3) {
			if f := l.Fate[k]; f == Failed || !p.many() || p.x.of.Words != nil {
				p.c.variant(f, x[k], y[k], size, ink)
			}
		}
	}
}

// key explains marks that are not plain dots, and how many lines are told apart.
func (p *curves) key(y float64) float64 {
	var has [3]bool
	plateau, trend := false, false
	for i := range p.lines {
		for _, f := range p.lines[i].Fate {
			has[f] = true
		}
		if v := p.lines[i].Verdict; v != nil {
			plateau, trend = plateau || v.Plateau, trend || len(v.Trends) > 0
		}
	}
	x := p.left
	swatch := func(words string, style ...string) {
		p.c.line(x, y+8, x+22, y+8, style...)
		p.c.text(names, x+28, y+12, "start", words, "fill", ink2)
		x += 28 + widthOf(names, words) + 20
	}
	had := x
	if p.many() && has[Misses] && p.x.of.Words == nil {
		swatch("misses a constraint", "stroke", line, "stroke-width", "0.9")
		has[Misses] = false
	}
	if plateau && len(p.lines) > 1 {
		swatch("plateau", "stroke", ink, "stroke-width", p.heavy())
	}
	if trend && len(p.lines) > 1 { // of a single line they carry names
		swatch("fitted curves: a suggestion, not a result", trendStroke...)
	}
	if has[Misses] || has[Failed] {
		p.c.fates(x, y+12, has)
		x++
	}
	if x > had {
		y += 14
	}
	return y
}
