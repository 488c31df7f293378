package account

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/figure"
	"emberbank/history"
)

// variedPictures draws a study: what answers say first, then each response over the axes.
type variedPictures struct {
	*Varied
	names map[string]bool // of files, looked up alone
	docs  []document
}

// pictures lists the pictures of a study as files.
func (v *Varied) pictures() []document {
	p := &variedPictures{Varied: v, names: map[string]bool{}}
	if len(v.Variants) == 0 {
		return nil
	}
	p.passes()
	p.fronts()
	p.optima()
	p.spreads()
	p.sensitivities()
	switch v.Kind {
	case "sample", "search":
		p.judgedCurves()
	default:
		p.sweeps()
	}
	return p.docs
}

// add adds a picture under a name that no other has: a kind, and a word that may hold anything.
func (p *variedPictures) add(kind, word string, draw func() []byte) {
	name := kind
	if word != "" {
		name += "-" + plainWord(word)
	}
	for n, base := 2, name; p.names[strings.ToLower(name)]; n++ {
		name = fmt.Sprintf("%s-%d", base, n)
	}
	p.names[strings.ToLower(name)] = true
	p.docs = append(p.docs, picture(name+".svg", draw))
}

// plainWord is a text as a part of a file's name: letters, digits and dashes, not too long.
func plainWord(s string) string {
	word := strings.Map(func(c rune) rune {
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' {
			return c
		}
		return '-'
	}, s)
	return word[:min(len(word), 60)]
}

// measure is the unit in which a response is drawn, and how many of the unit in which files show it make one of it.
type measure struct {
	response *VariedResponse
	unit     string
	per      float64
}

// measureOf picks the unit in which the largest of values reads well.
func measureOf(r *VariedResponse, values ...[]float64) measure {
	if r.Unit != "" {
		return measure{r, r.Unit, 1}
	}
	q, largest := r.Quantity, 0.0
	for _, list := range values {
		for _, v := range list {
			if s := math.Abs(q.Shown(v)); s > largest && !math.IsInf(s, 0) {
				largest = s
			}
		}
	}
	m := measure{r, unitText(q), 1}
	switch q {
	case history.Heat, history.HeatFlow, history.Pressure:
		for _, prefix := range []string{"k", "M", "G"} {
			if largest < 1000 {
				break
			}
			largest, m.per = largest/1000, m.per*1000
			m.unit = prefix + unitText(q)
		}
	case history.Time:
		switch {
		case largest >= 7200:
			m.unit, m.per = "h", 3600
		case largest >= 600:
			m.unit, m.per = "min", 60
		}
	case history.Length:
		if largest < 1 {
			m.unit, m.per = "mm", 0.001
		}
	}
	return m
}

// of is a value as it is drawn; a width is that of a difference.
func (m *measure) of(v float64) float64 { return shown(m.response.Quantity, v) / m.per }

func (m *measure) width(v float64) float64 {
	return (m.response.Quantity.Shown(v) - m.response.Quantity.Shown(0)) / m.per
}

func (m *measure) all(v []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = m.of(v[i])
	}
	return out
}

// response is a response as a picture shows it.
func (p *variedPictures) response(k int, m measure) figure.Studied {
	return figure.Studied{Name: p.Responses[k].Name, Unit: m.unit, Degrees: m.response.Unit == "" && m.response.Quantity == history.Temperature}
}

// axis is an axis as a picture shows it; levels decide whether it goes by ratio.
func (p *variedPictures) axis(k int, levels []float64) figure.Studied {
	a := &p.Axes[k]
	if a.Words != nil {
		return figure.Studied{Name: a.Name, Words: a.Words}
	}
	return figure.Studied{Name: a.Name, Unit: a.Unit, Ratio: byRatio(levels)}
}

// byRatio tells whether rising levels go by ratio: their ratios are more alike than their differences, over a factor of four
// at least.
func byRatio(levels []float64) bool {
	n := len(levels)
	if n < 3 || !(levels[0] > 0) || levels[n-1] < 4*levels[0] {
		return false
	}
	ratio, least := 1.0, math.Inf(1) // the largest over the smallest step, by logarithms and by differences
	most := 0.0
	lo, hi := math.Inf(1), 0.0
	for i := 1; i < n; i++ {
		d, l := levels[i]-levels[i-1], math.Log(levels[i]/levels[i-1])
		least, most = math.Min(least, d), math.Max(most, d)
		lo, hi = math.Min(lo, l), math.Max(hi, l)
	}
	ratio = hi / lo
	return ratio < most/least
}

// value is a variant's response; NaN where it has none.
func (o *Variant) value(k int) float64 {
	if o.Failure != "" || k >= len(o.Values) || math.IsInf(o.Values[k], 0) {
		return math.NaN()
	}
	return o.Values[k]
}

// fate is what became of a variant, for a picture of response k.
func (p *variedPictures) fate(o *Variant, k int) figure.Fate {
	switch {
	case math.IsNaN(o.value(k)):
		return figure.Failed
	case len(p.Constraints) > 0 && !o.Meets:
		return figure.Misses
	}
	return figure.Meets
}

// values are those of response k, of all variants.
func (p *variedPictures) values(k int) []float64 {
	out := make([]float64, len(p.Variants))
	for i := range p.Variants {
		out[i] = p.Variants[i].value(k)
	}
	return out
}

// limits are those of constraints on response k.
func (p *variedPictures) limits(k int, m measure) (out []figure.Limit) {
	for i := range p.Constraints {
		if c := &p.Constraints[i]; c.Response == k && c.Text != "" {
			out = append(out, p.limit(c, m)...)
		}
	}
	return out
}

func (p *variedPictures) limit(c *VariedConstraint, m measure) (out []figure.Limit) {
	r := &p.Responses[c.Response]
	if !math.IsInf(c.Above, 0) {
		out = append(out, figure.Limit{At: m.of(c.Above), Says: r.Name + " at least " + r.Amount(c.Above, false)})
	}
	if !math.IsInf(c.Below, 0) {
		out = append(out, figure.Limit{At: m.of(c.Below), Most: true, Says: r.Name + " at most " + r.Amount(c.Below, false)})
	}
	return out
}

// place names where a variant stands: "wool 120 mm, window 80 mm". Axes of without are left out.
func (v *Varied) place(o *Variant, without ...int) string {
	var parts []string
	for k := range v.Axes {
		if !slices.Contains(without, k) && k < len(o.At) {
			parts = append(parts, v.Axes[k].Name+" "+strings.ReplaceAll(v.Axes[k].Show(o.At[k]), " ", "\u00a0"))
		}
	}
	return strings.Join(parts, ", ")
}

func anyFinite(values []float64) bool {
	for _, v := range values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			return true
		}
	}
	return false
}

func first(all []string, n int) []string { return slices.Clone(all[:min(n, len(all))]) }

// distinct takes repeated values out of a sorted list.
func distinct(sorted []float64) []float64 { return slices.Compact(sorted) }

// unbroken keeps a number and its unit on one line.
func unbroken(s string) string { return strings.ReplaceAll(s, " ", "\u00a0") }
