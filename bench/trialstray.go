package bench

import (
	"fmt"
	"strings"

	"emberbank/block"
)

// stray is a sensor outside the solid.
type stray struct {
	v                   *value
	name, what, allowed string
}

// inBody notes a sensor that lies outside the solid.
func (p *trialPlan) inBody(v *value, at block.Point, name string) {
	if p.rec == nil {
		return
	}
	run := &runPlan{r: p.r, v: p.v, rec: p.rec}
	if what, allowed := run.outside(at); what != "" {
		p.strays = append(p.strays, stray{v, name, what, allowed})
	}
	run.inBore(v, at)
}

// tellStrays reports all sensors outside the solid at once, at the first of them: several are mostly one mistake, such
// as coordinates that count from elsewhere.
func (p *trialPlan) tellStrays() {
	switch n := len(p.strays); {
	case n == 1:
		s := p.strays[0]
		p.r.wrong(s.v, "it "+s.what, s.allowed, moveInside)
	case n > 1:
		var names []string
		for _, s := range p.strays {
			names = append(names, fmt.Sprintf("%s (line %d) %s", s.name, s.v.node.Line, s.what))
		}
		first := p.strays[0]
		p.r.wrong(first.v, fmt.Sprintf("%d sensors are not in the receiver: %s", n, strings.Join(names, ", ")), first.allowed,
			"move them into the solid; coordinates count from the block's corner at the window face. Do these count from elsewhere?")
	}
}
