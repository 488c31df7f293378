package figure

import (
	"fmt"
	"math"
	"strconv"

	"emberbank/heat"
	"emberbank/history"
)

// ledgerFrame is where things stand in a ledger's picture, px.
type ledgerFrame struct {
	wide        float64
	title       bool
	left        float64 // of captions
	sourceEdge  float64 // where streams begin
	barAt       float64 // the block
	sinkEdge    float64 // where streams end
	top         float64
	sumColumn   float64
	shareColumn float64
	full        float64 // of everything that came in
	gap         float64 // between streams
}

// printedLedger is the frame on paper.
var printedLedger = ledgerFrame{wide: 920, title: true, left: 20, sourceEdge: 220, barAt: 400, sinkEdge: 580, top: 78, sumColumn: 810, shareColumn: 890, full: 250, gap: 7}

// ledgerOn is the frame on a page for pictures of some width.
func ledgerOn(wide float64) ledgerFrame {
	wide = math.Max(wide, 420)
	f := ledgerFrame{wide: wide, sourceEdge: math.Min(150, 0.24*wide), top: 34, sumColumn: wide - 52, shareColumn: wide - 2, full: 150, gap: 3}
	f.sinkEdge = f.sumColumn - 46 - math.Min(190, 0.3*wide)
	f.barAt = (f.sourceEdge + f.sinkEdge) / 2
	return f
}

// Ledger draws where the energy came from and what became of it: each stream is as wide as its energy, its colour
// runs from the temperature of where the heat leaves to that of where it goes, and a stream that carried nothing
// is a dry bed, dashed.
func Ledger(r *heat.Result, title string, colours Range) []byte {
	return printedLedger.draw(wholeBooks(r, warmth(r, colours), printedLedger), title)
}

// LedgerFor is Ledger for a place on a page that is so many px wide, with the colours of a range. It has no title then: the page has its own.
func LedgerFor(r *heat.Result, wide float64, colours Range) []byte {
	f := ledgerOn(wide)
	return f.draw(wholeBooks(r, warmth(r, colours), f), "Where the heat went")
}

// booked is what a ledger's picture shows.
type booked struct {
	sides    [2][]bookedLine // sources and sinks
	perPixel float64         // of the streams' width; 0: nothing flows
	caption  string
	heads    [2]string // of the two columns of numbers
	says     []string  // below, each wrapped
	desc     string
	temp     ends
	key      string  // what a width stands for, beside a bar of it
	keyWide  float64 // px
}

// bookedLine is a stream with its two numbers and what is written of a source beneath its name.
type bookedLine struct {
	Entry
	first, second, beneath string
}

// wholeBooks are those of a whole run.
func wholeBooks(r *heat.Result, temp ends, f ledgerFrame) *booked {
	in, out := Books(r)
	sumIn, sumOut := total(in), total(out)
	all := math.Max(sumIn, sumOut)
	size := ScaleOf(all, r.Ledger.Steady)
	b := &booked{perPixel: all / f.full, heads: [2]string{size.Unit, "share"}, temp: temp, caption: "Where the heat went in " + Span(r.Ended)}
	if r.Ledger.Steady {
		b.caption = "Where the heat goes, steady"
	}
	for s, entries := range [2][]Entry{in, out} {
		for _, e := range entries {
			l := bookedLine{Entry: e, first: size.Short(e.Amount), beneath: size.Short(e.Amount) + thin + size.Unit}
			if sumIn > 0 {
				l.second = Percent(e.Amount / sumIn)
			}
			b.sides[s] = append(b.sides[s], l)
		}
	}
	b.says = []string{closing(r, sumIn, size), widthSays}
	b.desc = b.caption + ". " + b.says[0]
	return b
}

const widthSays = "Width is heat, colour is temperature; a dashed bed carried nothing."

