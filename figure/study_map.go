package figure

import (
	"fmt"
	"math"
)

// Terrain is a response over two axes of a study.
type Terrain struct {
	X, Y    Studied
	U, V    []float64 // levels of X and of Y, rising
	F       []float64 // the response, U running fastest; NaN: none
	Fate    []Fate    // of each
	Borders []Border
	Best    int // number of the best variant in F; -1: none
}

// Border is the limit of a constraint with the values of what it asks of.
type Border struct {
	Limit
	F []float64
}

// terrain is a map being drawn.
type terrain struct {
	Terrain
	c                        *canvas
	of                       Studied
	x, y                     *ladder
	left, right, top, bottom float64
	scale                    scale
	tint                     func(v float64) string
	room                     room
	bestX, bestY, bestF      float64
	wide, tall               float64  // of a cell, px
	rows                     []string // names of the levels upwards
	unsaid                   []string // limits whose words have no room on their fence
	thinnedOut               []string // which levels are not drawn
	told                     bool     // every cell carries its number
}

// StudyMap draws a response over two axes: between numbers with four levels or more as tints with lines of equal value,
// else as a table of tinted cells with their numbers. Temperatures take the colours of temperature, anything else greys
// in equal steps. The limits of constraints are fences, what misses one is hatched, a failed variant is bare paper with a
// cross, and the best one is ringed.
func StudyMap(title string, says []string, of Studied, m Terrain) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("%s over %s and %s", of.Name, m.X.Name, m.Y.Name))
	d := &terrain{Terrain: m, c: c, of: of, right: 700}
	d.measure()
	d.fewer()
	if d.inCells() {
		d.table()
	}
	d.top = c.head(title, says...) + 26
	c.text(captions, 20, d.top-14, "start", fit(captions, d.of.named(), c.w-40))
	d.hatch()
	if d.inCells() {
		d.cells()
	} else {
		d.contours()
	}
	if !d.told {
		d.rule()
	}
	d.key()
	return c.bytes()
}

// measure takes a power of ten out of the values and lays the scale.
func (d *terrain) measure() {
	lo, hi := d.of.atLeast(spanOf(d.F))
	power := powerOf(math.Max(math.Abs(lo), math.Abs(hi)))
	if power != 0 {
		per := math.Pow(10, float64(power))
		down := func(v []float64) []float64 {
			out := make([]float64, len(v))
			for i := range v {
				out[i] = v[i] / per
			}
			return out
		}
		d.F = down(d.F)
		lo, hi = lo/per, hi/per
		d.of.Unit = inPowers(power, d.of.Unit)
	}
	tick := niceStep(hi-lo, 8)
	d.scale = scale{math.Floor(lo/tick+1e-9) * tick, math.Ceil(hi/tick-1e-9) * tick, tick / 2}
	d.tint = d.scale.tint
	if !d.of.Degrees {
		d.tint = func(v float64) string {
			n := math.Max(1, math.Round((d.scale.high-d.scale.low)/d.scale.step)-1)
			k := math.Floor((v-d.scale.low)/d.scale.step + 1e-9)
			return toned(math.Max(0, math.Min(n, k)) / n)
		}
	}
}

// inCells tells that a table is drawn: lines between so few levels, or between words, would claim too much.
func (d *terrain) inCells() bool {
	return d.X.Words != nil || d.Y.Words != nil || len(d.U) < 4 || len(d.V) < 4
}

// hatch defines the hatching of what misses a constraint, for pale and for dark ground.
func (d *terrain) hatch() {
	d.c.raw("<defs>")
	for _, k := range [2][3]string{{"misses-cold", ink, "0.45"}, {"misses-hot", sheet, "0.6"}} {
		d.c.pattern(k[0], 6, 6, 0, "M-1 7L7 -1", "stroke", k[1], "stroke-opacity", k[2], "stroke-width", "0.7")
	}
	d.c.raw("</defs>\n")
}

// inkOn is the ink that reads on the tint of a value, and the other one.
func (d *terrain) inkOn(v float64) (text, other string) {
	if d.scale.share(v) > 0.58 {
		return sheet, ink
	}
	return ink, sheet
}

// number prints a value to the digits that the scale's steps tell apart.
func (d *terrain) number(v float64) string {
	return Number(v, decimalsOf(niceStep(d.scale.high-d.scale.low, 60)))
}

// marked adds to the look of a number that it is a temperature, where it is.
func (d *terrain) marked(look []string) []string {
	if d.of.Unit == degree {
		return append(look, "class", celsius)
	}
	return look
}

// rule draws the scale with the least and the most, and the key of the marks.
func (d *terrain) rule() {
	x, top := d.right+130.0, d.top+14
	high := math.Min(math.Max(d.bottom-d.top-28, 150), 300)
	d.c.h = math.Max(d.c.h, top+high+50)
	d.c.tintRule(d.scale, x, top, high, fit(captions, d.of.Unit, d.c.w-x-4), d.tint)
	least, most := math.Inf(1), math.Inf(-1)
	for _, v := range d.F {
		if !math.IsNaN(v) {
			least, most = math.Min(least, v), math.Max(most, v)
		}
	}
	if least <= most {
		y := []float64{top + high*(1-d.scale.share(most)), top + high*(1-d.scale.share(least))}
		at := append([]float64(nil), y...)
		moveApart(at, 15, top, top+high)
		for i, words := range []string{"most " + d.number(most), "least " + d.number(least)} {
			d.c.path("M"+px(x-1)+" "+px(y[i])+"l-8 -3v6Z", "fill", ink)
			d.c.text(names, x-12, at[i]+4, "end", words, d.marked(halo())...)
		}
	}
}

// key explains what is not said at its place.
func (d *terrain) key() {
	var has [3]bool
	for _, f := range d.Fate {
		has[f] = true
	}
	left := math.Min(d.left, 70)
	x, y := left, d.c.h-12
	entry := func(words string, swatch func(x, y float64)) {
		w := widthOf(names, words) + 52
		if x+w > d.c.w-10 && x > left {
			x, y = left, y+20
			d.c.h += 20
		}
		swatch(x, y-11)
		d.c.text(names, x+32, y, "start", words, "fill", ink2)
		x += w
	}
	if d.Best >= 0 && d.Best < len(d.F) {
		entry("the best that meets the constraints", func(x, y float64) {
			if d.inCells() {
				d.c.rect(x+1, y, 24, 14, "fill", "none", "stroke", ink, "stroke-width", "1.8")
			} else {
				d.ring(x+14, y+7, ink, sheet)
			}
		})
	}
	if has[Misses] {
		entry("misses a constraint", func(x, y float64) {
			d.c.rect(x, y, 26, 14, "fill", "url(#misses-cold)", "stroke", line, "stroke-width", "0.6")
		})
	}
	if has[Failed] {
		entry("failed or no value", func(x, y float64) { d.c.variant(Failed, x+14, y+7, 2.6, ink) })
	}
	for _, s := range d.unsaid {
		entry(s, func(x, y float64) { d.c.fence([]vertex{{x, y + 7}, {x + 26, y + 7}}, false) })
	}
	for _, s := range d.thinnedOut {
		entry(s, func(float64, float64) {})
	}
}

// ring marks the best variant.
func (d *terrain) ring(x, y float64, colour, other string) {
	d.c.circle(x, y, 6, "fill", "none", "stroke", other, "stroke-width", "4", "stroke-opacity", "0.8")
	d.c.circle(x, y, 6, "fill", "none", "stroke", colour, "stroke-width", "1.6")
	d.c.circle(x, y, 1.8, "fill", colour)
}
