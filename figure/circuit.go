package figure

import (
	"fmt"
	"math"

	"emberbank/heat"
)

// Circuit draws one circuit at one time, or in the steady state, from inlet to outlet: the temperatures of the solid around the tube, of the
// tube's wall at the water and of the water, and below them the water's quality. Above stand the passes, between the two
// plots what the water does.
func Circuit(p *heat.Profile, title string, steady bool) []byte {
	x, temperatures, quality := alongCircuit(p)
	end := x[len(x)-1]
	states := layStates(p, end)
	top := 84.0
	upper := frame{left: plotLeft, right: plotRight, top: top, bottom: top + 260}
	strip := upper.bottom + 12
	lower := frame{left: plotLeft, right: plotRight, top: strip + 10 + rowHeight*float64(states.rows) + 14}
	lower.bottom = lower.top + 96
	danger := dangerOf(p)
	height := lower.bottom + 64
	if danger != "" {
		height += 18
	}
	c := newCanvas(historyWidth, height, title, describeCircuit(p, steady))
	c.text(sentence, 20, 28, "start", fit(sentence, title, historyWidth-40))
	c.text(captions, 20, 52, "start", fit(captions, captionOf(p, steady), historyWidth-40))

	step := niceStep(end, 10)
	upper.x, lower.x = axis{0, end, step}, axis{0, end, step}
	upper.fitTo(temperatures, false)
	lower.fitTo(quality, true)
	if lower.y.hi > 0 { // a mixture reads by halves
		lo, hi := reachOf(quality[0].values)
		lower.y = axis{0.5 * math.Floor(2*lo), 0.5 * math.Ceil(2*hi-1e-9), 0.5}
	}
	for _, f := range []frame{upper, lower} {
		for i := 0; float64(i)*step <= end*(1+1e-12); i++ {
			c.line(f.px(float64(i)*step), f.top, f.px(float64(i)*step), f.bottom, "stroke", hair, "stroke-width", "0.8")
		}
	}
	upper.grid(c, degree, 1)
	lower.grid(c, "", 1)
	for _, x := range []float64{0, 1} { // saturated liquid and vapour
		if x >= lower.y.lo && x <= lower.y.hi {
			c.line(lower.left, lower.py(x), lower.right, lower.py(x), "stroke", line, "stroke-width", "1")
		}
	}
	c.text(captions, plotRight+18, upper.top+4, "start", "Temperature")
	c.text(captions, plotRight+18, lower.top+4, "start", "Quality")
	drawPasses(c, p, &upper, &lower)
	drawStates(c, states, &upper, strip)
	decimals := decimalsOf(step)
	for i := 0; float64(i)*step <= end*(1+1e-12); i++ {
		at := float64(i) * step
		label := Number(at, decimals)
		if at+step > end*(1+1e-12) {
			label += thin + "m" // the unit stands once, at the last number
		}
		c.text(numbers, lower.px(at), lower.bottom+16, "middle", label)
	}
	c.text(names, plotLeft, lower.bottom+34, "start", "along the tube from the inlet")
	c.text(names, plotLeft, lower.bottom+51, "start", "Quality: 0 is liquid at its boiling point and 1 dry steam; below 0 the liquid is colder, above 1 the steam is superheated.", "fill", ink2)
	c.text(captions, plotLeft, lower.bottom+69, "start", danger)
	plot(c, x, upper, temperatures)
	plot(c, x, lower, quality)
	return c.bytes()
}

// reachOf returns the least and the largest of the values and zero.
func reachOf(values []float64) (lo, hi float64) {
	for _, v := range values {
		if v < lo {
			lo = v
		}
		if v > hi {
			hi = v
		}
	}
	return lo, hi
}

