package trial

import (
	"fmt"
	"strings"
	"time"

	"emberbank/unit"
)

// clockReader turns the cells of a row into seconds from the log's base.
type clockReader struct {
	kind       ClockKind
	column     int
	timeColumn int // -1
	unit       float64
	order      DateOrder
	parts      [9]int // cells of year, month, day, day of year, hour, minute, second, hour-minute, decimal hour; -1
	year       int
	base       int64
	based      bool
	zone       int  // s, of cells that do not say theirs
	stated     bool // the zone is stated
	zoned      bool // every row so far had a zone
	unzoned    bool // some row had none
	cellZone   int  // s, of the first row
	lastDate   [16]byte
	lastLen    int
	lastDay    int
	lastDoy    int
	lastOfDay  float64
	days       int // nights passed by a clock that shows only the time of day
	dated      bool
	how        string
}

const (
	partYear = iota
	partMonth
	partDay
	partDayOfYear
	partHour
	partMinute
	partSecond
	partHourMinute
	partDecimalHour
)

// setClock finds the clock's columns and form.
func (d *decoder) setClock() {
	c := &d.src.Clock
	k := &d.clock
	*k = clockReader{kind: c.Kind, unit: c.Unit, order: c.Order, year: c.FixedYear, timeColumn: -1, column: -1, lastDoy: -1}
	for i := range k.parts {
		k.parts[i] = -1
	}
	defer d.headingZone(k)
	if c.Zone != nil {
		_, k.zone = time.Unix(0, 0).In(c.Zone).Zone()
		k.stated = true
	}
	find := func(r Ref) int {
		at, why, fix := d.find(r)
		if at < 0 {
			d.mistake(Finding{Key: "clock", Message: "clock: " + why, Fix: fix})
		}
		return at
	}
	if k.kind == FoundClock && !c.Column.Given() {
		d.findClock()
		return
	}
	switch k.kind {
	case Parts:
		for i, r := range []Ref{c.Year, c.Month, c.Day, c.DayOfYear, c.Hour, c.Minute, c.Second, c.HourMinute, c.DecimalHour} {
			if r.Given() {
				k.parts[i] = find(r)
			}
		}
		k.dated = k.parts[partDayOfYear] >= 0 || k.parts[partDay] >= 0
		k.how = "columns of day and time"
		if c.Since != nil {
			k.how += ", the given day for a start"
		}
	default:
		k.column = find(c.Column)
		if k.column < 0 {
			return
		}
		if c.Time.Given() {
			k.timeColumn = find(c.Time)
		}
		if k.kind == FoundClock {
			k.kind = d.kindOfColumn(k.column)
		}
		if k.kind == Elapsed {
			d.elapsed(k, c)
		} else {
			d.dateOrder(k)
		}
	}
}

// headingZone takes the zone of dates from their heading, as in "Time (UTC)" or "Date Time, GMT+01:00", where neither the
// description states one nor the cells do.
func (d *decoder) headingZone(k *clockReader) {
	if k.stated || !k.dated || k.kind == Elapsed {
		return
	}
	for _, c := range append([]int{k.column, k.timeColumn}, k.parts[:]...) {
		if c < 0 || c >= len(d.sample.headings) {
			continue
		}
		h := d.sample.headings[c] + " " + d.sample.units[c]
		for _, w := range []string{"UTC", "GMT"} {
			i := strings.Index(h, w)
			if i < 0 {
				continue
			}
			word := h[i:]
			if j := strings.IndexAny(word, " )],;"); j >= 0 {
				word = word[:j]
			}
			if z, ok := readZone(word); ok {
				k.zone, k.stated = z, true
				k.how += ", zone " + word + " by the heading"
				return
			}
		}
	}
}

// elapsed sets the unit and zero of a clock that counts.
func (d *decoder) elapsed(k *clockReader, c *Clock) {
	if k.unit == 0 {
		if f, ok := timeUnits[strings.ToLower(d.sample.units[k.column])]; ok {
			k.unit = f
		}
	}
	if k.unit == 0 {
		d.mistake(Finding{
			Key: "clock", Message: fmt.Sprintf("clock: %s counts time in column %d, but neither its heading nor the description says in which unit", d.src.Name, k.column+1),
			Fix: `add "unit: s" (or min, h, d, ms) to the clock`,
		})
	}
	k.how = "elapsed time in units of " + unit.Format(k.unit, unit.Time, "")
	if c.Since != nil {
		k.base, k.based, k.dated = c.Since.Unix(), true, true
		k.zoned, k.stated = c.SinceZoned, c.SinceZoned
		_, k.zone = c.Since.Zone()
		k.how += " since " + c.Since.Format("2006-01-02 15:04:05")
	}
}

