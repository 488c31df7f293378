package bench

import (
	"time"

	"emberbank/trial"
)

func (r *reader) zone(v *value) *time.Location {
	z, ok := trial.Zone(v.text)
	if !ok {
		r.wrong(v, "not a zone that is known", "UTC, or a distance from it such as +01:00 or -05:30", "give the distance; names of zones change with summer time")
		return nil
	}
	return z
}

// clock reads where the time stands.
func (r *reader) clock(v *value) trial.Clock {
	c := trial.Clock{
		Column: ref(v.get("column")), Time: ref(v.get("time")), Year: ref(v.get("year")), Month: ref(v.get("month")), Day: ref(v.get("day")),
		DayOfYear: ref(v.get("day of year")), Hour: ref(v.get("hour")), Minute: ref(v.get("minute")), Second: ref(v.get("second")),
		HourMinute: ref(v.get("hour-minute")), DecimalHour: ref(v.get("decimal hour")), FixedYear: int(v.get("in year").number(0)),
		Offset: v.get("offset").number(0),
	}
	parts := []string{"year", "month", "day", "day of year", "hour", "minute", "second", "hour-minute", "decimal hour"}
	var given []string
	for _, k := range parts {
		if v.has(k) {
			given = append(given, k)
		}
	}
	switch {
	case len(given) > 0:
		c.Kind = trial.Parts
		r.clockParts(v, &c, given)
	case v.has("unit") || v.has("since"):
		c.Kind = trial.Elapsed
		if !c.Column.Given() {
			r.wrong(v, "it does not say in which column the time stands", "a clock with its column", `add "column: …"`)
		}
	}
	if u := v.get("unit"); u != nil {
		c.Unit = map[string]float64{"ms": 1e-3, "s": 1, "min": 60, "h": 3600, "d": 86400}[u.text]
	}
	c.Order = map[string]trial.DateOrder{
		"year-month-day": trial.YearMonthDay, "day-month-year": trial.DayMonthYear, "month-day-year": trial.MonthDayYear,
	}[v.get("order").word("")]
	if z := v.get("zone"); z != nil {
		c.Zone = r.zone(z)
	}
	if s := v.get("since"); s != nil {
		at, zoned, ok := trial.Moment(s.text)
		if !ok {
			r.wrong(s, "not a moment", "year first, such as 2026-03-14 09:30:00 +01:00", "write it in that form")
		} else {
			if !zoned && c.Zone != nil {
				at = time.Date(at.Year(), at.Month(), at.Day(), at.Hour(), at.Minute(), at.Second(), at.Nanosecond(), c.Zone)
				zoned = true
			}
			c.Since, c.SinceZoned = &at, zoned
		}
	}
	if a := v.get("align"); a != nil {
		c.Align = &trial.Align{Channel: a.get("channel").word(""), With: a.get("with").word(""), Within: a.get("within").number(600)}
	}
	return c
}

// clockParts checks that columns of parts make a time.
func (r *reader) clockParts(v *value, c *trial.Clock, given []string) {
	if v.has("column") || v.has("unit") || v.has("since") {
		r.wrong(v, "column, unit and since do not go together with "+given[0], "one column of time, or its parts", "take one of the two out")
	}
	if !v.has("hour") && !v.has("hour-minute") && !v.has("decimal hour") {
		r.wrong(v, "no column gives the hour", "hour, hour-minute or decimal hour", `add "hour-minute: …" or "hour: …"`)
	}
	if v.has("day of year") && v.has("day") {
		r.wrong(v.get("day"), "the day of the year says it already", "day of year, or month and day", "take one of the two out")
	}
	if v.has("day") != v.has("month") && !v.has("day of year") {
		r.wrong(v, "of month and day one is missing", "both, or day of year", "add the other")
	}
	if (v.has("day of year") || v.has("day")) && !v.has("year") && !v.has("in year") {
		r.wrong(v, "the year is not known", "year (a column) or in year (a number)", `add "in year: 2026"`)
	}
}
