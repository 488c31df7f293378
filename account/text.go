package account

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"emberbank/figure"
	"emberbank/heat"
)

// lineWidth is where running text breaks, in characters.
const lineWidth = 80

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

// Paragraph prints running text in lines of at most 80 characters; further lines stand under the first one's words.
func Paragraph(w io.Writer, lead, s string) {
	p := &page{}
	p.paragraph(lead, s)
	_, _ = io.WriteString(w, p.b.String()) // the writer is watched
}

// row prints a name in a column of that width with more behind it; a name that is wider stands on a line of its own.
func (p *page) row(name string, width int, rest string) {
	if utf8.RuneCountInString(name) > width {
		p.paragraph("  ", name)
		name = ""
	}
	p.line("  %s%s", left(name, width), rest)
}

// left and right pad by characters, not bytes.
func left(s string, w int) string {
	return s + strings.Repeat(" ", max(0, w-utf8.RuneCountInString(s)))
}

func right(s string, w int) string {
	return strings.Repeat(" ", max(0, w-utf8.RuneCountInString(s))) + s
}

// Text prints a run for a terminal: what happened, where the heat went, what limits the flow to the water when it is
// greatest and at last, dangers and doubts in plain words, and where the files are. What repeats itself from place
// to place is said once; summary.json holds every single one. With an empty place nothing is said about files. Its
// bytes hang on the result alone.
func Text(w io.Writer, r *heat.Result, info Info, place string) error {
	p := &page{}
	if info.Title != "" {
		p.line("%s", info.Title)
		p.line("")
	}
	if info.Opened != nil {
		p.paragraph("", strings.Join(info.Opened.Said, " "))
		p.line("")
	}
	p.happened(r)
	p.ledger(r)
	p.amounts(info.Yield)
	p.circuits(info.Circuits)
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
	imbalance := fmt.Sprintf("The ledger closed at every moment to %.0e of what was exchanged.", r.Residual)
	if r.Residual == 0 {
		imbalance = "The ledger closes to the last digit."
	}
	p.paragraph("", fmt.Sprintf("%s cells, %s steps. %s", figure.Number(float64(r.Cells), 0), figure.Number(float64(r.Steps), 0), imbalance))
	if place != "" {
		s := "Results are in " + place + ": start with summary.json and the pictures; history.csv holds every output time"
		if len(r.Profiles) > 0 {
			s += ", circuits.csv the way along each circuit"
		}
		p.paragraph("", s+".")
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
	p.taken(r)
	p.outlets(h)
	p.steam(r)
	if r.Stopped != "" {
		p.paragraph("", fmt.Sprintf("It ended after %s: %s.", figure.Span(r.Ended), strings.TrimSuffix(r.Stopped, ".")))
		if cautioned(r, heat.KindFull) {
			p.paragraph("  ! ", "Water trapped in a hot block bursts tubes: see the cautions.")
		}
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
			wide = max(wide, min(utf8.RuneCountInString(e.Name)+2, lineWidth-22))
		}
	}
	row := func(name string, amount float64) {
		share := ""
		if sum > 0 {
			share = figure.Percent(amount / sum)
		}
		if utf8.RuneCountInString(name) > wide-1 { // too long for one line with its numbers
			p.paragraph("  ", name)
			name = ""
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

// Sentence says in one sentence what happened in a run, or has happened so far.
func Sentence(r *heat.Result) string {
	var p page
	p.happened(&heat.Result{History: r.History, Ledger: r.Ledger, Ended: r.Ended})
	first, _, _ := strings.Cut(p.b.String(), ".\n")
	return strings.TrimSpace(strings.ReplaceAll(first, "\n", " ")) + "."
}
