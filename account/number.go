package account

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"

	"emberbank/history"
)

// digits is how many significant digits the files keep: more than any result is true to, few enough that noise of
// the last bits does not show.
const digits = 10

// decimal prints a number with the fewest characters that keep its first ten digits: "0.1", "1234567.891",
// "2.5e-09". NaN and infinities print as nothing: there is no value.
func decimal(v float64) string {
	var room [32]byte
	return string(appendDecimal(room[:0], v))
}

// appendDecimal appends what decimal prints. It rounds to ten digits once and sets them by itself: tables have many
// numbers.
func appendDecimal(b []byte, v float64) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return b
	}
	if v == 0 {
		return append(b, '0')
	}
	var room [32]byte
	e := strconv.AppendFloat(room[:0], v, 'e', digits-1, 64) // -d.ddddddddde-xx
	if e[0] == '-' {
		b = append(b, '-')
		e = e[1:]
	}
	const point = digits + 1 // of characters before the exponent
	exponent := 0
	for _, c := range e[point+2:] {
		exponent = 10*exponent + int(c-'0')
	}
	if e[point+1] == '-' {
		exponent = -exponent
	}
	e[1] = e[0] // the digits side by side
	d := e[1:point]
	for len(d) > 1 && d[len(d)-1] == '0' {
		d = d[:len(d)-1]
	}
	switch {
	case exponent < -5 || exponent > 14:
		b = append(b, d[0])
		if len(d) > 1 {
			b = append(append(b, '.'), d[1:]...)
		}
		b = append(b, 'e', '+')
		if exponent < 0 {
			b[len(b)-1] = '-'
			exponent = -exponent
		}
		if exponent < 10 {
			b = append(b, '0')
		}
		return strconv.AppendInt(b, int64(exponent), 10)
	case exponent < 0:
		b = append(b, "0.0000"[:1-exponent]...)
		return append(b, d...)
	case exponent+1 >= len(d):
		b = append(b, d...)
		return append(b, "00000000000000"[:exponent+1-len(d)]...)
	}
	b = append(b, d[:exponent+1]...)
	b = append(b, '.')
	return append(b, d[exponent+1:]...)
}

// shown converts a stored value to the unit of the files. Near 0 °C the difference to kelvin leaves a residue of
// the last bits of 273.15; it is cut at a nanokelvin.
func shown(q history.Quantity, v float64) float64 {
	v = q.Shown(v)
	if q == history.Temperature {
		v = math.Round(v*1e9) / 1e9
	}
	return v
}

// num is a number in JSON: as decimal prints it, null where there is no value.
type num float64

// MarshalJSON prints the number.
func (n num) MarshalJSON() ([]byte, error) {
	if s := decimal(float64(n)); s != "" {
		return []byte(s), nil
	}
	return []byte("null"), nil
}

// member is one key of an object with its value.
type member struct {
	key   string
	value any
}

// object is a JSON object that keeps the order of its keys.
type object []member

// MarshalJSON prints the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		key, err := json.Marshal(m.key)
		if err != nil {
			return nil, err
		}
		value, err := plainJSON(m.value)
		if err != nil {
			return nil, err
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// plainJSON encodes without the escapes that only web pages need, so that "<" in a text stays legible.
func plainJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimRight(b.Bytes(), "\n"), nil
}

// indented prints a value as a file: two spaces deep, a line's end at the end.
func indented(v any) ([]byte, error) {
	plain, err := plainJSON(v)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := json.Indent(&b, plain, "", "  "); err != nil {
		return nil, err
	}
	b.WriteByte('\n')
	return b.Bytes(), nil
}

// withUnit appends the unit of a quantity to a JSON key; fractions have none.
func withUnit(key string, q history.Quantity) string {
	switch q {
	case history.MassFlow:
		return key + "_kg_per_s"
	case history.Fraction:
		return key
	}
	return key + "_" + q.Unit()
}

// widthUnit appends the unit of a difference of the quantity.
func widthUnit(key string, q history.Quantity) string {
	if q == history.Temperature {
		return key + "_K"
	}
	return withUnit(key, q)
}
