package account

import (
	"fmt"
	"io"
	"math"
	"strings"

	"emberbank/figure"
	"emberbank/heat"
	"emberbank/season"
)

// SeasonText prints a season for a terminal: what it comes to, where the heat went, and how far the fast model is to be
// trusted.
func SeasonText(w io.Writer, s *Season) error {
	p := &page{}
	p.paragraph("", s.Name)
	p.line("")
	p.paragraph("", SeasonSentence(s))
	if s.Outcome != nil {
		seasonBooks(p, s)
		p.amounts(s.Yield)
	}
	seasonCautions(p, s)
	seasonTrust(p, s)
	for _, n := range s.doubts() {
		p.paragraph("  - ", n)
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

// energy shows an amount in kWh.
func energy(J float64) string {
	d := 0
	if x := math.Abs(J) / kWh; x < 10 {
		d = 2
	} else if x < 1000 {
		d = 1
	}
	return figure.Number(J/kWh, d) + "\u00a0kWh"
}

// SeasonSentence is what a season comes to in a sentence or two.
func SeasonSentence(s *Season) string {
	if s.Outcome == nil {
		return "The fast model refuses to answer: " + s.Refused + "."
	}
	b := &s.Outcome.Whole
	off := fmt.Sprintf("on %s apart the fast model was off by %.1f\u00a0%% of a day's heat and %.1f\u00a0K at the most", countOf(len(s.Model.Checks), "day", "days"), 100*s.Model.Worst().Off, s.Model.Worst().Mean)
	if n := len(s.Outcome.Outside()); n > 0 {
		off += fmt.Sprintf("; on %s something lies outside the days that were computed in full", countOf(n, "day", "days"))
	}
	if !s.Load {
		return fmt.Sprintf("In %d days the water carries off %s; %s.", s.Days, energy(b.Delivered), off)
	}
	asked, full := 0, 0
	for i := range s.Outcome.Days {
		if d := &s.Outcome.Days[i]; d.Wanted > 0 {
			asked++
			if d.Met >= season.HeldShare*d.Wanted {
				full++
			}
		}
	}
	what := "heat"
	if s.Steam {
		what = "steam"
	}
	return fmt.Sprintf("%s of the %s that is wanted in %d days is met, all of it on %d of %d days; %s.", metShare(s), what, s.Days, full, asked, off)
}

// metShare is the share of the load that a season meets, in %, with what the days apart tell of it.
func metShare(s *Season) string {
	b := &s.Outcome.Whole
	share := 100 * b.Met / math.Max(b.Wanted, 1e-300)
	within := 100 * s.Model.MetWithin()
	digits := 0
	if within < 1 {
		digits = 1
	}
	if within != within {
		return fmt.Sprintf("%.0f\u00a0%%", share)
	}
	within = math.Max(within, math.Pow10(-digits)) // it is never known without an error
	return fmt.Sprintf("%.*f\u00a0±\u00a0%.*f\u00a0%%", digits, share, digits, within)
}

func seasonBooks(p *page, s *Season) {
	b := &s.Outcome.Whole
	p.line("")
	p.line("Where the heat went")
	row := func(name string, v float64) { p.row(name, 34, right(energy(v), 16)) }
	row("absorbed by block and glass", b.Absorbed+b.Glass)
	if b.Electric != 0 {
		row("electric", b.Electric)
	}
	row("carried off by the water", b.Delivered)
	for i, path := range s.Paths {
		row("lost "+path, b.ByPath[i])
	}
	row("stored", b.Stored)
	row("left over", b.Residual)
}

// seasonCautions prints the dangers of the days that were computed in full, and how much hotter the season gets.
func seasonCautions(p *page, s *Season) {
	m := s.Model
	if len(m.Cautions) == 0 {
		return
	}
	p.cautions(&heat.Result{Cautions: m.Cautions})
	said := fmt.Sprintf("These were raised on the days that the full model computed, on which the block's mean came to %s at the most.", celsius(m.Hottest()))
	if o := s.Outcome; o != nil {
		hottest := 0
		for i := range o.Days {
			if o.Days[i].Warmest > o.Days[hottest].Warmest {
				hottest = i
			}
		}
		said += fmt.Sprintf(" In the season it comes to %s, on day %d: single places, and what hangs on them, are known of days in full alone.", celsius(o.Days[hottest].Warmest), o.Days[hottest].Day+1)
	}
	p.paragraph("  ", said)
}

// seasonTrust says from what the model was built and how far it is off.
func seasonTrust(p *page, s *Season) {
	m := s.Model
	p.line("")
	p.paragraph("", fmt.Sprintf("The fast model has %d nodes and was built from %d runs of the full one: one of the steady state, and %s %s. It was held against %s, from none of which it was built.",
		len(m.Nodes), m.Runs, map[bool]string{true: "day", false: "days"}[len(m.Built) == 1], listed(m.Built), countOf(len(m.Checks), "other day", "other days")))
	p.line("%s%s%s%s  %s", left("Day apart", 16), right("heat off", 10), right("mean off", 10), right("heat", 12), "what it held")
	for i := range m.Checks {
		c := &m.Checks[i]
		held := strings.Split(foldedTo(c.Told(), 28), "\n") // beside the numbers
		p.line("%s%s%s%s  %s", left(c.Day, 16), right(fmt.Sprintf("%.1f %%", 100*c.Off), 10), right(fmt.Sprintf("%.1f K", c.Mean), 10), right(energy(c.Heat), 12), held[0])
		for _, more := range held[1:] {
			p.line("%s  %s", left("", 48), more)
		}
		if !c.Passes(m.Allowed) {
			p.line("%s%s", left("", 16), "more than is allowed")
		}
	}
	p.paragraph("  ", fmt.Sprintf("Off: the largest error of heat delivered, lost and stored, as a share of the day's heat (of what warms the receiver by %.3g K, on a day with less); the largest error of the block's mean over an hour (apart.csv has the largest at any row: a rule that switches some minutes earlier). Allowed are %.3g %% and %.3g K.", m.Allowed.Mean, 100*m.Allowed.Heat, m.Allowed.Mean))
	seasonMet(p, s)
	seasonBeyond(p, s)
	p.paragraph("  ", fmt.Sprintf("It knows the block's mean from %s to %s.", celsius(m.Reach.Mean[0]), celsius(m.Reach.Mean[1])))
}

// seasonBeyond says on which days something lies outside the days that were computed in full.
func seasonBeyond(p *page, s *Season) {
	if s.Outcome == nil {
		return
	}
	if len(s.Outcome.Beyond) == 0 {
		p.paragraph("  ", "No day of the season lies outside the days that were computed in full, in weather, load, heat or switching.")
		return
	}
	p.paragraph("  ", fmt.Sprintf("On %s of the season something lies outside the days that were computed in full, and the errors above say less of them:", countOf(len(s.Outcome.Outside()), "day", "days")))
	for _, b := range s.Outcome.Beyond {
		p.paragraph("  - ", fmt.Sprintf("%s, on %s: %s", b.Trait, countOf(len(b.Days), "day", "days"), listed(dayWords(b.Days))))
	}
}

// mostListed is how many days are listed by their numbers; season.json has all.
const mostListed = 12

// dayWords are the first of some days by their numbers.
func dayWords(days []int) []string {
	var out []string
	for i, d := range numbered(days) {
		if i == mostListed {
			return append(out, fmt.Sprintf("%d more", len(days)-i))
		}
		out = append(out, fmt.Sprint(d))
	}
	return out
}

// seasonMet says what both models met of the load on the days apart.
func seasonMet(p *page, s *Season) {
	if !s.Load {
		return
	}
	unit, per := seasonUnit(s)
	amount := func(v float64) string { return right(figure.Number(v/per, 2)+"\u00a0"+unit, 14) }
	p.line("%s%s%s%s%s", left("Day apart", 16), right("wanted", 14), right("met, fast", 14), right("met, full", 14), right("off", 10))
	for i := range s.Model.Checks {
		c := &s.Model.Checks[i]
		off := "–"
		if x := c.MetOff(); x == x {
			off = fmt.Sprintf("%+.1f %%", 100*x)
		}
		p.line("%s%s%s%s%s", left(c.Day, 16), amount(c.Full.Wanted), amount(c.Fast.Met), amount(c.Full.Met), right(off, 10))
	}
	p.paragraph("  ", "Off: met by the fast model less met by the full one, of what was wanted on the day. The largest of these stands as ± behind the season's share; it is what these days showed, and no proof for the others.")
}

// listed joins names, of days by their numbers.
func listed(names []string) string {
	out := ""
	for i, n := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			out += " and "
		default:
			out += ", "
		}
		if len(n) > 4 && n[:4] == "day " {
			n = n[4:]
		}
		out += n
	}
	return out
}
