package balance

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// narrow is a space that holds a number to its unit.
const narrow = "\u00a0"

// plusMinus prints a value and its half-width to two significant digits of the half-width: "12.3 ± 1.4", "−530 ± 630".
func plusMinus(v, half float64) string {
	last := -1
	if half > 0 && !math.IsInf(half, 0) {
		e := int(math.Floor(math.Log10(half)))
		if math.Round(half/math.Pow10(e-1)) >= 100 {
			e++
		}
		last = e - 1
	}
	if last > 0 {
		unit := math.Pow10(last)
		v, half = math.Round(v/unit)*unit, math.Round(half/unit)*unit
	}
	return signed(v, max(0, -last)) + " ± " + signed(half, max(0, -last))
}

func signed(v float64, decimals int) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	if v < 0 && math.Abs(v) >= 0.5*math.Pow10(-decimals) {
		return "−" + s
	}
	return s
}

// Joules prints a heat with its 95 % half-width in kJ or MJ.
func Joules(v, half float64) string {
	if math.Abs(v) >= 1e6 || half >= 1e6 {
		return plusMinus(v/1e6, half/1e6) + narrow + "MJ"
	}
	if math.Abs(v) >= 1e3 || half >= 1e3 {
		return plusMinus(v/1e3, half/1e3) + narrow + "kJ"
	}
	return plusMinus(v, half) + narrow + "J"
}

// scale returns the size and name of the unit in which a result is told.
func (r *Result) scale() (size float64, unit string) {
	switch most := math.Max(math.Abs(r.Value), r.Half()); {
	case r.Unit == "1":
		return 0.01, narrow + "%"
	case most >= 1e6:
		return 1e6, narrow + "MJ"
	case most >= 1e3:
		return 1e3, narrow + "kJ"
	}
	return 1, narrow + "J"
}

// digits prints a value in a result's unit, to the digits that its half-width supports.
func (r *Result) digits(v float64) string {
	size, _ := r.scale()
	s, _, _ := strings.Cut(plusMinus(v/size, r.Half()/size), " ± ")
	return s
}

// words prints a result with the uncertainty that is to be used: value and half-width, or, where draws and first order
// differ, the interval of the draws.
func (r *Result) words() string {
	size, unit := r.scale()
	if r.Drawn == nil || r.Drawn.Agree {
		return plusMinus(r.Value/size, r.Half()/size) + unit
	}
	low, high := r.Interval()
	return "between " + r.digits(low) + " and " + r.digits(high) + unit
}

// drawnWords says where first order and the draws differ, in the unit in which the result is told.
func (r *Result) drawnWords() string {
	_, unit := r.scale()
	d := &r.Drawn.Distribution
	s := fmt.Sprintf("first order gives %s to %s%s at 95"+narrow+"%%, but drawing from the distributions gives %s to %s%s; use the latter.",
		r.digits(r.Value-r.Half()), r.digits(r.Value+r.Half()), unit, r.digits(d.Low), r.digits(d.High), unit)
	if !d.Settled {
		s += fmt.Sprintf(" The draws had not settled after %d trials.", d.Trials)
	}
	return s
}

// hours prints a length of time with three digits, in the unit that suits it.
func hours(s float64) string {
	switch a := math.Abs(s); {
	case a >= 2*3600:
		return digits3(s/3600) + narrow + "h"
	case a >= 120:
		return digits3(s/60) + narrow + "min"
	}
	return digits3(s) + narrow + "s"
}

func digits3(v float64) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Sprint(v)
	}
	return signed(v, max(0, 2-int(math.Floor(math.Log10(math.Abs(v))))))
}

// clockTime prints a moment of the record, in hours and minutes from its start, or in seconds.
func clockTime(s float64) string {
	if math.Abs(s) < 600 {
		return digits3(s) + narrow + "s"
	}
	m := int(math.Round(s / 60))
	return fmt.Sprintf("%d:%02d"+narrow+"h", m/60, m%60)
}

// lasting prints a length of time with its half-width, in one unit.
func lasting(s, half float64) string {
	switch a := math.Abs(s); {
	case a >= 2*3600:
		return plusMinus(s/3600, half/3600) + narrow + "h"
	case a >= 120:
		return plusMinus(s/60, half/60) + narrow + "min"
	}
	return plusMinus(s, half) + narrow + "s"
}
