package account

import (
	"fmt"
	"strings"

	"emberbank/figure"
	"emberbank/heat"
	"emberbank/study"
)

// circuits says what each number of open circuits can give, and for how long.
func (p *page) circuits(c *study.Circuits) {
	if c == nil || len(c.Even) == 0 {
		return
	}
	of := "heat flow, W"
	number := func(v float64) string { return figure.Number(v, 0) }
	if c.Steam {
		of = "steam, kg/h"
		number = func(v float64) string { return fmt.Sprintf("%.3g", 3600*v) }
	}
	p.line("")
	p.line("What open circuits can give (%s, at the least and the most flow)", of)
	head := "  " + left("block", 12)
	for n := range c.Even[0].Most {
		head += right(fmt.Sprintf("%d open", n+1), 18)
	}
	p.line("%s", head)
	for _, a := range c.Even {
		row := "  " + left(celsius(a.Block), 12)
		for n := range a.Most {
			row += right(number(a.Least[n])+" to "+number(a.Most[n]), 18)
		}
		p.line("%s", row)
	}
	for _, a := range c.Even {
		if a.Unsettled != "" {
			p.paragraph("  ", fmt.Sprintf("At %s %s.", celsius(a.Block), a.Unsettled))
		}
	}
	p.paragraph("  ", "The block counts as even: where heat has been drawn for a while it is colder about its tubes, and gives less.")
	var held []string
	for n, t := range c.Held {
		held = append(held, fmt.Sprintf("%s by %d", spanOrNone(t), n+1))
	}
	unit := "\u00a0W"
	if c.Steam {
		unit = "\u00a0kg/h"
	}
	p.paragraph("  ", fmt.Sprintf("With everything at %s, the light off and the cover shut, %s%s are held for %s.", celsius(c.Full), number(c.Asked), unit, strings.Join(held, ", ")))
}

// circuitsOpen is what summary.json says of them.
func circuitsOpen(c *study.Circuits) object {
	u := "_W"
	if c.Steam {
		u = "_kg_per_s"
	}
	flows := func(v []float64) []any { return listOf(v, func(x float64) any { return num(x) }) }
	return object{
		{"of", map[bool]string{false: "heat", true: "steam"}[c.Steam]},
		{"even_block", listOf(c.Even, func(a heat.Ability) any {
			return object{{"block_degC", num(a.Block - 273.15)}, {"least" + u, flows(a.Least)}, {"most" + u, flows(a.Most)}}
		})},
		{"full_degC", num(c.Full - 273.15)},
		{"asked" + u, num(c.Asked)},
		{"held_s", flows(c.Held)},
	}
}
