package dossier

import (
	"path"
	"slices"

	"emberbank/account"
	"emberbank/hazard"
	"emberbank/heat"
	"emberbank/paper"
)

// slide is a question to which a slide has the answer: a conclusion of a part of the report, and a picture of it.
type slide struct {
	word     string // of the part
	asks     string
	pictures []string // those that are taken first, by the names of their files
}

// slides are the questions in the order of the work.
var slides = []slide{
	{"runs", "What it will do", []string{"history.svg", "ledger.svg"}},
	{"trials", "What it did in a trial", []string{"balance.svg", "history.svg"}},
	{"match", "Do we believe it", []string{"corner.svg"}},
	{"studies", "What to build", nil},
	{"light", "What the dish throws on the window", nil},
	{"seasons", "What many days give", nil},
}

// slidePixels is how wide pictures that are laid out anew are drawn for a slide, px.
const slidePixels = 640

// Slides composes a summary for a talk: on each slide a question, its answer in one sentence, and one picture. Sentences are the report's
// own, with the places that their numbers were read from.
func Slides(g *Gathered) (*paper.Document, error) {
	w := newWriter(g)
	d := &paper.Document{Title: g.title(), Bench: g.Back, Slides: true}
	chapters := map[string]*paper.Chapter{}
	for _, p := range parts() {
		if late(p.word) {
			continue
		}
		c := &paper.Chapter{Key: w.key(p.word), Title: p.title}
		p.write(w, c)
		chapters[p.word] = c
	}
	gallery := g.Gallery()
	add := func(key, asks string, blocks ...paper.Block) {
		d.Chapters = append(d.Chapters, paper.Chapter{Key: key, Title: asks, Apart: true, Blocks: blocks})
	}
	asked := says(d.Title)
	if b := g.Bench; b != nil && b.Question != "" {
		asked = says(Sentence{b.Question, "bench.yaml /question"})
	}
	add("question", "The question", append([]paper.Block{paper.Paragraph{Says: asked}}, onSlide(chapters["receiver"], nil, gallery)...)...)
	for _, s := range slides {
		for _, one := range w.concluded {
			c := sectionWith(chapters[s.word], one.key)
			if c == nil {
				continue
			}
			blocks := []paper.Block{paper.Paragraph{Says: one.says}}
			if caution := cautionOf(c); caution != nil && s.word != "runs" { // those of runs have a slide of their own
				blocks = append(blocks, *caution, paragraph(hazard.Practice))
			}
			add(s.word, s.asks, append(blocks, onSlide(c, s.pictures, gallery)...)...)
			break
		}
	}
	if c, caution := warns(chapters["runs"]); c != nil {
		blocks := []paper.Block{*caution, paragraph("The report has all cautions of each run. Local codes and licensed practice decide; these slides are neither.")}
		add("mind", "What to mind", append(blocks, onSlide(c, []string{"ledger.svg"}, gallery)...)...)
	}
	return d, nil
}

// sectionWith is the section of a part that has a key, or the part itself; nil: none has.
func sectionWith(part *paper.Chapter, key string) *paper.Chapter {
	if part == nil {
		return nil
	}
	if part.Key == key {
		return part
	}
	for i := range part.Chapters {
		if c := &part.Chapters[i]; sectionWith(c, key) != nil {
			return c
		}
	}
	return nil
}

// cautionOf is the first caution of a section, one on a material only where there is no other; nil: it has none.
func cautionOf(c *paper.Chapter) (caution *paper.Caution) {
	for _, b := range c.Blocks {
		one, is := b.(paper.Caution)
		switch {
		case !is:
		case !onMaterial(&one):
			return &one
		case caution == nil:
			caution = &one
		}
	}
	return caution
}

func onMaterial(c *paper.Caution) bool { return c.Word == account.DangerWord(heat.KindMaterial) }

// warns is the first section of a part with a caution, and the caution: one on a material only where there is no other.
func warns(part *paper.Chapter) (section *paper.Chapter, caution *paper.Caution) {
	for i := range part.Chapters {
		one := cautionOf(&part.Chapters[i])
		if one != nil && (caution == nil || onMaterial(caution) && !onMaterial(one)) {
			section, caution = &part.Chapters[i], one
		}
	}
	return section, caution
}

// onSlide is the picture of a section that a slide shows: the first of those that are wanted, else the first; laid out for a slide where it
// can be.
func onSlide(c *paper.Chapter, wanted []string, gallery []Shown) []paper.Block {
	var found *paper.Figure
	at := len(wanted)
	var walk func(c *paper.Chapter)
	walk = func(c *paper.Chapter) {
		for _, b := range c.Blocks {
			f, is := b.(paper.Figure)
			if !is {
				continue
			}
			rank := slices.Index(wanted, path.Base(f.Origin))
			if rank < 0 {
				rank = len(wanted)
			}
			if found == nil || rank < at {
				found, at = &f, rank
			}
		}
		for i := range c.Chapters {
			walk(&c.Chapters[i])
		}
	}
	if walk(c); found == nil {
		return nil
	}
	f := paper.Figure{Says: found.Says, SVG: found.SVG, Origin: found.Origin}
	for i := range gallery {
		if s := &gallery[i]; s.file != "" && s.file == f.Origin && s.Anew {
			if d, err := s.Draw(slidePixels); err == nil {
				f.SVG = d.SVG
			}
		}
	}
	return []paper.Block{f}
}
