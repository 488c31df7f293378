package press

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"emberbank/paper"
)

// lookOf is how an element is painted.
func (d *drawing) lookOf(e *paper.Element, above look) look {
	l := above
	own := 1.0
	for _, a := range e.Pairs {
		switch a.Name {
		case "fill":
			l.fill = d.paintOf(e, a)
		case "stroke":
			l.stroke = d.paintOf(e, a)
		case "fill-opacity":
			l.fillVeil = d.share(e, a)
		case "stroke-opacity":
			l.strokeVeil = d.share(e, a)
		case "opacity":
			own = d.share(e, a)
		case "stroke-width":
			l.width = d.number(e, a.Name)
		case "stroke-dasharray":
			l.dash = d.dashes(e, a)
		case "stroke-linecap":
			l.cap = a.Value
		case "stroke-linejoin":
			l.join = a.Value
		case "fill-rule":
			l.evenOdd = a.Value == "evenodd"
		case "paint-order":
			l.strokeFirst = strings.HasPrefix(a.Value, "stroke")
		case "font-family":
			l.family = a.Value
		case "font-size":
			l.size = d.number(e, a.Name)
		case "font-style":
			l.italic = a.Value == "italic"
		case "font-weight":
			n, _ := strconv.Atoi(a.Value)
			l.heavy = a.Value == "bold" || n >= 600
		case "text-anchor":
			l.anchor = a.Value
		}
	}
	l.fillVeil *= own
	l.strokeVeil *= own
	return l
}

func (d *drawing) share(e *paper.Element, a paper.Pair) float64 {
	return math.Max(0, math.Min(1, d.number(e, a.Name)))
}

// dashes are strokes and gaps in turn.
func (d *drawing) dashes(e *paper.Element, a paper.Pair) string {
	if a.Value == "none" {
		return ""
	}
	var all []float64
	sum := 0.0
	for _, part := range strings.FieldsFunc(a.Value, func(r rune) bool { return r == ' ' || r == ',' }) {
		v, err := strconv.ParseFloat(part, 64)
		if err != nil || !(v >= 0 && v < 1e6) {
			d.fault("<%s> has %s=%q, which are no lengths", e.Name, a.Name, a.Value)
			return ""
		}
		all = append(all, v)
		sum += v
	}
	if sum == 0 {
		return ""
	}
	return nums(all...)
}

// sheet is the paper of pictures on a screen; on a page it is white.
const sheet = "#FBFCFA"

// paintOf reads a colour.
func (d *drawing) paintOf(e *paper.Element, a paper.Pair) paint {
	v := a.Value
	if v == "none" || v == "transparent" {
		return paint{none: true}
	}
	if id, ok := paper.Target(v); ok {
		return paint{id: id}
	}
	if strings.EqualFold(v, sheet) {
		v = "#FFFFFF"
	}
	c, err := colourOf(v)
	if err != nil {
		d.fault("<%s> has %s=%q: %v", e.Name, a.Name, a.Value, err)
	}
	return paint{c: c}
}

// colourOf reads #RGB, #RRGGBB, black and white.
func colourOf(v string) (colour, error) {
	switch v {
	case "black":
		return colour{}, nil
	case "white":
		return colour{1, 1, 1}, nil
	}
	digits, ok := strings.CutPrefix(v, "#")
	if len(digits) == 3 {
		digits = digits[:1] + digits[:1] + digits[1:2] + digits[1:2] + digits[2:] + digits[2:]
	}
	n, err := strconv.ParseUint(digits, 16, 32)
	if !ok || err != nil || len(digits) != 6 {
		return colour{}, fmt.Errorf("a colour is written as #RRGGBB")
	}
	return colour{float64(n>>16) / 255, float64(n>>8&255) / 255, float64(n&255) / 255}, nil
}

// transform reads one or more of rotate, translate, scale and matrix.
func transform(s string) (matrix, error) {
	m := matrix{1, 0, 0, 1, 0, 0}
	for rest := strings.TrimSpace(s); rest != ""; rest = strings.TrimLeft(rest, " ,") {
		name, after, ok := strings.Cut(rest, "(")
		inside, behind, shut := strings.Cut(after, ")")
		var v []float64
		for _, part := range strings.FieldsFunc(inside, func(r rune) bool { return r == ' ' || r == ',' }) {
			x, err := strconv.ParseFloat(part, 64)
			if err != nil || math.IsNaN(x) || math.Abs(x) > 1e9 {
				ok = false
			}
			v = append(v, x)
		}
		if !ok || !shut {
			return m, fmt.Errorf("a transform %q is not understood", s)
		}
		var one matrix
		switch name = strings.TrimSpace(name); {
		case name == "translate" && len(v) == 2:
			one = matrix{1, 0, 0, 1, v[0], v[1]}
		case name == "translate" && len(v) == 1:
			one = matrix{1, 0, 0, 1, v[0], 0}
		case name == "scale" && len(v) == 2:
			one = matrix{v[0], 0, 0, v[1], 0, 0}
		case name == "scale" && len(v) == 1:
			one = matrix{v[0], 0, 0, v[0], 0, 0}
		case name == "rotate" && len(v) == 1:
			one = rotate(v[0])
		case name == "rotate" && len(v) == 3:
			one = matrix{1, 0, 0, 1, -v[1], -v[2]}.over(rotate(v[0])).over(matrix{1, 0, 0, 1, v[1], v[2]})
		case name == "matrix" && len(v) == 6:
			one = matrix(v)
		default:
			return m, fmt.Errorf("a transform %q is not drawn here: rotate, translate, scale and matrix are", s)
		}
		m = one.over(m)
		rest = behind
	}
	return m, nil
}

func rotate(degrees float64) matrix {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return matrix{cos, sin, -sin, cos, 0, 0}
}
