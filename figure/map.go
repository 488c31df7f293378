package figure

import (
	"fmt"
	"math"
	"sort"
)

// Charted is the heat flow to the water over the block's temperature for one wetted area, as measured or as computed.
type Charted struct {
	Name            string    // whose it is
	Area            float64   // m², wetted by the water; 0: not known
	Computed        bool      // from a run; else from trials
	T               []float64 // °C, of the block, rising
	Q, Low, High    []float64 // W, the curve and its 95 % band; of a computed one only Q is drawn
	MarksT, MarksQ  []float64 // °C and W: means of neighbouring readings
	DataLow, DataTo float64   // °C, where there is data
}

// Map draws heat flow to the water over the block's temperature: what was measured as open marks over the tint of its
// band, what was computed as a line. Below the axis a dimension line shows where there is data, and the ground beyond
// is hatched. Where a run covers what was measured, a strip below shows the difference with the same band. says are
// sentences that stand beneath the title.
func Map(title string, says []string, all []Charted) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("Heat flow to the water over the block's temperature, %d curves", len(all)))
	top := c.head(title, says...) + 12
	f := frame{left: plotLeft, right: plotRight, top: top, bottom: top + 330}
	lo, hi := math.Inf(1), math.Inf(-1)
	var curves []curve
	for i := range all {
		one := &all[i]
		for _, t := range one.T {
			lo, hi = math.Min(lo, t), math.Max(hi, t)
		}
		for _, v := range [][]float64{one.Q, one.MarksQ} {
			curves = append(curves, curve{values: v})
		}
		if !one.Computed {
			curves = append(curves, curve{values: one.Low}, curve{values: one.High})
		}
	}
	if !(hi > lo) {
		lo, hi = 0, 100
	}
	step := niceStep(hi-lo, 10)
	f.x = axis{math.Floor(lo/step+1e-9) * step, math.Ceil(hi/step-1e-9) * step, step}
	f.fitTo(curves, true)
	unit, per := powerUnit(f.y)

	beyond(c, all, &f)
	f.uprights(c)
	f.grid(c, unit, per)
	for i := range all {
		if one := &all[i]; !one.Computed {
			for _, run := range whole(one.T) {
				band(c, one.T[run[0]:run[1]], one.Low[run[0]:run[1]], one.High[run[0]:run[1]], &f)
			}
		}
	}
	for i := range all {
		if one := &all[i]; one.Computed {
			if d, _ := trace(one.T, one.Q, &f); d != "" {
				c.path(d, "fill", "none", "stroke", ink, "stroke-width", "1.4", "stroke-linejoin", "round")
			}
		}
	}
	for i := range all {
		if one := &all[i]; !one.Computed {
			c.marksAt(i, &f, one.MarksT, one.MarksQ, water)
		}
	}
	f.temperatures(c)
	nameCharted(c, all, &f)
	y := rangesOf(c, all, &f)
	y = differences(c, all, &f, y)
	c.h = y + 14
	return c.bytes()
}

// powerUnit is the unit of an axis of heat flows, and how many W it has.
func powerUnit(y axis) (string, float64) {
	if math.Max(math.Abs(y.lo), math.Abs(y.hi)) >= 3000 {
		return "kW", 1000
	}
	return "W", 1
}

// uprights draws the lines of the horizontal axis' steps.
func (f *frame) uprights(c *canvas) {
	for i := range int(math.Round((f.x.hi-f.x.lo)/f.x.step)) + 1 {
		x := f.px(f.x.lo + float64(i)*f.x.step)
		c.line(x, f.top, x, f.bottom, "stroke", hair, "stroke-width", "0.8")
	}
}

// temperatures numbers a horizontal axis of degrees; the unit stands once, at the last number.
func (f *frame) temperatures(c *canvas) {
	n := int(math.Round((f.x.hi - f.x.lo) / f.x.step))
	for i := range n + 1 {
		v := f.x.lo + float64(i)*f.x.step
		s := Number(v, decimalsOf(f.x.step))
		if i == n {
			s += thin + degree
		}
		c.text(numbers, f.px(v), f.bottom+15, "middle", s)
	}
}

// whole cuts rising places where rows are missing between them: farther apart than one and a half usual distances.
func whole(t []float64) [][2]int {
	least := math.Inf(1)
	for i := 1; i < len(t); i++ {
		least = math.Min(least, t[i]-t[i-1])
	}
	var out [][2]int
	from := 0
	for i := 1; i <= len(t); i++ {
		if i == len(t) || t[i]-t[i-1] > 1.5*least {
			out = append(out, [2]int{from, i})
			from = i
		}
	}
	return out
}

// beyond hatches the ground without data, where something was measured.
func beyond(c *canvas, all []Charted, f *frame) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range all {
		if !all[i].Computed {
			lo, hi = math.Min(lo, all[i].DataLow), math.Max(hi, all[i].DataTo)
		}
	}
	if lo > hi {
		return
	}
	c.hatchBeyond()
	for _, x := range [][2]float64{{f.left, f.px(lo)}, {f.px(hi), f.right}} {
		if x[1]-x[0] > 1 {
			c.rect(x[0], f.top, x[1]-x[0], f.bottom-f.top, "fill", "url(#beyond)")
		}
	}
}

