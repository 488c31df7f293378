package dossier

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
	axis := &p.Axes[j.Axis]
	switch n := len(l.N); {
	case j.Found.Stops && j.Found.StopsAt == j.Found.PaysTo:
		l.Says = "pays up to " + unbroken(axis.Show(j.Found.PaysTo)) + ", none beyond"
	case j.Found.Stops:
		l.Says = "pays up to " + unbroken(axis.Show(j.Found.PaysTo)) + ", none from " + unbroken(axis.Show(j.Found.StopsAt)) + " on"
	case n > 0 && j.Found.PaysTo == l.N[n-1]:
		l.Says = "each pays, to the end of the range"
	default:
		l.Says = "where it stops is not within this range, or hidden"
	}
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
