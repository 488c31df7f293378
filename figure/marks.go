package figure

import "emberbank/heat"

// maxMarkRows is how many rows of names stand above a history; further events keep their line only.
const maxMarkRows = 5

// marks says in which row the name of each event stands, -1 where there is no room.
type marks struct {
	row  []int
	text []string
	rows int
}

// layMarks puts the names of events into rows so that none runs into another.
func layMarks(r *heat.Result, right float64) marks {
	m := marks{row: make([]int, len(r.Events)), text: make([]string, len(r.Events))}
	if len(r.History.Time) == 0 {
		return m
	}
	f := frame{left: plotLeft, right: right}
	n := len(r.History.Time)
	f.x = axis{r.History.Time[0], r.History.Time[n-1], 1}
	if f.x.hi <= f.x.lo {
		f.x.hi = f.x.lo + 1
	}
	var free [maxMarkRows]float64 // px from which on a row is free
	for i, e := range r.Events {
		x := f.px(e.At)
		m.text[i] = fit(names, e.What, 250)
		w := widthOf(names, m.text[i]) + 16
		m.row[i] = -1
		for k := range free {
			if free[k] <= x {
				m.row[i] = k
				free[k] = x + w
				m.rows = max(m.rows, k+1)
				break
			}
		}
	}
	return m
}

// drawMarks draws a flag with its name and a dashed line through both plots for every event.
func drawMarks(c *canvas, r *heat.Result, m marks, upper, lower frame, wide float64) {
	halo := []string{"stroke", sheet, "stroke-width", "3", "paint-order", "stroke"} // over other events' lines
	for _, line := range [2]bool{true, false} {                                     // lines first, so that no line runs through a name
		drawMark(c, r, m, upper, lower, wide, line, halo)
	}
}

func drawMark(c *canvas, r *heat.Result, m marks, upper, lower frame, wide float64, line bool, halo []string) {
	for i, e := range r.Events {
		x := upper.px(e.At)
		if !(x >= upper.left-0.5 && x <= upper.right+0.5) {
			continue
		}
		top := upper.top
		if m.row[i] >= 0 {
			y := 44 + rowHeight*float64(m.row[i])
			top = y
		}
		if line {
			c.line(x, top, x, lower.bottom, "stroke", ink, "stroke-width", "0.6", "stroke-dasharray", "2 2")
		} else if m.row[i] >= 0 {
			y, s := top, m.text[i]
			w := widthOf(names, s)
			c.path("M"+px(x)+" "+px(y)+"L"+px(x+6)+" "+px(y+2.5)+"L"+px(x)+" "+px(y+5)+"Z", "fill", ink)
			if x+10+w > wide-6 { // near the edge the name stands on the left
				c.text(names, x-5, y+8, "end", s, halo...)
			} else {
				c.text(names, x+10, y+8, "start", s, halo...)
			}
		}
	}
}
