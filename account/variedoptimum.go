package account

import (
	"math"

	"emberbank/figure"
)

// optima draws what a search for one aim came to: its variants over each axis, the best, and how far it may move.
func (p *variedPictures) optima() {
	for i := range p.Answers {
		a := &p.Answers[i]
		j := a.Optimum
		if j == nil {
			continue
		}
		values := p.values(j.Response)
		m := measureOf(&p.Responses[j.Response], values)
		fate := make([]figure.Fate, len(values))
		for k := range p.Variants {
			fate[k] = p.fate(&p.Variants[k], j.Response)
		}
		var panels []figure.Searched
		for k := range p.Axes {
			s := figure.Searched{Axis: p.axis(k, p.levels(k)), X: make([]float64, len(values)), Low: math.NaN(), High: math.NaN()}
			for n := range p.Variants {
				s.X[n] = p.drawnAt(k, p.Variants[n].At[k])
			}
			if k < len(j.Rooms) {
				s.Low, s.High = p.drawnAt(k, j.Rooms[k].Low), p.drawnAt(k, j.Rooms[k].High)
			}
			panels = append(panels, s)
		}
		best := j.Best
		if !j.Met {
			best = -1 // what comes nearest is not called the best
		}
		title, says := a.Question, first(a.Sentences, 2)
		of, y, limits := p.response(j.Response, m), m.all(values), p.limits(j.Response, m)
		p.add("search", p.Responses[j.Response].Name, func() []byte { return figure.Optimum(title, says, of, y, fate, best, limits, panels) })
	}
}
