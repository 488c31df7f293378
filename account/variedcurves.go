package account

import (
	"encoding/binary"
	"fmt"
	"math"
	"sort"

	"emberbank/answer"
	"emberbank/figure"
)

// fewLines is how many values of the other axes a picture of curves tells apart.
const fewLines = 6

// sweeps draws each response of a sweep: over one axis as curves, over two as a map, or both where a picture of curves stays
// legible. With more axes, all but two are held at their middle.
func (p *variedPictures) sweeps() {
	levels := make([][]float64, len(p.Axes))
	var wide []int
	for k := range p.Axes {
		if levels[k] = p.levels(k); len(levels[k]) > 1 {
			wide = append(wide, k)
		}
	}
	if len(wide) == 0 {
		return
	}
	for r := range p.Responses {
		if !anyFinite(p.values(r)) {
			continue
		}
		along, asked := p.along(r, wide, levels)
		others := 1
		for _, k := range wide {
			if k != along {
				others *= len(levels[k])
			}
		}
		if others <= fewLines || asked && others <= 60 {
			p.curves(r, along, p.groups(along))
		}
		if up := upwards(wide, along, levels); up >= 0 && (len(levels[up]) > 2 || others > fewLines) && len(levels[along]) > 2 {
			p.terrain(r, along, up, levels)
		}
	}
}

// along is the axis over which a response is drawn: that of a question about a plateau, else numbers before words and more
// levels before fewer.
func (p *variedPictures) along(r int, wide []int, levels [][]float64) (axis int, asked bool) {
	for i := range p.Answers {
		if a := p.Answers[i].Plateau; a != nil && a.Response == r && len(levels[a.Axis]) > 1 {
			return a.Axis, true
		}
	}
	axis = wide[0]
	for _, k := range wide[1:] {
		words, best := p.Axes[k].Words != nil, p.Axes[axis].Words != nil
		if best && !words || best == words && len(levels[k]) > len(levels[axis]) {
			axis = k
		}
	}
	return axis, false
}

// upwards is the axis of a map that stands upright: of the others the one with most levels; none: −1.
func upwards(wide []int, along int, levels [][]float64) int {
	up := -1
	for _, k := range wide {
		if k != along && (up < 0 || len(levels[k]) > len(levels[up])) {
			up = k
		}
	}
	return up
}

// levels are the different values of an axis, rising.
func (p *variedPictures) levels(k int) []float64 {
	seen := map[float64]bool{} // looked up, never walked
	var out []float64
	for i := range p.Variants {
		if x := p.Variants[i].At[k]; !seen[x] {
			seen[x] = true
			out = append(out, x)
		}
	}
	sort.Float64s(out)
	return out
}

// groups are the variants for each combination of the values of the other axes, each by rising values of the axis, in
// the order in which the combinations come.
func (p *variedPictures) groups(along int) [][]int {
	place := map[string]int{} // looked up, never walked
	var out [][]int
	key := make([]byte, 0, 8*len(p.Axes))
	for i := range p.Variants {
		key = key[:0]
		for k, x := range p.Variants[i].At {
			if k != along {
				key = binary.LittleEndian.AppendUint64(key, math.Float64bits(x))
			}
		}
		n, known := place[string(key)]
		if !known {
			n = len(out)
			place[string(key)] = n
			out = append(out, nil)
		}
		out[n] = append(out[n], i)
	}
	for _, g := range out {
		sort.SliceStable(g, func(a, b int) bool { return p.Variants[g[a]].At[along] < p.Variants[g[b]].At[along] })
	}
	return out
}

// judgedCurves draws the responses of a sample or a search that were judged over an axis.
func (p *variedPictures) judgedCurves() {
	type pair struct{ response, axis int }
	drawn := map[pair]bool{} // looked up alone
	for i := range p.Answers {
		a := p.Answers[i].Plateau
		if a == nil || drawn[pair{a.Response, a.Axis}] {
			continue
		}
		drawn[pair{a.Response, a.Axis}] = true
		var groups [][]int
		for k := range p.Answers {
			if b := p.Answers[k].Plateau; b != nil && b.Response == a.Response && b.Axis == a.Axis {
				groups = append(groups, b.Group)
			}
		}
		p.curves(a.Response, a.Axis, groups)
	}
}

