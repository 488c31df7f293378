package dossier

import (
	"fmt"

	"emberbank/paper"
)

// matches say what trials taught of the parameters, and how far the matched model is to be trusted.
func (w *writer) matches(c *paper.Chapter) {
	for _, r := range w.g.Of("match") {
		s := paper.Chapter{Key: w.key("match", r.Name()), Title: title(r).Text}
		s.Blocks = w.doubts(r)
		if verdict, ok := r.Sentence("/verdict"); ok {
			s.Blocks = append(s.Blocks, paragraph(verdict))
			w.answers(s.Key, verdict)
		}
		s.Blocks = append(s.Blocks, sentences(r, "/doubts")...)
		s.Blocks = append(s.Blocks, w.parameters(r, s.Key)...)
		s.Blocks = append(s.Blocks, w.figure(r, "corner.svg", w.key(r.Name(), "corner"), "What is known of the parameters of ", title(r), " and of pairs of them.")...)
		for _, p := range r.Pictures("fit-") {
			s.Blocks = append(s.Blocks, w.figure(r, p, w.key(r.Name(), p), heading(r, p), ": measured (open marks) and computed (lines), with the differences below.")...)
		}
		s.Chapters = append(s.Chapters, w.trust(r)...)
		s.Chapters = append(s.Chapters, w.envelope(r)...)
		s.Blocks = append(s.Blocks, sentences(r, "/notes")...)
		s.Blocks = append(s.Blocks, listed(r, "/cautions")...)
		if !r.Is("/converged") {
			w.asks("The match ", title(r), " had not come to rest when it ended: ", code(r.Renew), ".")
		}
		c.Chapters = append(c.Chapters, s)
	}
}

// parameters are what was estimated. Cells of another size would find others: where the match knows by how much, that counts.
func (w *writer) parameters(r *Result, key string) []paper.Block {
	t := newTable(w.key(r.Name(), "parameters"), r.Origin(r.Main), says("Parameters, with "+confidence), words("parameter"), words("value"), words("by the readings alone"), words("on finer cells"), words("of the files"))
	for i := range r.Count("/parameters") {
		at := fmt.Sprintf("/parameters/%d/", i)
		name, _ := r.Sentence(at + "name")
		value, _ := r.Number(at + "shown")
		alone, finer := value, paper.Text(nil)
		alone.Half = r.tree(r.Main).span95(at, "lower_95", "upper_95")
		if n, ok := r.Number(at + "on_a_finer_grid"); ok {
			n.Unit = value.Unit
			finer = says(n)
		}
		of := r.pathsOf(at)
		t.row(name, value, alone, finer, of)
		w.concludes(key, "From the trials ", name, " (", of, ") is ", value, ".")
	}
	t.Notes = []paper.Text{says("The value's half-width has what the cells of the runs leave open in it; that by the readings alone has not. Take the first wherever a value is used on other cells, or beside a data sheet.")}
	return t.block()
}

// pathsOf are the places of the files that a parameter sets.
func (r *Result) pathsOf(at string) (paths paper.Text) {
	if r.Is(at + "factor") {
		paths = says("factor on ")
	}
	for k := range r.Count(at + "paths") {
		p, _ := r.Sentence(fmt.Sprintf("%spaths/%d", at, k))
		if k > 0 {
			paths = append(paths, paper.Span{Text: ", "})
		}
		paths = append(paths, p.Span())
	}
	return paths
}

// trust is how the matched model does on trials that it has not seen, with the budget of what can be known of that.
func (w *writer) trust(r *Result) []paper.Chapter {
	s := paper.Chapter{Key: w.key("trust", r.Name()), Title: "How far to trust it"}
	t := newTable(w.key(r.Name(), "trust"), r.Origin(r.Main), says("Predicted less measured on trials that were set aside, with standard uncertainties"), words("trial"), words("phase"), words("column"),
		words("difference"), words("of the sensors"), words("of the inputs"), words("of the grid"), words("together"), words("within twice"))
	var beyond []paper.Text
	missing := false
	for i := range r.Count("/trust") {
		at := fmt.Sprintf("/trust/%d/", i)
		trial, _ := r.Sentence(at + "trial")
		phase, _ := r.Sentence(at + "phase")
		column, _ := r.Sentence(at + "column")
		unit, _ := r.Sentence(at + "unit")
		apart := unit.Text
		if apart == "degC" {
			apart = "K"
		}
		within := "yes"
		if !r.Is(at + "within_2_u_val") {
			within = "no"
			if sentence, ok := r.Sentence(at + "sentence"); ok {
				beyond = append(beyond, says(sentence))
			}
		}
		grid := r.in(at+"u_num", apart)
		missing = missing || grid == nil
		t.row(trial, phase, column, r.fine(at+"E", apart), r.fine(at+"u_D", apart), r.fine(at+"u_input", apart), r.fine(at+"u_num", apart), r.fine(at+"u_val", apart), within)
	}
	t.Notes = []paper.Text{says("Within twice: the difference is no larger than twice what can be known of it, together, as the ASME standard on validation has it.")}
	if missing {
		t.Notes = append(t.Notes, says("The grid's share was not computed: ", code(r.Renew+" --accuracy"), " adds it."))
	}
	s.Blocks = t.block()
	if len(beyond) > 0 {
		s.Blocks = append(s.Blocks, paper.List{Items: beyond})
		w.asks("On some trials the model ", title(r), " differs by more than can be known (", to(s.Key), ").")
	}
	if len(s.Blocks) == 0 {
		w.asks("No trial was set aside to try the match ", title(r), " on: nothing says how far to trust it. Name one under ", code("aside"), " in ", code(r.File), ".")
		return nil
	}
	return []paper.Chapter{s}
}

// fine is a small number of a result in a unit that stands elsewhere, to two digits; nothing where there is none.
func (r *Result) fine(place, unit string) paper.Text {
	n, ok := r.Number(place)
	if !ok {
		return nil
	}
	n.Unit = unit
	return paper.Text{n.fine()}
}

// envelope is the range of conditions in which the model was tried.
func (w *writer) envelope(r *Result) []paper.Chapter {
	const list = "/envelope/ranges"
	t := newTable(w.key(r.Name(), "envelope"), r.Origin(r.Main), says("Conditions in which the model was tried"), words("condition"), words("from"), words("to"))
	for i := range r.Count(list) {
		at := fmt.Sprintf("%s/%d/", list, i)
		name, _ := r.Sentence(at + "name")
		unit, _ := r.Sentence(at + "unit")
		low, _ := r.Number(at + "low")
		high, _ := r.Number(at + "high")
		t.row(name, asPoint(low, unit.Text), asPoint(high, unit.Text))
	}
	if len(t.Rows) == 0 {
		return nil
	}
	s := paper.Chapter{Key: w.key("envelope", r.Name()), Title: "The envelope", Blocks: t.block()}
	s.Blocks = append(s.Blocks, paragraph("Outside of these ranges nothing says how far the model is right."))
	return []paper.Chapter{s}
}

// asPoint writes a temperature point that is stated in K as degrees Celsius.
func asPoint(n Number, unit string) paper.Span {
	if unit == "K" && n.Value > 150 { // no difference in this trade is so large, no temperature so low
		return Number{Value: n.Value - 273.15, Unit: "degC", Origin: n.Origin}.Span("", -1)
	}
	return n.Span("", -1)
}
