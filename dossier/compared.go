package dossier

import (
	"fmt"
	"slices"

	"emberbank/paper"
)

// compared are results that were set side by side: trials with one another, or two runs, or a trial and its run.
func (w *writer) compared(c *paper.Chapter) {
	for _, r := range w.g.Of("compare") {
		s := w.begin(r)
		if !slices.Contains(r.Keys(""), "title") && s.Title == r.Name() {
			s.Title = "Trials side by side"
		}
		for i := range r.Count("/agreements") {
			if one, ok := r.Sentence(fmt.Sprintf("/agreements/%d/text", i)); ok {
				s.Blocks = append(s.Blocks, paragraph(one))
				w.concludes(s.Key, title(r), ": ", one)
			}
		}
		for i := range r.Count("/lacking") {
			one, _ := r.Sentence(fmt.Sprintf("/lacking/%d", i))
			s.Blocks = append(s.Blocks, paragraph("Not compared: ", one, "."))
		}
		s.Blocks = append(s.Blocks, w.otherInputs(r)...)
		s.Blocks = append(s.Blocks, w.otherNumbers(r)...)
		s.Blocks = append(s.Blocks, w.otherCourses(r, s.Key)...)
		for _, p := range r.Pictures("") {
			what, known := map[string]string{
				"cooling.svg": "Cooling beside cooling: ", "heat-flow.svg": "Heat flow to the water beside heat flow: ", "map.svg": "Heat flow to the water over the block's temperature: ",
				"histories.svg": "Over time, with the differences below: ",
			}[p]
			if !known {
				what = "From the comparison "
			}
			s.Blocks = append(s.Blocks, w.figure(r, p, w.key(r.Name(), p), what, title(r), ".")...)
		}
		s.Blocks = append(s.Blocks, sentences(r, "/notes")...)
		c.Chapters = append(c.Chapters, s)
	}
}

// sides are what two results are called.
func sides(r *Result) (first, second Sentence) {
	first, _ = r.Sentence("/first")
	second, _ = r.Sentence("/second")
	return first, second
}

// otherInputs lists what two results state otherwise.
func (w *writer) otherInputs(r *Result) []paper.Block {
	const list = "/inputs_that_differ"
	first, second := sides(r)
	t := newTable(w.key(r.Name(), "inputs"), r.Origin(r.Main), says("What the files state otherwise"), words("place"), words(first.Text), words(second.Text))
	for i := range r.Count(list) {
		at := fmt.Sprintf("%s/%d/", list, i)
		path, _ := r.Sentence(at + "path")
		a, _ := r.Sentence(at + "first")
		b, _ := r.Sentence(at + "second")
		t.row(path, a, b)
	}
	return t.block()
}

// otherNumbers sets the numbers of two runs beside each other.
func (w *writer) otherNumbers(r *Result) []paper.Block {
	const list = "/results_compared"
	first, second := sides(r)
	t := newTable(w.key(r.Name(), "numbers"), r.Origin(r.Main), says("Their numbers"), words("what"), words(first.Text), words(second.Text), words("second less first"), words("is"))
	for i := range r.Count(list) {
		at := fmt.Sprintf("%s/%d/", list, i)
		name, _ := r.Sentence(at + "name")
		unit, _ := r.Sentence(at + "unit")
		apart, _ := r.Sentence(at + "difference_unit")
		verdict, _ := r.Sentence(at + "verdict")
		t.row(name, r.in(at+"first", unit.Text), r.in(at+"second", unit.Text), r.in(at+"difference", apart.Text), verdict)
	}
	return t.block()
}

// otherCourses says how far two results lie apart over time.
func (w *writer) otherCourses(r *Result, key string) []paper.Block {
	const list = "/over_time"
	first, second := sides(r)
	t := newTable(w.key(r.Name(), "over time"), r.Origin(r.Main), says(second, " less ", first, " over time"), words("column"), words("on the mean"), words("at the end"), words("largest"), words("after"),
		words("known to ±"), words("share within"))
	for i := range r.Count(list) {
		at := fmt.Sprintf("%s/%d/", list, i)
		column, _ := r.Sentence(at + "column")
		apart, _ := r.Sentence(at + "difference_unit")
		when, _ := r.Number(at + "largest_at_s")
		within, known := r.Number(at + "share_within")
		share := paper.Text(nil)
		if known {
			share = says(within)
			if r.Is("/first_is_measured") {
				w.concludes(key, title(r), ": ", column, " is within what is known of it for ", within, " of the time.")
			}
		}
		t.row(column, r.in(at+"on_the_mean", apart.Text), r.in(at+"at_the_end", apart.Text), r.in(at+"largest", apart.Text), when, r.in(at+"half_width_95", apart.Text), share)
	}
	return t.block()
}

// in is a number of a result in a unit that stands elsewhere, as a cell; nothing where there is none.
func (r *Result) in(place, unit string) paper.Text {
	n, ok := r.Number(place)
	if !ok {
		return nil
	}
	if n.Unit = unit; unit == "" {
		n.Unit = "1"
	}
	return paper.Text{n.Span("", -1)}
}
