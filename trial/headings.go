package trial

import (
	"bytes"
	"slices"
	"strings"
	"unicode/utf8"

	"emberbank/unit"
)

// findHeadings takes the lines right above the data as headings: one of names, and perhaps one of units below it.
func (s *sample) findHeadings(sp *splitter, want Layout, first int) {
	s.headings, s.units = make([]string, s.width), make([]string, s.width)
	var above [][]string
	most := want.Headings
	if most < 0 {
		most = 3
	}
	top := s.start
	dayApart := s.layout.Separator == Blanks && dayThenTime(sp.split(s.lines[s.start]))
	for i := s.start - 1; i >= 0 && i >= first && len(above) < most; i-- {
		line := s.lines[i]
		if isComment(line) && want.Headings < 0 {
			line = bytes.TrimLeft(trim(line), "#% ")
		}
		if len(trim(line)) == 0 {
			if want.Headings < 0 && len(above) > 0 {
				break
			}
			continue
		}
		cells := sp.split(line)
		if s.layout.Separator == Blanks && len(cells) != s.width {
			if cells = withBrackets(cells); len(cells) != s.width {
				cells = byWideBlanks(line, s.width)
			}
			if cells == nil && dayApart { // one heading over a date and a time of day
				if cells = withBrackets(sp.split(line)); len(cells) != s.width-1 {
					cells = byWideBlanks(line, s.width-1)
				}
				if cells != nil {
					cells = slices.Insert(slices.Clone(cells), 1, nil)
				}
			}
		}
		if want.Headings < 0 && (len(cells) < s.width-1 || len(cells) > s.width+2 || !mostlyWords(cells, s.layout.Decimal)) {
			break
		}
		row := make([]string, s.width)
		for k := range min(len(cells), s.width) {
			row[k] = legible(cells[k])
		}
		above = append([][]string{row}, above...)
		top = i
	}
	if len(above) == 3 && want.Headings < 0 && !unitsRow(above[1]) && !unitsRow(above[2]) {
		above = above[2:] // preamble with as many cells
		top = s.start - 1
	}
	s.layout.Headings, s.layout.Skip = s.start-top, top
	names, units := above, [][]string(nil)
	if len(above) == 1 && repeats(above[0]) && unitsRow(above[0]) {
		names, units, s.onlyUnits = nil, above, true
	}
	for k := range above {
		if k > 0 && unitsRow(above[k]) {
			names, units = above[:k], above[k:]
			break
		}
	}
	if want.Headings < 0 && len(names) > 1 && (s.layout.Separator == Blanks || !full(names[0])) {
		names = names[len(names)-1:] // what stands above is preamble
	}
	for k := range s.width {
		var parts []string
		for _, row := range names {
			if row[k] != "" {
				parts = append(parts, row[k])
			}
		}
		s.headings[k] = strings.Join(parts, " ")
		_, s.units[k] = splitHeading(s.headings[k])
		if len(units) > 0 && units[0][k] != "" && s.units[k] == "" {
			s.units[k] = strings.Trim(units[0][k], "[]() ")
		}
	}
}

// dayThenTime tells whether a row begins with a date and, parted from it by a blank, a time of day.
func dayThenTime(cells [][]byte) bool {
	if len(cells) < 3 {
		return false
	}
	day, ok := readMoment(cells[0], FoundOrder)
	clock, then := readMoment(cells[1], FoundOrder)
	return ok && then && (day.dated || day.open) && !day.timed && clock.timed && !clock.dated
}

func full(row []string) bool {
	n := 0
	for _, c := range row {
		if c != "" {
			n++
		}
	}
	return 2*n > len(row)
}

// withBrackets joins units in brackets to the names before them.
func withBrackets(cells [][]byte) [][]byte {
	var out [][]byte
	for _, c := range cells {
		if n := len(out); n > 0 && len(c) > 1 && (c[0] == '[' || c[0] == '(') {
			out[n-1] = append(append(append([]byte(nil), out[n-1]...), ' '), c...)
			continue
		}
		out = append(out, c)
	}
	return out
}

// byWideBlanks cuts a line of headings at two or more blanks, where names hold single ones.
func byWideBlanks(line []byte, width int) [][]byte {
	var out [][]byte
	for _, part := range bytes.Split(bytes.ReplaceAll(line, []byte("\t"), []byte("  ")), []byte("  ")) {
		if p := trim(part); len(p) > 0 {
			out = append(out, p)
		}
	}
	if len(out) != width {
		return nil
	}
	return out
}

// mostlyWords tells headings from data.
func mostlyWords(cells [][]byte, decimal byte) bool {
	words, full := 0, 0
	for _, c := range cells {
		if len(c) == 0 {
			continue
		}
		full++
		if _, ok := number(c, decimal); !ok {
			if _, ok := readMoment(c, FoundOrder); !ok {
				words++
			}
		}
	}
	return full > 0 && 3*words >= 2*full
}

// repeats tells whether two cells of a row are alike, as units are and names are not.
func repeats(row []string) bool {
	for i, c := range row {
		if c != "" && slices.Contains(row[:i], c) {
			return true
		}
	}
	return false
}

