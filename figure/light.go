package figure

import (
	"fmt"
	"math"

	"emberbank/block"
)

// Place is what a picture may take on a page, px. Without a width it is laid out for paper, with its title.
type Place struct{ Wide, High float64 }

func (p Place) onPage() bool { return p.Wide > 0 }

// Spot is the light in the plane of a window. Lengths are in m about the axis of what throws it, width first.
type Spot struct {
	Width, Height []float64  // m, rising
	Flux          []float64  // kW/m², width running fastest
	Window        [4]float64 // m: least and largest width, least and largest height
	Round         bool
	Given         []Given    // the window's lengths, of kind GivenWindow
	Peak          [2]float64 // m
	PeakSays      []string   // the flux there, then the caution at it
	WindowSays    string
	Coarse        bool // cast with few rays: the lines may still move
}

// Flux draws the light in a window's plane: in steps of the light's colour, with lines of equal flux and their numbers, the
// window's edge in the pen's blue with its lengths, and the place where it is brightest with the caution. The flux is no
// temperature, and has none of its colours.
func Flux(title string, says []string, s Spot, at Place) []byte {
	p := &spot{Spot: s, d: &terrain{c: newCanvas(historyWidth, 0, title, "")}}
	p.layOut(title, says, at)
	p.steps()
	p.edge()
	p.lines()
	p.lengths()
	p.brightest()
	p.axes()
	p.rule()
	p.d.c.desc = fmt.Sprintf("Lines of equal flux, each %s kW/m² more than the one around it, in the plane of the window. %s, at %s, %s mm from the dish's axis; %s.",
		Number(p.step, decimalsOf(p.step)), s.PeakSays[0], Number(1000*s.Peak[0], 0), Number(1000*s.Peak[1], 0), s.WindowSays)
	return p.d.c.bytes()
}

// spot is a Spot being drawn.
type spot struct {
	Spot
	d      *terrain
	scale  float64 // px/m
	step   float64 // kW/m²
	levels int
	page   bool
	foot   float64 // where the lengths along the width stand
}

// layOut finds room for the map, with one scale for both directions: a round spot is round.
func (p *spot) layOut(title string, says []string, at Place) {
	c, d := p.d.c, p.d
	wide, tall := p.Width[len(p.Width)-1]-p.Width[0], p.Height[len(p.Height)-1]-p.Height[0]
	mostWide, mostTall := 540.0, 540.0
	d.left = 86
	if p.page = at.onPage(); p.page {
		c.w = math.Max(at.Wide, 300)
		d.left, d.top = 66, 28
		mostWide, mostTall = c.w-d.left-66, math.Max(at.High, 240)-d.top-56
		c.text(captions, 0, 14, "start", "Light on the window's plane [kW/m²]")
	} else {
		d.top = c.head(title, says...) + 26
		c.text(captions, 20, d.top-12, "start", "Flux [kW/m²]")
	}
	p.scale = math.Min(mostWide/wide, mostTall/tall)
	d.right, d.bottom = d.left+wide*p.scale, d.top+tall*p.scale
	p.foot = d.bottom + 38
	c.h = d.bottom + 64
	if p.page {
		c.h = d.bottom + 46
	}
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
	p.d.room.take(p.note())
	stroke := []string{"fill", "none", "stroke", ink, "stroke-width", "0.6"}
	if p.Coarse {
		stroke = append(stroke, "stroke-dasharray", "5 2.5")
	}
	for k := 1; k <= p.levels; k++ {
		level := p.step * float64(k)
		for _, l := range contours(n, level) {
			way := onPaper(l)
			p.d.c.path(wayOf(way), stroke...)
			p.d.onLine(way, numbers, Number(level, decimalsOf(p.step)), ink, sheet)
		}
	}
}

// corners are where the window's edge lies on the paper.
func (p *spot) corners() (x0, x1, top, bottom float64) {
	w := p.Window
	return p.x(w[0]), p.x(w[1]), p.y(w[3]), p.y(w[2])
}

// edge draws the window.
func (p *spot) edge() {
	x0, x1, y0, y1 := p.corners()
	style := []string{"fill", "none", "stroke", pen, "stroke-width", "1.8"}
	if p.Round {
		p.d.c.circle((x0+x1)/2, (y0+y1)/2, (x1-x0)/2, style...)
	} else {
		p.d.c.rect(x0, y0, x1-x0, y1-y0, style...)
	}
	if p.page {
		return // its lengths stand beside it
	}
	b := patchOf(names, (x0+x1)/2, y0-6, "middle", p.WindowSays)
	p.d.room.take(b)
	p.d.c.text(names, (x0+x1)/2, y0-6, "middle", p.WindowSays, halo("fill", pen)...)
}

