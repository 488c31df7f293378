package figure

import (
	"fmt"
	"math"
)

// Reading is one column of a trial's record, as shown.
type Reading struct {
	Name   string
	Values []float64 // over the record's times; NaN: absent
	Water  bool      // of a circuit's water
}

// Panel is readings of one unit that stand in one plot.
type Panel struct {
	Title    string
	Unit     string
	Zero     bool // the plot shows zero
	Readings []Reading
}

// Stretch is a phase of a record.
type Stretch struct {
	Name     string
	From, To float64 // s
}

// Record draws what a trial measured, a plot for each panel over one axis of time, with its phases as dimension lines
// above and dashed lines through all plots. Every open mark is one reading; there are more readings than marks.
func Record(title string, says []string, times []float64, panels []Panel, phases []Stretch) []byte {
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("What was measured over time in %d plots, with %d phases", len(panels), len(phases)))
	y := c.head(title, says...) + 4
	t0, t1 := 0.0, 1.0
	if n := len(times); n > 0 && times[n-1] > times[0] {
		t0, t1 = times[0], times[n-1]
	}
	k := clockOver(t1 - t0)
	f := frame{left: plotLeft + 16, right: plotRight - 20, x: axis{t0, t1, k.step}}
	for _, p := range panels { // names at the right are never cut
		for _, r := range p.Readings {
			c.w = math.Max(c.w, math.Min(f.right+28+widthOf(names, r.Name)+8, 1400))
		}
	}
	first := y
	y = phasesAbove(c, &f, phases, y)
	from := 0 // marks go on from plot to plot, so that each column has its own shape as long as there are any
	for _, p := range panels {
		f.top = y + 26
		f.bottom = f.top + 130
		if p.Unit == degree && !p.Readings[0].Water {
			f.bottom = f.top + 240
		}
		var curves []curve
		for _, r := range p.Readings {
			curves = append(curves, curve{values: aboveNoise(r.Values, p.Zero)})
		}
		f.fitTo(curves, p.Zero)
		unit, per := p.Unit, 1.0
		switch most := math.Max(math.Abs(f.y.lo), math.Abs(f.y.hi)); {
		case unit == "W":
			unit, per = powerUnit(f.y)
		case (unit == "Pa" || unit == "J") && most >= 3000:
			unit, per = "k"+unit, 1000
		}
		ticks(c, &f, k)
		f.grid(c, unit, per)
		c.text(captions, f.left, f.top-7, "start", p.Title)
		readings(c, &f, times, p.Readings, from)
		from += len(p.Readings)
		y = f.bottom
	}
	numbered(c, &f, k)
	for _, s := range phases {
		for _, t := range []float64{s.From, s.To} {
			if t > t0 && t < t1 {
				c.line(f.px(t), first+6, f.px(t), y, "stroke", ink, "stroke-width", "0.6", "stroke-dasharray", "2 2")
			}
		}
	}
	c.h = y + 32
	return c.bytes()
}

// aboveNoise returns what an axis must show: where it begins at zero, what a meter reads a little below it does not count.
func aboveNoise(v []float64, zero bool) []float64 {
	if !zero {
		return v
	}
	hi := 0.0
	for _, x := range v {
		if x > hi {
			hi = x
		}
	}
	out := make([]float64, len(v))
	for i, x := range v {
		if x < 0 && x > -0.02*hi {
			x = 0
		}
		out[i] = x
	}
	return out
}

