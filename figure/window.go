package figure

import (
	"fmt"
	"math"
	"sort"
)

// Keeping is what windows of rising size keep of the light that they take in.
type Keeping struct {
	Lines    []Kept  // the first is the one whose best is told
	Unit     string  // kW, or kWh over a day
	Name     string  // of the windows: "square windows by their width"
	Best     float64 // mm, of the first; not above 0: no window keeps heat
	BestSays string
	From, To float64 // mm, sizes that keep nearly as much
	FlatSays string
	At       float64 // mm, the window's own
	AtSays   string
	Coarse   bool // cast with few rays: the lines may still move
}

// Kept is one way of making the window.
type Kept struct {
	Name        string
	Size        []float64 // mm, rising
	Keeps       []float64 // in the unit
	Taken, Lost []float64 // nil: not drawn
	Low, High   []float64 // of Keeps at 95 %; nil: not known
}

// deepest is how far below zero a curve is followed, over how far above it the highest goes: a window that is far too large may
// lose many times what a good one keeps.
const deepest = 0.4

// Keeps draws what windows take in less what they lose over their size: for each way of making the window a line, the best with
// how flat it is as a dimension line, and the window as it is in the pen's blue.
func Keeps(title string, says []string, k Keeping, at Place) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("What windows keep over their size. %s. %s.", k.BestSays, k.FlatSays))
	f := frame{left: 86, right: 700}
	left, beside := 20.0, historyWidth-720.0
	if at.onPage() {
		c.w = math.Max(at.Wide, 300)
		f.left, f.right, f.top = 42, c.w-98, 30
		f.bottom = math.Max(at.High, 220) - 74
		left, beside = 0, 86
	} else {
		f.top = c.head(title, says...) + 26
		f.bottom = f.top + 320
	}
	c.text(captions, left, f.top-16, "start", "Taken in less lost")
	d := keeping{Keeping: &k, c: c, f: &f}
	d.axes()
	d.curves()
	d.names(beside)
	d.own()
	c.h = d.best() + 10
	return c.bytes()
}

type keeping struct {
	*Keeping
	c *canvas
	f *frame
	n int // sizes on the axis
}

// along are the values that lie on the paper; what goes too far below is left out.
func (d *keeping) along(values []float64) []float64 {
	out := append([]float64(nil), values[:d.n]...)
	for i, v := range out {
		if v < d.f.y.lo {
			out[i] = math.NaN()
		}
	}
	return out
}

func (d *keeping) axes() {
	var all []curve
	top := 0.0
	for i := range d.Lines {
		for _, v := range [][]float64{d.Lines[i].Keeps, d.Lines[i].Taken, d.Lines[i].Lost} {
			_, most := spanOf(v)
			if len(v) > 0 {
				top = math.Max(top, most)
			}
			all = append(all, curve{values: v})
		}
	}
	for i := range all {
		v := append([]float64(nil), all[i].values...)
		for k := range v {
			v[k] = math.Max(v[k], -deepest*top)
		}
		all[i].values = v
	}
	d.n = d.f.sizes(d.Lines[0].Size)
	d.f.fitTo(all, true)
	d.f.uprights(d.c)
	d.f.grid(d.c, d.Unit, 1)
	d.f.numberSizes(d.c)
	d.c.text(names, d.f.right, d.f.bottom+32, "end", d.Name+" [mm]", "fill", ink2)
}

func (d *keeping) curves() {
	for i := range d.Lines {
		l := &d.Lines[i]
		size := l.Size[:d.n]
		if i == 0 && l.Low != nil {
			low := d.along(l.Low)
			band(d.c, size, low, d.along(l.High), d.f)
		}
		for _, v := range [][]float64{l.Taken, l.Lost} {
			if v == nil {
				continue
			}
			if way, _ := trace(size, d.along(v), d.f); way != "" {
				d.c.path(way, coarsely(d.Coarse, "fill", "none", "stroke", ink2, "stroke-width", "0.7")...)
			}
		}
		style := []string{"fill", "none", "stroke", ink, "stroke-width", "1.4", "stroke-linejoin", "round"}
		if dash := dashes[i%len(dashes)]; dash != "" {
			style = append(style, "stroke-dasharray", dash)
		} else {
			style = coarsely(d.Coarse, style...)
		}
		if way, _ := trace(size, d.along(l.Keeps), d.f); way != "" {
			d.c.path(way, style...)
		}
	}
}

