package account

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/figure"
	"emberbank/heat"
)

// carries tells whether a chain says something: heat flows through its links to a fluid that takes it away.
func carries(c *heat.Chain) bool {
	return len(c.Links) > 0 && math.Abs(c.Heat) > 1e-3 && (c.State == "flowing" || c.State == "fixed fluid")
}

// telling picks the two chains that the text shows: that of the pass and the moment at which most heat flows, once the first
// water has gone through its tubes (where that never comes, at any moment), and the same pass at the last moment at which it still carries a hundredth of that and it was tried what would help; or, where
// nothing was tried, at the last such moment at all. last is nil where both are one.
func telling(chains []heat.Chain) (most, last *heat.Chain) {
	for i := range chains {
		c := &chains[i]
		if !carries(c) || most != nil && c.Filling && !most.Filling {
			continue
		}
		if most == nil || most.Filling && !c.Filling || math.Abs(c.Heat) > math.Abs(most.Heat) {
			most = c
		}
	}
	if most == nil {
		return nil, nil
	}
	for i := range chains {
		c := &chains[i]
		if tried(most) && !tried(c) || c.Filling && !most.Filling {
			continue
		}
		if carries(c) && c.Pass == most.Pass && c.Time > most.Time && math.Abs(c.Heat) >= 0.01*math.Abs(most.Heat) && (last == nil || c.Time > last.Time) {
			last = c
		}
	}
	if last != nil && !sameLinks(most, last) { // the columns of a table need the same rows
		last = nil
	}
	return most, last
}

// tried tells whether any link's gain is known.
func tried(c *heat.Chain) bool {
	return slices.ContainsFunc(c.Links, func(l heat.Link) bool { return !math.IsNaN(l.Gain) })
}

func sameLinks(a, b *heat.Chain) bool {
	if len(a.Links) != len(b.Links) {
		return false
	}
	for i := range a.Links {
		if a.Links[i].Name != b.Links[i].Name {
			return false
		}
	}
	return true
}

// chain tells what limits the heat flow of the pass that takes most, when it takes most and at last.
func (p *page) chain(r *heat.Result) {
	most, last := telling(r.Chains)
	if most == nil {
		return
	}
	shown := []*heat.Chain{most}
	if last != nil {
		shown = append(shown, last)
	}
	p.line("")
	p.paragraph("", "What limits pass "+most.Pass)
	row := func(name string, cell func(c *heat.Chain) string) {
		s := "  " + left(name, 22)
		for _, c := range shown {
			s += right(cell(c), 24)
		}
		p.line("%s", s)
	}
	row("", func(c *heat.Chain) string {
		if r.Ledger.Steady {
			return "steady"
		}
		return moment(c.Time)
	})
	row("heat flow", func(c *heat.Chain) string { return watts(c.Heat) + pad })
	row("block's mean", func(c *heat.Chain) string { return celsius(c.Block) + pad })
	for i := range most.Links {
		if !tells(shown, i) {
			continue
		}
		row(most.Links[i].Name, func(c *heat.Chain) string {
			l := c.Links[i]
			return figure.Number(l.Resistance*c.Heat, 1) + "\u00a0K" + right(figure.Percent(l.Share), len(pad))
		})
	}
	for i, c := range shown {
		when := ""
		if len(shown) > 1 {
			when = []string{"When most heat flows: ", "At last: "}[i]
		}
		if s := limit(c); s != "" {
			if i == 1 && s == limit(most) {
				continue
			}
			p.paragraph("  ", when+s)
		}
	}
	if most.Filling {
		p.paragraph("  ", "The tubes still fill "+moment(most.Time)+": a flow that lasts takes less.")
	}
	if l := most.Links[0]; l.Name == "block" && l.Share < -0.02 {
		p.paragraph("  ", "Less than nothing in the block: it is hotter around this pass than on the mean.")
	}
}

// tells tells whether a link has a share in any of the chains.
func tells(chains []*heat.Chain, link int) bool {
	for _, c := range chains {
		if c.Links[link].Share != 0 {
			return true
		}
	}
	return false
}

// pad stands for a column of shares in rows that have none.
const pad = "         "

// better says in words what a link is when it conducts better.
var better = map[string]string{
	"spreading": "spreading around the tube", "contact": "contact", "tube wall": "tube wall", "film": "film", "water heating up": "flow",
}

// limit says which link takes most of the drop, and what the pass would take if its links conducted a tenth better or a
// tenth more water flowed, as trials have it: shares of a drop do not tell that where water boils or dries.
func limit(c *heat.Chain) string {
	worst := 0
	for i, l := range c.Links {
		if l.Share > c.Links[worst].Share {
			worst = i
		}
	}
	l := c.Links[worst]
	if !(l.Share > 0 && l.Share <= 1) {
		return ""
	}
	where := "is in the " + l.Name
	switch l.Name {
	case "water heating up":
		where = "is the water's own warming"
	case "boiling point":
		where = "lies between the inlet and the boiling point, which hangs on the pressure and not on the flow"
	}
	return fmt.Sprintf("%s of the drop %s.%s", strings.TrimSpace(figure.Percent(l.Share)), where, gains(c))
}

// Gains of a tenth: one below leastGain is no help, one from worthGain on is one.
const (
	leastGain = 0.005
	worthGain = 0.01
)

// change is a gain in words.
func change(gain float64) string {
	switch {
	case math.Abs(gain) < 0.0005:
		return "no more"
	case gain < 0:
		return strings.TrimSpace(figure.Percent(-gain)) + "\u00a0less"
	}
	return strings.TrimSpace(figure.Percent(gain)) + "\u00a0more"
}

// gains says what a tenth more of each link would give: of the best two that conduct and of the flow.
func gains(c *heat.Chain) string {
	var conduct []heat.Link
	flow := math.NaN()
	for _, l := range c.Links {
		switch {
		case better[l.Name] == "" || math.IsNaN(l.Gain):
		case l.Name == "water heating up":
			flow = l.Gain
		default:
			conduct = append(conduct, l)
		}
	}
	slices.SortStableFunc(conduct, func(a, b heat.Link) int { return cmp.Compare(b.Gain, a.Gain) })
	if len(conduct) == 0 && math.IsNaN(flow) {
		return ""
	}
	var said []string
	for _, l := range conduct[:min(2, len(conduct))] {
		said = append(said, "a tenth better "+better[l.Name]+" "+change(l.Gain))
	}
	if !math.IsNaN(flow) {
		said = append(said, "a tenth more flow "+change(flow))
	}
	s := " The pass would take"
	if c.State == "flowing" {
		s += ", by a change all along the circuit"
	}
	s += ": with " + strings.Join(said, ", with ") + "."
	best := 0.0
	if len(conduct) > 0 {
		best = conduct[0].Gain
	}
	switch {
	case math.IsNaN(flow):
	case best >= worthGain && flow < leastGain:
		s += fmt.Sprintf(" So better %s would help, more flow would not.", better[conduct[0].Name])
	case flow >= worthGain && best < leastGain:
		s += " So more flow would help, a better chain would not."
	}
	return s
}