// alongCircuit lays the curves over the distance in m: at the inlet, in the middle of each slice, and at the outlet.
func alongCircuit(p *heat.Profile) (x []float64, temperatures, quality []curve) {
	n := len(p.Places)
	nan := math.NaN()
	x = make([]float64, n+2)
	column := func(first, last float64, f func(q *heat.Place) float64) []float64 {
		v := make([]float64, n+2)
		v[0], v[n+1] = first, last
		for i := range p.Places {
			v[i+1] = f(&p.Places[i])
		}
		return v
	}
	for i := range p.Places {
		x[i+1] = p.Places[i].Distance
		x[n+1] = p.Places[i].Distance + 0.5*p.Places[i].Length
	}
	if n == 0 {
		x[1] = 1
	}
	temperatures = []curve{
		{name: "around the tube", values: column(nan, nan, func(q *heat.Place) float64 { return q.Block - zeroC }), colour: ink, width: 1.8},
		{name: "wall at the water", values: column(nan, nan, func(q *heat.Place) float64 { return q.Inside - zeroC }), colour: ink2, width: 1.2},
		{name: "water", values: column(p.Inlet-zeroC, p.Outlet-zeroC, func(q *heat.Place) float64 { return q.Temperature - zeroC }), colour: water, width: 1.8},
	}
	quality = []curve{{name: "water", values: column(nan, nan, func(q *heat.Place) float64 { return q.Quality }), colour: water, width: 1.6}}
	return x, temperatures, quality
}

// captionOf says which circuit, when, and what it does.
func captionOf(p *heat.Profile, steady bool) string {
	when := "after " + Span(p.Time)
	if steady {
		when = "in the steady state"
	}
	s := "Circuit " + p.Circuit + " " + when + ", " + p.State
	switch p.State {
	case "flowing":
		s += fmt.Sprintf(" with %s kg/h, from %s to %s %s", perHour(p.Flow), Number(p.Inlet-zeroC, 1), Number(p.Outlet-zeroC, 1), degree)
	case "open", "closed":
		if bar := 1e-5 * highest(p, func(q *heat.Place) float64 { return q.Pressure }); bar > 0 {
			s += fmt.Sprintf(" at %.3g bar", bar)
		}
	}
	return s
}

// perHour prints a flow in kg/s as kg/h, with three digits at least.
func perHour(flow float64) string {
	if v := 3600 * flow; v >= 100 {
		return Number(v, 0)
	}
	return fmt.Sprintf("%.3g", 3600*flow)
}

// highest returns the highest of a value over the circuit, 0 where there is none.
func highest(p *heat.Profile, of func(q *heat.Place) float64) float64 {
	most := 0.0
	for i := range p.Places {
		if v := of(&p.Places[i]); v > most {
			most = v
		}
	}
	return most
}

// boilsInTheOpen is where water flashes when it is let out, in K.
const boilsInTheOpen = 373.15

// dangerOf says what the numbers of a circuit mean for people, "" where it is cool.
func dangerOf(p *heat.Profile) string {
	hot := highest(p, func(q *heat.Place) float64 { return q.Temperature }) > boilsInTheOpen
	block := highest(p, func(q *heat.Place) float64 { return q.Block }) > boilsInTheOpen
	switch {
	case p.State == "closed" && (hot || block): // full tubes burst long before their water is hot
		return "Water shut in a hot block bursts tubes: see the cautions of the run."
	case p.State == "flowing" && p.Outlet > boilsInTheOpen, p.State == "open" && hot:
		return "What leaves is steam, or becomes steam in the open, and scalds: see the cautions of the run."
	}
	return ""
}

// describeCircuit says the picture in a sentence, for those who do not see it.
func describeCircuit(p *heat.Profile, steady bool) string {
	s := captionOf(p, steady) + ". Temperatures of block, wall and water and the water's quality along the tube"
	for i, q := range p.Places {
		switch {
		case i == 0:
			s += "; the water is " + q.State
		case q.State != p.Places[i-1].State:
			s += ", then " + q.State
		}
	}
	return s + "."
}

// stretch is a part of the circuit with one name.
type stretch struct {
	from, to float64 // m
	name     string
}

// stretches joins neighbouring slices of one name.
func stretches(p *heat.Profile, name func(q *heat.Place) string) []stretch {
	var all []stretch
	for i := range p.Places {
		q := &p.Places[i]
		from, to := q.Distance-0.5*q.Length, q.Distance+0.5*q.Length
		if n := len(all); n > 0 && all[n-1].name == name(q) {
			all[n-1].to = to
			continue
		}
		all = append(all, stretch{from, to, name(q)})
	}
	return all
}

