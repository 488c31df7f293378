package dossier

import (
	"emberbank/account"
	"emberbank/hazard"
	"emberbank/heat"
	"emberbank/paper"
)

// begin opens the section of a result, with what is in doubt of it.
func (w *writer) begin(r *Result) paper.Chapter {
	return paper.Chapter{Key: w.key(r.Kind, r.Name()), Title: title(r).Text, Blocks: w.doubts(r)}
}

// lights say what a dish throws on the window.
func (w *writer) lights(c *paper.Chapter) {
	for _, r := range w.g.Of("light") {
		s := w.begin(r)
		if verdict, ok := r.Sentence("/verdict"); ok {
			s.Blocks = append(s.Blocks, paragraph(verdict))
			w.concludes(s.Key, verdict)
		}
		if right, ok := r.Sentence("/right_window/verdict"); ok {
			s.Blocks = append(s.Blocks, paragraph(right))
			w.concludes(s.Key, right)
		}
		s.Blocks = append(s.Blocks, w.thrown(r)...)
		if caution, ok := r.Sentence("/caution"); ok {
			s.Blocks = append(s.Blocks, paper.Caution{Word: account.DangerWord(heat.KindLight), Says: says(trimmed(caution))}, paragraph(hazard.Practice))
		}
		for _, p := range r.Pictures("") {
			what := map[string]string{
				"flux.svg": "The flux in the window's plane, kW/m², by ", "intercept.svg": "The share of the light that a window of each size catches, by ",
				"window.svg": "What a window of each size keeps, less what it lets out, by ",
			}[p]
			if what == "" {
				what = "From "
			}
			s.Blocks = append(s.Blocks, w.figure(r, p, w.key(r.Name(), p), what, title(r), ".")...)
		}
		s.Blocks = append(s.Blocks, sentences(r, "/notes")...)
		c.Chapters = append(c.Chapters, s)
	}
}

// thrown lists what falls where, with what is not known of the light.
func (w *writer) thrown(r *Result) []paper.Block {
	t := newTable(w.key(r.Name(), "thrown"), r.Origin(r.Main), says("The light, with what is not known of it at "+confidence), words("what"), words("amount"))
	for _, e := range []struct{ key, name, unit string }{
		{"reflected_W", "thrown back by the mirrors", "W"},
		{"power_W", "into the window", "W"},
		{"intercept", "of that thrown back, into the window", "1"},
		{"mean_flux_W_m2", "mean flux in the window", "W/m2"},
		{"peak_flux_W_m2", "peak flux", "W/m2"},
	} {
		n, ok := r.Number("/" + e.key + "/value")
		if !ok {
			continue
		}
		half, _ := r.Number("/" + e.key + "/half_width_95_inputs")
		n.Unit, n.share, n.Half = e.unit, e.unit == "1", half.Value
		t.row(e.name, n)
	}
	return t.block()
}
