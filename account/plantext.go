package account

import (
	"fmt"
	"io"
	"math"
	"strings"

	"emberbank/heat"
	"emberbank/plan"
)

// mostCandidates is how many candidates of a kind the report shows; candidates.csv holds all.
const mostCandidates = 4

// PlanText prints a plan for a terminal: what it comes to in sentences, then what will be known of each parameter, what
// cannot be told apart, the sensors, the candidates, the interval, and the cautions of the trial itself.
func PlanText(w io.Writer, r *plan.Result) error {
	p := &page{}
	p.paragraph("", r.Name)
	p.line("")
	for _, s := range planVerdict(r) {
		p.paragraph("", s)
	}
	p.line("")
	p.line("%s%s%s%s%s%s", left("Parameter", 22), right("planned at", 11), right("± before", 10), right("± after", 10), right("± with best", 12), "  unit")
	for j, e := range r.Expected {
		q := &r.Parameters[j]
		mark := ""
		if !e.Prior {
			mark = " *"
		}
		p.row(e.Name, 20, right(fmt.Sprintf("%.4g", scaled(q, e.Value, false)), 11)+right(twoDigits(halfBefore(q, &e)), 10)+
			right(twoDigits(halfAfter(q, &e, e.SD)), 10)+right(twoDigits(halfAfter(q, &e, e.Best)), 12)+"  "+q.Unit+mark)
	}
	p.paragraph("  ", "Half-widths at 95 %, as a match of the trial will state them. With best: with what would help most. * known before by its bounds alone: half of what lies between them. Shares of uncertainty compare standard uncertainties.")
	planTogether(p, r)
	p.line("")
	p.line("Sensors as placed")
	for _, t := range r.Sensors {
		lead := "  - "
		if t.Nil {
			lead = "  ! "
		}
		p.paragraph(lead, t.Sentence+".")
	}
	planCandidateText(p, r)
	p.line("")
	p.line("%s%s", left("Logging interval", 22), right("uncertainty grows by", 24))
	for _, v := range r.Intervals {
		mark := ""
		if v.Every == r.Suffices {
			mark = "  suffices"
		}
		p.line("  %s%s%s", left(plan.Span(v.Every), 20), right(fmt.Sprintf("%.1f %%", 100*v.Grows), 24), mark)
	}
	p.line("")
	p.line("%s%s%s%s%s", left("Taken as errors of", 28), right("reading", 10), right("lasting", 10), right("model's own", 13), right("offset", 10))
	for _, s := range r.Sizes {
		p.row(s.Column, 26, right(fmt.Sprintf("%.2g", s.White), 10)+right(fmt.Sprintf("%.2g", s.Lasting), 10)+
			right(fmt.Sprintf("%.2g", math.Hypot(s.Slow, s.Common)), 13)+right(fmt.Sprintf("%.2g", math.Hypot(s.Offset, s.Shared)), 10)+"  "+s.Unit)
	}
	if len(r.Sizes) > 0 {
		s := r.Sizes[0]
		p.paragraph("  ", fmt.Sprintf("Standard deviations. Lasting noise of %s lasts %s; the model's own error changes over %s.", s.Column, plan.Span(s.Time), plan.Span(s.SlowTime)))
	}
	if len(r.Notes) > 0 {
		p.line("")
		p.line("To be read with care")
		for _, n := range r.Notes {
			p.paragraph("  - ", n+".")
		}
	}
	p.cautions(&heat.Result{Cautions: r.Cautions})
	p.line("")
	p.line("%d runs.", r.Runs)
	_, err := io.WriteString(w, p.b.String())
	return err
}

// planVerdict is what a plan comes to.
func planVerdict(r *plan.Result) []string {
	var learnt, hardly []string
	for _, e := range r.Expected {
		if e.SD <= 0.5*e.Before {
			learnt = append(learnt, fmt.Sprintf("%s (to %s of what is uncertain before)", e.Name, plan.Percent(e.SD/e.Before)))
		} else {
			hardly = append(hardly, fmt.Sprintf("%s (%s is left)", e.Name, plan.Percent(e.SD/e.Before)))
		}
	}
	var out []string
	switch {
	case len(hardly) == 0:
		out = append(out, "The trial as planned will teach "+anded(learnt)+".")
	case len(learnt) == 0:
		out = append(out, "The trial as planned will teach little: of "+anded(hardly)+".")
	default:
		out = append(out, "The trial as planned will teach "+anded(learnt)+", but little of "+anded(hardly)+".")
	}
	if r.Best >= 0 {
		out = append(out, "What would help most: "+r.Candidates[r.Best].Sentence+".")
	} else if len(r.Candidates) > 0 {
		out = append(out, "Nothing that was tried would help: no sensor more, no longer stretch, no other flow or cover.")
	}
	s := fmt.Sprintf("A reading every %s suffices: no uncertainty is more than %.3g %% above that of the shortest interval.", plan.Span(r.Suffices), 100*r.MayCost)
	if r.Given && r.Every > r.Suffices {
		s += fmt.Sprintf(" The %s that are planned are too long.", plan.Span(r.Every))
	}
	out = append(out, s)
	if r.Charge != nil {
		out = append(out, r.Charge.Sentence)
	}
	return out
}

// planTogether says what can only be learnt together.
func planTogether(p *page, r *plan.Result) {
	for _, c := range r.Confused {
		p.paragraph("  ! ", "As planned, "+c.Sentence+".")
	}
	if len(r.Parameters) < 2 {
		return
	}
	p.line("")
	p.line("Known together, from the least to the best")
	for _, d := range r.Directions {
		words := ""
		for j, v := range d.Shares {
			if math.Abs(v) < 0.05 {
				continue
			}
			sign := " + "
			if v < 0 {
				sign = " − "
			}
			if words == "" {
				sign = strings.TrimPrefix(strings.TrimSpace(sign), "+")
			}
			words += fmt.Sprintf("%s%.2f %s", sign, math.Abs(v), r.Parameters[j].Name)
		}
		p.row(words, 56, right(plan.Percent(d.Left)+" left", 14))
	}
	p.paragraph("  ", "Each parameter counts in units of what is uncertain of it before.")
}

func planCandidateText(p *page, r *plan.Result) {
	titles := []struct{ kind, title string }{
		{"sensor", "One more sensor"}, {"longer", "A longer stretch"}, {"flow", "Another flow"}, {"cover", "Another state of the cover"},
	}
	for _, k := range titles {
		told, all := 0, 0
		for i := range r.Candidates {
			c := &r.Candidates[i]
			if c.Kind != k.kind {
				continue
			}
			if all++; all == 1 {
				p.line("")
				p.line("%s%s%s", left(k.title, 42), right("left of all", 12), "  of the most helped")
			}
			if told++; told > mostCandidates {
				continue
			}
			if c.Why != "" {
				p.paragraph("  - ", c.Sentence+".")
				continue
			}
			best := 0
			for j := range c.Gain {
				if c.Gain[j] < c.Gain[best] {
					best = j
				}
			}
			p.row(c.Name, 40, right(plan.Percent(c.Joint), 12)+"  "+plan.Percent(c.Gain[best])+" of "+r.Parameters[best].Name)
			for _, q := range c.Cautions {
				p.paragraph("    ! ", q.Text)
			}
		}
		if all > mostCandidates {
			p.line("  … and %d more in candidates.csv", all-mostCandidates)
		}
	}
}

func anded(list []string) string {
	switch len(list) {
	case 0:
		return ""
	case 1:
		return list[0]
	}
	return strings.Join(list[:len(list)-1], ", ") + " and " + list[len(list)-1]
}
