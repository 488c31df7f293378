package survey

import (
	"fmt"
	"math"

	"emberbank/account"
	"emberbank/answer"
	"emberbank/bench"
)

// payConfidence is that of each statement on a gain.
const payConfidence = 0.95

// payings says, for each response and each combination of the other axes, where more of what is counted stops paying.
func (w *working) payings(v *account.Varied, a bench.StudyAnswer, b *beside) (out []account.VariedAnswer) {
	for _, response := range a.Pays.Responses {
		for _, g := range w.groups(a.Axis, w.held(a)) {
			out = append(out, w.paying(v, a, response, g, b))
		}
	}
	return out
}

// paying judges one response over the count.
func (w *working) paying(v *account.Varied, a bench.StudyAnswer, response int, g group, b *beside) account.VariedAnswer {
	names := w.names(v, a.Axis, response)
	out := account.VariedAnswer{Question: fmt.Sprintf("Where do more %s stop paying, by %s?", names.Axis, names.Response), Verdict: answer.Open.String()}
	if g.others != "" {
		out.Question += " With " + g.others
	}
	m := w.measure(v, a, response, g, b)
	p, err := answer.PassesPay(m.Response, a.Pays.Worth, payConfidence)
	if err != nil {
		out.Sentences = []string{"It cannot be judged: " + err.Error() + "."}
		return out
	}
	found := &account.VariedPays{Axis: a.Axis, Response: response, Worth: a.Pays.Worth, Group: m.group, Points: m.Response, Found: p}
	if a.Pays.Control >= 0 {
		found.Control = w.control(v, a, response, m.group)
	}
	out.Pays = found
	switch last := p.Gains[len(p.Gains)-1]; {
	case p.Stops && p.StopsAt == p.PaysTo:
		out.Verdict = fmt.Sprintf("pays to %g", p.PaysTo)
	case p.PaysTo == last.To:
		out.Verdict = "pays to the end of the range"
	}
	out.Sentences = append(out.Sentences, fmt.Sprintf("One more has to bring at least %s.", names.D(a.Pays.Worth)), p.Sentence(names.Axis, names.D))
	if found.Control != nil {
		c := w.Asked.Axes[a.Pays.Control]
		out.Sentences = append(out.Sentences, fmt.Sprintf("The control range is that between %s %s and %s; gains are those at the latter.", c.Name, c.Show(c.Levels.Value(0)), c.Show(c.Levels.Value(c.Levels.Len()-1))))
	}
	if !m.told {
		out.Sentences = append(out.Sentences, "The gains are taken as exact from grid and time step.")
	}
	out.Sentences = append(out.Sentences, w.caveats(v, a, b, g, m, names.D)...)
	out.Table = gainTable(names, found)
	return out
}

// control is the range of a response between the ends of the control axis, for each variant at its upper end.
func (w *working) control(v *account.Varied, a bench.StudyAnswer, response int, group []int) (out []account.VariedControl) {
	axes := w.Asked.Axes
	stride := 1
	for k := len(axes) - 1; k > a.Pays.Control; k-- {
		stride *= int(axes[k].Levels.Len())
	}
	back := stride * int(axes[a.Pays.Control].Levels.Len()-1)
	for _, i := range group {
		c := account.VariedControl{At: v.Variants[i].At[a.Axis], Low: math.NaN(), High: v.Variants[i].Values[response]}
		if o := &v.Variants[i-back]; o.Failure == "" {
			c.Low = o.Values[response]
		}
		out = append(out, c)
	}
	return out
}

// gainTable is a row for each number of what is counted.
func gainTable(n answer.Names, p *account.VariedPays) [][]string {
	head := []string{n.Axis, n.Response, "each one more", ""}
	if p.Control != nil {
		head = append(head, "control range")
	}
	rows := [][]string{head}
	for i, x := range p.Points.X {
		row := []string{n.X(x), n.Y(p.Points.Y[i]), "", ""}
		if i > 0 {
			g := p.Found.Gains[i-1]
			row[2], row[3] = n.D(g.PerPass), g.Pays.String()
			if g.U > 0 {
				row[2] += " ± " + rough(n.D)(g.U)
			}
		}
		if p.Control != nil {
			c := p.Control[i]
			if math.IsNaN(c.Low) {
				row = append(row, "not known")
			} else {
				row = append(row, n.Y(c.Low)+" to "+n.Y(c.High))
			}
		}
		rows = append(rows, row)
	}
	return rows
}
