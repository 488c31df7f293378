package account

import (
	"fmt"
	"io"
	"math"
	"strings"

	"emberbank/figure"
	"emberbank/history"
)

// Beside is two results side by side: two runs, two variants of a study, or a trial and the run that is to show the same.
// Differences are the second less the first.
type Beside struct {
	Title    string
	A, B     string
	Measured bool // the first is a trial
	Inputs   []BesideInput
	Alike    int // how many inputs both state alike; negative: inputs were not compared
	Results  []BesideResult
	Columns  []BesideColumn
	OnlyA    []string // columns
	OnlyB    []string
	Common   history.Common
	Maps     []Mapped // of trial and run
	Notes    []string

	HistoryA, HistoryB *history.History // with the names of Columns; for pictures
}

// BesideInput is a path at which the two state something else; "": nothing is stated there.
type BesideInput struct{ Path, A, B string }

// BesideResult is one number of both, SI; NaN where one has none.
type BesideResult struct {
	Of       string // "ledger", "accuracy" or "run"
	Name     string
	Quantity history.Quantity
	A, B     float64
	// Half is what grids and time steps of both leave open at 95 %, by their convergence indices; NaN: not stated.
	Half float64
}

// Verdict judges a difference by what the two state of their accuracy; "" where they state nothing.
func (r *BesideResult) Verdict() string {
	switch d := math.Abs(r.B - r.A); {
	case math.IsNaN(r.Half) || math.IsNaN(d):
		return ""
	case d > r.Half:
		return "more than their grids leave open"
	}
	return "no more than their grids leave open"
}

// BesideColumn is a column of both histories.
type BesideColumn struct {
	history.Gap
	Of string // what it is called in the second, where the name differs
	// Half is how well the difference is known at 95 % at each common time, SI, largest over time; NaN: not known.
	Half   float64
	Within float64 // share of the times at which the difference is within what is known at 95 %; NaN: not known
}

// WriteBeside puts the files of a comparison of two results into the sink, beside.json last.
func WriteBeside(sink Sink, r *Beside) error {
	var docs []document
	for _, one := range []struct {
		name string
		fill func(t *table) error
	}{{"inputs", r.inputTable}, {"results", r.resultTable}, {"over-time", r.columnTable}} {
		docs = append(docs, inBoth(one.name, one.fill)...)
	}
	docs = append(docs,
		document{"report.txt", func(w io.Writer) error { return BesideText(w, r) }},
		picture("histories.svg", r.picture))
	return setBeside(sink, docs, r.Title, r.Maps, document{"beside.json", func(w io.Writer) error { return writeJSON(w, r.document()) }})
}

func (r *Beside) inputTable(t *table) error {
	t.texts("input", r.A, r.B)
	t.end()
	for _, i := range r.Inputs {
		t.texts(i.Path, i.A, i.B)
		t.end()
	}
	return t.flush()
}

func (r *Beside) resultTable(t *table) error {
	t.texts("of", "name", "unit", "first", "second", "unit of the difference", "second less first", "stated half-width", "verdict")
	t.end()
	for i := range r.Results {
		q := &r.Results[i]
		t.texts(q.Of, q.Name, q.Quantity.Unit())
		t.numbers(shown(q.Quantity, q.A), shown(q.Quantity, q.B))
		t.text(q.Quantity.Apart())
		t.numbers(q.Quantity.ShownApart(q.B-q.A), q.Quantity.ShownApart(q.Half))
		t.text(q.Verdict())
		t.end()
	}
	return t.flush()
}

