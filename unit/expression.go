package unit

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// base is the powers of the base units: kilogram, metre, second, kelvin, radian.
type base struct{ m, l, t, k, a int8 }

// size is a unit's size in SI, mul/div, with its base units.
type size struct {
	mul, div float64
	base     base
	factors  int // number of symbols
}

// maxPower bounds exponents; no unit of this job comes near.
const maxPower = 12

// expression is a reader of one unit text.
type expression struct {
	text  string
	rest  string
	depth int
}

// readUnit reads a unit expression. The error's fix still lacks an example; the caller knows the kind.
func readUnit(text string) (size, *Error) {
	if len(text) > 200 {
		return size{}, &Error{"the unit is longer than 200 characters", "write one unit"}
	}
	if bare, ok := gauge[text]; ok {
		return size{}, &Error{
			fmt.Sprintf("%q is a gauge pressure, counted from the air's pressure, which varies", text),
			fmt.Sprintf("say the absolute pressure in %s: gauge plus the air's pressure, about 1.01 bar (14.7 psi) at sea level", bare),
		}
	}
	e := &expression{text: text, rest: text}
	s, err := e.product()
	if err != nil {
		return size{}, err
	}
	if e.rest != "" {
		return size{}, e.stray()
	}
	if math.IsInf(s.mul/s.div, 0) || s.mul/s.div == 0 || math.IsNaN(s.mul/s.div) {
		return size{}, &Error{fmt.Sprintf("the unit %q is outside what numbers can hold", text), "use a smaller prefix or power"}
	}
	return s, nil
}

func (e *expression) stray() *Error {
	r, _ := utf8.DecodeRuneInString(e.rest)
	if r == ')' {
		return &Error{fmt.Sprintf("the unit %q closes a parenthesis that it did not open", e.text), "remove it"}
	}
	return &Error{fmt.Sprintf("the unit %q has %q where a unit or an operator is wanted", e.text, string(r)), "write it like W/(m2 K)"}
}

// product reads factors up to the end or a closing parenthesis.
func (e *expression) product() (size, *Error) {
	total := size{mul: 1, div: 1}
	divided := false // a slash was seen; a product after it needs parentheses
	first := true
	for {
		spaced := e.skipSpace()
		if e.rest == "" || e.rest[0] == ')' {
			if first {
				return total, &Error{fmt.Sprintf("the unit %q lacks a unit", e.text), "write it like W/(m2 K)"}
			}
			return total, nil
		}
		slash := false
		switch op := e.operator(); {
		case op == '/':
			slash = true
			e.skipSpace()
		case op != 0:
			if first {
				return total, &Error{fmt.Sprintf("the unit %q begins with an operator", e.text), "write it like W/(m2 K)"}
			}
			e.skipSpace()
			if divided {
				return total, e.ambiguous()
			}
		default:
			if !first && divided {
				return total, e.ambiguous()
			}
			_ = spaced
		}
		if first && !slash && strings.HasPrefix(e.rest, "1") { // "1/K"
			after := strings.TrimLeft(e.rest[1:], " ")
			if strings.HasPrefix(after, "/") {
				e.rest = after
				first = false
				continue
			}
		}
		f, err := e.factor()
		if err != nil {
			return total, err
		}
		if slash {
			divided = true
			f = size{f.div, f.mul, base{-f.base.m, -f.base.l, -f.base.t, -f.base.k, -f.base.a}, f.factors}
		}
		total, err = e.times(total, f)
		if err != nil {
			return total, err
		}
		first = false
	}
}

func (e *expression) ambiguous() *Error {
	return &Error{fmt.Sprintf("the unit %q has a product after a slash, which is read in two ways", e.text), "put what is divided by in parentheses, as in W/(m2 K)"}
}

func (e *expression) times(a, b size) (size, *Error) {
	out := size{a.mul * b.mul, a.div * b.div, base{}, a.factors + b.factors}
	sum := func(x, y int8) int8 {
		if s := int(x) + int(y); s <= 100 && s >= -100 {
			return int8(s)
		}
		return 101
	}
	out.base = base{sum(a.base.m, b.base.m), sum(a.base.l, b.base.l), sum(a.base.t, b.base.t), sum(a.base.k, b.base.k), sum(a.base.a, b.base.a)}
	for _, p := range []int8{out.base.m, out.base.l, out.base.t, out.base.k, out.base.a} {
		if p > 100 {
			return out, &Error{fmt.Sprintf("the unit %q has too high a power", e.text), "write it like W/(m2 K)"}
		}
	}
	return out, nil
}

func (e *expression) skipSpace() bool {
	before := len(e.rest)
	for e.rest != "" {
		r, n := utf8.DecodeRuneInString(e.rest)
		if !isSpace(r) {
			break
		}
		e.rest = e.rest[n:]
	}
	return len(e.rest) < before
}

// isSpace also knows the thin and no-break spaces of typeset numbers.
func isSpace(r rune) bool {
	switch r {
	case ' ', '\t', '\u00a0', '\u2009', '\u202f', '\u2007':
		return true
	}
	return false
}

// operator takes one operator: '/' or '*' for any product sign, 0 for none.
func (e *expression) operator() rune {
	r, n := utf8.DecodeRuneInString(e.rest)
	switch r {
	case '/', '∕', '⁄', '÷':
		e.rest = e.rest[n:]
		return '/'
	case '*', '·', '⋅', '•', '×', '.':
		e.rest = e.rest[n:]
		return '*'
	}
	return 0
}

