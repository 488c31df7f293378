package figure

import (
	"math"
	"slices"
	"strings"

	"emberbank/block"
	"emberbank/receiver"
)

// Given is a length that the user gave, and where it is written, so that it can be changed where it is drawn.
type Given struct {
	File, Path, Text string // Path "": it is written nowhere
	What             string // in words, such as "depth of the block"
	Kind             GivenKind
	Axis             block.Axis
	From, To         float64     // m along Axis
	At               block.Point // m, of what is said of a tube: a point of its pass
	Pass             string      // of what is said of a tube, or of its place
}

// GivenKind tells what a length belongs to, and with it how it is drawn.
type GivenKind int

// What a length belongs to.
const (
	GivenBody   GivenKind = iota // block or layers, one behind the other
	GivenWindow                  // the opening
	GivenPlace                   // of a pass, from the block's corner: running dimensions from a common origin
	GivenOuter                   // of a tube: a note on a leader
	GivenInner
	GivenWall
	GivenContact
)

// unwritten lists the main lengths of a receiver without where they are written.
func unwritten(rec *receiver.Receiver) []Given {
	low, high := rec.Block.Min, rec.Block.Max
	for _, p := range rec.Parts {
		for a := range low {
			low[a], high[a] = math.Min(low[a], p.Box.Min[a]), math.Max(high[a], p.Box.Max[a])
		}
	}
	var all []Given
	for a := range low {
		stops := clean([]float64{low[a], rec.Block.Min[a], rec.Block.Max[a], high[a]})
		for i := 1; i < len(stops); i++ {
			all = append(all, Given{Axis: block.Axis(a), From: stops[i-1], To: stops[i]})
		}
	}
	if w := rec.Window; w != nil {
		for _, a := range []block.Axis{block.Width, block.Height} {
			all = append(all, Given{Kind: GivenWindow, Axis: a, From: w.Opening.Min[a], To: w.Opening.Max[a]})
		}
	}
	return all
}

// row is what stands on one line beside the drawing.
type row struct {
	kind  GivenKind
	total bool // of all, which nobody gave
	given []Given
}

// rows lists what is drawn along a direction of the paper, nearest first.
func (d *drawing) rows(a block.Axis) []row {
	of := func(kind GivenKind, keep func(g *Given) bool) (out []Given) {
		for _, g := range d.view.Given {
			if g.Kind == kind && g.Axis == a && keep(&g) {
				out = append(out, g)
			}
		}
		return out
	}
	all := func(*Given) bool { return true }
	var rows []row
	add := func(r row) {
		if len(r.given) > 0 {
			rows = append(rows, r)
		}
	}
	add(row{kind: GivenPlace, given: of(GivenPlace, func(g *Given) bool { return d.seesPass(g.Pass) })})
	body := of(GivenBody, all)
	add(row{given: body})
	if w := d.rec.Window; w != nil && (d.s.normal == block.Depth || d.s.across == block.Depth && d.at >= w.Opening.Min[d.s.normal] && d.at <= w.Opening.Max[d.s.normal]) {
		add(row{kind: GivenWindow, given: of(GivenWindow, all)})
	}
	if lines := d.s.g.Lines[a]; len(body) > 1 && a == d.s.across {
		add(row{total: true, given: []Given{{Axis: a, From: lines[0], To: lines[len(lines)-1]}}})
	}
	return rows
}

// seesPass tells whether a pass shows in the plane.
func (d *drawing) seesPass(name string) bool {
	for i := range d.rec.Passes {
		if p := &d.rec.Passes[i]; p.Name == name {
			return p.Axis == d.s.normal && d.at >= p.From && d.at <= p.To || p.Axis != d.s.normal && math.Abs(p.At[d.s.normal]-d.at) <= math.Max(p.Outer/2, 1e-9)
		}
	}
	return false
}

const rowPitch = 24.0

// rowsRoom is how much room the rows along a direction take, px.
func (d *drawing) rowsRoom(a block.Axis) float64 {
	room := 8.0
	for _, r := range d.rows(a) {
		room += rowPitch
		if r.kind == GivenWindow && a == d.s.up {
			room += 10
		}
	}
	return room
}

// dimensions draws lengths: below along the section, on the left upwards; those that the user gave in his blue, those that
// follow from them in ink.
func (d *drawing) dimensions() {
	y := d.bottom + 2
	for _, r := range d.rows(d.s.across) {
		y += rowPitch
		d.rowAt(r, y, false)
	}
	x := d.left - 2
	for _, r := range d.rows(d.s.up) {
		x -= rowPitch
		if r.kind == GivenWindow {
			x -= 10
		}
		d.rowAt(r, x, true)
		if r.kind == GivenWindow && !d.onPage() {
			g := r.given[0]
			d.c.text(names, x-22, d.y((g.From+g.To)/2)+4, "end", "window")
		}
	}
	d.notes()
	if d.onPage() {
		return
	}
	d.c.text(numbers, 20, 46, "start", "lengths in mm, to scale", "fill", ink2)
	if d.even != "" {
		d.c.text(names, d.c.w-20, d.bottom+48, "end", d.even, "fill", ink2)
	}
	seen := map[block.Axis]string{
		block.Depth: "seen from the window: width to the right, height upwards",
		block.Width: "depth to the right, height upwards", block.Height: "depth to the right, width upwards",
	}[d.s.normal]
	d.c.text(names, d.c.w-20, 28, "end", seen, "fill", ink2) // above the drawing notes may stand
}

