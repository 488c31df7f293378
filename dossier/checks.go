package dossier

import (
	"encoding/json"
	"fmt"

	"emberbank/paper"
)

// checks are the outside checks on this version: by topic how many rows there are and agree, and each that departs.
func (w *writer) checks(c *paper.Chapter) {
	t := w.g.checked()
	if t == nil {
		w.asks("The outside checks on this version were not computed: ", code("emberbank verify"), ".")
		return
	}
	all, _ := t.number("/all")
	agree, _ := t.number("/agree")
	c.Blocks = append(c.Blocks, paragraph("The program that composed this document was held against published tables, exact solutions and standards. Of ", all, " values ", agree,
		" agree within the tolerance that was set beforehand. All rows with their sources stand in ", code(ChecksName), " beside this document."))
	b := newTable(w.key("checks by topic"), t.name, says("Outside checks by topic"), words("topic"), numbers("values", ""), numbers("agree", ""))
	for i := range t.count("/topics") {
		topic, _ := t.sentence(fmt.Sprintf("/topics/%d/topic", i))
		b.row(topic, t.cell(fmt.Sprintf("/topics/%d/values", i)), t.cell(fmt.Sprintf("/topics/%d/agree", i)))
	}
	c.Blocks = append(c.Blocks, b.block()...)
	w.concludes(c.Key, "Of ", all, " outside checks on this version ", agree, " agree.")
	c.Blocks = append(c.Blocks, w.departing(t)...)
}

// ChecksName is the document of the outside checks, which is handed over beside the papers.
const ChecksName = "checks.json"

// checked is that document; nil: they were not computed.
func (g *Gathered) checked() *tree {
	if t := g.facts[ChecksName]; t != nil || len(g.verified) == 0 {
		return t
	}
	rows := treeOf("", g.verified)
	d := checkedJSON{Program: g.program, Rows: g.verified}
	at := map[string]int{}
	for i := range rows.count("") {
		topic, _ := rows.sentence(fmt.Sprintf("/%d/topic", i))
		verdict, _ := rows.sentence(fmt.Sprintf("/%d/verdict", i))
		k, known := at[topic.Text]
		if !known {
			k = len(d.Topics)
			at[topic.Text] = k
			d.Topics = append(d.Topics, topicJSON{Topic: topic.Text})
		}
		d.Topics[k].Rows++
		d.All++
		if verdict.Text == "agrees" {
			d.Topics[k].Agree++
			d.Agree++
		}
	}
	return g.fact(ChecksName, d)
}

// departing lists the rows that do not agree: a failure is shown as a failure.
func (w *writer) departing(t *tree) []paper.Block {
	b := newTable(w.key("departing"), t.name, says("Values that depart"), words("what"), words("source"), numbers("expected", ""), numbers("computed", ""), words("unit"))
	for i := range t.count("/rows") {
		at := fmt.Sprintf("/rows/%d/", i)
		if verdict, _ := t.sentence(at + "verdict"); verdict.Text == "agrees" {
			continue
		}
		name, _ := t.sentence(at + "name")
		source, _ := t.sentence(at + "source")
		unit, _ := t.sentence(at + "unit")
		expected, _ := t.number(at + "expected")
		computed, ok := t.number(at + "computed")
		expected.Unit, computed.Unit = "1", "1"
		b.row(name, source, paper.Text{expected.Bare("", -1)}, bare(computed, ok, ""), unit)
		w.asks("An outside check departs: ", name, ".")
	}
	return b.block()
}

// checkedJSON is checks.json.
type checkedJSON struct {
	Program string          `json:"program,omitempty"` // that computed them
	All     int             `json:"all"`
	Agree   int             `json:"agree"`
	Topics  []topicJSON     `json:"topics"`
	Rows    json.RawMessage `json:"rows"`
}

type topicJSON struct {
	Topic string `json:"topic"`
	Rows  int    `json:"values"`
	Agree int    `json:"agree"`
}
