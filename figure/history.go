package figure

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"emberbank/heat"
	"emberbank/history"
)

// The history picture's frame, px.
const (
	historyWidth = 960
	plotLeft     = 62
	plotRight    = 790 // names of lines stand to the right of it
	rowHeight    = 13.5
)

// curve is a line in a plot.
type curve struct {
	name   string
	values []float64
	colour string
	width  float64
	dash   string // of the line, "" for a whole one
	text   string // colour of the name, where it is not that of the line
	area   bool
}

// dashes tell lines of one colour apart, one after the other, also in print and without colour. None is a dash that means
// something elsewhere (coarse, trend, not yet drawn, dry bed, event).
var dashes = []string{"", "11 3", "3.5 2.5", "11 3 3.5 3", "1.2 2.4"}

// History draws the temperatures over time and below them the heat flows, with what was switched marked at the
// top. Every line carries its name at its right end.
func History(r *heat.Result, title string) []byte {
	return historyRoom{historyWidth, plotRight}.draw(r, title).bytes()
}

// HistoryFor is History laid out for a width in px, so far as its names leave room for the lines: else it comes out wider.
func HistoryFor(r *heat.Result, title string, wide float64) []byte {
	wide = math.Max(wide, leastHistory)
	right := wide - (historyWidth - plotRight)
	c := historyRoom{wide, right}.draw(r, title)
	for range 3 { // names may ask for more room than is left to them
		if c.w <= wide || right <= plotLeft+leastPlot {
			break
		}
		right = math.Max(right-(c.w-wide), plotLeft+leastPlot)
		c = historyRoom{wide, right}.draw(r, title)
	}
	return c.bytes()
}

// Least widths of a history and of its plots, px.
const (
	leastHistory = 420
	leastPlot    = 160
)

// historyRoom is where a history stands, px: its plots end at right, and names follow up to wide.
type historyRoom struct{ wide, right float64 }

// draw draws a history into its room; the canvas is wider where names ask for it.
func (in historyRoom) draw(r *heat.Result, title string) *canvas {
	h := &r.History
	temperatures, flows := curvesOf(h)
	marks := layMarks(r, in.right)
	top := 44 + rowHeight*float64(marks.rows) + 12
	upper := frame{left: plotLeft, right: in.right, top: top, bottom: top + 300}
	lower := frame{left: plotLeft, right: in.right, top: upper.bottom + 34, bottom: upper.bottom + 34 + 130}
	c := newCanvas(in.wide, lower.bottom+52, title, describe(r))
	c.text(sentence, 20, 28, "start", fit(sentence, title, in.wide-40))

	t0, t1 := 0.0, 1.0
	if n := len(h.Time); n > 0 {
		t0, t1 = h.Time[0], h.Time[n-1]
	}
	if t1 <= t0 {
		t1 = t0 + 1
	}
	clock := clockOver((t1 - t0) * math.Max(1, 0.6*(plotRight-plotLeft)/(in.right-plotLeft)))
	upper.x, lower.x = axis{t0, t1, clock.step}, axis{t0, t1, clock.step}
	upper.fitTo(temperatures, false)
	lower.fitTo(flows, true)
	unit, per := "W", 1.0
	if lower.y.hi >= 3000 || lower.y.lo <= -3000 {
		unit, per = "kW", 1000
	}

	for _, f := range []frame{upper, lower} {
		for t := math.Ceil(t0/clock.step-1e-9) * clock.step; t <= t1*(1+1e-12); t += clock.step {
			c.line(f.px(t), f.top, f.px(t), f.bottom, "stroke", hair, "stroke-width", "0.8")
		}
	}
	upper.grid(c, degree, 1)
	lower.grid(c, unit, per)
	c.text(captions, in.right+18, upper.top+4, "start", "Temperature")
	c.text(captions, in.right+18, lower.top+4, "start", "Heat flow")
	for t := math.Ceil(t0/clock.step-1e-9) * clock.step; t <= t1*(1+1e-12); t += clock.step {
		label := Number(t/clock.size, clock.decimals)
		if t+clock.step > t1*(1+1e-12) {
			label += thin + clock.unit // the unit stands once, at the last number
		}
		c.text(numbers, lower.px(t), lower.bottom+16, "middle", label)
	}

	drawMarks(c, r, marks, upper, lower, in.wide)
	plot(c, h.Time, upper, temperatures)
	plot(c, h.Time, lower, flows)
	if r.Stopped != "" {
		c.text(names, 20, c.h-10, "start", fit(names, "ended after "+Span(r.Ended)+": "+r.Stopped, in.wide-40))
	}
	return c
}

