package match

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// The sizes and times of Noise are those that make the restricted likelihood of the differences largest. With r the
// differences, J their derivatives by the parameters, both at the present x, Σ the covariance that the sizes give and
// the priors of the parameters as further rows,
//
//	2 L = ln|Σ| + ln|JᵀΣ⁻¹J| + rᵀ Σ⁻¹ r − |the part of Σ^(-½) r that lies along Σ^(-½) J|²
//
// is least. What the parameters take up is left out by the last two terms, so that the sizes are not found too small
// because parameters were fitted. J holds for small moves; no run is needed. Beside the likelihood each size has a
// weak prior: its logarithm is normal around that of a guess with a standard deviation of 1.5 (white noise: 0.5 around
// what is stated), and so is that of a time around a share of the trial's length; that keeps a size that a few rows can
// hardly tell from running to zero, which would make intervals too narrow. The guesses are our own practice.
//
// Source: H. D. Patterson, R. Thompson, "Recovery of inter-block information when block sizes are unequal",
// Biometrika 58 (1971) 545-554.

// knob is one size or time of the noise, by its logarithm.
type knob struct {
	at             *float64
	guess, wide    float64 // of the logarithm
	lowest, highst float64 // of the logarithm
}

// knobs lists what may be turned, in a fixed order.
func knobs(groups []*group) []knob {
	var out []knob
	add := func(at *float64, guess, wide, lowest, highest float64) {
		out = append(out, knob{at, math.Log(guess), wide, math.Log(lowest), math.Log(highest)})
	}
	for _, g := range groups {
		n := &g.noise
		for i := range n.White {
			w, d := g.stated[i], g.guess(i)
			add(&n.White[i], w, 0.5, w*0.1, w*10)
			add(&n.Lasting[i], max(w, 0.3*d), 1.5, w*1e-2, w*1e2)
			add(&n.Slow[i], d, 1.5, d*1e-2, d*1e2)
		}
		add(&n.Time, max(0.03*g.length, 2*g.step), 1, g.step, g.length)
		add(&n.SlowTime, 0.4*g.length, 0.7, 0.05*g.length, 4*g.length)
		if len(n.White) > 1 {
			c := 0.0
			for i := range n.White {
				c += g.guess(i) / float64(len(n.White))
			}
			add(&n.Common, c, 1.5, c*1e-2, c*1e2)
		}
	}
	return out
}

// guess is the departure of a column before anything is known: its stated noise, but at least a three-hundredth of
// what it spans, since no model is better than that for long.
func (g *group) guess(i int) float64 { return max(g.stated[i], g.span[i]/300) }

// begin sets the noise to the guesses.
func (g *group) begin() {
	m := len(g.columns)
	g.noise = Noise{White: make([]float64, m), Lasting: make([]float64, m), Slow: make([]float64, m)}
	for _, k := range knobs([]*group{g}) {
		*k.at = math.Exp(k.guess)
	}
}

// likelihood is L of the noise at the present settings for given differences and derivatives, with the priors.
type likelihood struct {
	groups []*group
	r      []float64
	cols   [][]float64
	priors []Prior
	x      []float64
	knobs  []knob
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

// value returns L, to be made least.
func (l *likelihood) value() float64 {
	r, cols, out := l.weighed()
	n := len(cols)
	normal := mat.NewSymDense(n, nil)
	length := make([]float64, n)
	for i := range n {
		if length[i] = math.Sqrt(dot(cols[i], cols[i])); length[i] == 0 {
			length[i] = 1
		}
		out += math.Log(length[i])
	}
	right := mat.NewVecDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			v := dot(cols[i], cols[j]) / (length[i] * length[j])
			if i == j {
				v += 1e-12 // a direction without information stays where it is
			}
			normal.SetSym(i, j, v)
		}
		right.SetVec(i, dot(cols[i], r)/length[i])
	}
	var chol mat.Cholesky
	if !chol.Factorize(normal) {
		return math.Inf(1)
	}
	out += 0.5 * chol.LogDet()
	var b mat.VecDense
	if err := chol.SolveVecTo(&b, right); err != nil {
		return math.Inf(1)
	}
	out += 0.5*dot(r, r) - 0.5*mat.Dot(right, &b)
	for _, k := range l.knobs {
		z := (math.Log(*k.at) - k.guess) / k.wide
		out += 0.5 * z * z
	}
	return out
}

// tune turns the knobs until L no longer falls: each in turn by a parabola through three settings, with a step that
// adapts, round after round.
func (l *likelihood) tune() {
	l.knobs = knobs(l.groups)
	step := make([]float64, len(l.knobs))
	for i := range step {
		step[i] = 0.7
	}
	best := l.value()
	for range 40 {
		before := best
		for i, k := range l.knobs {
			best = turn(k, &step[i], best, l.value)
		}
		if before-best < 0.002 {
			break
		}
	}
}

// turn moves one knob to the least of a parabola, or downhill.
func turn(k knob, step *float64, now float64, value func() float64) float64 {
	at := math.Log(*k.at)
	set := func(z float64) float64 {
		*k.at = math.Exp(min(max(z, k.lowest), k.highst))
		return value()
	}
	up, down := set(at+*step), set(at-*step)
	best, where := now, at
	take := func(v, z float64) {
		if v < best {
			best, where = v, z
		}
	}
	take(up, at+*step)
	take(down, at-*step)
	if bend := up + down - 2*now; bend > 0 {
		move := 0.5 * (down - up) / bend * *step
		move = min(max(move, -3**step), 3**step)
		if math.Abs(move) > 0.02 {
			take(set(at+move), at+move)
		}
		*step = min(max(0.5*math.Abs(move), 0.1), 1)
	}
	set0 := min(max(where, k.lowest), k.highst)
	*k.at = math.Exp(set0)
	return best
}
