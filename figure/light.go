package figure

import (
	"fmt"
	"math"
)

// Spot is the light in the plane of a window. Lengths are in m about the axis of what throws it, width first.
type Spot struct {
	Width, Height []float64  // m, rising
	Flux          []float64  // kW/m², width running fastest
	Window        [4]float64 // m: least and largest width, least and largest height
	Round         bool
	Peak          [2]float64 // m
	PeakSays      string
	WindowSays    string
}

// Flux draws the light in a window's plane: in steps of the light's colour, with lines of equal flux and their numbers, the
// window's edge, and the place where it is brightest. The flux is no temperature, and has none of its colours.
func Flux(title string, says []string, s Spot) []byte {
	c := newCanvas(historyWidth, 0, title, "Lines of equal flux in the plane of the window, whose edge is drawn")
	d := &terrain{c: c, left: 86, right: 626}
	d.top = c.head(title, says...) + 26
	wide, tall := s.Width[len(s.Width)-1]-s.Width[0], s.Height[len(s.Height)-1]-s.Height[0]
	scale := math.Min(540/wide, 540/tall) // one for both directions: a round spot is round
	d.right, d.bottom = d.left+wide*scale, d.top+tall*scale
	c.text(captions, 20, d.top-12, "start", "Flux [kW/m²]")
	p := &spot{Spot: s, d: d, scale: scale}
	p.steps()
	p.edge()
	p.lines()
	p.brightest()
	p.axes()
	p.rule()
	c.h = d.bottom + 56
	return c.bytes()
}

// spot is a Spot being drawn.
type spot struct {
	Spot
	d      *terrain
	scale  float64 // px/m
	step   float64 // kW/m²
	levels int
}

func (p *spot) x(w float64) float64 { return p.d.left + (w-p.Width[0])*p.scale }

func (p *spot) y(h float64) float64 { return p.d.bottom - (h-p.Height[0])*p.scale }

func (p *spot) nodes() *nodes {
	n := &nodes{f: p.Flux}
	for _, w := range p.Width {
		n.u = append(n.u, p.x(w))
	}
	for _, h := range p.Height {
		n.v = append(n.v, -p.y(h))
	}
	return n
}

// steps lays one veil of light upon the other, one for each step of the flux.
func (p *spot) steps() {
	_, most := spanOf(p.Flux)
	p.step = niceStep(most, 9)
	p.levels = int(math.Floor(most/p.step + 1e-9))
	n := p.nodes()
	for k := range p.levels {
		if way := around(n, p.step*float64(k+1)); way != "" {
			p.d.c.path(way, "fill", light, "fill-opacity", p.veil(), "fill-rule", "evenodd")
		}
	}
}

// veil is the opacity of one step: all together let a tenth of the paper through.
func (p *spot) veil() string {
	return fmt.Sprintf("%.3f", 1-math.Pow(0.1, 1/math.Max(1, float64(p.levels))))
}

// lines draws lines of equal flux with their numbers.
func (p *spot) lines() {
	n := p.nodes()
	p.d.room.take(patchOf(names, p.x(p.Peak[0])+9, p.y(p.Peak[1])-6, "start", p.PeakSays))
	for k := 1; k <= p.levels; k++ {
		level := p.step * float64(k)
		for _, l := range contours(n, level) {
			way := onPaper(l)
			p.d.c.path(wayOf(way), "fill", "none", "stroke", ink, "stroke-width", "0.6")
			p.d.onLine(way, numbers, Number(level, decimalsOf(p.step)), ink, sheet)
		}
	}
}

// edge draws the window.
func (p *spot) edge() {
	w := p.Window
	x0, x1, y0, y1 := p.x(w[0]), p.x(w[1]), p.y(w[3]), p.y(w[2])
	style := []string{"fill", "none", "stroke", ink, "stroke-width", "1.8"}
	if p.Round {
		p.d.c.circle((x0+x1)/2, (y0+y1)/2, (x1-x0)/2, style...)
	} else {
		p.d.c.rect(x0, y0, x1-x0, y1-y0, style...)
	}
	b := patchOf(names, (x0+x1)/2, y0-6, "middle", p.WindowSays)
	p.d.room.take(b)
	p.d.c.text(names, (x0+x1)/2, y0-6, "middle", p.WindowSays, halo()...)
}

// brightest marks where the flux is largest.
func (p *spot) brightest() {
	x, y := p.x(p.Peak[0]), p.y(p.Peak[1])
	p.d.c.path("M"+px(x-6)+" "+px(y)+"h12M"+px(x)+" "+px(y-6)+"v12", "fill", "none", "stroke", ink, "stroke-width", "1.4")
	p.d.c.text(names, x+9, y-6, "start", p.PeakSays, halo()...)
}

