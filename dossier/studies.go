package dossier

import (
	"fmt"
	"strings"

	"emberbank/figure"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/study"
)

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