// curves adds the picture of a response over an axis, a line for each group.
func (p *variedPictures) curves(r, along int, groups [][]int) {
	answers := map[int]*VariedAnswer{} // by the first variant of what was judged; looked up alone
	for i := range p.Answers {
		if a := p.Answers[i].Plateau; a != nil && a.Response == r && a.Axis == along && len(a.Group) > 0 {
			answers[a.Group[0]] = &p.Answers[i]
		}
	}
	m := measureOf(&p.Responses[r], p.values(r))
	name := p.Responses[r].Name
	title, says := name+" over "+p.Axes[along].Name, []string(nil)
	banded := false
	var lines []figure.StudyLine
	for _, g := range groups {
		l := p.line(r, along, g, m)
		for _, i := range g {
			if a := answers[i]; a != nil {
				p.judged(&l, a, g, m)
				banded = banded || l.Low != nil
				if len(groups) == 1 {
					title, says = a.Question, first(a.Sentences, 2)
				} else {
					title = "Is there a plateau of " + name + " over " + p.Axes[along].Name + "?"
				}
			}
		}
		if len(groups) > 1 {
			l.Name = p.place(&p.Variants[g[0]], along)
		}
		lines = append(lines, l)
	}
	if banded && len(groups) <= fewLines {
		says = append(says, "Tint: 95\u2009%, from what is known of computing and of carried inputs.")
	}
	var at []float64
	for _, l := range lines {
		at = append(at, l.X...)
	}
	sort.Float64s(at)
	x, y := p.axis(along, distinct(at)), p.response(r, m)
	p.add("curve", name, func() []byte { return figure.StudyCurves(title, says, x, y, lines, p.limits(r, m)) })
}

// line is the values of a group over an axis.
func (p *variedPictures) line(r, along int, group []int, m measure) figure.StudyLine {
	var l figure.StudyLine
	for _, i := range group {
		o := &p.Variants[i]
		l.X, l.Y, l.Fate = append(l.X, p.drawnAt(along, o.At[along])), append(l.Y, m.of(o.value(r))), append(l.Fate, p.fate(o, r))
	}
	return l
}

// drawnAt is a place on an axis as it is drawn: words by their number.
func (p *variedPictures) drawnAt(k int, x float64) float64 {
	if p.Axes[k].Words != nil {
		return x
	}
	return p.Axes[k].Shown(x)
}

// judged adds the verdict and the band to the line of a group.
func (p *variedPictures) judged(l *figure.StudyLine, a *VariedAnswer, group []int, m measure) {
	j := a.Plateau
	if j.Half != nil {
		half := map[int]float64{} // looked up alone
		for n, i := range j.Group {
			half[i] = m.width(j.Half[n])
		}
		l.Low, l.High = make([]float64, len(group)), make([]float64, len(group))
		for n, i := range group {
			h, ok := half[i]
			if !ok {
				h = math.NaN()
			}
			l.Low[n], l.High[n] = l.Y[n]-h, l.Y[n]+h
		}
	}
	f, axis := &j.Found, &p.Axes[j.Axis]
	show := func(x float64) string { return unbroken(axis.Show(x)) }
	v := &figure.StudyVerdict{
		Plateau: a.Verdict == answer.Flattened.String(), From: p.drawnAt(j.Axis, f.From), Margin: m.width(f.Margin),
		Above: p.drawnAt(j.Axis, f.Above), Margins: m.response.Amount(f.Margin, true),
	}
	switch {
	case v.Plateau:
		v.Says = "plateau from " + show(f.From) + "\u00a0on"
	case a.Verdict == answer.StillChanging.String():
		v.Says = "still changing: no limit within this range"
	case a.Verdict == answer.Approaching.String():
		v.Says = "not within this range, by the trend"
	case f.Verdict == answer.Flattened:
		v.Says = "not claimed: no uncertainty is stated"
	default:
		v.Says = "not decided within this range"
	}
	if !v.Plateau {
		if !math.IsNaN(f.Above) {
			v.Says += "; if any, above " + show(f.Above)
		}
		v.Trends = p.trends(j, m)
	}
	l.Verdict = v
}