func (r *Beside) columnTable(t *table) error {
	t.texts("column", "in the second", "unit", "first at the end", "second at the end", "unit of differences", "at the end", "on the mean", "largest", "largest at [s]",
		"first then", "second then", "times [1]", "half-width at 95 %", "share within [1]")
	t.end()
	for i := range r.Columns {
		g := &r.Columns[i]
		q := g.Quantity
		t.texts(g.Name, g.Of, q.Unit())
		t.numbers(shown(q, g.EndA), shown(q, g.EndB))
		t.text(q.Apart())
		t.numbers(q.ShownApart(g.Last), q.ShownApart(g.Mean), q.ShownApart(g.Most), g.At, shown(q, g.A), shown(q, g.B), float64(g.Times), q.ShownApart(g.Half), g.Within)
		t.end()
	}
	return t.flush()
}

// BesideJSON is what compare prints of two results with --json.
func BesideJSON(r *Beside, results string) any {
	return append(object{{"results", results}}, r.document()...)
}

func (r *Beside) document() object {
	o := object{
		{"schema", "emberbank/1"},
		{"kind", "side by side"},
		{"title", r.Title},
		{"first", r.A},
		{"second", r.B},
		{"first_is_measured", r.Measured},
		{"inputs_compared", r.Alike >= 0},
		{"inputs_alike", max(r.Alike, 0)},
		{"inputs_that_differ", listOf(r.Inputs, func(i BesideInput) any {
			return object{{"path", i.Path}, {"first", i.A}, {"second", i.B}}
		})},
		{"common_times", len(r.Common.Times)},
		{"drawn_between_rows", r.Common.Drawn},
	}
	results, columns := []any{}, []any{}
	for i := range r.Results {
		q := &r.Results[i]
		results = append(results, object{
			{"of", q.Of},
			{"name", q.Name},
			{"unit", q.Quantity.Unit()},
			{"first", num(shown(q.Quantity, q.A))},
			{"second", num(shown(q.Quantity, q.B))},
			{"difference_unit", q.Quantity.Apart()},
			{"difference", num(q.Quantity.ShownApart(q.B - q.A))},
			{"stated_half_width", num(q.Quantity.ShownApart(q.Half))},
			{"verdict", q.Verdict()},
		})
	}
	for i := range r.Columns {
		g := &r.Columns[i]
		q := g.Quantity
		columns = append(columns, object{
			{"column", g.Name},
			{"in_the_second", g.Of},
			{"unit", q.Unit()},
			{"first_at_the_end", num(shown(q, g.EndA))},
			{"second_at_the_end", num(shown(q, g.EndB))},
			{"difference_unit", q.Apart()},
			{"at_the_end", num(q.ShownApart(g.Last))},
			{"on_the_mean", num(q.ShownApart(g.Mean))},
			{"largest", num(q.ShownApart(g.Most))},
			{"largest_at_s", num(g.At)},
			{"times", g.Times},
			{"half_width_95", num(q.ShownApart(g.Half))},
			{"share_within", num(g.Within)},
		})
	}
	return append(o,
		member{"results_compared", results},
		member{"over_time", columns},
		member{"only_in_the_first", append([]string{}, r.OnlyA...)},
		member{"only_in_the_second", append([]string{}, r.OnlyB...)},
		member{"notes", append([]string{}, r.Notes...)})
}

