package trial

import (
	"strings"
	"sync"

	"emberbank/history"
	"emberbank/unit"
)

// measured is a unit as loggers write it: what it measures and how to take it to SI.
type measured struct {
	text     string // as this program writes it
	quantity history.Quantity
	dim      unit.Dimension
	volume   bool // a flow of volume
	electric bool // V or A: factor counts
	time     bool // s: factor counts
	factor   float64
}

// loggerUnits are ways of writing units that package unit does not read, because a person should not write them so.
var loggerUnits = sync.OnceValue(func() map[string]string {
	return map[string]string{
		"c": "degC", "°c": "degC", "ºc": "degC", "deg c": "degC", "degc": "degC", "deg.c": "degC", "deg. c": "degC", "grad c": "degC", "gradc": "degC", "celsius": "degC",
		"oc": "degC", "℃": "degC", "degrees c": "degC", "deg_c": "degC", "°celsius": "degC", "degree c": "degC", "c°": "degC",
		"f": "degF", "°f": "degF", "ºf": "degF", "deg f": "degF", "degf": "degF", "deg_f": "degF", "fahrenheit": "degF", "degrees f": "degF", "deg. f": "degF",
		"k": "K", "kelvin": "K", "lpm": "l/min", "l/m": "l/min", "liter/min": "l/min", "litre/min": "l/min", "l/min.": "l/min", "lph": "l/h", "l/hr": "l/h", "gpm": "gal/min",
		"cbm/h": "m3/h", "m³/h": "m3/h", "ml/min": "ml/min", "kg/hr": "kg/h", "kg/sec": "kg/s", "g/sec": "g/s", "l/sec": "l/s", "lps": "l/s", "slpm": "l/min",
		"w/m^2": "W/m2", "w/m2": "W/m2", "w/m²": "W/m2", "w/sqm": "W/m2", "w m-2": "W/m2", "wm-2": "W/m2", "w/m**2": "W/m2", "kw/m2": "kW/m2", "kw/m²": "kW/m2",
		"watt": "W", "watts": "W", "w": "W", "kw": "kW", "mbar": "mbar", "hpa": "hPa", "bar": "bar", "bara": "bar", "bar(a)": "bar", "bar abs": "bar", "kpa": "kPa", "pa": "Pa", "mpa": "MPa",
		"psia": "psi", "m/s": "m/s", "m/sec": "m/s", "ms-1": "m/s", "km/h": "km/h", "%": "%", "pct": "%", "percent": "%", "% rh": "%", "%rh": "%", "rh": "%",
		"deg": "deg", "°": "deg", "degrees": "deg", "kg/s": "kg/s", "l/min": "l/min", "l/h": "l/h", "m3/h": "m3/h", "g/s": "g/s",
	}
})

// electricUnits, by V and A.
var electricUnits = map[string]float64{"V": 1, "mV": 1e-3, "uV": 1e-6, "µV": 1e-6, "A": 1, "mA": 1e-3, "Volt": 1, "volt": 1, "VDC": 1, "mADC": 1e-3}

// timeUnits, by s.
var timeUnits = map[string]float64{
	"s": 1, "sec": 1, "secs": 1, "second": 1, "seconds": 1, "ms": 1e-3, "msec": 1e-3, "milliseconds": 1e-3, "us": 1e-6, "min": 60, "mins": 60, "minute": 60, "minutes": 60,
	"h": 3600, "hr": 3600, "hrs": 3600, "hour": 3600, "hours": 3600, "d": 86400, "day": 86400, "days": 86400, "sek": 1, "sekunden": 1, "minuten": 60, "stunden": 3600,
}

// dimensions are those that a column may have, in the order in which a unit is tried on them.
var dimensions = []struct {
	dim      unit.Dimension
	quantity history.Quantity
	volume   bool
}{
	{unit.Temperature, history.Temperature, false},
	{unit.MassFlow, history.MassFlow, false},
	{unit.VolumeFlow, history.MassFlow, true},
	{unit.HeatFlux, history.Irradiance, false},
	{unit.Power, history.HeatFlow, false},
	{unit.Pressure, history.Pressure, false},
	{unit.Speed, history.Speed, false},
	{unit.Angle, history.Angle, false},
	{unit.Length, history.Length, false},
	{unit.Energy, history.Heat, false},
	{unit.Dimensionless, history.Fraction, false},
}

// unitOf reads a unit as a logger writes it.
func unitOf(text string) (measured, bool) {
	t := strings.TrimSpace(text)
	if t == "" || len(t) > 24 {
		return measured{}, false
	}
	if f, ok := electricUnits[t]; ok {
		q := history.Voltage
		if strings.Contains(t, "A") {
			q = history.Current
		}
		return measured{text: t, quantity: q, electric: true, factor: f}, true
	}
	if known, ok := loggerUnits()[strings.ToLower(t)]; ok {
		t = known
	} else if f, ok := timeUnits[strings.ToLower(t)]; ok {
		return measured{text: t, quantity: history.Time, time: true, factor: f}, true
	}
	for _, d := range dimensions {
		if _, err := unit.Between(d.dim, t); err == nil {
			return measured{text: t, quantity: d.quantity, dim: d.dim, volume: d.volume}, true
		}
	}
	return measured{}, false
}

// unitBetween returns the conversion of a unit that a column may have.
func unitBetween(m measured) (unit.Conversion, error) { return unit.Between(m.dim, m.text) }

// quantityWord names what a channel measures.
func quantityWord(c *Channel) string {
	switch c.Quantity {
	case history.Temperature:
		return "a temperature"
	case history.MassFlow:
		return "a flow"
	case history.Irradiance:
		return "an irradiance"
	case history.HeatFlow:
		return "a power"
	case history.Pressure:
		return "a pressure"
	case history.Speed:
		return "a speed"
	case history.Fraction:
		return "a plain number"
	}
	return "a value in " + c.Quantity.Unit()
}

// Reads returns the quantity that a unit measures and its conversion to SI; volume tells a flow of volume. It knows
// what loggers write, such as "°C", "LPM" or "W/m^2", beside what package unit reads.
func Reads(text string) (q history.Quantity, c unit.Conversion, volume, ok bool) {
	m, ok := unitOf(text)
	if !ok || m.electric || m.time {
		return 0, unit.Conversion{}, false, false
	}
	c, err := unitBetween(m)
	return m.quantity, c, m.volume, err == nil
}
