package trial

import (
	"math"
)

func (k *clockReader) words() string { return k.how }

// need is the highest cell that the clock reads.
func (k *clockReader) need() int {
	n := max(k.column, k.timeColumn)
	for _, p := range k.parts {
		n = max(n, p)
	}
	return n
}

// read returns a row's time in s from the base, which the first row sets.
func (k *clockReader) read(cells [][]byte, decimal byte) (float64, bool) {
	switch k.kind {
	case Elapsed:
		if k.column >= len(cells) {
			return 0, false
		}
		v, ok := number(cells[k.column], decimal)
		return v * k.unit, ok && !math.IsInf(v*k.unit, 0)
	case Parts:
		return k.readParts(cells, decimal)
	}
	return k.readDateTime(cells)
}

func (k *clockReader) readDateTime(cells [][]byte) (float64, bool) {
	if k.column >= len(cells) || k.timeColumn >= len(cells) {
		return 0, false
	}
	m, ok := readMoment(cells[k.column], k.order)
	if !ok {
		return 0, false
	}
	if k.timeColumn >= 0 {
		tm, ok := readMoment(cells[k.timeColumn], k.order)
		if !ok || !tm.timed || !m.dated || tm.seconds > 86400 {
			return 0, false
		}
		m.seconds, m.timed = tm.seconds, true
		if tm.zoned {
			m.zone, m.zoned = tm.zone, true
		}
	}
	if m.dated != k.dated {
		return 0, false
	}
	if !m.dated {
		// A time of day that falls back by more than half a day has passed midnight.
		if m.seconds+43200 < k.lastOfDay && m.seconds < 86400 && k.lastOfDay < 86401 {
			k.days++
		}
		k.lastOfDay = m.seconds
		return float64(k.days)*86400 + m.seconds, true
	}
	day := k.day(m)
	zone := k.zone
	if m.zoned {
		zone = m.zone
		if !k.zoned {
			k.cellZone = zone
		}
		k.zoned = true
	} else {
		k.unzoned = true
	}
	return k.since(day, m.seconds, zone), true
}

// day numbers a date, remembering the last one.
func (k *clockReader) day(m moment) int {
	key := [16]byte{byte(m.year >> 8), byte(m.year), byte(m.month), byte(m.day)}
	if k.lastLen == 0 || key != k.lastDate {
		k.lastDate, k.lastLen, k.lastDay = key, 4, dayNumber(m.year, m.month, m.day)
	}
	return k.lastDay
}

// since returns s from the base; the first row sets it to its own midnight.
func (k *clockReader) since(day int, seconds float64, zone int) float64 {
	whole := int64(day)*86400 - int64(zone)
	if !k.based {
		k.base, k.based = whole, true
	}
	return float64(whole-k.base) + seconds
}

func (k *clockReader) readParts(cells [][]byte, decimal byte) (float64, bool) {
	var v [9]float64
	for i, at := range k.parts {
		if at < 0 {
			continue
		}
		if at >= len(cells) {
			return 0, false
		}
		x, ok := number(cells[at], decimal)
		if !ok || math.Abs(x) > 1e6 {
			return 0, false
		}
		v[i] = x
	}
	seconds := v[partHour]*3600 + v[partMinute]*60 + v[partSecond] + v[partDecimalHour]*3600
	if k.parts[partHourMinute] >= 0 {
		hm := int(v[partHourMinute])
		if float64(hm) != v[partHourMinute] || hm < 0 || hm%100 > 59 || hm > 2400 {
			return 0, false
		}
		seconds += float64(hm/100)*3600 + float64(hm%100)*60
	}
	if seconds < 0 || seconds > 86400 || v[partMinute] >= 60 || v[partMinute] < 0 || v[partSecond] >= 61 || v[partSecond] < 0 {
		return 0, false
	}
	if !k.dated {
		if seconds+43200 < k.lastOfDay {
			k.days++
		}
		k.lastOfDay = seconds
		return float64(k.days)*86400 + seconds, true
	}
	year := k.year
	if k.parts[partYear] >= 0 {
		year = int(v[partYear])
		if year >= 0 && year < 100 {
			year += 2000
		}
	}
	if k.parts[partDayOfYear] >= 0 {
		doy := int(v[partDayOfYear])
		if k.parts[partYear] < 0 {
			if k.lastDoy > 300 && doy < 66 { // over new year
				k.year++
				year = k.year
			}
			k.lastDoy = doy
		}
		if y := year; y < 1900 || y > 2200 || doy < 1 || doy > 366 || doy == 366 && !leap(y) {
			return 0, false
		}
		return k.since(dayNumber(year, 1, 1)+doy-1, seconds, k.zone), true
	}
	mo, dd := int(v[partMonth]), int(v[partDay])
	if !validDate(year, mo, dd) {
		return 0, false
	}
	return k.since(dayNumber(year, mo, dd), seconds, k.zone), true
}