func (f ledgerFrame) draw(b *booked, title string) []byte {
	at, bottom := f.places(b)
	barTop := f.top + math.Max(0, (bottom-f.gap-f.top-f.full)/2)
	bottom = math.Max(bottom, barTop+f.full+f.gap)
	var says []string
	for _, s := range b.says {
		says = append(says, wrap(numbers, s, f.wide-2*f.left)...)
	}
	below := bottom
	if b.key != "" {
		below += math.Max(b.keyWide, 12) + 12
	}
	c := newCanvas(f.wide, below+20+16*float64(len(says)), title, b.desc)
	head := f.top - 22
	if f.title {
		c.text(sentence, 20, 28, "start", fit(sentence, title, f.wide-40))
	}
	c.text(captions, f.left, head, "start", b.caption)
	c.text(numbers, f.sumColumn, head, "end", b.heads[0])
	c.text(numbers, f.shareColumn, head, "end", b.heads[1])
	f.key(c, b, bottom+8)
	full := 0.0 // px, of the wider side
	for s := range b.sides {
		wide := 0.0
		for i := range b.sides[s] {
			wide += b.wide(s, i)
		}
		full = math.Max(full, wide)
	}
	for s := range b.sides {
		y := barTop + (f.full-full)/2
		for i, l := range b.sides[s] {
			w := b.wide(s, i)
			f.stream(c, s, i, l.Entry, w, at[s][i], y+w/2, b.temp)
			y += w
		}
	}
	c.rect(f.barAt-3, barTop+(f.full-full)/2-6, 6, full+12, "fill", ink)
	f.names(c, b, at)
	c.lines(numbers, f.left, below+22, 16, "start", says, "fill", ink2)
	return c.bytes()
}

// key shows how wide a heat flow is, from y downwards.
func (f *ledgerFrame) key(c *canvas, b *booked, y float64) {
	if b.key == "" {
		return
	}
	x := f.left + 6
	for _, at := range []float64{y, y + b.keyWide} {
		c.line(x-4, at, x+4, at, "stroke", ink, "stroke-width", "0.8")
	}
	c.line(x, y, x, y+b.keyWide, "stroke", ink, "stroke-width", "0.8")
	c.text(numbers, x+12, y+b.keyWide/2+4, "start", b.key)
}

// wide is how wide a stream is, px.
func (b *booked) wide(side, i int) float64 {
	if !(b.perPixel > 0) {
		return 0
	}
	return b.sides[side][i].Amount / b.perPixel
}

// sourceLines are a source's name in the lines that it takes.
func (f *ledgerFrame) sourceLines(name string) []string { return wrap(names, name, f.sourceEdge-12) }

// sinkLines are a sink's name in the lines that it takes.
func (f *ledgerFrame) sinkLines(name string) []string {
	return wrap(names, name, f.sumColumn-f.sinkEdge-f.firstRoom())
}

// firstRoom is what the first column of numbers takes beside the names, px.
func (f *ledgerFrame) firstRoom() float64 {
	if f.title {
		return 34
	}
	return 46
}

// places lays the streams of both sides at their outer ends, and returns their centres and where the lower side ends.
func (f *ledgerFrame) places(b *booked) (at [2][]float64, bottom float64) {
	room := func(s, i int) float64 {
		least := 13 + 13*float64(len(f.sourceLines(b.sides[s][i].Name))) // px of height
		if s == 1 {
			least = 2 + 13*float64(len(f.sinkLines(b.sides[s][i].Name)))
		}
		return math.Max(b.wide(s, i), least)
	}
	for s := range b.sides {
		y := f.top
		for i := range b.sides[s] {
			h := room(s, i)
			at[s] = append(at[s], y+h/2)
			y += h + f.gap
		}
		bottom = math.Max(bottom, y)
	}
	// The shorter side stands in the middle of the longer.
	for s := range b.sides {
		if n := len(b.sides[s]); n > 0 {
			end := at[s][n-1] + room(s, n-1)/2 + f.gap
			for i := range at[s] {
				at[s][i] += (bottom - end) / 2
			}
		}
	}
	return at, bottom
}

// names writes beside each stream what it is and how much.
func (f *ledgerFrame) names(c *canvas, b *booked, at [2][]float64) {
	for s := range b.sides {
		for i, l := range b.sides[s] {
			y := at[s][i] + 4
			if s == 0 {
				says := f.sourceLines(l.Name)
				y += 6.5 * float64(len(says)-1)
				c.lines(names, f.sourceEdge-8, y-3-13*float64(len(says)-1), 13, "end", says)
				c.text(numbers, f.sourceEdge-8, y+10, "end", l.beneath)
				continue
			}
			says := f.sinkLines(l.Name)
			c.lines(names, f.sinkEdge+10, y-6.5*float64(len(says)-1), 13, "start", says)
			c.text(numbers, f.sumColumn, y, "end", l.first)
			c.text(numbers, f.shareColumn, y, "end", l.second)
		}
	}
}

