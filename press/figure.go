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
	below := 5 + j.small.leading*float64(len(words)) + 8
	wide := f.Printed(picture) * mm
	tall := wide * picture.Height / picture.Width
	if most := room - below; tall > most {
		wide, tall = wide*most/tall, most
	}
	x := textLeft
	if wide > textWide+0.01 {
		x = left
	}
	drawn := pen{letters: j.letters, veils: &j.veils}
	if err := drawn.draw(picture, &j.shades, wide); err != nil {
		j.fault(p, err)
		return
	}
	content := drawn.b.String()
	j.add(row{before: 14, height: tall + below, floats: true, draw: func(l *leaf, y float64) {
		l.save()
		l.turn(matrix{1, 0, 0, 1, x, y})
		l.op(content)
		l.restore()
		for i := range words {
			words[i].draw(l, textLeft, y-tall-5-0.76*j.small.leading-float64(i)*j.small.leading)
		}
	}})
}

func (j *job) fault(p *paper.Piece, err error) {
	if j.wrong == nil {
		j.wrong = fmt.Errorf("setting figure %s: %w", p.Label.Number, err)
	}
}