// unitsRow tells whether a line under the names holds units.
func unitsRow(row []string) bool {
	full, units := 0, 0
	for _, c := range row {
		if c = strings.Trim(c, "[]() "); c == "" {
			continue
		}
		full++
		if _, ok := unitOf(c); ok || clockWord(c) {
			units++
		}
	}
	return full > 0 && 2*units > full
}

func clockWord(c string) bool {
	switch strings.ToLower(c) {
	case "ts", "rn", "utc", "time", "date", "yyyy-mm-dd", "hh:mm:ss", "-", "":
		return true
	}
	return strings.Contains(strings.ToLower(c), "mm") && strings.ContainsAny(c, ":-./")
}

// legible makes text of a cell that may be in the older one-byte coding of western Europe (ISO 8859-1).
func legible(b []byte) string {
	if utf8.Valid(b) {
		return string(b)
	}
	out := make([]rune, 0, len(b))
	for _, c := range b {
		out = append(out, rune(c))
	}
	return string(out)
}

// opening returns where the bracket opens that closes at the end of a heading; -1 where none does.
func opening(h string) int {
	depth := 0
	for i := len(h) - 1; i >= 0; i-- {
		switch h[i] {
		case ')', ']':
			depth++
		case '(', '[':
			if depth--; depth == 0 {
				return i
			}
		}
		if depth == 0 {
			return -1
		}
	}
	return -1
}

func gaugeUnit(text string) bool {
	_, is := unit.Gauge(text)
	return is
}

// splitHeading parts a heading into name and unit: "T in [°C]", "T_in (degC)", "flow / l/min", "Zulauf in °C", "GHI, W/m2".
func splitHeading(h string) (name, unitText string) {
	h = strings.TrimSpace(h)
	if n, u := unit.ParseHeading(h); u != "" {
		return n, u
	}
	unknownName, unknown := h, ""
	if i := opening(h); i > 0 { // "p (bar(g))": a gauge's unit is not that of an absolute pressure
		if inner := strings.TrimSpace(h[i+1 : len(h)-1]); gaugeUnit(inner) {
			return strings.TrimSpace(h[:i]), inner
		}
	}
	if strings.HasSuffix(h, ")") {
		if i := strings.LastIndex(h, "("); i > 0 {
			inner := strings.TrimSpace(h[i+1 : len(h)-1])
			if j := strings.LastIndex(h[:i], "("); j > 0 && strings.Contains(inner, " ") { // "flow (kg/(m2 s))" keeps its own
				inner = strings.TrimSpace(h[j+1 : len(h)-1])
				i = j
			}
			if _, ok := unitOf(inner); ok {
				return strings.TrimSpace(h[:i]), inner
			}
			unknownName, unknown = strings.TrimSpace(h[:i]), inner
		}
	}
	for _, mark := range []string{" / ", ", ", " in ", ": "} {
		if i := strings.LastIndex(h, mark); i > 0 {
			if u := strings.TrimSpace(h[i+len(mark):]); u != "" {
				if _, ok := unitOf(u); ok || gaugeUnit(u) {
					return strings.TrimSpace(h[:i]), u
				}
			}
		}
	}
	for i := 1; i < len(h)-1; i++ { // from the left, so that "flow l/min" ends in l/min and not in min
		if !strings.ContainsRune("_/ ", rune(h[i])) {
			continue
		}
		u := strings.TrimSpace(h[i+1:])
		if _, ok := unitOf(u); ok && len(u) > 1 && u != "in" {
			return strings.TrimSpace(h[:i]), u
		}
	}
	// A unit between other remarks, as in "Temp, °C (sensor 7)".
	parts := strings.FieldsFunc(h, func(c rune) bool { return strings.ContainsRune(",;()[]", c) })
	for _, p := range parts[min(1, len(parts)):] {
		if u := strings.TrimSpace(p); u != "" {
			if _, ok := unitOf(u); ok {
				return strings.TrimSpace(parts[0]), u
			}
		}
	}
	return unknownName, unknown
}

// headed returns the index of the column with a heading, whole or without its unit, or -1; again is that of another column
// which has it too, or -1.
func headed(headings []string, wanted string) (at, again int) {
	plain := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	for _, whole := range []bool{true, false} {
		at = -1
		for i, h := range headings {
			if !whole {
				h, _ = splitHeading(h)
			}
			if h == "" || !strings.EqualFold(plain(h), plain(wanted)) {
				continue
			}
			if at >= 0 {
				return at, i
			}
			at = i
		}
		if at >= 0 {
			return at, -1
		}
	}
	return -1, -1
}

// Find returns the index among the guessed columns of the one that a description names, or -1.
func (g *Guess) Find(r Ref) int {
	headings := make([]string, len(g.Columns))
	for i, c := range g.Columns {
		if r.Number > 0 && c.Number == r.Number {
			return i
		}
		headings[i] = c.Heading
	}
	if r.Number > 0 {
		return -1
	}
	at, _ := headed(headings, r.Heading)
	return at
}