// factor reads a symbol with its power, or an expression in parentheses with its power.
func (e *expression) factor() (size, *Error) {
	var s size
	if strings.HasPrefix(e.rest, "(") {
		if e.depth++; e.depth > 8 {
			return s, &Error{fmt.Sprintf("the unit %q has too many parentheses", e.text), "write it like W/(m2 K)"}
		}
		e.rest = e.rest[1:]
		inner, err := e.product()
		if err != nil {
			return s, err
		}
		if !strings.HasPrefix(e.rest, ")") {
			return s, &Error{fmt.Sprintf("the unit %q lacks a closing parenthesis", e.text), "close it, as in W/(m2 K)"}
		}
		e.rest = e.rest[1:]
		e.depth--
		s = inner
	} else {
		name := e.symbol()
		if name == "" {
			return s, e.stray()
		}
		var err *Error
		if s, err = lookUp(name); err != nil {
			return s, err
		}
	}
	power, given, err := e.power()
	if err != nil || !given {
		return s, err
	}
	return raise(s, power, e)
}

func raise(s size, power int, e *expression) (size, *Error) {
	out := size{1, 1, base{}, s.factors + 1} // a raised unit is a compound one
	if power < 0 {
		s = size{s.div, s.mul, base{-s.base.m, -s.base.l, -s.base.t, -s.base.k, -s.base.a}, 0}
		power = -power
	}
	s.factors = 0
	for range power {
		var err *Error
		if out, err = e.times(out, s); err != nil {
			return out, err
		}
	}
	return out, nil
}

// symbol takes the letters of a unit's name, or a UCUM code in brackets.
func (e *expression) symbol() string {
	if strings.HasPrefix(e.rest, "[") {
		if end := strings.IndexByte(e.rest, ']'); end > 0 {
			name := e.rest[:end+1]
			e.rest = e.rest[end+1:]
			return name
		}
		return ""
	}
	n := 0
	for n < len(e.rest) {
		r, w := utf8.DecodeRuneInString(e.rest[n:])
		letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r == '°' || r == 'µ' || r == 'μ' || r == '%' ||
			r == '_' || r == '℃' || r == '℉' || r == '"' || r == 'ü' || r == 'Ü' || r == 'Ω' || r == '‰'
		if !letter {
			break
		}
		n += w
	}
	name := e.rest[:n]
	e.rest = e.rest[n:]
	return name
}

// power takes an exponent: digits with an optional sign, after an optional caret, or superscript digits.
func (e *expression) power() (value int, given bool, err *Error) {
	start := e.rest
	caret := false
	if strings.HasPrefix(e.rest, "^") {
		e.rest, caret = e.rest[1:], true
	} else if strings.HasPrefix(e.rest, "**") {
		e.rest, caret = e.rest[2:], true
	}
	sign, digits := 1, 0
	for e.rest != "" {
		r, n := utf8.DecodeRuneInString(e.rest)
		d := -1
		switch {
		case r >= '0' && r <= '9':
			d = int(r - '0')
		case strings.ContainsRune(superscripts, r):
			d = strings.Count(superscripts[:strings.IndexRune(superscripts, r)], "") - 1
		case digits == 0 && sign == 1 && (r == '-' || r == '−' || r == '⁻'):
			sign = -1
			e.rest = e.rest[n:]
			continue
		case digits == 0 && sign == 1 && r == '+':
			e.rest = e.rest[n:]
			continue
		}
		if d < 0 {
			break
		}
		value = value*10 + d
		digits++
		e.rest = e.rest[n:]
		if value > maxPower {
			return 0, false, &Error{fmt.Sprintf("the unit %q has too high a power", e.text), "write it like W/(m2 K)"}
		}
	}
	if digits == 0 {
		if caret || sign < 0 {
			return 0, false, &Error{fmt.Sprintf("the unit %q lacks a power after %q", e.text, start[:len(start)-len(e.rest)]), "write it like m2 or m-2"}
		}
		e.rest = start
		return 0, false, nil
	}
	if value == 0 {
		return 0, false, &Error{fmt.Sprintf("the unit %q has the power 0", e.text), "leave that unit out"}
	}
	return sign * value, true, nil
}

const superscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹"

// lookUp finds a symbol, with or without a prefix.
func lookUp(name string) (size, *Error) {
	if s, ok := symbols[name]; ok {
		return size{s.mul, s.div, s.base, 1}, nil
	}
	for _, p := range prefixes {
		s, ok := symbols[strings.TrimPrefix(name, p.text)]
		if !ok || !s.prefix || !strings.HasPrefix(name, p.text) {
			continue
		}
		out := size{s.mul, s.div, s.base, 1}
		if p.power > 0 {
			out.mul *= math.Pow10(p.power)
		} else {
			out.div *= math.Pow10(-p.power)
		}
		// A kilogram is the base unit itself: keep 1000/1000 from costing a rounding.
		if out.mul == out.div {
			out.mul, out.div = 1, 1
		}
		return out, nil
	}
	if strings.ContainsAny(name, "%‰") {
		return size{}, &Error{fmt.Sprintf("%q stands inside a compound unit", name), "write a percentage alone, as in 5 %"}
	}
	if bare, ok := gauge[name]; ok {
		return size{}, &Error{
			fmt.Sprintf("%q is a gauge pressure, counted from the air's pressure, which varies", name),
			fmt.Sprintf("say the absolute pressure in %s: gauge plus the air's pressure, about 1.01 bar (14.7 psi) at sea level", bare),
		}
	}
	if better, ok := meant[name]; ok {
		return size{}, &Error{fmt.Sprintf("%q is not a unit symbol", name), fmt.Sprintf("write %s", better)}
	}
	return size{}, &Error{fmt.Sprintf("%q is not a known unit", name), ""}
}