// kindOfColumn tells a column of date-times from one of elapsed time.
func (d *decoder) kindOfColumn(at int) ClockKind {
	for _, row := range d.sample.rows {
		if at < len(row) && row[at] != "" {
			if _, ok := number([]byte(row[at]), d.log.Layout.Decimal); ok {
				if m, ok := readMoment([]byte(row[at]), d.clock.order); !ok || !m.dated {
					return Elapsed
				}
			}
			return DateTime
		}
	}
	return DateTime
}

// findClock looks for the clock in the first rows: cells with dates or times of day, or a column headed as time.
func (d *decoder) findClock() {
	k := &d.clock
	rows := d.sample.rows
	if len(rows) == 0 {
		return
	}
	date, day, both := -1, -1, -1
	for i := range d.sample.width {
		dated, timed, n := 0, 0, 0
		for _, row := range rows[:min(len(rows), 50)] {
			if i >= len(row) {
				continue
			}
			n++
			_, plain := number([]byte(row[i]), d.log.Layout.Decimal)
			m, ok := readMoment([]byte(row[i]), k.order)
			if ok && (!plain || m.dated && len(row[i]) >= 8 && strings.Contains(strings.ToLower(d.sample.headings[i]), "dat")) {
				if m.dated {
					dated++
				}
				if m.timed {
					timed++
				}
			}
		}
		switch {
		case n == 0:
		case dated*10 >= n*9 && timed*10 >= n*9 && both < 0:
			both = i
		case dated*10 >= n*9 && date < 0:
			date = i
		case timed*10 >= n*9 && day < 0:
			day = i
		}
	}
	switch {
	case both >= 0:
		k.kind, k.column = DateTime, both
	case date >= 0 && day >= 0:
		k.kind, k.column, k.timeColumn = DateTime, date, day
	case day >= 0:
		k.kind, k.column = DateTime, day
	default:
		for i, h := range d.sample.headings {
			name, u := splitHeading(h)
			f, ok := timeUnits[strings.ToLower(u)]
			if d.sample.units[i] != "" {
				f, ok = timeUnits[strings.ToLower(d.sample.units[i])]
			}
			if ok && isTimeWord(name) {
				k.kind, k.column, k.unit = Elapsed, i, f
				d.elapsed(k, &d.src.Clock)
				return
			}
		}
		d.mistake(Finding{
			Key: "clock", Message: "the clock of " + d.src.Name + " is not found: no column holds dates or times of day, and none is headed as a time with its unit",
			Fix: `say where the time stands, by "clock" of this logger`,
		})
		return
	}
	d.dateOrder(k)
}

func isTimeWord(name string) bool {
	switch strings.ToLower(strings.Trim(name, " ._-:")) {
	case "time", "t", "elapsed", "elapsed time", "zeit", "temps", "tiempo", "tempo", "tid", "tijd", "seconds", "sec", "sekunden", "timer", "run time", "runtime", "laufzeit", "secs", "clock", "czas":
		return true
	}
	return false
}

// dateOrder settles the order of day and month from the rows, and refuses what could be read in two ways.
func (d *decoder) dateOrder(k *clockReader) {
	k.kind = DateTime
	open, dayFirst, monthFirst, bad, dotted := "", 0, 0, "", false
	n := 0
	for _, row := range d.sample.rows {
		if k.column >= len(row) {
			continue
		}
		cell := row[k.column]
		m, ok := readMoment([]byte(cell), k.order)
		if !ok {
			if bad == "" && cell != "" {
				bad = cell
			}
			continue
		}
		n++
		k.dated = k.dated || m.dated
		if m.open {
			if open == "" {
				open = cell
			}
			dotted = strings.Count(cell, ".") >= 2
			if m.first > 12 {
				dayFirst++
			}
			if m.second > 12 {
				monthFirst++
			}
		}
	}
	switch {
	case n == 0:
		d.mistake(Finding{
			Key: "clock", Line: d.sample.start + 1, Column: k.column + 1, Message: fmt.Sprintf("clock: %q of %s is not a date or time that is known", shortened(bad), d.src.Name),
			Fix: "is it the right column? Known are forms such as 2026-03-14 09:30:00, 14.03.2026 09:30, 03/14/2026 9:30 PM, 14-Mar-2026 09:30",
		})
		return
	case open == "":
	case dayFirst > 0 && monthFirst == 0 || dotted && monthFirst == 0:
		k.order = DayMonthYear
	case monthFirst > 0 && dayFirst == 0:
		k.order = MonthDayYear
	default:
		d.mistake(Finding{
			Key: "clock", Line: d.sample.start + 1, Column: k.column + 1,
			Message: fmt.Sprintf("clock: %q of %s is read in two ways: day or month first", shortened(open), d.src.Name),
			Allowed: "year-month-day, day-month-year, month-day-year", Fix: `add "order: day-month-year" or "order: month-day-year" to the clock`,
		})
	}
	k.how = "date and time"
	switch {
	case !k.dated:
		k.how = "time of day, without a date"
	case k.order == DayMonthYear:
		k.how += ", day before month"
	case k.order == MonthDayYear:
		k.how += ", month before day"
	}
}
