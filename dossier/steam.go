package dossier

import (
	"fmt"
	"strings"

	"emberbank/figure"
	"emberbank/heat"
)

// steam says what of the water leaves as steam, of all circuits together.
func (p *page) steam(r *heat.Result) {
	h := &r.History
	total := make([]float64, len(h.Time)) // kg/s
	for _, c := range h.Columns {
		if !strings.HasPrefix(c.Name, "circuit ") || !strings.HasSuffix(c.Name, " steam") {
			continue
		}
		for i, v := range c.Values {
			total[i] += v
		}
	}
	most, at, mass := 0.0, 0.0, 0.0
	for i, v := range total {
		if v > most {
			most, at = v, h.Time[i]
		}
		if i > 0 {
			mass += 0.5 * (v + total[i-1]) * (h.Time[i] - h.Time[i-1])
		}
	}
	if !(most > 0) {
		return
	}
	rate := func(v float64) string { return fmt.Sprintf("%.3g\u00a0kg/h", 3600*v) }
	if r.Ledger.Steady || len(total) == 1 {
		p.paragraph("", "Of it "+rate(most)+" leave as steam.")
		return
	}
	weight, end := figure.Number(mass, 2), "none"
	if mass < 0.1 {
		weight = fmt.Sprintf("%.2g", mass)
	}
	if at := total[len(total)-1]; at > 1e-4*most {
		end = rate(at)
	}
	p.paragraph("", fmt.Sprintf("About %s\u00a0kg leave as steam: %s at the most, %s, and %s at last.", weight, rate(most), moment(at), end))
}
