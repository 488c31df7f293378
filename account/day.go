package account

import (
	"fmt"
	"math"
	"time"

	"emberbank/figure"
	"emberbank/history"
	"emberbank/yield"
)

// DaySentence is what a run with a load comes to in a sentence: how much of what was wanted is met, when it was fullest and from
// when on the load goes short. Starts is when the run begins, for times of the day; without one times count from its start.
func DaySentence(y *yield.Report, h *history.History, starts time.Time) string {
	s := y.Served
	if s == nil || !(s.Wanted > 0) {
		return fmt.Sprintf("Nothing is wanted of the water; it carries off %s.", energy(y.Delivered))
	}
	c := yield.CourseOf(h)
	at, from := "at", "from"
	if starts.IsZero() {
		at, from = "after", "after"
	}
	full := ""
	if !math.IsNaN(c.Full) {
		full = "; fullest " + at + " " + timeOfRun(starts, c.Full, y.Span)
	}
	unit, what := "\u00a0kWh", ""
	amount := func(x float64) string { return figure.Number(x/kWh, 1) }
	if s.Steam {
		unit, what = "\u00a0kg", " of steam"
		amount = func(x float64) string { return figure.Number(x, 1) }
	}
	if amount(s.Met) == amount(s.Wanted) && math.IsNaN(c.Short) {
		return fmt.Sprintf("All of the %s%s%s that are wanted are met%s.", amount(s.Wanted), unit, what, full)
	}
	short := ""
	if !math.IsNaN(c.Short) {
		short = ", short " + from + " " + timeOfRun(starts, c.Short, y.Span)
	}
	return fmt.Sprintf("Of %s%s%s wanted %s are met%s%s.", amount(s.Wanted), unit, what, amount(s.Met), full, short)
}

// timeOfRun writes a time t of a run, in s, as the clock of its duty shows it, or counted from the start where it has none; of a run
// that spans more than a day with the number of the day.
func timeOfRun(starts time.Time, t, span float64) string {
	const day = 86400
	m := math.Round(t/60) * 60
	if starts.IsZero() {
		return figure.Span(m)
	}
	at := starts.Add(time.Duration(m) * time.Second)
	text := fmt.Sprintf("%d:%02d", at.Hour(), at.Minute())
	if span > day*(1+1e-9) {
		midnight := time.Date(starts.Year(), starts.Month(), starts.Day(), 0, 0, 0, 0, starts.Location())
		text += fmt.Sprintf(" of day %d", int(at.Sub(midnight).Hours()/24)+1)
	}
	return text
}