// curvesOf are the lines of a history.
func curvesOf(h *history.History) (temperatures, flows []curve) {
	lost := make([]float64, len(h.Time))
	anyLost := false
	probes := 0
	for _, c := range h.Columns {
		switch {
		case len(c.Values) != len(h.Time):
		case c.Quantity == history.Temperature:
			v := make([]float64, len(c.Values))
			for i, T := range c.Values {
				v[i] = T - zeroC
			}
			one := curve{name: c.Name, values: v, colour: ink, width: 1.2}
			if c.Name == "block mean" { // a broad pale line, on which those of single places are seen
				one.width, one.colour, one.text = 4, line, ink2
			}
			if strings.HasPrefix(c.Name, "circuit ") {
				if _, leaves := outletOf(c.Name); !leaves { // a wall's temperature is for the pictures of circuits
					continue
				}
				one.colour = water
			}
			if !anyNumber(v) {
				continue
			}
			if one.colour == ink {
				one.dash = dashes[probes%len(dashes)]
				probes++
			}
			temperatures = append(temperatures, one)
		case c.Quantity == history.HeatFlow && c.Name == "absorbed":
			if !anyNonzero(c.Values) { // no light fell at all: nothing to name
				continue
			}
			flows = append(flows, curve{name: "light taken in", values: c.Values, colour: ink, width: 0.8, area: true})
		case c.Quantity == history.HeatFlow && c.Name == "heat to passes":
			flows = append(flows, curve{name: "to the passes", values: c.Values, colour: water, width: 1.6})
		case c.Quantity == history.HeatFlow && strings.HasPrefix(c.Name, "lost "):
			anyLost = true
			for i, v := range c.Values {
				lost[i] += v
			}
		}
	}
	if anyLost {
		flows = append(flows, curve{name: "lost", values: lost, colour: ink2, width: 1.2})
	}
	return temperatures, flows
}

func anyNumber(v []float64) bool {
	for _, x := range v {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			return true
		}
	}
	return false
}

func anyNonzero(v []float64) bool {
	for _, x := range v {
		if x != 0 && !math.IsNaN(x) {
			return true
		}
	}
	return false
}

// describe says the picture in a sentence, for those who do not see it.
func describe(r *heat.Result) string {
	c := r.History.Column("block mean")
	if c == nil || len(c.Values) == 0 {
		return "Temperatures and heat flows over time."
	}
	n := len(c.Values) - 1
	return fmt.Sprintf("Temperatures and heat flows over %s. The block's mean starts at %s %s and ends at %s %s.",
		Span(r.Ended), Number(c.Values[0]-zeroC, 1), degree, Number(c.Values[n]-zeroC, 1), degree)
}

// axis is a range with its step of ticks.
type axis struct{ lo, hi, step float64 }

// frame is a plot's area, px, with its axes.
type frame struct {
	left, right, top, bottom float64
	x, y                     axis
}

func (f *frame) px(t float64) float64 {
	return f.left + (t-f.x.lo)/(f.x.hi-f.x.lo)*(f.right-f.left)
}

func (f *frame) py(v float64) float64 {
	return f.bottom - (v-f.y.lo)/(f.y.hi-f.y.lo)*(f.bottom-f.top)
}

