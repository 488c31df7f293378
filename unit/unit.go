// Package unit reads and prints quantities: a number with its unit as people type it, such as "80 mm",
// "16 W/(m K)", "320 degC" or "380 ± 24 W/(m2 K)", and SI numbers as the rest of the program computes with them.
//
// A unit is a product of powers of unit symbols with SI prefixes. A product may be written with a space, a dot,
// a middle dot or an asterisk; a division with a slash; powers as "m2", "m^2", "m²" or "m-2". After a slash a
// product needs parentheses, because "W/m2 K" is read in two ways; it is refused rather than guessed.
//
// A temperature and a temperature difference are two kinds. A point is written in degC, K or degF; a difference
// in K (or "9 degF difference"), never in degC, so that nobody subtracts 273.15 from a difference by accident.
// Inside a compound unit, as in "Btu/(h ft2 degF)", a degree can only be a difference and is read as one.
//
// A time may be written in several of d, h, min and s, as in "5 h 10 min": whole numbers but for the last, the longest unit
// first, none that fills the one before it.
//
// Left out: logarithmic units, currencies, gauge pressure (it hangs on the weather), volume as a measure of mass.
// Factors to SI are exact by definition unless the table says otherwise; their source is NIST Special
// Publication 811 (A. Thompson, B. N. Taylor, Guide for the Use of the International System of Units, 2008),
// appendix B.
//
//	q, err := unit.Parse("0.09 kg/s", unit.MassFlow) // q.Value is 0.09
package unit

import (
	"math"
	"strconv"
	"strings"
)

// Dimension is the kind of a quantity. Some kinds share their base units and are told apart by use alone:
// a temperature and a difference, or conductivity and line conductance.
type Dimension int

// The kinds of quantity, with the unit of their SI value.
const (
	Length                Dimension = iota // m
	Temperature                            // K, a point
	TemperatureDifference                  // K
	Time                                   // s
	MassFlow                               // kg/s
	Power                                  // W
	HeatFlux                               // W/m²
	Conductivity                           // W/(m K)
	HeatTransfer                           // W/(m² K)
	LineConductance                        // W/(m K)
	HeatCapacity                           // J/(kg K)
	SpecificEnergy                         // J/kg
	Density                                // kg/m³
	Pressure                               // Pa, absolute
	Angle                                  // rad
	Speed                                  // m/s
	Generation                             // W/m³
	Dimensionless                          // 1
	Area                                   // m²
	Mass                                   // kg
	Energy                                 // J
	Volume                                 // m³
	Resistance                             // K/W
	Conductance                            // W/K
	VolumeFlow                             // m³/s
	Extinction                             // 1/m
	numDimensions
)

// String returns the kind in words, such as "mass flow rate".
func (d Dimension) String() string {
	if d < 0 || d >= numDimensions {
		return "quantity of unknown kind"
	}
	return kinds[d].name
}

// SI returns the unit of the kind's SI value as Parse reads it, such as "kg/s"; "K" for a temperature and "" for
// a dimensionless quantity.
func (d Dimension) SI() string { return kinds[d].si }

// Example returns a quantity of the kind as a user would type it, such as "0.09 kg/s".
func (d Dimension) Example() string { return kinds[d].example }

// Units returns the units that suit the kind, the one that the program prints by itself first.
func Units(d Dimension) []string {
	if d < 0 || d >= numDimensions {
		return nil
	}
	return append([]string(nil), kinds[d].units...)
}

type kind struct {
	name    string // with no article
	article string
	si      string
	example string
	units   []string
	base    base
}

