package trial

import (
	"strings"
	"time"
)

// moment is what a cell with a date, a time of day or both says.
type moment struct {
	year, month, day int
	seconds          float64 // of the day, or of a count of hours above 24 where no date stands before
	zone             int     // s east of Greenwich
	dated, timed     bool
	zoned            bool
	first, second    int  // the two numbers of a date whose order is open
	open             bool // first and second could be day and month or month and day
}

// months are the first letters of the months' names in some languages, as they are or without accents.
var months = map[string]int{
	"jan": 1, "ene": 1, "gen": 1, "feb": 2, "fév": 2, "fev": 2, "mar": 3, "mär": 3, "maer": 3, "mrz": 3, "mrt": 3, "apr": 4, "avr": 4, "abr": 4,
	"may": 5, "mai": 5, "mag": 5, "mei": 5, "jun": 6, "juin": 6, "giu": 6, "jul": 7, "juil": 7, "lug": 7, "aug": 8, "aoû": 8, "aou": 8, "ago": 8,
	"sep": 9, "set": 9, "sept": 9, "oct": 10, "okt": 10, "ott": 10, "out": 10, "nov": 11, "dec": 12, "dez": 12, "déc": 12, "dic": 12,
}

// digits reads up to most digits at i.
func digits(b []byte, i, most int) (v, n int) {
	for n < most && i+n < len(b) && b[i+n]-'0' < 10 {
		v = v*10 + int(b[i+n]-'0')
		n++
	}
	return v, n
}

// readMoment reads a date, a time of day, or both. The order says how a date of three numbers is meant that does not
// begin with four digits. It knows "2026-03-14 09:30:05.25", "2026-03-14T09:30Z", "14.03.2026 9:30", "3/14/26 09:30 PM",
// "14-Mar-2026", "20260314 093005", "09:30:05,5" and distances from UTC at the end.
func readMoment(b []byte, order DateOrder) (m moment, ok bool) {
	b = trim(b)
	if len(b) > 48 || len(b) < 3 {
		return m, false
	}
	i := 0
	if _, n := digits(b, 0, 9); n == 8 { // 20260314
		y, _ := digits(b, 0, 4)
		mo, _ := digits(b, 4, 2)
		d, _ := digits(b, 6, 2)
		m.year, m.month, m.day, m.dated = y, mo, d, true
		i = 8
	} else if n > 0 && n <= 4 && n < len(b) && isDateMark(b[n]) || n == 0 {
		end, good := m.date(b, order)
		if !good {
			return m, false
		}
		i = end
	}
	if m.dated && !validDate(m.year, m.month, m.day) {
		return m, false
	}
	for i < len(b) && (b[i] == ' ' || b[i] == 'T' || b[i] == 't' || b[i] == ',' || b[i] == '_') {
		i++
	}
	if i == len(b) {
		return m, m.dated
	}
	if i > 0 && m.dated && (b[i] == '-' || b[i] == ':' || b[i] == '/') { // 2026-03-14-09:30
		i++
	}
	return m.clock(b, i)
}

func isDateMark(c byte) bool { return c == '-' || c == '/' || c == '.' }

func (m *moment) date(b []byte, order DateOrder) (end int, ok bool) {
	var v, width [3]int
	name := -1
	i := 0
	for k := range 3 {
		if i >= len(b) {
			return 0, false
		}
		x, n := digits(b, i, 4)
		if n == 0 {
			x, n = monthName(b[i:])
			if n == 0 || name >= 0 {
				return 0, false
			}
			name = k
		}
		v[k], width[k] = x, n
		i += n
		if k < 2 {
			for j := 0; j < 2 && i < len(b) && (isDateMark(b[i]) || b[i] == ' ' && (name >= 0 || j > 0 || hasLetter(b[i:]))); j++ {
				i++
			}
		}
	}
	year := func(x, n int) int {
		if n <= 2 {
			return 2000 + x
		}
		return x
	}
	switch {
	case width[0] == 4 && name != 0: // year first, the month second
		m.year, m.month, m.day = v[0], v[1], v[2]
		if name == 2 {
			return 0, false
		}
	case name == 1:
		m.year, m.month, m.day = year(v[2], width[2]), v[1], v[0]
	case name == 0:
		m.year, m.month, m.day = year(v[2], width[2]), v[0], v[1]
	case name == 2:
		return 0, false
	case order == YearMonthDay:
		m.year, m.month, m.day = year(v[0], width[0]), v[1], v[2]
	default:
		m.year, m.first, m.second = year(v[2], width[2]), v[0], v[1]
		m.open = order == FoundOrder
		m.day, m.month = v[0], v[1]
		if order == MonthDayYear || order == FoundOrder && v[1] > 12 {
			m.day, m.month = v[1], v[0]
		}
	}
	m.dated = true
	return i, true
}

func hasLetter(b []byte) bool {
	for i := 0; i < len(b) && i < 5; i++ {
		if c := b[i] | 0x20; c >= 'a' && c <= 'z' && c != 't' {
			return true
		}
	}
	return false
}

func monthName(b []byte) (month, n int) {
	for n < len(b) && n < 12 && (b[n] >= 0x80 || b[n]|0x20 >= 'a' && b[n]|0x20 <= 'z') {
		n++
	}
	low := make([]byte, n)
	for i := range low {
		low[i] = b[i]
		if b[i] >= 'A' && b[i] <= 'Z' {
			low[i] |= 0x20
		}
	}
	for _, k := range []int{4, 3} {
		if n >= k {
			if mo, found := months[string(low[:k])]; found {
				if n < len(b) && b[n] == '.' {
					n++
				}
				return mo, n
			}
		}
	}
	return 0, 0
}