// rowAt draws a row at its place across the direction.
func (d *drawing) rowAt(r row, at float64, upright bool) {
	colour := pen
	if r.total {
		colour = ink
	}
	point := func(m float64) (x, y float64) {
		if upright {
			return at, d.y(m)
		}
		return d.x(m), at
	}
	var stops []float64
	for _, g := range r.given {
		if r.kind != GivenPlace {
			stops = append(stops, g.From)
		}
		stops = append(stops, g.To)
	}
	if r.kind == GivenPlace {
		stops = append(stops, 0)
	}
	slices.Sort(stops)
	for _, s := range clean(stops) {
		if x, y := point(s); upright {
			d.c.line(d.left-3, y, at-4, y, "stroke", colour, "stroke-width", "0.6")
		} else {
			d.c.line(x, d.bottom+3, x, at+4, "stroke", colour, "stroke-width", "0.6")
		}
	}
	if r.kind == GivenPlace {
		d.running(r.given, point, upright)
		return
	}
	for _, g := range r.given {
		x0, y0 := point(g.From)
		x1, y1 := point(g.To)
		d.c.touchable(&g, (x0+x1)/2, (y0+y1)/2, upright, inMm(g.To-g.From), func() { d.c.dimension(x0, y0, x1, y1, g.To-g.From, colour) })
	}
}

// running draws places along one line from a common origin, each with its arrow and its number.
func (d *drawing) running(given []Given, point func(m float64) (x, y float64), upright bool) {
	slices.SortStableFunc(given, func(a, b Given) int {
		switch {
		case a.To < b.To:
			return -1
		case a.To > b.To:
			return 1
		}
		return 0
	})
	x0, y0 := point(0)
	d.c.circle(x0, y0, 2.2, "fill", "none", "stroke", pen, "stroke-width", "0.8")
	fx, fy := x0, y0
	for _, g := range given {
		x, y := point(g.To)
		if math.Hypot(x-fx, y-fy) < 18 && (fx != x0 || fy != y0) {
			continue // no room; the list of fields has it
		}
		mx, my := x-9, y
		if upright {
			mx, my = x, y+9
		}
		d.c.touchable(&g, mx, my, upright, inMm(g.To), func() {
			d.c.line(fx, fy, x, y, "stroke", pen, "stroke-width", "0.6")
			if upright {
				d.c.tip(x, y, 0, -1, pen)
			} else {
				d.c.tip(x, y, 1, 0, pen)
			}
			d.c.lettered(mx, my, inMm(g.To), upright, pen)
		})
		fx, fy = x, y
	}
}

// touchable groups what is drawn of a length with where it is written; x, y is the middle of its number.
// What is read aloud begins with what is seen, where that is more than the text in the file.
func (c *canvas) touchable(g *Given, x, y float64, upright bool, seen string, draw func()) {
	if g.Path == "" {
		draw()
		return
	}
	c.interactive = true
	x, y, w, h := x-20, y-16, 40.0, 19.0
	if upright {
		x, y, w, h = x+20-16, y+16-20, 19, 40
	}
	label := g.What + ", " + g.Text
	if !strings.Contains(label, seen) {
		label = seen + ", " + label
	}
	c.open("g", "class", "given", "role", "button", "tabindex", "0", "data-file", g.File, "data-path", g.Path, "data-text", g.Text, "data-what", g.What, "aria-label", label)
	c.rect(x, y, w, h, "class", "hand", "fill", "none", "pointer-events", "all")
	draw()
	c.close("g")
}

// clean sorts out stops that coincide.
func clean(stops []float64) []float64 {
	out := stops[:1]
	for _, s := range stops[1:] {
		if s-out[len(out)-1] > 1e-9 {
			out = append(out, s)
		}
	}
	return out
}

// inMm prints a length in mm.
func inMm(metres float64) string {
	mm := metres * 1000
	decimals := 0
	if mm < 10 && math.Abs(mm-math.Round(mm)) > 1e-6 {
		decimals = 1
	}
	return Number(mm, decimals)
}

// tip draws a slender closed arrowhead with its tip at x, y, coming along dx, dy.
func (c *canvas) tip(x, y, dx, dy float64, colour string) {
	c.path("M"+px(x)+" "+px(y)+"L"+px(x-8*dx-1.25*dy)+" "+px(y-8*dy+1.25*dx)+"L"+px(x-8*dx+1.25*dy)+" "+px(y-8*dy-1.25*dx)+"Z", "fill", colour)
}

// lettered sets a dimension's number above its line, along it.
func (c *canvas) lettered(x, y float64, s string, upright bool, colour string) {
	if upright {
		c.text(numbers, x-4, y, "middle", s, "fill", colour, "transform", "rotate(-90 "+px(x-4)+" "+px(y)+")")
		return
	}
	c.text(numbers, x, y-4, "middle", s, "fill", colour)
}

// dimension draws a line with slender closed arrowheads and the length above it, in mm. Where the line is too
// short for its number, arrows come from outside and the number goes beside it.
func (c *canvas) dimension(x0, y0, x1, y1, metres float64, colour string) {
	s := inMm(metres)
	l := math.Hypot(x1-x0, y1-y0)
	if l == 0 {
		return
	}
	dx, dy := (x1-x0)/l, (y1-y0)/l
	c.line(x0, y0, x1, y1, "stroke", colour, "stroke-width", "0.6")
	if l >= 20 {
		c.tip(x0, y0, -dx, -dy, colour)
		c.tip(x1, y1, dx, dy, colour)
	} else { // small ticks instead of arrowheads
		for _, p := range [][2]float64{{x0, y0}, {x1, y1}} {
			c.line(p[0]-3, p[1]+3, p[0]+3, p[1]-3, "stroke", colour, "stroke-width", "0.8")
		}
	}
	if l < widthOf(numbers, s)+2 {
		return // no room: the neighbours and the whole are given
	}
	c.lettered((x0+x1)/2, (y0+y1)/2, s, dy != 0, colour)
}
