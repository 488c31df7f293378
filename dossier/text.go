package dossier

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"emberbank/figure"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/study"
)

// lineWidth is where running text breaks, in characters.
const lineWidth = 88

// page collects text and keeps its layout.
type page struct{ b strings.Builder }

func (p *page) line(format string, args ...any) {
	p.b.WriteString(strings.TrimRight(fmt.Sprintf(format, args...), " "))
	p.b.WriteByte('\n')
}

// paragraph breaks running text; further lines stand under the first one's words.
func (p *page) paragraph(lead, s string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(lead))
	at := lead
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' }) { // other spaces hold a number to its unit
		if n := utf8.RuneCountInString(at) + 1 + utf8.RuneCountInString(word); n > lineWidth && strings.TrimSpace(at) != "" && at != lead {
			p.line("%s", at)
			at = indent
		}
		if at != lead && at != indent {
			at += " "
		}
		at += word
	}
	p.line("%s", at)
}

// left and right pad by characters, not bytes.
func left(s string, w int) string {
	return s + strings.Repeat(" ", max(0, w-utf8.RuneCountInString(s)))
}

func right(s string, w int) string {
	return strings.Repeat(" ", max(0, w-utf8.RuneCountInString(s))) + s
}

// Text prints a run for a terminal: what happened, where the heat went, what limits the flow to the water at the
// last moment at which heat flows there, dangers and doubts in plain words, and where the files are. With an empty
// place nothing is said about files. Its bytes hang on the result alone.
func Text(w io.Writer, r *heat.Result, info Info, place string) error {
	p := &page{}
	if info.Title != "" {
		p.line("%s", info.Title)
		p.line("")
	}
	p.happened(r)
	p.ledger(r)
	p.chain(r)
	p.cautions(r)
	p.warnings(r)
	if info.Accuracy != nil {
		p.accuracy(r, info.Accuracy)
	}
	if info.Uncertainty != nil {
		p.uncertainty(r, info.Uncertainty)
	}
	p.line("")
	p.line("%s cells, %s steps. Largest imbalance of the ledger on the way: %.1e of what was exchanged.",
		figure.Number(float64(r.Cells), 0), figure.Number(float64(r.Steps), 0), r.Residual)
	if place != "" {
		p.paragraph("", "Results are in "+place+": start with summary.json and the pictures; history.csv holds every output time.")
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

func celsius(K float64) string { return figure.Number(K-273.15, 1) + "\u00a0°C" }

// happened says the course of the run in sentences.
func (p *page) happened(r *heat.Result) {
	h := &r.History
	n := len(h.Time)
	mean := h.Column("block mean")
	switch {
	case n == 0 || mean == nil:
		p.line("The run holds no output time.")
		return
	case r.Ledger.Steady:
		p.paragraph("", "In the steady state the block stands at "+celsius(mean.Values[n-1])+" on the mean.")
	default:
		hot := 0
		for i, v := range mean.Values {
			if v > mean.Values[hot] {
				hot = i
			}
		}
		s := fmt.Sprintf("In %s the block's mean goes from %s to %s", figure.Span(h.Time[n-1]-h.Time[0]), celsius(mean.Values[0]), celsius(mean.Values[n-1]))
		if hot > 0 && hot < n-1 && mean.Values[hot]-math.Max(mean.Values[0], mean.Values[n-1]) > 0.05 {
			s += fmt.Sprintf("; at its hottest it is at %s after %s", celsius(mean.Values[hot]), figure.Span(h.Time[hot]))
		}
		p.paragraph("", s+".")
		if m := h.Column("melted"); m != nil {
			most := 0
			for i, v := range m.Values {
				if v > m.Values[most] {
					most = i
				}
			}
			if m.Values[most] > 0 {
				p.paragraph("", fmt.Sprintf("Of what can melt, %s is molten at the end, and %s at the most, after %s.",
					figure.Percent(m.Values[n-1]), figure.Percent(m.Values[most]), figure.Span(h.Time[most])))
			}
		}
	}
	for _, c := range h.Columns {
		if c.Quantity != history.Temperature || !strings.HasPrefix(c.Name, "circuit ") {
			continue
		}
		lo, hi, wet := math.Inf(1), math.Inf(-1), false
		for _, v := range c.Values {
			if !math.IsNaN(v) {
				lo, hi, wet = math.Min(lo, v), math.Max(hi, v), true
			}
		}
		name := strings.TrimSuffix(strings.TrimPrefix(c.Name, "circuit "), " outlet")
		switch {
		case wet && hi-lo < 0.05:
			p.paragraph("", fmt.Sprintf("Water leaves circuit %s at %s.", name, celsius(hi)))
		case wet:
			p.paragraph("", fmt.Sprintf("Water leaves circuit %s at %s to %s.", name, celsius(lo), celsius(hi)))
		}
	}
	if r.Stopped != "" {
		p.paragraph("", fmt.Sprintf("It ended after %s: %s.", figure.Span(r.Ended), strings.TrimSuffix(r.Stopped, ".")))
	}
	const most = 12
	for i, e := range r.Events {
		if i == 0 {
			p.line("")
		}
		if i == most {
			p.line("  … and %d more, listed in summary.json", len(r.Events)-most)
			break
		}
		p.paragraph("  "+right(atTime(e.At), 13)+"  ", e.What)
	}
}

func atTime(s float64) string {
	if s == 0 {
		return "at the start"
	}
	return figure.Span(s)
}

// ledger prints the two sides of the books, names to the left, one unit for all.
func (p *page) ledger(r *heat.Result) {
	in, out := figure.Books(r)
	sum, spent := 0.0, 0.0
	for _, e := range in {
		sum += e.Amount
	}
	for _, e := range out {
		spent += e.Amount
	}
	size := figure.ScaleOf(math.Max(sum, spent), r.Ledger.Steady)
	wide := 24
	for _, side := range [][]figure.Entry{in, out} {
		for _, e := range side {
			wide = max(wide, utf8.RuneCountInString(e.Name)+2)
		}
	}
	row := func(name string, amount float64) {
		share := ""
		if sum > 0 {
			share = figure.Percent(amount / sum)
		}
		p.line("  %s%s%s", left(name, wide), right(size.Short(amount), 10), right(share, 10))
	}
	p.line("")
	p.line("%s%s%s", left("Where the heat comes from", wide+2), right(size.Unit, 10), right("share", 10))
	for _, e := range in {
		row(e.Name, e.Amount)
	}
	p.line("and where it goes")
	for _, e := range out {
		row(e.Name, e.Amount)
	}
	p.line("  %s%s", left("left over", wide), right(size.Text(r.Ledger.Residual), 10))
}

// chain tells what limits the heat flow of the pass that takes most, at the last time at which one takes heat from
// flowing water or a fixed fluid.
func (p *page) chain(r *heat.Result) {
	var c *heat.Chain
	for i := range r.Chains {
		k := &r.Chains[i]
		if len(k.Links) == 0 || !(math.Abs(k.Heat) > 1e-3) || k.State != "flowing" && k.State != "fixed fluid" {
			continue
		}
		if c == nil || k.Time > c.Time || k.Time == c.Time && math.Abs(k.Heat) > math.Abs(c.Heat) {
			c = k
		}
	}
	if c == nil {
		return
	}
	p.line("")
	when := "after " + figure.Span(c.Time)
	if r.Ledger.Steady {
		when = "steady"
	}
	p.line("What limits pass %s, %s: %s W from a block at %s", c.Pass, when, figure.Number(c.Heat, 0), celsius(c.Block))
	worst := 0
	for i, l := range c.Links {
		if l.Share > c.Links[worst].Share {
			worst = i
		}
		p.line("  %s%s%s", left(l.Name, 24), right(figure.Number(l.Resistance*c.Heat, 1)+" K", 10), right(figure.Percent(l.Share), 10))
	}
	l := c.Links[worst]
	if !(l.Share > 0 && l.Share <= 1) {
		return
	}
	// Links in series over one drop: halving the largest leaves 1 − share/2 of the resistance.
	more := 1/(1-l.Share/2) - 1
	what := map[string]string{
		"contact": "Twice the contact conductance", "film": "Twice the film's coefficient", "water heating up": "Twice the flow",
		"tube wall": "A wall half as thick", "spreading": "Half the spreading resistance around the tube", "block": "Half the resistance inside the block",
	}[l.Name]
	if what == "" {
		what = "Half the resistance of " + l.Name
	}
	p.paragraph("  ", fmt.Sprintf("Most of the drop, %s, is in the %s. %s alone would pass about %s more at these temperatures; halving any other link gains less.",
		figure.Percent(l.Share), linkName(l.Name), what, figure.Percent(more)))
}

func linkName(s string) string {
	if s == "water heating up" {
		return "water's own warming: the flow is what limits"
	}
	return s
}

func (p *page) cautions(r *heat.Result) {
	for i, c := range r.Cautions {
		if i == 0 {
			p.line("")
			p.line("Cautions")
		}
		where := atTime(c.At)
		p.paragraph("  ! ", fmt.Sprintf("%s (%s, %s)", strings.TrimSpace(c.Text), c.Place, where))
		if c.Source != "" {
			p.paragraph("    ", "Limit by: "+c.Source)
		}
	}
	if len(r.Cautions) > 0 {
		p.paragraph("  ", "This program is no design code: local codes and licensed practice decide what is safe.")
	}
}

func (p *page) warnings(r *heat.Result) {
	for i, s := range r.Warnings {
		if i == 0 {
			p.line("")
			p.line("To be read with care")
		}
		p.paragraph("  - ", s)
	}
}

func value(q history.Quantity, v float64) string {
	return fmt.Sprintf("%.6g %s", shown(q, v), unitText(q))
}

func width(q history.Quantity, v float64) string {
	if q == history.Temperature {
		return fmt.Sprintf("%.2g K", v)
	}
	return fmt.Sprintf("%.2g %s", v, unitText(q))
}

func unitText(q history.Quantity) string {
	switch q {
	case history.Temperature:
		return "°C"
	case history.Fraction:
		return ""
	}
	return q.Unit()
}

func (p *page) accuracy(r *heat.Result, c *study.Convergence) {
	p.line("")
	p.line("How far the grid and the time step matter")
	for _, q := range c.Quantities {
		u := q.Quantity.Unit(&r.History)
		last := value(u, q.Values[0])
		switch q.Verdict {
		case study.Monotone:
			p.paragraph("  ", fmt.Sprintf("%s: %s on this grid, ± %s by the grid convergence index (observed order %.2g, extrapolated %s)",
				q.Quantity.Name, last, width(u, q.BaseBand), q.Order, value(u, q.Extrapolated)))
		case study.Unchanged:
			p.paragraph("  ", fmt.Sprintf("%s: %s on this grid, and the same on finer ones", q.Quantity.Name, last))
		default:
			p.paragraph("  ", fmt.Sprintf("%s: %s on this grid; convergence is %s, so there is only the spread over three grids, %s",
				q.Quantity.Name, last, q.Verdict, width(u, q.Spread)))
		}
	}
	for _, s := range c.Notes {
		p.paragraph("  - ", s)
	}
}

func (p *page) uncertainty(r *heat.Result, b *study.Bands) {
	p.line("")
	p.line("What the inputs' uncertainty does, at 95 %%")
	for _, q := range b.Responses {
		u := q.Quantity.Unit(&r.History)
		p.paragraph("  ", fmt.Sprintf("%s: %s ± %s", q.Quantity.Name, strings.TrimSpace(value(u, q.Value)), strings.TrimSpace(width(u, q.Half))))
		for _, part := range q.Parts {
			if part.Share >= 0.005 {
				p.line("    %s%s", left(part.Path, 50), right(figure.Percent(part.Share), 8))
			}
		}
	}
	for _, s := range b.Notes {
		p.paragraph("  - ", s)
	}
}
