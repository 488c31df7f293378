package figure

import (
	"math"
	"strconv"
	"strings"
)

// Number prints a number as it is set in text: thin spaces between thousands, the true minus sign, and the given
// number of decimals. No value (NaN) prints as nothing.
func Number(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	negative := v < 0 && strings.Trim(s, "0.") != "" // no minus before a zero
	whole, fraction, _ := strings.Cut(s, ".")
	var b strings.Builder
	if negative {
		b.WriteString(minus)
	}
	for i, d := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteString(thin)
		}
		b.WriteRune(d)
	}
	if fraction != "" {
		b.WriteString("." + fraction)
	}
	return b.String()
}

// LastDigit is the power of ten of the last digit that counts of a number known to ± half: of half, two digits count.
func LastDigit(half float64) int {
	if !(half > 0) || math.IsInf(half, 0) {
		return 0
	}
	e := int(math.Floor(math.Log10(half)))
	if math.Round(half/math.Pow(10, float64(e-1))) >= 100 { // 0.0998 is 0.10
		e++
	}
	return e - 1
}

// toDigit prints a number down to a power of ten.
func toDigit(v float64, last int) string {
	if last > 0 {
		d := math.Pow(10, float64(last))
		v = math.Round(v/d) * d
	}
	return Number(v, max(0, -last))
}

// Percent prints a share of one as whole per cent, with one decimal below 9.5 %.
func Percent(share float64) string {
	p := share * 100
	decimals := 0
	switch a := math.Abs(p); {
	case a > 0 && a < 0.05:
		return "<" + thin + "0.1" + thin + "%" // something is not nothing
	case a > 0 && a < 9.5:
		decimals = 1
	}
	return Number(p, decimals) + thin + "%"
}

// Span prints a length of time, such as "1 h 30 min" or "45 s".
func Span(seconds float64) string {
	if math.IsNaN(seconds) || math.IsInf(seconds, 0) {
		return ""
	}
	if a := math.Abs(seconds); a < 60 {
		decimals := 0
		if a != math.Trunc(a) {
			decimals = 1
		}
		return Number(seconds, decimals) + thin + "s"
	}
	s := int64(math.Round(seconds))
	var parts []string
	for _, u := range []struct {
		name string
		size int64
	}{{"d", 86400}, {"h", 3600}, {"min", 60}, {"s", 1}} {
		n := s / u.size
		if u.name == "d" && n < 2 { // up to two days in hours, as people say it
			continue
		}
		s -= n * u.size
		if n > 0 {
			parts = append(parts, strconv.FormatInt(n, 10)+thin+u.name)
		}
		if len(parts) == 2 {
			break
		}
	}
	return strings.Join(parts, " ")
}

// EnergyScale is a unit for the amounts of a ledger: energies, or heat flow rates of a steady state.
type EnergyScale struct {
	Unit     string
	Size     float64 // J or W per unit
	Decimals int
}

// ScaleOf returns the unit in which an amount, J or W of a steady state, and smaller ones beside it read well.
func ScaleOf(amount float64, steady bool) EnergyScale {
	switch a := math.Abs(amount); {
	case steady && a >= 10e3:
		return EnergyScale{"kW", 1000, 2}
	case steady && a >= 100:
		return EnergyScale{"W", 1, 1}
	case steady:
		return EnergyScale{"W", 1, 3}
	case a >= 3.6e8:
		return EnergyScale{"kWh", 3.6e6, 1}
	case a >= 3.6e6:
		return EnergyScale{"kWh", 3.6e6, 2}
	case a >= 3.6e5: // two decimals of a kWh would leave the smaller streams one digit
		return EnergyScale{"Wh", 3600, 0}
	case a >= 3600:
		return EnergyScale{"Wh", 3600, 1}
	default:
		return EnergyScale{"J", 1, 1}
	}
}

// Text prints an amount in the scale, without its unit.
func (s EnergyScale) Text(amount float64) string { return Number(amount/s.Size, s.Decimals) }

// Short is Text, but nothing prints as a bare 0, and something too small for the decimals not as nothing.
func (s EnergyScale) Short(amount float64) string {
	if amount == 0 {
		return "0"
	}
	if last := math.Pow(10, -float64(s.Decimals)); math.Abs(amount)/s.Size < last/2 {
		return "<" + thin + Number(last, s.Decimals)
	}
	return s.Text(amount)
}

// niceStep returns a step of 1, 2 or 5 times a power of ten that gives at most n steps over a span.
func niceStep(span float64, n int) float64 {
	if !(span > 0) {
		return 1
	}
	raw := span / float64(n)
	p := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, f := range []float64{1, 2, 5, 10} {
		if f*p >= raw*(1-1e-9) {
			return f * p
		}
	}
	return 10 * p
}

// decimalsOf is how many decimals a step needs.
func decimalsOf(step float64) int {
	d := 0
	for d < 6 && math.Abs(step-math.Round(step)) > 1e-9*math.Abs(step) {
		step *= 10
		d++
	}
	return d
}
