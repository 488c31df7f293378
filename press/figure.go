package press

import (
	"fmt"

	"emberbank/paper"
)

// figure sets a picture with its words below it; both stay together.
func (j *job) figure(f *paper.Figure, p *paper.Piece) {
	picture, err := paper.ReadPicture(f.SVG)
	if err != nil {
		j.fault(p, err)
		return
	}
	says := append(paper.Text{{Text: "Figure\u00a0" + p.Label.Number + ".", Style: paper.Strong}, {Text: " "}}, f.Says...)
	if f.Origin != "" {
		says = append(says, paper.Span{Text: " From ", Style: paper.Pale}, paper.Span{Text: f.Origin, Style: paper.Code, Origin: f.Origin}, paper.Span{Text: ".", Style: paper.Pale})
	}
	words := j.set(says, j.small, textWide)
	below := belowPicture(words, j.small)
	wide := f.Printed(picture) * mm
	tall := wide * picture.Height / picture.Width
	if most := room - below; tall > most {
		wide, tall = wide*most/tall, most
	}
	r, err := j.pictured(picture, words, wide)
	if err != nil {
		j.fault(p, err)
		return
	}
	r.smaller = func(most float64) *row {
		to := (most - below) / tall
		if to < leastShare {
			return nil
		}
		small, err := j.pictured(picture, words, wide*to)
		if err != nil { // it was drawn once already
			return nil
		}
		return &small
	}
	j.add(r)
}

// leastShare is how much smaller a figure is set at the most so that it goes on a page; its letters keep paper.LeastLetter.
const leastShare = 0.86

// pictured is a picture of a width with its words below it, as a row.
func (j *job) pictured(picture *paper.Picture, words []line, wide float64) (row, error) {
	tall := wide * picture.Height / picture.Width
	x := textLeft
	if wide > textWide+0.01 {
		x = left
	}
	drawn := pen{letters: j.letters, veils: &j.veils}
	if err := drawn.draw(picture, &j.shades, wide); err != nil {
		return row{}, err
	}
	content, h := drawn.b.String(), j.small
	return row{before: 14, height: tall + belowPicture(words, h), floats: true, draw: func(l *leaf, y float64) {
		l.save()
		l.turn(matrix{1, 0, 0, 1, x, y})
		l.op(content)
		l.restore()
		for i := range words {
			words[i].draw(l, textLeft, y-tall-5-0.76*h.leading-float64(i)*h.leading)
		}
	}}, nil
}

// belowPicture is the room that a picture's words take.
func belowPicture(words []line, h hand) float64 { return 5 + h.leading*float64(len(words)) + 8 }

func (j *job) fault(p *paper.Piece, err error) {
	if j.wrong == nil {
		j.wrong = fmt.Errorf("setting figure %s: %w", p.Label.Number, err)
	}
}
