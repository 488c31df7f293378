package figure

import (
	"fmt"
	"math"

	"emberbank/heat"
)

// Chain draws the resistances between the block and the water of one pass at one time, link by link: height is temperature,
// on the degrees from low to top in degC, so that the steepest link is the one that limits. Wide and high, in px, are the
// room that it takes.
func Chain(c *heat.Chain, wide, high float64, degrees Range) []byte {
	d := chain{c: newCanvas(math.Max(wide, 300), math.Max(high, 200), "What limits pass "+c.Pass, "")}
	d.of = c
	for i := range c.Links {
		if l := &c.Links[i]; math.Abs(l.Share) >= 0.0005 {
			d.links = append(d.links, l)
		}
	}
	d.c.text(captions, 0, 14, "start", d.c.title)
	d.left, d.right, d.top, d.foot = 34, d.c.w-12, 40, 34
	for _, l := range d.links {
		d.foot = math.Max(d.foot, 21+13*float64(len(d.named(l))))
	}
	d.bottom = d.c.h - d.foot - 12
	low, top := c.Block-zeroC, c.Block-zeroC
	if degrees.Fixed { // its height is temperature: nothing may stand beyond it
		low, top, degrees.Fixed = math.Min(low, degrees.Low), math.Max(top, degrees.Top), low >= degrees.Low && top <= degrees.Top
	}
	d.scale = degrees.scale(low, top)
	d.axis()
	d.draw()
	return d.c.bytes()
}

// chain is a chain being drawn.
type chain struct {
	c                        *canvas
	of                       *heat.Chain
	links                    []*heat.Link // those that take a part of the drop
	left, right, top, bottom float64
	foot                     float64 // room for what is said below
	scale                    scale
}

func (d *chain) y(celsius float64) float64 {
	return d.bottom - (d.bottom-d.top)*d.scale.share(celsius)
}

// axis draws the degrees.
func (d *chain) axis() {
	step := niceStep(d.scale.high-d.scale.low, 5)
	d.c.inDegrees(degrees{step, d.y(1) - d.y(0), true, d.top, d.bottom}, func() {
		for k := math.Ceil(d.scale.low/step - 1e-9); k*step <= d.scale.high*(1+1e-12)+1e-9; k++ {
			y := d.y(k * step)
			d.c.line(d.left, y, d.right, y, "stroke", hair, "stroke-width", "0.8")
			d.c.text(numbers, d.left-6, y+4, "end", Number(k*step, decimalsOf(step)), "fill", ink2)
		}
	})
	d.c.text(numbers, d.left-6, d.top-12, "end", degree, "fill", ink2)
}

// draw draws the links one beside the other and says how much of the drop each takes.
func (d *chain) draw() {
	begin := d.of.Block - zeroC
	if len(d.links) == 0 {
		d.c.line(d.left, d.y(begin), d.right, d.y(begin), "stroke", line, "stroke-width", "1.2", "stroke-dasharray", "4 3")
		d.c.text(numbers, d.left+4, d.y(begin)-6, "start", "block "+Number(begin, 1), d.degrees()...)
		d.c.text(names, d.left+4, d.c.h-14, "start", "No heat flows to pass "+d.of.Pass+": it is "+d.of.State+".", "fill", ink2)
		d.c.desc = "No heat flows; the pass is " + d.of.State + "."
		return
	}
	all := d.drop()
	step := (d.right - d.left) / float64(len(d.links))
	T := []float64{begin}
	for _, l := range d.links {
		T = append(T, T[len(T)-1]-l.Share*all)
	}
	d.band(T, step)
	greatest := 0
	for i, l := range d.links {
		if l.Share > d.links[greatest].Share {
			greatest = i
		}
		if i > 0 {
			x := d.left + float64(i)*step
			d.c.line(x, d.y(T[i])+8, x, d.c.h-d.foot-11, "stroke", hair, "stroke-width", "0.8")
		}
	}
	for i, l := range d.links {
		d.says(l, d.left+(float64(i)+0.5)*step, all, i == greatest)
		d.c.desc += fmt.Sprintf("%s %s, %s K. ", l.Name, Percent(l.Share), Number(l.Share*all, 1))
	}
	d.c.text(numbers, d.left+4, d.y(begin)-9, "start", "block "+Number(begin, 1), d.degrees()...)
	d.endsAt("water in "+Number(T[len(T)-1], 1), T, step)
}

