package figure

import "math"

// ladder lays an axis of numbers, of numbers that go by ratio or of words from one place on the paper to another.
type ladder struct {
	of       Studied
	lo, hi   float64 // as laid: logarithms where it goes by ratio
	from, to float64 // px
	ticks    []tick
	unit     string // stands once, at the last tick
}

// lay begins a ladder over a range; steps go by ratio only above zero.
func lay(of Studied, lo, hi, from, to float64) *ladder {
	if of.Words != nil {
		lo, hi = -0.5, math.Max(float64(len(of.Words)), 1)-0.5
		of.Ratio = false
	}
	if of.Ratio = of.Ratio && lo > 0; of.Ratio {
		lo, hi = math.Log(lo), math.Log(hi)
	}
	return &ladder{of: of, lo: lo, hi: hi, from: from, to: to}
}

// widened gives room before and after, in shares of the range.
func (l *ladder) widened(before, after float64) *ladder {
	if l.of.Words == nil {
		d := l.hi - l.lo
		l.lo, l.hi = l.lo-before*d, l.hi+after*d
	}
	return l
}

// at is the place of a value on the paper; none for what a ratio cannot reach.
func (l *ladder) at(v float64) float64 {
	if l.of.Ratio {
		if !(v > 0) {
			return math.NaN()
		}
		v = math.Log(v)
	}
	return l.from + (v-l.lo)/(l.hi-l.lo)*(l.to-l.from)
}

// within is the place of a value, or the end that it lies beyond.
func (l *ladder) within(v float64) float64 {
	x := l.at(v)
	return math.Max(math.Min(l.from, l.to), math.Min(math.Max(l.from, l.to), x))
}

// places are those of many values.
func (l *ladder) places(v []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = l.at(v[i])
	}
	return out
}

// ends are the values at both ends.
func (l *ladder) ends() (lo, hi float64) {
	if l.of.Ratio {
		return math.Exp(l.lo), math.Exp(l.hi)
	}
	return l.lo, l.hi
}

// upwards numbers a ladder that stands upright and widens it to whole steps.
func (l *ladder) upwards() *ladder {
	n := max(2, int(math.Abs(l.to-l.from)/38))
	switch {
	case l.of.Words != nil:
		l.words()
	case l.of.Ratio:
		l.byRatio(func(n int) bool { return float64(n)*16 <= math.Abs(l.to-l.from) })
	default:
		step := niceStep(l.hi-l.lo, n)
		l.lo, l.hi = math.Floor(l.lo/step+1e-9)*step, math.Ceil(l.hi/step-1e-9)*step
		l.steps(step)
	}
	return l
}

// along numbers a ladder that lies level, with no label in another's way.
func (l *ladder) along() *ladder {
	switch {
	case l.of.Words != nil:
		l.words()
	case l.of.Ratio:
		l.byRatio(func(int) bool { return l.apart() })
	default:
		for n := 10; n >= 1; n-- {
			if l.steps(niceStep(l.hi-l.lo, n)); l.apart() {
				break
			}
		}
	}
	return l
}

// label is the text of tick i, with the unit at the last.
func (l *ladder) label(i int) string {
	if i == len(l.ticks)-1 {
		return withUnit(l.ticks[i].text, l.unit)
	}
	return l.ticks[i].text
}

// apart tells whether level labels keep clear of one another.
func (l *ladder) apart() bool {
	free := math.Inf(-1)
	for i := range l.ticks {
		at, w := l.at(l.ticks[i].at), widthOf(numbers, l.label(i))
		if at-w/2 < free {
			return false
		}
		free = at + w/2 + 8
	}
	return true
}

func (l *ladder) words() {
	l.ticks = nil
	for i, w := range l.of.Words {
		l.ticks = append(l.ticks, tick{float64(i), w})
	}
}

// steps numbers even steps.
func (l *ladder) steps(step float64) {
	power := powerOf(math.Max(math.Abs(l.lo), math.Abs(l.hi)))
	per := math.Pow(10, float64(power))
	l.ticks, l.unit = nil, inPowers(power, l.of.Unit)
	for k := math.Ceil(l.lo/step - 1e-6); k*step <= l.hi+1e-6*step && len(l.ticks) < 100; k++ {
		l.ticks = append(l.ticks, tick{k * step, Number(k*step/per, decimalsOf(step/per))})
	}
}

