package dossier

import (
	"strings"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/hazard"
	"emberbank/paper"
)

// officer composes the safety officer's pages.
type officer struct {
	g     *Gathered
	t     *tree // safety.json
	first *bench.Run
	runs  []counted
}

// Officer composes the pages for a safety officer: what is stored and what it could do, where water could be trapped, what burns and
// blinds, what materials bear, the cautions that runs raised, and a checklist that follows from what the bench has. Its numbers stand
// in safety.json, which is handed over beside them, or in the runs' own results. A bench without a run that can be read has pages
// that say so.
func Officer(g *Gathered) (*paper.Document, error) {
	o := &officer{g: g}
	d := &paper.Document{Title: g.title(), Subtitle: "Safety: what is stored, and what it could do", Close: true, Bench: g.Back}
	if o.t, o.first, o.runs = g.safety(); o.first == nil {
		d.Chapters = []paper.Chapter{{Key: "none", Title: "Nothing is computed", Blocks: []paper.Block{
			paragraph("No run of the bench can be read, so that nothing can be said of what it stores. Look at what is wrong: ", code("emberbank check ."), "."),
		}}}
		return d, nil
	}
	d.Facts = o.facts()
	for _, c := range []struct {
		key, title string
		write      func() []paper.Block
	}{
		{"stored", "What is stored", o.stored},
		{"tubes", "Tubes, and where water could be trapped", o.tubes},
		{"touch", "What burns the hand", o.touch},
		{"light", "Where the light goes", o.light},
		{"materials", "What the materials bear", o.materials},
		{"cautions", "What the runs warn of, and what these pages are", func() []paper.Block { return append(o.warnings(), o.limits()...) }},
		{"checklist", "Before, during and after a trial", o.checklist},
	} {
		if blocks := c.write(); len(blocks) > 0 {
			d.Chapters = append(d.Chapters, paper.Chapter{Key: c.key, Title: c.title, Apart: c.key == "checklist", Blocks: blocks})
		}
	}
	return d, nil
}

// facts is the title block.
func (o *officer) facts() (facts []paper.Fact) {
	file, _ := o.g.First()
	var runs []string
	for i := range o.runs {
		runs = append(runs, o.runs[i].Name())
	}
	of := says("none yet")
	if len(runs) > 0 {
		of = says(strings.Join(runs, ", "))
	}
	return []paper.Fact{
		{Name: "Receiver", Says: says(Sentence{o.first.Problem.Receiver.Name, file + " /receiver/name"})},
		{Name: "Runs", Says: of},
		{Name: "Program", Says: says("emberbank ", code(o.g.Version))},
		{Name: "Decides", Says: says(hazard.Practice)},
	}
}

// n reads a number of safety.json; a dash where it is not known.
func (o *officer) n(pointer, unit string, decimals int) paper.Span {
	if n, ok := o.t.number(pointer); ok {
		return n.Span(unit, decimals)
	}
	return pale("–")
}

// bare is n without its unit.
func (o *officer) bare(pointer, unit string, decimals int) paper.Span {
	if n, ok := o.t.number(pointer); ok {
		return n.Bare(unit, decimals)
	}
	return pale("–")
}

// words reads a text of safety.json; nothing where there is none.
func (o *officer) words(pointer string) paper.Span { return o.t.span(pointer) }

// has tells whether safety.json knows a number.
func (o *officer) has(pointer string) bool {
	_, ok := o.t.number(pointer)
	return ok
}

// pale sets what is not known.
func pale(text string) paper.Span { return paper.Span{Text: text, Style: paper.Pale} }

// symbol sets the sign of a quantity.
func symbol(text string) paper.Span { return paper.Span{Text: text, Style: paper.Symbol} }

// cautions are the worst cautions of some kinds over all runs, each as the run states it.
func (o *officer) cautions(kinds ...string) (blocks []paper.Block) {
	all, _ := worst(o.runs, kinds...)
	for i := range all {
		w := &all[i]
		text := trimmed(Sentence{w.Text, w.of.tree(w.of.Main).origin(w.at + "/text")})
		blocks = append(blocks, paper.Caution{Word: account.DangerWord(w.Kind), Says: says(text), Source: w.Source})
	}
	return blocks
}

// limits says what these pages are not.
func (o *officer) limits() []paper.Block {
	blocks := []paper.Block{paragraph(
		"These pages gather what the runs and files of this bench show. They are no design, no certificate and no permission, and this program is no design code. ",
		"Numbers are of computed runs: a fault, another day or another way of working can take the receiver further. ", paper.Span{Text: hazard.Practice, Style: paper.Strong},
	)}
	l := paper.List{}
	for i := range o.runs {
		if r := o.runs[i].Result; r.Stale() {
			l.Items = append(l.Items, says("The run ", r.Name(), " is older than ", names(r.Changed), ": its numbers are those of before. Renew it: ", code(r.Renew), "."))
		}
	}
	for _, k := range o.g.Missing {
		if k.Kind == "run" {
			l.Items = append(l.Items, says("The run ", code(k.File), " has no results. Compute it: ", code(k.Renew), "."))
		}
	}
	if n := o.t.count("/runs_of_other_receivers"); n > 0 {
		t := says("Left out, since they are of another receiver: ")
		for i := range n {
			if i > 0 {
				t = append(t, says(", ")...)
			}
			t = append(t, o.words("/runs_of_other_receivers/"+decimal(i)))
		}
		l.Items = append(l.Items, append(t, says(".")...))
	}
	if len(l.Items) > 0 {
		blocks = append(blocks, l)
	}
	return blocks
}
