package account

import (
	"emberbank/heat"
	"emberbank/history"
)

// chainTable holds the resistances between block and water, one row per output time, pass and link, in the
// order from the block to the water. The last column is by how much more heat the pass would take if the link conducted
// a tenth better along the whole circuit, or if a tenth more water flowed.
func chainTable(t *table, chains []heat.Chain) error {
	for _, s := range []string{"time [s]", "pass", "state", "block [degC]", "water [degC]", "heat [W]", "link", "resistance [K/W]", "share [1]", "gain of a tenth [1]"} {
		t.text(s)
	}
	t.end()
	lead := table{below: true} // what the rows of one chain begin with
	for i := range chains {
		c := &chains[i]
		lead.b, lead.begun = lead.b[:0], false
		chainLead(&lead, c)
		for j := range c.Links {
			l := &c.Links[j]
			if t.kept == nil {
				t.ready(lead.b)
			} else {
				chainLead(t, c)
			}
			t.text(l.Name)
			t.number(l.Resistance)
			t.number(l.Share)
			t.number(l.Gain)
			t.end()
		}
	}
	return t.flush()
}

// chainLead adds the cells that are of the chain as a whole.
func chainLead(t *table, c *heat.Chain) {
	t.number(c.Time)
	t.text(c.Pass)
	t.text(c.State)
	t.number(shown(history.Temperature, c.Block))
	t.number(shown(history.Temperature, c.Water))
	t.number(c.Heat)
}
