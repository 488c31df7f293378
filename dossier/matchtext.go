package dossier

import (
	"fmt"
	"io"
	"math"

	"emberbank/figure"
	"emberbank/history"
	"emberbank/match"
)

// MatchText prints the report of a match for a terminal: the verdict first, then the parameters, what could not be told
// apart, how the columns fit, the comparisons of trials set aside, and the envelope.
func MatchText(w io.Writer, name string, r *match.Result) error {
	p := &page{}
	p.line("%s", name)
	p.line("")
	p.paragraph("", r.Verdict)
	p.line("")
	p.line("%s%s%s%s", left("Parameter", 26), right("value", 12), right("± at 95 %", 26), "  unit")
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
		p.line("  %s%s%s  %s%s", left(e.Name, 24), right(roundedOr(v, half), 12), right(width, 26), q.Unit, how)
	}
	for _, c := range r.Undetermined {
		p.paragraph("  ! ", c.Sentence)
	}
	p.line("")
	p.line("%s%s%s%s%s", left("Trial, column", 38), right("bias", 9), right("rms", 9), right("worst", 10), right("in band", 9))
	for _, c := range r.Columns {
		label := c.Trial + ", " + c.Column
		if c.Aside {
			label += " *"
		}
		unit := c.Unit
		if unit == history.Temperature.Unit() {
			unit = "K"
		}
		p.line("  %s%s%s%s%s  %s", left(label, 36), right(fmt.Sprintf("%.3g", c.Bias), 9), right(fmt.Sprintf("%.3g", c.RMS), 9),
			right(fmt.Sprintf("%.3g", c.Worst), 10), right(figure.Percent(c.Covered), 9), unit)
	}
	if len(r.Trust) > 0 {
		p.line("  * set aside: predicted, not fitted. Differences are computed less measured.")
		p.line("")
		p.line("Predictions against measurement, after ASME V&V 20")
		for _, c := range r.Trust {
			p.paragraph("  - ", c.Sentence+".")
		}
		p.line("")
		p.line("Where this was shown")
		for _, g := range r.Envelope.Ranges {
			p.line("  %s%s", left(g.Name, 40), span(g))
		}
		for _, s := range r.Envelope.States {
			p.line("  %s", s)
		}
	}
	if len(r.Offsets) > 0 {
		p.line("")
		p.line("Sensors' offsets as found, in their stated standard uncertainties")
		for _, o := range r.Offsets {
			p.line("  %s%s", left(o.Group, 40), fmt.Sprintf("%.2f ± %.2f", o.Value, 1.96*o.SD))
		}
	}
	if len(r.Notes) > 0 {
		p.line("")
		p.line("To be read with care")
		for _, n := range r.Notes {
			p.paragraph("  - ", n+".")
		}
	}
	p.line("")
	p.line("%d rows, %d runs; the search ended because %s.", r.Rows, r.Runs, r.Why)
	_, err := io.WriteString(w, p.b.String())
	return err
}

func roundedOr(v, half float64) string {
	if half > 0 && !math.IsInf(half, 0) {
		return rounded(v, half)
	}
	return fmt.Sprintf("%.4g", v)
}

func span(g match.Range) string {
	switch g.Unit {
	case "K":
		return fmt.Sprintf("%.1f to %.1f °C", g.Low-273.15, g.High-273.15)
	case "rad":
		return fmt.Sprintf("%.3g to %.3g °", g.Low*180/math.Pi, g.High*180/math.Pi)
	case "1":
		return fmt.Sprintf("%.3g to %.3g", g.Low, g.High)
	}
	return fmt.Sprintf("%.4g to %.4g %s", g.Low, g.High, g.Unit)
}