// states says in which row the word of each stretch of water stands, -1 where there is no room.
type states struct {
	all  []stretch
	row  []int
	at   []float64 // px, of the word's middle
	rows int
}

const (
	maxStateRows = 4
	wordGap      = 10.0 // px, between words of a row, and from a word to another's leader
)

// layStates puts the words into rows so that none runs into another: in the first row those that fit under their own bracket,
// in the others the rest, each hung on a leader from the middle of its bracket that goes past every other word.
func layStates(p *heat.Profile, end float64) states {
	s := states{all: stretches(p, func(q *heat.Place) string { return q.State }), rows: 1}
	f := frame{left: plotLeft, right: plotRight, x: axis{0, end, 1}}
	type placed struct{ from, to, leader float64 } // px
	var rows [maxStateRows][]placed
	fits := func(k int, w placed) bool {
		for r := range rows {
			for _, o := range rows[r] {
				switch {
				case r == k && w.from < o.to+wordGap && o.from < w.to+wordGap,
					r < k && r > 0 && w.leader > o.from-wordGap/2 && w.leader < o.to+wordGap/2,
					r > k && o.leader > w.from-wordGap/2 && o.leader < w.to+wordGap/2:
					return false
				}
			}
		}
		return true
	}
	for _, one := range s.all {
		w, x0, x1 := widthOf(names, one.name), f.px(one.from), f.px(one.to)
		middle := (x0 + x1) / 2
		at := math.Min(math.Max(middle, plotLeft+w/2), plotRight-w/2)
		word, row := placed{at - w/2, at + w/2, middle}, -1
		if w <= x1-x0-4 {
			row = 0
		} else {
			for k := 1; k < maxStateRows && row < 0; k++ {
				if fits(k, word) {
					row = k
				}
			}
		}
		if row > 0 {
			rows[row] = append(rows[row], word)
		}
		s.rows = max(s.rows, row+1)
		s.row, s.at = append(s.row, row), append(s.at, at)
	}
	return s
}

// drawStates draws a bracket under each stretch of water with its word below.
func drawStates(c *canvas, s states, f *frame, y float64) {
	for i, one := range s.all {
		x0, x1 := f.px(one.from)+1, f.px(one.to)-1
		c.path("M"+px(x0)+" "+px(y-4)+"L"+px(x0)+" "+px(y)+"L"+px(x1)+" "+px(y)+"L"+px(x1)+" "+px(y-4), "fill", "none", "stroke", water, "stroke-width", "1")
		if s.row[i] < 0 {
			continue
		}
		below := y + 14 + rowHeight*float64(s.row[i])
		if s.row[i] > 0 {
			c.line((x0+x1)/2, y, (x0+x1)/2, below-11, "stroke", water, "stroke-width", "0.8")
		}
		c.text(names, s.at[i], below, "middle", one.name, "fill", water)
	}
}

// drawPasses names the passes above the upper plot and draws where they begin and end in both, not through the words between.
func drawPasses(c *canvas, p *heat.Profile, f, lower *frame) {
	for _, one := range stretches(p, func(q *heat.Place) string {
		if q.Run != "pass" {
			return ""
		}
		return q.Pass
	}) {
		if one.name == "" {
			continue
		}
		x0, x1 := f.px(one.from), f.px(one.to)
		for _, x := range []float64{x0, x1} {
			c.line(x, f.top-6, x, f.bottom, "stroke", ink, "stroke-width", "0.6", "stroke-dasharray", "2 2")
			c.line(x, lower.top, x, lower.bottom, "stroke", ink, "stroke-width", "0.6", "stroke-dasharray", "2 2")
		}
		c.line(x0, f.top-6, x1, f.top-6, "stroke", ink, "stroke-width", "1.6")
		name := "pass " + one.name
		if widthOf(names, name) > x1-x0-4 {
			name = one.name
		}
		if widthOf(names, name) <= x1-x0+8 {
			c.text(names, (x0+x1)/2, f.top-12, "middle", name)
		}
	}
}