// closing says how the books close.
func closing(r *heat.Result, all float64, size EnergyScale) string {
	left, verb := r.Ledger.Residual, "came in or was given up"
	if r.Ledger.Steady {
		verb = "come in"
	}
	s := fmt.Sprintf("%s %s %s; ", size.Text(all), size.Unit, verb)
	// A millionth is far above what rounding leaves and far below what a picture shows.
	if math.Abs(left) > 1e-6*all && all > 0 {
		return s + fmt.Sprintf("the books do not close: %s of it is left over.", Percent(left/all))
	}
	return s + fmt.Sprintf("the books close, %s %s left over.", size.Text(left), size.Unit)
}

// ends are the temperatures between which streams run, degC.
type ends struct {
	scale              scale
	block, water, cold float64
}

// warmth reads off a history how warm the block was on the mean, and the water where it left.
func warmth(r *heat.Result, colours Range) ends {
	lo, hi, ok := rangeOf(r)
	if !ok {
		lo, hi = 0, 1
	}
	e := ends{scale: colours.scale(lo, hi), block: lo, water: lo, cold: lo}
	if c := r.History.Column("block mean"); c != nil {
		if m, ok := meanOf(c.Values); ok {
			e.block = m - zeroC
		}
	}
	sum, n := 0.0, 0
	for _, c := range r.History.Columns {
		if _, leaves := outletOf(c.Name); leaves && c.Quantity == history.Temperature {
			if m, ok := meanOf(c.Values); ok {
				sum += m - zeroC
				n++
			}
		}
	}
	if n > 0 {
		e.water = sum / float64(n)
	}
	return e
}

func meanOf(v []float64) (float64, bool) {
	sum, n := 0.0, 0
	for _, x := range v {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			sum += x
			n++
		}
	}
	if n == 0 {
		return 0, false
	}
	return sum / float64(n), true
}

// stream draws one stream between its outer end and the bar; side 0 is the sources'.
func (f *ledgerFrame) stream(c *canvas, side, number int, e Entry, w, outer, inner float64, t ends) {
	x0, x1 := f.sourceEdge, f.barAt
	y0, y1 := outer, inner
	if side == 1 {
		x0, x1 = f.barAt, f.sinkEdge
		y0, y1 = inner, outer
	}
	mid := (x0 + x1) / 2
	if e.Amount == 0 {
		for _, d := range []float64{-3, 3} {
			var p polyline
			p.move(x0, y0+d)
			p.curve(mid, y0+d, mid, y1+d, x1, y1+d)
			c.path(p.String(), "fill", "none", "stroke", line, "stroke-width", "0.8", "stroke-dasharray", "4 3")
		}
		return
	}
	drawn := math.Max(w, 0.6) // a trickle stays visible
	var p polyline
	p.move(x0, y0-drawn/2)
	p.curve(mid, y0-drawn/2, mid, y1-drawn/2, x1, y1-drawn/2)
	p.to(x1, y1+drawn/2)
	p.curve(mid, y1+drawn/2, mid, y0+drawn/2, x0, y0+drawn/2)
	p.close()
	from, to := t.block, t.block
	switch {
	case e.Group == "light":
		c.path(p.String(), "fill", light, "stroke", ink, "stroke-width", "0.6")
		return
	case e.Group == "water" && side == 1:
		to = t.water
	case e.Group == "water":
		from = t.water
	case e.Group == "loss" && side == 1:
		to = t.cold
	case e.Group == "loss":
		from = t.cold
	}
	fill := t.scale.tint(from)
	if from != to {
		id := "s" + strconv.Itoa(side) + "-" + strconv.Itoa(number)
		c.raw(`<linearGradient id="` + id + `" gradientUnits="userSpaceOnUse" x1="` + px(x0) + `" y1="0" x2="` + px(x1) + `" y2="0">`)
		const stops = 8 // along the scale, not straight through the colours
		for i := 0; i <= stops; i++ {
			part := float64(i) / stops
			c.raw("<stop" + attributes([]string{"offset", px(part), "stop-color", tinted(t.scale.share(from + (to-from)*part))}) + "/>")
		}
		c.raw("</linearGradient>\n")
		fill = "url(#" + id + ")"
	}
	c.path(p.String(), "fill", fill, "stroke", ink, "stroke-width", "0.6")
}
