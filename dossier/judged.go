package dossier

import (
	"fmt"
	"slices"

	"emberbank/account"
	"emberbank/heat"
	"emberbank/paper"
)

// plans say what a trial to come will teach.
func (w *writer) plans(c *paper.Chapter) {
	for _, r := range w.g.Of("plan") {
		s := paper.Chapter{Key: w.key("plan", r.Name()), Title: title(r).Text}
		s.Blocks = append(w.doubts(r), sentences(r, "/verdict")...)
		for i := range min(1, r.Count("/verdict")) {
			first, _ := r.Sentence(fmt.Sprintf("/verdict/%d", i))
			w.concludes(s.Key, first)
		}
		t := newTable(w.key(r.Name(), "to learn"), r.Origin(r.Main), says("What the trial will teach of each parameter"), words("parameter"), words("value"),
			numbers("standard uncertainty before", ""), numbers("after", ""), numbers("after, with what helps most", ""))
		for i := range r.Count("/parameters") {
			at := fmt.Sprintf("/parameters/%d/", i)
			name, _ := r.Sentence(at + "name")
			value, _ := r.Number(at + "shown")
			var cells []any
			for _, key := range []string{"standard_uncertainty_before", "expected_standard_uncertainty", "expected_with_most_helpful"} {
				n, ok := r.Number(at + key)
				n.Unit = "1"
				cells = append(cells, bare(n, ok, ""))
			}
			t.row(append([]any{name, value}, cells...)...)
		}
		s.Blocks = append(s.Blocks, t.block()...)
		if charge, ok := r.Sentence("/charge/sentence"); ok {
			s.Blocks = append(s.Blocks, paragraph(charge))
		}
		for i := range r.Count("/sensors") {
			if one, ok := r.Sentence(fmt.Sprintf("/sensors/%d/sentence", i)); ok {
				s.Blocks = append(s.Blocks, paragraph(one, "."))
			}
		}
		s.Blocks = append(s.Blocks, w.figure(r, "expected.svg", w.key(r.Name(), "expected"), "What is expected to be measured, with its bands.")...)
		s.Blocks = append(s.Blocks, listed(r, "/cautions")...)
		s.Blocks = append(s.Blocks, sentences(r, "/notes")...)
		c.Chapters = append(c.Chapters, s)
	}
}

// listed are the cautions of a result that are sentences alone.
func listed(r *Result, place string) (blocks []paper.Block) {
	for i := range r.Count(place) {
		if s, ok := r.Sentence(fmt.Sprintf("%s/%d", place, i)); ok {
			blocks = append(blocks, paper.Caution{Word: "caution", Says: says(s)})
		}
	}
	return blocks
}