// clock reads a time of day from i on, with its zone.
func (m *moment) clock(b []byte, i int) (moment, bool) {
	h, n := digits(b, i, 6)
	i += n
	var mi int
	sec := 0.0
	switch {
	case n == 6 || n == 4: // 093005, 0930
		if !m.dated {
			return *m, false
		}
		if n == 6 {
			h, mi, sec = h/10000, h/100%100, float64(h%100)
		} else {
			h, mi = h/100, h%100
		}
	case n >= 1 && i < len(b) && (b[i] == ':' || b[i] == 'h' || b[i] == '.' && m.dated):
		i++
		mi, n = digits(b, i, 2)
		if n == 0 {
			return *m, false
		}
		i += n
		if i < len(b) && (b[i] == ':' || b[i] == 'm' || b[i] == '.' && i+2 < len(b) && m.dated) {
			i++
			s, n := digits(b, i, 2)
			if n == 0 {
				return *m, false
			}
			sec = float64(s)
			i += n
			if i < len(b) && b[i] == 's' {
				i++
			}
		}
	default:
		return *m, false
	}
	if i < len(b) && (b[i] == '.' || b[i] == ',' || b[i] == ':') {
		f, n := digits(b, i+1, 9)
		if n == 0 {
			return *m, false
		}
		sec += float64(f) / tens[n]
		i += 1 + n
	}
	for i < len(b) && b[i] == ' ' {
		i++
	}
	if i+1 < len(b) && (b[i]|0x20 == 'a' || b[i]|0x20 == 'p') { // AM, PM, a.m.
		pm := b[i]|0x20 == 'p'
		j := i + 1
		if b[j] == '.' {
			j++
		}
		if j >= len(b) || b[j]|0x20 != 'm' || h > 12 || h == 0 {
			return *m, false
		}
		j++
		if j < len(b) && b[j] == '.' {
			j++
		}
		h %= 12
		if pm {
			h += 12
		}
		i = j
		for i < len(b) && b[i] == ' ' {
			i++
		}
	}
	if mi > 59 || sec >= 61 || m.dated && (h > 24 || h == 24 && (mi > 0 || sec > 0)) || h > 100000 {
		return *m, false
	}
	m.seconds, m.timed = float64(h)*3600+float64(mi)*60+sec, true
	if i < len(b) {
		z, good := readZone(string(b[i:]))
		if !good {
			return *m, false
		}
		m.zone, m.zoned = z, true
	}
	return *m, true
}

// readZone reads a zone as loggers and descriptions write it: "Z", "UTC", "GMT", "+01:00", "UTC+1", "-0530".
func readZone(s string) (east int, ok bool) {
	for len(s) > 0 && (s[0] == ' ' || s[0] == '(' || s[0] == '[') {
		s = s[1:]
	}
	for len(s) > 0 && (s[len(s)-1] == ' ' || s[len(s)-1] == ')' || s[len(s)-1] == ']') {
		s = s[:len(s)-1]
	}
	for _, w := range []string{"UTC", "GMT", "Z", "utc", "gmt", "z"} {
		if len(s) >= len(w) && s[:len(w)] == w {
			s = s[len(w):]
			if s == "" {
				return 0, true
			}
			break
		}
	}
	if s == "" {
		return 0, false
	}
	sign := 1
	switch {
	case s[0] == '-':
		sign, s = -1, s[1:]
	case len(s) > 3 && s[:3] == "−":
		sign, s = -1, s[3:]
	case s[0] == '+':
		s = s[1:]
	default:
		return 0, false
	}
	b := []byte(s)
	h, n := digits(b, 0, 4)
	mi := 0
	switch {
	case n == 3 || n == 4:
		h, mi = h/100, h%100
	case n >= 1 && n < len(b) && b[n] == ':':
		var k int
		mi, k = digits(b, n+1, 2)
		n += 1 + k
	}
	if n == 0 || n != len(b) || h > 14 || mi > 59 {
		return 0, false
	}
	return sign * (h*3600 + mi*60), true
}

// Zone reads a zone as a description states it: UTC, or a distance from it such as "+01:00".
func Zone(text string) (*time.Location, bool) {
	east, ok := readZone(text)
	if !ok {
		return nil, false
	}
	return location(east), true
}

func location(east int) *time.Location {
	if east == 0 {
		return time.UTC
	}
	return time.FixedZone("", east)
}

// Moment reads a date with or without a time of day and zone, year first, such as "2026-03-14 09:30 +01:00" or "1970-01-01 UTC".
func Moment(text string) (at time.Time, zoned, ok bool) {
	m, ok := readMoment([]byte(text), YearMonthDay)
	if day, zone, two := strings.Cut(text, " "); !ok && two { // a zone behind a date alone
		m, ok = readMoment([]byte(day+" 00:00:00 "+zone), YearMonthDay)
	}
	if !ok || !m.dated {
		return time.Time{}, false, false
	}
	zone := time.UTC
	if m.zoned {
		zone = location(m.zone)
	}
	day := time.Date(m.year, time.Month(m.month), m.day, 0, 0, 0, 0, zone)
	return day.Add(time.Duration(m.seconds * 1e9)), m.zoned, true
}

// validDate begins with 1899, from whose 30 December spreadsheets count their days.
func validDate(y, mo, d int) bool {
	return y >= 1899 && y <= 2200 && mo >= 1 && mo <= 12 && d >= 1 && d <= daysIn(y, mo)
}

func leap(y int) bool { return y%4 == 0 && (y%100 != 0 || y%400 == 0) }

func daysIn(y, mo int) int {
	switch mo {
	case 2:
		if leap(y) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// dayNumber counts days from 1970-01-01.
func dayNumber(y, mo, d int) int {
	return int(time.Date(y, time.Month(mo), d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}
