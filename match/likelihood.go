package match

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// likelihood is R of the noise at the present settings for given differences and derivatives, with the priors.
type likelihood struct {
	groups []*group
	r      []float64
	cols   [][]float64
	priors []Prior
	x      []float64
	even   []float64 // B: the precision that a parameter's bounds alone give; nil: none
	held   []bool    // parameters that a bound holds, which no linear picture moves; nil: none
	knobs  []knob

	workers int
}

// likelihoodAt is the likelihood at a solution, with the noise as it stands.
func (m *model) likelihoodAt(s Solution) *likelihood {
	l := &likelihood{
		groups: m.groups, r: s.Differences, cols: s.Columns, priors: m.priors(), x: s.X, workers: m.opt.Workers,
		even: make([]float64, len(s.X)), held: make([]bool, len(s.X)),
	}
	for j, p := range m.problem.Parameters {
		l.even[j] = 12 / ((p.Upper - p.Lower) * (p.Upper - p.Lower))
		l.held[j] = s.AtBound[j] != 0
	}
	l.knobs = knobs(l.groups)
	return l
}

// copied is the same likelihood with noise and knobs of its own.
func (l *likelihood) copied() *likelihood {
	c := *l
	c.groups = make([]*group, len(l.groups))
	for i, g := range l.groups {
		own := *g
		own.noise = g.noise.copied()
		c.groups[i] = &own
	}
	c.knobs = knobs(c.groups)
	return &c
}

func (n Noise) copied() Noise {
	n.White, n.Lasting, n.Slow = append([]float64(nil), n.White...), append([]float64(nil), n.Lasting...), append([]float64(nil), n.Slow...)
	return n
}

// settings returns ln φ; set puts it in.
func (l *likelihood) settings() []float64 {
	out := make([]float64, len(l.knobs))
	for i, k := range l.knobs {
		out[i] = math.Log(*k.at)
	}
	return out
}

func (l *likelihood) set(z []float64) {
	for i, k := range l.knobs {
		*k.at = math.Exp(min(max(z[i], k.lowest), k.highst))
	}
}

// weighed returns the weighed differences and derivatives with the rows of the priors, and ln|Σ|/2.
func (l *likelihood) weighed() (r []float64, cols [][]float64, halfLogDet float64) {
	all := make([][]float64, 1+len(l.cols))
	room := len(l.r) + len(l.priors)
	for i := range all {
		from := l.r
		if i > 0 {
			from = l.cols[i-1]
		}
		all[i] = append(make([]float64, 0, room), from...)
	}
	halfLogDet = weighAll(l.groups, all)
	for _, p := range l.priors {
		all[0] = append(all[0], (l.x[p.Index]-p.Mean)/p.SD)
		for j := range l.cols {
			g := 0.0
			if j == p.Index {
				g = 1 / p.SD
			}
			all[j+1] = append(all[j+1], g)
		}
	}
	return all[0], all[1:], halfLogDet
}

// here returns R at x itself.
func (l *likelihood) here() float64 { return l.value(false) }

// ahead returns R at the place to which the linear picture of the differences leads from x, as if the derivatives held
// there: the least over the parameters that no bound holds. It needs no run.
func (l *likelihood) ahead() float64 { return l.value(true) }

func (l *likelihood) value(ahead bool) float64 {
	r, cols, out := l.weighed()
	n := len(cols)
	length := make([]float64, n)
	for i := range n {
		if length[i] = math.Sqrt(dot(cols[i], cols[i])); length[i] == 0 {
			length[i] = 1
		}
		out += math.Log(length[i])
	}
	normal, free := mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
	right := mat.NewVecDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			v := dot(cols[i], cols[j]) / (length[i] * length[j])
			if i != j {
				normal.SetSym(i, j, v)
				if l.held == nil || !l.held[i] && !l.held[j] {
					free.SetSym(i, j, v)
				}
				continue
			}
			free.SetSym(i, i, v+1e-12) // a direction without information stays where it is
			if l.even != nil {
				v += l.even[i] / (length[i] * length[i])
			}
			normal.SetSym(i, i, v+1e-12)
		}
		if l.held == nil || !l.held[i] {
			right.SetVec(i, dot(cols[i], r)/length[i])
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(normal) {
		return math.Inf(1)
	}
	out += 0.5*chol.LogDet() + half(r)
	if ahead {
		var b mat.VecDense
		if !chol.Factorize(free) {
			return math.Inf(1)
		}
		if err := chol.SolveVecTo(&b, right); err != nil {
			return math.Inf(1)
		}
		out -= 0.5 * mat.Dot(right, &b)
	}
	for _, k := range l.knobs {
		z := (math.Log(*k.at) - k.guess) / k.wide
		out += 0.5 * z * z
	}
	return out
}

// values computes R ahead for several settings, several at a time. The settings of l itself stay.
func (l *likelihood) values(list [][]float64) []float64 {
	out := make([]float64, len(list))
	w := min(max(l.workers, 1), len(list))
	each(w, w, func(k int) {
		own := l.copied()
		for i := k; i < len(list); i += w {
			own.set(list[i])
			out[i] = own.ahead()
		}
	})
	return out
}
