package figure

import (
	"math"

	"emberbank/heat"
	"emberbank/receiver"
)

// stripHigh is the height of the curves under a section that moves, px.
const stripHigh = 150

// Moving draws a run's section at its fields one after the other, all of one size, for a place on a page: above each stands when it is, and
// below the temperatures over the whole run with a cursor at that time. A view without a fixed range of colours takes that of all fields,
// so that a colour keeps its meaning.
func Moving(r *heat.Result, rec *receiver.Receiver, v View, title string) [][]byte {
	if !v.Colours.Fixed {
		for i := range r.Fields {
			low, top := Extremes(&r.Fields[i])
			v.Colours.Low, v.Colours.Top = math.Min(v.Colours.Low, low), math.Max(v.Colours.Top, top)
		}
		low, top, _, _ := v.Colours.Rule()
		v.Colours = Range{Low: low, Top: top, Fixed: true}
	}
	high := 0.0
	drawn := make([]*drawing, len(r.Fields))
	for i, f := range r.Fields {
		v.Head = title + " after " + Span(f.Time)
		drawn[i] = sectionOf(r, rec, f, v)
		high = math.Max(high, drawn[i].c.h)
	}
	frames := make([][]byte, len(drawn))
	for i, d := range drawn {
		d.c.title, d.c.desc = title, "The section over time, with the temperatures below."
		d.strip(r, high+14)
		frames[i] = d.c.bytes()
	}
	return frames
}

// strip draws the temperatures over the whole run from y downwards, with a cursor at the field's time.
func (d *drawing) strip(r *heat.Result, y float64) {
	c := d.c
	c.h = y + stripHigh + 34
	times := r.History.Time
	if len(times) < 2 {
		return
	}
	temperatures, _ := curvesOf(&r.History)
	right := c.w - 26
	for i := range temperatures { // names that do not stand on their lines follow behind
		right = math.Min(right, c.w-widthOf(names, temperatures[i].name)-56)
	}
	f := frame{left: plotLeft, right: math.Max(right, plotLeft+leastPlot), top: y + 14, bottom: y + stripHigh}
	k := clockOver((times[len(times)-1] - times[0]) * math.Max(1, 300/(f.right-f.left)))
	f.x = axis{times[0], times[len(times)-1], k.step}
	f.fitTo(temperatures, false)
	f.grid(c, degree, 1)
	for t := math.Ceil(f.x.lo/k.step-1e-9) * k.step; t <= f.x.hi*(1+1e-12); t += k.step {
		label := Number(t/k.size, k.decimals)
		if t+k.step > f.x.hi*(1+1e-12) {
			label += thin + k.unit
		}
		c.text(numbers, f.px(t), f.bottom+16, "middle", label)
	}
	for _, e := range r.Events {
		if x := f.px(e.At); x >= f.left && x <= f.right {
			c.line(x, f.top, x, f.bottom, "stroke", ink, "stroke-width", "0.6", "stroke-dasharray", "2 2")
		}
	}
	wide := c.w
	plot(c, times, f, temperatures)
	c.w = wide
	if x := f.px(d.f.Time); x >= f.left-0.5 && x <= f.right+0.5 {
		c.line(x, f.top-8, x, f.bottom+4, "stroke", pen, "stroke-width", "1.6")
		c.path("M"+px(x-4)+" "+px(f.top-12)+"H"+px(x+4)+"L"+px(x)+" "+px(f.top-5)+"Z", "fill", pen)
	}
}
