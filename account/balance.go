package account

import (
	"fmt"
	"io"
	"math"
	"sort"
	"strings"
	"unicode/utf8"

	"emberbank/balance"
	"emberbank/figure"
)

// WriteHeat puts what a record says about heat into the sink: balance.txt, balance.json, the budgets as
// budgets.csv and budgets.parquet, and, where a heat is known, the picture balance.svg.
func WriteHeat(sink Sink, r *balance.Report) error {
	docs := append([]document{
		{"balance.json", func(w io.Writer) error { return WriteBalanceJSON(w, r) }},
		{"balance.txt", func(w io.Writer) error { return WriteBalance(w, r) }},
	}, inBoth("budgets", func(t *table) error { return budgetTable(t, r) })...)
	if drawnHeats(r) != nil {
		docs = append(docs, picture("balance.svg", func() []byte { return BalancePicture("Heat balance of "+r.Name, r) }))
	}
	for i := range docs {
		if err := docs[i].into(sink); err != nil {
			return err
		}
	}
	return nil
}

// WriteBalance prints what a record says about heat, for a terminal: phases with the reason for each, the balance of
// each phase with 95 % half-widths, where the uncertainty comes from, cooling constants, and what looks wrong.
func WriteBalance(w io.Writer, r *balance.Report) error {
	p := &page{}
	if r.Name != "" {
		p.line("Heat balance of %s", r.Name)
		p.line("")
	}
	for _, s := range r.Suspicions {
		p.paragraph("! ", s)
		p.line("")
	}
	if r.Drying != nil && r.Drying.Found {
		p.paragraph("! ", r.Drying.Sentence)
		p.line("")
	}
	for i := range r.Phases {
		p.phase(&r.Phases[i])
	}
	if r.Loss != nil {
		p.paragraph("", fmt.Sprintf("Losses expected: UA %s\u00a0W/K, from %s.", spread(r.Loss.Value, r.LossHalf()), r.LossFrom))
	}
	for _, s := range r.Notes {
		p.paragraph("", s)
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

// phase prints one phase.
func (p *page) phase(b *balance.PhaseReport) {
	p.line("%s", phaseTitle(b))
	why := "Found: "
	if b.ByHand {
		why = ""
	}
	p.paragraph("  ", why+b.Why+".")
	for _, row := range toldHeats(b) {
		p.line("  %s%s", left(row.name, 26), right(row.text(), 22))
	}
	if b.ByConstruction {
		p.paragraph("  ", "The losses were found from this phase, so that its balance closes by construction.")
	}
	if c := b.Cooling; c != nil {
		p.paragraph("  ", c.Sentence)
		if c.UA != nil {
			p.paragraph("  ", fmt.Sprintf("With the block's heat capacity that is a conductance of the losses of %s\u00a0W/K.", spread(c.UA.Value, c.UA.Half())))
		}
	}
	if r := b.Telling(); r != nil {
		p.causes(r)
	}
	for _, s := range b.Suspicions {
		p.paragraph("! ", s)
	}
	for _, s := range b.Notes {
		p.paragraph("  ", s)
	}
	for _, c := range b.Cautions {
		p.paragraph("  ! ", c.Text)
	}
	if len(b.Cautions) > 0 {
		p.paragraph("    ", practice)
	}
	p.line("")
}

// phaseTitle names a phase with its time.
func phaseTitle(b *balance.PhaseReport) string {
	begin := "the start"
	if b.From != 0 {
		begin = figure.Span(b.From)
	}
	kind := b.Kind.String()
	return fmt.Sprintf("%s, from %s to %s", strings.ToUpper(kind[:1])+kind[1:], begin, figure.Span(b.To))
}

type heatRow struct {
	name string
	r    *balance.Result
}

// text is the result with its half-width.
func (h *heatRow) text() string {
	if h.r.Unit == "1" {
		return spread(100*h.r.Value, 100*h.r.Half()) + "\u00a0%"
	}
	return balance.Joules(h.r.Value, h.r.Half())
}

// toldHeats are a phase's results that are told: those that are there and are not zero in all but noise.
func toldHeats(b *balance.PhaseReport) []heatRow {
	most := 0.0
	for _, row := range heats(b) {
		if row.r != nil && row.r.Unit != "1" {
			most = math.Max(most, math.Abs(row.r.Value))
		}
	}
	var out []heatRow
	for _, row := range heats(b) {
		if row.r != nil && (row.r.Unit == "1" || math.Abs(row.r.Value)+row.r.Half() >= 1e-3*most) {
			out = append(out, row)
		}
	}
	return out
}

// heats lists a phase's results as they are printed.
func heats(b *balance.PhaseReport) []heatRow {
	return []heatRow{
		{"energy in", b.In},
		{"heat to the water", b.Water},
		{"heat stored", b.Stored},
		{"heat lost by difference", b.Lost},
		{"losses expected", b.Expected},
		{"closure", b.Closure},
	}
}

// causes shows where the uncertainty of a result comes from: what brings most first, until 95 % is named.
func (p *page) causes(r *balance.Result) {
	rows := append(r.Rows[:0:0], r.Rows...)
	sort.SliceStable(rows, func(i, j int) bool { return math.Abs(rows[i].Share) > math.Abs(rows[j].Share) })
	p.line("  Where the uncertainty of the %s comes from", r.Name)
	named := 0.0
	for i, row := range rows {
		if i > 0 && (named > 0.95 || math.Abs(row.Share) < 0.005) {
			break
		}
		named += row.Share
		name := row.Input
		if row.Component != "" && row.Component != row.Input {
			name += ": " + row.Component
		}
		if utf8.RuneCountInString(name) > 57 {
			p.paragraph("    ", name)
			name = ""
		}
		p.row("  "+name, 59, right(figure.Percent(row.Share), 8))
	}
}

// spread prints a value with its half-width to two significant digits of the latter.
func spread(v, half float64) string {
	if !(half > 0) || math.IsInf(half, 0) {
		return figure.Number(v, 1) + " ± " + figure.Number(half, 1)
	}
	return rounded(v, half) + " ± " + rounded(half, half)
}

// budgetTable writes the budgets of all results of all phases as one table, a row for each component.
func budgetTable(t *table, r *balance.Report) error {
	for _, s := range []string{
		"phase", "from [s]", "to [s]", "result", "unit", "value", "u", "degrees of freedom", "U95",
		"input", "component", "source", "input unit", "input value", "component u", "sensitivity", "contribution", "share",
	} {
		t.text(s)
	}
	t.end()
	for i := range r.Phases {
		b := &r.Phases[i]
		all := heats(b)
		if b.Cooling != nil && b.Cooling.UA != nil {
			all = append(all, heatRow{"conductance of the losses", b.Cooling.UA})
		}
		for _, h := range all {
			if h.r == nil {
				continue
			}
			for _, row := range h.r.Rows {
				t.text(b.Kind.String())
				t.number(b.From)
				t.number(b.To)
				t.text(h.name)
				t.text(h.r.Unit)
				t.number(h.r.Value)
				t.number(h.r.U)
				t.number(h.r.DoF)
				t.number(h.r.Half())
				t.text(row.Input)
				t.text(row.Component)
				t.text(row.Group)
				t.text(row.Unit)
				t.number(row.Value)
				t.number(row.U)
				t.number(row.Sensitivity)
				t.number(row.Contribution)
				t.number(row.Share)
				t.end()
			}
		}
	}
	return t.flush()
}