// fitTo lays the vertical axis over the curves; heat flows always show their zero.
func (f *frame) fitTo(curves []curve, zero bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range curves {
		for _, v := range c.values {
			if !math.IsNaN(v) && !math.IsInf(v, 0) {
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
		}
	}
	if lo > hi {
		lo, hi = 0, 1
	}
	if zero {
		lo, hi = math.Min(lo, 0), math.Max(hi, 0)
	}
	if hi-lo < 1e-6*math.Max(1, math.Abs(hi)) { // an even line stands in the middle
		lo, hi = lo-1, hi+1
		if zero {
			lo = 0
		}
	}
	n := int((f.bottom - f.top) / 38)
	step := niceStep(hi-lo, n)
	f.y = axis{math.Floor(lo/step+1e-9) * step, math.Ceil(hi/step-1e-9) * step, step}
}

// grid draws the level lines with their numbers and, at the top, the unit.
func (f *frame) grid(c *canvas, unit string, per float64) {
	n := int(math.Round((f.y.hi - f.y.lo) / f.y.step))
	decimals := decimalsOf(f.y.step / per)
	draw := func() {
		for i := 0; i <= n; i++ {
			v := f.y.lo + float64(i)*f.y.step
			colour := hair
			if math.Abs(v) < 1e-9*f.y.step {
				colour = line
			}
			if i > 0 {
				c.line(f.left, f.py(v), f.right, f.py(v), "stroke", colour, "stroke-width", "0.8")
			}
			label := Number(v/per, decimals)
			if i == n {
				label += thin + unit // the unit stands once, at the top number
			}
			c.text(numbers, f.left-6, f.py(v)+4, "end", label)
		}
	}
	if unit == degree {
		c.inDegrees(degrees{f.y.step, f.py(1) - f.py(0), true, f.top, f.bottom}, draw)
	} else {
		draw()
	}
	c.line(f.left, f.bottom, f.right, f.bottom, "stroke", line, "stroke-width", "0.8")
}

// plot draws curves with their names: on the line where it runs clear of the others, else at the right end.
func plot(c *canvas, times []float64, f frame, curves []curve) {
	for _, one := range curves {
		if one.area {
			if a := areaUnder(times, one.values, &f); a != "" {
				c.path(a, "fill", light, "stroke", "none")
			}
		}
	}
	for _, one := range curves {
		if d, _ := trace(times, one.values, &f); d != "" {
			c.path(d, one.stroke()...)
		}
	}
	onLine := nameOnLines(c, times, f, curves)
	labels := gather(times, f, curves, onLine)
	foot := f.bottom
	most := int((foot-f.top-20)/rowHeight) + 1 // the caption stands above them
	more := 0
	if len(labels) > most {
		for _, l := range labels[most-1:] {
			more += l.curves
		}
		labels = labels[:most-1]
		foot -= rowHeight // the last row counts the rest
	}
	y := make([]float64, len(labels))
	for i := range labels {
		y[i] = labels[i].at
	}
	moveApart(y, rowHeight, f.top+20, foot)
	x := f.right + 18
	if sampled(curves) {
		x += 22
	}
	for _, l := range labels {
		c.w = math.Max(c.w, math.Min(x+widthOf(names, l.name)+8, 1300))
	}
	for i, l := range labels {
		c.path("M"+px(f.right+1)+" "+px(l.at)+"L"+px(f.right+14)+" "+px(y[i]), "fill", "none", "stroke", line, "stroke-width", "0.6")
		if x > f.right+20 { // a piece of the line itself
			c.path("M"+px(f.right+15)+" "+px(y[i])+"L"+px(x-3)+" "+px(y[i]), l.of.stroke()...)
		}
		c.text(names, x, y[i]+4, "start", fit(names, l.name, c.w-x-6), "fill", l.of.named())
	}
	if more > 0 {
		c.text(names, x, f.bottom+4, "start", fmt.Sprintf("and %d more", more), "fill", ink2)
	}
}

// stroke is how a curve's line is drawn.
func (one *curve) stroke() []string {
	s := []string{"fill", "none", "stroke", one.colour, "stroke-width", px(one.width), "stroke-linejoin", "round"}
	if one.dash != "" {
		s = append(s, "stroke-dasharray", one.dash)
	}
	return s
}

// named is the colour of a curve's name.
func (one *curve) named() string {
	if one.text != "" {
		return one.text
	}
	return one.colour
}

// sampled tells whether names need a piece of their line beside them: where lines are told apart by their kind.
func sampled(curves []curve) bool {
	for i := range curves {
		if curves[i].dash != "" {
			return true
		}
	}
	return false
}

// label is a name at the right end of a plot.
type label struct {
	name   string
	of     *curve
	at     float64 // px
	curves int
}

// gather lists the names of the curves that are not named on their lines, from top to bottom. Outlets of circuits
// that run as one line share a name.
func gather(times []float64, f frame, curves []curve, onLine []bool) []label {
	var labels []label
	taken := make([]bool, len(curves))
	for i, one := range curves {
		d, last := trace(times, one.values, &f)
		if d == "" || onLine[i] || taken[i] {
			continue
		}
		l := label{one.name, &curves[i], f.py(last), 1}
		if circuit, ok := outletOf(one.name); ok {
			together := []string{circuit}
			for o := i + 1; o < len(curves); o++ {
				if other, ok := outletOf(curves[o].name); ok && !onLine[o] && !taken[o] && asOne(one.values, curves[o].values, &f) {
					together, taken[o] = append(together, other), true
				}
			}
			if l.curves = len(together); l.curves > 1 {
				l.name = "outlets " + strings.Join(together, ", ")
				if widthOf(names, l.name) > historyWidth-plotRight-24 {
					l.name = fmt.Sprintf("outlets of %d circuits", l.curves)
				}
			}
		}
		labels = append(labels, l)
	}
	sort.SliceStable(labels, func(i, j int) bool { return labels[i].at < labels[j].at })
	return labels
}

func outletOf(name string) (circuit string, ok bool) {
	if rest, found := strings.CutPrefix(name, "circuit "); found {
		return strings.CutSuffix(rest, " outlet")
	}
	return "", false
}

// asOne tells whether two curves lie within the width of a line everywhere.
func asOne(a, b []float64, f *frame) bool {
	for i := range a {
		if math.IsNaN(a[i]) != math.IsNaN(b[i]) || math.Abs(f.py(a[i])-f.py(b[i])) > 1.2 {
			return false
		}
	}
	return true
}

// moveApart shifts rising positions so that neighbours are at least gap apart and all stay within lo..hi where
// there is room. Clusters are centred on the mean of their wishes.
func moveApart(y []float64, gap, lo, hi float64) {
	type cluster struct {
		sum  float64 // of wishes less the offset in the cluster
		n    int
		from float64
	}
	var stack []cluster
	place := func(k cluster) float64 {
		at := k.sum / float64(k.n)
		at = math.Min(at, hi-gap*float64(k.n-1))
		return math.Max(at, lo)
	}
	for _, w := range y {
		k := cluster{sum: w, n: 1}
		k.from = place(k)
		for len(stack) > 0 {
			p := stack[len(stack)-1]
			if p.from+gap*float64(p.n) <= k.from {
				break
			}
			k = cluster{sum: p.sum + k.sum - gap*float64(p.n*k.n), n: p.n + k.n}
			k.from = place(k)
			stack = stack[:len(stack)-1]
		}
		stack = append(stack, k)
	}
	i := 0
	for _, k := range stack {
		for j := range k.n {
			y[i] = k.from + gap*float64(j)
			i++
		}
	}
}

// trace builds a curve's path; gaps stay open. Points that add less than a fifth of a pixel are left out.
func trace(times, values []float64, f *frame) (d string, last float64) {
	var p polyline
	down := false
	lx, ly := 0.0, 0.0
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			down = false
			continue
		}
		last = v
		x, y := f.px(times[i]), f.py(v)
		switch {
		case !down:
			p.move(x, y)
		case math.Abs(x-lx) < 0.2 && math.Abs(y-ly) < 0.2 && i+1 < len(values):
			continue
		default:
			p.to(x, y)
		}
		down, lx, ly = true, x, y
	}
	return p.String(), last
}

