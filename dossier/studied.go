package dossier

import (
	"cmp"
	"fmt"
	"slices"

	"emberbank/hazard"
	"emberbank/paper"
)

// studies are questions about what to build, with their verdicts.
func (w *writer) studies(c *paper.Chapter) {
	for _, r := range w.g.Of("study") {
		s := w.begin(r)
		for i := range r.Count("/constraints") {
			if one, ok := r.Sentence(fmt.Sprintf("/constraints/%d/sentence", i)); ok {
				s.Blocks = append(s.Blocks, paragraph(one))
			}
		}
		s.Blocks = append(s.Blocks, w.variants(r)...)
		for _, p := range r.Pictures("") {
			s.Blocks = append(s.Blocks, w.figure(r, p, w.key(r.Name(), p), heading(r, p), "; of the study ", title(r), ".")...)
		}
		s.Blocks = append(s.Blocks, sentences(r, "/notes")...)
		s.Blocks = append(s.Blocks, w.warned(r)...)
		for i := range r.Count("/answers") {
			s.Chapters = append(s.Chapters, w.answered(r, i))
		}
		if r.Count("/answers") == 0 {
			w.concludesNotes(r, s.Key)
		}
		c.Chapters = append(c.Chapters, s)
	}
}

// answered is a question of a study with its verdict and what it rests on.
func (w *writer) answered(r *Result, i int) paper.Chapter {
	at := fmt.Sprintf("/answers/%d/", i)
	question, _ := r.Sentence(at + "question")
	verdict, _ := r.Sentence(at + "verdict")
	q := paper.Chapter{Key: w.key("answer", r.Name(), question.Text), Title: question.Text}
	q.Blocks = append(q.Blocks, paper.Paragraph{Says: paper.Text{{Text: verdict.Text, Style: paper.Strong, Origin: verdict.Origin}, {Text: "."}}})
	q.Blocks = append(q.Blocks, sentences(r, at+"sentences")...)
	q.Blocks = append(q.Blocks, w.answerTable(r, at)...)
	told := says(title(r), ". ", question, " ", verdict, ".")
	if first, ok := r.Sentence(at + "sentences/0"); ok {
		told = append(told, says(" ", first)...)
	}
	w.answers(q.Key, told)
	return q
}

// answerTable is the table that an answer rests on, as the study states it.
func (w *writer) answerTable(r *Result, at string) []paper.Block {
	var columns []paper.Column
	for k := range r.Count(at + "table/0") {
		head, _ := r.Sentence(fmt.Sprintf("%stable/0/%d", at, k))
		columns = append(columns, words(head.Text))
	}
	t := newTable(w.key(r.Name(), at), r.Origin(r.Main), says("What the answer rests on"), columns...)
	for i := 1; i < r.Count(at+"table"); i++ {
		cells := make([]any, len(columns))
		for k := range cells {
			cells[k], _ = r.Sentence(fmt.Sprintf("%stable/%d/%d", at, i, k))
		}
		t.row(cells...)
	}
	return t.block()
}

// mostVariants is how many variants a report lists; the study's own table has all.
const mostVariants = 40

// variants lists what was computed: the values of the axes and what was read off.
func (w *writer) variants(r *Result) []paper.Block {
	const list = "/columns"
	n := r.Count(list)
	if n == 0 || r.Count("/variants") > mostVariants {
		return nil
	}
	columns := []paper.Column{numbers("", "")}
	units := make([]Number, n)
	for k := range n {
		name, _ := r.Sentence(fmt.Sprintf("%s/%d/name", list, k))
		unit, _ := r.Sentence(fmt.Sprintf("%s/%d/unit", list, k))
		units[k].Unit = cmp.Or(unit.Text, "1")
		_, set := units[k].bare(readers[unit.Text].unit, -1)
		columns = append(columns, numbers(name.Text, set))
		if r.Count(fmt.Sprintf("%s/%d/words", list, k)) > 0 {
			columns[k+1] = words(name.Text)
		}
	}
	t := newTable(w.key(r.Name(), "variants"), r.Origin(r.Main), says("What was computed"), columns...)
	missing := false
	for i := range r.Count("/variants") {
		cells := []any{paper.Span{}}
		if r.Count("/constraints") > 0 && !r.Is(fmt.Sprintf("/variants/%d/meets_the_constraints", i)) {
			cells[0], missing = "*", true
		}
		for k := range n {
			cells = append(cells, w.variant(r, fmt.Sprintf("/variants/%d/values/%d", i, k), fmt.Sprintf("%s/%d/words", list, k), units[k].Unit))
		}
		t.row(cells...)
	}
	if missing {
		t.Notes = []paper.Text{says("*: misses a constraint.")}
	}
	return t.block()
}

// variant is a value of a variant: a number, or the word that it stands for.
func (w *writer) variant(r *Result, place, list, unit string) paper.Text {
	v, ok := r.Number(place)
	if !ok {
		return nil
	}
	if word, is := r.Sentence(fmt.Sprintf("%s/%d", list, int(v.Value))); is {
		return says(word)
	}
	v.Unit, v.share = unit, false
	return paper.Text{v.Bare(readers[unit].unit, -1)}
}

// warned says of what kinds of danger the variants warn.
func (w *writer) warned(r *Result) []paper.Block {
	var kinds []string
	var said paper.Text
	for i := range r.Count("/variants") {
		at := fmt.Sprintf("/variants/%d/cautions", i)
		for k := range r.Count(at) {
			kind, _ := r.Sentence(fmt.Sprintf("%s/%d", at, k))
			if slices.Contains(kinds, kind.Text) {
				continue
			}
			if kinds = append(kinds, kind.Text); len(kinds) > 1 {
				said = append(said, says(", ")...)
			}
			said = append(said, says(kind)...)
		}
	}
	if len(kinds) == 0 {
		return nil
	}
	return []paper.Block{paper.Caution{Word: "caution", Says: says("Variants of this study warn of ", said, ". Each warning stands with its numbers in the variant's record: run a variant by itself and read them before anything is built, lit or filled.")}, paragraph(hazard.Practice)}
}

// concludesNotes takes what a study without a question says of itself.
func (w *writer) concludesNotes(r *Result, key string) {
	for i := range r.Count("/notes") {
		if s, ok := r.Sentence(fmt.Sprintf("/notes/%d", i)); ok && !inAFile(s.Text) {
			w.concludes(key, title(r), ". ", s)
		}
	}
}
