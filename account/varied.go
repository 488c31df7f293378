package account

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
	Beside      []string // keys of what answers needed besides the variants: inputs moved, finer grids, edges
}

// VariedAxis is what was varied.
type VariedAxis struct {
	Name      string
	Dimension unit.Dimension
	Unit      string   // in which its values are shown
	Words     []string // what the numbers 0, 1, … stand for; nil: they are numbers
}

// VariedResponse is what was read off every variant.
type VariedResponse struct {
	Name     string
	Read     string // the words that say what is read
	Quantity history.Quantity
	Unit     string // of money; "": the quantity's own
}

// Amount writes a value of the response, or a difference of two, with its unit.
func (r *VariedResponse) Amount(y float64, difference bool) string {
	if r.Unit != "" {
		return fmt.Sprintf("%.4g\u00a0%s", y, r.Unit)
	}
	return Amount(r.Quantity, y, difference)
}

// unit is that of the column.
func (r *VariedResponse) unit() string {
	if r.Unit != "" {
		return r.Unit
	}
	return r.Quantity.Unit()
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

	Response     int     `json:"-"`
	Above, Below float64 `json:"-"` // SI; infinite: no limit on that side
}

// VariedAnswer is a question, its verdict and what can be said, in sentences.
type VariedAnswer struct {
	Question  string   `json:"question"`
	Verdict   string   `json:"verdict"`
	Sentences []string `json:"sentences"`
	// Table is shown below the sentences; its first row is the heading.
	Table  [][]string `json:"table,omitempty"`
	Below  string     `json:"below_the_table,omitempty"` // what it leaves out
	Judged `json:"-"`
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

// WriteStudy puts all files of a study into the sink: the table of its variants as CSV, Parquet and workbook, the pictures, the report
// as text, and study.json last.
func WriteStudy(sink Sink, v *Varied) error {
	docs := append(v.pictures(), v.tables()...)
	for i := range docs {
		if err := docs[i].into(sink); err != nil {
			return err
		}
	}
	return nil
}

// tables are the files that hold a row for each variant, and the report.
func (v *Varied) tables() []document {
	return append(inBoth("table", v.table), []document{
		{"table.xlsx", v.workbook},
		{"report.txt", func(w io.Writer) error { return StudyText(w, v) }},
		{"study.json", func(w io.Writer) error {
			e := json.NewEncoder(w)
			e.SetEscapeHTML(false)
			e.SetIndent("", " ")
			return e.Encode(StudyDocument(v))
		}},
	}...)
}

// table is a row for each variant: its number, the axes, the responses, whether it meets the constraints.
func (v *Varied) table(t *table) error {
	t.text("variant [1]")
	for _, a := range v.Axes {
		if a.Words != nil {
			t.text(a.Name)
			continue
		}
		t.text(a.Name + " [" + unitOr1(a.Unit) + "]")
	}
	for _, r := range v.Responses {
		t.text(r.Name + " [" + r.unit() + "]")
	}
	for _, h := range []string{"meets the constraints", "cautions", "ended early", "failure", "key"} {
		t.text(h)
	}
	t.end()
	for i := range v.Variants {
		o := &v.Variants[i]
		t.number(float64(i + 1))
		for k := range v.Axes {
			if a := &v.Axes[k]; a.Words != nil {
				t.text(a.Show(o.At[k]))
			} else {
				t.number(a.Shown(o.At[k]))
			}
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

// Shown is a value in the unit of the axis, without the last digits that conversion leaves.
func (a *VariedAxis) Shown(x float64) float64 {
	y, err := unit.FromSI(x, a.Dimension, a.Unit)
	if err != nil {
		return x
	}
	return y
}

// Show writes a value with its unit, to five digits, or the word that it stands for.
func (a *VariedAxis) Show(x float64) string {
	if i := int(x); a.Words != nil && i >= 0 && i < len(a.Words) {
		return a.Words[i]
	}
	s := fmt.Sprintf("%.5g", a.Shown(x))
	if a.Unit != "" {
		s += " " + a.Unit
	}
	return s
}

// StudyJSON is study.json. Numbers stand in the units of the columns.
type StudyJSON struct {
	Schema      string             `json:"schema"`
	Name        string             `json:"name"`
	Kind        string             `json:"kind"`
	Columns     []StudyColumnJSON  `json:"columns"`
	Variants    []StudyVariantJSON `json:"variants"`
	Constraints []VariedConstraint `json:"constraints"`
	Present     *StudyVariantJSON  `json:"present_design,omitempty"` // its values are those of the responses
	Meeting     *StudyShareJSON    `json:"share_that_meets_the_constraints,omitempty"`
	Answers     []StudyAnswerJSON  `json:"answers"`
	Notes       []string           `json:"notes"`
	Beside      []StudyKeyJSON     `json:"runs_beside_the_variants,omitempty"`
}

// StudyKeyJSON names a record.
type StudyKeyJSON struct {
	Key string `json:"key"`
}

// StudyShareJSON is a share of a sample with its interval at 95 %.
type StudyShareJSON struct {
	Share *float64 `json:"share"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
	Words string   `json:"sentence"`
}

// StudyColumnJSON is an axis or a response.
type StudyColumnJSON struct {
	Name string `json:"name"`
	Is   string `json:"is"` // axis or response
	Read string `json:"read,omitempty"`
	Unit string `json:"unit"`
	// Words are what the values 0, 1, … of an axis stand for.
	Words []string `json:"words,omitempty"`
}

// Show is a value of an axis with its unit, or the word that it stands for.
func (c *StudyColumnJSON) Show(x float64) string {
	switch i := int(x); {
	case i >= 0 && i < len(c.Words):
		return c.Words[i]
	case c.Unit == "1":
		return fmt.Sprintf("%.6g", x)
	}
	return fmt.Sprintf("%.6g %s", x, c.Unit)
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
		Schema: StudySchema, Name: v.Name, Kind: v.Kind, Columns: []StudyColumnJSON{}, Variants: []StudyVariantJSON{},
		Constraints: append([]VariedConstraint{}, v.Constraints...), Answers: []StudyAnswerJSON{}, Notes: append([]string{}, v.Notes...),
	}
	d.Columns = append(d.Columns, v.Columns()...)
	for i := range v.Variants {
		d.Variants = append(d.Variants, v.variantDocument(&v.Variants[i]))
	}
	if v.Present != nil {
		one := v.variantDocument(v.Present)
		d.Present = &one
	}
	if m := v.Meeting; m != nil {
		d.Meeting = &StudyShareJSON{maybe(m.Share), maybe(m.Low), maybe(m.High), m.Words}
	}
	for _, a := range v.Answers {
		d.Answers = append(d.Answers, v.document(a))
	}
	for _, k := range v.Beside {
		d.Beside = append(d.Beside, StudyKeyJSON{k})
	}
	return d
}

// Row is a variant as study.json has it.
func (v *Varied) Row(o *Variant) StudyVariantJSON { return v.variantDocument(o) }

// Columns are those of the rows: the axes, then the responses.
func (v *Varied) Columns() (out []StudyColumnJSON) {
	for _, a := range v.Axes {
		out = append(out, StudyColumnJSON{Name: a.Name, Is: "axis", Unit: unitOr1(a.Unit), Words: a.Words})
	}
	for _, r := range v.Responses {
		out = append(out, StudyColumnJSON{Name: r.Name, Is: "response", Read: r.Read, Unit: r.unit()})
	}
	return out
}

// variantDocument is a variant as JSON; one without a place on the axes has its responses only.
func (v *Varied) variantDocument(o *Variant) StudyVariantJSON {
	one := StudyVariantJSON{Meets: o.Meets, Cautions: o.Cautions, Stopped: o.Stopped, Failure: o.Failure, Key: o.Key}
	for k := range o.At {
		one.Values = append(one.Values, v.Axes[k].on(o.At[k]))
	}
	for k := range v.Responses {
		var y *float64
		if o.Failure == "" {
			y = v.Responses[k].on(o.Values[k])
		}
		one.Values = append(one.Values, y)
	}
	return one
}

// Amount writes a value of a quantity with its unit, to four digits; of a difference of temperatures in K.
func Amount(q history.Quantity, v float64, difference bool) string {
	u := unitText(q)
	switch {
	case q == history.Temperature && difference:
		u = "K"
	case q == history.Time && math.Abs(v) >= 2*3600:
		v, u = v/3600, "h"
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
