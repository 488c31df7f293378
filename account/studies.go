package account

import (
	"fmt"
	"math"
	"strings"

	"emberbank/figure"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/study"
)

// value prints a value with the digits that its band leaves certain and one more; with no band six digits.
func value(q history.Quantity, v, band float64) string {
	number := fmt.Sprintf("%.6g", shown(q, v))
	if band > 0 && !math.IsInf(band, 0) {
		number = rounded(shown(q, v), band)
	}
	return strings.TrimSpace(number + "\u00a0" + unitText(q))
}

// width prints a band with two digits.
func width(q history.Quantity, v float64) string {
	number := fmt.Sprintf("%.2g", v)
	if v > 0 && !math.IsInf(v, 0) {
		number = rounded(v, v)
	}
	unit := unitText(q)
	if q == history.Temperature {
		unit = "K"
	}
	return strings.TrimSpace(number + "\u00a0" + unit)
}

// Rounded prints a number down to the second digit of its half-width.
func Rounded(v, half float64) string { return rounded(v, half) }

// rounded prints a number down to the second digit of its band.
func rounded(v, band float64) string {
	last := figure.LastDigit(band)
	if last < -9 {
		return fmt.Sprintf("%.10g", v)
	}
	if last >= 0 {
		unit := math.Pow(10, float64(last))
		return figure.Number(math.Round(v/unit)*unit, 0)
	}
	return figure.Number(v, -last)
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
		band := q.Spread
		if q.Verdict == study.Monotone {
			band = q.BaseBand
		}
		last := value(u, q.Values[0], band)
		switch q.Verdict {
		case study.Monotone:
			p.paragraph("  ", fmt.Sprintf("%s: %s on this grid, ± %s by the grid convergence index (observed order %.2g, extrapolated %s)",
				q.Quantity.Name, last, width(u, q.BaseBand), q.Order, value(u, q.Extrapolated, band)))
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
		p.paragraph("  ", fmt.Sprintf("%s: %s ± %s", q.Quantity.Name, strings.TrimSpace(value(u, q.Value, q.Half)), strings.TrimSpace(width(u, q.Half))))
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
