package account

import (
	"fmt"
	"math"

	"emberbank/answer"
	"emberbank/figure"
)

// spreads draws the distribution of each response of a sample.
func (p *variedPictures) spreads() {
	for i := range p.Answers {
		a := &p.Answers[i]
		if a.Spread == nil {
			continue
		}
		j := a.Spread
		values := make([]float64, len(j.Of))
		for n, k := range j.Of {
			values[n] = p.Variants[k].value(j.Response)
		}
		m := measureOf(&p.Responses[j.Response], values)
		s := figure.Spreading{Of: p.response(j.Response, m), Values: m.all(values), Limits: p.limits(j.Response, m)}
		for _, q := range j.Quantiles {
			s.Quantiles = append(s.Quantiles, figure.Quantile{Share: q.Share, At: figure.Share{Value: m.of(q.Value), Low: m.of(q.Low), High: m.of(q.High)}})
		}
		s.Mean = figure.Share{Value: m.of(j.Spread.Mean), Low: m.of(j.MeanLow), High: m.of(j.MeanHigh)}
		for k := range s.Limits {
			s.Limits[k].Says += ": " + kept(s.Limits[k], s.Values)
		}
		title, says := a.Question, first(a.Sentences, 2)
		says = append(says, fmt.Sprintf("%d of %d draws have a value. Below: quantiles and mean with their intervals at 95\u2009%%.", j.Spread.Count(), len(j.Of)))
		p.add("spread", p.Responses[j.Response].Name, func() []byte { return figure.Spread(title, says, s) })
	}
}

// kept says how many of the draws with a value keep within a limit.
func kept(l figure.Limit, values []float64) string {
	n, of := 0, 0
	for _, v := range values {
		if math.IsNaN(v) {
			continue
		}
		of++
		if l.Most && v <= l.At || !l.Most && v >= l.At {
			n++
		}
	}
	if of == 0 {
		return "no draw has a value"
	}
	return figure.Percent(float64(n)/float64(of)) + " of the draws"
}

// sensitivities draws which inputs are behind the spread of the responses, all on one sheet.
func (p *variedPictures) sensitivities() {
	var panels []figure.Influences
	for i := range p.Answers {
		j := p.Answers[i].Sensitivity
		if j == nil {
			continue
		}
		r := &p.Responses[j.Response]
		one := figure.Influences{
			Response: r.Name,
			Says:     fmt.Sprintf("mean %s, standard deviation %s, %d rows", r.Amount(j.Found.Mean, false), r.Amount(j.Found.SD, true), j.Found.Rows),
		}
		for k, axis := range j.Inputs {
			one.All = append(one.All, figure.Influence{Input: p.Axes[axis].Name, Alone: share(j.Found.First, k), With: share(j.Found.Total, k)})
		}
		panels = append(panels, one)
	}
	if len(panels) == 0 {
		return
	}
	p.add("sensitivity", "", func() []byte {
		return figure.Sensitivity(p.Name+": what is behind the spread",
			[]string{"Share of the variance. Dark: what an input does alone (first-order index). Pale: with all that it does together with others (total index). Lines: intervals at 95\u2009%."}, panels)
	})
}

func share(all []answer.Index, k int) figure.Share {
	if k >= len(all) {
		return figure.Share{Value: math.NaN(), Low: math.NaN(), High: math.NaN()}
	}
	return figure.Share{Value: all[k].Value, Low: all[k].Low, High: all[k].High}
}
