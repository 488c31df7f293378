package figure

import (
	"fmt"
	"math"
)

// CalendarDay is one day of a season: amounts in one unit.
type CalendarDay struct {
	Wanted float64 // of a load; 0: nothing
	Met    float64 // of Wanted; without a load, what was delivered
}

// perColumn is how many days stand below one another.
const perColumn = 31

// Calendar draws a season day by day, in columns of 31 days: the width of each day's bar is the heat that was wanted, solid as
// far as it was met, hatched where it was missed. Without a load the bars are what was delivered. Unit names the amounts, and
// per is how many of them a unit holds.
func Calendar(title string, load bool, unit string, per float64, days []CalendarDay) []byte {
	const left, gap, tall, bar = 44.0, 10.0, 13.0, 8.0
	columns := (len(days) + perColumn - 1) / perColumn
	most := 0.0
	for _, d := range days {
		most = math.Max(most, math.Max(d.Wanted, d.Met))
	}
	room := (historyWidth - left - 20) / float64(max(columns, 1))
	c := newCanvas(historyWidth, 0, title, fmt.Sprintf("%d days as bars; the widest is %.4g %s", len(days), most/per, unit))
	says := "Bars as wide as what was delivered on the day"
	if load {
		says = "Bars as wide as what was wanted on the day: solid where it was met, hatched where it was missed"
	}
	top := c.head(title, fmt.Sprintf("%s; the widest is %.3g%s%s.", says, most/per, thin, unit)) + 26
	c.raw("<defs>")
	c.pattern("missed", 5, 5, 45, "M2 0V5", "stroke", ink, "stroke-width", "0.8")
	c.raw("</defs>\n")
	for i := 0; i < perColumn && i < len(days); i++ {
		if i == 0 || (i+1)%5 == 0 {
			c.text(numbers, left-8, top+float64(i)*tall+bar, "end", fmt.Sprint(i+1))
		}
	}
	for k := range columns {
		x := left + float64(k)*room
		c.text(numbers, x, top-9, "start", fmt.Sprintf("+%d", k*perColumn))
		c.line(x, top-3, x, top+float64(min(perColumn, len(days)-k*perColumn))*tall, "stroke", hair, "stroke-width", "0.8")
	}
	wide := room - gap
	for i, d := range days {
		if most <= 0 {
			break
		}
		x, y := left+float64(i/perColumn)*room, top+float64(i%perColumn)*tall
		met, whole := d.Met/most*wide, math.Max(d.Wanted, d.Met)/most*wide
		if whole-met > 0.2 {
			c.rect(x+met, y, whole-met, bar, "fill", "url(#missed)", "stroke", ink, "stroke-width", "0.6")
		}
		if met > 0 {
			c.rect(x, y, met, bar, "fill", ink2)
		}
		if whole <= 0 { // a dry bed
			c.line(x, y+bar/2, x+8, y+bar/2, "stroke", line, "stroke-width", "1", "stroke-dasharray", "4 3")
		}
	}
	c.h = top + float64(min(perColumn, max(len(days), 1)))*tall + 14
	return c.bytes()
}
