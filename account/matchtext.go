package account

import (
	"fmt"
	"io"
	"math"
	"slices"

	"emberbank/figure"
	"emberbank/history"
	"emberbank/match"
)

// MatchText prints the report of a match for a terminal: what casts doubt on all of it first, the verdict, then the parameters, what could not be told
// apart, how the columns fit, the comparisons of trials set aside, and the envelope.
func MatchText(w io.Writer, name string, r *match.Result) error {
	p := &page{}
	p.line("%s", name)
	p.line("")
	for _, d := range r.Doubts {
		p.paragraph("! ", d+".")
		p.line("")
	}
	p.paragraph("", r.Verdict)
	p.line("")
	p.line("%s%s%s%s", left("Parameter", 24), right("value", 11), right("± at 95 %", 24), "  unit")
	for i, e := range r.Estimates {
		q := &r.Parameters[i]
		v, lo, hi := scaled(q, e.Value, false), scaled(q, e.Lower, false), scaled(q, e.Upper, false)
		half := 0.5 * (hi - lo)
		width := fmt.Sprintf("%s to %s", rounded(lo, half), rounded(hi, half))
		if !(half > 0) || math.IsInf(half, 0) {
			width = "not determined"
		}
		how := ""
		if e.Profiled {
			how = "  (profile)"
		}
		p.row(e.Name, 22, right(roundedOr(v, half), 11)+right(width, 24)+"  "+q.Unit+how)
		gridRow(p, q, &e, half)
	}
	if slices.ContainsFunc(r.Estimates, func(e match.Estimated) bool { return e.Grid.Known }) {
		p.paragraph("  ", "from the grid: what the runs' cells put in; in brackets the value that a fit on finer cells would give.")
	}
	for _, c := range r.Undetermined {
		p.paragraph("  ! ", c.Sentence)
	}
	p.line("")
	p.line("%s%s%s%s%s", left("Trial, column", 36), right("bias", 9), right("rms", 8), right("worst", 9), right("in band", 9))
	for _, c := range r.Columns {
		label := c.Trial + ", " + c.Column
		if c.Aside {
			label += " *"
		}
		unit := c.Unit
		if unit == history.Temperature.Unit() {
			unit = "K"
		}
		p.row(label, 34, right(roundedOr(c.Bias, c.RMS), 9)+right(roundedOr(c.RMS, c.RMS), 8)+right(roundedOr(c.Worst, c.RMS), 9)+
			right(figure.Percent(c.Covered), 9)+"  "+unit)
	}
	if len(r.Trust) > 0 {
		p.paragraph("  ", "* set aside: predicted, not fitted. Differences are computed less measured.")
		p.line("")
		p.line("Predictions against measurement, after ASME V&V 20")
		for _, c := range r.Trust {
			p.paragraph("  - ", c.Sentence+".")
		}
		p.line("")
		p.line("Where this was shown")
		for _, g := range r.Envelope.Ranges {
			p.row(g.Name, 40, span(g))
		}
		for _, s := range r.Envelope.States {
			p.line("  %s", s)
		}
	}
	if len(r.Offsets) > 0 {
		p.line("")
		p.line("Sensors' offsets as found, in their stated standard uncertainties")
		for _, o := range r.Offsets {
			p.row(o.Group, 40, spread(o.Value, 1.96*o.SD))
		}
	}
	if len(r.Cautions) > 0 {
		p.line("")
		p.line("Cautions, from what was measured")
		for _, c := range r.Cautions {
			p.paragraph("  ! ", c)
		}
		p.paragraph("    ", practice)
	}
	if len(r.Notes) > 0 {
		p.line("")
		p.line("To be read with care")
		for _, n := range r.Notes {
			p.paragraph("  - ", n+".")
		}
	}
	p.line("")
	p.paragraph("", fmt.Sprintf("%d rows, %d runs; the search ended because %s.", r.Rows, r.Runs, r.Why))
	_, err := io.WriteString(w, p.b.String())
	return err
}

// gridRow prints below a parameter what the runs' cells put into it, and the interval with both.
func gridRow(p *page, q *match.Parameter, e *match.Estimated, half float64) {
	g := &e.Grid
	if !g.Known || !(half > 0) || math.IsInf(half, 0) {
		return
	}
	lo, hi := scaled(q, g.Lower, false), scaled(q, g.Upper, false)
	both := 0.5 * (hi - lo)
	label := fmt.Sprintf("  from the grid: ± %s (%s)", rounded(scaled(q, g.Half(), true), both), rounded(scaled(q, g.Finer, false), half))
	p.row(label, 36, right(fmt.Sprintf("%s to %s", rounded(lo, both), rounded(hi, both)), 21)+"  with both")
}

func roundedOr(v, half float64) string {
	if half > 0 && !math.IsInf(half, 0) {
		return rounded(v, half)
	}
	return fmt.Sprintf("%.4g", v)
}

// span prints a range, once where its ends are the same.
func span(g match.Range) string {
	if g.Liquid() {
		return "liquid throughout"
	}
	unit := "\u00a0" + g.Unit
	show := func(v float64) string { return threeDigits(v) }
	switch g.Unit {
	case "K":
		unit = "\u00a0°C"
		show = func(v float64) string { return figure.Number(v-273.15, 1) }
	case "rad":
		unit = "\u00a0°"
		show = func(v float64) string { return threeDigits(v * 180 / math.Pi) }
	case "1":
		unit = ""
	}
	lo, hi := show(g.Low), show(g.High)
	if lo == hi {
		return lo + unit + " only"
	}
	return lo + " to " + hi + unit
}

// threeDigits prints a number with three digits that count.
func threeDigits(v float64) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return figure.Number(v, 0)
	}
	return rounded(v, math.Abs(v)/10)
}
