package dossier

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"emberbank/history"
	"emberbank/unit"
)

// StudySchema names the form of study.json.
const StudySchema = "emberbank/study-result/1"

// Varied is what a study gave, in SI.
type Varied struct {
	Name        string
	Kind        string // sweep, sample or search
	Axes        []VariedAxis
	Responses   []VariedResponse
	Variants    []Variant    // in the order of the design; of a search, as they were asked for
	Present     *Variant     // the run as its files have it, where it was run; it has no place on the axes
	Meeting     *VariedShare // of a sample: how much of it meets all constraints; nil: there are none
	Constraints []VariedConstraint
	Answers     []VariedAnswer
	Notes       []string
}

// VariedAxis is what was varied.
type VariedAxis struct {
	Name      string
	Dimension unit.Dimension
	Unit      string // in which its values are shown
}

// VariedResponse is what was read off every variant.
type VariedResponse struct {
	Name     string
	Read     string // the words that say what is read
	Quantity history.Quantity
}

// Variant is one run of a study.
type Variant struct {
	Key      string
	At       []float64 // value of each axis
	Values   []float64 // of each response; empty: it failed
	Failure  string
	Stopped  string   // by a rule, before its time
	Cautions []string // their kinds
	Meets    bool     // all constraints
}

// VariedConstraint is a limit and how many variants meet it.
type VariedConstraint struct {
	Text  string `json:"constraint"`
	Meet  int    `json:"variants_that_meet_it"`
	Words string `json:"sentence"`
}

// VariedAnswer is a question, its verdict and what can be said, in sentences.
type VariedAnswer struct {
	Question  string   `json:"question"`
	Verdict   string   `json:"verdict"`
	Sentences []string `json:"sentences"`
	Judged    `json:"-"`
}

// Failed counts the variants without results.
func (v *Varied) Failed() int { return v.count(func(o *Variant) bool { return o.Failure != "" }) }

func (v *Varied) count(which func(*Variant) bool) int {
	n := 0
	for i := range v.Variants {
		if which(&v.Variants[i]) {
			n++
		}
	}
	return n
}

// WriteStudy puts all files of a study into the sink: the table of its variants as CSV, Parquet and workbook, the report as text, and
// study.json last.
func WriteStudy(sink Sink, v *Varied) error {
	docs := append(inBoth("table", v.table), []document{
		{"table.xlsx", v.workbook},
		{"report.txt", func(w io.Writer) error { return StudyText(w, v) }},
		{"study.json", func(w io.Writer) error {
			e := json.NewEncoder(w)
			e.SetEscapeHTML(false)
			e.SetIndent("", " ")
			return e.Encode(StudyDocument(v))
		}},
	}...)
	for i := range docs {
		if err := docs[i].into(sink); err != nil {
			return err
		}
	}
	return nil
}

// table is a row for each variant: its number, the axes, the responses, whether it meets the constraints.
func (v *Varied) table(t *table) error {
	t.text("variant [1]")
	for _, a := range v.Axes {
		t.text(a.Name + " [" + unitOr1(a.Unit) + "]")
	}
	for _, r := range v.Responses {
		t.text(r.Name + " [" + r.Quantity.Unit() + "]")
	}
	for _, h := range []string{"meets the constraints", "cautions", "ended early", "failure", "key"} {
		t.text(h)
	}
	t.end()
	for i := range v.Variants {
		o := &v.Variants[i]
		t.number(float64(i + 1))
		for k := range v.Axes {
			t.number(v.Axes[k].shown(o.At[k]))
		}
		for k, r := range v.Responses {
			if o.Failure != "" {
				t.number(math.NaN())
				continue
			}
			t.number(shown(r.Quantity, o.Values[k]))
		}
		t.text(map[bool]string{true: "yes", false: "no"}[o.Meets])
		t.text(strings.Join(o.Cautions, "; "))
		t.text(o.Stopped)
		t.text(o.Failure)
		t.text(o.Key)
		t.end()
	}
	return t.flush()
}

