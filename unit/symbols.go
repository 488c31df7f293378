package unit

import "strings"

// symbol is a unit by its own name. Its size in SI is mul/div, both exact in binary wherever the definition
// allows; prefixes multiply mul or div by a power of ten.
type symbol struct {
	mul, div float64
	base     base
	prefix   bool // takes SI prefixes
}

// Definitions behind the derived factors, all exact: NIST SP 811, section B.8 and its footnotes.
const (
	pound      = 0.45359237         // kg
	inch       = 0.0254             // m
	foot       = 0.3048             // m
	gravity    = 9.80665            // m/s², standard
	btuIT      = 1055.05585262      // J, International Table (SP 811, B.8, footnote 9)
	poundForce = pound * gravity    // N
	gallonUS   = 231 * 16.387064e-6 // m³: 231 cubic inches
)

// symbols holds every unit by its name. Read only.
var symbols = map[string]symbol{
	// Length, area, volume.
	"m":      {1, 1, base{l: 1}, true},
	"in":     {inch * 1e4, 1e4, base{l: 1}, false},
	"[in_i]": {inch * 1e4, 1e4, base{l: 1}, false},
	"ft":     {foot * 1e4, 1e4, base{l: 1}, false},
	"[ft_i]": {foot * 1e4, 1e4, base{l: 1}, false},
	"l":      {1, 1000, base{l: 3}, true},
	"L":      {1, 1000, base{l: 3}, true},
	"gal":    {gallonUS, 1, base{l: 3}, false},
	// Mass.
	"g":       {1, 1000, base{m: 1}, true},
	"t":       {1000, 1, base{m: 1}, false},
	"lb":      {pound, 1, base{m: 1}, false},
	"[lb_av]": {pound, 1, base{m: 1}, false},
	// Time.
	"s":   {1, 1, base{t: 1}, true},
	"min": {60, 1, base{t: 1}, false},
	"h":   {3600, 1, base{t: 1}, false},
	"d":   {86400, 1, base{t: 1}, false},
	"Hz":  {1, 1, base{t: -1}, true},
	// Temperature, here as a difference; points are treated where they are allowed.
	"K":      {1, 1, base{k: 1}, true},
	"degC":   {1, 1, base{k: 1}, false},
	"°C":     {1, 1, base{k: 1}, false},
	"℃":      {1, 1, base{k: 1}, false},
	"Cel":    {1, 1, base{k: 1}, false},
	"degF":   {5, 9, base{k: 1}, false},
	"°F":     {5, 9, base{k: 1}, false},
	"℉":      {5, 9, base{k: 1}, false},
	"[degF]": {5, 9, base{k: 1}, false},
	"degR":   {5, 9, base{k: 1}, false},
	"°R":     {5, 9, base{k: 1}, false},
	// Force, pressure (absolute).
	"N":        {1, 1, base{m: 1, l: 1, t: -2}, true},
	"lbf":      {poundForce, 1, base{m: 1, l: 1, t: -2}, false},
	"[lbf_av]": {poundForce, 1, base{m: 1, l: 1, t: -2}, false},
	"Pa":       {1, 1, base{m: 1, l: -1, t: -2}, true},
	"bar":      {1e5, 1, base{m: 1, l: -1, t: -2}, true},
	"bara":     {1e5, 1, base{m: 1, l: -1, t: -2}, false},
	"atm":      {101325, 1, base{m: 1, l: -1, t: -2}, false},
	"psi":      {poundForce, inch * inch, base{m: 1, l: -1, t: -2}, false},
	"psia":     {poundForce, inch * inch, base{m: 1, l: -1, t: -2}, false},
	"[psi]":    {poundForce, inch * inch, base{m: 1, l: -1, t: -2}, false},
	// Energy, power.
	"J":        {1, 1, base{m: 1, l: 2, t: -2}, true},
	"Wh":       {3600, 1, base{m: 1, l: 2, t: -2}, true},
	"Btu":      {btuIT, 1, base{m: 1, l: 2, t: -2}, false},
	"BTU":      {btuIT, 1, base{m: 1, l: 2, t: -2}, false},
	"Btu_IT":   {btuIT, 1, base{m: 1, l: 2, t: -2}, false},
	"[Btu_IT]": {btuIT, 1, base{m: 1, l: 2, t: -2}, false},
	"cal_th":   {4184, 1000, base{m: 1, l: 2, t: -2}, true},
	"cal_IT":   {41868, 10000, base{m: 1, l: 2, t: -2}, true},
	"W":        {1, 1, base{m: 1, l: 2, t: -3}, true},
	"hp":       {550 * foot * poundForce, 1, base{m: 1, l: 2, t: -3}, false},
	// Angle. π/180 has no exact form.
	"rad": {1, 1, base{a: 1}, true},
	"deg": {pi, 180, base{a: 1}, false},
	"°":   {pi, 180, base{a: 1}, false},
}