// byRatio numbers decades and what stands between them, as finely as there is room; below a factor of about two, even steps.
func (l *ladder) byRatio(fits func(n int) bool) {
	lo, hi := l.ends()
	var best []tick
	l.unit = l.of.Unit
	for _, set := range [][]float64{{1}, {1, 3}, {1, 2, 5}, {1, 1.5, 2, 3, 5, 7}} {
		l.ticks = nil
		for e := math.Floor(math.Log10(lo)); e <= math.Log10(hi); e++ {
			for _, m := range set {
				if v := m * math.Pow(10, e); v >= lo*(1-1e-9) && v <= hi*(1+1e-9) {
					l.ticks = append(l.ticks, tick{v, sized(v)})
				}
			}
		}
		if fits(len(l.ticks)) && len(l.ticks) > len(best) {
			best = l.ticks
		}
	}
	if l.ticks = best; len(best) >= 3 {
		return
	}
	for n := 8; n >= 1; n-- {
		step := niceStep(hi-lo, n)
		l.ticks = nil
		for k := math.Ceil(lo/step - 1e-6); k*step <= hi+1e-6*step; k++ {
			l.ticks = append(l.ticks, tick{k * step, sized(k * step)})
		}
		if fits(len(l.ticks)) {
			break
		}
	}
	if len(l.ticks) < len(best) {
		l.ticks = best
	}
}

// sized prints a number of any size with up to three digits that count.
func sized(v float64) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return Number(v, 0)
	}
	e := int(math.Floor(math.Log10(math.Abs(v)) + 1e-9))
	if e >= 6 || e < -3 {
		m := v / math.Pow(10, float64(e))
		return shortened(m, 2) + thin + inPowers(e, "")
	}
	return shortened(v, max(0, 2-e))
}

// shortened prints a number without zeros at the end of its decimals.
func shortened(v float64, decimals int) string {
	for decimals > 0 {
		p := math.Pow(10, float64(decimals-1))
		if math.Abs(v*p-math.Round(v*p)) > 1e-6*math.Max(1, math.Abs(v*p)) {
			break
		}
		decimals--
	}
	return Number(v, decimals)
}

// numbered draws the marks of a ladder with their numbers: those of an axis of temperature so that a page can move them.
func (c *canvas) numbered(l *ladder, upright bool, draw func()) {
	if l.of.Unit != degree || l.of.Words != nil || l.of.Ratio || len(l.ticks) < 2 {
		draw()
		return
	}
	c.inDegrees(degrees{l.ticks[1].at - l.ticks[0].at, l.at(1) - l.at(0), upright, math.Min(l.from, l.to), math.Max(l.from, l.to)}, draw)
}

// drawUp draws the level lines of an upright ladder between two places, with their numbers on the left.
func (c *canvas) drawUp(l *ladder, left, right float64) {
	c.numbered(l, true, func() {
		for i := range l.ticks {
			y := l.at(l.ticks[i].at)
			colour := hair
			if l.of.Words == nil && (l.ticks[i].at == 0 || math.Abs(y-l.from) < 0.01) {
				colour = line
			}
			c.line(left, y, right, y, "stroke", colour, "stroke-width", "0.8")
			c.text(numbers, left-6, y+4, "end", l.label(i))
		}
	})
}

// leftOf is the room that an upright ladder's numbers take on the left.
func leftOf(l *ladder) float64 {
	room := plotLeft - 14.0
	for i := range l.ticks {
		room = math.Max(room, widthOf(numbers, l.label(i)))
	}
	return room + 14
}

// drawAlong draws the upright lines of a level ladder, with its numbers below and its name under them on the right, and
// returns the height of the next line of text. Words are turned over two lines, or thinned where there are too many.
func (c *canvas) drawAlong(l *ladder, top, bottom float64) float64 {
	if l.of.Words != nil {
		return c.wordsAlong(l, names, bottom)
	}
	c.numbered(l, false, func() {
		for i := range l.ticks {
			x := l.at(l.ticks[i].at)
			c.line(x, top, x, bottom, "stroke", hair, "stroke-width", "0.8")
			c.text(numbers, x, bottom+15, "middle", l.label(i))
		}
	})
	return bottom + 32
}

func (c *canvas) wordsAlong(l *ladder, style int, bottom float64) float64 {
	n := len(l.ticks)
	if n == 0 {
		return bottom + 32
	}
	each := math.Abs(l.to-l.from) / float64(n)
	foot := bottom + 16
	if each < 46 { // too narrow to read level: they stand upright
		longest := 0.0
		every := max(1, int(math.Ceil(14/each)))
		for i := 0; i < n; i += every {
			x, word := l.at(l.ticks[i].at), fit(numbers, l.ticks[i].text, 150)
			longest = math.Max(longest, widthOf(numbers, word))
			c.line(x, bottom, x, bottom+4, "stroke", line, "stroke-width", "0.8")
			c.text(numbers, x+4, bottom+9, "end", word, "transform", "rotate(-90 "+px(x+4)+" "+px(bottom+9)+")")
		}
		return bottom + 9 + longest + 18
	}
	for _, t := range l.ticks {
		x := l.at(t.at)
		c.line(x, bottom, x, bottom+4, "stroke", line, "stroke-width", "0.8")
		foot = math.Max(foot, c.lines(style, x, bottom+17, 14, "middle", wrap(style, t.text, each-8)))
	}
	return foot + 6
}
