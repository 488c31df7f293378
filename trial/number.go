package trial

import (
	"bytes"
	"strconv"
)

// tens are the powers of ten that a float64 holds exactly.
var tens = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// number reads a decimal number with the given decimal sign. What it returns is the nearest float64: up to fifteen
// digits and a power of ten up to 22 the quotient or product of two exact numbers is rounded once; the rest is left
// to strconv.
func number(b []byte, decimal byte) (float64, bool) {
	i, n := 0, len(b)
	if n == 0 {
		return 0, false
	}
	neg := false
	switch b[0] {
	case '-':
		neg = true
		i++
	case '+':
		i++
	}
	var m uint64
	digits, exp, seen := 0, 0, false
	for ; i < n && b[i]-'0' < 10; i++ {
		m = m*10 + uint64(b[i]-'0')
		seen = true
		if m > 0 {
			digits++
		}
		if digits > 18 {
			return slow(b, decimal)
		}
	}
	if i < n && b[i] == decimal {
		i++
		for ; i < n && b[i]-'0' < 10; i++ {
			m = m*10 + uint64(b[i]-'0')
			exp--
			seen = true
			if m > 0 {
				digits++
			}
			if digits > 18 {
				return slow(b, decimal)
			}
		}
	}
	if !seen {
		return 0, false
	}
	if i < n && (b[i] == 'e' || b[i] == 'E') {
		j, e, eneg := i+1, 0, false
		if j < n && (b[j] == '-' || b[j] == '+') {
			eneg = b[j] == '-'
			j++
		}
		from := j
		for ; j < n && b[j]-'0' < 10 && e < 10000; j++ {
			e = e*10 + int(b[j]-'0')
		}
		if j == from {
			return 0, false
		}
		if eneg {
			e = -e
		}
		exp += e
		i = j
	}
	if i != n {
		return slow(b, decimal)
	}
	if m >= 1<<53 || exp < -22 || exp > 22 {
		return slow(b, decimal)
	}
	v := float64(m)
	if exp < 0 {
		v /= tens[-exp]
	} else {
		v *= tens[exp]
	}
	if neg {
		v = -v
	}
	return v, true
}

// slow reads what the quick way does not: long numbers, and digits in groups of three ("1.234,5", "1'234.5").
func slow(b []byte, decimal byte) (float64, bool) {
	group := byte(',')
	if decimal == ',' {
		group = '.'
	}
	var c [64]byte
	out := c[:0]
	whole := 0 // digits since the start or the last group mark; -1 behind the decimal sign
	marks := 0
	if len(b) > 60 {
		return 0, false
	}
	for i, x := range b {
		switch {
		case x-'0' < 10:
			if whole >= 0 {
				whole++
			}
			out = append(out, x)
		case x == decimal:
			if marks > 0 && whole != 3 {
				return 0, false
			}
			whole, marks = -1, 0
			out = append(out, '.')
		case (x == group || x == '\'') && whole > 0 && (whole <= 3 && marks == 0 || whole == 3):
			whole = 0
			marks++
		case (x == '+' || x == '-') && i == 0, (x == 'e' || x == 'E') && i > 0, (x == '+' || x == '-') && (b[i-1] == 'e' || b[i-1] == 'E'):
			if (x == 'e' || x == 'E') && marks > 0 && whole != 3 {
				return 0, false
			}
			if x == 'e' || x == 'E' {
				whole, marks = -1, 0
			}
			out = append(out, x)
		default:
			return 0, false
		}
	}
	if marks > 0 && whole != 3 {
		return 0, false
	}
	v, err := strconv.ParseFloat(string(out), 64)
	if err != nil {
		return 0, false
	}
	return v, true
}

// noValueWords are what loggers write where they have no value: nothing, a word for it, or a meter's sign for too
// much ("OL"). Compared without regard to capitals. Common practice, without a source.
var noValueWords = []string{
	"nan", "na", "n/a", "#n/a", "n.a.", "null", "none", "nil", "ol", "o.l", "o.l.", "-ol", "+ol", "over", "overload", "ovld", "ovr", "open", "err", "error", "#err",
	"fault", "fail", "burnout", "+over", "-over", "bad", "inf", "+inf", "-inf", "?", "-", "--", "---", "----", "-----", "***", "****", "*****", "******", "void", "invalid", "missing", "\"\"", "---.-", "--.-",
}

// noValueNumbers are numbers that loggers write for it. The two large ones are those of SCPI-1999, volume 1, 7.2.1.4
// and 7.2.1.5, for "infinity" and "not a number"; the others are common practice, without a source.
var noValueNumbers = []float64{-7999, -6999, -9999, -9999.9, -999.9, -999.99, -99999, 9.9e37, -9.9e37, 9.91e37}

// noValueWord tells whether a cell is a word for a missing value.
func noValueWord(b []byte) bool {
	if len(b) == 0 {
		return true
	}
	if len(b) > 10 {
		return false
	}
	for _, w := range noValueWords {
		if len(w) == len(b) && bytes.EqualFold(b, []byte(w)) {
			return true
		}
	}
	return false
}
