package dossier

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"emberbank/bench"
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

// Report composes the report as dossier.yaml has it, else all parts that have something to say in their order. The error is of
// bench.Problems where the author's words ask for what there is not.
func Report(g *Gathered) (*paper.Document, error) {
	w := newWriter(g)
	d := &paper.Document{Title: g.title(), Subtitle: "Report", Contents: true, Bench: g.Back, Facts: g.titleBlock()}
	plan := g.plan
	if plan == nil {
		plan = &bench.Dossier{}
		for _, word := range bench.DossierParts() {
			plan.Parts = append(plan.Parts, bench.DossierPart{Part: word})
		}
	} else {
		d.Subtitle, d.Language = plan.Subtitle, plan.Language
		if plan.By != "" {
			d.Facts = append(d.Facts, paper.Fact{Name: "By", Says: says(Sentence{plan.By, bench.DossierFile + " /by"})})
		}
	}
	chapters := make([]*paper.Chapter, len(plan.Parts))
	own := map[string]part{}
	for _, p := range parts() {
		own[p.word] = p
	}
	for i, p := range plan.Parts {
		chapters[i] = &paper.Chapter{Key: w.key(cmp.Or(p.Part, p.Title)), Title: cmp.Or(p.Title, own[p.Part].title)}
	}
	for _, last := range []bool{false, true} {
		for i := range plan.Parts {
			if late(plan.Parts[i].Part) == last {
				w.part(&plan.Parts[i], own, chapters[i])
			}
		}
	}
	w.inShort(chapters)
	for _, c := range chapters {
		if len(c.Blocks)+len(c.Chapters) > 0 {
			d.Chapters = append(d.Chapters, *c)
		}
	}
	n, _ := paper.Number(d) // what leads nowhere is told here with its place
	maps.DeleteFunc(w.keys, func(key string, _ bool) bool { _, stands := n.Label(key); return !stands })
	if w.problems = append(w.problems, w.astray(plan)...); len(w.problems) > 0 {
		return nil, w.problems
	}
	return d, nil
}

// part composes one part with the author's words around it.
func (w *writer) part(p *bench.DossierPart, own map[string]part, c *paper.Chapter) {
	before, first := w.words(&p.Before)
	c.Blocks, c.Chapters = append(c.Blocks, before...), append(c.Chapters, first...)
	if p.Part != "" {
		own[p.Part].write(w, c)
	}
	for _, words := range []*bench.Words{&p.Text, &p.After} {
		after, last := w.words(words)
		if len(c.Chapters) > 0 && words == &p.After && len(after) > 0 { // words after chapters would stand within the last one
			last = append([]paper.Chapter{{Key: w.key(c.Key, "after"), Title: "Besides", Blocks: after}}, last...)
			after = nil
		}
		c.Blocks, c.Chapters = append(c.Blocks, after...), append(c.Chapters, last...)
	}
}

// astray complains of links in the author's words to keys that the document does not have.
func (w *writer) astray(plan *bench.Dossier) (ps bench.Problems) {
	for _, key := range w.links {
		if w.keys[key] {
			continue
		}
		for i := range plan.Parts {
			p := &plan.Parts[i]
			for _, words := range []*bench.Words{&p.Before, &p.Text, &p.After} {
				if strings.Contains(words.Text, "(#"+key+")") {
					ps = append(ps, words.Problem("(#"+key+")", 0, words.Path+" leads to #"+key+", which the report does not have", strings.Join(slices.Sorted(maps.Keys(w.keys)), ", "), "name one of its keys"))
				}
			}
		}
	}
	return ps
}

// title is the bench's name.
func (g *Gathered) title() string {
	if g.plan != nil && g.plan.Title != "" {
		return g.plan.Title
	}
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
	stale, stopped := 0, 0
	for _, r := range g.Kept {
		switch {
		case r.Stale():
			stale++
		case r.Stopped:
			stopped++
		}
	}
	state := "all are newer than their inputs"
	switch {
	case stale == 1:
		state = "one is older than its inputs"
	case stale > 1:
		state = "some are older than their inputs"
	}
	switch {
	case stopped == 1:
		state += "; one was stopped"
	case stopped > 1:
		state += "; some were stopped"
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
	w.asked, w.askedAt = c.Key, len(c.Blocks)
	t := newTable(w.key("rests on"), "", says("What this document rests on"), words("result"), words("kind"), words("of"), words("state"))
	for _, r := range w.g.Kept {
		state := says("newer than its inputs")
		switch {
		case r.Stale():
			state = says("older than ", names(r.Changed), "; renew it: ", code(r.Renew))
		case r.Stopped:
			state = says("stopped before all of it was computed: ", code(r.Renew))
		}
		t.row(title(r), r.Kind, code(r.File), state)
	}
	for _, k := range w.g.Missing {
		t.row("", k.Kind, code(k.File), says("missing: ", code(k.Renew)))
		w.asks("There is no result of the ", k.Kind, " ", code(k.File), ". Compute it: ", code(k.Renew), ".")
	}
	c.Blocks = append(c.Blocks, t.block()...)
}

// inShort sets behind the bench's question what its runs, days, seasons, matches and studies come to, each with where it stands.
func (w *writer) inShort(chapters []*paper.Chapter) {
	for _, c := range chapters {
		if c.Key != w.asked || c.Key == "" {
			continue
		}
		l := paper.List{}
		for _, one := range w.concluded {
			if one.short {
				l.Items = append(l.Items, one.with())
			}
		}
		if len(l.Items) > 0 {
			c.Blocks = slices.Insert(c.Blocks, w.askedAt, paper.Block(paragraph("In short, from the chapters below:")), paper.Block(l))
		}
	}
}

// conclusions are what follows from numbers, each with where they stand.
func (w *writer) conclusions(c *paper.Chapter) {
	l := paper.List{}
	for _, one := range w.concluded {
		l.Items = append(l.Items, one.with())
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
