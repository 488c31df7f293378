package trial

import (
	"strings"
)

// clock guesses where the time stands.
func (l *looking) clock() {
	g, s := l.guess, l.sample
	l.clocks = map[int]bool{}
	if l.partsClock() {
		return
	}
	second := DayMonthYear
	if l.twelveHours() {
		second = MonthDayYear
	}
	for _, order := range []DateOrder{FoundOrder, second} {
		d := &decoder{src: &Source{Name: "file", Clock: Clock{Order: order}}, log: &Log{Layout: s.layout}, sample: s}
		d.setClock()
		if d.failed() {
			continue
		}
		k := &d.clock
		g.Clock = Clock{Kind: k.kind, Column: l.ref(k.column), Order: k.order, Unit: k.unit}
		l.clocks[k.column] = true
		if k.timeColumn >= 0 {
			g.Clock.Time = l.ref(k.timeColumn)
			l.clocks[k.timeColumn] = true
		}
		g.ClockHow, g.ClockOK = k.how, Sure
		if k.kind == Elapsed {
			g.ClockHow = "elapsed time"
		}
		if order != FoundOrder {
			g.ClockOK = Doubtful
			if order == MonthDayYear {
				g.ClockHow += ", since times of twelve hours mostly go with that (common practice); it could also be day before month"
			} else {
				g.ClockHow += "; the dates could also be month before day"
			}
		}
		return
	}
	// A column that rises evenly, in a unit of time, or without a unit: take seconds.
	for c := range s.width {
		if f, ok := timeUnits[strings.ToLower(s.units[c])]; ok && l.rises(c) {
			g.Clock = Clock{Kind: Elapsed, Column: l.ref(c), Unit: f}
			l.clocks[c] = true
			g.ClockHow, g.ClockOK = "elapsed time, by the unit of its heading", Likely
			return
		}
	}
	for c := range s.width {
		if l.rises(c) {
			g.Clock = Clock{Kind: Elapsed, Column: l.ref(c), Unit: 1}
			l.clocks[c] = true
			g.ClockHow, g.ClockOK = "a count that rises; its unit is a guess", Doubtful
			return
		}
	}
	g.ClockHow, g.ClockOK = "no clock is found", Doubtful
}

// twelveHours tells whether any of the first cells of the sample's rows ends in AM or PM.
func (l *looking) twelveHours() bool {
	for _, row := range l.sample.rows {
		for _, cell := range row[:min(len(row), 9)] {
			t := strings.ToUpper(strings.ReplaceAll(strings.Trim(cell, `" `), ".", ""))
			if len(t) > 2 && (strings.HasSuffix(t, "AM") || strings.HasSuffix(t, "PM")) && t[0] >= '0' && t[0] <= '9' {
				return true
			}
		}
	}
	return false
}

func (l *looking) ref(c int) Ref {
	if h := l.sample.headings[c]; h != "" && l.onlyOne(h) {
		return Ref{Heading: h}
	}
	return Ref{Number: c + 1}
}

func (l *looking) onlyOne(h string) bool {
	n := 0
	for _, x := range l.sample.headings {
		if strings.EqualFold(x, h) {
			n++
		}
	}
	return n == 1
}

// column returns the numbers of a column in the sample's rows; ok tells whether all are.
func (l *looking) column(c int) (v []float64, ok bool) {
	for _, row := range l.sample.rows {
		if c >= len(row) {
			return nil, false
		}
		x, good := number([]byte(row[c]), l.sample.layout.Decimal)
		if !good {
			return nil, false
		}
		v = append(v, x)
	}
	return v, len(v) > 2
}

func (l *looking) rises(c int) bool {
	v, ok := l.column(c)
	if !ok {
		return false
	}
	for i := 1; i < len(v); i++ {
		if v[i] <= v[i-1] {
			return false
		}
	}
	step := (v[len(v)-1] - v[0]) / float64(len(v)-1)
	for i := 1; i < len(v); i++ {
		if d := v[i] - v[i-1]; d > 3*step || d < step/3 {
			return false
		}
	}
	return true
}

// whole tells whether a column holds whole numbers within a range.
func (l *looking) whole(c int, lo, hi float64) ([]float64, bool) {
	v, ok := l.column(c)
	if !ok {
		return nil, false
	}
	for _, x := range v {
		if x != float64(int(x)) || x < lo || x > hi {
			return nil, false
		}
	}
	return v, true
}