// lengths draws the window's lengths; those that are written in a file open where they stand.
func (p *spot) lengths() {
	c, d := p.d.c, p.d
	x0, x1, y0, y1 := p.corners()
	for i := range p.Given {
		g := &p.Given[i]
		if g.Axis == block.Height {
			at := d.left - 46
			for _, y := range []float64{y0, y1} {
				c.line(x0-3, y, at-4, y, "stroke", pen, "stroke-width", "0.6")
			}
			c.touchable(g, at, (y0+y1)/2, true, inMm(g.To-g.From), func() { c.dimension(at, y1, at, y0, g.To-g.From, pen) })
			continue
		}
		from := y1 + 3
		if p.Round {
			from = (y0+y1)/2 + 3
		}
		for _, x := range []float64{x0, x1} {
			c.line(x, from, x, p.foot+4, "stroke", pen, "stroke-width", "0.6")
		}
		c.touchable(g, (x0+x1)/2, p.foot, false, inMm(g.To-g.From), func() { c.dimension(x0, p.foot, x1, p.foot, g.To-g.From, pen) })
	}
}

// The note at the peak, px.
const (
	noteSign = 22.0 // for the sign
	noteLine = 14.0
)

// note is where the caution at the peak stands: in the upper corner that is farther from it, where little light falls.
func (p *spot) note() patch {
	wide := 0.0
	for _, s := range p.PeakSays {
		wide = math.Max(wide, widthOf(numbers, s))
	}
	wide += noteSign + 8
	high := noteLine*float64(len(p.PeakSays)) + 7
	b := patch{p.d.right - wide - 4, p.d.top + 4, p.d.right - 4, p.d.top + 4 + high}
	if p.x(p.Peak[0]) > (p.d.left+p.d.right)/2 {
		b.x0, b.x1 = p.d.left+4, p.d.left+4+wide
	}
	return b
}

// brightest marks where the flux is largest, with the sign of danger and what the light does there.
func (p *spot) brightest() {
	c := p.d.c
	x, y := p.x(p.Peak[0]), p.y(p.Peak[1])
	b := p.note()
	c.path("M"+px(x-6)+" "+px(y)+"h12M"+px(x)+" "+px(y-6)+"v12", "fill", "none", "stroke", ink, "stroke-width", "1.4")
	from := b.x0 + 12
	if b.x0 < x && b.x1 < x {
		from = b.x1 - 12
	}
	c.line(from, b.y1, x, y-8, "stroke", ink, "stroke-width", "0.6")
	c.rect(b.x0, b.y0, b.x1-b.x0, b.y1-b.y0, "fill", ground)
	c.danger(b.x0+5, b.y0+5)
	for i, s := range p.PeakSays {
		weight := "400"
		if i == 0 {
			weight = "600"
		}
		c.text(numbers, b.x0+noteSign, b.y0+14+noteLine*float64(i), "start", s, "font-weight", weight)
	}
}

// danger draws the yellow sign, with its upper left corner at x, y.
func (c *canvas) danger(x, y float64) {
	c.path("M"+px(x)+" "+px(y+12)+"h14l-7 -12Z", "fill", sign, "stroke", ink, "stroke-width", "1", "stroke-linejoin", "round")
	c.path("M"+px(x+7)+" "+px(y+4)+"v4M"+px(x+7)+" "+px(y+9.4)+"v1.2", "fill", "none", "stroke", onSign, "stroke-width", "1.4")
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
		c.text(numbers, p.x(v), d.bottom+17, "middle", s, halo()...)
	})
	along(p.Height, func(v float64, s string) {
		c.line(d.left-4, p.y(v), d.left, p.y(v), "stroke", ink, "stroke-width", "0.8")
		c.text(numbers, d.left-7, p.y(v)+4, "end", s, halo()...)
	})
	if !p.page {
		c.text(names, d.right, d.bottom+56, "end", "width to the right, height upwards, from the dish's axis [mm]", "fill", ink2)
	}
}

// rule shows the steps beside the map.
func (p *spot) rule() {
	c := p.d.c
	x, tall, wide := p.d.right+60, math.Min(26, 420/float64(p.levels+1)), 26.0
	bottom := p.d.top + tall*float64(p.levels+1) + 20
	if p.page {
		x, wide = p.d.right+16, 18
		tall = math.Min(24, (p.d.bottom-p.d.top)/float64(p.levels+1))
		bottom = p.d.top + tall*float64(p.levels+1)
	}
	for k := range p.levels + 1 {
		y := bottom - tall*float64(k+1)
		for range k {
			c.rect(x, y, wide, tall, "fill", light, "fill-opacity", p.veil())
		}
		c.rect(x, y, wide, tall, "fill", "none", "stroke", ink, "stroke-width", "0.6")
		c.text(numbers, x+wide+6, y+tall+4, "start", Number(p.step*float64(k), decimalsOf(p.step)))
	}
	if !p.page {
		c.text(names, x, p.d.top+12, "start", "kW/m², from line to line", "fill", ink2)
	}
}
