package dossier

import (
	"fmt"
	"math"
	"strings"

	"emberbank/figure"
	"emberbank/heat"
)

// carries tells whether a chain says something: heat flows through its links to a fluid that takes it away.
func carries(c *heat.Chain) bool {
	return len(c.Links) > 0 && math.Abs(c.Heat) > 1e-3 && (c.State == "flowing" || c.State == "fixed fluid")
}

// telling picks the two chains that the text shows: that of the pass and the moment at which most heat flows, and
// the same pass at the last moment at which it still carries a hundredth of that. last is nil where both are one.
func telling(chains []heat.Chain) (most, last *heat.Chain) {
	for i := range chains {
		if c := &chains[i]; carries(c) && (most == nil || math.Abs(c.Heat) > math.Abs(most.Heat)) {
			most = c
		}
	}
	if most == nil {
		return nil, nil
	}
	for i := range chains {
		c := &chains[i]
		if carries(c) && c.Pass == most.Pass && c.Time > most.Time && math.Abs(c.Heat) >= 0.01*math.Abs(most.Heat) && (last == nil || c.Time > last.Time) {
			last = c
		}
	}
	if last != nil && !sameLinks(most, last) { // the columns of a table need the same rows
		last = nil
	}
	return most, last
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
	if l := most.Links[0]; l.Name == "block" && l.Share < -0.02 {
		p.paragraph("  ", "Less than nothing in the block: it is hotter around this pass than on the mean.")
	}
}

// pad stands for a column of shares in rows that have none.
const pad = "         "

// limit says which link takes most of the drop and what it would help to double it.
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
	// Links in series over one drop: halving the largest leaves 1 − share/2 of the resistance.
	more := 1/(1-l.Share/2) - 1
	what := map[string]string{
		"contact": "twice the contact conductance", "film": "twice the film's coefficient", "water heating up": "twice the flow",
		"tube wall": "a wall half as thick", "spreading": "half the spreading resistance around the tube", "block": "half the resistance inside the block",
	}[l.Name]
	if what == "" {
		what = "half the resistance of " + l.Name
	}
	where := "is in the " + l.Name
	if l.Name == "water heating up" {
		where = "is the water's own warming, so the flow is what limits"
	}
	return fmt.Sprintf("%s of the drop %s; %s would pass about %s more.", strings.TrimSpace(figure.Percent(l.Share)), where, what, figure.Percent(more))
}
