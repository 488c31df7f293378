package press

import (
	"fmt"

	"emberbank/paper"
)

// A slide is as wide to its height as screens are, 16 to 9; in points.
const (
	slideWide  = 254 * mm
	slideTall  = slideWide * 9 / 16
	slideEdge  = 13 * mm
	slideWords = 82 * mm // of the column of words; the picture stands to its right
	slideGap   = 9 * mm
	slideType  = 8.0 // pt, the least letters of a picture
)

// Hands of a slide.
var (
	slideAsks   = hand{italic, 15, 19, ink2}
	slideSays   = hand{upright, 21, 27, ink}
	slideNotes  = hand{upright, 12, 16, ink}
	slideSource = hand{upright, 8.5, 11, ink2}
)

// slides sets each chapter on a page of its own: the question, its answer in one sentence, and one picture with where it comes from.
func (j *job) slides() (pages []*leaf) {
	for i := range j.doc.Chapters {
		p := &leaf{pen: &pen{letters: j.letters, veils: &j.veils}}
		pages = append(pages, p)
		j.slide(p, &j.doc.Chapters[i])
		number := j.set(plainText(fmt.Sprintf("%d of %d", i+1, len(j.doc.Chapters))), slideSource, 1e6)
		number[0].draw(p, slideWide-slideEdge-number[0].wide, 7*mm)
		title := j.cut(j.doc.Title, slideSource, slideWide/2)
		title.draw(p, slideEdge, 7*mm)
	}
	return pages
}

// slide sets one.
func (j *job) slide(p *leaf, c *paper.Chapter) {
	for _, share := range []float64{1, 0.85, 0.7, 0.6} { // of the size of words; many words are set smaller
		words := &leaf{pen: &pen{letters: j.letters, veils: &j.veils}}
		if foot := j.slideColumn(words, c, share); foot > 12*mm || share == 0.6 {
			p.op(words.b.String())
			p.links = words.links
			break
		}
	}
	for _, b := range c.Blocks {
		if f, is := b.(paper.Figure); is {
			j.slidePicture(p, &f)
		}
	}
}

// slideColumn sets the words of a slide and returns where they end.
func (j *job) slideColumn(p *leaf, c *paper.Chapter, share float64) float64 {
	y := slideTall - slideEdge
	put := func(t paper.Text, h hand, x, width, before float64) {
		y -= before
		h.size, h.leading = share*h.size, share*h.leading
		for _, l := range j.set(t, h, width) {
			l.draw(p, x, y-0.76*h.leading)
			y -= h.leading
		}
	}
	put(plainText(c.Title), slideAsks, slideEdge, slideWords, 0)
	first := true
	for _, b := range c.Blocks {
		switch b := b.(type) {
		case paper.Paragraph:
			h := slideNotes
			if first {
				h = slideSays
			}
			first = false
			put(b.Says, h, slideEdge, slideWords, 9)
		case paper.Caution:
			first = false
			from := y - 9
			says := b.Says
			if b.Word != "" {
				says = append(paper.Text{{Text: paper.Sentence(b.Word) + " ", Style: paper.Strong}}, says...)
			}
			put(says, hand{upright, 15, 20, ink}, slideEdge+5*mm, slideWords-5*mm, 9)
			p.bar(slideEdge, y, 3.4, from-y, sign)
		}
	}
	return y
}

// slidePicture sets a picture into the right part of a slide, as large as there is room.
func (j *job) slidePicture(p *leaf, f *paper.Figure) {
	of, err := paper.ReadPicture(f.SVG)
	if err != nil {
		j.wrong = fmt.Errorf("setting a slide: %w", err)
		return
	}
	left, foot := slideEdge+slideWords+slideGap, 18*mm
	wide, tall := slideWide-slideEdge-left, slideTall-slideEdge-foot
	points := min(wide/of.Width, tall/of.Height)
	p.shades = &j.shades
	p.save()
	p.turn(matrix{1, 0, 0, 1, left + (wide-points*of.Width)/2, slideTall - slideEdge})
	letter, err := j.slideLetters(of, points)
	if err != nil {
		j.wrong = fmt.Errorf("setting a slide: %w", err)
		return
	}
	if err := newDrawing(of, p.pen, j.letters, letter).all(of, points, 5*mm); err != nil {
		j.wrong = fmt.Errorf("setting a slide: %w", err)
	}
	p.restore()
	if f.Origin != "" {
		from := j.set(paper.Text{{Text: "From ", Style: paper.Pale}, {Text: f.Origin, Style: paper.Code, Origin: f.Origin}}, slideSource, wide)
		for i := range from {
			from[i].draw(p, left, 13*mm-float64(i)*slideSource.leading)
		}
	}
}

// slideLetters is how large the letters of a picture are set on a slide: as large as slideType asks, or as they have room.
func (j *job) slideLetters(of *paper.Picture, points float64) (func(size float64) float64, error) {
	before, err := measured(of, j.letters, points, grown(1))
	if err != nil {
		return nil, err
	}
	for least := slideType; ; least-- {
		letter := func(size float64) float64 { return max(size, least/points) }
		after, err := measured(of, j.letters, points, letter)
		if err != nil {
			return nil, err
		}
		if one, _ := crowded(of, before, after, points); one == "" || least < LeastType {
			return letter, nil
		}
	}
}