// partsClock looks for columns of year, day and time among the first nine, by their headings or their numbers.
func (l *looking) partsClock() bool {
	s, g := l.sample, l.guess
	n := min(s.width, 9)
	year, doy, month, day := -1, -1, -1, -1
	for c := range n {
		if v, ok := l.whole(c, 1990, 2100); ok && v[len(v)-1]-v[0] <= 1 && year < 0 {
			year = c
		}
	}
	heading := func(c int, words ...string) bool {
		h := strings.ToLower(strings.Join(wordsOf(s.headings[c]), " "))
		for _, w := range words {
			if h == w {
				return true
			}
		}
		return false
	}
	hasMonth := false
	for c := range n {
		hasMonth = hasMonth || heading(c, "month", "monat", "mois", "mes", "mese", "mo")
	}
	for c := range n {
		if _, ok := l.whole(c, 1, 366); ok && !hasMonth && heading(c, "day", "doy", "day of year", "julian day", "jday", "tag", "jour", "dia") {
			doy = c
		}
	}
	unnamed := false
	if doy < 0 && year < 0 { // without headings: a day that stands still or goes up by one, then hours and minutes
		for c := 0; c+1 < n && doy < 0; c++ {
			d, ok := l.whole(c, 1, 366)
			t, then := l.whole(c+1, 0, 2400)
			if ok && then && s.headings[c] == "" && s.headings[c+1] == "" && steady(d) && hourMinutes(t) && risesInDay(t, make([]float64, len(t)), 1) > 0 {
				doy, unnamed = c, true
			}
		}
	}
	if year < 0 && doy < 0 {
		return false
	}
	// The time: hour and minute apart, or in one number; with them the stamps must rise from row to row.
	type pair struct{ h, m int }
	var time pair
	found, best := false, 0.0
	for h := range n {
		if h == year || h == doy {
			continue
		}
		if hv, ok := l.whole(h, 0, 23); ok && h+1 < n {
			if mv, ok := l.whole(h+1, 0, 59); ok && h+1 != doy {
				if r := risesInDay(hv, mv, 60); r > best {
					time, found, best = pair{h, h + 1}, true, r
				}
			}
		}
		if hv, ok := l.whole(h, 0, 2400); ok && hourMinutes(hv) && (heading(h, "hour minute", "hhmm", "time", "zeit", "hrmin", "hour min", "hm") || year >= 0 && h > year || unnamed && h == doy+1) {
			if r := risesInDay(hv, make([]float64, len(hv)), 1); r > best {
				time, found, best = pair{h, -1}, true, r
			}
		}
	}
	if !found {
		return false
	}
	// Between year and time: the day of the year, or month and day, or all three.
	if doy < 0 && year >= 0 {
		var between []int
		for c := year + 1; c < time.h; c++ {
			if _, ok := l.whole(c, 1, 366); ok {
				between = append(between, c)
			}
		}
		fits := func(c int, most float64) bool { _, ok := l.whole(c, 1, most); return ok }
		switch {
		case len(between) == 1:
			doy = between[0]
		case len(between) == 2 && fits(between[0], 12) && fits(between[1], 31):
			month, day = between[0], between[1]
		case len(between) == 3 && fits(between[1], 12) && fits(between[2], 31):
			doy, month, day = between[0], between[1], between[2]
		}
	}
	if doy < 0 && month < 0 {
		return false
	}
	dayParts := Clock{Kind: Parts}
	if doy >= 0 {
		dayParts.DayOfYear = l.ref(doy)
	} else {
		dayParts.Month, dayParts.Day = l.ref(month), l.ref(day)
	}
	g.Clock = dayParts
	if year >= 0 {
		g.Clock.Year = l.ref(year)
	} else {
		g.Clock.FixedYear = 2001
		g.Notes = append(g.Notes, "no column gives the year")
	}
	if time.m >= 0 {
		g.Clock.Hour, g.Clock.Minute = l.ref(time.h), l.ref(time.m)
	} else {
		g.Clock.HourMinute = l.ref(time.h)
	}
	for _, c := range []int{year, doy, month, day, time.h, time.m} {
		l.clocks[c] = true
	}
	if c := max(time.h, time.m) + 1; l.seconds(c, time.h, time.m) {
		g.Clock.Second = l.ref(c)
		l.clocks[c] = true
	}
	if time.m >= 0 && time.m+1 < s.width { // hours with a fraction say the same again
		if v, ok := l.column(time.m + 1); ok {
			h, _ := l.column(time.h)
			m, _ := l.column(time.m)
			same := true
			for i := range v {
				d := v[i] - h[i] - m[i]/60
				same = same && d < 0.01 && d > -0.01
			}
			if same {
				l.clocks[time.m+1] = true
			}
		}
	}
	g.ClockHow, g.ClockOK = "year, day and time of day in columns of their own", Likely
	if year < 0 {
		g.ClockHow, g.ClockOK = "day of the year and time of day in columns of their own, the year in none", Doubtful
		if unnamed {
			g.ClockHow = "a count of days and one of hours and minutes in columns without headings"
		}
	}
	return true
}

// seconds tells whether column c counts the seconds within the minute that the columns before it give: whole numbers
// from 0 to 59 that rise wherever the minute stays, and that do not stand still.
func (l *looking) seconds(c, hour, minute int) bool {
	v, ok := l.whole(c, 0, 59)
	if !ok {
		return false
	}
	h, _ := l.column(hour)
	m := make([]float64, len(h))
	if minute >= 0 {
		m, _ = l.column(minute)
	}
	within := 0
	for i := 1; i < len(v); i++ {
		if h[i] != h[i-1] || m[i] != m[i-1] {
			continue
		}
		if v[i] <= v[i-1] {
			return false
		}
		within++
	}
	return within > 0
}

// steady tells whether a count stands still or goes up by one at a time, over new year too, and hardly ever.
func steady(v []float64) bool {
	changes := 0
	for i := 1; i < len(v); i++ {
		if v[i] == v[i-1] {
			continue
		}
		if v[i] != v[i-1]+1 && (v[i] != 1 || v[i-1] < 365) {
			return false
		}
		changes++
	}
	return changes <= 1+len(v)/20
}

// risesInDay returns the share of rows whose time of day is later than that of the row before; 0 where one goes back
// without passing midnight.
func risesInDay(h, m []float64, size float64) float64 {
	rises := 0
	for i := 1; i < len(h); i++ {
		a, b := h[i-1]*size+m[i-1], h[i]*size+m[i]
		switch {
		case b > a && b-a < 6*size || size == 1 && b > a:
			rises++
		case b < a && a-b < 12*size:
			return 0
		}
	}
	return float64(rises) / float64(len(h)-1)
}

func hourMinutes(v []float64) bool {
	for i, x := range v {
		if int(x)%100 > 59 {
			return false
		}
		if i > 0 && x < v[i-1] && v[i-1]-x < 1200 {
			return false
		}
	}
	return v[0] != v[len(v)-1] && v[len(v)-1] > 59
}
