package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Parse reads a quantity of the given kind, with its uncertainty where it has one:
//
//	380 W/(m2 K)
//	380 ± 24 W/(m2 K)      half-width at 95 % in the same unit; also "+/-" and "(380 ± 24) W/(m2 K)"
//	380 W/(m2 K) ± 5 %     of the value
//	20 degC ± 2 K          of a temperature, as a difference
//	5 h 10 min             a time in d, h, min and s, the longest first
//
// Kinds with a dimension need a unit. The error is an *Error with what is wrong and the fix.
func Parse(text string, d Dimension) (Quantity, error) {
	q := Quantity{Text: text}
	if d < 0 || d >= numDimensions {
		return q, &Error{"the kind of quantity is unknown", "this is a mistake in the program"}
	}
	if len(text) > 1000 {
		return q, &Error{"the text is longer than 1000 characters", example("give one quantity", d)}
	}
	trimmed := trim(text)
	if trimmed == "" {
		return q, &Error{"there is no text", example("give "+kinds[d].article+" "+kinds[d].name, d)}
	}
	if !utf8.ValidString(trimmed) {
		return q, &Error{fmt.Sprintf("%q is no valid UTF-8 text", trimmed), "save the file as UTF-8"}
	}
	value, half, uncertain := splitUncertainty(trimmed)
	var err error
	if !uncertain {
		q.Value, q.Unit, err = single(value, d)
	} else {
		err = both(&q, value, half, d)
	}
	if err != nil {
		return Quantity{Text: text}, err
	}
	return q, nil
}

func trim(s string) string { return strings.TrimFunc(s, isSpace) }

// splitUncertainty cuts at the sign of uncertainty; a pair of parentheses round both numbers is taken off, so that
// "(380 ± 24) W" comes out as "380" and "24 W".
func splitUncertainty(text string) (value, half string, found bool) {
	for _, sign := range []string{"±", "+/-", "+/−", "+-"} {
		left, right, ok := strings.Cut(text, sign)
		if !ok {
			continue
		}
		left, right = trim(left), trim(right)
		if inner, opened := strings.CutPrefix(left, "("); opened {
			if number, rest, closed := strings.Cut(right, ")"); closed {
				left, right = trim(inner), trim(number)+" "+trim(rest)
			}
		}
		return left, trim(right), true
	}
	return text, "", false
}

// both reads a value and its half-width.
func both(q *Quantity, value, half string, d Dimension) error {
	v, valueUnit, err := number(value, d)
	if err != nil {
		return err
	}
	h, halfUnit, err := number(half, d)
	if err != nil {
		return err
	}
	if h < 0 {
		return &Error{fmt.Sprintf("the uncertainty %q is negative", half), "give half the width of the 95 % interval, zero or more"}
	}
	relative := halfUnit == "%" && valueUnit != "%"
	if relative && valueUnit == "" && d == Dimensionless {
		return &Error{
			fmt.Sprintf("%q is read in two ways: per cent of the value, or of one", q.Text),
			fmt.Sprintf("write both as plain numbers, %s ± …, or both in per cent, … %% ± %s", value, half),
		}
	}
	if relative && valueUnit == "" {
		return bare(value, d)
	}
	unit := valueUnit
	if unit == "" {
		unit = halfUnit // the unit at the end holds for both
	}
	c, err := conversion(unit, d, joined(value, valueUnit, unit))
	if err != nil {
		return err
	}
	q.Unit = unit
	q.Value = c.ToSI(v)
	switch {
	case relative && d == Temperature:
		return &Error{fmt.Sprintf("%q gives a share of a temperature, which depends on its scale", q.Text), fmt.Sprintf("give the uncertainty as a difference, for example %q", value+" ± 2 K")}
	case relative:
		q.Half = math.Abs(q.Value) * h / 100
	case d == Temperature && valueUnit != "" && halfUnit != "":
		// Both have units: the half-width is a difference and must be written as one.
		dc, err := conversion(halfUnit, TemperatureDifference, half)
		if err != nil {
			return err
		}
		q.Half = dc.ToSI(h)
	case valueUnit != "" && halfUnit != "":
		hc, err := conversion(halfUnit, d, half)
		if err != nil {
			return err
		}
		q.Half = hc.ToSI(h)
	case valueUnit != "" && d != Dimensionless:
		digits := strings.TrimSpace(strings.TrimSuffix(value, valueUnit))
		if d == Time && strings.ContainsFunc(digits, isSpace) { // of several units
			digits = strconv.FormatFloat(v, 'g', -1, 64)
		}
		return &Error{fmt.Sprintf("the uncertainty in %q has no unit", q.Text), fmt.Sprintf("write the unit once, at the end: %q", digits+" ± "+half+" "+valueUnit)}
	case valueUnit != "": // "90 % ± 5"
		return &Error{fmt.Sprintf("the uncertainty in %q has no unit but the value has", q.Text), fmt.Sprintf("write %q", value+" ± "+half+" "+valueUnit)}
	default:
		q.Half = h * c.Factor / c.Divisor // offsets do not touch a width
	}
	return finite(q)
}

