package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// stepsOfTime are the units of a duration in several units, from long to short, and how many make one of the unit before.
var stepsOfTime = []struct {
	name string
	per  float64
}{{"d", math.Inf(1)}, {"h", 24}, {"min", 60}, {"s", 60}}

// duration reads a duration in several units, such as "5 h 10 min" or "1 d 2 h 30.5 s": each unit shorter than the one before,
// whole numbers but for the last, none that fills the next longer unit. The value is in the last unit. Several is false where
// the text has one number or none with a unit of these: the text is then read as any other quantity.
func duration(text string) (v float64, unit string, several bool, err error) {
	bare := strings.TrimLeft(text, "+-")
	parts, ok := partsOfTime(bare)
	if !ok || len(parts) < 2 {
		return 0, "", false, nil
	}
	wrong := func(what, fix string) (float64, string, bool, error) { return 0, "", true, &Error{what, fix} }
	if bare != text {
		return wrong(fmt.Sprintf("%q has a sign before several units", text), `write one unit, as in "-310 min"`)
	}
	before := -1
	for i, p := range parts {
		switch {
		case p.unit == before:
			return wrong(fmt.Sprintf("%q names %s twice", text, stepsOfTime[p.unit].name), `write it like "5 h 10 min"`)
		case p.unit < before:
			return wrong(fmt.Sprintf("%q has a shorter unit before a longer one", text), `begin with the longest, as in "5 h 10 min"`)
		case i < len(parts)-1 && strings.Contains(p.digits, "."):
			return wrong(fmt.Sprintf("%q has a fraction before its last unit", text), `write whole numbers before the last unit, as in "5 h 10 min", or one unit alone, as in "5.5 h"`)
		}
		if i > 0 {
			room, longer := 1.0, stepsOfTime[before].name
			for _, s := range stepsOfTime[before+1 : p.unit+1] {
				room *= s.per
			}
			if p.value >= room {
				return wrong(fmt.Sprintf("%q has %s %s behind its %s, which hold %g at the most", text, p.digits, stepsOfTime[p.unit].name, longer, math.Ceil(room)-1),
					"carry what is over, or write one unit alone")
			}
			v *= room
		}
		v += p.value
		before = p.unit
	}
	return v, stepsOfTime[before].name, true, nil
}

// partOfTime is a number with an index into stepsOfTime.
type partOfTime struct {
	digits string
	value  float64
	unit   int
}

// partsOfTime cuts a text of numbers without sign or exponent, each with a unit of stepsOfTime.
func partsOfTime(text string) (parts []partOfTime, ok bool) {
	for rest := trim(text); rest != ""; rest = trim(rest) {
		n := strings.IndexFunc(rest, func(r rune) bool { return !(r >= '0' && r <= '9' || r == '.') })
		if n <= 0 {
			return nil, false
		}
		v, err := strconv.ParseFloat(rest[:n], 64)
		if err != nil {
			return nil, false
		}
		p := partOfTime{digits: rest[:n], value: v, unit: -1}
		rest = trim(rest[n:])
		n = strings.IndexFunc(rest, func(r rune) bool { return !(r >= 'a' && r <= 'z') })
		if n < 0 {
			n = len(rest)
		}
		for k, s := range stepsOfTime {
			if rest[:n] == s.name {
				p.unit = k
			}
		}
		if p.unit < 0 {
			return nil, false
		}
		parts, rest = append(parts, p), rest[n:]
	}
	return parts, true
}
