package account

import (
	"fmt"
	"math"

	"emberbank/answer"
	"emberbank/figure"
)

// fronts draws the variants of a search between two aims.
func (p *variedPictures) fronts() {
	for i := range p.Answers {
		a := &p.Answers[i]
		if a.Front == nil {
			continue
		}
		f := p.front(a.Front)
		title, says := a.Question, first(a.Sentences, 2)
		p.add("front", "", func() []byte { return figure.Pareto(title, says, f) })
	}
}

func (p *variedPictures) front(j *VariedFront) figure.Front {
	var m [2]measure
	for k, r := range j.Responses {
		m[k] = measureOf(&p.Responses[r], p.values(r))
	}
	f := figure.Front{X: p.response(j.Responses[0], m[0]), Y: p.response(j.Responses[1], m[1]), MostX: j.Most[0], MostY: j.Most[1]}
	for k := range f.Half {
		if u := m[k].width(1.96 * j.U[k]); u > 0 && !math.IsInf(u, 0) {
			f.Half[k] = u
		}
	}
	n := len(p.Variants)
	f.A, f.B = m[0].all(p.values(j.Responses[0])), m[1].all(p.values(j.Responses[1]))
	f.Standing, f.Fate = make([]figure.Standing, n), make([]figure.Fate, n)
	for i := range p.Variants {
		f.Fate[i] = figure.Misses // what is not compared misses a constraint or has no value
		if math.IsNaN(f.A[i] + f.B[i]) {
			f.Fate[i] = figure.Failed
		}
	}
	for k, i := range j.Of {
		f.Fate[i] = figure.Meets
		switch j.Found.Standing[k] {
		case answer.OnFront:
			f.Standing[i] = figure.Undefeated
		case answer.Uncertain:
			f.Standing[i] = figure.Untold
		case answer.NoValue:
			f.Fate[i] = figure.Failed
		}
	}
	for _, k := range j.Found.Order {
		f.Order = append(f.Order, j.Of[k])
	}
	if k := len(f.Order); k > 0 {
		ends := []int{f.Order[0]}
		if k > 1 {
			ends = append(ends, f.Order[k-1])
		}
		for e, i := range ends {
			f.Chosen = append(f.Chosen, figure.Chosen{A: f.A[i], B: f.B[i], Says: p.endOf(j, e, i)})
		}
	}
	if p.Present != nil {
		f.Chosen = append(f.Chosen, figure.Chosen{A: m[0].of(p.Present.value(j.Responses[0])), B: m[1].of(p.Present.value(j.Responses[1])), Says: "present design", Present: true})
	}
	return f
}

// endOf names an end of the front: the best in the first aim, or in the second.
func (p *variedPictures) endOf(j *VariedFront, end, variant int) string {
	which := "least "
	if j.Most[end] {
		which = "most "
	}
	return fmt.Sprintf("%s%s: variant %d, %s", which, p.Responses[j.Responses[end]].Name, variant+1, p.place(&p.Variants[variant]))
}