func joined(value, valueUnit, unit string) string {
	if valueUnit != "" || unit == "" {
		return value
	}
	return value + " " + unit
}

func finite(q *Quantity) error {
	if math.IsInf(q.Value, 0) || math.IsNaN(q.Value) || math.IsInf(q.Half, 0) || math.IsNaN(q.Half) {
		return &Error{fmt.Sprintf("%q is outside what numbers can hold", q.Text), "give a smaller number"}
	}
	return nil
}

func single(text string, d Dimension) (float64, string, error) {
	v, unit, err := number(text, d)
	if err != nil {
		return 0, "", err
	}
	if unit == "" && d != Dimensionless {
		return 0, "", bare(text, d)
	}
	c, err := conversion(unit, d, text)
	if err != nil {
		return 0, "", err
	}
	q := Quantity{Value: c.ToSI(v), Text: text}
	if err := finite(&q); err != nil {
		return 0, "", err
	}
	if d == Temperature && q.Value < 0 {
		return 0, "", &Error{fmt.Sprintf("%q is below absolute zero", text), "temperatures start at -273.15 degC, 0 K"}
	}
	return q.Value, unit, nil
}

func bare(text string, d Dimension) error {
	return &Error{fmt.Sprintf("%q has no unit; %s %s is wanted", text, kinds[d].article, kinds[d].name), example("give a unit", d)}
}

// example ends a fix with a quantity of the kind.
func example(fix string, d Dimension) string {
	return fmt.Sprintf("%s, for example %q", fix, kinds[d].example)
}

// number splits a text into its number and the unit after it, which is not yet read; a duration in several units comes in
// its last one.
func number(text string, d Dimension) (float64, string, error) {
	n := strings.ReplaceAll(text, "−", "-")
	if d == Time {
		if v, unit, several, err := duration(n); several {
			return v, unit, err
		}
	}
	i := 0
	if i < len(n) && (n[i] == '+' || n[i] == '-') {
		i++
	}
	start := i
	digits := func() int {
		from := i
		for i < len(n) && n[i] >= '0' && n[i] <= '9' {
			i++
		}
		return i - from
	}
	count := digits()
	if i < len(n) && n[i] == '.' {
		i++
		count += digits()
	}
	if count == 0 {
		lower := strings.ToLower(n[start:])
		if strings.HasPrefix(lower, "nan") || strings.HasPrefix(lower, "inf") || strings.HasPrefix(lower, ".nan") || strings.HasPrefix(lower, ".inf") || strings.HasPrefix(lower, "∞") {
			return 0, "", &Error{fmt.Sprintf("%q is no number to compute with", text), example("give a finite number", d)}
		}
		return 0, "", &Error{fmt.Sprintf("%q does not begin with a number", text), example("write a number and its unit", d)}
	}
	// An exponent only where digits follow, so that "5 e" and "3 eV" keep their letter for the unit.
	if j := i; j < len(n) && (n[j] == 'e' || n[j] == 'E') {
		j++
		if j < len(n) && (n[j] == '+' || n[j] == '-') {
			j++
		}
		if j < len(n) && n[j] >= '0' && n[j] <= '9' {
			i = j
			digits()
		}
	}
	if err := separators(text, n, i); err != nil {
		return 0, "", err
	}
	v, err := strconv.ParseFloat(n[:i], 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, "", &Error{fmt.Sprintf("%q is outside what numbers can hold", n[:i]), example("give a smaller number", d)}
	}
	// The unit keeps its own signs as typed: cut the original text behind as many characters.
	return v, trim(cutRunes(text, utf8.RuneCountInString(n[:i]))), nil
}

func cutRunes(s string, n int) string {
	for ; n > 0 && s != ""; n-- {
		_, w := utf8.DecodeRuneInString(s)
		s = s[w:]
	}
	return s
}

// separators refuses a decimal comma and marks between thousands, which end the number at i.
func separators(text, n string, i int) error {
	rest := n[i:]
	r, w := utf8.DecodeRuneInString(rest)
	if w == 0 || i == 0 {
		return nil
	}
	after := strings.TrimLeftFunc(rest[w:], isSpace)
	digitAfter := after != "" && after[0] >= '0' && after[0] <= '9'
	tail := func(s string) string { // the leading number of what follows
		k := 0
		for k < len(s) && (s[k] >= '0' && s[k] <= '9') {
			k++
		}
		return s[:k]
	}
	switch {
	case r == ',' && digitAfter:
		fix := fmt.Sprintf("write a decimal point: %s.%s", n[:i], tail(after))
		if len(tail(after)) == 3 && !strings.Contains(n[:i], ".") {
			fix += fmt.Sprintf("; or, if the comma marks thousands, %s%s", n[:i], tail(after))
		}
		return &Error{fmt.Sprintf("%q has a comma in its number", text), fix}
	case (r == '\'' || r == '’' || r == '_') && digitAfter:
		return &Error{fmt.Sprintf("%q has a mark between thousands", text), fmt.Sprintf("write the digits together: %s%s", n[:i], tail(after))}
	case isSpace(r) && digitAfter:
		k := tail(after)
		if k == "1" && strings.HasPrefix(strings.TrimLeftFunc(after[1:], isSpace), "/") {
			return nil // "3 1/K"
		}
		return &Error{fmt.Sprintf("%q has a space inside its number", text), fmt.Sprintf("write the digits together: %s%s", n[:i], k)}
	case r == '.' && digitAfter:
		return &Error{fmt.Sprintf("%q has two points in its number", text), "write one decimal point and nothing between thousands"}
	}
	return nil
}

