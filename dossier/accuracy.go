package dossier

import (
	"fmt"
	"strings"

	"emberbank/paper"
)

// accuracy says of each run what finer grids and shorter time steps change; where that was not computed it is an open question.
func (w *writer) accuracy(c *paper.Chapter) {
	for _, r := range w.g.Of("run") {
		if r.Count("/accuracy") == 0 {
			w.asks("How far grid and time step matter to ", title(r), " was not computed. Compute it: ", code(r.Renew+" --accuracy"), " (it takes some ten times as long as the run).")
			continue
		}
		s := paper.Chapter{Key: w.key("accuracy", r.Name()), Title: title(r).Text}
		s.Blocks = append(s.Blocks, w.grids(r)...)
		s.Blocks = append(s.Blocks, w.convergence(r, s.Key)...)
		s.Blocks = append(s.Blocks, sentences(r, "/accuracy/notes")...)
		c.Chapters = append(c.Chapters, s)
	}
	if len(c.Chapters) > 0 {
		c.Blocks = append(c.Blocks, paragraph("Each run was repeated on two finer grids with tighter time steps. The grid convergence index is the band, at "+confidence+
			" by its usage, within which the answer on grids of any fineness is expected; it says nothing of the inputs."))
	}
}

// grids are the grids that were computed.
func (w *writer) grids(r *Result) []paper.Block {
	const list = "/accuracy/grids"
	t := newTable(w.key(r.Name(), "grids"), r.Origin(r.Main), says("Grids"), numbers("cells", ""), numbers("finer by", ""), numbers("tolerance of a step", "K"), numbers("steps", ""), numbers("left over of the books", ""))
	for i := range r.Count(list) {
		at := fmt.Sprintf("%s/%d/", list, i)
		var cells []any
		for _, key := range []string{"cells", "ratio", "tolerance_K", "steps", "ledger_residual"} {
			n, ok := r.Number(at + key)
			cell := bare(n, ok, "")
			if key == "ledger_residual" && ok {
				cell = paper.Text{{Text: fmt.Sprintf("%.1g", n.Value), Origin: n.Origin}}
			}
			cells = append(cells, cell)
		}
		t.row(cells...)
	}
	return t.block()
}

// convergence is what the grids say of each quantity.
func (w *writer) convergence(r *Result, key string) []paper.Block {
	const list = "/accuracy/quantities"
	t := newTable(w.key(r.Name(), "convergence"), r.Origin(r.Main), says("What the grids leave open"), words("quantity"), words("on this grid"), words("band of this grid"), words("spread over the grids"), numbers("order", ""), words("convergence"))
	for i := range r.Count(list) {
		at := fmt.Sprintf("%s/%d", list, i)
		name, _ := r.Sentence(at + "/name")
		verdict, _ := r.Sentence(at + "/verdict")
		var value, band, spread Number
		for _, k := range r.Keys(at) {
			place := at + "/" + escaped(k)
			switch {
			case strings.HasPrefix(k, "values"):
				value, _ = r.Number(place + "/0")
			case strings.HasPrefix(k, "this_grid_convergence_index"):
				band, _ = r.Number(place)
			case strings.HasPrefix(k, "spread"):
				spread, _ = r.Number(place)
			}
		}
		order, ok := r.Number(at + "/order")
		t.row(name, known(value), known(band), known(spread), bare(order, ok, ""), verdict)
		if band.Origin != "" && verdict.Text == "monotone" {
			w.concludes(key, "Grid and time step leave ", name, " of ", title(r), " open by ± ", band, ".")
		}
	}
	return t.block()
}

// known is a number as a cell, empty where there is none.
func known(n Number) paper.Text {
	if n.Origin == "" {
		return nil
	}
	return paper.Text{n.Span("", -1)}
}
