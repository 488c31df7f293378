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
func Ledger(r *heat.Result, title string) []byte { return drawLedger(r, title, printedLedger) }

// LedgerFor is Ledger for a place on a page that is so many px wide. It has no title then: the page has its own.
func LedgerFor(r *heat.Result, wide float64) []byte {
	return drawLedger(r, "Where the heat went", ledgerOn(wide))
}

func drawLedger(r *heat.Result, title string, f ledgerFrame) []byte {
	in, out := Books(r)
	sumIn, sumOut := total(in), total(out)
	all := math.Max(sumIn, sumOut)
	size := ScaleOf(all, r.Ledger.Steady)
	perPixel := all / f.full
	wide := func(e Entry) float64 {
		if perPixel <= 0 {
			return 0
		}
		return e.Amount / perPixel
	}
	sides := [2][]Entry{in, out}
	at, bottom := f.places(sides, wide)
	barTop := f.top + math.Max(0, (bottom-f.gap-f.top-f.full)/2)
	bottom = math.Max(bottom, barTop+f.full+f.gap)

	caption := "Where the heat went in " + Span(r.Ended)
	if r.Ledger.Steady {
		caption = "Where the heat goes, steady"
	}
	says := append(wrap(numbers, closing(r, sumIn, size), f.wide-2*f.left), wrap(numbers, "Width is heat, colour is temperature; a dashed bed carried nothing.", f.wide-2*f.left)...)
	c := newCanvas(f.wide, bottom+20+16*float64(len(says)), title, caption+". "+closing(r, sumIn, size))
	head := f.top - 22
	if f.title {
		c.text(sentence, 20, 28, "start", fit(sentence, title, f.wide-40))
	}
	c.text(captions, f.left, head, "start", caption)
	c.text(numbers, f.sumColumn, head, "end", size.Unit)
	c.text(numbers, f.shareColumn, head, "end", "share")

	temp := warmth(r)
	for s, entries := range sides {
		y := barTop
		for i, e := range entries {
			w := wide(e)
			f.stream(c, s, i, e, w, at[s][i], y+w/2, temp)
			y += w
		}
	}
	c.rect(f.barAt-3, barTop-6, 6, f.full+12, "fill", ink)
	f.names(c, sides, at, size, sumIn)
	c.lines(numbers, f.left, bottom+22, 16, "start", says, "fill", ink2)
	return c.bytes()
}

// places lays the streams of both sides at their outer ends, and returns their centres and where the lower side ends.
func (f *ledgerFrame) places(sides [2][]Entry, wide func(Entry) float64) (at [2][]float64, bottom float64) {
	leastRoom := [2]float64{26, 15} // px of height: sources carry two lines of text, sinks one
	for s, entries := range sides {
		y := f.top
		for _, e := range entries {
			h := math.Max(wide(e), leastRoom[s])
			at[s] = append(at[s], y+h/2)
			y += h + f.gap
		}
		bottom = math.Max(bottom, y)
	}
	// The shorter side stands in the middle of the longer.
	for s, entries := range sides {
		if n := len(entries); n > 0 {
			end := at[s][n-1] + math.Max(wide(entries[n-1]), leastRoom[s])/2 + f.gap
			for i := range at[s] {
				at[s][i] += (bottom - end) / 2
			}
		}
	}
	return at, bottom
}

// names writes beside each stream what it is and how much.
func (f *ledgerFrame) names(c *canvas, sides [2][]Entry, at [2][]float64, size EnergyScale, all float64) {
	for s, entries := range sides {
		for i, e := range entries {
			y := at[s][i] + 4
			if s == 0 {
				says := wrap(names, e.Name, f.sourceEdge-12)
				c.lines(names, f.sourceEdge-8, y-3-13*float64(len(says)-1), 13, "end", says)
				c.text(numbers, f.sourceEdge-8, y+10, "end", size.Short(e.Amount)+thin+size.Unit)
				continue
			}
			c.text(names, f.sinkEdge+10, y, "start", fit(names, e.Name, f.sumColumn-f.sinkEdge-34))
			c.text(numbers, f.sumColumn, y, "end", size.Short(e.Amount))
			if all > 0 {
				c.text(numbers, f.shareColumn, y, "end", Percent(e.Amount/all))
			}
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
func warmth(r *heat.Result) ends {
	lo, hi, ok := rangeOf(r)
	if !ok {
		lo, hi = 0, 1
	}
	e := ends{scale: scaleOver(lo, hi), block: lo, water: lo, cold: lo}
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