// axes numbers both directions in mm.
func (p *spot) axes() {
	c, d := p.d.c, p.d
	c.rect(d.left, d.top, d.right-d.left, d.bottom-d.top, "fill", "none", "stroke", line, "stroke-width", "0.8")
	along := func(at []float64, each func(v float64, s string)) {
		lo, hi := 1000*at[0], 1000*at[len(at)-1]
		step := niceStep(hi-lo, 7)
		for v := math.Ceil(lo/step) * step; v <= hi; v += step {
			each(v/1000, Number(v, decimalsOf(step)))
		}
	}
	along(p.Width, func(v float64, s string) {
		c.line(p.x(v), d.bottom, p.x(v), d.bottom+4, "stroke", ink, "stroke-width", "0.8")
		c.text(numbers, p.x(v), d.bottom+17, "middle", s)
	})
	along(p.Height, func(v float64, s string) {
		c.line(d.left-4, p.y(v), d.left, p.y(v), "stroke", ink, "stroke-width", "0.8")
		c.text(numbers, d.left-7, p.y(v)+4, "end", s)
	})
	c.text(names, d.right, d.bottom+36, "end", "width to the right, height upwards, from the dish's axis [mm]", "fill", ink2)
}

// rule shows the steps beside the map.
func (p *spot) rule() {
	c := p.d.c
	x, tall := p.d.right+60, math.Min(26, 420/float64(p.levels+1))
	bottom := p.d.top + tall*float64(p.levels+1) + 20
	for k := range p.levels + 1 {
		y := bottom - tall*float64(k+1)
		for range k {
			c.rect(x, y, 26, tall, "fill", light, "fill-opacity", p.veil())
		}
		c.rect(x, y, 26, tall, "fill", "none", "stroke", ink, "stroke-width", "0.6")
		c.text(numbers, x+34, y+tall+4, "start", Number(p.step*float64(k), decimalsOf(p.step)))
	}
	c.text(names, x, p.d.top+12, "start", "kW/m², from line to line", "fill", ink2)
}

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
}

// Intercept draws the share of the reflected light that a window catches over its size, with what is known of it.
func Intercept(title string, says []string, k Catch) []byte {
	c := newCanvas(historyWidth, 0, title, "Share of the reflected light that a window catches over its size")
	f := frame{left: 86, right: 700, y: axis{0, 1, 0.1}}
	f.top = c.head(title, says...) + 26
	f.bottom = f.top + 320
	_, most := spanOf(k.Size)
	step := niceStep(most, 8)
	f.x = axis{0, math.Floor(most/step+1e-9) * step, step}
	n := 0
	for n < len(k.Size) && k.Size[n] <= f.x.hi*(1+1e-9) {
		n++
	}
	c.text(captions, 20, f.top-12, "start", "Share caught of what the mirrors throw back")
	f.uprights(c)
	f.grid(c, "%", 0.01)
	for i := range int(math.Round(f.x.hi/f.x.step)) + 1 {
		v := float64(i) * f.x.step
		c.text(numbers, f.px(v), f.bottom+15, "middle", Number(v, decimalsOf(f.x.step)))
	}
	c.text(names, f.right, f.bottom+34, "end", k.Name+" [mm]", "fill", ink2)
	if k.Low != nil {
		band(c, k.Size[:n], k.Low[:n], k.High[:n], &f)
	}
	if k.Other != nil {
		if d, last := trace(k.Size[:n], k.Other[:n], &f); d != "" {
			c.path(d, "fill", "none", "stroke", ink2, "stroke-width", "1", "stroke-dasharray", "5 2.5")
			c.lines(names, f.right+12, f.py(last)+20, 14, "start", wrap(names, k.OtherName+" (dashed)", historyWidth-f.right-20), "fill", ink2)
		}
	}
	if d, last := trace(k.Size[:n], k.Share[:n], &f); d != "" {
		c.path(d, "fill", "none", "stroke", ink, "stroke-width", "1.4", "stroke-linejoin", "round")
		c.text(names, f.right+12, f.py(last)+4, "start", "this shape")
	}
	if x := f.px(k.At); x > f.left && x < f.right {
		y := f.py(between(k.Size, k.Share, k.At))
		c.path("M"+px(x)+" "+px(f.bottom)+"V"+px(y)+"H"+px(f.left), "fill", "none", "stroke", pen, "stroke-width", "0.8", "stroke-dasharray", "2 2")
		c.circle(x, y, 3, "fill", ink)
		c.text(names, x+8, y+16, "start", k.AtSays, halo()...)
	}
	if k.Low != nil {
		c.lines(names, f.right+12, f.bottom-26, 14, "start", wrap(names, "tint: 95"+thin+"% band of the dish's errors", historyWidth-f.right-20), "fill", ink2)
	}
	c.h = f.bottom + 50
	return c.bytes()
}
