package figure

import (
	"fmt"
	"math"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/receiver"
)

// Cut is one variant's section on a sheet of several.
type Cut struct {
	Name     string
	Result   *heat.Result
	Receiver *receiver.Receiver
	Field    heat.Field
	Axis     block.Axis
	At       float64 // m
}

// Sections draws sections of several variants on one sheet, all to one scale of lengths and with one of temperatures, so
// that both can be compared by eye.
func Sections(title string, says []string, all []Cut, colours Range) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("Sections of %d variants to one scale", len(all)))
	if len(all) == 0 {
		c.h = c.head(title, says...)
		return c.bytes()
	}
	const left, gap, ruler, names2 = 20.0, 26.0, 128.0, 50.0
	columns := min(len(all), 3)
	if len(all) > 6 {
		columns = 4
	}
	each := (c.w-left-ruler)/float64(columns) - gap
	list, wide, high := laidOut(c, all)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, d := range list {
		a, b := Extremes(&d.f)
		lo, hi = math.Min(lo, a), math.Max(hi, b)
	}
	if lo > hi {
		lo, hi = 0, 1
	}
	perMetre := math.Min(each/wide, 340/high)
	tall := high * perMetre
	each = math.Max(wide*perMetre, math.Min(each, 210)) // names need room too
	c.w = math.Max(leastWidth, left+float64(columns)*(each+gap)+ruler)
	top := c.head(title, says...)
	scale := colours.scale(lo, hi)
	var s seen
	foot := top
	for i, d := range list {
		d.perMetre, d.scale = perMetre, scale
		d.width, d.height = d.width*perMetre, d.height*perMetre
		d.left = left + float64(i%columns)*(each+gap)
		y := top + float64(i/columns)*(tall+names2+gap)
		if i == 0 {
			d.defs()
		}
		words := wrap(names, all[i].Name, each)
		if len(words) > 3 {
			words = append(words[:2], fit(names, words[2]+" …", each))
		}
		c.lines(names, d.left, y+names2-8-14*float64(len(words)-1), 14, "start", words)
		d.bottom = y + names2 + d.height
		d.draw()
		d.look(&s)
		if d.even != "" {
			c.text(names, d.left, d.bottom+14, "start", d.even, "fill", ink2)
		}
		foot = math.Max(foot, y+names2+tall)
	}
	c.sheetRule(scale, lo, hi, left+float64(columns)*(each+gap)+ruler-76, top+names2, perMetre)
	c.h = foot + 24
	c.keyOf(&s, 20, c.w-20, foot+46)
	return c.bytes()
}

// laidOut begins the drawings, their sizes still in m, and tells the widest and the highest.
func laidOut(c *canvas, all []Cut) (list []*drawing, wide, high float64) {
	for i := range all {
		d := cutThrough(all[i].Result, all[i].Receiver, all[i].Field, all[i].Axis, all[i].At)
		d.c, d.clipName = c, fmt.Sprintf("in-block-%d", i+1)
		u, v := d.s.g.Lines[d.s.across], d.s.g.Lines[d.s.up]
		d.width, d.height = u[len(u)-1]-u[0], v[len(v)-1]-v[0]
		wide, high = math.Max(wide, d.width), math.Max(high, d.height)
		list = append(list, d)
	}
	return list, wide, high
}

// sheetRule draws the rule of temperatures and a length beside the sections.
func (c *canvas) sheetRule(s scale, lo, hi, x, top, perMetre float64) {
	const tall = 240.0
	c.tintRule(s, x, top, tall, degree, s.tint)
	for _, T := range [2]float64{hi, lo} {
		y := top + tall*(1-s.share(T))
		c.path("M"+px(x-1)+" "+px(y)+"l-8 -3v6Z", "fill", ink)
		c.text(numbers, x-12, y+4, "end", Number(T, 1), append(halo(), "class", celsius)...)
	}
	mm := niceStep(45/perMetre*1000, 1) // 45 to 113 px wide
	if w := mm / 1000 * perMetre; w < 120 {
		y := top + tall + 40
		c.span(x+56-w, x+56, y, ink)
		c.text(numbers, x+56-w/2, y-5, "middle", Number(mm, decimalsOf(mm))+thin+"mm")
	}
}
