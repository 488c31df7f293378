package seek

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// The logarithms of lengths and of ν have normal priors, which keep a few points from claiming what they cannot know:
// lengths about a third of an axis, within a factor of 2.7 either way; ν about 1e−6. Our own choice.
const (
	logLength, sdLength = -1.0, 1.0
	logNu, sdNu         = -13.8, 3.0
	lowNu, highNu       = -18.4, -1.0
)

// fitProcess finds lengths and ν by the largest likelihood times prior, from two starts, and lays the process. Values are
// told in any unit. The likelihood with level and σ² at their own best values is, but for a constant,
//
//	−(n/2) ln σ² − ½ ln |R|,   R = K/σ²
//
// Source: Rasmussen & Williams 2006, eqs. 2.30 and 5.9 (with σ² put in: eq. 9 of D. R. Jones, M. Schonlau, W. J. Welch, J. Glob.
// Optim. 13 (1998) 455-492).
func fitProcess(axes []Axis, at [][]float64, y []float64) *process {
	mean, sd := 0.0, 0.0
	for _, v := range y {
		mean += v / float64(len(y))
	}
	for _, v := range y {
		sd += (v - mean) * (v - mean) / float64(len(y))
	}
	sd = math.Sqrt(sd)
	if sd <= 1e-12*math.Abs(mean) {
		sd = max(math.Abs(mean)*1e-6, 1e-12)
	}
	z := make([]float64, len(y))
	for i, v := range y {
		z[i] = (v - mean) / sd
	}
	l := &likelihood{axes: axes, at: at, z: z}
	l.lay()
	d := len(axes)
	var best []float64
	value := math.Inf(1)
	for _, start := range []float64{logLength, 0.5} {
		x := make([]float64, d+1)
		for i := range d {
			x[i] = start
		}
		x[d] = logNu
		if best == nil {
			best = append([]float64(nil), x...)
		}
		r, err := optimize.Minimize(optimize.Problem{
			Func: func(x []float64) float64 { return l.value(x, nil) },
			Grad: func(g, x []float64) { l.value(x, g) },
		}, x, &optimize.Settings{MajorIterations: 25, GradientThreshold: 1e-3}, &optimize.LBFGS{})
		// An ending by count or by a line search that cannot go on is as good a point as it is.
		if r != nil && r.F < value && finite(r.X...) && (err == nil || r.F < math.Inf(1)) {
			value, best = r.F, r.X
		}
	}
	length := make([]float64, d)
	for i := range d {
		length[i] = math.Exp(best[i])
	}
	nu := math.Exp(min(max(best[d], lowNu), highNu))
	for {
		if p, ok := newProcess(axes, at, z, length, nu); ok {
			p.level = mean + sd*p.level
			p.sigma2 *= sd * sd
			p.y = y
			for i := range p.alpha {
				p.alpha[i] *= sd
			}
			return p
		}
		nu *= 10 // two points too close together for these numbers
	}
}

// likelihood is −ln(likelihood × prior) over the logarithms of lengths and ν, with its slopes.
type likelihood struct {
	axes  []Axis
	at    [][]float64
	z     []float64
	apart [][]float64 // for each axis the squared differences of all pairs, i > j
	x     []float64   // where the last value was taken, with what it gave
	f     float64
	g     []float64
}

func (l *likelihood) lay() {
	n := len(l.at)
	l.apart = make([][]float64, len(l.axes))
	for a := range l.axes {
		l.apart[a] = make([]float64, 0, n*(n-1)/2)
		for i := range n {
			for j := range i {
				d := l.at[i][a] - l.at[j][a]
				if l.axes[a].Kind == Choice && d != 0 {
					d = 1
				}
				l.apart[a] = append(l.apart[a], d*d)
			}
		}
	}
}

// value returns the value and, where g is given, writes the slopes.
func (l *likelihood) value(x, g []float64) float64 {
	same := l.x != nil
	for i := range l.x {
		same = same && l.x[i] == x[i]
	}
	if !same {
		l.x, l.g = append([]float64(nil), x...), make([]float64, len(x))
		l.f = l.compute(x, l.g)
	}
	copy(g, l.g)
	return l.f
}

func (l *likelihood) compute(x, g []float64) float64 {
	n, d := len(l.at), len(l.axes)
	nu := math.Exp(min(max(x[d], lowNu), highNu))
	inv := make([]float64, d)
	for a := range d {
		inv[a] = math.Exp(-2 * min(max(x[a], -8), 8))
	}
	k := mat.NewSymDense(n, nil)
	slope := make([]float64, n*(n-1)/2) // dk/d(ln ℓ) = slope · d²/ℓ²
	pair := 0
	for i := range n {
		for j := range i {
			r2 := 0.0
			for a := range d {
				r2 += l.apart[a][pair] * inv[a]
			}
			s := math.Sqrt(5 * r2)
			e := math.Exp(-s)
			k.SetSym(i, j, (1+s+s*s/3)*e)
			slope[pair] = 5.0 / 3 * (1 + s) * e
			pair++
		}
		k.SetSym(i, i, 1+nu)
	}
	var chol mat.Cholesky
	if !chol.Factorize(k) {
		return math.Inf(1)
	}
	var inverse mat.SymDense
	if chol.InverseTo(&inverse) != nil {
		return math.Inf(1)
	}
	w := inverse.RawSymmetric()
	at := func(i, j int) float64 { // of the upper triangle
		if i > j {
			i, j = j, i
		}
		return w.Data[i*w.Stride+j]
	}
	one, b := make([]float64, n), make([]float64, n)
	sumOne, sumB := 0.0, 0.0
	for i := range n {
		for j := range n {
			v := at(i, j)
			one[i] += v
			b[i] += v * l.z[j]
		}
		sumOne += one[i]
		sumB += b[i]
	}
	level := sumB / sumOne
	sigma2 := 0.0
	for i := range n {
		b[i] -= level * one[i]
		sigma2 += (l.z[i] - level) * b[i] / float64(n)
	}
	sigma2 = max(sigma2, 1e-12)
	f := 0.5*float64(n)*math.Log(sigma2) + 0.5*chol.LogDet()
	pair = 0
	for i := range n {
		for j := range i {
			// dR is symmetric: both triangles count.
			c := (at(i, j) - b[i]*b[j]/sigma2) * slope[pair]
			for a := range d {
				g[a] += c * l.apart[a][pair] * inv[a]
			}
			pair++
		}
		g[d] += 0.5 * (at(i, i) - b[i]*b[i]/sigma2) * nu
	}
	if x[d] < lowNu || x[d] > highNu {
		g[d] = 0
	}
	for a := range d {
		t := (x[a] - logLength) / sdLength
		f += 0.5 * t * t
		g[a] += t / sdLength
	}
	t := (x[d] - logNu) / sdNu
	f += 0.5 * t * t
	g[d] += t / sdNu
	return f
}
