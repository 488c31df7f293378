package dossier

import (
	"fmt"
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/paper"
)

// runs says of each run where its heat went, what happened when, and what could hurt somebody.
func (w *writer) runs(c *paper.Chapter) {
	for _, r := range w.g.Of("run") {
		s := paper.Chapter{Key: w.key("run", r.Name()), Title: title(r).Text}
		s.Blocks = w.doubts(r)
		s.Blocks = append(s.Blocks, w.ledger(r, s.Key)...)
		s.Blocks = append(s.Blocks, w.figure(r, "pictures/ledger.svg", w.key(r.Name(), "ledger"), "Where the heat went in ", title(r), ". A stream is as wide as its heat; kWh.")...)
		s.Blocks = append(s.Blocks, w.figure(r, "pictures/history.svg", w.key(r.Name(), "history"), "What ", title(r), " does over time: temperatures in °C, heat flows in W.")...)
		s.Blocks = append(s.Blocks, w.events(r)...)
		s.Blocks = append(s.Blocks, w.yields(r, s.Key)...)
		s.Blocks = append(s.Blocks, w.sections(r)...)
		s.Blocks = append(s.Blocks, w.bands(r, s.Key)...)
		s.Blocks = append(s.Blocks, w.cautions(r)...)
		s.Blocks = append(s.Blocks, w.warnings(r, s.Key)...)
		c.Chapters = append(c.Chapters, s)
	}
}

// entries are the lines of a ledger, in the order in which they are read.
var entries = []struct{ key, name string }{
	{"absorbed", "absorbed at the block"},
	{"glass", "absorbed in the glass"},
	{"electric", "electric"},
	{"generated", "generated inside"},
	{"stored", "stored"},
	{"latent", "of that by melting"},
	{"to_passes", "to the passes"},
	{"carried", "carried off by the water"},
	{"lost", "lost"},
	{"left_over", "left over in the books"},
}

// entry reads a line of the ledger, of a run over time or of a steady state.
func (r *Result) entry(key string) (n Number, ok bool) {
	for _, unit := range []string{"_J", "_W"} {
		if n, ok = r.Number("/ledger/" + key + unit); ok {
			return n, true
		}
	}
	return n, false
}

// ledger is where the heat went.
func (w *writer) ledger(r *Result, key string) (blocks []paper.Block) {
	unit := "kWh"
	if n, ok := r.entry("stored"); ok && n.Unit == "W" {
		unit = "W"
	}
	t := newTable(w.key(r.Name(), "books"), r.Origin(r.Main), says("The books of ", title(r)), words("heat"), numbers("amount", unit))
	for _, e := range entries {
		n, ok := r.entry(e.key)
		if ok && (n.Value != 0 || e.key == "left_over") {
			t.row(e.name, paper.Text{n.Bare(unit, -1)})
		}
	}
	blocks = t.block()
	ended, whole := r.Number("/ended_s")
	stored, a := r.entry("stored")
	carried, b := r.entry("carried")
	lost, l := r.entry("lost")
	if a && b && l && whole && unit == "kWh" {
		text := says("In ", ended, " ", title(r), " stores ", stored, ", hands ", carried, " to the water and loses ", lost, ".")
		if stored.Value < 0 {
			text = says("In ", ended, " ", title(r), " hands ", carried, " to the water and loses ", lost, "; what it holds changes by ", stored, ".")
		}
		blocks = append([]paper.Block{paper.Paragraph{Says: text}}, blocks...)
		w.answers(key, text, w.course(r))
	}
	if s, ok := r.Sentence("/stopped"); ok {
		blocks = append(blocks, paragraph("It ended early: ", s, "."))
	}
	return blocks
}

// mostEvents is how many events go into a sentence.
const mostEvents = 5

// course is what happens when, as a sentence; nothing where that is too much for one.
func (w *writer) course(r *Result) (t paper.Text) {
	n := r.Count("/events")
	if n == 0 || n > mostEvents {
		return nil
	}
	for i := range n {
		what, _ := r.Sentence(fmt.Sprintf("/events/%d/what", i))
		at, _ := r.Number(fmt.Sprintf("/events/%d/at_s", i))
		t = append(t, says(map[bool]string{true: " In turn: ", false: ", "}[i == 0], what, " after ", at)...)
	}
	return append(t, says(".")...)
}

// sections are the receiver cut open at the times at which fields are kept.
func (w *writer) sections(r *Result) (blocks []paper.Block) {
	for _, p := range r.Pictures("pictures/section-") {
		blocks = append(blocks, w.figure(r, p, w.key(r.Name(), p), heading(r, p), " of ", title(r), ": isotherms in °C.")...)
	}
	return blocks
}

// events is what happened when.
func (w *writer) events(r *Result) []paper.Block {
	t := newTable(w.key(r.Name(), "events"), r.Origin(r.Main), says("What happens when"), words("what"), words("after"))
	for i := range r.Count("/events") {
		what, _ := r.Sentence(fmt.Sprintf("/events/%d/what", i))
		at, _ := r.Number(fmt.Sprintf("/events/%d/at_s", i))
		t.row(what, at)
	}
	return t.block()
}

