package dossier

import (
	"encoding/json"
	"math"
	"strings"

	"emberbank/figure"
	"emberbank/paper"
)

// Number is a number with its unit, how well it is known and the place that it was read from.
type Number struct {
	Value  float64 // in Unit
	Unit   string  // as results write it, such as "J", "degC" or "kg/s"; "1" for shares and counts
	Half   float64 // half-width at 95 %, in Unit, of temperatures in K; 0: not known
	Origin string  // such as "results/day/summary.json /ledger/stored_J"
	share  bool    // it is one of a whole
}

// number reads a number with what stands beside it.
func (t *tree) number(pointer string) (n Number, ok bool) {
	x, ok := t.float(pointer)
	if !ok {
		return n, false
	}
	parent, key := split(pointer)
	if up, _ := t.at(parent); isList(up) { // of a list its key tells the unit
		_, key = split(parent)
	}
	n = Number{Value: x, Origin: t.origin(pointer)}
	n.Unit = unitOfKey(key)
	if n.Unit == "" {
		n.Unit = "1"
		n.share = isShare(key) || key == "value" && isShare(last(parent))
		if u, is := t.sibling(pointer, "unit"); is && !n.share && !unitless[key] {
			if s, _ := u.(string); s != "" {
				n.Unit = s
			}
		}
	}
	n.Half = t.half(pointer, key)
	return n, true
}

// last is the last step of a pointer.
func last(pointer string) string {
	_, key := split(pointer)
	return key
}

func isList(v any) bool {
	_, is := v.([]any)
	return is
}

// float reads a bare number.
func (t *tree) float(pointer string) (float64, bool) {
	v, _ := t.at(pointer)
	j, is := v.(json.Number)
	if !is {
		return 0, false
	}
	x, err := j.Float64()
	if err != nil || math.IsInf(x, 0) || math.IsNaN(x) { // a table's cell may say so
		return 0, false
	}
	return x, true
}

// half is the half-width at 95 % that stands beside a number: under its own key's name, or as the ends of its interval.
func (t *tree) half(pointer, key string) float64 {
	parent, _ := split(pointer)
	beside := func(k string) (float64, bool) { return t.float(parent + "/" + escaped(k)) }
	if key == "value" || strings.HasPrefix(key, "value_") {
		for _, k := range t.keys(parent) {
			if k == "half_width_95" || strings.HasPrefix(k, "half_width_95_") && k != "half_width_95_inputs" {
				h, _ := beside(k)
				return math.Abs(h)
			}
		}
	}
	if key == "shown" {
		if h, ok := beside("shown_half_width_95"); ok {
			return math.Abs(h)
		}
		if h := t.span95(parent+"/", "lower_95_with_grid", "upper_95_with_grid"); h > 0 { // with what another grid would find
			return h
		}
		return t.span95(parent+"/", "lower_95", "upper_95")
	}
	return 0
}

// span95 is the half-width at 95 % of a shown parameter by the ends of its interval: those are in SI, and the shown number is that
// times a factor.
func (t *tree) span95(at, low, high string) float64 {
	shown, _ := t.float(at + "shown")
	value, is := t.float(at + "value")
	lower, a := t.float(at + low)
	upper, b := t.float(at + high)
	if !is || !a || !b || value == 0 {
		return 0
	}
	return math.Max(upper-value, value-lower) * math.Abs(shown/value)
}

// band is the half-width at 95 % that a run with --uncertainty states of an entry of its ledger or of the last row.
func (r *Result) band(pointer string) float64 {
	parent, key := split(pointer)
	name := strings.TrimSuffix(key, keySuffix(key))
	switch parent {
	case "/ledger":
		name = "ledger " + strings.ReplaceAll(name, "_", " ")
	case "/end":
	default:
		return 0
	}
	t := r.tree(r.Main)
	for i := range t.count("/uncertainty/results") {
		at := "/uncertainty/results/" + decimal(i)
		if s, _ := t.sentence(at + "/name"); s.Text == name {
			for _, k := range t.keys(at) {
				if strings.HasPrefix(k, "half_width_95") {
					h, _ := t.float(at + "/" + escaped(k))
					return h
				}
			}
		}
	}
	return 0
}

// Text is the number as house rules write it, with its half-width where that is known, and its unit. unit "" is the one that
// readers of the quantity expect: kWh, °C, kg/h, bar, mm, %; decimals below 0 are those of the rule.
func (n Number) Text(unit string, decimals int) string {
	if n.Unit == "s" && unit == "" && n.Half == 0 {
		return figure.Span(n.Value)
	}
	bare, u := n.bare(unit, decimals)
	if u == "" {
		return bare
	}
	return bare + thin + u
}

// Span is Text with its origin.
func (n Number) Span(unit string, decimals int) paper.Span {
	return paper.Span{Text: n.Text(unit, decimals), Origin: n.Origin}
}

// Bare is the number without its unit, for a table whose column has it; decimals as in Text.
func (n Number) Bare(unit string, decimals int) paper.Span {
	text, _ := n.bare(unit, decimals)
	return paper.Span{Text: text, Origin: n.Origin}
}

// fine is a small number, as an uncertainty, to two digits.
func (n Number) fine() paper.Span {
	v, _, _, _ := n.in("")
	return n.Span("", digits(2)(v))
}

// bare writes the number in a unit, and names the unit as it is set.
func (n Number) bare(unit string, decimals int) (text, set string) {
	v, half, set, rule := n.in(unit)
	switch {
	case decimals >= 0:
		text = figure.Number(v, decimals)
		if half > 0 {
			text += " ± " + figure.Number(half, decimals)
		}
	case half > 0 && !math.IsInf(half, 0):
		text = toHalf(v, half) + " ± " + toHalf(half, half)
	default:
		text = figure.Number(v, rule(v))
		if v != 0 && strings.Trim(text, "0."+thin+minus) == "" { // something is not nothing
			text = "<" + thin + figure.Number(math.Pow(10, -float64(rule(v))), rule(v))
		}
	}
	return text, set
}

// toHalf writes a number down to the second digit of its half-width.
func toHalf(v, half float64) string {
	last := figure.LastDigit(half)
	if last > 0 {
		step := math.Pow(10, float64(last))
		return figure.Number(math.Round(v/step)*step, 0)
	}
	return figure.Number(v, min(-last, 9))
}

const (
	thin  = "\u2009"
	minus = "−"
)