func areaUnder(times, values []float64, f *frame) string {
	var p polyline
	any := false
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			v = 0
		}
		if v != 0 {
			any = true
		}
		if i == 0 {
			p.move(f.px(times[i]), f.py(0))
		}
		p.to(f.px(times[i]), f.py(v))
	}
	if !any {
		return ""
	}
	p.to(f.px(times[len(times)-1]), f.py(0))
	p.close()
	return p.String()
}

// clock is how times are counted along the axis.
type clock struct {
	step     float64 // s
	size     float64 // s per unit
	unit     string
	decimals int
}

func clockOver(span float64) clock {
	for _, k := range []clock{
		{1, 1, "s", 0},
		{2, 1, "s", 0},
		{5, 1, "s", 0},
		{10, 1, "s", 0},
		{15, 1, "s", 0},
		{30, 1, "s", 0},
		{60, 60, "min", 0},
		{120, 60, "min", 0},
		{300, 60, "min", 0},
		{600, 60, "min", 0},
		{900, 60, "min", 0},
		{1200, 60, "min", 0},
		{1800, 3600, "h", 1},
		{3600, 3600, "h", 0},
		{7200, 3600, "h", 0},
		{10800, 3600, "h", 0},
		{21600, 3600, "h", 0},
		{43200, 3600, "h", 0},
		{86400, 86400, "d", 0},
		{172800, 86400, "d", 0},
		{432000, 86400, "d", 0},
	} {
		if span/k.step <= 10 {
			if k.step == 1 && span < 4 {
				break
			}
			return k
		}
	}
	step := niceStep(span, 8)
	if span < 4 {
		return clock{step, 1, "s", decimalsOf(step)}
	}
	step = niceStep(span/86400, 8)
	return clock{step * 86400, 86400, "d", 0}
}