// called is a curve's name with its area.
func called(one *Charted) string {
	s := one.Name
	if one.Area > 0 {
		s += ", " + areaText(one.Area)
	}
	if one.Computed {
		return s + ", computed"
	}
	return s + ", measured"
}

// areaText prints an area with three digits that count.
func areaText(m2 float64) string {
	d := 2 - int(math.Floor(math.Log10(m2)))
	return Number(m2, max(0, min(d, 5))) + thin + "m²"
}

// nameCharted names the curves at their right ends, in as many lines as a name takes, a mark or a stroke before it.
func nameCharted(c *canvas, all []Charted, f *frame) {
	type named struct {
		k    int
		at   float64
		text []string
	}
	const room = historyWidth - plotRight - 40.0
	var list []named
	for i := range all {
		one := &all[i]
		if len(one.Q) == 0 {
			continue
		}
		list = append(list, named{i, f.py(one.Q[len(one.Q)-1]), wrap(names, called(one), room)})
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].at < list[b].at })
	next := f.top + 10
	for _, l := range list {
		one := &all[l.k]
		y := math.Max(next, l.at)
		colour := water
		x := f.right + 22
		if one.Computed {
			colour = ink
			c.line(x-6, y, x+6, y, "stroke", ink, "stroke-width", "1.4")
		} else {
			c.rect(x-7, y-6, 14, 12, "fill", veil)
			c.mark(l.k, x, y, water)
		}
		c.path("M"+px(f.px(one.T[len(one.T)-1])+4)+" "+px(l.at)+"L"+px(f.right+3)+" "+px(l.at)+"L"+px(x-10)+" "+px(y), "fill", "none", "stroke", line, "stroke-width", "0.6")
		next = c.lines(names, x+12, y+4, 14, "start", l.text, "fill", colour) + 4
	}
	measured := false
	for i := range all {
		measured = measured || !all[i].Computed
	}
	if measured && next < f.bottom-40 {
		c.lines(names, f.right+12, f.bottom-32, 14, "start", wrap(names, "tint: 95"+thin+"% band", room+20), "fill", ink2)
		c.lines(names, f.right+12, f.bottom-18, 14, "start", wrap(names, "hatched: no data", room+20), "fill", ink2)
	}
}

// rangesOf draws where there is data, one dimension line for each measured curve, and returns the height below them.
func rangesOf(c *canvas, all []Charted, f *frame) float64 {
	y := f.bottom + 24
	for i := range all {
		one := &all[i]
		if one.Computed || !(one.DataTo > one.DataLow) {
			continue
		}
		y += 13
		x0, x1 := f.px(one.DataLow), f.px(one.DataTo)
		for _, x := range []float64{x0, x1} {
			c.line(x, f.bottom, x, y+3, "stroke", line, "stroke-width", "0.6")
		}
		c.span(x0, x1, y, water)
		s := "data from " + Number(one.DataLow, 0) + " to " + Number(one.DataTo, 0) + thin + degree
		c.text(names, (x0+x1)/2, y-4, "middle", s, "fill", water, "stroke", sheet, "stroke-width", "3", "paint-order", "stroke")
		c.mark(i, (x0+x1)/2-widthOf(names, s)/2-10, y-8, water)
		y += 5
	}
	c.text(names, f.right+12, f.bottom+32, "start", "block temperature", "fill", ink2)
	return math.Max(y, f.bottom+32)
}

// differences draws a strip for each measured curve that a run covers: computed less measured, over the band.
func differences(c *canvas, all []Charted, over *frame, y float64) float64 {
	for i := range all {
		m := &all[i]
		if m.Computed {
			continue
		}
		for k := range all {
			r := &all[k]
			if !r.Computed || r.Area > 0 && m.Area > 0 && math.Abs(r.Area-m.Area) > 0.001*m.Area {
				continue
			}
			diff, low, high := make([]float64, len(m.T)), make([]float64, len(m.T)), make([]float64, len(m.T))
			for j, t := range m.T {
				diff[j] = math.NaN()
				if len(r.T) > 1 && t >= r.T[0] && t <= r.T[len(r.T)-1] {
					diff[j] = between(r.T, r.Q, t) - m.Q[j]
				}
				low[j], high[j] = m.Low[j]-m.Q[j], m.High[j]-m.Q[j]
			}
			if !anyNumber(diff) {
				continue
			}
			f := frame{left: over.left, right: over.right, top: y + 26, bottom: y + 26 + 92, x: over.x}
			f.fitTo([]curve{{values: diff}, {values: low}, {values: high}}, true)
			f.uprights(c)
			unit, per := powerUnit(f.y)
			f.grid(c, unit, per)
			for _, run := range whole(m.T) {
				band(c, m.T[run[0]:run[1]], low[run[0]:run[1]], high[run[0]:run[1]], &f)
			}
			c.line(f.left, f.py(0), f.right, f.py(0), "stroke", line, "stroke-width", "0.8")
			if d, _ := trace(m.T, diff, &f); d != "" {
				c.path(d, "fill", "none", "stroke", ink, "stroke-width", "1.4", "stroke-linejoin", "round")
			}
			f.temperatures(c)
			c.lines(names, f.right+12, f.top+10, 14, "start", wrap(names, "computed less measured; tint: 95"+thin+"% band of "+m.Name, historyWidth-f.right-18))
			y = f.bottom + 22
		}
	}
	return y
}
