package figure

import (
	"fmt"
	"math"
)

// Searched is one axis of a search: where its variants stood, and how far the best may move along it and count as good.
type Searched struct {
	Axis      Studied
	X         []float64 // of each variant
	Low, High float64   // NaN: not known
}

// Optimum draws the variants of a search for one aim over each axis: the best ringed, and below each
// axis, as a dimension line, how far the best may move along it alone and be as good.
func Optimum(title string, says []string, of Studied, y []float64, fate []Fate, best int, limits []Limit, panels []Searched) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("%s of %d variants over %d axes", of.Name, len(y), len(panels)))
	top := c.head(title, says...) + 26
	const tall, gap, right = 200.0, 30.0, 916.0
	lo, hi := of.atLeast(spanOf(y))
	c.text(captions, 20, top-12, "start", fit(captions, of.named(), 900))
	columns := max(1, min(3, len(panels)))
	probe := lay(of, lo, hi, top+tall, top).widened(0.04, 0.04).upwards()
	left := leftOf(probe)
	each := (right - left - gap*float64(columns-1)) / float64(columns)
	foot := top
	for i := range panels {
		if i%columns == 0 && i > 0 {
			top = foot + 30
		}
		from := left + float64(i%columns)*(each+gap)
		p := &panels[i]
		up := lay(of, lo, hi, top+tall, top).widened(0.04, 0.04).upwards()
		c.levels(up, from, from+each, i%columns == 0)
		a, b := spanOf(p.X)
		x := lay(p.Axis, a, b, from, from+each).widened(0.05, 0.05).along()
		below := c.drawAlong(x, top, top+tall)
		for _, l := range limits {
			if v := up.at(l.At); v >= top && v <= top+tall {
				c.fence([]vertex{{from, v}, {from + each, v}}, l.Most)
			}
		}
		c.searched(x, up, p, y, fate, best)
		name := below + 2
		if p.Axis.Words == nil && !math.IsNaN(p.Low+p.High) {
			below += 18
			x0, x1, half := x.within(p.Low), x.within(p.High), widthOf(names, "as good")/2
			c.text(names, math.Max(from+half, math.Min(from+each-half, (x0+x1)/2)), below+15, "middle", "as good")
			c.extent(x0, x1, top+tall+belowNumbers, below, "", ink, ink)
			below += 15
		}
		c.text(names, from, name, "start", fit(names, p.Axis.Name, each), halo("fill", ink2)...)
		foot = math.Max(foot, below+6)
	}
	var has [3]bool
	for _, f := range fate {
		has[f] = true
	}
	has[Failed] = false // they stand nowhere
	foot += 26
	c.fates(left, foot, has)
	if best >= 0 && best < len(y) {
		c.circle(right-140, foot-4, 5.5, "fill", "none", "stroke", ink, "stroke-width", "1.4")
		c.circle(right-140, foot-4, 2.4, "fill", ink)
		c.text(names, right-128, foot, "start", "the best", "fill", ink2)
	}
	c.h = foot + 12
	return c.bytes()
}

// levels draws the level lines of an upright ladder, with its numbers where they are asked for.
func (c *canvas) levels(l *ladder, left, right float64, numbered bool) {
	if numbered {
		c.drawUp(l, left, right)
		return
	}
	for i := range l.ticks {
		y := l.at(l.ticks[i].at)
		c.line(left, y, right, y, "stroke", hair, "stroke-width", "0.8")
	}
}

// searched draws the variants over one axis.
func (c *canvas) searched(x, up *ladder, p *Searched, y []float64, fate []Fate, best int) {
	u, v := x.places(p.X), up.places(y)
	for _, k := range thinned(u, v, 3) {
		if fate[k] != Failed {
			c.variant(fate[k], u[k], v[k], 2, ink2)
		}
	}
	if best >= 0 && best < len(u) && !math.IsNaN(u[best]+v[best]) {
		c.circle(u[best], v[best], 5.5, "fill", "none", "stroke", ink, "stroke-width", "1.4")
		c.circle(u[best], v[best], 2.4, "fill", ink)
	}
}
