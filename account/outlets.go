package account

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/figure"
	"emberbank/heat"
	"emberbank/history"
)

// watts prints a heat flow: whole watts, from 10 kW on in kW.
func watts(w float64) string {
	if math.Abs(w) >= 1e4 {
		return figure.Number(w/1e3, 1) + "\u00a0kW"
	}
	return figure.Number(w, 0) + "\u00a0W"
}

// taken says how much heat the passes take in all, and how much at the most.
func (p *page) taken(r *heat.Result) {
	c := r.History.Column("heat to passes")
	if c == nil || len(c.Values) == 0 || r.Ledger.ToPasses == 0 {
		return
	}
	if r.Ledger.Steady {
		p.paragraph("", "The passes take "+watts(r.Ledger.ToPasses)+".")
		return
	}
	most, first := greatest(r, c.Values)
	verb, sign := "take", 1.0
	if r.Ledger.ToPasses < 0 {
		verb, sign = "give", -1
	}
	size := figure.ScaleOf(r.Ledger.ToPasses, false)
	s := fmt.Sprintf("The passes %s %s\u00a0%s", verb, size.Text(sign*r.Ledger.ToPasses), size.Unit)
	if most < 0 {
		if v := sign * c.Values[first]; v > 0 {
			s += fmt.Sprintf(", and %s at the most, %s, while the tubes fill", watts(v), moment(r.History.Time[first]))
		}
		p.paragraph("", s+".")
		return
	}
	if v := sign * c.Values[most]; v > 0 {
		s += fmt.Sprintf(", and %s at the most, %s", watts(v), moment(r.History.Time[most]))
	}
	if first >= 0 && sign*c.Values[first] > sign*c.Values[most] {
		s += fmt.Sprintf("; while the tubes fill, up to %s", watts(sign*c.Values[first]))
	}
	p.paragraph("", s+".")
}

// greatest returns the rows of the largest value without sign: of those after the first transit of the water through every
// circuit, and of those before its end. −1: there is no such row.
func greatest(r *heat.Result, values []float64) (most, first int) {
	most, first = -1, -1
	for i, v := range values {
		at := &most
		if fills(r, r.History.Time[i]) {
			at = &first
		}
		if *at < 0 || math.Abs(v) > math.Abs(values[*at]) {
			*at = i
		}
	}
	return most, first
}

// fills tells whether the tubes of any circuit fill at a time in s.
func fills(r *heat.Result, t float64) bool {
	return slices.ContainsFunc(r.Fillings, func(f heat.Filling) bool { return f.At(t) })
}

// moment says when, such as "after 4 h" or "at the start".
func moment(s float64) string {
	if s == 0 {
		return "at the start"
	}
	return "after " + figure.Span(s)
}

// outlets says how warm the water leaves: circuits that agree to a tenth of a kelvin together, and a table where
// many do not.
func (p *page) outlets(h *history.History) {
	type leaving struct {
		names    []string
		hot, end string
	}
	var groups []leaving
	for _, c := range h.Columns {
		if c.Quantity != history.Temperature || !strings.HasPrefix(c.Name, "circuit ") || !strings.HasSuffix(c.Name, " outlet") {
			continue
		}
		hi, last := math.Inf(-1), math.NaN()
		for _, v := range c.Values {
			if !math.IsNaN(v) {
				hi, last = math.Max(hi, v), v
			}
		}
		if math.IsNaN(last) {
			continue
		}
		name := strings.TrimSuffix(strings.TrimPrefix(c.Name, "circuit "), " outlet")
		hot, end := celsius(hi), celsius(last)
		found := false
		for i := range groups {
			if g := &groups[i]; g.hot == hot && g.end == end {
				g.names, found = append(g.names, name), true
			}
		}
		if !found {
			groups = append(groups, leaving{[]string{name}, hot, end})
		}
	}
	if len(groups) > 3 {
		p.line("")
		wide := 24
		for _, g := range groups {
			wide = max(wide, min(len([]rune(strings.Join(g.names, ", ")))+2, lineWidth-30))
		}
		p.line("%s%s%s", left("Water leaves circuit", wide+2), right("at most", 14), right("at last", 14))
		for _, g := range groups {
			name := strings.Join(g.names, ", ")
			if len([]rune(name)) > wide-1 {
				p.paragraph("  ", name)
				name = ""
			}
			p.line("  %s%s%s", left(name, wide), right(g.hot, 14), right(g.end, 14))
		}
		return
	}
	for _, g := range groups {
		circuit := "circuit " + g.names[0]
		if n := len(g.names); n > 1 {
			circuit = "circuits " + strings.Join(g.names[:n-1], ", ") + " and " + g.names[n-1]
		}
		if g.hot == g.end {
			p.paragraph("", fmt.Sprintf("Water leaves %s at %s.", circuit, g.hot))
		} else {
			p.paragraph("", fmt.Sprintf("Water leaves %s at up to %s, at last at %s.", circuit, g.hot, g.end))
		}
	}
}