// BesideText prints two results side by side for a terminal.
func BesideText(w io.Writer, r *Beside) error {
	p := &page{}
	p.line("%s", r.Title)
	p.besideInputs(r)
	p.besideResults(r)
	p.besideColumns(r)
	for _, n := range r.Notes {
		p.line("")
		p.paragraph("", n)
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

func (p *page) besideInputs(r *Beside) {
	if r.Alike < 0 {
		return
	}
	p.line("")
	if len(r.Inputs) == 0 {
		p.paragraph("", fmt.Sprintf("All %d inputs that the two state are alike.", r.Alike))
		return
	}
	title := "Inputs that differ"
	if r.Alike > 0 {
		title += fmt.Sprintf(" (%d are alike)", r.Alike)
	}
	p.line("%s", title)
	for _, i := range r.Inputs {
		from, to := i.A, i.B
		if from == "" {
			from = "not stated"
		}
		if to == "" {
			to = "not stated"
		}
		p.paragraph("  ", i.Path+": "+from+" → "+to)
	}
}

// besideResults prints what differs of the ledger and of single numbers.
func (p *page) besideResults(r *Beside) {
	var rows []string
	same := 0
	for i := range r.Results {
		q := &r.Results[i]
		if q.A == q.B {
			same++
			continue
		}
		s := fmt.Sprintf("  %s%s%s%s", left(q.Name, 28), right(plainAmount(q.Quantity, q.A), 13), right(plainAmount(q.Quantity, q.B), 13), right(signed(q.Quantity, q.B-q.A), 13))
		if v := q.Verdict(); v != "" {
			s += fmt.Sprintf("\n    %s (± %s)", v, Amount(q.Quantity, q.Half, true))
		}
		rows = append(rows, s)
	}
	if len(r.Results) == 0 {
		return
	}
	p.line("")
	if len(rows) == 0 {
		p.line("All %d results are the same.", same)
		return
	}
	p.line("%s%s%s%s", left("Results that differ", 30), right("first", 13), right("second", 13), right("by", 13))
	for _, s := range rows {
		p.line("%s", s)
	}
	if same > 0 {
		p.line("  and %d are the same", same)
	}
}

// columnsInText is how many columns the text shows; over-time.csv holds all.
const columnsInText = 16

func (p *page) besideColumns(r *Beside) {
	if len(r.Columns) == 0 {
		return
	}
	p.line("")
	what := "Over time"
	if r.Measured {
		what = "Over time, computed less measured"
	}
	p.line("%s%s%s  %s", left(what, 32), right("at the end", 11), right("mean", 13), "largest, and when")
	same, told := 0, 0
	for i := range r.Columns {
		g := &r.Columns[i]
		if g.Most == 0 {
			same++
			continue
		}
		if told++; told > columnsInText {
			continue
		}
		p.row(g.Name, 28, fmt.Sprintf("%s%s  %s at %s", right(signed(g.Quantity, g.Last), 13), right(signed(g.Quantity, g.Mean), 13), signed(g.Quantity, g.Most), figure.Span(g.At)))
		if !math.IsNaN(g.Within) {
			p.line("    %.0f %% of %d times within what is known at 95 %% (up to ± %s)", 100*g.Within, g.Times, strings.TrimPrefix(signed(g.Quantity, g.Half), "+"))
		}
	}
	if more := told - columnsInText; more > 0 {
		p.line("  and %d more in over-time.csv", more)
	}
	if same > 0 {
		p.line("  %d of %d columns are the same at every common time", same, len(r.Columns))
	}
	for _, only := range []struct {
		name  string
		names []string
	}{{r.A, r.OnlyA}, {r.B, r.OnlyB}} {
		if len(only.names) > 0 {
			p.paragraph("  ", "only in "+only.name+": "+strings.Join(only.names, ", "))
		}
	}
}

// signed is a difference with its sign, to three digits; a flow in kg/h, as charts show it.
func signed(q history.Quantity, d float64) string {
	s := ""
	switch {
	case q == history.Time:
		s = figure.Span(d)
	case q == history.MassFlow:
		s = fmt.Sprintf("%.3g\u00a0kg/h", 3600*d)
	case q == history.Heat || q == history.HeatFlow:
		s = Amount(q, d, true)
	default:
		s = strings.TrimSuffix(fmt.Sprintf("%.3g\u00a0%s", q.ShownApart(d), plainOf(q.Apart())), "\u00a0")
	}
	if d > 0 {
		s = "+" + s
	}
	return s
}

// plainAmount is a value with its unit, a time in hours and minutes.
func plainAmount(q history.Quantity, v float64) string {
	if q == history.Time {
		return figure.Span(v)
	}
	return Amount(q, v, false)
}

// plainOf leaves the unit of a plain number out.
func plainOf(unit string) string {
	if unit == "1" {
		return ""
	}
	return unit
}
