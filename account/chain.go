package account

import (
	"io"

	"emberbank/heat"
	"emberbank/history"
)

// writeChain writes the resistances between block and water, one row per output time, pass and link, in the
// order from the block to the water. The last column is by how much more heat the pass would take if the link conducted
// a tenth better along the whole circuit, or if a tenth more water flowed.
func writeChain(w io.Writer, chains []heat.Chain) error {
	t := newTable(w)
	for _, s := range []string{"time [s]", "pass", "state", "block [degC]", "water [degC]", "heat [W]", "link", "resistance [K/W]", "share [1]", "gain of a tenth [1]"} {
		t.text(s)
	}
	t.end()
	var lead []byte // what the rows of one chain begin with
	for i := range chains {
		c := &chains[i]
		lead = append(appendDecimal(lead[:0], c.Time), ',')
		lead = append(append(lead, quoted(c.Pass)...), ',')
		lead = append(append(lead, quoted(c.State)...), ',')
		lead = append(appendDecimal(lead, shown(history.Temperature, c.Block)), ',')
		lead = append(appendDecimal(lead, shown(history.Temperature, c.Water)), ',')
		lead = appendDecimal(lead, c.Heat)
		for j := range c.Links {
			l := &c.Links[j]
			t.ready(lead)
			t.text(l.Name)
			t.number(l.Resistance)
			t.number(l.Share)
			t.number(l.Gain)
			t.end()
		}
	}
	return t.flush()
}