// conversion reads a unit for a kind. text is the whole quantity for messages, "" where only a unit was given.
func conversion(unit string, d Dimension, text string) (Conversion, error) {
	if text == "" {
		text = unit
	}
	switch {
	case unit == "" && d == Dimensionless:
		return Conversion{1, 1, 0}, nil
	case unit == "":
		return Conversion{}, &Error{fmt.Sprintf("there is no unit; %s %s is wanted", kinds[d].article, kinds[d].name), example("give a unit", d)}
	case unit == "%" || unit == "‰":
		if d != Dimensionless {
			return Conversion{}, &Error{fmt.Sprintf("%q is a share; %s %s is wanted", text, kinds[d].article, kinds[d].name), example("give it with a unit", d)}
		}
		if unit == "‰" {
			return Conversion{1, 1000, 0}, nil
		}
		return Conversion{1, 100, 0}, nil
	case unit == "1" && d == Dimensionless:
		return Conversion{1, 1, 0}, nil
	}
	plain, difference := strings.CutSuffix(unit, "difference")
	if difference {
		plain = trim(plain)
	}
	s, e := readUnit(plain)
	if e != nil {
		if e.Fix == "" {
			e.Fix = fmt.Sprintf("use a unit of %s: %s", kinds[d].name, listed(kinds[d].units))
		}
		return Conversion{}, e
	}
	degree := s.factors == 1 && s.base == (base{k: 1}) && !strings.HasSuffix(plain, "K")
	if s.base != kinds[d].base {
		return Conversion{}, mismatch(text, s.base, d)
	}
	c := Conversion{Factor: s.mul, Divisor: s.div}
	switch {
	case d == Temperature && difference:
		return Conversion{}, &Error{fmt.Sprintf("%q is a temperature difference; a temperature is wanted", text), example("leave the word out, if a temperature is meant", d)}
	case d == Temperature && degree:
		c.Offset = zeroOf(plain)
	case d == TemperatureDifference && degree && !difference:
		return Conversion{}, pointForDifference(text, unit, s)
	case difference && d != TemperatureDifference:
		return Conversion{}, &Error{fmt.Sprintf("%q is a temperature difference; %s %s is wanted", text, kinds[d].article, kinds[d].name), example("write it", d)}
	}
	return c, nil
}

// zeroOf is the distance from absolute zero to the zero of a scale, in its own degrees. Exact by definition:
// NIST SP 811, table B.8, "Temperature": t/°C = T/K − 273.15, t/°C = (t/°F − 32)/1.8.
func zeroOf(degree string) float64 {
	switch degree {
	case "degC", "°C", "℃", "Cel":
		return 273.15
	case "degF", "°F", "℉", "[degF]":
		return 459.67
	}
	return 0 // degR
}

func pointForDifference(text, unit string, s size) error {
	fix := "write it in K"
	if v, _, err := number(text, TemperatureDifference); err == nil {
		fix = "write " + strconv.FormatFloat(v*s.mul/s.div, 'g', 6, 64) + " K"
	}
	return &Error{fmt.Sprintf("%q is a temperature; a temperature difference is wanted", text), fix}
}

// mismatch says what a unit measures and what is wanted.
func mismatch(text string, b base, d Dimension) error {
	is := "is of another kind"
	for k := Dimension(0); k < numDimensions; k++ {
		if kinds[k].base == b {
			is = "is " + kinds[k].article + " " + kinds[k].name
			break
		}
	}
	fix := example("write it", d)
	switch {
	case b == kinds[VolumeFlow].base && d == MassFlow:
		fix = "multiply by the density and " + fix + "; a litre of water is close to a kilogram when cold, less when hot"
	case b == kinds[Volume].base && d == Mass:
		fix = "multiply by the density and " + fix
	case strings.Contains(text, "mK") && (d == Conductivity || d == LineConductance):
		fix = "mK is read as millikelvin; write W/(m K)"
	}
	return &Error{fmt.Sprintf("%q %s; %s %s is wanted", text, is, kinds[d].article, kinds[d].name), fix}
}

func listed(units []string) string {
	shown := make([]string, 0, len(units))
	for _, u := range units {
		if u == "" {
			u = "none"
		}
		shown = append(shown, u)
	}
	return strings.Join(shown, ", ")
}
