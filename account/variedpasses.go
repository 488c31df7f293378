package account

import (
	"math"

	"emberbank/answer"
	"emberbank/figure"
)

// passes draws where more of what is counted stops paying: one picture for each axis, quantity and worth, a line for each
// response.
func (p *variedPictures) passes() {
	type kind struct {
		axis  int
		unit  string
		worth float64
	}
	var kinds []kind
	together := map[kind][]int{} // answers; looked up by kinds
	for i := range p.Answers {
		j := p.Answers[i].Pays
		if j == nil {
			continue
		}
		k := kind{j.Axis, p.Responses[j.Response].unit(), j.Worth}
		if together[k] == nil {
			kinds = append(kinds, k)
		}
		together[k] = append(together[k], i)
	}
	for _, k := range kinds {
		var all [][]float64
		for _, i := range together[k] {
			j := p.Answers[i].Pays
			all = append(all, j.Points.Y)
			for _, c := range j.Control {
				all = append(all, []float64{c.Low, c.High})
			}
		}
		of := &p.Responses[p.Answers[together[k][0]].Pays.Response]
		m := measureOf(of, all...)
		var lines []figure.PassLine
		controlled := false
		alike := map[int]int{} // lines of each response; looked up alone
		for _, i := range together[k] {
			alike[p.Answers[i].Pays.Response]++
		}
		for _, i := range together[k] {
			l := p.passLine(&p.Answers[i], m)
			if j := p.Answers[i].Pays; alike[j.Response] > 1 && len(j.Group) > 0 { // for several values of other axes
				l.Name += ", " + p.place(&p.Variants[j.Group[0]], j.Axis)
			}
			lines = append(lines, l)
			controlled = controlled || p.Answers[i].Pays.Control != nil
		}
		count := p.axis(k.axis, nil)
		flow := figure.Studied{Name: map[bool]string{true: "heat flow", false: "response"}[of.unit() == "W"], Unit: m.unit}
		worth := figure.Limit{At: m.width(k.worth), Says: "one more must bring " + of.Amount(k.worth, true)}
		says := []string{"Heavy steps are shown to pay, dashed ones are left open by the uncertainty, thin ones are shown not to."}
		if controlled {
			says = append(says, "Bars: the range in which each number can be controlled.")
		}
		title := p.Name + ": where more " + count.Name + " stop paying"
		word := ""
		if len(kinds) > 1 {
			word = count.Name
		}
		p.add("passes", word, func() []byte { return figure.Passes(title, says, count, flow, worth, lines) })
	}
}

// passLine is the line of one response with its steps.
func (p *variedPictures) passLine(a *VariedAnswer, m measure) figure.PassLine {
	j := a.Pays
	l := figure.PassLine{Name: p.Responses[j.Response].Name, N: j.Points.X, Q: m.all(j.Points.Y), PaysTo: j.Found.PaysTo, StopsAt: math.NaN()}
	if j.Found.Stops {
		l.StopsAt = j.Found.StopsAt
	}
	l.Says = paysWords(&j.Found, l.N, func(n float64) string { return unbroken(p.Axes[j.Axis].Show(n)) })
	for _, g := range j.Found.Gains {
		one := figure.PassGain{From: g.From, To: g.To, Each: m.width(g.PerPass), Half: m.width(1.96 * g.U)}
		switch g.Pays {
		case answer.Pays:
			one.Pays = figure.DoesPay
		case answer.PaysNo:
			one.Pays = figure.DoesNotPay
		}
		l.Gains = append(l.Gains, one)
	}
	if j.Control != nil {
		l.Low, l.Most = missing(len(l.N)), missing(len(l.N))
		at := placesOf(l.N)
		for _, c := range j.Control {
			if k, ok := at[c.At]; ok {
				l.Low[k], l.Most[k] = m.of(c.Low), m.of(c.High)
			}
		}
	}
	return l
}

// paysWords is the verdict in a few words; numbers are those of the steps' ends, rising.
func paysWords(f *answer.Paying, numbers []float64, show func(float64) string) string {
	if len(numbers) == 0 {
		return ""
	}
	some := f.PaysTo > numbers[0]
	upTo := "pays up to " + show(f.PaysTo)
	switch {
	case f.Stops && !some && f.StopsAt == numbers[0]:
		return "none is worth it"
	case f.Stops && !some:
		return "none from " + show(f.StopsAt) + " on pays; before, the uncertainty leaves it open"
	case f.Stops && f.StopsAt == f.PaysTo:
		return upTo + ", none beyond"
	case f.Stops:
		return upTo + ", none from " + show(f.StopsAt) + " on; between, the uncertainty leaves it open"
	case f.PaysTo == numbers[len(numbers)-1]:
		return "each pays, to the end of the range"
	case some:
		return upTo + "; beyond, the uncertainty leaves it open"
	}
	return "the uncertainty leaves open whether one more pays"
}