const pi = 3.14159265358979323846

// prefixes are the SI prefixes as powers of ten; micro as u, the micro sign and the Greek letter.
var prefixes = []struct {
	text  string
	power int
}{
	{"da", 1},
	{"q", -30},
	{"r", -27},
	{"y", -24},
	{"z", -21},
	{"a", -18},
	{"f", -15},
	{"p", -12},
	{"n", -9},
	{"u", -6},
	{"µ", -6},
	{"μ", -6},
	{"m", -3},
	{"c", -2},
	{"d", -1},
	{"h", 2},
	{"k", 3},
	{"M", 6},
	{"G", 9},
	{"T", 12},
	{"P", 15},
	{"E", 18},
	{"Z", 21},
	{"Y", 24},
	{"R", 27},
	{"Q", 30},
}

// meant offers the symbol for what people write instead of it.
var meant = map[string]string{
	"C": "degC", "F": "degF", "oC": "degC", "oF": "degF", "celsius": "degC", "Celsius": "degC", "degc": "degC",
	"degree": "deg", "degrees": "deg", "kelvin": "K", "Kelvin": "K",
	"sec": "s", "secs": "s", "second": "s", "seconds": "s", "mins": "min", "minute": "min", "minutes": "min",
	"hr": "h", "hrs": "h", "hour": "h", "hours": "h", "day": "d", "days": "d",
	"meter": "m", "metre": "m", "meters": "m", "metres": "m", "mtr": "m", "micron": "um", "microns": "um",
	"inch": "in", "inches": "in", "\"": "in", "feet": "ft", "foot": "ft",
	"kgs": "kg", "lbs": "lb", "tons": "t", "tonne": "t", "tonnes": "t", "ltr": "l", "liter": "l", "litre": "l",
	"watt": "W", "watts": "W", "joule": "J", "joules": "J", "cal": "cal_th or cal_IT", "kcal": "kcal_th or kcal_IT",
	"btu": "Btu", "percent": "%", "pct": "%", "bars": "bar", "kw": "kW", "mw": "mW or MW", "kwh": "kWh", "KW": "kW",
	"mmk": "m K", "kgK": "kg K", "gK": "g K", "mpa": "MPa", "kpa": "kPa", "pa": "Pa", "w": "W", "j": "J", "k": "K",
	"kj": "kJ", "KJ": "kJ", "Kg": "kg", "KG": "kg", "MM": "mm", "CM": "cm",
}

// Gauge returns the unit of a pressure that counts from the air's, such as "bar" for "bar(g)".
func Gauge(text string) (bare string, ok bool) {
	bare, ok = gauge[strings.TrimSpace(text)]
	return bare, ok
}

// gauge names pressures counted from the air's, which are refused.
var gauge = map[string]string{
	"barg": "bar", "mbarg": "mbar", "psig": "psi", "bar(g)": "bar", "psi(g)": "psi", "bar g": "bar", "kPag": "kPa",
	"kPa(g)": "kPa", "barü": "bar", "barÜ": "bar", "bar_g": "bar", "Pag": "Pa", "MPag": "MPa", "kPa g": "kPa",
}
