package dossier

import (
	"fmt"

	"emberbank/hazard"
	"emberbank/paper"
)

// plans say what a trial to come will teach.
func (w *writer) plans(c *paper.Chapter) {
	for _, r := range w.g.Of("plan") {
		s := w.begin(r)
		s.Blocks = append(s.Blocks, sentences(r, "/verdict")...)
		for i := range min(1, r.Count("/verdict")) {
			first, _ := r.Sentence(fmt.Sprintf("/verdict/%d", i))
			w.concludes(s.Key, first)
		}
		s.Blocks = append(s.Blocks, w.taught(r)...)
		s.Blocks = append(s.Blocks, w.figure(r, "expected.svg", w.key(r.Name(), "expected"), "How well each parameter is known before the trial, after it as planned, and with what would help most; bands at "+confidence+".")...)
		var alone []paper.Text
		for i := range r.Count("/sensors") {
			if one, ok := r.Sentence(fmt.Sprintf("/sensors/%d/sentence", i)); ok {
				alone = append(alone, says(one, "."))
			}
		}
		if len(alone) > 0 {
			s.Blocks = append(s.Blocks, paragraph("What each sensor is for:"), paper.List{Items: alone})
		}
		s.Blocks = append(s.Blocks, listed(r, "/cautions")...)
		s.Blocks = append(s.Blocks, sentences(r, "/notes")...)
		c.Chapters = append(c.Chapters, s)
	}
}

// taught is what a trial will teach of each parameter.
func (w *writer) taught(r *Result) []paper.Block {
	t := newTable(w.key(r.Name(), "to learn"), r.Origin(r.Main), says("What the trial will teach of each parameter: its standard uncertainty"), words("parameter"), words("value"),
		numbers("before", ""), numbers("after the trial", ""), numbers("with what helps most", ""))
	for i := range r.Count("/parameters") {
		at := fmt.Sprintf("/parameters/%d/", i)
		name, _ := r.Sentence(at + "name")
		value, _ := r.Number(at + "shown")
		value.Half = 0 // of it the columns speak
		cells := []any{name, value}
		for _, key := range []string{"standard_uncertainty_before", "expected_standard_uncertainty", "expected_with_most_helpful"} {
			n, ok := r.Number(at + key)
			n.Unit = "1"
			cells = append(cells, bare(n, ok, ""))
		}
		t.row(cells...)
	}
	if help, ok := r.Sentence("/most_helpful"); ok {
		t.Notes = []paper.Text{says("What helps most: ", help, ".")}
	}
	return t.block()
}

// listed are the cautions of a result that are sentences alone.
func listed(r *Result, place string) (blocks []paper.Block) {
	for i := range r.Count(place) {
		if s, ok := r.Sentence(fmt.Sprintf("%s/%d", place, i)); ok {
			blocks = append(blocks, paper.Caution{Word: "caution", Says: says(trimmed(s))})
		}
	}
	if len(blocks) > 0 {
		blocks = append(blocks, paragraph(hazard.Practice))
	}
	return blocks
}
