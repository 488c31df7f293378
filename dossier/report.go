package dossier

import (
	"emberbank/paper"
)

// part is a chapter that a report may have.
type part struct {
	word  string // in files
	title string
	write func(w *writer, c *paper.Chapter)
}

// parts are the chapters of a report in the order that it has where nothing else is said. Conclusions and open questions are
// composed when all others are.
func parts() []part {
	return []part{
		{"question", "The question", (*writer).question},
		{"receiver", "The receiver", (*writer).receiver},
		{"materials", "Materials", (*writer).materials},
		{"model", "The model", (*writer).model},
		{"checks", "Outside checks", (*writer).checks},
		{"runs", "What it will do", (*writer).runs},
		{"accuracy", "How far grid and time step matter", (*writer).accuracy},
		{"trials", "Trials", (*writer).trials},
		{"plan", "Trials to come", (*writer).plans},
		{"match", "Match, trust and envelope", (*writer).matches},
		{"studies", "Studies", (*writer).studies},
		{"light", "Light", (*writer).lights},
		{"seasons", "Seasons", (*writer).seasons},
		{"compared", "Compared", (*writer).compared},
		{"conclusions", "Conclusions", (*writer).conclusions},
		{"open questions", "Open questions", (*writer).openQuestions},
	}
}

// late are the parts that hang on all others.
func late(word string) bool { return word == "conclusions" || word == "open questions" }

// Report composes the report: all parts that have something to say, in their order.
func Report(g *Gathered) (*paper.Document, error) {
	w := newWriter(g)
	d := &paper.Document{Title: g.title(), Subtitle: "Report", Contents: true, Facts: g.titleBlock()}
	chosen := parts()
	chapters := make([]*paper.Chapter, len(chosen))
	for i, p := range chosen {
		chapters[i] = &paper.Chapter{Key: w.key(p.word), Title: p.title}
	}
	for _, last := range []bool{false, true} {
		for i, p := range chosen {
			if late(p.word) == last {
				p.write(w, chapters[i])
			}
		}
	}
	for _, c := range chapters {
		if len(c.Blocks)+len(c.Chapters) > 0 {
			d.Chapters = append(d.Chapters, *c)
		}
	}
	return d, nil
}

// title is the bench's name.
func (g *Gathered) title() string {
	if g.Bench != nil && g.Bench.Name != "" {
		return g.Bench.Name
	}
	if len(g.Kept) > 0 {
		return title(g.Kept[0]).Text
	}
	return "Bench"
}

// titleBlock says what the document was made from.
func (g *Gathered) titleBlock() (facts []paper.Fact) {
	fact := func(name string, parts ...any) { facts = append(facts, paper.Fact{Name: name, Says: says(parts...)}) }
	file, _ := g.First()
	if file != "" {
		fact("Run", code(file))
	}
	stale := 0
	for _, r := range g.Kept {
		if r.Stale() {
			stale++
		}
	}
	state := "all are newer than their inputs"
	switch {
	case stale == 1:
		state = "one is older than its inputs"
	case stale > 1:
		state = "some are older than their inputs"
	}
	if len(g.Missing) > 0 {
		state += "; some are missing"
	}
	fact("Results", state)
	fact("Program", "emberbank ", code(g.Version))
	return facts
}

// question is what the bench asks, and what the document rests on.
func (w *writer) question(c *paper.Chapter) {
	if b := w.g.Bench; b != nil && b.Question != "" {
		c.Blocks = append(c.Blocks, paragraph(Sentence{b.Question, "bench.yaml /question"}))
	}
	t := newTable(w.key("rests on"), "", says("What this document rests on"), words("result"), words("kind"), words("of"), words("state"))
	for _, r := range w.g.Kept {
		state := says("newer than its inputs")
		switch {
		case r.Stale():
			state = says("older than ", names(r.Changed), "; renew it: ", code(r.Renew))
		case r.Stopped:
			state = says("stopped before its end: ", code(r.Renew))
		}
		t.row(title(r), r.Kind, code(r.File), state)
	}
	for _, k := range w.g.Missing {
		t.row("", k.Kind, code(k.File), says("missing: ", code(k.Renew)))
		w.asks("There is no result of the ", k.Kind, " ", code(k.File), ". Compute it: ", code(k.Renew), ".")
	}
	c.Blocks = append(c.Blocks, t.block()...)
}

// conclusions are what follows from numbers, each with where they stand.
func (w *writer) conclusions(c *paper.Chapter) {
	l := paper.List{}
	for _, one := range w.concluded {
		l.Items = append(l.Items, append(one.says, says(" (", to(one.key), ")")...))
	}
	if len(l.Items) > 0 {
		c.Blocks = append(c.Blocks, l)
	}
}

// openQuestions are what the results leave open.
func (w *writer) openQuestions(c *paper.Chapter) {
	if len(w.open) > 0 {
		c.Blocks = append(c.Blocks, paper.List{Items: w.open})
	}
}
