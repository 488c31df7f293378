package figure

import (
	"math"
	"strings"
)

// Catch is what windows of other sizes catch.
type Catch struct {
	Size      []float64 // mm
	Share     []float64 // 1
	Low, High []float64 // 1, at 95 %; nil: not known
	Other     []float64 // 1, of windows of the other shape at the same sizes; nil: not drawn
	Name      string    // of the windows: "square windows by their width"
	OtherName string
	At        float64 // mm, the window's own
	AtSays    string
	Coarse    bool // cast with few rays: the lines may still move
}

// sizes lays a level axis of window sizes in mm, from nothing, and tells how many of the sizes lie on it.
func (f *frame) sizes(size []float64) (n int) {
	_, most := spanOf(size)
	step := niceStep(most, int(math.Max(3, (f.right-f.left)/50)))
	f.x = axis{0, math.Floor(most/step+1e-9) * step, step}
	for n < len(size) && size[n] <= f.x.hi*(1+1e-9) {
		n++
	}
	return n
}

// numberSizes numbers an axis of sizes.
func (f *frame) numberSizes(c *canvas) {
	for i := range int(math.Round(f.x.hi/f.x.step)) + 1 {
		v := f.x.lo + float64(i)*f.x.step
		c.text(numbers, f.px(v), f.bottom+15, "middle", Number(v, decimalsOf(f.x.step)))
	}
}

// coarsely is the dash of a line that may still move.
func coarsely(coarse bool, style ...string) []string {
	if coarse {
		style = append(style, "stroke-dasharray", "5 2.5")
	}
	return style
}

// Intercept draws the share of the reflected light that a window catches over its size, with what is known of it.
func Intercept(title string, says []string, k Catch, at Place) []byte {
	c := newCanvas(historyWidth, 0, title, "Share of the reflected light that a window catches over its size; "+k.AtSays)
	f := frame{left: 86, right: 700, y: axis{0, 1, 0.1}}
	caption, left, beside := "Share caught of what the mirrors throw back", 20.0, historyWidth-720.0
	own, other := "this shape", k.OtherName+" (dotted)"
	if at.onPage() {
		c.w = math.Max(at.Wide, 300)
		f.left, f.right, f.top, f.y.step = 42, c.w-74, 30, 0.2
		f.bottom = math.Max(at.High, 190) - 40
		left, beside = 0, 60
		own, _, _ = strings.Cut(k.Name, " windows")
		other, _, _ = strings.Cut(k.OtherName, " windows")
		other += ", dotted"
	} else {
		f.top = c.head(title, says...) + 26
		f.bottom = f.top + 320
	}
	n := f.sizes(k.Size)
	c.text(captions, left, f.top-16, "start", caption)
	f.uprights(c)
	f.grid(c, "%", 0.01)
	f.numberSizes(c)
	c.text(names, f.right, f.bottom+34, "end", k.Name+" [mm]", "fill", ink2)
	if k.Low != nil {
		band(c, k.Size[:n], k.Low[:n], k.High[:n], &f)
	}
	y := f.top + 4
	if d, last := trace(k.Size[:n], k.Share[:n], &f); d != "" {
		c.path(d, coarsely(k.Coarse, "fill", "none", "stroke", ink, "stroke-width", "1.4", "stroke-linejoin", "round")...)
		y = c.lines(names, f.right+12, f.py(last)+4, 14, "start", wrap(names, own, beside)) + 4
	}
	if k.Other != nil {
		if d, _ := trace(k.Size[:n], k.Other[:n], &f); d != "" {
			c.path(d, "fill", "none", "stroke", ink2, "stroke-width", "1", "stroke-dasharray", "2 2")
			c.lines(names, f.right+12, y, 14, "start", wrap(names, other, beside), "fill", ink2)
		}
	}
	if x := f.px(k.At); x > f.left && x < f.right {
		y := f.py(between(k.Size, k.Share, k.At))
		c.path("M"+px(x)+" "+px(f.bottom)+"V"+px(y)+"H"+px(f.left), "fill", "none", "stroke", pen, "stroke-width", "0.8", "stroke-dasharray", "2 2")
		c.circle(x, y, 3, "fill", ink)
		says := k.AtSays
		if at.onPage() { // there is little room beside the curve
			says = strings.TrimPrefix(says, "window of ")
		}
		if at.onPage() && x+8+widthOf(names, says) > f.right {
			c.text(names, x-6, f.bottom-7, "end", says, halo()...)
		} else {
			c.text(names, x+8, y+18, "start", says, halo()...)
		}
	}
	switch {
	case k.Low != nil && at.onPage() && f.right-f.left < widthOf(names, k.Name+" [mm]")+70: // no room to say it
	case k.Low != nil && at.onPage():
		c.text(names, f.left, f.bottom+34, "start", "tint: 95"+thin+"%", "fill", ink2)
	case k.Low != nil:
		c.lines(names, f.right+12, f.bottom-26, 14, "start", wrap(names, "tint: 95"+thin+"% band of the dish's errors", beside), "fill", ink2)
	}
	c.h = f.bottom + 50
	if at.onPage() {
		c.h = f.bottom + 40
	}
	return c.bytes()
}