// kinds is constant data in the order of the Dimension constants.
var kinds = [numDimensions]kind{
	Length:                {"length", "a", "m", "80 mm", []string{"mm", "m", "cm", "um", "km", "in", "ft"}, base{l: 1}},
	Temperature:           {"temperature", "a", "K", "320 degC", []string{"degC", "K", "degF"}, base{k: 1}},
	TemperatureDifference: {"temperature difference", "a", "K", "5 K", []string{"K", "mK", "degF difference"}, base{k: 1}},
	Time:                  {"time", "a", "s", "6 h", []string{"s", "min", "h", "d", "ms"}, base{t: 1}},
	MassFlow:              {"mass flow rate", "a", "kg/s", "0.09 kg/s", []string{"kg/s", "kg/h", "g/s", "kg/min", "t/h", "lb/h"}, base{m: 1, t: -1}},
	Power:                 {"power", "a", "W", "9 kW", []string{"W", "kW", "MW", "mW", "Btu/h"}, base{m: 1, l: 2, t: -3}},
	HeatFlux:              {"heat flux", "a", "W/m2", "200 kW/m2", []string{"W/m2", "kW/m2", "MW/m2", "W/cm2", "Btu/(h ft2)"}, base{m: 1, t: -3}},
	Conductivity:          {"thermal conductivity", "a", "W/(m K)", "16 W/(m K)", []string{"W/(m K)", "mW/(m K)", "W/(cm K)", "Btu/(h ft degF)"}, base{m: 1, l: 1, t: -3, k: -1}},
	HeatTransfer:          {"heat transfer coefficient", "a", "W/(m2 K)", "400 W/(m2 K)", []string{"W/(m2 K)", "kW/(m2 K)", "W/(cm2 K)", "Btu/(h ft2 degF)"}, base{m: 1, t: -3, k: -1}},
	LineConductance:       {"conductance per metre", "a", "W/(m K)", "25 W/(m K)", []string{"W/(m K)", "kW/(m K)"}, base{m: 1, l: 1, t: -3, k: -1}},
	HeatCapacity:          {"specific heat capacity", "a", "J/(kg K)", "900 J/(kg K)", []string{"J/(kg K)", "kJ/(kg K)", "J/(g K)", "Btu/(lb degF)"}, base{l: 2, t: -2, k: -1}},
	SpecificEnergy:        {"specific energy", "a", "J/kg", "60 kJ/kg", []string{"J/kg", "kJ/kg", "MJ/kg", "J/g", "Btu/lb"}, base{l: 2, t: -2}},
	Density:               {"density", "a", "kg/m3", "1750 kg/m3", []string{"kg/m3", "g/cm3", "kg/l", "lb/ft3"}, base{m: 1, l: -3}},
	Pressure:              {"pressure", "a", "Pa", "10 bar", []string{"Pa", "bar", "kPa", "MPa", "mbar", "hPa", "atm", "psi"}, base{m: 1, l: -1, t: -2}},
	Angle:                 {"angle", "an", "rad", "30 deg", []string{"deg", "rad", "mrad"}, base{a: 1}},
	Speed:                 {"speed", "a", "m/s", "3 m/s", []string{"m/s", "km/h", "ft/s"}, base{l: 1, t: -1}},
	Generation:            {"heat generation per volume", "a", "W/m3", "5 kW/m3", []string{"W/m3", "kW/m3", "MW/m3", "W/cm3"}, base{m: 1, l: -1, t: -3}},
	Dimensionless:         {"plain number", "a", "", "0.9", []string{"", "%"}, base{}},
	Area:                  {"area", "an", "m2", "0.04 m2", []string{"m2", "cm2", "mm2", "in2", "ft2"}, base{l: 2}},
	Mass:                  {"mass", "a", "kg", "40 kg", []string{"kg", "g", "t", "lb"}, base{m: 1}},
	Energy:                {"energy", "an", "J", "12 kWh", []string{"J", "kJ", "MJ", "kWh", "Wh", "Btu"}, base{m: 1, l: 2, t: -2}},
	Volume:                {"volume", "a", "m3", "2 l", []string{"m3", "l", "ml", "cm3", "ft3"}, base{l: 3}},
	Resistance:            {"thermal resistance", "a", "K/W", "0.02 K/W", []string{"K/W", "mK/W"}, base{m: -1, l: -2, t: 3, k: 1}},
	Conductance:           {"thermal conductance", "a", "W/K", "12 W/K", []string{"W/K", "kW/K", "mW/K"}, base{m: 1, l: 2, t: -3, k: -1}},
	VolumeFlow:            {"volume flow rate", "a", "m3/s", "6 l/min", []string{"m3/s", "l/min", "l/s", "m3/h", "l/h"}, base{l: 3, t: -1}},
	Extinction:            {"extinction", "an", "1/m", "4 1/m", []string{"1/m", "1/cm", "1/mm"}, base{l: -1}},
}