// matches say what trials taught of the parameters, and how far the matched model is to be trusted.
func (w *writer) matches(c *paper.Chapter) {
	for _, r := range w.g.Of("match") {
		s := paper.Chapter{Key: w.key("match", r.Name()), Title: title(r).Text}
		s.Blocks = w.doubts(r)
		if verdict, ok := r.Sentence("/verdict"); ok {
			s.Blocks = append(s.Blocks, paragraph(verdict))
			w.concludes(s.Key, verdict)
		}
		s.Blocks = append(s.Blocks, sentences(r, "/doubts")...)
		s.Blocks = append(s.Blocks, w.parameters(r, s.Key)...)
		s.Blocks = append(s.Blocks, w.figure(r, "corner.svg", w.key(r.Name(), "corner"), "What is known of the parameters of ", title(r), " and of pairs of them.")...)
		for _, p := range r.Pictures("fit-") {
			s.Blocks = append(s.Blocks, w.figure(r, p, w.key(r.Name(), p), "Measured (open marks) and computed (lines) of ", title(r), ". The heading names the trial.")...)
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

// parameters are what was estimated.
func (w *writer) parameters(r *Result, key string) []paper.Block {
	t := newTable(w.key(r.Name(), "parameters"), r.Origin(r.Main), says("Parameters, with "+confidence), words("parameter"), words("value"), words("of the files"))
	for i := range r.Count("/parameters") {
		at := fmt.Sprintf("/parameters/%d/", i)
		name, _ := r.Sentence(at + "name")
		value, _ := r.Number(at + "shown")
		var paths paper.Text
		for k := range r.Count(at + "paths") {
			p, _ := r.Sentence(fmt.Sprintf("%spaths/%d", at, k))
			if k > 0 {
				paths = append(paths, paper.Span{Text: ", "})
			}
			paths = append(paths, p.Span())
		}
		if r.Is(at + "factor") {
			paths = append(paper.Text{{Text: "factor on "}}, paths...)
		}
		t.row(name, value, paths)
		w.concludes(key, "From the trials ", name, " is ", value, ".")
	}
	return t.block()
}

// trust is how the matched model does on trials that it has not seen.
func (w *writer) trust(r *Result) []paper.Chapter {
	s := paper.Chapter{Key: w.key("trust", r.Name()), Title: "How far to trust it"}
	t := newTable(w.key(r.Name(), "trust"), r.Origin(r.Main), says("Predicted less measured on trials that were set aside"), words("trial"), words("phase"), words("column"), words("unit"),
		numbers("difference", ""), numbers("known to ±", ""), words("within"))
	var beyond []paper.Text
	for i := range r.Count("/trust") {
		at := fmt.Sprintf("/trust/%d/", i)
		trial, _ := r.Sentence(at + "trial")
		phase, _ := r.Sentence(at + "phase")
		column, _ := r.Sentence(at + "column")
		unit, _ := r.Sentence(at + "unit")
		off, _ := r.Number(at + "E")
		val, _ := r.Number(at + "u_val")
		off.Unit, val.Unit = "1", "1"
		within := "yes"
		if !r.Is(at + "within_2_u_val") {
			within = "no"
			if sentence, ok := r.Sentence(at + "sentence"); ok {
				beyond = append(beyond, says(sentence))
			}
		}
		t.row(trial, phase, column, unit, off, val, within)
	}
	t.Notes = []paper.Text{says("Known to: the standard uncertainty of the difference, from the sensors, the inputs and the grid. Within: the difference is no larger than twice that.")}
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

// begin opens the section of a result, with what is in doubt of it.
func (w *writer) begin(r *Result) paper.Chapter {
	return paper.Chapter{Key: w.key(r.Kind, r.Name()), Title: title(r).Text, Blocks: w.doubts(r)}
}

// end closes it with the pictures of a folder, under one caption, and its notes.
func (w *writer) end(c *paper.Chapter, s paper.Chapter, r *Result, folder string, caption ...any) {
	for _, p := range r.Pictures(folder) {
		s.Blocks = append(s.Blocks, w.figure(r, p, w.key(r.Name(), p), caption...)...)
	}
	s.Blocks = append(s.Blocks, sentences(r, "/notes")...)
	c.Chapters = append(c.Chapters, s)
}

// studies are questions about what to build, with their verdicts.
func (w *writer) studies(c *paper.Chapter) {
	for _, r := range w.g.Of("study") {
		s := w.begin(r)
		for i := range r.Count("/answers") {
			at := fmt.Sprintf("/answers/%d/", i)
			question, _ := r.Sentence(at + "question")
			verdict, _ := r.Sentence(at + "verdict")
			q := paper.Chapter{Key: w.key("answer", r.Name(), question.Text), Title: question.Text}
			q.Blocks = append(q.Blocks, paper.Paragraph{Says: paper.Text{{Text: verdict.Text, Style: paper.Strong, Origin: verdict.Origin}}})
			q.Blocks = append(q.Blocks, sentences(r, at+"sentences")...)
			first, ok := r.Sentence(at + "sentences/0")
			if ok {
				w.concludes(q.Key, title(r), ", ", question, ": ", verdict, ". ", first)
			} else {
				w.concludes(q.Key, title(r), ", ", question, ": ", verdict, ".")
			}
			s.Chapters = append(s.Chapters, q)
		}
		for i := range r.Count("/constraints") {
			if one, ok := r.Sentence(fmt.Sprintf("/constraints/%d/sentence", i)); ok {
				s.Blocks = append(s.Blocks, paragraph(one))
			}
		}
		w.end(c, s, r, "", "From the study ", title(r), "; axes and units stand in the picture.")
	}
}

// lights say what a dish throws on the window.
func (w *writer) lights(c *paper.Chapter) {
	for _, r := range w.g.Of("light") {
		s := w.begin(r)
		if verdict, ok := r.Sentence("/verdict"); ok {
			s.Blocks = append(s.Blocks, paragraph(verdict))
			w.concludes(s.Key, verdict)
		}
		if caution, ok := r.Sentence("/caution"); ok {
			s.Blocks = append(s.Blocks, paper.Caution{Word: account.DangerWord(heat.KindLight), Says: says(caution)})
		}
		w.end(c, s, r, "", "From ", title(r), "; axes and units stand in the picture.")
	}
}

// seasons are what many days give.
func (w *writer) seasons(c *paper.Chapter) {
	for _, r := range w.g.Of("season") {
		s := w.begin(r)
		if sentence, ok := r.Sentence("/sentence"); ok {
			s.Blocks = append(s.Blocks, paragraph(sentence))
			w.concludes(s.Key, sentence)
		}
		if refused, ok := r.Sentence("/refused"); ok {
			s.Blocks = append(s.Blocks, paragraph("The fast model does not answer: ", refused, "."))
			w.asks("The season ", title(r), " has no answer: ", refused, ".")
		}
		w.end(c, s, r, "pictures/", "The season ", title(r), ", day by day.")
	}
}

// compared are results that were set side by side.
func (w *writer) compared(c *paper.Chapter) {
	for _, r := range w.g.Of("compare") {
		s := paper.Chapter{Key: w.key("compared", r.Name()), Title: title(r).Text}
		s.Blocks = w.doubts(r)
		for i := range r.Count("/agreements") {
			if one, ok := r.Sentence(fmt.Sprintf("/agreements/%d/sentence", i)); ok {
				s.Blocks = append(s.Blocks, paragraph(one))
				w.concludes(s.Key, one)
			}
		}
		for _, p := range r.Pictures("") {
			s.Blocks = append(s.Blocks, w.figure(r, p, w.key(r.Name(), p), "From the comparison ", title(r), ".")...)
		}
		s.Blocks = append(s.Blocks, sentences(r, "/notes")...)
		if i := slices.Index(r.Keys(""), "title"); i < 0 && s.Title == r.Name() {
			s.Title = "Trials side by side"
		}
		c.Chapters = append(c.Chapters, s)
	}
}
