package match

import "math"

// tune moves the settings downhill in R ahead until it no longer falls by more than 0.002: by a quasi-Newton method
// (BFGS) on the logarithms, its gradient by forward differences, its step halved until R falls; what a bound holds stays.
// It never ends higher than it began.
//
// Source: J. Nocedal, S. J. Wright, "Numerical Optimization", 2nd ed., Springer 2006, 6.1 (the update), 3.1 (the step).
func (l *likelihood) tune() {
	const h = 1e-4
	n := len(l.knobs)
	z := l.settings()
	for i, k := range l.knobs {
		z[i] = min(max(z[i], k.lowest), k.highst)
	}
	gradient := func(z []float64) (now float64, g []float64) {
		list := make([][]float64, n+1)
		for i := range list {
			list[i] = append([]float64(nil), z...)
			if i > 0 {
				list[i][i-1] += h
				if list[i][i-1] > l.knobs[i-1].highst {
					list[i][i-1] -= 2 * h
				}
			}
		}
		v := l.values(list)
		g = make([]float64, n)
		for i := range g {
			g[i] = (v[i+1] - v[0]) / (list[i+1][i] - z[i])
		}
		return v[0], g
	}
	inverse := newInverse(l.knobs)
	now, g := gradient(z)
	for range 60 {
		fixed := make([]bool, n)
		for i, k := range l.knobs {
			fixed[i] = z[i] <= k.lowest+1e-9 && g[i] > 0 || z[i] >= k.highst-1e-9 && g[i] < 0
		}
		p := inverse.step(g, fixed)
		slope, longest := 0.0, 0.0
		for i := range p {
			slope += g[i] * p[i]
			longest = max(longest, math.Abs(p[i]))
		}
		if -slope < 0.002 {
			break
		}
		f := min(1, 1.5/longest)
		var next []float64
		fell := false
		for range 12 {
			next = append([]float64(nil), z...)
			for i, k := range l.knobs {
				next[i] = min(max(z[i]+f*p[i], k.lowest), k.highst)
			}
			if l.values([][]float64{next})[0] < now+1e-4*f*slope {
				fell = true
				break
			}
			f /= 2.5
		}
		if !fell {
			if inverse.plain() {
				break
			}
			inverse = newInverse(l.knobs)
			continue
		}
		after, ga := gradient(next)
		s, y := make([]float64, n), make([]float64, n)
		for i := range s {
			s[i], y[i] = next[i]-z[i], ga[i]-g[i]
		}
		inverse.learn(s, y)
		z, g, now = next, ga, after
	}
	l.set(z)
}

// inverseBends is the inverse of the second derivatives as far as they are known.
type inverseBends struct {
	h       [][]float64
	learned bool
}

// newInverse begins with bends of two beside those of the knobs' priors.
func newInverse(knobs []knob) *inverseBends {
	b := &inverseBends{h: make([][]float64, len(knobs))}
	for i, k := range knobs {
		b.h[i] = make([]float64, len(knobs))
		b.h[i][i] = 1 / (2 + 1/(k.wide*k.wide))
	}
	return b
}

func (b *inverseBends) plain() bool { return !b.learned }

// step is −H g over what is not fixed.
func (b *inverseBends) step(g []float64, fixed []bool) []float64 {
	p := make([]float64, len(g))
	for i := range p {
		if fixed[i] {
			continue
		}
		for j := range g {
			if !fixed[j] {
				p[i] -= b.h[i][j] * g[j]
			}
		}
	}
	return p
}

// learn takes a move s and the change y of the gradient with it.
func (b *inverseBends) learn(s, y []float64) {
	sy := dot(s, y)
	if sy <= 1e-10*math.Sqrt(dot(s, s)*dot(y, y)) {
		return
	}
	hy := make([]float64, len(s))
	for i := range hy {
		hy[i] = dot(b.h[i], y)
	}
	yhy := dot(y, hy)
	for i := range s {
		for j := range s {
			b.h[i][j] += (1+yhy/sy)*s[i]*s[j]/sy - (hy[i]*s[j]+s[i]*hy[j])/sy
		}
	}
	b.learned = true
}