// Quantity is what a text said.
type Quantity struct {
	Value float64 // SI; temperatures in K
	Half  float64 // half-width of the 95 % interval in SI, 0 where none was given; for a temperature a difference in K
	Unit  string  // the unit as typed
	Text  string  // the whole as typed
}

// Error is a mistake in a quantity: what is wrong with it, and how to mend it.
type Error struct {
	What string // such as `"0.09 kg" is a mass; a mass flow rate is wanted`
	Fix  string // such as `write for example "0.09 kg/s"`
}

// Error returns both texts in one line.
func (e *Error) Error() string { return e.What + "; fix: " + e.Fix }

// Format prints an SI value in the given unit so that Parse reads it back to at least eleven digits, such as
// "80 mm". An empty unit, or one that does not fit the kind, means the first of Units.
func Format(v float64, d Dimension, unit string) string {
	shown, err := FromSI(v, d, unit)
	if unit == "" || err != nil {
		unit = kinds[d].units[0]
		shown, _ = FromSI(v, d, unit)
	}
	// Twelve digits hide the rounding of a decimal conversion (80 mm is 0.08 m is 80.00000000000001 mm) and are
	// more than any input knows.
	number := strconv.FormatFloat(shown, 'g', 12, 64)
	if f, err := strconv.ParseFloat(number, 64); err == nil && math.Abs(f) >= 1e-4 && math.Abs(f) < 1e12 || shown == 0 {
		number = strconv.FormatFloat(f, 'f', -1, 64)
	} else if err == nil {
		number = strconv.FormatFloat(f, 'g', -1, 64)
	}
	if number == "-0" {
		number = "0"
	}
	if unit == "" {
		return number
	}
	return number + " " + unit
}

// ToSI converts a number in the given unit to the SI value of the kind. The error is an *Error.
func ToSI(v float64, d Dimension, unit string) (float64, error) {
	c, err := Between(d, unit)
	if err != nil {
		return 0, err
	}
	return c.ToSI(v), nil
}

// FromSI converts an SI value of the kind to a number in the given unit. The error is an *Error.
func FromSI(v float64, d Dimension, unit string) (float64, error) {
	c, err := Between(d, unit)
	if err != nil {
		return 0, err
	}
	return c.FromSI(v), nil
}

// Conversion takes numbers of one unit to SI and back: SI = (v + Offset)·Factor/Divisor. The divisor keeps units
// such as mm exact where their factor is no binary fraction: 80/1000 is nearer to 0.08 than 80·0.001.
type Conversion struct {
	Factor, Divisor float64 // SI per unit is Factor/Divisor
	Offset          float64 // unit, of a temperature point: the negative of absolute zero
}

// ToSI converts a number in the unit to SI.
func (c Conversion) ToSI(v float64) float64 { return (v + c.Offset) * c.Factor / c.Divisor }

// FromSI converts an SI value to a number in the unit.
func (c Conversion) FromSI(v float64) float64 { return v*c.Divisor/c.Factor - c.Offset }

// Between returns the conversion between the given unit and the SI value of the kind, for whole columns.
// The error is an *Error that says what is wrong with the unit.
func Between(d Dimension, unit string) (Conversion, error) {
	return conversion(strings.TrimSpace(unit), d, "")
}

// ParseHeading splits the heading of a column, such as "ambient [degC]", into its name and the unit in its last
// brackets. Without brackets at the end the unit is empty.
func ParseHeading(text string) (name, unitText string) {
	text = strings.TrimSpace(text)
	if !strings.HasSuffix(text, "]") {
		return text, ""
	}
	depth := 0
	for i := len(text) - 1; i >= 0; i-- { // UCUM codes may hold brackets of their own
		switch text[i] {
		case ']':
			depth++
		case '[':
			depth--
			if depth == 0 {
				return strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1 : len(text)-1])
			}
		}
	}
	return text, ""
}
