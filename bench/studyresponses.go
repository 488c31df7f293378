package bench

import (
	"maps"
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
	taken := ""
	switch {
	case slices.ContainsFunc(c.out.Responses, func(o StudyResponse) bool { return o.Name == q.Name }):
		taken = "another response has this name"
	case slices.ContainsFunc(c.out.Axes, func(o StudyAxis) bool { return o.Name == q.Name }): // both head columns of one table
		taken = "an axis has this name"
	case q.Name == numberColumn:
		taken = "a column of the study's table has this name"
	}
	if taken != "" {
		at := v.get("name")
		if at == nil {
			at = rv
		}
		r.wrong(at, taken, "each name once", `give it another by "name: …"`)
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
	if read.How.OfBuilt() {
		c.built(v, q)
		return
	}
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
func (c *choices) size(v *value, of *StudyResponse, d unit.Dimension, def float64) float64 {
	if v == nil {
		return def
	}
	text := v.text
	if of.Unit != "" {
		text = strings.TrimSpace(strings.TrimSuffix(text, of.Unit))
	}
	q, err := unit.Parse(text, d)
	if err != nil {
		what, fix := unitTrouble(err, quantity(d, "", ""))
		c.r.wrong(v, what, "", fix)
		return def
	}
	return q.Value
}
