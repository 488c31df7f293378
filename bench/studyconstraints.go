package bench

import (
	"fmt"
	"math"
	"strings"

	"emberbank/history"
)

// constraint reads a limit on a response.
func (c *choices) constraint(v *value) {
	i, q := c.named(v.get("response"))
	if q == nil || q.Quantity < 0 {
		return
	}
	k := StudyConstraint{Response: i, Below: math.Inf(1), Above: math.Inf(-1)}
	below, above := v.get("below"), v.get("above")
	if below == nil && above == nil && !v.partial {
		c.r.problemAt(v, v.path+" has no limit", `"below", "above" or both`, `add one, such as "below: …" with its unit`)
	}
	k.Below, k.Above = c.size(below, q, valueOf(q.Quantity), k.Below), c.size(above, q, valueOf(q.Quantity), k.Above)
	if k.Above > k.Below {
		c.r.wrong(below, "it lies under the limit above which the response has to stay, so no variant can meet it", "limits that leave room", "swap or mend them")
	} else if c.run != nil {
		c.inReach(k, q, below, above)
	}
	c.out.Constraints = append(c.out.Constraints, k)
}

// inReach complains of a limit that no variant can meet, as far as that is known before any is run.
func (c *choices) inReach(k StudyConstraint, q *StudyResponse, below, above *value) {
	least, most := c.reach(k.Response, q)
	switch {
	case k.Above > most:
		c.r.wrong(above, "no variant can meet it: "+q.Name+" is at most "+c.shown(q, most), "up to "+c.shown(q, most), "lower it")
	case k.Below < least:
		c.r.wrong(below, "no variant can meet it: "+q.Name+" is at least "+c.shown(q, least), "from "+c.shown(q, least), "raise it")
	}
}

// shown writes a value of a response to four digits.
func (c *choices) shown(q *StudyResponse, x float64) string {
	u := q.Quantity.Unit()
	switch {
	case q.Unit != "":
		u = q.Unit
	case u == "1":
		u = ""
	}
	return strings.TrimSpace(fmt.Sprintf("%.4g %s", q.Quantity.Shown(x), u))
}

// mostBuilt bounds the variants that are built, not run, to see what can be met.
const mostBuilt = 500

// reach returns between what values a response lies in any variant.
func (c *choices) reach(i int, q *StudyResponse) (least, most float64) {
	switch {
	case q.Read.How.OfBuilt():
		return c.builtReach(i)
	case q.Quantity == history.Time:
		return 0, c.run.Problem.Until
	case q.Read.Of == "melted" && q.Quantity == history.Fraction:
		return 0, 1
	}
	return math.Inf(-1), math.Inf(1)
}

// builtReach builds every variant of a small design for what hangs on that alone.
func (c *choices) builtReach(i int) (least, most float64) {
	d := c.out.Design
	if d == nil || d.Count() > mostBuilt {
		return 0, math.Inf(1)
	}
	low, high := math.Inf(1), math.Inf(-1)
	x := make([]float64, len(c.out.Axes))
	for n := range d.Count() {
		d.At(n, x)
		run, ps := c.build(c.out.Changes(x))
		if ps.Failed() {
			continue
		}
		if v := c.out.Built(run)[i]; !math.IsNaN(v) {
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	if low > high {
		return 0, math.Inf(1)
	}
	return low, high
}
