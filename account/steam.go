package account

import (
	"fmt"
	"slices"
	"strings"

	"emberbank/figure"
	"emberbank/heat"
)

// steam says what of the water leaves as steam, of all circuits together: how much by the run's own account, rates as the
// history's rows show them. The caution stands where the numbers stand.
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
	most, at := 0.0, 0.0
	for i, v := range total {
		if v > most {
			most, at = v, h.Time[i]
		}
	}
	made := 0.0 // kg
	for _, l := range r.Left {
		made += l.Steam
	}
	rate := func(v float64) string { return fmt.Sprintf("%.3g\u00a0kg/h", 3600*v) }
	if r.Ledger.Steady || len(total) == 1 {
		if most > 0 {
			p.paragraph("", "Of it "+rate(most)+" leave as steam.")
		}
	} else if most > 0 || made > leastSteam {
		s := kilograms(made) + " of water leave as steam"
		if most > 0 {
			end := "none"
			if last := total[len(total)-1]; last > 1e-4*most {
				end = rate(last)
			}
			when := moment(at)
			if fills(r, at) {
				when += " while the tubes fill"
			}
			s += fmt.Sprintf(": %s at the most, %s, and %s at last", rate(most), when, end)
		}
		p.paragraph("", s+".")
	}
	switch {
	case cautioned(r, heat.KindSteam):
		p.paragraph("  ! ", "Steam scalds, cannot be seen where it is dry, and hammers where it meets cold water: see the cautions.")
	case cautioned(r, heat.KindHotOutlet):
		p.paragraph("  ! ", "Let into the open, part of this water is steam at once, and scalds: see the cautions.")
	}
}

// leastSteam is the mass in kg below which no steam is told of.
const leastSteam = 1e-6

// kilograms prints a mass with three digits.
func kilograms(m float64) string {
	switch {
	case m >= 100:
		return figure.Number(m, 0) + "\u00a0kg"
	case m < 1e-3:
		return fmt.Sprintf("%.3g\u00a0g", 1e3*m)
	}
	return fmt.Sprintf("%.3g\u00a0kg", m)
}

// cautioned tells whether a run raised a caution of a kind.
func cautioned(r *heat.Result, kind string) bool {
	return slices.ContainsFunc(r.Cautions, func(c heat.Caution) bool { return c.Kind == kind })
}
