package trial

import "math"

// kink is where a course bends or jumps.
type kink struct {
	at, u  float64 // s; standard uncertainty
	smear  float64 // s, time constant with which the bend or jump comes
	change float64 // SI, by how much the course has left its old one some minutes later
}

// smears are the time constants tried, in s.
var smears = []float64{0, 10, 25, 60, 120, 240}

// findKink looks for the bend of a course, or for its jump, between two moments: least squares of
//
//	v = a + b x + c x² + for x > 0: d g(x) + e x² + f x³,  x = t − t_kink
//	g = x − w (1 − exp(−x/w)) for a bend, 1 − exp(−x/w) for a jump
//
// over t_kink and the smear w. Its uncertainty is how far t_kink moves until the sum of squares has grown by the variance of
// the residuals, which is raised for their memory. It must stand out: against a cubic without one, and against the scatter.
func findKink(t, v []float64, lo, hi float64, jump bool) (kink, bool) {
	n := len(t)
	if n < 14 {
		return kink{}, false
	}
	half := (t[n-1] - t[0]) / 2
	step := math.Max((hi-lo)/120, (t[n-1]-t[0])/float64(n-1)/4)
	var at, sum []float64
	best, smear := 0, 0.0
	for k := lo; k <= hi; k += step {
		least, with := math.Inf(1), 0.0
		for _, w := range smears {
			f := bent{half: half, at: k, smear: w, jump: jump}
			if s, _ := f.fit(t, v, nil); s < least {
				least, with = s, w
			}
		}
		at, sum = append(at, k), append(sum, least)
		if least < sum[best] {
			best, smear = len(sum)-1, with
		} else if len(sum) == 1 {
			smear = with
		}
	}
	if len(sum) < 8 || best < 2 || best > len(sum)-3 {
		return kink{}, false
	}
	f := bent{half: half, at: at[best], smear: smear, jump: jump}
	residuals := make([]float64, n)
	_, c := f.fit(t, v, residuals)
	rho := math.Min(0.95, math.Max(0, correlated(residuals)))
	variance := sum[best] / float64(n-8) * (1 + rho) / (1 - rho)
	a, b := best, best
	for a > 0 && sum[a] < sum[best]+variance {
		a--
	}
	for b < len(sum)-1 && sum[b] < sum[best]+variance {
		b++
	}
	out := kink{at: at[best], u: math.Max((at[b]-at[a])/2, step/2), smear: smear}
	plain := bent{half: half, at: math.Inf(1)}
	without, _ := plain.fit(t, v, nil)
	later := math.Min(300, t[n-1]-out.at)
	for i, g := range f.after(later) {
		out.change += c[3+i] * g
	}
	stands := without-sum[best] > 50*variance && math.Abs(out.change) > 6*math.Sqrt(sum[best]/float64(n-8))
	return out, stands
}

func correlated(v []float64) float64 {
	a, b := 0.0, 0.0
	for i := 1; i < len(v); i++ {
		a += v[i] * v[i-1]
		b += v[i] * v[i]
	}
	return a / b
}

// bent is a course with one bend or jump; without one where at is infinite.
type bent struct {
	half, at, smear float64 // s
	jump            bool
}

// after returns what joins behind the kink, x s from it.
func (f *bent) after(x float64) [3]float64 {
	late := 0.0
	if f.smear > 0 {
		late = math.Exp(-x / f.smear)
	}
	h := x / f.half
	if f.jump {
		return [3]float64{1 - late, h, h * h}
	}
	return [3]float64{h - f.smear/f.half*(1-late), h * h, h * h * h}
}

// fit returns the sum of squares and the coefficients.
func (f *bent) fit(t, v, residuals []float64) (float64, [6]float64) {
	var m [6][6]float64
	var r [6]float64
	mid := (t[0] + t[len(t)-1]) / 2
	base := typical(v)
	row := func(i int) (g [6]float64) {
		x := (t[i] - mid) / f.half
		g[0], g[1], g[2] = 1, x, x*x
		switch {
		case math.IsInf(f.at, 1):
			g[3] = x * x * x
		case t[i] > f.at:
			a := f.after(t[i] - f.at)
			g[3], g[4], g[5] = a[0], a[1], a[2]
		}
		return g
	}
	for i := range t {
		g := row(i)
		for a := range g {
			for b := 0; b <= a; b++ {
				m[a][b] += g[a] * g[b]
			}
			r[a] += g[a] * (v[i] - base)
		}
	}
	c := solved(m, r)
	sum := 0.0
	for i := range t {
		g := row(i)
		d := v[i] - base
		for a := range g {
			d -= c[a] * g[a]
		}
		sum += d * d
		if residuals != nil {
			residuals[i] = d
		}
	}
	return sum, c
}

// solved solves the normal equations by Cholesky; what has no weight gets none.
func solved(m [6][6]float64, r [6]float64) (c [6]float64) {
	var l [6][6]float64
	for a := range m {
		for b := 0; b <= a; b++ {
			x := m[a][b]
			for k := range b {
				x -= l[a][k] * l[b][k]
			}
			switch {
			case a == b && x > 1e-12*m[a][a]:
				l[a][a] = math.Sqrt(x)
			case a != b && l[b][b] > 0:
				l[a][b] = x / l[b][b]
			}
		}
	}
	for a := range r {
		if l[a][a] == 0 {
			continue
		}
		x := r[a]
		for k := range a {
			x -= l[a][k] * c[k]
		}
		c[a] = x / l[a][a]
	}
	for a := len(r) - 1; a >= 0; a-- {
		if l[a][a] == 0 {
			c[a] = 0
			continue
		}
		x := c[a]
		for k := a + 1; k < len(r); k++ {
			x -= l[k][a] * c[k]
		}
		c[a] = x / l[a][a]
	}
	return c
}
