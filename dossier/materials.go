package dossier

import (
	"fmt"

	"emberbank/paper"
)

// materials lists what the receiver is made of, with the source of every property.
func (w *writer) materials(c *paper.Chapter) {
	file, run := w.g.First()
	if run == nil {
		return
	}
	t := w.g.built(file, run)
	at, _ := t.number("/at_degC")
	b := newTable(w.key("properties"), t.name, says("Properties at ", at.Span("", 0)), words("material"),
		numbers("density", "kg/m³"), numbers("heat capacity", "J/(kg K)"), numbers("conductivity, depth, width, height", "W/(m K)"),
		numbers("known within", "%"), numbers("service limit", "°C"))
	for i := range t.count("/materials") {
		m := fmt.Sprintf("/materials/%d", i)
		name, _ := t.sentence(m + "/name")
		limit, known := t.number(m + "/service_limit_degC")
		b.row(name, t.cell(m+"/density_kg_per_m3"), t.cell(m+"/heat_capacity_J_per_kg_K"), t.along(m+"/conductivity_W_per_m_K"),
			t.cell(m+"/uncertainty_share"), bare(limit, known, ""))
		if t.count(m+"/from_memory") > 0 {
			w.asks("Some properties of ", name, " are from memory: check them against a data sheet (", to(c.Key), ").")
		}
	}
	c.Blocks = append(c.Blocks, b.block()...)
	c.Blocks = append(c.Blocks, w.melting(t)...)
	for i := range t.count("/materials") {
		c.Chapters = append(c.Chapters, w.sources(t, fmt.Sprintf("/materials/%d", i)))
	}
}

// melting lists the materials that melt.
func (w *writer) melting(t *tree) []paper.Block {
	b := newTable(w.key("melting"), t.name, says("What melts"), words("material"), numbers("from", "°C"), numbers("to", "°C"), numbers("latent heat", "kJ/kg"))
	for i := range t.count("/materials") {
		m := fmt.Sprintf("/materials/%d", i)
		if _, melts := t.number(m + "/latent_J_per_kg"); melts {
			name, _ := t.sentence(m + "/name")
			b.row(name, t.cell(m+"/solidus_degC"), t.cell(m+"/liquidus_degC"), t.cell(m+"/latent_J_per_kg"))
		}
	}
	return b.block()
}

// sources says where a material's properties come from.
func (w *writer) sources(t *tree, m string) paper.Chapter {
	name, _ := t.sentence(m + "/name")
	c := paper.Chapter{Key: w.key("material", name.Text), Title: name.Text}
	l := paper.List{}
	for i := range t.count(m + "/sources") {
		s, _ := t.sentence(fmt.Sprintf("%s/sources/%d", m, i))
		l.Items = append(l.Items, says(s))
	}
	if s, ok := t.sentence(m + "/service_limit_source"); ok {
		l.Items = append(l.Items, says("service limit: ", s))
	}
	for i := range t.count(m + "/notes") {
		s, _ := t.sentence(fmt.Sprintf("%s/notes/%d", m, i))
		l.Items = append(l.Items, says(s))
	}
	if len(l.Items) > 0 {
		c.Blocks = append(c.Blocks, l)
	}
	return c
}

// cell is a number for a table's cell, empty where there is none.
func (t *tree) cell(pointer string) paper.Text {
	n, ok := t.number(pointer)
	return bare(n, ok, "")
}

// along is a property along depth, width and height: once where it is the same.
func (t *tree) along(pointer string) (text paper.Text) {
	a, _ := t.number(pointer + "/0")
	same := true
	for i := 1; i < 3; i++ {
		b, _ := t.number(fmt.Sprintf("%s/%d", pointer, i))
		same = same && b.Value == a.Value
	}
	for i := range 3 {
		n, _ := t.number(fmt.Sprintf("%s/%d", pointer, i))
		if i > 0 && same {
			break
		}
		if i > 0 {
			text = append(text, paper.Span{Text: ", "})
		}
		text = append(text, n.Bare("", -1))
	}
	return text
}