// degrees is how a temperature on the way is written.
func (d *chain) degrees() []string { return append(halo(), "class", celsius) }

// endsAt names the end of the way, above all of it that lies under the name.
func (d *chain) endsAt(name string, T []float64, step float64) {
	from := d.right - widthOf(numbers, name) - 4
	y := d.y(T[len(T)-1])
	for i, t := range T {
		x := d.left + float64(i)*step
		if i > 0 && x >= from { // where the name begins, the way may still be high
			f := math.Max(0, (from-x+step)/step)
			y = math.Min(y, math.Min(d.y(t), d.y(T[i-1]+f*(t-T[i-1]))))
		}
	}
	d.c.text(numbers, d.right, y-9, "end", name, d.degrees()...)
}

// drop is what lies between the block's mean and the water that comes in, K. The links before the water's own lead to its mean.
func (d *chain) drop() float64 {
	before := 0.0
	for i := range d.of.Links {
		if n := d.of.Links[i].Name; n != "water heating up" && n != "boiling point" {
			before += d.of.Links[i].Share
		}
	}
	if math.Abs(before) < 1e-9 {
		return 0
	}
	return (d.of.Block - d.of.Water) / before
}

// band draws the way down through the links in the colours of its temperatures.
func (d *chain) band(T []float64, step float64) {
	d.c.open("defs")
	d.c.open("linearGradient", "id", "way", "gradientUnits", "userSpaceOnUse", "x1", px(d.left), "y1", "0", "x2", px(d.right), "y2", "0")
	const each = 6
	n := each * (len(T) - 1)
	for i := range n + 1 {
		k := min(i/each, len(T)-2)
		f := float64(i)/each - float64(k)
		d.c.raw("<stop" + attributes([]string{"offset", fmt.Sprintf("%.4f", float64(i)/float64(n)), "stop-color", tinted(d.scale.share(T[k] + f*(T[k+1]-T[k])))}) + "/>")
	}
	d.c.close("linearGradient")
	d.c.close("defs")
	var upper, lower polyline
	const half = 4.5
	for i, t := range T {
		x := d.left + float64(i)*step
		if i == 0 {
			upper.move(x, d.y(t)-half)
			lower.move(x, d.y(t)+half)
			continue
		}
		upper.to(x, d.y(t)-half)
		lower.to(x, d.y(t)+half)
	}
	var whole polyline
	for i, t := range T {
		if x := d.left + float64(i)*step; i == 0 {
			whole.move(x, d.y(t)-half)
		} else {
			whole.to(x, d.y(t)-half)
		}
	}
	for i := len(T) - 1; i >= 0; i-- {
		whole.to(d.left+float64(i)*step, d.y(T[i])+half)
	}
	whole.close()
	d.c.path(whole.String(), "fill", "url(#way)")
	for _, p := range []*polyline{&upper, &lower} {
		d.c.path(p.String(), "fill", "none", "stroke", ink, "stroke-width", "0.6", "stroke-linejoin", "round")
	}
}

// named is a link's name in lines that fit below it.
func (d *chain) named(l *heat.Link) []string {
	return wrap(names, l.Name, math.Max((d.right-d.left)/float64(len(d.links))-4, 30))
}

// says names a link below the drawing, with its share of the drop and its kelvins.
func (d *chain) says(l *heat.Link, x, all float64, greatest bool) {
	weight := []string{}
	if greatest {
		weight = []string{"font-weight", "600"}
	}
	y := d.c.lines(names, x, d.c.h-d.foot, 13, "middle", d.named(l), weight...)
	d.c.text(numbers, x, y, "middle", Percent(l.Share), weight...)
	d.c.text(numbers, x, y+14, "middle", Number(l.Share*all, 1)+thin+"K", "fill", ink2)
}