// shown is a value in the unit of the axis, without the last digits that conversion leaves.
func (a *VariedAxis) shown(x float64) float64 {
	y, err := unit.FromSI(x, a.Dimension, a.Unit)
	if err != nil {
		return x
	}
	return y
}

// Show writes a value with its unit, to five digits.
func (a *VariedAxis) Show(x float64) string {
	s := fmt.Sprintf("%.5g", a.shown(x))
	if a.Unit != "" {
		s += " " + a.Unit
	}
	return s
}

// StudyJSON is study.json. Numbers stand in the units of the columns.
type StudyJSON struct {
	Schema      string             `json:"schema"`
	Name        string             `json:"name"`
	Columns     []StudyColumnJSON  `json:"columns"`
	Variants    []StudyVariantJSON `json:"variants"`
	Constraints []VariedConstraint `json:"constraints"`
	Answers     []VariedAnswer     `json:"answers"`
	Notes       []string           `json:"notes"`
}

// StudyColumnJSON is an axis or a response.
type StudyColumnJSON struct {
	Name string `json:"name"`
	Is   string `json:"is"` // axis or response
	Read string `json:"read,omitempty"`
	Unit string `json:"unit"`
}

// StudyVariantJSON is a variant; Values stand in the order of the columns, null where there is none.
type StudyVariantJSON struct {
	Values   []*float64 `json:"values"`
	Meets    bool       `json:"meets_the_constraints"`
	Cautions []string   `json:"cautions,omitempty"`
	Stopped  string     `json:"ended_early,omitempty"`
	Failure  string     `json:"failure,omitempty"`
	Key      string     `json:"key"`
}

// StudyDocument is a study as JSON.
func StudyDocument(v *Varied) StudyJSON {
	d := StudyJSON{
		Schema: StudySchema, Name: v.Name, Columns: []StudyColumnJSON{}, Variants: []StudyVariantJSON{},
		Constraints: append([]VariedConstraint{}, v.Constraints...), Answers: append([]VariedAnswer{}, v.Answers...), Notes: append([]string{}, v.Notes...),
	}
	for _, a := range v.Axes {
		d.Columns = append(d.Columns, StudyColumnJSON{Name: a.Name, Is: "axis", Unit: unitOr1(a.Unit)})
	}
	for _, r := range v.Responses {
		d.Columns = append(d.Columns, StudyColumnJSON{Name: r.Name, Is: "response", Read: r.Read, Unit: r.Quantity.Unit()})
	}
	for i := range v.Variants {
		o := &v.Variants[i]
		one := StudyVariantJSON{Meets: o.Meets, Cautions: o.Cautions, Stopped: o.Stopped, Failure: o.Failure, Key: o.Key}
		for k := range v.Axes {
			x := v.Axes[k].shown(o.At[k])
			one.Values = append(one.Values, &x)
		}
		for k, r := range v.Responses {
			var y *float64
			if o.Failure == "" && !math.IsNaN(o.Values[k]) && !math.IsInf(o.Values[k], 0) {
				s := shown(r.Quantity, o.Values[k])
				y = &s
			}
			one.Values = append(one.Values, y)
		}
		d.Variants = append(d.Variants, one)
	}
	return d
}

// Amount writes a value of a quantity with its unit, to four digits; of a difference of temperatures in K.
func Amount(q history.Quantity, v float64, difference bool) string {
	u := unitText(q)
	switch {
	case q == history.Temperature && difference:
		u = "K"
	default:
		v = q.Shown(v)
	}
	if q == history.Heat || q == history.HeatFlow {
		for _, prefix := range []string{"", "k", "M", "G"} {
			if math.Abs(v) < 1000 || prefix == "G" {
				u = prefix + u
				break
			}
			v /= 1000
		}
	}
	s := fmt.Sprintf("%.4g", v)
	if u != "" {
		s += "\u00a0" + u
	}
	return s
}
