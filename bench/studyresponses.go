package bench

import (
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"emberbank/history"
	"emberbank/unit"
)

// response reads one response.
func (c *choices) response(v *value) {
	r := c.r
	rv := v.get("read")
	if rv == nil {
		return
	}
	q := StudyResponse{Name: v.get("name").word(rv.text), Quantity: -1}
	if slices.ContainsFunc(c.out.Responses, func(o StudyResponse) bool { return o.Name == q.Name }) {
		at := v.get("name")
		if at == nil {
			at = rv
		}
		r.wrong(at, "another response has this name", "each name once", `give it another by "name: …"`)
	}
	var err error
	if q.Read, err = ReadReading(rv.text); err != nil {
		what, fix := unitTrouble(err, quantity(unit.Time, "", ""))
		r.wrong(rv, what, "", fix)
	} else if c.run != nil {
		c.column(rv, &q)
	}
	c.out.Responses = append(c.out.Responses, q)
}

// ledgerEntries are those that every ledger has; what begins with a word of ledgerGroups and a name hangs on the run.
var (
	ledgerEntries = []string{"absorbed", "glass", "electric", "generated", "stored", "latent", "to passes", "carried", "lost"}
	ledgerGroups  = []string{"stored ", "pass ", "circuit ", "lost "}
)

// column finds what a response is read from.
func (c *choices) column(v *value, q *StudyResponse) {
	read := &q.Read
	if read.How == ReadLedger {
		q.Quantity = history.Heat
		if !slices.Contains(ledgerEntries, read.Of) && !slices.ContainsFunc(ledgerGroups, func(g string) bool { return strings.HasPrefix(read.Of, g) }) {
			c.r.wrong(v, "the ledger has no such entry", quoted(ledgerEntries)+", or one of these with the name of a part, a pass, a circuit or a surface", wordFix(read.Of, ledgerEntries))
		}
		return
	}
	kind, ok := c.columnKind(v, read.Of)
	if !ok {
		return
	}
	if read.Watch != "" {
		watched, ok := c.columnKind(v, read.Watch)
		if !ok {
			return
		}
		var err error
		if *read, err = read.WithLevel(watched); err != nil {
			what, fix := unitTrouble(err, quantity(valueOf(watched), "", ""))
			c.r.wrong(v, what, "", fix)
			return
		}
	}
	if p := &c.run.Problem; p.Steady && read.How != ReadLast {
		c.r.wrong(v, "a steady state has no course", "the column alone", "write "+strconv.Quote(read.Of)+", or make the run one over time")
		return
	} else if end := max(read.At, read.To); read.At < 0 || end > p.Until {
		c.r.wrong(v, "the run does not last so long", "0 s to "+unit.Format(p.Until, unit.Time, "s"), "read it earlier, or make the run longer")
		return
	}
	switch read.How {
	case ReadBeyond, ReadWhen:
		kind = history.Time
	case ReadTotal:
		totals := map[history.Quantity]history.Quantity{history.HeatFlow: history.Heat, history.MassFlow: history.Mass}
		if kind, ok = totals[kind]; !ok {
			c.r.wrong(v, "a total over time is read of heat flows and of mass flows", "a column in W or kg/s", `take its mean over time: "mean of `+read.Of+`"`)
			return
		}
	}
	q.Quantity = kind
}

// columnKind is the kind of a column of the run's history; false where it has no such column, which is told.
func (c *choices) columnKind(v *value, name string) (history.Quantity, bool) {
	have := columnsOf(c.run)
	kind, ok := have[name]
	if !ok {
		names := slices.Sorted(maps.Keys(have))
		c.r.wrong(v, "the run "+c.known.name+" has no such column", quoted(names), wordFix(name, names))
	}
	return kind, ok
}

// named finds a response by its name.
func (c *choices) named(v *value) (int, *StudyResponse) {
	if v == nil {
		return -1, nil
	}
	var names []string
	for i := range c.out.Responses {
		if c.out.Responses[i].Name == v.text {
			return i, &c.out.Responses[i]
		}
		names = append(names, c.out.Responses[i].Name)
	}
	if len(names) > 0 {
		c.r.wrong(v, "no response has this name", quoted(names), wordFix(v.text, names))
	}
	return -1, nil
}

// valueOf is the kind of quantity in which a value of a response is given; errorOf that of a difference.
func valueOf(q history.Quantity) unit.Dimension {
	if q == history.Temperature {
		return unit.Temperature
	}
	return errorOf[q]
}

// size reads a number in a response's kind of quantity; def where it is missing or mistaken.
func (c *choices) size(v *value, d unit.Dimension, def float64) float64 {
	if v == nil {
		return def
	}
	q, err := unit.Parse(v.text, d)
	if err != nil {
		what, fix := unitTrouble(err, quantity(d, "", ""))
		c.r.wrong(v, what, "", fix)
		return def
	}
	return q.Value
}

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
	k.Below, k.Above = c.size(below, valueOf(q.Quantity), k.Below), c.size(above, valueOf(q.Quantity), k.Above)
	if k.Above > k.Below {
		c.r.wrong(below, "it lies under the limit above which the response has to stay, so no variant can meet it", "limits that leave room", "swap or mend them")
	}
	c.out.Constraints = append(c.out.Constraints, k)
}

func (c *choices) answer(v *value) {
	i, q := c.named(v.get("plateau"))
	a := StudyAnswer{Response: i, Axis: -1, Computing: math.NaN()}
	if over := v.get("over"); over != nil {
		var names []string
		for k, o := range c.out.Axes {
			if o.Name == over.text {
				a.Axis = k
			}
			names = append(names, o.Name)
		}
		switch {
		case a.Axis < 0 && len(names) > 0:
			c.r.wrong(over, "no axis has this name", quoted(names), wordFix(over.text, names))
		case a.Axis >= 0 && c.out.Axes[a.Axis].Levels != nil && (c.out.Axes[a.Axis].Levels.Len() < 4 || c.out.Axes[a.Axis].Levels.Value(0) <= 0):
			c.r.wrong(over, "a plateau is judged over four values or more, all above zero", "such an axis", "give the axis more values, or take the question out")
		}
	}
	if q == nil || q.Quantity < 0 || a.Axis < 0 {
		return
	}
	a.Margin = c.size(v.get("margin"), errorOf[q.Quantity], 0)
	a.Computing = c.size(v.get("computing"), errorOf[q.Quantity], math.NaN())
	if m := v.get("margin"); m != nil && !(a.Margin > 0) {
		c.r.wrong(m, "", "above zero", "say by how much a plateau may still change")
	}
	if a.Computing < 0 {
		c.r.wrong(v.get("computing"), "an uncertainty is not below zero", "from zero", "give a standard uncertainty")
	}
	c.out.Answers = append(c.out.Answers, a)
}