// trends lays out what fitted curves suggest, from the tail that was judged to half as far again, or to where a plateau would
// show itself if that is nearer.
func (p *variedPictures) trends(j *VariedPlateau, m measure) (out []figure.StudyTrend) {
	f := &j.Found
	end := 1.5 * f.TailTo
	for _, t := range []*answer.Trend{f.Exponential, f.Power} {
		if t == nil || !(f.TailFrom > 0) {
			continue
		}
		one := figure.StudyTrend{Name: map[string]string{"exponential": "declining exponential"}[t.Kind]}
		if one.Name == "" {
			one.Name = t.Kind
		}
		if !math.IsInf(t.Limit, 0) && !math.IsNaN(t.Limit) {
			one.Limit = m.response.Amount(t.Limit, false)
		}
		for i := range 41 {
			x := f.TailFrom + (end-f.TailFrom)*float64(i)/40
			if y := m.of(t.At(x)); !math.IsNaN(y) && !math.IsInf(y, 0) {
				one.X, one.Y = append(one.X, p.drawnAt(j.Axis, x)), append(one.Y, y)
			}
		}
		if len(one.X) > 1 {
			out = append(out, one)
		}
	}
	return out
}

// terrain adds the map of a response over two axes; all others are held at their middle level.
func (p *variedPictures) terrain(r, along, up int, levels [][]float64) {
	m := measureOf(&p.Responses[r], p.values(r))
	t := figure.Terrain{X: p.axis(along, levels[along]), Y: p.axis(up, levels[up]), Best: -1}
	held := "" // what the other axes are held at
	at := make([]float64, len(p.Axes))
	for k := range p.Axes {
		if k != along && k != up && len(levels[k]) > 0 {
			at[k] = levels[k][len(levels[k])/2]
			if len(levels[k]) > 1 {
				held += ", " + p.Axes[k].Name + " at " + unbroken(p.Axes[k].Show(at[k]))
			}
		}
	}
	column, row := placesOf(levels[along]), placesOf(levels[up])
	for _, x := range levels[along] {
		t.U = append(t.U, p.drawnAt(along, x))
	}
	for _, x := range levels[up] {
		t.V = append(t.V, p.drawnAt(up, x))
	}
	n := len(t.U) * len(t.V)
	t.F, t.Fate = missing(n), make([]figure.Fate, n)
	for i := range t.Fate {
		t.Fate[i] = figure.Failed
	}
	var of []int // responses of the borders
	var as []measure
	for i := range p.Constraints {
		c := &p.Constraints[i]
		cm := measureOf(&p.Responses[c.Response], p.values(c.Response))
		for _, l := range p.limit(c, cm) {
			t.Borders = append(t.Borders, figure.Border{Limit: l, F: missing(n)})
			of, as = append(of, c.Response), append(as, cm)
		}
	}
	for i := range p.Variants {
		o := &p.Variants[i]
		inside := true
		for k := range at {
			inside = inside && (k == along || k == up || o.At[k] == at[k])
		}
		if !inside {
			continue
		}
		cell := column[o.At[along]] + len(t.U)*row[o.At[up]]
		t.F[cell], t.Fate[cell] = m.of(o.value(r)), p.fate(o, r)
		for b, c := range of {
			t.Borders[b].F[cell] = as[b].of(o.value(c))
		}
	}
	name := p.Responses[r].Name
	title := fmt.Sprintf("%s over %s and %s", name, p.Axes[along].Name, p.Axes[up].Name)
	var says []string
	if held != "" {
		says = append(says, "Held"+held[1:]+"; the table holds all.")
	}
	shown := p.response(r, m)
	p.add("map", name, func() []byte { return figure.StudyMap(title, says, shown, t) })
}

func placesOf(levels []float64) map[float64]int {
	out := map[float64]int{} // looked up, never walked
	for i, x := range levels {
		out[x] = i
	}
	return out
}

func missing(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.NaN()
	}
	return out
}