// gapOfNames is between two names of lines, so that each stands by itself.
const gapOfNames = 4.0

// names says at their right ends what the lines are.
func (d *keeping) names(beside float64) {
	type named struct {
		at   float64
		text []string
		ink  string
	}
	var all []named
	add := func(name string, v []float64, colour string) {
		if v == nil {
			return
		}
		y := d.f.py(math.Max(v[d.n-1], d.f.y.lo))
		all = append(all, named{y, wrap(names, name, beside), colour})
	}
	for i := range d.Lines {
		l := &d.Lines[i]
		add(l.Name, l.Keeps, ink)
		add("taken in", l.Taken, ink2)
		add("lost", l.Lost, ink2)
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].at < all[b].at })
	next := d.f.top
	for i, l := range all {
		rest := 0.0
		for _, m := range all[i:] {
			rest += 13*float64(len(m.text)) + gapOfNames
		}
		y := math.Max(next, math.Min(l.at-6.5*float64(len(l.text)-1), d.f.bottom-rest+13+gapOfNames))
		if math.Abs(y-l.at) > 6 {
			d.c.path("M"+px(d.f.right+2)+" "+px(l.at)+"L"+px(d.f.right+9)+" "+px(y), "fill", "none", "stroke", line, "stroke-width", "0.6")
		}
		next = d.c.lines(names, d.f.right+12, y+4, 13, "start", l.text, "fill", l.ink) - 4 + gapOfNames
	}
}

// own marks the window as it is.
func (d *keeping) own() {
	x := d.f.px(d.At)
	if x < d.f.left || x > d.f.right {
		return
	}
	d.c.path("M"+px(x)+" "+px(d.f.bottom)+"V"+px(d.f.top), "fill", "none", "stroke", pen, "stroke-width", "0.8", "stroke-dasharray", "2 2")
	anchor, at := "start", x+5
	if x > (d.f.left+d.f.right)/2 {
		anchor, at = "end", x-5
	}
	d.c.text(names, at, d.f.bottom-7, anchor, d.AtSays, halo("fill", pen)...)
}

// clear is how deep below y a text from x0 to x1 lies clear of the curves; where none is clear, the farthest from them.
func (d *keeping) clear(x0, x1, y float64) float64 {
	f := d.f
	at, most := math.Min(y+0.24*(f.bottom-f.top), f.bottom-24), 0.0
	for foot := y + 24; foot <= f.bottom-24 && most < 14; foot += 4 {
		near := math.Inf(1)
		for i := range d.Lines {
			l := &d.Lines[i]
			for _, v := range [][]float64{l.Keeps, l.Taken, l.Lost} {
				for j := range v[:min(len(v), d.n)] {
					if x := f.px(l.Size[j]); x >= x0-10 && x <= x1+4 {
						near = math.Min(near, math.Abs(f.py(v[j])-(foot-4)))
					}
				}
			}
		}
		if near > most {
			at, most = foot, near
		}
	}
	return at
}

// best marks the best window, and below the axis the sizes that keep nearly as much; it returns where the picture ends.
func (d *keeping) best() float64 {
	c, f := d.c, d.f
	if !(d.Best > 0) {
		return c.lines(names, f.left, f.bottom+50, 14, "start", wrap(names, d.BestSays, f.right-f.left))
	}
	l := &d.Lines[0]
	x, y := f.px(d.Best), f.py(between(l.Size, l.Keeps, d.Best))
	c.circle(x, y, 3.4, "fill", "none", "stroke", ink, "stroke-width", "1.2")
	wide := widthOf(names, d.BestSays)
	end := math.Min(x+wide/2, f.right-4)
	under := d.clear(end-wide, end, y)
	c.line(x, y+4, x, under-12, "stroke", ink, "stroke-width", "0.6")
	c.text(names, end, under, "end", d.BestSays, halo()...)
	foot := f.bottom + 50
	x0, x1 := f.px(d.From), math.Min(f.px(d.To), f.right)
	for _, at := range []float64{x0, x1} {
		c.line(at, f.py(between(l.Size, l.Keeps, d.From)), at, foot+3, "stroke", line, "stroke-width", "0.6")
	}
	c.span(x0, x1, foot, ink)
	c.lines(names, math.Min(math.Max((x0+x1)/2, f.left+60), f.right-60), foot+15, 13, "middle", wrap(names, d.FlatSays, f.right-f.left+40))
	return foot + 18
}
