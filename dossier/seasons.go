package dossier

import (
	"fmt"

	"emberbank/paper"
)

// seasons are what many days give, and how far the fast model that says so is off.
func (w *writer) seasons(c *paper.Chapter) {
	for _, r := range w.g.Of("season") {
		s := w.begin(r)
		if sentence, ok := r.Sentence("/sentence"); ok {
			s.Blocks = append(s.Blocks, paragraph(sentence))
			w.answers(s.Key, title(r), ". ", sentence)
		}
		if refused, ok := r.Sentence("/refused"); ok {
			w.asks("The season ", title(r), " has no answer: ", refused, ".")
		}
		s.Blocks = append(s.Blocks, w.seasonBooks(r)...)
		s.Blocks = append(s.Blocks, w.figure(r, "pictures/calendar.svg", w.key(r.Name(), "calendar"), "The season ", title(r), ", day by day.")...)
		s.Blocks = append(s.Blocks, w.amounts(r)...)
		s.Blocks = append(s.Blocks, w.apart(r)...)
		s.Blocks = append(s.Blocks, w.cautions(r)...)
		s.Blocks = append(s.Blocks, sentences(r, "/notes")...)
		c.Chapters = append(c.Chapters, s)
	}
}

// seasonEntries are the lines of a season's books.
var seasonEntries = []struct{ key, name string }{
	{"absorbed", "absorbed at the block"},
	{"glass", "absorbed in the glass"},
	{"electric", "electric"},
	{"generated", "generated inside"},
	{"delivered", "carried off by the water"},
	{"lost", "lost"},
	{"stored", "stored"},
	{"residual", "left over in the books"},
}

// seasonBooks is where the heat of all days went.
func (w *writer) seasonBooks(r *Result) []paper.Block {
	t := newTable(w.key(r.Name(), "books"), r.Origin(r.Main), says("The books of ", title(r)), words("heat"), numbers("amount", "kWh"))
	for _, e := range seasonEntries {
		if n, ok := r.Number("/season/" + e.key + "_J"); ok && (n.Value != 0 || e.key == "residual") {
			t.row(e.name, n.Bare("kWh", -1))
		}
		if e.key != "lost" {
			continue
		}
		for _, path := range r.Keys("/season/lost_by_path_J") {
			n, _ := r.Number("/season/lost_by_path_J/" + escaped(path))
			n.Unit = "J"
			t.row("of that by "+path, n.Bare("kWh", -1))
		}
	}
	return t.block()
}

// apart is how far the fast model is off on days of the full one that it was not built from.
func (w *writer) apart(r *Result) []paper.Block {
	if r.Count("/apart") == 0 {
		return nil
	}
	allowed, _ := r.Number("/model/allowed/heat")
	allowed.share = true
	mean, _ := r.Number("/model/allowed/block_mean_K")
	t := newTable(w.key(r.Name(), "apart"), r.Origin(r.Main), says("The fast model on days that it was not built from"), words("day"), numbers("heat of the day", "kWh"), numbers("heat off by", "%"),
		words("most in"), numbers("block mean off by", "K"), words("allowed"), words("what the day held"))
	for i := range r.Count("/apart") {
		at := fmt.Sprintf("/apart/%d/", i)
		day, _ := r.Sentence(at + "day")
		heat, known := r.Number(at + "heat_J")
		off, isOff := r.Number(at + "heat_off")
		most, _ := r.Sentence(at + "most_off")
		mean, isMean := r.Number(at + "block_mean_over_an_hour_off_K")
		held, _ := r.Sentence(at + "held")
		passes := "yes"
		if !r.Is(at + "passes") {
			passes = "no"
		}
		t.row(day, bare(heat, known, "kWh"), bare(off, isOff, "%"), most, bare(mean, isMean, ""), passes, held)
	}
	runs, _ := r.Number("/model/full_runs")
	t.Notes = []paper.Text{says("Allowed are ", allowed, " of a day's heat and ", mean, ". The fast model was built from ", runs.Span("", 0), " runs of the full one; these days are others. They show what it does on them, and are no proof for the rest.")}
	return t.block()
}
