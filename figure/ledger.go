package figure

import (
	"fmt"
	"math"
	"strconv"

	"emberbank/heat"
	"emberbank/history"
)

// The ledger picture's frame, px.
const (
	ledgerWidth = 920
	sourceEdge  = 220 // where streams begin
	barAt       = 400 // the block
	sinkEdge    = 580 // where streams end
	ledgerTop   = 78
	sumColumn   = 810
	shareColumn = 890
	fullWidth   = 250 // of everything that came in
)

// Ledger draws where the energy came from and what became of it: each stream is as wide as its energy, its colour
// runs from the temperature of where the heat leaves to that of where it goes, and a stream that carried nothing
// is a dry bed, dashed.
func Ledger(r *heat.Result, title string) []byte {
	in, out := Books(r)
	sumIn, sumOut := total(in), total(out)
	all := math.Max(sumIn, sumOut)
	size := ScaleOf(all, r.Ledger.Steady)
	perPixel := all / fullWidth
	wide := func(e Entry) float64 {
		if perPixel <= 0 {
			return 0
		}
		return e.Amount / perPixel
	}
	sides := [2][]Entry{in, out}
	leastRoom := [2]float64{26, 15} // px of height: sources carry two lines of text, sinks one
	var at [2][]float64             // centre of each stream at its outer end
	bottom := 0.0
	for s, entries := range sides {
		y := float64(ledgerTop)
		for _, e := range entries {
			h := math.Max(wide(e), leastRoom[s])
			at[s] = append(at[s], y+h/2)
			y += h + 7
		}
		bottom = math.Max(bottom, y)
	}
	// The shorter side stands in the middle of the longer.
	for s, entries := range sides {
		if n := len(entries); n > 0 {
			end := at[s][n-1] + math.Max(wide(entries[n-1]), leastRoom[s])/2 + 7
			for i := range at[s] {
				at[s][i] += (bottom - end) / 2
			}
		}
	}
	barTop := ledgerTop + math.Max(0, (bottom-7-ledgerTop-fullWidth)/2)
	bottom = math.Max(bottom, barTop+fullWidth+7)

	caption := "Where the heat went in " + Span(r.Ended)
	if r.Ledger.Steady {
		caption = "Where the heat goes, steady"
	}
	c := newCanvas(ledgerWidth, bottom+52, title, caption+". "+closing(r, sumIn, size))
	c.text(sentence, 20, 28, "start", fit(sentence, title, ledgerWidth-40))
	c.text(captions, 20, 56, "start", caption)
	c.text(numbers, sumColumn, 56, "end", size.Unit)
	c.text(numbers, shareColumn, 56, "end", "share")

	temp := warmth(r)
	for s, entries := range sides {
		y := barTop
		for i, e := range entries {
			w := wide(e)
			drawStream(c, s, i, e, w, at[s][i], y+w/2, temp)
			y += w
		}
	}
	c.rect(barAt-3, barTop-6, 6, fullWidth+12, "fill", ink)
	for s, entries := range sides {
		for i, e := range entries {
			y := at[s][i] + 4
			if s == 0 {
				c.text(names, sourceEdge-8, y-3, "end", fit(names, e.Name, sourceEdge-20))
				c.text(numbers, sourceEdge-8, y+10, "end", size.Short(e.Amount)+thin+size.Unit)
				continue
			}
			c.text(names, sinkEdge+10, y, "start", fit(names, e.Name, 190))
			c.text(numbers, sumColumn, y, "end", size.Short(e.Amount))
			if sumIn > 0 {
				c.text(numbers, shareColumn, y, "end", Percent(e.Amount/sumIn))
			}
		}
	}
	c.text(numbers, 20, bottom+22, "start", closing(r, sumIn, size), "fill", ink2)
	c.text(numbers, 20, bottom+38, "start", "Width is heat, colour is temperature; a dashed bed carried nothing.", "fill", ink2)
	return c.bytes()
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

// drawStream draws one stream between its outer end and the bar; side 0 is the sources'.
func drawStream(c *canvas, side, number int, e Entry, w, outer, inner float64, t ends) {
	x0, x1 := float64(sourceEdge), float64(barAt)
	y0, y1 := outer, inner
	if side == 1 {
		x0, x1 = barAt, sinkEdge
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
			f := float64(i) / stops
			c.raw("<stop" + attributes([]string{"offset", px(f), "stop-color", tinted(t.scale.share(from + (to-from)*f))}) + "/>")
		}
		c.raw("</linearGradient>\n")
		fill = "url(#" + id + ")"
	}
	c.path(p.String(), "fill", fill, "stroke", ink, "stroke-width", "0.6")
}