// phasesAbove draws the phases as dimension lines with their names above them, in as many rows as the names take.
func phasesAbove(c *canvas, f *frame, phases []Stretch, y float64) float64 {
	var free []float64 // px from which on a row is free
	for _, s := range phases {
		x0, x1 := f.px(math.Max(s.From, f.x.lo)), f.px(math.Min(s.To, f.x.hi))
		w := widthOf(names, s.Name)
		at := math.Min(math.Max((x0+x1)/2, f.left+w/2), f.right+20-w/2)
		row := 0
		for row < len(free) && free[row] > math.Min(x0, at-w/2)+0.5 {
			row++
		}
		if row == len(free) {
			free = append(free, 0)
		}
		free[row] = math.Max(x1, at+w/2)
		line := y + 18 + 20*float64(row)
		c.span(x0, x1, line, ink)
		c.text(names, at, line-4, "middle", s.Name, "stroke", sheet, "stroke-width", "3", "paint-order", "stroke")
	}
	return y + 20*float64(len(free)) + 4
}

// ticks draws the upright lines of a time axis.
func ticks(c *canvas, f *frame, k clock) {
	for t := math.Ceil(f.x.lo/k.step-1e-9) * k.step; t <= f.x.hi*(1+1e-12); t += k.step {
		c.line(f.px(t), f.top, f.px(t), f.bottom, "stroke", hair, "stroke-width", "0.8")
	}
}

// numbered numbers a time axis; the unit stands once, at the last number.
func numbered(c *canvas, f *frame, k clock) {
	for t := math.Ceil(f.x.lo/k.step-1e-9) * k.step; t <= f.x.hi*(1+1e-12); t += k.step {
		label := Number(t/k.size, k.decimals)
		if t+k.step > f.x.hi*(1+1e-12) {
			label += thin + k.unit
		}
		c.text(numbers, f.px(t), f.bottom+16, "middle", label)
	}
}

// readings draws columns as open marks, some sixty each or half of that where there are many, and names each at the right with its mark.
func readings(c *canvas, f *frame, times []float64, all []Reading, from int) {
	most := 56
	if len(all) > 8 { // else they hide one another
		most = 28
	}
	at := make([]float64, len(all))
	order := make([]int, 0, len(all))
	for i, r := range all {
		at[i] = math.NaN()
		var x, y []float64
		for k := range most {
			// The reading nearest to the middle of the part that is there.
			lo, hi := k*len(times)/most, (k+1)*len(times)/most
			best := -1
			for j := lo; j < hi; j++ {
				if mid := (lo + hi) / 2; !math.IsNaN(r.Values[j]) && (best < 0 || abs(j-mid) < abs(best-mid)) {
					best = j
				}
			}
			if best >= 0 {
				x, y = append(x, times[best]), append(y, r.Values[best])
				at[i] = f.py(r.Values[best])
			}
		}
		c.marksAt(from+i, f, x, y, colourOf(&all[i]))
		if !math.IsNaN(at[i]) {
			order = append(order, i)
		}
	}
	for i := 1; i < len(order); i++ {
		for j := i; j > 0 && at[order[j]] < at[order[j-1]]; j-- {
			order[j], order[j-1] = order[j-1], order[j]
		}
	}
	y := make([]float64, len(order))
	for i, k := range order {
		y[i] = at[k]
	}
	most2 := int((f.bottom-f.top)/rowHeight) + 1
	more := len(order) - most2
	if more > 0 {
		order, y = order[:most2-1], y[:most2-1]
		more++
	}
	moveApart(y, rowHeight, f.top+3, f.bottom-float64(min(1, max(0, more)))*rowHeight)
	for i, k := range order {
		c.path("M"+px(f.right+5)+" "+px(at[k])+"L"+px(f.right+14)+" "+px(y[i]), "fill", "none", "stroke", line, "stroke-width", "0.6")
		c.mark(from+k, f.right+20, y[i], colourOf(&all[k]))
		c.text(names, f.right+28, y[i]+4, "start", fit(names, all[k].Name, c.w-f.right-32), "fill", colourOf(&all[k]))
	}
	if more > 0 {
		c.text(names, f.right+28, f.bottom+4, "start", fmt.Sprintf("and %d more", more), "fill", ink2)
	}
}

func colourOf(r *Reading) string {
	if r.Water {
		return water
	}
	return ink
}

func abs(i int) int { return max(i, -i) }
