package account

import (
	"io"
	"math"
	"slices"

	"github.com/parquet-go/parquet-go"

	"emberbank/heat"
	"emberbank/history"
	"emberbank/unit"
)

var chainHeadings = []string{"time [s]", "pass", "state", "block [degC]", "water [degC]", "heat [W]", "link", "resistance [K/W]", "share [1]", "gain of a tenth [1]"}

// resisting returns the chains without the links that resist nothing in their pass all run long, and of which no more would come: a
// contact where there is none, the boiling point of water that never boils, all of a tube where a line stands for it.
func resisting(chains []heat.Chain) []heat.Chain {
	some := map[string]uint64{} // by pass: a bit for each link
	count := 0
	for i := range chains {
		c := &chains[i]
		resists := some[c.Pass]
		for j := range c.Links {
			if l := &c.Links[j]; l.Resistance != 0 || l.Gain != 0 && !math.IsNaN(l.Gain) {
				resists |= 1 << j
			}
		}
		some[c.Pass] = resists
		count += len(c.Links)
	}
	out, links := slices.Clone(chains), make([]heat.Link, 0, count)
	for i := range out {
		first, resists := len(links), some[out[i].Pass]
		for j, l := range out[i].Links {
			if resists>>j&1 == 1 {
				links = append(links, l)
			}
		}
		out[i].Links = links[first:len(links):len(links)]
	}
	return out
}

// chainTable holds the resistances between block and water, one row per output time, pass and link, in the
// order from the block to the water. The last column is by how much more heat the pass would take if the link conducted
// a tenth better along the whole circuit, or if a tenth more water flowed.
func chainTable(w io.Writer, chains []heat.Chain) error {
	t := newTable(w)
	t.texts(chainHeadings...)
	t.end()
	lead := table{below: true} // what the rows of one chain begin with
	for i := range chains {
		c := &chains[i]
		lead.b, lead.begun = lead.b[:0], false
		lead.number(c.Time)
		lead.texts(c.Pass, c.State)
		lead.numbers(shown(history.Temperature, c.Block), shown(history.Temperature, c.Water), c.Heat)
		for j := range c.Links {
			l := &c.Links[j]
			t.ready(lead.b)
			t.text(l.Name)
			t.numbers(l.Resistance, l.Share, l.Gain)
			t.end()
		}
	}
	return t.flush()
}

// chainParquet writes the same table as Parquet. It is usually the longest of a run, so that its columns are written one by one,
// each from the chains.
func chainParquet(w io.Writer, chains []heat.Chain) error {
	// What is of the chain as a whole stands in the row of each link.
	words := wordBytes{}
	wordOf := func(word func(c *heat.Chain) string) func(to *columnValues) {
		return func(to *columnValues) {
			for i := range chains {
				c := &chains[i]
				to.add(words.value(word(c)), len(c.Links))
			}
		}
	}
	numberOf := func(number func(c *heat.Chain) float64) func(to *columnValues) {
		return func(to *columnValues) {
			for i := range chains {
				c := &chains[i]
				to.add(orNull(number(c)), len(c.Links))
			}
		}
	}
	ofLinks := func(number func(l *heat.Link) float64) func(to *columnValues) {
		return func(to *columnValues) {
			for i := range chains {
				for j := range chains[i].Links {
					to.add(orNull(number(&chains[i].Links[j])), 1)
				}
			}
		}
	}
	fill := []func(to *columnValues){
		func(to *columnValues) {
			for i := range chains {
				to.add(parquet.DoubleValue(chains[i].Time), len(chains[i].Links))
			}
		},
		wordOf(func(c *heat.Chain) string { return c.Pass }),
		wordOf(func(c *heat.Chain) string { return c.State }),
		numberOf(func(c *heat.Chain) float64 { return shown(history.Temperature, c.Block) }),
		numberOf(func(c *heat.Chain) float64 { return shown(history.Temperature, c.Water) }),
		numberOf(func(c *heat.Chain) float64 { return c.Heat }),
		func(to *columnValues) {
			for i := range chains {
				for j := range chains[i].Links {
					to.add(words.value(chains[i].Links[j].Name), 1)
				}
			}
		},
		ofLinks(func(l *heat.Link) float64 { return l.Resistance }),
		ofLinks(func(l *heat.Link) float64 { return l.Share }),
		ofLinks(func(l *heat.Link) float64 { return l.Gain }),
	}
	number := parquet.Leaf(parquet.DoubleType)
	word, often, perhaps := repeated(parquet.String()), parquet.Optional(repeated(number)), parquet.Optional(number)
	nodes := []parquet.Node{repeated(number), word, word, often, often, often, word, perhaps, perhaps, perhaps}
	var columns []parquetColumn
	for i, h := range chainHeadings {
		_, u := unit.ParseHeading(h)
		columns = append(columns, parquetColumn{h, u, nodes[i], fill[i]})
	}
	return writeColumns(w, chainName, columns)
}
