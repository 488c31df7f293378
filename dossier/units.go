package dossier

import (
	"math"
	"strconv"
	"strings"

	"emberbank/unit"
)

// suffixes are how keys of results end with their unit, the longest first; what a key ends with is the unit of its number.
var suffixes = []struct{ suffix, unit string }{
	{"_kg_per_s", "kg/s"},
	{"_W_per_m2", "W/m2"},
	{"_W_per_K", "W/K"},
	{"_m_per_s", "m/s"},
	{"_J_per_K", "J/K"},
	{"_per_s", "1/s"},
	{"_W_per_m_K", "W/(m K)"},
	{"_J_per_kg_K", "J/(kg K)"},
	{"_J_per_kg", "J/kg"},
	{"_kg_per_m3", "kg/m3"},
	{"_seconds", "s"},
	{"_W_m2", "W/m2"},
	{"_degC", "degC"},
	{"_rad", "rad"},
	{"_deg", "deg"},
	{"_kWh", "kWh"},
	{"_kg", "kg"},
	{"_Pa", "Pa"},
	{"_m2", "m2"},
	{"_m3", "m3"},
	{"_J", "J"},
	{"_W", "W"},
	{"_K", "K"},
	{"_s", "s"},
	{"_m", "m"},
}

// keySuffix is the part of a key that tells the unit; "" where none does.
func keySuffix(key string) string {
	for _, s := range suffixes {
		if strings.HasSuffix(key, s.suffix) && key != s.suffix {
			return s.suffix
		}
	}
	return ""
}

func unitOfKey(key string) string {
	at := keySuffix(key)
	for _, s := range suffixes {
		if s.suffix == at {
			return s.unit
		}
	}
	return ""
}

// unitless are keys of numbers that have no unit although one stands beside them.
var unitless = map[string]bool{
	"degrees_of_freedom": true, "missing": true, "at_bound": true, "noise_given": true, "rows": true, "runs": true, "draws": true,
	"trials": true, "readings": true,
}

// isShare tells whether a key's number is one of a whole, and so written in per cent.
func isShare(key string) bool {
	for _, w := range []string{"share", "quality", "melted", "intercept", "efficiency", "met_share", "closure"} {
		if strings.Contains(key, w) {
			return true
		}
	}
	return false
}

// shown is how a unit of results is written for readers.
type shown struct {
	dim  unit.Dimension
	unit string // of files, into which it is converted
	set  string // as it is set
	rule func(v float64) int
}

func fixed(n int) func(float64) int { return func(float64) int { return n } }

// digits gives a number n digits that count, and no decimals that would be more.
func digits(n int) func(float64) int {
	return func(v float64) int {
		if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
			return 0
		}
		return min(max(0, n-1-int(math.Floor(math.Log10(math.Abs(v))))), 9)
	}
}

// readers are the units that readers expect, by the unit of results.
var readers = map[string]shown{
	"J":        {unit.Energy, "kWh", "kWh", fixed(2)},
	"W":        {unit.Power, "W", "W", fixed(0)},
	"degC":     {unit.Temperature, "degC", "°C", fixed(1)},
	"K":        {unit.TemperatureDifference, "K", "K", fixed(1)},
	"s":        {unit.Time, "min", "min", fixed(0)},
	"kg/s":     {unit.MassFlow, "kg/h", "kg/h", fixed(1)},
	"kg":       {unit.Mass, "kg", "kg", digits(3)},
	"Pa":       {unit.Pressure, "bar", "bar", digits(3)},
	"m":        {unit.Length, "mm", "mm", digits(3)},
	"m2":       {unit.Area, "m2", "m²", digits(3)},
	"m3":       {unit.Volume, "L", "L", digits(3)},
	"W/m2":     {unit.HeatFlux, "kW/m2", "kW/m²", digits(3)},
	"W/K":      {unit.Conductance, "W/K", "W/K", digits(3)},
	"W/(m K)":  {unit.Conductivity, "W/(m K)", "W/(m K)", digits(3)},
	"W/(m2 K)": {unit.HeatTransfer, "W/(m2 K)", "W/(m² K)", digits(3)},
	"J/(kg K)": {unit.HeatCapacity, "J/(kg K)", "J/(kg K)", digits(3)},
	"J/kg":     {unit.SpecificEnergy, "kJ/kg", "kJ/kg", digits(3)},
	"kg/m3":    {unit.Density, "kg/m3", "kg/m³", fixed(0)},
	"m/s":      {unit.Speed, "m/s", "m/s", digits(3)},
	"rad":      {unit.Angle, "deg", "°", digits(3)},
}

// in is the number in a unit, that unit as it is set, and the rule for its decimals. A unit that does not fit is left out of
// account: the number is then written as it stands.
func (n Number) in(want string) (v, half float64, set string, rule func(float64) int) {
	v, half, set, rule = n.Value, n.Half, pretty(n.Unit), digits(4)
	if n.Unit == "1" {
		return n.ofOne(want)
	}
	if n.Unit == "J/K" && (want == "" || want == "kJ/K") {
		return v / 1000, half / 1000, "kJ/K", digits(3)
	}
	r, known := readers[n.Unit]
	if !known {
		return v, half, set, rule
	}
	to := want
	if want == "" {
		to, rule = r.unit, r.rule
		if a := math.Max(math.Abs(v), half); n.Unit == "J" && a > 0 && a < 3.6e5 {
			to, rule = "Wh", digits(3)
		}
	}
	x, err := convert(v, r.dim, n.Unit, to)
	if err != nil {
		return v, half, set, rule
	}
	dim, from, wide := r.dim, n.Unit, to
	if dim == unit.Temperature { // a half-width is a difference
		dim, from, wide = unit.TemperatureDifference, "K", "K"
	}
	h, err := convert(half, dim, from, wide)
	if err != nil {
		h = 0
	}
	if to == r.unit {
		return x, h, r.set, r.rule
	}
	if other, is := readers[to]; is && other.unit == to {
		return x, h, other.set, rule
	}
	return x, h, pretty(to), rule
}

// ofOne writes what has no unit: a share in per cent, else the number itself.
func (n Number) ofOne(want string) (v, half float64, set string, rule func(float64) int) {
	if want == "%" || want == "" && n.share {
		return 100 * n.Value, 100 * n.Half, "%", func(v float64) int {
			if a := math.Abs(v); a > 0 && a < 9.5 {
				return 1
			}
			return 0
		}
	}
	if n.Value == math.Trunc(n.Value) && math.Abs(n.Value) < 1e15 {
		return n.Value, n.Half, "", fixed(0)
	}
	return n.Value, n.Half, "", digits(3)
}

// convert takes a number from one unit to another of the same kind.
func convert(v float64, d unit.Dimension, from, to string) (float64, error) {
	if from == to {
		return v, nil
	}
	si, err := unit.ToSI(v, d, from)
	if err != nil {
		return 0, err
	}
	return unit.FromSI(si, d, to)
}

// pretty sets a unit as print does.
func pretty(u string) string {
	if u == "1" {
		return ""
	}
	return strings.NewReplacer("degC", "°C", "m2", "m²", "m3", "m³").Replace(u)
}

func decimal(i int) string { return strconv.Itoa(i) }
