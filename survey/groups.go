package survey

import (
	"math"
	"strings"

	"emberbank/account"
	"emberbank/answer"
	"emberbank/bench"
)

// group is the variants of a sweep that differ in one axis only, by its rising values.
type group struct {
	variants []int
	others   string // the values of the other axes: "film 10 W/(m² K), depth 80 mm"; "": there are none
}

// groups are the variants over an axis, for each combination of the values of the others, in the order of the design. held
// are axes that stay at one of their levels, by its number.
func (w *working) groups(over int, held map[int]int64) []group {
	axes := w.Asked.Axes
	stride := make([]int64, len(axes))
	n := int64(1)
	for k := len(axes) - 1; k >= 0; k-- {
		stride[k] = n
		n *= axes[k].Levels.Len()
	}
	var out []group
	level := make([]int64, len(axes))
	var lay func(k int)
	lay = func(k int) {
		switch {
		case k == len(axes):
			g := group{}
			first := int64(0)
			var others []string
			for i, l := range level {
				first += l * stride[i]
				if i != over {
					others = append(others, axes[i].Name+" "+axes[i].Show(axes[i].Levels.Value(l)))
				}
			}
			for l := range axes[over].Levels.Len() {
				g.variants = append(g.variants, int(first+l*stride[over]))
			}
			g.others = strings.Join(others, ", ")
			out = append(out, g)
		case k == over:
			level[k] = 0
			lay(k + 1)
		default:
			if at, ok := held[k]; ok {
				level[k] = at
				lay(k + 1)
				return
			}
			for l := range axes[k].Levels.Len() {
				level[k] = l
				lay(k + 1)
			}
		}
	}
	lay(0)
	return out
}

// held are the axes that an answer holds: a control stands at its upper end.
func (w *working) held(a bench.StudyAnswer) map[int]int64 {
	if a.Pays == nil || a.Pays.Control < 0 {
		return nil
	}
	return map[int]int64{a.Pays.Control: w.Asked.Axes[a.Pays.Control].Levels.Len() - 1}
}

// measured is a response over the axis of a group, as answers take it.
type measured struct {
	answer.Response
	group   []int // the variants with values
	missing int
	inputs  []string
	half    []float64 // at 95 %; nil: nothing is known
	told    bool      // the uncertainty from computing is known
}

// measure gathers what is known of a response over an axis.
func (w *working) measure(v *account.Varied, a bench.StudyAnswer, response int, g group, b *beside) measured {
	m := measured{Response: answer.Response{Neighbour: answer.Unknown}}
	var fromTwins []float64
	if twinned(a) {
		fromTwins = b.between(g.variants, response)
	}
	effects := make([][]float64, len(b.effects))
	for k, i := range g.variants {
		o := &v.Variants[i]
		missing := o.Failure != "" || math.IsNaN(o.Values[response])
		for _, e := range b.effects {
			missing = missing || math.IsNaN(e[i][response])
		}
		if missing {
			m.missing++
			continue
		}
		m.group = append(m.group, i)
		m.X, m.Y = append(m.X, o.At[a.Axis]), append(m.Y, o.Values[response])
		switch {
		case fromTwins != nil:
			m.U = append(m.U, fromTwins[k])
		case !twinned(a) && !math.IsNaN(a.Computing):
			m.U = append(m.U, a.Computing)
		}
		for j, e := range b.effects {
			effects[j] = append(effects[j], e[i][response])
		}
	}
	m.told = m.U != nil
	for j, u := range b.inputs {
		if j < len(effects) {
			m.Inputs, m.inputs = append(m.Inputs, effects[j]), append(m.inputs, u.Path)
		}
	}
	if m.told || len(m.Inputs) > 0 {
		m.half = halves(m.Response)
	}
	return m
}

// halves are the half-widths of a response's values at 95 %, from computing and from inputs.
func halves(r answer.Response) []float64 {
	out := make([]float64, len(r.X))
	for i := range out {
		sum := 0.0
		if r.U != nil {
			sum = r.U[i] * r.U[i]
		}
		for _, c := range r.Inputs {
			sum += c[i] * c[i]
		}
		out[i] = 1.96 * math.Sqrt(sum)
	}
	return out
}