// yields is what a day or a load amounts to.
func (w *writer) yields(r *Result, key string) (blocks []paper.Block) {
	if share, ok := r.Number("/yield/load/met_share"); ok {
		wanted, is := r.Number("/yield/load/wanted_kg")
		met, _ := r.Number("/yield/load/met_kg")
		if !is {
			wanted, _ = r.Number("/yield/load/wanted_J")
			met, _ = r.Number("/yield/load/met_J")
		}
		text := says("Of ", wanted, " wanted it meets ", met, ", ", share, ".")
		blocks = append(blocks, paper.Paragraph{Says: text})
		w.answers(key, title(r), ". ", text)
	}
	return append(blocks, w.amounts(r)...)
}

// amounts is what a run or a season amounts to.
func (w *writer) amounts(r *Result) []paper.Block {
	t := newTable(w.key(r.Name(), "yield"), r.Origin(r.Main), says("What it amounts to"), words("what"), words("amount"))
	for _, e := range []struct{ place, name string }{
		{"light_J", "light on the window"},
		{"absorbed_J", "absorbed"},
		{"delivered_J", "delivered"},
		{"steam_kg", "steam"},
		{"stored_J", "stored at the end more than at the start"},
		{"lost_J", "lost"},
		{"full_charges", "full charges"},
		{"full_drains", "full drains"},
		{"efficiency_first_law", "heat delivered of light"},
		{"efficiency_second_law", "work that the heat delivered could do, of that of the light"},
	} {
		if n, ok := r.Number("/yield/" + e.place); ok && n.Value != 0 {
			t.row(e.name, n)
		}
	}
	return t.block()
}

// bands is what the inputs' uncertainty does to the results.
func (w *writer) bands(r *Result, key string) []paper.Block {
	const list = "/uncertainty/results"
	if r.Count("/uncertainty") == 0 {
		w.asks("What the uncertainty of the inputs does to ", title(r), " was not computed. Compute it: ", code(r.Renew+" --uncertainty"), ".")
		return nil
	}
	t := newTable(w.key(r.Name(), "uncertainty"), r.Origin(r.Main), says("What the uncertainty of the inputs leaves open, at "+confidence), words("result"), words("value"), words("most of it from"))
	for i := range r.Count(list) {
		at := fmt.Sprintf("%s/%d", list, i)
		name, _ := r.Sentence(at + "/name")
		var value Number
		for _, k := range r.Keys(at) {
			if strings.HasPrefix(k, "value") {
				value, _ = r.Number(at + "/" + escaped(k))
			}
		}
		var from paper.Text
		if path, ok := r.Sentence(at + "/inputs/0/input"); ok {
			share, _ := r.Number(at + "/inputs/0/share")
			from = says(path, ": ", share)
		}
		t.row(name, value, from)
		if value.Half > 0 && i == 0 {
			w.concludes(key, "With the inputs as uncertain as they are stated, ", name, " of ", title(r), " is ", value, ".")
		}
	}
	return t.block()
}

// cautions are what may hurt somebody, each kind once where it is first, with the other places.
func (w *writer) cautions(r *Result) (blocks []paper.Block) {
	first := map[string]int{}
	var kinds []string
	also := map[string][]Sentence{}
	for i := range r.Count("/cautions") {
		at := fmt.Sprintf("/cautions/%d", i)
		kind, _ := r.Sentence(at + "/kind")
		if _, known := first[kind.Text]; !known {
			first[kind.Text] = i
			kinds = append(kinds, kind.Text)
			continue
		}
		if place, ok := r.Sentence(at + "/place"); ok {
			same := func(s Sentence) bool { return s.Text == place.Text }
			head, _ := r.Sentence(fmt.Sprintf("/cautions/%d/place", first[kind.Text]))
			if !slices.ContainsFunc(also[kind.Text], same) && !same(head) {
				also[kind.Text] = append(also[kind.Text], place)
			}
		}
	}
	for _, kind := range kinds {
		at := fmt.Sprintf("/cautions/%d", first[kind])
		text, _ := r.Sentence(at + "/text")
		source, _ := r.Sentence(at + "/source")
		t := says(trimmed(text))
		for i, place := range also[kind] {
			t = append(t, says(map[bool]string{true: " Likewise: ", false: ", "}[i == 0], place)...)
		}
		if len(also[kind]) > 0 {
			t = append(t, paper.Span{Text: "."})
		}
		blocks = append(blocks, paper.Caution{Word: account.DangerWord(kind), Says: t, Source: source.Text})
	}
	if len(blocks) > 0 {
		blocks = append(blocks, paragraph("Local codes and licensed practice decide; this document is neither."))
	}
	return blocks
}

// warnings are doubts that the run itself states.
func (w *writer) warnings(r *Result, key string) (blocks []paper.Block) {
	if r.Count("/warnings") == 0 {
		return nil
	}
	blocks = append([]paper.Block{paragraph("What the run itself doubts:")}, sentences(r, "/warnings")...)
	w.asks(title(r), " has doubts of its own; they are listed with it (", to(key), ").")
	return blocks
}
